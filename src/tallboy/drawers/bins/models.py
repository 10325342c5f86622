"""Labelled places for kept parts."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from tallboy.book.models import Kept
from tallboy.drawers.pieces.models import Spot


class Bin(Kept):
    """A labelled place for kept parts inside rack / box / compartment. Its spot is where the parts lie.

    `is_usual` marks the one bin of a shop that retired parts go to when nobody names another.
    """

    spot = models.OneToOneField(Spot, on_delete=models.PROTECT, related_name="bin")
    rack = models.CharField(_("rack"), max_length=40)
    box = models.CharField(_("box"), max_length=40, blank=True)
    compartment = models.CharField(_("compartment"), max_length=40, blank=True)
    is_usual = models.BooleanField(default=False)

    class Meta:
        ordering = ["rack", "box", "compartment"]
        constraints = [
            models.UniqueConstraint(fields=["shop", "rack", "box", "compartment"], name="bin_once"),
            models.UniqueConstraint(fields=["shop"], condition=Q(is_usual=True), name="bin_usual_once"),
        ]

    def __str__(self) -> str:
        return self.spot.name
