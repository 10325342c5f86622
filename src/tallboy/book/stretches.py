"""When there is work: the hours of the shop, of a person, of a place, and the hours without noise, as spans of time.

Hours are said by the clock on the wall and keep to it when it changes: work that begins at eight begins at eight all year.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from tallboy.book.holidays import holidays_of
from tallboy.book.models import DayOff, Person, Place, Shop, WorkedHoliday, WorkingHours

Span = tuple[datetime, datetime]
MINUTE = timedelta(minutes=1)
A_DAY = timedelta(days=1)


def moment(day: date, clock: time, zone: ZoneInfo) -> datetime:
    """That time of that day on the wall. A time that the clocks skip in spring is the moment at which they skip it;
    one that they show twice in autumn is the first of the two."""
    shown = datetime.combine(day, clock, tzinfo=zone).replace(fold=0)
    at = shown.astimezone(UTC)
    if at.astimezone(zone).replace(tzinfo=None) == shown.replace(tzinfo=None):
        return shown
    after = at.astimezone(zone).utcoffset()
    at = at.replace(second=0, microsecond=0)
    while (at - MINUTE).astimezone(zone).utcoffset() == after:
        at -= MINUTE
    return at.astimezone(zone)


@dataclass(frozen=True)
class Timetable:
    """A shop's hours and days off from `since` over `days` days, read once; asked of the shop, a person or a place."""

    shop: Shop
    since: datetime
    days: int
    hours: tuple[WorkingHours, ...]
    closed: frozenset[date]
    away: dict[int, frozenset[date]]

    def of_shop(self) -> list[Span]:
        """The shop's stretches of work, days off left out, in order."""
        return self._spans([row for row in self.hours if row.person_id is None and row.place_id is None], self.closed)

    def of_person(self, person: Person) -> list[Span]:
        """A person's: their own hours or else the shop's, on no day off of theirs or of everybody."""
        own = [row for row in self.hours if row.person_id == person.pk]
        shops = [row for row in self.hours if row.person_id is None and row.place_id is None]
        return self._spans(own or shops, self.closed | self.away.get(person.pk, frozenset()))

    def is_as_the_shop(self, person: Person) -> bool:
        """Has the person no hours and no days off of their own in this time?"""
        return person.pk not in self.away and all(row.person_id != person.pk for row in self.hours)

    def of_place(self, place: Place) -> list[Span] | None:
        """When a place can be used; None where it has no hours of its own: whenever somebody works."""
        own = [row for row in self.hours if row.place_id == place.pk]
        return self._spans(own, self.closed) if own else None

    def quiet(self) -> list[Span]:
        """The spans without noise: from the evening's end of noisy work to the next morning's beginning."""
        begins, ends = self.shop.noise_from, self.shop.noise_until
        if begins is None or ends is None:
            return []
        zone, dates = self.shop.tz, self._dates()
        mornings = [*dates, dates[-1] + A_DAY]
        return self._from_since((moment(day - A_DAY, ends, zone), moment(day, begins, zone)) for day in mornings)

    def _dates(self) -> list[date]:
        first = self.since.astimezone(self.shop.tz).date()
        return [first + timedelta(days=offset) for offset in range(self.days + 1)]

    def _spans(self, hours: Iterable[WorkingHours], closed: frozenset[date]) -> list[Span]:
        by_weekday: list[list[WorkingHours]] = [[] for _weekday in range(7)]
        for row in hours:
            by_weekday[row.weekday].append(row)
        zone = self.shop.tz
        return self._from_since(
            (moment(day, row.opens, zone), moment(day, row.closes, zone))
            for day in self._dates()
            if day not in closed
            for row in by_weekday[day.weekday()]
        )

    def _from_since(self, spans: Iterable[Span]) -> list[Span]:
        """What of the spans is not over yet. Compared in UTC: the clock on the wall shows an hour of autumn twice."""
        since, zone = self.since.astimezone(UTC), self.shop.tz
        ahead = ((max(start.astimezone(UTC), since), end.astimezone(UTC)) for start, end in spans)
        return [(start.astimezone(zone), end.astimezone(zone)) for start, end in ahead if start < end]


def timetable(shop: Shop, since: datetime, days: int) -> Timetable:
    """The shop's hours from `since` over `days` days."""
    first = since.astimezone(shop.tz).date()
    last = first + timedelta(days=days)
    off = list(DayOff.objects.filter(shop=shop, day__gte=first, day__lte=last).values_list("person_id", "day"))
    away: dict[int, set[date]] = {}
    for person, day in off:
        if person is not None:
            away.setdefault(person, set()).add(day)
    return Timetable(
        shop,
        since,
        days,
        tuple(WorkingHours.objects.filter(shop=shop)),
        frozenset(day for person, day in off if person is None) | kept_holidays(shop, first, last).keys(),
        {person: frozenset(dates) for person, dates in away.items()},
    )


def kept_holidays(shop: Shop, first: date, last: date) -> dict[date, str]:
    """The holidays of the shop from the first date to the last on which it does not work after all."""
    worked = worked_holidays(shop)
    return {day: name for day, name in holidays_of(shop, first, last).items() if day not in worked}


def worked_holidays(shop: Shop) -> frozenset[date]:
    """The holidays on which the shop works after all."""
    return frozenset(WorkedHoliday.objects.filter(shop=shop).values_list("day", flat=True))


def total(spans: Sequence[Span]) -> timedelta:
    """How long they are together, as time passes and not as the clock on the wall shows it."""
    return sum((end.astimezone(UTC) - start.astimezone(UTC) for start, end in spans), timedelta())
