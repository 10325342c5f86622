"""Questions about the shop itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.db.models import QuerySet
from django.utils.dates import WEEKDAYS
from django.utils.translation import gettext as _

from tallboy.book.models import DayOff, Journal, Person, Photo, Place, Shop, WorkingHours
from tallboy.errors import NotFound

MOST_DAYS_OFF = 370


def person_for(shop_id: int | None) -> Person | None:
    """Who acts in the shop with this id, or in the book's first own shop; None while the book is empty.

    Until sign-in is switched on, a page served to this machine acts as the shop's first person.
    """
    people = Person.objects.select_related("shop").order_by("shop__is_demo", "shop_id", "id")
    chosen = people.filter(shop_id=shop_id).first() if shop_id is not None else None
    return chosen or people.first()


def own_shop() -> Shop | None:
    """The book's first shop that is not the demo."""
    return Shop.objects.filter(is_demo=False).order_by("id").first()


def demo_shop() -> Shop | None:
    """The demo shop, where the book has one."""
    return Shop.objects.filter(is_demo=True).order_by("id").first()


def place_of_kind(shop: Shop, kind: str) -> Place | None:
    """The shop's first place of a kind; its first place of all where it has none of that kind."""
    places = list(Place.objects.filter(shop=shop))
    return next((place for place in places if place.kind == kind), places[0] if places else None)


def photo(shop: Shop, digest: str) -> Photo:
    """The photograph of that content, or NotFound."""
    found = Photo.objects.filter(shop=shop, digest=digest).first()
    if found is None:
        raise NotFound(_("There is no such photograph in this book."))
    return found


def working_stretches(shop: Shop, since: datetime, days: int) -> list[tuple[datetime, datetime]]:
    """The shop's stretches of work from `since` over `days` days, days off left out, as aware datetimes in order."""
    hours = list(WorkingHours.objects.filter(shop=shop))
    first = since.astimezone(shop.tz).date()
    off = set(DayOff.objects.filter(shop=shop, day__gte=first).values_list("day", flat=True))
    stretches: list[tuple[datetime, datetime]] = []
    for offset in range(days + 1):
        day = first + timedelta(days=offset)
        if day not in off:
            stretches += _stretches_of(shop, day, hours)
    return [(max(opens, since), closes) for opens, closes in stretches if closes > since]


def _stretches_of(shop: Shop, day: date, hours: Sequence[WorkingHours]) -> list[tuple[datetime, datetime]]:
    def at(moment: time) -> datetime:
        return datetime.combine(day, moment, tzinfo=shop.tz)

    return [(at(row.opens), at(row.closes)) for row in hours if row.weekday == day.weekday()]


def hours(shop: Shop) -> list[tuple[int, time, time]]:
    """The working hours: (weekday 0 = Monday, from, until) each, in order."""
    return list(WorkingHours.objects.filter(shop=shop).values_list("weekday", "opens", "closes"))


@dataclass(frozen=True)
class WeekDay:
    """One day of the working week: its name and its stretches; none when nobody works."""

    name: str
    stretches: list[tuple[time, time]]


def week(shop: Shop) -> list[WeekDay]:
    """The seven days, Monday first."""
    rows = hours(shop)
    return [
        WeekDay(str(WEEKDAYS[day]), [(opens, closes) for of, opens, closes in rows if of == day])
        for day in sorted(WEEKDAYS)
    ]


def days_off(shop: Shop, now: datetime) -> Sequence[DayOff]:
    """Days off from today on; a year's worth at most."""
    return list(DayOff.objects.filter(shop=shop, day__gte=now.astimezone(shop.tz).date())[:MOST_DAYS_OFF])


def places(shop: Shop) -> Sequence[Place]:
    """Where work is done."""
    return list(Place.objects.filter(shop=shop))


def people(shop: Shop) -> Sequence[Person]:
    """Who works in the shop."""
    return list(Person.objects.filter(shop=shop).order_by("id"))


def journal_rows(shop: Shop) -> QuerySet[Journal]:
    """Every journal row of the shop, the newest first, for a page at a time."""
    return Journal.objects.filter(shop=shop).select_related("person")


def journal(shop: Shop, kind: str | None = None, pk: int | None = None, limit: int = 50) -> Sequence[Journal]:
    """The newest journal rows of the shop, or of one subject."""
    rows = journal_rows(shop)
    if kind is not None:
        rows = rows.filter(subject_kind=kind, subject_id=pk)
    return list(rows[:limit])
