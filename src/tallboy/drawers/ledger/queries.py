"""Questions about the hours that the clock has counted: by week, by person, by piece and by step."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

from django.db.models import (
    Count,
    DateTimeField,
    DurationField,
    Exists,
    ExpressionWrapper,
    F,
    OuterRef,
    QuerySet,
    Sum,
    Value,
)
from django.db.models.functions import Coalesce, TruncWeek
from django.utils.translation import gettext as _

from tallboy.book.models import Shop
from tallboy.drawers.ledger.hours import amount, hours_words
from tallboy.drawers.pieces.models import ClockEntry, Piece, Step
from tallboy.errors import NotFound

FORGOTTEN_AFTER = timedelta(hours=10)
"""A clock that has run for longer was most likely left running. Common practice, no source."""
MOST_FORGOTTEN = 20
WEEKS_SHOWN = 12


@dataclass(frozen=True)
class Hours:
    """Hours of one week, person or piece (`of`), and what they come to at the shop's rate."""

    of: Any
    time: timedelta
    money: Decimal

    @property
    def words(self) -> str:
        return hours_words(self.time)


def line(shop: Shop, now: datetime) -> str:
    """What is in the drawer, for its front: "12 h 30 this week"."""
    return _("%(time)s this week") % {"time": this_week(shop, now).words}


def monday(shop: Shop, now: datetime) -> datetime:
    """When this week began by the shop's own clock."""
    today = now.astimezone(shop.tz).date()
    return datetime.combine(today - timedelta(days=today.weekday()), time(), tzinfo=shop.tz)


def _entries(shop: Shop, now: datetime) -> QuerySet[ClockEntry]:
    return ClockEntry.objects.filter(shop=shop, began_at__lte=now)


def _spent(now: datetime, clock: str = "") -> Sum:
    """The time of a group of clock entries, summed by the database; a running clock counts up to now.

    `clock` is the way to the entries, such as "clock__" from a step.
    """
    ended = Coalesce(F(f"{clock}ended_at"), Value(now, output_field=DateTimeField()))
    return Sum(ExpressionWrapper(ended - F(f"{clock}began_at"), output_field=DurationField()))


def _hours(of: Any, spent: timedelta | None, shop: Shop) -> Hours:
    spent = spent or timedelta()
    return Hours(of, spent, amount(spent, shop.rate, shop.currency))


def this_week(shop: Shop, now: datetime) -> Hours:
    """Hours of the clock entries that began since Monday."""
    rows = _entries(shop, now).filter(began_at__gte=monday(shop, now))
    return _hours(None, rows.aggregate(spent=_spent(now))["spent"], shop)


@dataclass(frozen=True)
class Lately:
    """The last WEEKS_SHOWN weeks.

    By the week in which the work began, newest first (`of` is its Monday, weeks without work are left out); by person,
    most first (`of` is the name); and all of it.
    """

    weeks: list[Hours]
    people: list[Hours]
    total: Hours


def lately(shop: Shop, now: datetime) -> Lately:
    """Hours of the last weeks by week and by person. One query, however old the book is."""
    this_monday = monday(shop, now)
    first = datetime.combine(this_monday.date() - timedelta(weeks=WEEKS_SHOWN - 1), time(), tzinfo=shop.tz)
    grouped = (
        _entries(shop, now)
        .filter(began_at__gte=first)
        .annotate(week=TruncWeek("began_at", tzinfo=shop.tz))
        .order_by()
        .values("week", "person__name")
        .annotate(spent=_spent(now))
    )
    weeks: defaultdict[date, timedelta] = defaultdict(timedelta)
    people: defaultdict[str, timedelta] = defaultdict(timedelta)
    for week, name, spent in grouped.values_list("week", "person__name", "spent"):
        weeks[week.date()] += spent
        people[name] += spent
    return Lately(
        [_hours(week, weeks[week], shop) for week in sorted(weeks, reverse=True)],
        [_hours(name, people[name], shop) for name in sorted(people, key=lambda name: -people[name])],
        _hours(None, sum(people.values(), timedelta()), shop),
    )


def pieces_worked_on(shop: Shop) -> QuerySet[Piece]:
    """Pieces with hours on them, the newest first; a page of them goes to `by_piece`."""
    clock = ClockEntry.objects.filter(step__piece=OuterRef("pk"))
    return Piece.objects.filter(Exists(clock), shop=shop).order_by("-id")


def by_piece(shop: Shop, pieces: Sequence[Piece], now: datetime) -> list[Hours]:
    """Hours of these pieces, in their order; `of` is the piece."""
    rows = _entries(shop, now).filter(step__piece__in=[piece.pk for piece in pieces]).values("step__piece").order_by()
    spent = dict(rows.annotate(spent=_spent(now)).values_list("step__piece", "spent"))
    return [_hours(piece, spent.get(piece.pk), shop) for piece in pieces]


@dataclass(frozen=True)
class StepHours:
    """One step: what was estimated, what the clock says, and by how much they differ [min]."""

    step: Step
    estimate: int
    spent: timedelta
    entries: int
    running: bool

    @property
    def real(self) -> str:
        return hours_words(self.spent) if self.entries else ""

    @property
    def asked(self) -> str:
        """As the price of a job asks for it: what it took, or what it is estimated at, give or take; "" when it is skipped."""
        if self.step.state == Step.State.SKIPPED:
            return ""
        if self.step.state == Step.State.DONE:
            return f"{round(self.spent.total_seconds() / 60)} min = 0 min"
        return f"{self.estimate} min = {self.step.spread_minutes} min"

    @property
    def estimate_words(self) -> str:
        return hours_words(timedelta(minutes=self.estimate))

    @property
    def compared(self) -> str:
        """In words, once the step is done: what the estimate was off by."""
        if self.step.state != Step.State.DONE or not self.entries:
            return ""
        off = round(self.spent.total_seconds() / 60) - self.estimate
        if not off:
            return _("as estimated")
        words = hours_words(timedelta(minutes=abs(off)))
        return _("%(time)s longer") % {"time": words} if off > 0 else _("%(time)s shorter") % {"time": words}


def by_step(piece: Piece, now: datetime) -> list[StepHours]:
    """Each step of a piece with its estimate beside the real hours. One query."""
    rows = piece.steps.order_by("order").annotate(
        spent=_spent(now, "clock__"), entries=Count("clock"), ended=Count("clock__ended_at")
    )
    return [StepHours(row, row.minutes, row.spent or timedelta(), row.entries, row.entries > row.ended) for row in rows]


def piece_entries(of: Piece) -> QuerySet[ClockEntry]:
    """The clock entries of a piece, the newest first."""
    return with_names(ClockEntry.objects.filter(shop=of.shop, step__piece=of))


def with_names(rows: QuerySet[ClockEntry]) -> QuerySet[ClockEntry]:
    """Clock entries with the piece, step and person they name, the newest first."""
    return rows.select_related("step__piece", "person").order_by("-began_at", "-id")


def entry(shop: Shop, pk: int) -> ClockEntry:
    """One clock entry of the shop, or NotFound."""
    found = with_names(ClockEntry.objects.filter(shop=shop, pk=pk)).first()
    if found is None:
        raise NotFound(_("There is no such clock entry in this book."))
    return found


def forgotten(shop: Shop, now: datetime) -> list[ClockEntry]:
    """Clocks that have run for more than FORGOTTEN_AFTER and were most likely left running."""
    rows = ClockEntry.objects.filter(shop=shop, ended_at__isnull=True, began_at__lt=now - FORGOTTEN_AFTER)
    return list(with_names(rows)[:MOST_FORGOTTEN])


def all_entries(shop: Shop) -> QuerySet[ClockEntry]:
    """Every clock entry of the shop, the oldest first, for the table that can be downloaded."""
    return with_names(ClockEntry.objects.filter(shop=shop)).order_by("began_at", "id")
