"""From the book to the planner's calendar: who works when, which places there are, and what there is only so much of."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from tallboy.book import queries, stretches
from tallboy.book.models import Means, Place, Shop
from tallboy.book.stretches import Timetable
from tallboy.drawers.soaks.models import Vessel
from tallboy.planner import network

CLAMPS, RACK = "clamps", "rack"


@dataclass(frozen=True)
class Calendar:
    """What the planner must know of a shop besides its work; each field goes into the `Problem` under its own name.

    `resources` holds only what the shop has said how much there is of: of anything else there is enough.
    """

    people: tuple[network.Person, ...]
    places: tuple[network.Place, ...]
    resources: tuple[network.Resource, ...]
    working: tuple[network.Span, ...]
    quiet: tuple[network.Span, ...]

    def counts(self, resource: str) -> bool:
        """Is there only so much of the resource with that key?"""
        return any(known.key == resource for known in self.resources)


def calendar_of(shop: Shop, now: datetime, days: int) -> Calendar:
    """The shop's calendar from `now` over `days` days."""
    table = stretches.timetable(shop, now, days)
    places = queries.places(shop)
    return Calendar(
        people=tuple(_people(shop, table)),
        places=tuple(_place(place, table) for place in places),
        resources=tuple(_resources(shop, places)),
        working=tuple(table.of_shop()),
        quiet=tuple(table.quiet()),
    )


def _people(shop: Shop, table: Timetable) -> list[network.Person]:
    """The named people who work, and the pairs of hands that nobody has named."""
    named = [
        network.Person(
            str(person.pk),
            person.name,
            None if table.is_as_the_shop(person) else tuple(table.of_person(person)),
            frozenset(person.skills),
        )
        for person in queries.people(shop)
        if person.works
    ]
    numbers = range(len(named) + 1, shop.hands + 1)
    return [*named, *(network.Person(f"hand {number}", _("hand %(n)s") % {"n": number}) for number in numbers)]


def _place(place: Place, table: Timetable) -> network.Place:
    hours = table.of_place(place)
    return network.Place(place.name, place.name, None if hours is None else tuple(hours), place.room, place.fresh_air)


def seats_of(place: Place) -> str:
    """The key of the seats at a place: each piece of work there takes one."""
    return f"seats:{place.name}"


def vessel_key(vessel: Vessel) -> str:
    """The key of a vessel, which holds one charge at a time."""
    return f"vessel:{vessel.name}"


def _resources(shop: Shop, places: Iterable[Place]) -> list[network.Resource]:
    seats = [
        network.Resource(seats_of(place), _("room at the place “%(place)s”") % {"place": place.name}, place.seats)
        for place in places
        if place.seats is not None
    ]
    vessels = [network.Resource(vessel_key(row), row.name, 1) for row in Vessel.objects.filter(shop=shop)]
    return [*seats, *_means(shop), *vessels]


def _means(shop: Shop) -> list[network.Resource]:
    """All clamps together, all racks together; nothing of a kind that nobody has counted."""
    names = {CLAMPS: _("clamps"), RACK: _("the rack for wet work")}
    kinds = {CLAMPS: Means.Kind.CLAMPS, RACK: Means.Kind.RACK}
    rows = queries.means(shop)
    amounts = {key: sum(row.amount for row in rows if row.kind == kind) for key, kind in kinds.items()}
    return [network.Resource(key, names[key], amount) for key, amount in amounts.items() if amount]
