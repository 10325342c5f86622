"""What every drawer stands on: the shop, its people, places, hours and means, photographs, and the journal."""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

MOST_HANDS = 20
INSIDE, OUTSIDE = "shop", "outdoors"


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
    country = models.CharField(_("country (ISO 3166-1)"), max_length=2, blank=True, default="")
    subdivision = models.CharField(_("part of the country"), max_length=40, blank=True, default="")
    keeps_holidays = models.BooleanField(_("nobody works on public holidays"), default=False)
    noise_from = models.TimeField(_("noisy work from"), null=True, blank=True)
    noise_until = models.TimeField(_("noisy work until"), null=True, blank=True)
    leave_early = models.BooleanField(_("leave early where nothing is lost by it"), default=False)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(noise_from__isnull=True, noise_until__isnull=True)
                | models.Q(noise_from__isnull=False, noise_until__isnull=False, noise_until__gt=models.F("noise_from")),
                name="noise_ends_after_start",
            ),
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
    """Someone who works in the shop. Signs in by `user` where sign-in is switched on.

    `works`: at the bench, so that the plan counts on this pair of hands. `skills`: what not everybody can do, in plain words.
    """

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, related_name="people")
    user = models.OneToOneField("auth.User", on_delete=models.PROTECT, null=True, blank=True, related_name="person")
    name = models.CharField(_("name"), max_length=120)
    works = models.BooleanField(_("works at the bench"), default=True)
    skills = models.JSONField(_("skills"), default=list, blank=True)

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
    """Where work is done. Dust and wet coats in the same place do not go together.

    Places of one `room` share its air; `fresh_air`: vapour is led away from this one. `seats`: how many pieces of work fit there
    at once; none: nobody counts.
    """

    class Kind(models.TextChoices):
        BENCH = "bench", _("bench")
        SPRAY = "spray spot", _("spray spot")
        SOAK = "soak station", _("soak station")
        OUTDOORS = "outdoors", _("outdoors")

    name = models.CharField(_("name"), max_length=80)
    kind = models.CharField(_("kind"), max_length=20, choices=Kind, default=Kind.BENCH)
    room = models.CharField(_("room"), max_length=80, default=INSIDE)
    fresh_air = models.BooleanField(_("fresh air"), default=False)
    seats = models.PositiveSmallIntegerField(
        _("pieces of work at once"), null=True, blank=True, validators=[MinValueValidator(1)]
    )

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["shop", "name"], name="place_name_once"),
            models.CheckConstraint(condition=models.Q(seats__isnull=True) | models.Q(seats__gte=1), name="place_seats"),
        ]

    def __str__(self) -> str:
        return self.name


class WorkingHours(Kept):
    """One stretch of work on one day of the week (0 = Monday). A lunch break is a gap between two stretches.

    Of one person, of one place, or, with neither, of the shop. A person or a place without any has the shop's.
    """

    weekday = models.PositiveSmallIntegerField(_("day"), validators=[MaxValueValidator(6)])
    opens = models.TimeField(_("from"))
    closes = models.TimeField(_("until"))
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="hours", null=True, blank=True)
    place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="hours", null=True, blank=True)

    class Meta:
        ordering = ["weekday", "opens"]
        constraints = [
            models.CheckConstraint(condition=models.Q(closes__gt=models.F("opens")), name="hours_end_after_start"),
            models.CheckConstraint(condition=models.Q(weekday__lte=6), name="hours_weekday"),
            models.CheckConstraint(
                condition=models.Q(person__isnull=True) | models.Q(place__isnull=True), name="hours_of_one"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.weekday} {self.opens:%H:%M}–{self.closes:%H:%M}"


class DayOff(Kept):
    """A date on which a person does not work; without a person, nobody does."""

    day = models.DateField(_("day"))
    reason = models.CharField(_("reason"), max_length=120, blank=True)
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="days_off", null=True, blank=True)

    class Meta:
        ordering = ["day", "id"]
        constraints = [
            # Two rules, for to a database no two empty persons are the same.
            models.UniqueConstraint(
                fields=["shop", "day"], condition=models.Q(person__isnull=True), name="day_off_once"
            ),
            models.UniqueConstraint(fields=["person", "day"], name="day_off_once_each"),
        ]

    def __str__(self) -> str:
        return f"{self.day} {self.reason}".strip()


class WorkedHoliday(Kept):
    """A public holiday on which the shop works after all."""

    day = models.DateField(_("day"))

    class Meta:
        ordering = ["day"]
        constraints = [models.UniqueConstraint(fields=["shop", "day"], name="worked_holiday_once")]

    def __str__(self) -> str:
        return f"{self.day}"


class Means(Kept):
    """What there is only so much of: clamps, counted; a rack for wet work, by its surface [dm²]."""

    class Kind(models.TextChoices):
        CLAMPS = "clamps", _("clamps")
        RACK = "rack", _("rack for wet work")

    name = models.CharField(_("name"), max_length=80)
    kind = models.CharField(_("kind"), max_length=10, choices=Kind, default=Kind.CLAMPS)
    amount = models.PositiveIntegerField(_("how much"), validators=[MinValueValidator(1)])

    class Meta:
        ordering = ["kind", "id"]
        constraints = [
            models.UniqueConstraint(fields=["shop", "name"], name="means_name_once"),
            models.CheckConstraint(condition=models.Q(amount__gte=1), name="means_amount"),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def surface(self) -> float:
        """The surface of a rack [m²]."""
        return self.amount / 100


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
