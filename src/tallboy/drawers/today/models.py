"""The plan: when each step happens, and why not earlier."""

from __future__ import annotations

from datetime import datetime

from django.db import models

from tallboy.book.models import Kept
from tallboy.drawers.pieces.models import Piece, Step


class Plan(Kept):
    """One plan of the whole shop. The newest is the one in force; older ones are kept only until the next.

    `missed` names the windows that could not be kept any more, as pairs of steps.
    """

    made_at = models.DateTimeField()
    status = models.CharField(max_length=12)
    gap = models.FloatField(null=True)
    seconds = models.FloatField()
    seen_journal = models.BigIntegerField(default=0)
    warnings = models.JSONField(default=list)
    missed = models.JSONField(default=list)

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return f"{self.made_at:%Y-%m-%d %H:%M} {self.status}"


class PlannedStep(Kept):
    """One step in a plan: its hands-on blocks, the rule that holds it where it is, and how long it rests afterwards.

    `rests_until` is when the longest drying, setting or soaking after it is over; `rests` says which it is.
    """

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="steps")
    step = models.ForeignKey(Step, on_delete=models.CASCADE, related_name="planned")
    start = models.DateTimeField()
    end = models.DateTimeField()
    blocks = models.JSONField(default=list)
    rule = models.CharField(max_length=20)
    reason = models.TextField()
    until = models.DateTimeField(null=True)
    rests = models.CharField(max_length=12, blank=True)
    rests_until = models.DateTimeField(null=True)

    class Meta:
        ordering = ["start", "id"]
        constraints = [models.UniqueConstraint(fields=["plan", "step"], name="planned_once")]

    def __str__(self) -> str:
        return f"{self.start:%Y-%m-%d %H:%M} {self.step_id}"

    def spans(self) -> list[tuple[datetime, datetime]]:
        """The hands-on stretches."""
        return [(datetime.fromisoformat(start), datetime.fromisoformat(end)) for start, end in self.blocks]


class PlannedPromise(Kept):
    """When a promised piece would be finished by this plan, and by how much that is late."""

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="promises")
    piece = models.ForeignKey(Piece, on_delete=models.PROTECT, related_name="+")
    finish = models.DateTimeField()
    late_minutes = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ["finish"]

    def __str__(self) -> str:
        return f"{self.piece_id} {self.finish:%Y-%m-%d %H:%M}"
