"""From an edge between two steps to the planner's link: the wait and the window in the shop's air, how sure the wait is, the scuff."""

from __future__ import annotations

from collections.abc import Mapping

from tallboy.drawers.pieces.models import Step
from tallboy.drawers.today.gathering.edges import Edge
from tallboy.drawers.today.gathering.waits import Waits
from tallboy.planner import network
from tallboy.planner.slots.grid import wait_minutes

SLOT = 5
Most = int | network.ByHour


class Links:
    """Makes links of the edges between some steps."""

    def __init__(self, waits: Waits, steps: Mapping[int, Step]) -> None:
        self._waits = waits
        self.steps = steps
        self._open_enough: dict[tuple[int, int], Most] = {}

    def link(self, edge: Edge) -> network.Link:
        """The link without its scuff."""
        first = self.steps[edge.first]
        table = self._waits.table(first, edge.from_label, edge.least) if edge.from_label else None
        least: network.Wait = network.Fixed(edge.least) if table is None else table
        spread = 0.0
        if table is not None and wait_minutes(table, first.ended_at or self._waits.now) > edge.least:
            spread = self._waits.spread(first, edge.from_label)
        return network.Link(
            first=str(edge.first),
            then=str(edge.then),
            kind=edge.kind,
            least=least,
            most=self._most(edge, least),
            text=edge.text,
            spread=spread,
            shared=_can(first) if spread else "",
        )

    def _most(self, edge: Edge, least: network.Wait) -> Most | None:
        """The latest time: the route's own, or from coat to coat the label's; never less than the shortest wait in whole slots."""
        if not edge.window:
            return None
        most: Most | None = edge.most
        first = self.steps[edge.first]
        if most is None and edge.from_label == "recoat" and self.steps[edge.then].does == "coat":
            most = self._waits.window(first) if first.ended_at is not None else self._waits.closes(first)
        if most is None or first.ended_at is not None:
            return most
        key = (id(most), id(least))
        if isinstance(most, int):
            return _no_less(most, least)
        # The very same tables give the very same window, which the planner is glad of.
        if key not in self._open_enough:
            self._open_enough[key] = _no_less(most, least)
        return self._open_enough[key]

    def may_be_sanded(self, edge: Edge, link: network.Link) -> bool:
        """Whether a missed window can be made good by sanding: only between two coats."""
        coats = self.steps[edge.first].does == "coat" and self.steps[edge.then].does == "coat"
        return link.most is not None and edge.wait != 0 and coats


def _no_less(most: Most, least: network.Wait) -> Most:
    """The latest time, hour by hour at least the shortest wait in whole slots: a window narrower than a slot could never be met."""
    if isinstance(most, int) and isinstance(least, network.Fixed):
        return max(most, _up(least.minutes))
    if isinstance(most, int):
        assert isinstance(least, network.ByHour)
        if most >= _up(max(least.minutes)):
            return most
        return network.ByHour(least.start, tuple(max(most, _up(minutes)) for minutes in least.minutes))
    if isinstance(least, network.Fixed):
        return network.ByHour(most.start, tuple(max(minutes, _up(least.minutes)) for minutes in most.minutes))
    pairs = zip(most.minutes, least.minutes, strict=True)
    return network.ByHour(most.start, tuple(max(minutes, _up(wait)) for minutes, wait in pairs))


def _up(minutes: int) -> int:
    return -(-minutes // SLOT) * SLOT


def _can(step: Step) -> str:
    """Coats of one can are quick or slow together; of a class alone, each for itself."""
    return f"can {step.product_id}" if step.product_id is not None else ""
