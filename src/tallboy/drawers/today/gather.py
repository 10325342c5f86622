"""From the book to the planner's problem: open steps, their waits in the shop's air, hours, hands, promises."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, time, timedelta

from django.utils.translation import gettext as _

from tallboy.book.models import Shop
from tallboy.book.queries import working_stretches
from tallboy.drawers.pieces.models import Piece, Step, Wait
from tallboy.drawers.today import queries
from tallboy.drawers.today.waits import UNTIL_IT_WARMS, Waits
from tallboy.planner import network
from tallboy.sums.units import format_minutes

HORIZON_DAYS = 120
DUST_STAGE = "touch"
MINUTE = timedelta(minutes=1)


@dataclass(frozen=True)
class Edge:
    """One wait between two steps, by primary key, after skipped steps have been bridged over."""

    first: int
    then: int
    kind: str
    least: int
    most: int | None
    from_label: str
    text: str


@dataclass(frozen=True)
class Gathered:
    """The planner's problem, and plain sentences about what had to be bent: coats that will not dry, steps too long for a day."""

    problem: network.Problem
    troubles: tuple[str, ...]


def gather(shop: Shop, now: datetime) -> Gathered:
    """Everything the planner needs to know of the shop at `now`."""
    steps = list(_steps(shop))
    by_pk = {step.pk: step for step in steps}
    asked = Wait.objects.filter(shop=shop, first__piece__handed_over_at__isnull=True)
    edges = _still_asked(by_pk, bridged(steps, asked))
    awaited = {edge.first for edge in edges}
    counted = [step for step in steps if step.open or step.pk in awaited or _may_be_wet(step, now)]
    waits = Waits(shop, now, counted)
    working = working_stretches(shop, now, HORIZON_DAYS)
    longest = max((round((closes - opens) / MINUTE) for opens, closes in working), default=0)
    kept = [step for step in counted if step.open or step.pk in awaited or _is_wet(step, waits, now)]
    problem = network.Problem(
        # In the shop's zone, for the reasons speak in it.
        now=_latest(now, kept).astimezone(shop.tz),
        steps=tuple(_planned(step, waits, longest) for step in kept),
        links=tuple(_link(edge, by_pk, waits) for edge in edges),
        promises=tuple(_promise(piece) for piece in _promised(kept)),
        working=tuple(working),
        hands=shop.hands,
        previous=queries.planned_starts(shop),
    )
    return Gathered(problem, (*sorted(waits.troubles), *_too_long(kept, longest)))


def _steps(shop: Shop) -> Iterable[Step]:
    rows = Step.objects.filter(shop=shop, piece__handed_over_at__isnull=True)
    return rows.select_related("piece__shop", "place", "product", "shop")


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


def bridged(steps: Iterable[Step], waits: Iterable[Wait]) -> list[Edge]:
    """The waits as edges, each skipped step taken out and what came before it tied to what comes after it.

    The wait before a skipped step is kept (the glue still has to set); the wait after it is not (nothing was laid).
    """
    edges = [Edge(w.first_id, w.then_id, w.kind, w.least_minutes, w.most_minutes, w.from_label, w.text) for w in waits]
    for step in steps:
        if step.state == Step.State.SKIPPED:
            edges = _without(edges, step.pk)
    return edges


def _without(edges: list[Edge], pk: int) -> list[Edge]:
    into = [edge for edge in edges if edge.then == pk]
    out = [edge for edge in edges if edge.first == pk]
    rest = [edge for edge in edges if pk not in (edge.first, edge.then)]
    joined = [
        Edge(before.first, after.then, before.kind, before.least, None, before.from_label, before.text)
        for before in into
        for after in out
    ]
    return list(dict.fromkeys([*rest, *joined]))


def _still_asked(steps: dict[int, Step], edges: Iterable[Edge]) -> list[Edge]:
    """Only the edges into steps that are still to do: what has begun stays as it is."""
    return [
        edge
        for edge in edges
        if edge.first in steps and edge.then in steps and steps[edge.then].state == Step.State.TO_DO
    ]


def _planned(step: Step, waits: Waits, longest: int) -> network.Step:
    done = (step.began_at, step.ended_at) if step.began_at and step.ended_at else None
    return network.Step(
        key=str(step.pk),
        piece=str(step.piece_id),
        title=f"{step.piece.name}: {step.title}",
        minutes=max(1, step.minutes),
        hands=min(step.hands, step.shop.hands),
        place=step.place.name if step.place else "",
        dusty=step.dusty,
        split=step.split or step.minutes > longest,
        wet=waits.table(step, DUST_STAGE) if step.does == "coat" else None,
        not_before=step.not_before,
        started=step.began_at if step.state == Step.State.RUNNING else None,
        done=done,
    )


def _too_long(steps: Iterable[Step], longest: int) -> list[str]:
    """A step that fits into no stretch of working hours is done in several goes, and that is said."""
    return [
        _("“%(step)s” takes %(minutes)s, longer than any stretch of working hours: it is planned in several goes.")
        % {"step": step.title, "minutes": format_minutes(step.minutes)}
        for step in steps
        if step.state == Step.State.TO_DO and not step.split and step.minutes > longest > 0
    ]


def _link(edge: Edge, steps: dict[int, Step], waits: Waits) -> network.Link:
    least: network.Wait = network.Fixed(edge.least)
    first = steps[edge.first]
    table = waits.table(first, edge.from_label) if edge.from_label else None
    if table is not None:
        least = network.ByHour(table.start, tuple(max(edge.least, value) for value in table.minutes))
    most = edge.most
    if most is None and edge.from_label == "recoat" and steps[edge.then].does == "coat":
        most = waits.window(first)
    if most is not None:
        most = max(most, least.minutes if isinstance(least, network.Fixed) else min(least.minutes))
    return network.Link(str(edge.first), str(edge.then), edge.kind, least, most, edge.text)


def _promised(steps: Iterable[Step]) -> list[Piece]:
    pieces = {step.piece_id: step.piece for step in steps if step.open and step.piece.promise is not None}
    return list(pieces.values())


def _promise(piece: Piece) -> network.Promise:
    """A promise is kept when the last step ends on the promised day, by the shop's clock."""
    assert piece.promise is not None
    return network.Promise(str(piece.pk), datetime.combine(piece.promise, time(23, 59), tzinfo=piece.shop.tz))
