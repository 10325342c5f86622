"""A piece's path: its steps in threads with the waits between, done in the past, planned ahead, and what holds its finish."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from django.utils import timezone

from tallboy.drawers.pieces.models import Step
from tallboy.drawers.today.gathering.edges import Edge
from tallboy.drawers.today.models import PlannedStep
from tallboy.drawers.today.show.week import rest_kind
from tallboy.drawers.today.show.why import Folded, Reasons

MINUTE = timedelta(minutes=1)


@dataclass(frozen=True)
class Gap:
    """What lies between a step and the one before it in its thread: drying or soaking for so many minutes, or nothing."""

    kind: str = ""
    minutes: int = 0


@dataclass(frozen=True)
class Node:
    """One step on the path, with its number in the order of time.

    `holds`: the finish of the piece hangs on it. `gap` lies between it and the node before it in its thread; `after` are the numbers of
    other steps of the piece that it comes after.
    """

    number: int
    step: Step
    start: datetime | None
    end: datetime | None
    row: PlannedStep | None = None
    holds: bool = False
    gap: Gap | None = None
    after: tuple[int, ...] = ()

    @property
    def day(self) -> date | None:
        """The day on which it begins, by the clock on the wall."""
        return None if self.start is None else timezone.localtime(self.start).date()

    @property
    def past(self) -> bool:
        return self.step.state == Step.State.DONE

    @property
    def running(self) -> bool:
        return self.step.state == Step.State.RUNNING


@dataclass(frozen=True)
class Path:
    """All of it: the steps in order of time, the threads of the drawing, the steps of other pieces that the finish hangs on, what
    was skipped."""

    nodes: tuple[Node, ...]
    threads: tuple[tuple[Node, ...], ...]
    elsewhere: Folded
    skipped: tuple[Step, ...]

    @property
    def finish(self) -> datetime | None:
        """When the last step that is planned ends."""
        return max((node.end for node in self.nodes if node.row is not None and node.end), default=None)


def path_of(reasons: Reasons, steps: Iterable[Step]) -> Path:
    """The path of a piece, given its steps, through the plan in force."""
    steps = list(steps)
    wanted = [step for step in steps if step.state != Step.State.SKIPPED]
    rows = reasons.rows(str(step.pk) for step in wanted)
    last = max(rows.values(), key=lambda row: (row.end, row.pk), default=None)
    chain = reasons.chain(str(last.step_id)) if last else ()
    holding = {link.step.key for link in chain}
    ordered = sorted(wanted, key=lambda step: _in_time(step, rows.get(str(step.pk))))
    nodes = [_node(number, step, rows.get(str(step.pk)), holding) for number, step in enumerate(ordered, start=1)]
    own = {str(step.pk) for step in steps}
    return Path(
        tuple(nodes),
        tuple(_threads(nodes, reasons)),
        reasons.told([link for link in chain if link.step.key not in own]),
        tuple(step for step in steps if step.state == Step.State.SKIPPED),
    )


def _in_time(step: Step, row: PlannedStep | None) -> tuple[int, float, int]:
    """Done and planned things in the order of time; what has no time comes last, in the order of the route."""
    start = _start(step, row)
    return (0, start.timestamp(), step.order) if start else (1, 0.0, step.order)


def _start(step: Step, row: PlannedStep | None) -> datetime | None:
    return step.began_at or (row.start if row else None)


def _node(number: int, step: Step, row: PlannedStep | None, holding: set[str]) -> Node:
    end = step.ended_at or (row.end if row else None)
    return Node(number, step, _start(step, row), end, row if step.open else None, str(step.pk) in holding)


def _threads(nodes: Sequence[Node], reasons: Reasons) -> Iterator[tuple[Node, ...]]:
    """Each step goes on the thread of the step before it that ends last, if nothing else has gone on there yet; else it begins its own."""
    by_pk = {node.step.pk: node for node in nodes}
    before: dict[int, list[Edge]] = {}
    for edge in reasons.edges:
        if edge.then in by_pk and edge.first in by_pk:
            before.setdefault(edge.then, []).append(edge)
    threads: list[list[Node]] = []
    for node in nodes:
        edges = sorted(before.get(node.step.pk, ()), key=lambda edge: _ends(by_pk[edge.first]), reverse=True)
        thread, on = _joined(threads, edges)
        gap = _gap(by_pk[on.first], node, on, reasons) if on is not None else None
        after = sorted(by_pk[edge.first].number for edge in edges if edge is not on)
        thread.append(replace(node, gap=gap, after=tuple(after)))
    return (tuple(thread) for thread in threads)


def _ends(node: Node) -> tuple[bool, float, int]:
    """By what ends last; of two that hold the finish or not, the one that does."""
    return node.holds, node.end.timestamp() if node.end else 0.0, node.number


def _joined(threads: list[list[Node]], edges: Sequence[Edge]) -> tuple[list[Node], Edge | None]:
    for edge in edges:
        for thread in threads:
            if thread[-1].step.pk == edge.first:
                return thread, edge
    threads.append([])
    return threads[-1], None


def _gap(first: Node, then: Node, edge: Edge, reasons: Reasons) -> Gap:
    """The wait on an edge: by the plan while it is ahead; between two things done, the time that really went by."""
    wait = reasons.waits.get((str(edge.first), str(edge.then)), {})
    if wait.get("rests") and first.end is not None:
        opens = datetime.fromisoformat(str(wait["opens"]))
        return Gap(rest_kind(edge.kind), round((opens - first.end) / MINUTE))
    if (
        (edge.least or edge.from_label)
        and first.end is not None
        and then.start is not None
        and (then.past or then.running)
    ):
        return Gap(rest_kind(edge.kind), max(0, round((then.start - first.end) / MINUTE)))
    return Gap(rest_kind(edge.kind), edge.least) if edge.least else Gap()
