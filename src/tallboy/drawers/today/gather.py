"""From the book to the planner's problem: open steps, their waits in the shop's air, hours, hands, promises."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, time, timedelta

from tallboy.book.models import Shop
from tallboy.book.queries import working_stretches
from tallboy.drawers.air import queries as air
from tallboy.drawers.pieces.models import Piece, Step, Wait
from tallboy.drawers.shelf import labels
from tallboy.drawers.today import queries
from tallboy.errors import NeverDries
from tallboy.planner import network
from tallboy.sums import drying
from tallboy.sums.air import AirSeries

HORIZON_DAYS = 120
FORECAST_DAYS = 42
DUST_STAGE = "touch"
# Stands in for "not in this air": two weeks, by when somebody will have warmed the shop or chosen another can.
UNTIL_IT_WARMS = 14 * 24 * 60


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
    """The planner's problem, and plain sentences about coats that will not dry in the air forecast."""

    problem: network.Problem
    troubles: tuple[str, ...]


def gather(shop: Shop, now: datetime) -> Gathered:
    """Everything the planner needs to know of the shop at `now`."""
    steps = list(
        Step.objects.filter(shop=shop, piece__handed_over_at__isnull=True).select_related(
            "piece", "place", "product", "shop"
        )
    )
    edges = bridged(steps, Wait.objects.filter(shop=shop, first__piece__handed_over_at__isnull=True))
    edges = _still_asked(steps, edges)
    waits = Waits(shop, now, steps)
    by_pk = {step.pk: step for step in steps}
    problem = network.Problem(
        now=now,
        steps=tuple(_planned(step, waits) for step in steps if _counts(step, edges)),
        links=tuple(_link(edge, by_pk, waits) for edge in edges),
        promises=tuple(_promise(piece) for piece in _promised(steps)),
        working=tuple(working_stretches(shop, now, HORIZON_DAYS)),
        hands=shop.hands,
        previous=queries.planned_starts(shop),
    )
    return Gathered(problem, tuple(sorted(waits.troubles)))


def _counts(step: Step, edges: Iterable[Edge]) -> bool:
    """Open steps count; done ones only while something still waits for them."""
    return step.open or (step.state == Step.State.DONE and any(edge.first == step.pk for edge in edges))


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
    have = {(edge.first, edge.then) for edge in rest}
    joined = [
        Edge(before.first, after.then, before.kind, before.least, None, before.from_label, before.text)
        for before in into
        for after in out
        if (before.first, after.then) not in have
    ]
    return rest + joined


def _still_asked(steps: Iterable[Step], edges: Iterable[Edge]) -> list[Edge]:
    """Only the edges into steps that are still to do: what has begun stays as it is."""
    to_do = {step.pk for step in steps if step.state == Step.State.TO_DO}
    known = {step.pk for step in steps}
    return [edge for edge in edges if edge.then in to_do and edge.first in known]


class Waits:
    """Drying waits in the shop's own air: measured where it was measured, forecast from then on."""

    def __init__(self, shop: Shop, now: datetime, steps: Iterable[Step]) -> None:
        ends = [step.ended_at for step in steps if step.ended_at is not None and step.coating]
        since = min([now, *ends]) - timedelta(hours=1)
        self.air: AirSeries = air.series(shop, since, now + timedelta(days=FORECAST_DAYS))
        self.troubles: set[str] = set()
        self._tables: dict[tuple[object, str], network.ByHour] = {}

    def table(self, step: Step, stage: str) -> network.ByHour | None:
        """Minutes from laying to `stage`, by the hour the coat is laid; None when the label gives no such time."""
        label = labels.label_for_step(step.product, step.coating)
        if label is None or not drying.has_stage(label, stage):
            return None
        key = (label, stage)
        if key not in self._tables:
            self._tables[key] = self._by_hour(label, stage)
        return self._tables[key]

    def _by_hour(self, label: drying.Label, stage: str) -> network.ByHour:
        try:
            minutes = drying.wait_table(label, stage, self.air)
        except NeverDries as error:
            # One can that would never dry must not stop the plan of all the others.
            self.troubles.add(str(error))
            return network.ByHour(self.air.start, (UNTIL_IT_WARMS,))
        return network.ByHour(self.air.start, tuple(int(value) for value in minutes))


def _planned(step: Step, waits: Waits) -> network.Step:
    done = (step.began_at, step.ended_at) if step.began_at and step.ended_at else None
    return network.Step(
        key=str(step.pk),
        piece=str(step.piece_id),
        title=step.title,
        minutes=step.minutes,
        hands=min(step.hands, step.shop.hands),
        place=step.place.name if step.place else "",
        dusty=step.dusty,
        split=step.split,
        wet=waits.table(step, DUST_STAGE) if step.does == "coat" else None,
        not_before=step.not_before,
        started=step.began_at if step.state == Step.State.RUNNING else None,
        done=done,
    )


def _link(edge: Edge, steps: dict[int, Step], waits: Waits) -> network.Link:
    least: network.Wait = network.Fixed(edge.least)
    most = edge.most
    if edge.from_label:
        table = waits.table(steps[edge.first], edge.from_label)
        if table is not None:
            least = network.ByHour(table.start, tuple(max(edge.least, value) for value in table.minutes))
        if edge.from_label == "recoat" and most is None:
            most = labels.closes_after(steps[edge.first].product, steps[edge.first].coating)
    return network.Link(str(edge.first), str(edge.then), edge.kind, least, most, edge.text)


def _promised(steps: Iterable[Step]) -> list[Piece]:
    pieces = {step.piece_id: step.piece for step in steps if step.open and step.piece.promise is not None}
    return list(pieces.values())


def _promise(piece: Piece) -> network.Promise:
    """A promise is kept when the last step ends on the promised day, by the shop's clock."""
    assert piece.promise is not None
    return network.Promise(str(piece.pk), datetime.combine(piece.promise, time(23, 59), tzinfo=piece.shop.tz))
