"""The work on a piece: routes, steps, waits, coats laid and the clock."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from tallboy.book.models import Kept, Person, Place
from tallboy.drawers.pieces.models.hardware import Position
from tallboy.drawers.pieces.models.piece import Fault, Piece, Surface
from tallboy.drawers.shelf.models import Product


class Route(Kept):
    """The shop's own copy of a ready-made route or repair; `body` is what `work.route` reads and writes."""

    class Kind(models.TextChoices):
        ROUTE = "route", _("route")
        REPAIR = "repair", _("repair")

    kind = models.CharField(max_length=8, choices=Kind, default=Kind.ROUTE)
    key = models.CharField(max_length=60)
    name = models.CharField(_("name"), max_length=120)
    body = models.JSONField()

    class Meta:
        ordering = ["kind", "id"]
        constraints = [models.UniqueConstraint(fields=["shop", "kind", "key"], name="route_key_once")]

    def __str__(self) -> str:
        return self.name


class Step(Kept):
    """One thing to do: hands-on minutes with their spread, what it needs, and how far it has got.

    `rack_dm2` is the room [dm²] that its wet surfaces take until they are dry; `people` are those who alone may do it; with
    `window_of` it is the scuff sanding that makes good the missed window of that wait.
    """

    class State(models.TextChoices):
        TO_DO = "to do", _("to do")
        RUNNING = "running", _("begun")
        DONE = "done", _("done")
        SKIPPED = "skipped", _("skipped")

    piece = models.ForeignKey(Piece, on_delete=models.PROTECT, related_name="steps")
    order = models.PositiveSmallIntegerField()
    key = models.CharField(max_length=80)
    title = models.CharField(_("what"), max_length=200)
    does = models.CharField(max_length=20)
    minutes = models.PositiveIntegerField(_("hands-on minutes"))
    spread_minutes = models.PositiveIntegerField(default=0)
    hands = models.PositiveSmallIntegerField(_("hands"), default=1)
    place = models.ForeignKey(Place, on_delete=models.PROTECT, null=True, related_name="+")
    dusty = models.BooleanField(_("makes dust"), default=False)
    split = models.BooleanField(_("may be split"), default=False)
    skill = models.CharField(_("skill"), max_length=40, blank=True)
    noisy = models.BooleanField(_("makes noise"), default=False)
    solvent = models.BooleanField(_("open solvent"), default=False)
    ignition = models.BooleanField(_("flame, heat or sparks"), default=False)
    clamps = models.PositiveSmallIntegerField(_("clamps"), default=0)
    rack_dm2 = models.PositiveIntegerField(_("room while wet"), default=0)
    people = models.ManyToManyField(Person, verbose_name=_("only by"), related_name="steps_alone", blank=True)
    window_of = models.OneToOneField("pieces.Wait", on_delete=models.SET_NULL, null=True, related_name="scuff")
    surfaces = models.ManyToManyField(Surface, related_name="steps", blank=True)
    positions = models.ManyToManyField(Position, related_name="steps", blank=True)
    fault = models.ForeignKey(Fault, on_delete=models.PROTECT, null=True, related_name="steps")
    product = models.ForeignKey(Product, on_delete=models.PROTECT, null=True, related_name="+")
    coating = models.CharField(max_length=40, blank=True)
    coat_number = models.PositiveSmallIntegerField(default=0)
    coats = models.PositiveSmallIntegerField(default=0)
    cautions = models.JSONField(default=list)
    needs = models.JSONField(default=list)
    note = models.TextField(blank=True)
    state = models.CharField(max_length=8, choices=State, default=State.TO_DO)
    began_at = models.DateTimeField(null=True)
    ended_at = models.DateTimeField(null=True)
    not_before = models.DateTimeField(null=True)
    reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["piece", "order"]
        constraints = [
            models.UniqueConstraint(fields=["piece", "key"], name="step_key_once"),
            models.CheckConstraint(
                condition=Q(state="to do", began_at__isnull=True, ended_at__isnull=True)
                | Q(state="running", began_at__isnull=False, ended_at__isnull=True)
                | Q(state="done", began_at__isnull=False, ended_at__isnull=False)
                | Q(state="skipped", ended_at__isnull=False),
                name="step_times_fit_its_state",
            ),
            models.CheckConstraint(
                condition=Q(ended_at__isnull=True) | Q(began_at__isnull=True) | Q(ended_at__gte=F("began_at")),
                name="step_ends_after_it_began",
            ),
        ]
        indexes = [models.Index(fields=["shop", "state"], name="step_state")]

    def __str__(self) -> str:
        return self.title

    @property
    def open(self) -> bool:
        """Still something to do."""
        return self.state in (self.State.TO_DO, self.State.RUNNING)


class Wait(Kept):
    """Time with no hands between two steps: from the end of `first` to the start of `then`.

    `from_label` names the label's figure (touch, recoat, cure) that the least wait is computed from; else it is fixed.
    """

    first = models.ForeignKey(Step, on_delete=models.PROTECT, related_name="waits_after")
    then = models.ForeignKey(Step, on_delete=models.PROTECT, related_name="waits_before")
    kind = models.CharField(max_length=12, default="order")
    least_minutes = models.PositiveIntegerField(default=0)
    most_minutes = models.PositiveIntegerField(null=True)
    from_label = models.CharField(max_length=8, blank=True)
    text = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["first", "then"], name="wait_once"),
            models.CheckConstraint(condition=~Q(first=F("then")), name="wait_joins_two_steps"),
        ]

    def __str__(self) -> str:
        return f"{self.first_id} → {self.then_id}"


class Coat(Kept):
    """One application of one product, as it was really laid."""

    step = models.OneToOneField(Step, on_delete=models.PROTECT, related_name="coat")
    product = models.ForeignKey(Product, on_delete=models.PROTECT, related_name="coats")
    number = models.PositiveSmallIntegerField()
    area_m2 = models.FloatField()
    laid_at = models.DateTimeField()
    ml = models.FloatField(null=True)
    celsius = models.FloatField(null=True)
    relative_humidity = models.FloatField(null=True)

    class Meta:
        ordering = ["laid_at"]

    def __str__(self) -> str:
        return f"{self.product} {self.number}"


class ClockEntry(Kept):
    """One stretch of hands-on time by one person on one step."""

    step = models.ForeignKey(Step, on_delete=models.PROTECT, related_name="clock")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="clock")
    began_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["began_at"]
        constraints = [
            models.UniqueConstraint(fields=["person"], condition=Q(ended_at__isnull=True), name="clock_one_at_a_time"),
            models.CheckConstraint(
                condition=Q(ended_at__isnull=True) | Q(ended_at__gte=F("began_at")), name="clock_runs_forward"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person} {self.began_at:%Y-%m-%d %H:%M}"


class Delivery(Kept):
    """Something bought that has not come yet: a can for the shelf, or what one step needs. Steps that need it await it."""

    what = models.CharField(_("what"), max_length=120)
    product = models.ForeignKey(Product, on_delete=models.PROTECT, null=True, related_name="deliveries")
    step = models.ForeignKey(Step, on_delete=models.PROTECT, null=True, related_name="deliveries")
    expected = models.DateField(_("expected"))
    arrived_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["expected", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(product__isnull=False, step__isnull=True) | Q(product__isnull=True, step__isnull=False),
                name="delivery_for_a_product_or_a_step",
            )
        ]

    def __str__(self) -> str:
        return f"{self.what} {self.expected}"
