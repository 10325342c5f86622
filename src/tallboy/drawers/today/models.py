"""The plan: when each step happens, by whom, and why not earlier; and the runs in which it is improved."""

from __future__ import annotations

from datetime import datetime

from django.db import models
from django.utils.timezone import localtime
from django.utils.translation import gettext_lazy as _

from tallboy.book.models import Kept
from tallboy.drawers.pieces.models import Piece, Step


class Plan(Kept):
    """One plan of the whole shop. The newest is the one in force; older ones are kept only until the next.

    `missed` names the windows that could not be kept any more, as pairs of steps. `cost` and `bound` are the planner's, in
    minutes: what this plan costs, and what no plan can undercut. `waits` holds what rests after each step and which windows open
    and close, by its times. `blocked` holds, for each step that is not planned, its key and why; `chance` what was found out about
    its futures.
    """

    made_at = models.DateTimeField()
    status = models.CharField(max_length=12)
    gap = models.FloatField(null=True)
    seconds = models.FloatField()
    seen_journal = models.BigIntegerField(default=0)
    warnings = models.JSONField(default=list)
    missed = models.JSONField(default=list)
    cost = models.FloatField(null=True)
    bound = models.FloatField(null=True)
    place_changes = models.PositiveIntegerField(default=0)
    waits = models.JSONField(default=list)
    blocked = models.JSONField(default=list)
    chance = models.JSONField(default=dict)

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return f"{self.made_at:%Y-%m-%d %H:%M} {self.status}"


class PlannedStep(Kept):
    """One step in a plan: its hands-on blocks, the rule that holds it where it is, and how long it rests afterwards.

    `rests_until` is when the longest drying, setting or soaking after it is over; `rests` says which it is. `people` holds the
    planner's keys of those who do it: the number of a person, or a hand without a name. Of ten futures one has it begun by
    `early`, nine by `late`. `because` holds the keys of the steps that its reason is about, `window_closes` by when it must
    start so that no window behind it closes. Begun by `free_until` it delays nothing that is planned after it, by `spare_until` no
    promise (tallboy.planner.why.room; None: there is no such limit).
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
    people = models.JSONField(default=list)
    early = models.DateTimeField(null=True)
    late = models.DateTimeField(null=True)
    because = models.JSONField(default=list)
    window_closes = models.DateTimeField(null=True)
    free_until = models.DateTimeField(null=True)
    spare_until = models.DateTimeField(null=True)

    class Meta:
        ordering = ["start", "id"]
        constraints = [models.UniqueConstraint(fields=["plan", "step"], name="planned_once")]

    def __str__(self) -> str:
        return f"{self.start:%Y-%m-%d %H:%M} {self.step_id}"

    def spans(self) -> list[tuple[datetime, datetime]]:
        """The hands-on stretches."""
        return [(datetime.fromisoformat(start), datetime.fromisoformat(end)) for start, end in self.blocks]


class PlannedPromise(Kept):
    """When a promised piece would be finished by this plan, and by how much that is late.

    `chance` is the share of futures that keep it, `safe_on` the moment by which four of five have it finished.
    """

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="promises")
    piece = models.ForeignKey(Piece, on_delete=models.PROTECT, related_name="+")
    finish = models.DateTimeField()
    late_minutes = models.PositiveIntegerField(default=0)
    chance = models.FloatField(null=True)
    safe_on = models.DateTimeField(null=True)

    class Meta:
        ordering = ["finish"]

    def __str__(self) -> str:
        return f"{self.piece_id} {self.finish:%Y-%m-%d %H:%M}"

    @property
    def late_days(self) -> int:
        """By how many days of the calendar the promise is missed; 0 when it is kept."""
        if not self.late_minutes or self.piece.promise is None:
            return 0
        return max(1, (localtime(self.finish, self.piece.shop.tz).date() - self.piece.promise).days)


class PlanRun(Kept):
    """One run in which the plan is improved while people go on working. A shop has one at a time.

    `seconds` is how long it may take, `told_at` when it last gave a sign of life, `progress` how far it is (as
    `tallboy.drawers.today.run.running` writes it), `message` how it ended, in words.
    """

    class State(models.TextChoices):
        RUNNING = "running", _("running")
        STOPPED = "stopped", _("stopped")
        DONE = "done", _("done")
        FAILED = "failed", _("failed")

    state = models.CharField(max_length=10, choices=State, default=State.RUNNING)
    begun_at = models.DateTimeField()
    told_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True)
    seconds = models.FloatField()
    progress = models.JSONField(default=dict)
    stop_asked = models.BooleanField(default=False)
    message = models.TextField(blank=True)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.UniqueConstraint(fields=["shop"], condition=models.Q(state="running"), name="one_plan_run_a_shop")
        ]

    def __str__(self) -> str:
        return f"{self.begun_at:%Y-%m-%d %H:%M} {self.state}"
