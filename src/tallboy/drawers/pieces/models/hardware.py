"""Positions on a piece, the parts that sit on them, and where each part is."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from tallboy.book.models import Kept
from tallboy.drawers.pieces.models.piece import Piece


class Position(Kept):
    """The place on a piece where one part sits.

    `x`, `y`: millimetres from the bottom left corner of the front, y upwards; on a free drawing, shares (0…1) of the
    photograph's width and height from its top left corner, y downwards.
    """

    piece = models.ForeignKey(Piece, on_delete=models.PROTECT, related_name="positions")
    number = models.PositiveSmallIntegerField()
    code = models.SlugField(max_length=100)
    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=30)
    detail = models.CharField(max_length=60, blank=True)
    face = models.CharField(max_length=12, default="front")
    screws = models.PositiveSmallIntegerField(null=True)
    x = models.FloatField()
    y = models.FloatField()
    missing_at_take_in = models.BooleanField(default=False)
    taken_off_at = models.DateTimeField(null=True)
    left_empty_because = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["piece", "code"], name="position_code_once"),
            models.UniqueConstraint(fields=["piece", "number"], name="position_number_once"),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.name}"


class Spot(Kept):
    """A named place where parts lie: a tray, a bin, a vessel's slot, the bench."""

    class Kind(models.TextChoices):
        TRAY = "tray", _("tray")
        BIN = "bin", _("bin")
        SLOT = "slot", _("vessel slot")
        BENCH = "bench", _("bench")

    name = models.CharField(_("name"), max_length=80)
    kind = models.CharField(_("kind"), max_length=8, choices=Kind)

    class Meta:
        ordering = ["kind", "name"]
        constraints = [models.UniqueConstraint(fields=["shop", "name"], name="spot_name_once")]

    def __str__(self) -> str:
        return self.name


_ON = Q(at_position__isnull=False, at_spot__isnull=True, gone_because="")
_LIES = Q(at_position__isnull=True, at_spot__isnull=False, gone_because="")
_GONE = Q(at_position__isnull=True, at_spot__isnull=True) & ~Q(gone_because="")


class Part(Kept):
    """One physical bit of hardware or one loose component. Never deleted; it is always in exactly one place."""

    class Condition(models.TextChoices):
        SOUND = "sound", _("sound")
        DIRTY = "dirty", _("dirty or painted over")
        RUSTED = "rusted", _("rusted or corroded")
        BENT = "bent", _("bent")
        WORN = "worn", _("worn")
        CRACKED = "cracked", _("cracked or broken")

    class Decision(models.TextChoices):
        KEEP = "keep", _("keep as it is")
        CLEAN = "clean", _("clean")
        REPAIR = "repair", _("repair")
        REPLACE = "replace", _("replace")

    number = models.PositiveIntegerField()
    piece = models.ForeignKey(Piece, on_delete=models.PROTECT, null=True, related_name="parts")
    home = models.ForeignKey(Position, on_delete=models.PROTECT, null=True, related_name="came_off")
    kind = models.CharField(_("kind"), max_length=30)
    name = models.CharField(_("what it is"), max_length=120)
    metal = models.CharField(_("metal"), max_length=60, blank=True)
    screws = models.PositiveSmallIntegerField(_("screws"), null=True, blank=True)
    condition = models.CharField(_("condition"), max_length=10, choices=Condition, default=Condition.SOUND)
    decision = models.CharField(_("to do"), max_length=8, choices=Decision, default=Decision.CLEAN)
    made_at = models.DateTimeField()
    tag_printed_at = models.DateTimeField(null=True)
    at_position = models.OneToOneField(Position, on_delete=models.PROTECT, null=True, related_name="part")
    at_spot = models.ForeignKey(Spot, on_delete=models.PROTECT, null=True, related_name="parts")
    gone_because = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["shop", "number"], name="part_number_once"),
            # Whereabouts: on a position, or in a spot, or gone with the reason. One of the three, always.
            models.CheckConstraint(condition=_ON | _LIES | _GONE, name="part_whereabouts_exactly_one"),
        ]
        indexes = [models.Index(fields=["shop", "kind"], name="part_kind")]

    def __str__(self) -> str:
        return f"{self.label} {self.name}"

    @property
    def label(self) -> str:
        """The number as it is written on a tag."""
        return f"P-{self.number:04d}"

    @property
    def is_gone(self) -> bool:
        return bool(self.gone_because)


class Move(Kept):
    """One change of a part's whereabouts, in words that stay readable when places are renamed."""

    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="moves")
    at = models.DateTimeField()
    came_from = models.CharField(max_length=300)
    went_to = models.CharField(max_length=300)
    reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.came_from} → {self.went_to}"
