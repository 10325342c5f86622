"""The shop's air as it was measured."""

from __future__ import annotations

import math
from datetime import datetime
from typing import TYPE_CHECKING, Any

from django.db import models
from django.utils.translation import gettext_lazy as _

from tallboy.book.models import Kept

if TYPE_CHECKING:
    WholeNumber = models.IntegerField[int, int]
else:
    WholeNumber = models.IntegerField


def nearest_hour(at: datetime) -> int:
    """Full hours since 1970 (UTC), to the nearest."""
    return math.floor(at.timestamp() / 3600 + 0.5)


class HourField(WholeNumber):
    """The full hour nearest to the row's `at`, always worked out from it, so that the database can average by the hour."""

    def pre_save(self, model_instance: models.Model, add: bool) -> Any:
        hour = nearest_hour(model_instance.at)  # type: ignore[attr-defined]  # only used where there is an `at`
        setattr(model_instance, self.attname, hour)
        return hour


class LoggerFile(Kept):
    """One logger's file that was taken in: how many readings it brought, and how many were known already."""

    name = models.CharField(_("file"), max_length=200)
    taken_in_at = models.DateTimeField(_("taken in"))
    count = models.PositiveIntegerField(_("readings taken in"))
    skipped = models.PositiveIntegerField(_("known already"))
    left_out = models.PositiveIntegerField(_("bad lines left out"), default=0)
    first = models.DateTimeField(_("first reading"))
    last = models.DateTimeField(_("last reading"))
    notes = models.JSONField(default=list)

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return self.name


class Reading(Kept):
    """One measurement of the shop's air: when, °C, % relative humidity; `file` is None when it was typed."""

    at = models.DateTimeField(_("when"))
    celsius = models.FloatField(_("air temperature"))
    relative_humidity = models.FloatField(_("relative humidity"))
    file = models.ForeignKey(LoggerFile, on_delete=models.PROTECT, null=True, related_name="readings")
    hour = HourField(editable=False)

    class Meta:
        ordering = ["at"]
        constraints = [
            models.UniqueConstraint(fields=["shop", "at"], name="reading_once"),
            models.CheckConstraint(
                condition=models.Q(relative_humidity__gte=0, relative_humidity__lte=100), name="reading_humidity"
            ),
            models.CheckConstraint(condition=models.Q(celsius__gte=-40, celsius__lte=60), name="reading_celsius"),
        ]
        # All that the mean of an hour needs, so that fifty thousand readings are averaged without touching the table.
        indexes = [models.Index(fields=["shop", "hour", "celsius", "relative_humidity"], name="reading_by_hour")]

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%d %H:%M} {self.celsius:g} °C {self.relative_humidity:g} %"
