"""A piece of furniture in the shop, its faults, surfaces, photographs and notes."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _

from tallboy.book.models import Kept, Photo


class Piece(Kept):
    """One item of furniture. Sizes in millimetres; `front` is the front as `front.shape` writes it, or empty."""

    class Lead(models.TextChoices):
        UNTESTED = "", _("not tested")
        NONE = "none found", _("no lead found")
        FOUND = "found", _("lead found")

    number = models.CharField(max_length=20)
    name = models.CharField(_("name"), max_length=120)
    kind = models.CharField(_("kind"), max_length=40)
    width_mm = models.FloatField(_("width"))
    height_mm = models.FloatField(_("height"))
    depth_mm = models.FloatField(_("depth"))
    woods = models.CharField(_("woods"), max_length=200, blank=True)
    old_finish = models.CharField(_("old finish"), max_length=200, blank=True)
    age = models.CharField(_("age"), max_length=80, blank=True)
    old_paint = models.BooleanField(_("old paint on it"), default=False)
    lead_test = models.CharField(_("lead test"), max_length=20, choices=Lead, blank=True, default=Lead.UNTESTED)
    lead_tested_at = models.DateTimeField(null=True)
    own_stock = models.BooleanField(_("own stock"), default=False)
    customer = models.CharField(_("whose it is"), max_length=120, blank=True)
    promise = models.DateField(_("promised for"), null=True, blank=True)
    taken_in_at = models.DateTimeField()
    handed_over_at = models.DateTimeField(null=True)
    hand_over_note = models.TextField(blank=True)
    front = models.JSONField(null=True)
    free_photo = models.ForeignKey(Photo, on_delete=models.PROTECT, null=True, related_name="+")
    route = models.CharField(max_length=60, blank=True)

    class Meta:
        ordering = ["-id"]
        constraints = [
            models.UniqueConstraint(fields=["shop", "number"], name="piece_number_once"),
            models.CheckConstraint(
                condition=models.Q(width_mm__gt=0, height_mm__gt=0, depth_mm__gt=0), name="piece_has_size"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.name}"

    @property
    def in_the_shop(self) -> bool:
        return self.handed_over_at is None

    @property
    def lead_unknown(self) -> bool:
        """Old paint that nobody has tested counts as lead until a test says otherwise."""
        return self.old_paint and self.lead_test == self.Lead.UNTESTED


class Fault(Kept):
    """Something wrong with a piece, recorded at take-in or found later; `kind` is a key of the repairs table."""

    piece = models.ForeignKey(Piece, on_delete=models.PROTECT, related_name="faults")
    kind = models.CharField(_("fault"), max_length=40)
    where = models.CharField(_("where"), max_length=120, blank=True)
    position = models.ForeignKey("pieces.Position", on_delete=models.PROTECT, null=True, related_name="faults")
    note = models.TextField(_("note"), blank=True)
    found_at = models.DateTimeField()

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.kind}, {self.where}" if self.where else self.kind


class SpotTest(Kept):
    """A drop of liquid tried out of sight, and what the old finish did."""

    piece = models.ForeignKey(Piece, on_delete=models.PROTECT, related_name="spot_tests")
    liquid = models.CharField(_("liquid"), max_length=80)
    where = models.CharField(_("where"), max_length=120, blank=True)
    result = models.CharField(_("what it did"), max_length=200)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return f"{self.liquid}: {self.result}"


class Surface(Kept):
    """A set of faces that is worked and coated together; `area_m2` is computed from the size unless typed."""

    piece = models.ForeignKey(Piece, on_delete=models.PROTECT, related_name="surfaces")
    group = models.CharField(max_length=30)
    name = models.CharField(_("name"), max_length=80)
    area_m2 = models.FloatField(_("area"))
    typed = models.BooleanField(default=False)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["piece", "name"], name="surface_name_once"),
            models.CheckConstraint(condition=models.Q(area_m2__gte=0), name="surface_area"),
        ]

    def __str__(self) -> str:
        return self.name


class PiecePhoto(Kept):
    """A photograph of a piece, of one position, part or step; `purpose` says when in the job it was taken."""

    class Purpose(models.TextChoices):
        BEFORE = "before", _("before")
        TAKE_DOWN = "take-down", _("take-down")
        DURING = "during", _("during")
        AFTER = "after", _("after")

    piece = models.ForeignKey(Piece, on_delete=models.PROTECT, related_name="photos")
    photo = models.ForeignKey(Photo, on_delete=models.PROTECT, related_name="uses")
    position = models.ForeignKey("pieces.Position", on_delete=models.PROTECT, null=True, related_name="photos")
    part = models.ForeignKey("pieces.Part", on_delete=models.PROTECT, null=True, related_name="photos")
    step = models.ForeignKey("pieces.Step", on_delete=models.PROTECT, null=True, related_name="photos")
    purpose = models.CharField(max_length=12, choices=Purpose, default=Purpose.BEFORE)
    caption = models.CharField(_("caption"), max_length=200, blank=True)
    taken_at = models.DateTimeField()

    class Meta:
        ordering = ["id"]

    def __str__(self) -> str:
        return self.caption or self.get_purpose_display()


class Note(Kept):
    """A remark on a piece, or on one of its parts or steps."""

    piece = models.ForeignKey(Piece, on_delete=models.PROTECT, related_name="notes")
    part = models.ForeignKey("pieces.Part", on_delete=models.PROTECT, null=True, related_name="notes")
    step = models.ForeignKey("pieces.Step", on_delete=models.PROTECT, null=True, related_name="notes")
    text = models.TextField(_("note"))
    at = models.DateTimeField()

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return self.text[:60]
