"""Vessels and their numbered slots. Paper tags come off in solvent; the slot keeps the name."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _

from tallboy.book.models import Kept
from tallboy.drawers.pieces.models import Spot


class Vessel(Kept):
    """A jar or tray that parts soak in."""

    name = models.CharField(_("name"), max_length=60)
    note = models.CharField(_("note"), max_length=200, blank=True)

    class Meta:
        ordering = ["name"]
        constraints = [models.UniqueConstraint(fields=["shop", "name"], name="vessel_name_once")]

    def __str__(self) -> str:
        return self.name


class Slot(Kept):
    """A numbered place in a vessel; its spot holds one part at most."""

    vessel = models.ForeignKey(Vessel, on_delete=models.PROTECT, related_name="slots")
    number = models.PositiveSmallIntegerField()
    spot = models.OneToOneField(Spot, on_delete=models.PROTECT, related_name="slot")

    class Meta:
        ordering = ["vessel", "number"]
        constraints = [models.UniqueConstraint(fields=["vessel", "number"], name="slot_once")]

    def __str__(self) -> str:
        return self.spot.name
