"""What every drawer stands on: the shop, its people, places and hours, photographs, and the journal."""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

MOST_HANDS = 20


class Shop(models.Model):
    """One workshop's book. Every row below it carries its shop, so that one database can hold several."""

    class Units(models.TextChoices):
        METRIC = "metric", _("millimetres, °C")
        IMPERIAL = "imperial", _("inches, °F")

    class Paper(models.TextChoices):
        A4 = "a4", _("A4")
        LETTER = "us-letter", _("Letter")

    name = models.CharField(_("name"), max_length=120)
    units = models.CharField(_("units"), max_length=10, choices=Units, default=Units.METRIC)
    currency = models.CharField(_("currency (ISO 4217)"), max_length=3, default="EUR")
    hands = models.PositiveSmallIntegerField(
        _("hands"), default=1, validators=[MinValueValidator(1), MaxValueValidator(MOST_HANDS)]
    )
    rate = models.DecimalField(_("rate an hour"), max_digits=10, decimal_places=2, default=0)
    timezone = models.CharField(_("time zone"), max_length=64, default="UTC")
    paper = models.CharField(_("paper"), max_length=10, choices=Paper, default=Paper.A4)
    is_demo = models.BooleanField(default=False)
    parts_numbered = models.PositiveIntegerField(default=0)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=models.Q(hands__gte=1), name="shop_has_hands"),
            # A form sent twice at the same moment must not open the book twice, nor make the demo shop twice.
            models.UniqueConstraint(fields=["name", "is_demo"], name="shop_name_once"),
            models.UniqueConstraint(fields=["is_demo"], condition=models.Q(is_demo=True), name="one_demo_shop"),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def tz(self) -> ZoneInfo:
        """The shop's own clock."""
        return ZoneInfo(self.timezone)

    @property
    def imperial(self) -> bool:
        return self.units == self.Units.IMPERIAL


class Person(models.Model):
    """Someone who works in the shop. Signs in by `user` where sign-in is switched on."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, related_name="people")
    user = models.OneToOneField("auth.User", on_delete=models.PROTECT, null=True, blank=True, related_name="person")
    name = models.CharField(_("name"), max_length=120)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["shop", "name"], name="person_name_once")]

    def __str__(self) -> str:
        return self.name


class Kept(models.Model):
    """Base of every row in a book: the shop it belongs to and the person who answers for it."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, related_name="+")
    owner = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")

    class Meta:
        abstract = True


class Place(Kept):
    """Where work is done. Dust and wet coats in the same place do not go together."""

    class Kind(models.TextChoices):
        BENCH = "bench", _("bench")
        SPRAY = "spray spot", _("spray spot")
        SOAK = "soak station", _("soak station")
        OUTDOORS = "outdoors", _("outdoors")

    name = models.CharField(_("name"), max_length=80)
    kind = models.CharField(_("kind"), max_length=20, choices=Kind, default=Kind.BENCH)

    class Meta:
        ordering = ["id"]
        constraints = [models.UniqueConstraint(fields=["shop", "name"], name="place_name_once")]

    def __str__(self) -> str:
        return self.name


class WorkingHours(Kept):
    """One stretch of work on one day of the week (0 = Monday). A lunch break is a gap between two stretches."""

    weekday = models.PositiveSmallIntegerField(_("day"), validators=[MaxValueValidator(6)])
    opens = models.TimeField(_("from"))
    closes = models.TimeField(_("until"))

    class Meta:
        ordering = ["weekday", "opens"]
        constraints = [
            models.CheckConstraint(condition=models.Q(closes__gt=models.F("opens")), name="hours_end_after_start"),
            models.CheckConstraint(condition=models.Q(weekday__lte=6), name="hours_weekday"),
        ]

    def __str__(self) -> str:
        return f"{self.weekday} {self.opens:%H:%M}–{self.closes:%H:%M}"


class DayOff(Kept):
    """A date on which nobody works."""

    day = models.DateField(_("day"))
    reason = models.CharField(_("reason"), max_length=120, blank=True)

    class Meta:
        ordering = ["day"]
        constraints = [models.UniqueConstraint(fields=["shop", "day"], name="day_off_once")]

    def __str__(self) -> str:
        return f"{self.day} {self.reason}".strip()


class Photo(Kept):
    """A photograph, stored once by the SHA-256 of its re-encoded bytes."""

    digest = models.CharField(max_length=64)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    size = models.PositiveIntegerField()
    added_at = models.DateTimeField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["shop", "digest"], name="photo_once")]

    def __str__(self) -> str:
        return self.digest[:12]


class JournalIsWritten(Exception):
    """Raised when code tries to change or delete a journal row: a program error."""


class Journal(models.Model):
    """Who did what and when. Rows are added and never edited; the database refuses changes too."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, related_name="journal")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    action = models.CharField(max_length=60)
    subject_kind = models.CharField(max_length=40)
    subject_id = models.BigIntegerField(null=True)
    text = models.TextField()
    data = models.JSONField(default=dict)

    class Meta:
        ordering = ["-id"]
        indexes = [
            models.Index(fields=["shop", "-id"], name="journal_newest"),
            models.Index(fields=["subject_kind", "subject_id"], name="journal_subject"),
        ]

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%d %H:%M} {self.text}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise JournalIsWritten("a journal row is never edited")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        raise JournalIsWritten("a journal row is never deleted")
