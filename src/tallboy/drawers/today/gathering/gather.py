"""From the book to the planner's problem: open steps with all they need, their waits in the shop's air, people, places, promises."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta

from django.db.models import Sum

from tallboy.book.models import Place, Shop
from tallboy.book.queries import place_of_kind
from tallboy.drawers.pieces.deliveries import not_arrived
from tallboy.drawers.pieces.lead import untested
from tallboy.drawers.pieces.models import ClockEntry, Delivery, Piece, Step, Wait
from tallboy.drawers.shelf.models import Product
from tallboy.drawers.today import queries
from tallboy.drawers.today.gathering import scuffs
from tallboy.drawers.today.gathering.asks import DUST_STAGE, Asks, Known
from tallboy.drawers.today.gathering.calendar import Calendar, calendar_of
from tallboy.drawers.today.gathering.deliveries import awaits
from tallboy.drawers.today.gathering.edges import Edge, bridged, rubbed, still_asked, with_scuffs
from tallboy.drawers.today.gathering.fit import Fit
from tallboy.drawers.today.gathering.horizon import LEAST_DAYS, days_for
from tallboy.drawers.today.gathering.links import Links
from tallboy.drawers.today.gathering.waits import UNTIL_IT_WARMS, Waits
from tallboy.planner import network
from tallboy.sums.air import AirSeries

__all__ = ["Edge", "Gathered", "bridged", "gather"]

AirChange = Callable[[AirSeries], AirSeries]
Extra = tuple[Sequence[Step], Sequence[Wait]]


@dataclass(frozen=True)
class Gathered:
    """The planner's problem, and plain sentences about what had to be bent: coats that will not dry, steps too long for a day."""

    problem: network.Problem
    troubles: tuple[str, ...]


@dataclass(frozen=True)
class _Book:
    """What is read of a shop: its steps (scuffs to come apart), the edges between them, and what is known besides."""

    shop: Shop
    now: datetime
    steps: tuple[Step, ...]
    edges: tuple[Edge, ...]
    scuffs: Mapping[int, Step]
    known: Known
    bench: Place | None
    previous: Mapping[str, datetime]


def gather(
    shop: Shop,
    now: datetime,
    *,
    air_change: AirChange | None = None,
    cans: Mapping[int, Product] | None = None,
    extra: Extra = ((), ()),
) -> Gathered:
    """Everything the planner needs to know of the shop at `now`.

    For questions of the kind "what if": `air_change` puts another air in place of the shop's, `cans` other cans in place of those with
    these numbers for what is still to do, `extra` holds unsaved steps and waits, with negative numbers, to be planned beside the shop's.
    """
    expected = not_arrived(shop)
    book = _read(shop, now, cans or {}, extra, expected)
    waits = Waits(shop, now, _counted(book), air_change)
    calendar = calendar_of(shop, now, LEAST_DAYS)
    problem, asks = _problem(book, waits, calendar, LEAST_DAYS)
    days = days_for(problem)
    if days > LEAST_DAYS:
        waits.days = days
        problem, asks = _problem(book, waits, calendar_of(shop, now, days), days)
    return Gathered(problem, (*sorted(waits.troubles), *asks.troubles))


def _read(shop: Shop, now: datetime, cans: Mapping[int, Product], extra: Extra, expected: Iterable[Delivery]) -> _Book:
    every = [*_steps(shop, cans), *extra[0]]
    by_wait = scuffs.by_wait(every)
    ahead = [step for step in every if not _is_scuff_to_come(step)]
    asked = Wait.objects.filter(shop=shop, first__piece__handed_over_at__isnull=True)
    steps = {step.pk: step for step in ahead}
    edges = rubbed(steps, with_scuffs(bridged(ahead, [*asked, *extra[1]]), by_wait))
    known = Known(
        awaits=awaits(every, expected, now, shop),
        blocked=untested(ahead, [(edge.first, edge.then) for edge in edges]),
        at_it=_at_it(shop),
        only=_only(shop),
        areas=_areas(shop),
    )
    return _Book(
        shop, now, tuple(ahead), tuple(still_asked(steps, edges)), by_wait, known,
        place_of_kind(shop, Place.Kind.BENCH), queries.planned_starts(shop),
    )  # fmt: skip


def _steps(shop: Shop, cans: Mapping[int, Product]) -> list[Step]:
    rows = Step.objects.filter(shop=shop, piece__handed_over_at__isnull=True).defer("needs", "note")
    # One object a piece, a place and a can, not one a step: there are many steps.
    steps = list(rows.prefetch_related("piece", "place", "product"))
    for step in steps:
        step.shop = step.piece.shop = shop
        can = cans.get(step.product_id or 0)
        if can is not None and step.state == Step.State.TO_DO:
            step.product, step.coating = can, can.coating or step.coating
    return steps


def _is_scuff_to_come(step: Step) -> bool:
    """The planner puts it in where it is needed, and only there."""
    return step.window_of_id is not None and step.state == Step.State.TO_DO


def _at_it(shop: Shop) -> dict[int, tuple[str, ...]]:
    """Who is at each step that has begun: those whose clock runs on it."""
    rows = ClockEntry.objects.filter(shop=shop, ended_at__isnull=True).order_by("person_id")
    found: dict[int, tuple[str, ...]] = {}
    for step, person in rows.values_list("step_id", "person_id"):
        found[step] = (*found.get(step, ()), str(person))
    return found


def _only(shop: Shop) -> dict[int, tuple[str, ...]]:
    """Those who alone may do a step, by the step."""
    found: dict[int, tuple[str, ...]] = {}
    rows = Step.people.through.objects.filter(step__shop=shop, step__state=Step.State.TO_DO).order_by("person_id")
    for step, person in rows.values_list("step_id", "person_id"):
        found[step] = (*found.get(step, ()), str(person))
    return found


def _areas(shop: Shop) -> dict[int, float]:
    """How large each coat is [m²], by its step."""
    rows = Step.objects.filter(shop=shop, does="coat", piece__handed_over_at__isnull=True)
    return dict(rows.annotate(area=Sum("surfaces__area_m2", default=0.0)).values_list("pk", "area"))


def _counted(book: _Book) -> list[Step]:
    """What is still to do, what something waits for, and coats that may be wet still."""
    awaited = {edge.first for edge in book.edges}
    return [step for step in book.steps if step.open or step.pk in awaited or _may_be_wet(step, book.now)]


def _problem(book: _Book, waits: Waits, calendar: Calendar, days: int) -> tuple[network.Problem, Asks]:
    awaited = {edge.first for edge in book.edges}
    kept = [step for step in _counted(book) if step.open or step.pk in awaited or _is_wet(step, waits, book.now)]
    fit = Fit(book.shop, waits.air, book.now, days)
    links = Links(waits, {step.pk: step for step in kept})
    bare = [links.link(edge) for edge in book.edges]
    asks = Asks(calendar, waits, fit, _with_behind(book.known, bare, calendar))
    problem = network.Problem(
        # In the shop's zone, for the reasons speak in it.
        now=_latest(book.now, kept).astimezone(book.shop.tz),
        steps=tuple(asks.step(step) for step in kept),
        links=tuple(_scuffed(links, link, edge, asks, book) for link, edge in zip(bare, book.edges, strict=True)),
        promises=tuple(_promise(piece) for piece in _promised(kept)),
        working=calendar.working,
        hands=max(1, len(calendar.people)),
        previous=book.previous,
        people=calendar.people,
        places=calendar.places,
        resources=calendar.resources,
        quiet=calendar.quiet,
        leave_early=book.shop.leave_early,
    )
    return problem, asks


def _scuffed(links: Links, link: network.Link, edge: Edge, asks: Asks, book: _Book) -> network.Link:
    """The link with the sanding that makes its window good when it is missed: the book's own step, or one to be made."""
    if not links.may_be_sanded(edge, link):
        return link
    own, coat = book.scuffs.get(edge.wait), links.steps[edge.first]
    if own is not None:
        return replace(link, scuff=scuffs.not_sooner(asks.step(own), coat, link.most))
    drafted = asks.step(scuffs.draft(coat, book.known.areas.get(coat.pk, 0.0), book.bench))
    named = replace(drafted, key=f"{scuffs.NEW}{edge.wait}")
    return replace(link, scuff=scuffs.not_sooner(named, coat, link.most))


def _with_behind(known: Known, links: Iterable[network.Link], calendar: Calendar) -> Known:
    """What is known, with the links behind each step; who works at a step only as far as the planner knows them."""
    behind: dict[str, tuple[network.Link, ...]] = {}
    for link in links:
        behind[link.first] = (*behind.get(link.first, ()), link)
    here = {person.key for person in calendar.people}
    at_it = {pk: tuple(key for key in keys if key in here) for pk, keys in known.at_it.items()}
    return replace(known, at_it=at_it, behind=behind)


def _latest(now: datetime, steps: Iterable[Step]) -> datetime:
    """Now, or what somebody else has done in this very moment: it is past as well."""
    return max([now, *(at for step in steps for at in (step.began_at, step.ended_at) if at is not None)])


def _may_be_wet(step: Step, now: datetime) -> bool:
    """A coat laid lately. Nothing may wait for it any more, and still no dust may fall on it."""
    if step.state != Step.State.DONE or step.does != "coat" or step.ended_at is None:
        return False
    return now - step.ended_at < timedelta(minutes=UNTIL_IT_WARMS)


def _is_wet(step: Step, waits: Waits, now: datetime) -> bool:
    dry = waits.dry_at(step, DUST_STAGE) if _may_be_wet(step, now) else None
    return dry is not None and dry > now


def _promised(steps: Iterable[Step]) -> list[Piece]:
    pieces = {step.piece_id: step.piece for step in steps if step.open and step.piece.promise is not None}
    return list(pieces.values())


def _promise(piece: Piece) -> network.Promise:
    """A promise is kept when the last step ends on the promised day, by the shop's clock."""
    assert piece.promise is not None
    return network.Promise(str(piece.pk), datetime.combine(piece.promise, time(23, 59), tzinfo=piece.shop.tz))
