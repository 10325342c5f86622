"""The waits of the book as edges: skipped steps bridged over, scuff sandings tied in, windows and waits nobody asks about left out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from tallboy.drawers.pieces.models import Step, Wait


@dataclass(frozen=True)
class Edge:
    """One wait between two steps, by primary key, after skipped steps have been bridged over.

    `wait` is the row it comes from, 0 for one that was joined of several. `window` false when no latest time is asked any more.
    """

    first: int
    then: int
    kind: str
    least: int
    most: int | None
    from_label: str
    text: str
    wait: int = 0
    window: bool = True


def edge_of(row: Wait) -> Edge:
    """A wait of the book as it stands."""
    return Edge(
        row.first_id, row.then_id, row.kind, row.least_minutes, row.most_minutes, row.from_label, row.text, row.pk
    )


def bridged(steps: Iterable[Step], waits: Iterable[Wait]) -> list[Edge]:
    """The waits as edges, each skipped step taken out and what came before it tied to what comes after it.

    The wait before a skipped step is kept (the glue still has to set); the wait after it is not (nothing was laid).
    """
    edges = [edge_of(row) for row in waits]
    for step in steps:
        if step.state == Step.State.SKIPPED:
            edges = _without(edges, step.pk)
    return edges


def _without(edges: list[Edge], pk: int) -> list[Edge]:
    into = [edge for edge in edges if edge.then == pk]
    out = [edge for edge in edges if edge.first == pk]
    if not into and not out:
        return edges
    rest = [edge for edge in edges if pk not in (edge.first, edge.then)]
    joined = [
        Edge(before.first, after.then, before.kind, before.least, None, before.from_label, before.text)
        for before in into
        for after in out
    ]
    return list(dict.fromkeys([*rest, *joined]))


def with_scuffs(edges: Iterable[Edge], scuffs: Mapping[int, Step]) -> list[Edge]:
    """The edges with the scuff sandings that are more than an intention: `scuffs` by the wait whose missed window they make good.

    Once it is begun or done the window is satisfied, and the next coat follows the scuff. One that was skipped was not wanted: the
    window is not asked about any more. One still to do is left to the planner, which puts it in where it is needed.
    """
    edges = list(edges)
    rows = {(edge.first, edge.then) for edge in edges if edge.wait}
    found: list[Edge] = []
    for edge in edges:
        if not edge.wait and (edge.first, edge.then) in rows:
            # Joined over a skipped step beside a wait of its own: that one has the window.
            found.append(replace(edge, window=False))
            continue
        scuff = scuffs.get(edge.wait)
        if scuff is None or scuff.state == Step.State.TO_DO:
            found.append(edge)
            continue
        found.append(replace(edge, most=None, window=False))
        if scuff.state != Step.State.SKIPPED:
            found.append(Edge(edge.first, scuff.pk, edge.kind, edge.least, None, edge.from_label, edge.text))
            found.append(Edge(scuff.pk, edge.then, "order", 0, None, "", ""))
    return found


def rubbed(steps: Mapping[int, Step], edges: Iterable[Edge]) -> list[Edge]:
    """The edges with no window from coat to coat where the piece is rubbed down between the two: that gives the tooth it is for.

    A rub-down that was skipped is none: its edges are bridged over before.
    """
    edges = list(edges)
    into: dict[int, set[int]] = {}
    for edge in edges:
        if _rubs_down(steps, edge):
            into.setdefault(edge.first, set()).add(edge.then)
    onwards = {(edge.first, edge.then) for edge in edges}
    return [
        replace(edge, most=None, window=False)
        if _to_coat(steps, edge) and any((rub, edge.then) in onwards for rub in into.get(edge.first, ()))
        else edge
        for edge in edges
    ]


def _rubs_down(steps: Mapping[int, Step], edge: Edge) -> bool:
    """Whether a rub-down of the same piece follows a step; the planner's own scuff is counted with its wait."""
    first, then = steps.get(edge.first), steps.get(edge.then)
    if first is None or then is None or then.window_of_id is not None:
        return False
    return then.does == "rub-down" and then.piece_id == first.piece_id


def _to_coat(steps: Mapping[int, Step], edge: Edge) -> bool:
    first, then = steps.get(edge.first), steps.get(edge.then)
    return first is not None and then is not None and first.does == then.does == "coat"


def still_asked(steps: Mapping[int, Step], edges: Iterable[Edge]) -> list[Edge]:
    """Only the edges into steps that are still to do: what has begun stays as it is."""
    return [
        edge
        for edge in edges
        if edge.first in steps and edge.then in steps and steps[edge.then].state == Step.State.TO_DO
    ]
