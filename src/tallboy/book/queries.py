"""Questions about the shop itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.db.models import QuerySet
from django.utils.dates import WEEKDAYS
from django.utils.translation import gettext as _

from tallboy.book.holidays import holidays_of
from tallboy.book.models import DayOff, Journal, Means, Person, Photo, Place, Shop, WorkingHours
from tallboy.book.stretches import Span, timetable, worked_holidays
from tallboy.errors import NotFound

MOST_DAYS_OFF = 370
HOLIDAYS_AHEAD = 365


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


def working_stretches(shop: Shop, since: datetime, days: int) -> list[Span]:
    """The shop's stretches of work from `since` over `days` days, in order; no days off, no holidays that it keeps."""
    return timetable(shop, since, days).of_shop()


def person_stretches(person: Person, since: datetime, days: int) -> list[Span]:
    """When a person works: in their own hours or else the shop's, on no day off of theirs or of everybody."""
    return timetable(person.shop, since, days).of_person(person)


def place_stretches(place: Place, since: datetime, days: int) -> list[Span] | None:
    """When a place can be used; None where it has no hours of its own."""
    return timetable(place.shop, since, days).of_place(place)


def hours(shop: Shop, of: Person | Place | None = None) -> list[tuple[int, time, time]]:
    """The working hours of the shop, or a person's or a place's own: (weekday 0 = Monday, from, until) each, in order."""
    rows = WorkingHours.objects.filter(shop=shop, **whose(of))
    return list(rows.values_list("weekday", "opens", "closes"))


def whose(of: Person | Place | None) -> dict[str, Person | Place | None]:
    """The columns of a row of hours that say whose they are; both empty: the shop's."""
    return {
        "person": of if isinstance(of, Person) else None,
        "place": of if isinstance(of, Place) else None,
    }


@dataclass(frozen=True)
class WeekDay:
    """One day of the working week: its name and its stretches; none when nobody works."""

    name: str
    stretches: list[tuple[time, time]]


def week(shop: Shop, of: Person | Place | None = None) -> list[WeekDay]:
    """The seven days of the shop, or of a person's or a place's own hours; Monday first."""
    rows = hours(shop, of)
    return [
        WeekDay(str(WEEKDAYS[day]), [(opens, closes) for of, opens, closes in rows if of == day])
        for day in sorted(WEEKDAYS)
    ]


def days_off(shop: Shop, now: datetime, person: Person | None = None) -> Sequence[DayOff]:
    """Everybody's days off from today on, or a person's own; a year's worth at most."""
    rows = DayOff.objects.filter(shop=shop, person=person, day__gte=now.astimezone(shop.tz).date())
    return list(rows[:MOST_DAYS_OFF])


@dataclass(frozen=True)
class FreeDay:
    """A day in the list of days off: one somebody gave (`pk`), or a public holiday, perhaps `worked` on after all."""

    day: date
    reason: str
    pk: int | None = None
    holiday: bool = False
    worked: bool = False


def free_days(shop: Shop, now: datetime) -> list[FreeDay]:
    """The days off and the public holidays of the year to come, in order. A day off that is a holiday too is told once."""
    first = now.astimezone(shop.tz).date()
    given = {row.day: FreeDay(row.day, row.reason, row.pk) for row in days_off(shop, now)}
    last = max([first + timedelta(days=HOLIDAYS_AHEAD), *given])
    worked = worked_holidays(shop)
    public = {
        day: FreeDay(day, name, holiday=True, worked=day in worked)
        for day, name in holidays_of(shop, first, last).items()
    }
    return [day for _date, day in sorted({**public, **given}.items())]


def places(shop: Shop) -> Sequence[Place]:
    """Where work is done."""
    return list(Place.objects.filter(shop=shop).prefetch_related("hours"))


def place(shop: Shop, pk: int) -> Place:
    """One place of the shop, or NotFound."""
    found = Place.objects.filter(shop=shop, pk=pk).first()
    if found is None:
        raise NotFound(_("There is no such place in this shop."))
    return found


def rooms(shop: Shop) -> list[str]:
    """The rooms whose air the shop's places share, by name."""
    return sorted(set(Place.objects.filter(shop=shop).values_list("room", flat=True)))


def people(shop: Shop) -> Sequence[Person]:
    """Who belongs to the shop."""
    return list(Person.objects.filter(shop=shop).order_by("id").prefetch_related("hours"))


def person(shop: Shop, pk: int) -> Person:
    """One person of the shop, or NotFound."""
    found = Person.objects.filter(shop=shop, pk=pk).select_related("shop").first()
    if found is None:
        raise NotFound(_("There is no such person in this shop."))
    return found


def skills(shop: Shop) -> list[str]:
    """Every skill that somebody in the shop has, by name."""
    return sorted({skill for person in Person.objects.filter(shop=shop) for skill in person.skills})


def means(shop: Shop) -> Sequence[Means]:
    """What there is only so much of."""
    return list(Means.objects.filter(shop=shop))


def one_of_the_means(shop: Shop, pk: int) -> Means:
    """Some clamps or a rack of the shop, or NotFound."""
    found = Means.objects.filter(shop=shop, pk=pk).first()
    if found is None:
        raise NotFound(_("There is nothing like that in this shop."))
    return found


def journal_rows(shop: Shop) -> QuerySet[Journal]:
    """Every journal row of the shop, the newest first, for a page at a time."""
    return Journal.objects.filter(shop=shop).select_related("person")


def journal(shop: Shop, kind: str | None = None, pk: int | None = None, limit: int = 50) -> Sequence[Journal]:
    """The newest journal rows of the shop, or of one subject."""
    rows = journal_rows(shop)
    if kind is not None:
        rows = rows.filter(subject_kind=kind, subject_id=pk)
    return list(rows[:limit])
