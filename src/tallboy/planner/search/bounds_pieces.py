"""One piece by itself, for the bounds: the cheapest starts of its steps when every hour of hands has a price.

Whatever the rest of the shop does, a piece must do its own steps, in their hours, with their waits, one after another. Left out
are all rules between pieces, latest times, and of several steps that follow one step all but the one with the longest way to go:
each of these can only make a plan dearer, so that what is found costs no more than the piece does in any plan.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from tallboy.planner.slots.grid import Grid, Lag, Slots, Task, WaitTable, Windows

NO = 1e15  # dearer than any plan
Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
Spans = tuple[Slots, ...]


@dataclass(frozen=True, eq=False)
class Options:
    """Every start a step may have, with its end, and by the number of its crew's `hours` which of them are theirs."""

    start: Ints
    end: Ints
    hours: tuple[tuple[int, slice], ...]


@dataclass(frozen=True, eq=False)
class Before:
    """How a step looks back at one it follows: the latter's options in order of readiness, and how many are ready for each start."""

    first: int
    order: Ints
    ready: Ints


@dataclass(frozen=True, eq=False)
class PieceTree:
    """A piece's open steps as a tree that runs together in its finish.

    `tasks` in an order in which each comes after all it follows; `before` by task; `ends` the slots in which the piece may be
    finished, `closing` how the finish looks back at the tasks that nothing follows.
    """

    piece: str
    tasks: tuple[int, ...]
    hands: Mapping[int, int]
    options: Mapping[int, Options]
    before: Mapping[int, tuple[Before, ...]]
    ends: Ints
    closing: tuple[Before, ...]

    def cheapest(
        self, price: Sequence[Floats], worth: Floats, extra: Mapping[int, Floats] | None = None
    ) -> tuple[float, dict[int, int]]:
        """The least price of hands plus worth of the finish, and for each task the option that goes with it.

        Parameters: price, summed from slot 0 up to each slot, for each crew's hours; worth of each of `ends`; extra, by task what
        each option costs besides.
        Returns: the sum, and the number of the option by task.
        Validity: exact for the tree, that is, never more than the piece costs in a plan that keeps all rules.
        Source: own derivation. By induction along `tasks`: what a task and all before it cost if it takes an option is the
        option's own price plus, for each task before it, the least over those of its options that are ready in time;
        these choices do not touch each other because the tasks form a tree.
        """
        costs: dict[int, Floats] = {}
        for i in self.tasks:
            own = self._price(i, price) + (extra[i] if extra is not None else 0.0)
            costs[i] = own + _least(self.before[i], costs, len(self.options[i].start))
        total = worth + _least(self.closing, costs, len(self.ends))
        best = int(np.argmin(total))
        return float(total[best]), self._chosen(costs, best)

    def _price(self, i: int, price: Sequence[Floats]) -> Floats:
        options = self.options[i]
        parts = [price[k][options.end[part]] - price[k][options.start[part]] for k, part in options.hours]
        return np.asarray(np.concatenate(parts) * self.hands[i], dtype=np.float64)

    def _chosen(self, costs: Mapping[int, Floats], best: int) -> dict[int, int]:
        """From the finish back: the option each task took."""
        chosen: dict[int, int] = {}
        ahead = [(before, best) for before in self.closing]
        for before, option in ahead:
            ready = before.order[: before.ready[option]]
            mine = int(ready[int(np.argmin(costs[before.first][ready]))])
            chosen[before.first] = mine
            ahead += [(earlier, mine) for earlier in self.before[before.first]]
        return chosen


def _least(before: Sequence[Before], costs: Mapping[int, Floats], count: int) -> Floats:
    """For each option, the sum over the tasks before of the cheapest that is ready for it."""
    total = np.zeros(count)
    for one in before:
        cheapest = np.minimum.accumulate(costs[one.first][one.order])
        total += np.concatenate(([NO], cheapest))[one.ready]
    return total


@dataclass
class Hours:
    """The different hours that crews work in, by number."""

    known: list[Spans] = field(default_factory=list)
    numbers: dict[Spans, int] = field(default_factory=dict)
    _laid_out: dict[int, tuple[Windows, Ints, Ints]] = field(default_factory=dict)

    def number(self, spans: Spans) -> int:
        """The number of these hours."""
        if spans not in self.numbers:
            self.numbers[spans] = len(self.known)
            self.known.append(spans)
        return self.numbers[spans]

    def starts(self, windows: Windows) -> tuple[Ints, Ints]:
        """Every start in these windows, and the closed time it sits through. Worked out once, for many steps share them."""
        if id(windows) not in self._laid_out:
            counts = np.array([window.hi - window.lo + 1 for window in windows], np.int64)
            gaps = np.repeat(np.array([window.gap for window in windows], np.int64), counts)
            starts = [np.zeros(0, np.int64), *(np.arange(window.lo, window.hi + 1) for window in windows)]
            self._laid_out[id(windows)] = (windows, np.concatenate(starts), gaps)
        return self._laid_out[id(windows)][1:]


def trees(grid: Grid) -> tuple[tuple[PieceTree, ...], Hours]:
    """The pieces with steps still to plan, in order of their keys, and the hours their crews work in."""
    hours = Hours()
    options = _all_options(grid, hours)
    pieces = sorted({task.step.piece for task in grid.open_tasks})
    return tuple(_tree(grid, piece, options) for piece in pieces), hours


def _all_options(grid: Grid, hours: Hours) -> dict[int, Options]:
    """Every open task's options that no chain of links makes impossible.

    A task is not ready before the earliest readiness over all options of each task it follows, its own dates, and now.
    """
    options: dict[int, Options] = {}
    for i in grid.order:
        task = grid.tasks[i]
        if task.fact is None and not grid.is_scuff(i):
            ready = [_ready(lag, options) for lag in grid.into[i] if not grid.is_scuff(lag.first)]
            options[i] = _options(task, max([grid.first_slot, task.earliest, *ready]), grid.horizon, hours)
    return options


def _ready(lag: Lag, options: Mapping[int, Options]) -> int:
    return lag.ready if lag.ready is not None else int(_readiness(options[lag.first], lag.wait).min())


def _readiness(options: Options, wait: WaitTable) -> Ints:
    """For each option, the slot from which what follows may start."""
    at = np.searchsorted(np.asarray(wait.breaks), options.end, side="right") - 1
    return np.asarray(options.end + np.asarray(wait.slots)[np.maximum(at, 0)], dtype=np.int64)


def _options(task: Task, lowest: int, horizon: int, hours: Hours) -> Options:
    """All starts from `lowest` on, those of crews with the same hours once; where there is none there is no plan."""
    starts, ends = [np.zeros(0, np.int64)], [np.zeros(0, np.int64)]
    parts: list[tuple[int, slice]] = []
    at = 0
    for way in {(way.spans, way.starts): way for way in task.ways}.values():
        every, gaps = hours.starts(way.starts)
        late = every >= lowest
        starts.append(every[late])
        ends.append(every[late] + gaps[late] + task.slots)
        parts.append((hours.number(way.spans), slice(at, at + len(starts[-1]))))
        at += len(starts[-1])
    if not at:
        return Options(np.array([horizon]), np.array([horizon]), ((parts[0][0], slice(0, 1)),))
    return Options(np.concatenate(starts), np.concatenate(ends), tuple(parts))


def _tree(grid: Grid, piece: str, options: Mapping[int, Options]) -> PieceTree:
    """Each step is followed by the one with the longest way still to go, the last ones by the finish."""
    tasks = tuple(i for i in grid.order if i in options and grid.tasks[i].step.piece == piece)
    followed = _followed(grid, tasks)
    before: dict[int, list[Before]] = {i: [] for i in tasks}
    for i, lag in followed.items():
        before[lag.then].append(_before(i, _readiness(options[i], lag.wait), options[lag.then].start))
    last = [i for i in tasks if i not in followed]
    ends = np.unique(np.concatenate([options[i].end for i in last]))
    return PieceTree(
        piece=piece,
        tasks=tasks,
        hands={i: grid.tasks[i].step.hands for i in tasks},
        options={i: options[i] for i in tasks},
        before={i: tuple(found) for i, found in before.items()},
        ends=ends,
        closing=tuple(_before(i, options[i].end, ends) for i in last),
    )


def _followed(grid: Grid, tasks: Sequence[int]) -> dict[int, Lag]:
    """For each task but the last ones the link to keep: the one behind which the way to the finish is longest."""
    mine, way_to_go = set(tasks), dict.fromkeys(tasks, 0)
    kept: dict[int, Lag] = {}
    for i in reversed(tasks):
        lags = [lag for lag in grid.out[i] if lag.then in mine]
        if lags:
            kept[i] = max(lags, key=lambda lag: lag.wait.shortest + way_to_go[lag.then])
            way_to_go[i] = kept[i].wait.shortest + way_to_go[kept[i].then]
        way_to_go[i] += grid.tasks[i].slots
    return kept


def _before(first: int, readiness: Ints, starts: Ints) -> Before:
    order = np.argsort(readiness, kind="stable")
    return Before(first, order, np.searchsorted(readiness[order], starts, side="right"))
