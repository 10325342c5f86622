"""The shop's air as it was measured."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _

from tallboy.book.models import Kept


class Reading(Kept):
    """One measurement of the shop's air: when, °C, % relative humidity, and whether it was typed or came in a file."""

    at = models.DateTimeField(_("when"))
    celsius = models.FloatField(_("air temperature"))
    relative_humidity = models.FloatField(_("relative humidity"))
    source = models.CharField(max_length=120, blank=True)

    class Meta:
        ordering = ["at"]
        constraints = [
            models.UniqueConstraint(fields=["shop", "at"], name="reading_once"),
            models.CheckConstraint(
                condition=models.Q(relative_humidity__gte=0, relative_humidity__lte=100), name="reading_humidity"
            ),
            models.CheckConstraint(condition=models.Q(celsius__gte=-40, celsius__lte=60), name="reading_celsius"),
        ]

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%d %H:%M} {self.celsius} °C {self.relative_humidity} %"
