"""The board on which steps are placed one at a time: who is busy when, what is wet, what is taken.

Which start a step may have is asked in `holds.py`; `rules.py` checks the outcome independently.
"""

from __future__ import annotations

from bisect import bisect_right

import numpy as np
from numpy.typing import NDArray

from tallboy.planner.slots.grid import Grid, Lag, Slots, Task, Way

NEVER = 1 << 40
_DAY = 288
# Where a byte above `room` becomes 1 and all others 0: finds the busy slots of a team at the speed of C.
_ABOVE = [bytes(int(count > room) for count in range(256)) for room in range(256)]


class Board:
    """Steps placed so far. `start`, `end` [slot] and `way` by task; facts are placed from the beginning.

    `dropped` are the links whose windows are missed, `notes` says of steps that could be earlier why they are not.
    """

    def __init__(self, grid: Grid) -> None:
        self.grid = grid
        self.start: dict[int, int] = {}
        self.end: dict[int, int] = {}
        self.way: dict[int, Way] = {}
        self.dropped: set[Lag] = set()
        self.notes: dict[int, str] = {}
        self._busy = [bytearray(grid.horizon + 1) for _ in grid.teams]
        self._held = [np.zeros(grid.horizon + 1, np.int32) for _ in grid.layers]
        self._shunned = [np.zeros(grid.horizon + 1, np.int32) for _ in grid.layers]
        self._taken = [np.zeros(grid.horizon + 1, np.int32) for _ in grid.rooms]
        for a, b, team, hands in grid.busy:
            self._work(team, a, b, hands)
        for task in grid.tasks:
            if task.fact is not None:
                self.start[task.index], self.end[task.index] = task.fact.first, task.fact.last
                self._keep(task, 1)

    def copy(self) -> Board:
        """The same plan on a board of its own."""
        other = Board.__new__(Board)
        other.grid = self.grid
        other.start, other.end, other.way = dict(self.start), dict(self.end), dict(self.way)
        other.dropped, other.notes = set(self.dropped), dict(self.notes)
        other._busy = [bytearray(busy) for busy in self._busy]
        other._held = [held.copy() for held in self._held]
        other._shunned = [shunned.copy() for shunned in self._shunned]
        other._taken = [taken.copy() for taken in self._taken]
        return other

    @property
    def busy(self) -> tuple[bytearray, ...]:
        """How many pairs of hands of each team are at work, by slot."""
        return tuple(self._busy)

    @property
    def held(self) -> tuple[NDArray[np.int32], ...]:
        """How many steps hold each layer, by slot."""
        return tuple(self._held)

    @property
    def shunned(self) -> tuple[NDArray[np.int32], ...]:
        """How many steps are done that shun each layer, by slot."""
        return tuple(self._shunned)

    def _work(self, team: int, start: int, end: int, hands: int) -> None:
        busy = self._busy[team]
        for slot in range(max(start, 0), min(end, self.grid.horizon)):
            busy[slot] += hands

    def end_of(self, task: Task, way: Way, start: int) -> int:
        """The slot in which the step ends if it starts at `start` (outside working hours: without a break)."""
        return start + task.slots + way.gap(start)

    def place(self, task: Task, start: int, way: Way | None = None) -> None:
        """Put the step on the board; without a way its first one serves."""
        way = way or task.ways[0]
        end = self.end_of(task, way, start)
        self.start[task.index], self.end[task.index], self.way[task.index] = start, end, way
        for team, hands in way.crew:
            self._work(team, start, end, hands)
        self._keep(task, 1)

    def lift(self, task: Task) -> None:
        """Take the step off the board."""
        self._keep(task, -1)
        start, end, way = self.start.pop(task.index), self.end.pop(task.index), self.way.pop(task.index)
        for team, hands in way.crew:
            self._work(team, start, end, -hands)

    def _keep(self, task: Task, sign: int) -> None:
        """Enter (1) or take out (-1) what a placed step holds, shuns and uses."""
        start, end = max(self.start[task.index], 0), max(self.end[task.index], 0)
        for holding, until in zip(task.holds, self.held_until(task), strict=True):
            self._held[holding.of][start : max(until, 0)] += sign
        for layer in task.shuns:
            self._shunned[layer][start:end] += sign
        for holding, until in zip(task.uses, self.used_until(task), strict=True):
            self._taken[holding.of][start : max(until, 0)] += sign * holding.amount

    def held_until(self, task: Task) -> tuple[int, ...]:
        """The slots from which a placed step holds its layers no more."""
        if task.fact is not None:
            return task.fact.holds
        end = self.end[task.index]
        return tuple(end + holding.hold.at(end) for holding in task.holds)

    def used_until(self, task: Task) -> tuple[int, ...]:
        """The slots from which a placed step has given back its resources."""
        if task.fact is not None:
            return task.fact.uses
        end = self.end[task.index]
        return tuple(end + holding.hold.at(end) for holding in task.uses)

    def busy_run(self, way: Way, start: int, end: int) -> int | None:
        """The end of the last stretch between `start` and `end` in which the crew is not free; None when there is none."""
        free: int | None = None
        for team, hands in way.crew:
            above = _ABOVE[len(self.grid.teams[team].people) - hands]
            busy = self._busy[team]
            last = busy[start : min(end, self.grid.horizon)].translate(above).rfind(1)
            if last >= 0:
                free = max(free or 0, self._free_from(busy, start + last, above))
        return free

    def _free_from(self, busy: bytearray, slot: int, above: bytes) -> int:
        while slot < self.grid.horizon:
            at = busy[slot : slot + _DAY].translate(above).find(0)
            if at >= 0:
                return min(slot + at, self.grid.horizon)
            slot += _DAY
        return self.grid.horizon

    def held_run(self, layer: int, start: int, end: int) -> int | None:
        """The end of the last stretch between `start` and `end` in which the layer is held; None when there is none."""
        return self._run(self._held[layer], start, end, 0)

    def shunned_run(self, layer: int, start: int, end: int) -> int | None:
        """The same for steps that shun the layer."""
        return self._run(self._shunned[layer], start, end, 0)

    def taken_run(self, resource: int, amount: int, start: int, end: int) -> int | None:
        """The end of the last stretch in which less than `amount` of a resource is left; None when there is none."""
        return self._run(self._taken[resource], start, end, self.grid.rooms[resource] - amount)

    def _run(self, counts: NDArray[np.int32], start: int, end: int, most: int) -> int | None:
        above = counts[start:end] > most
        if not above.any():
            return None
        last = start + len(above) - 1 - int(above[::-1].argmax())
        after = counts[last:] <= most
        return last + int(after.argmax()) if after.any() else self.grid.horizon

    def at_work(self, start: int, end: int, teams: tuple[int, ...]) -> tuple[int, ...]:
        """Steps at which hands of certain teams are busy between two slots."""
        return tuple(i for i in self.start if self._meets(i, start, end) and self._works(i, teams))

    def _meets(self, i: int, start: int, end: int) -> bool:
        return i in self.start and self.start[i] < end and self.end[i] > start

    def _works(self, i: int, teams: tuple[int, ...]) -> bool:
        crew = self.way[i].crew if i in self.way else self.grid.begun.get(i, ())
        return any(team in teams for team, _ in crew)

    def holding(self, layer: int, start: int, end: int) -> tuple[int, ...]:
        """Placed steps that hold the layer at some slot between two."""
        return tuple(
            task.index
            for task in self.grid.holders[layer]
            if task.index in self.start and self.start[task.index] < end
            for holding, until in zip(task.holds, self.held_until(task), strict=True)
            if holding.of == layer and until > start
        )

    def shunning(self, layer: int, start: int, end: int) -> tuple[int, ...]:
        """Placed steps that shun the layer and are done between two slots."""
        return tuple(task.index for task in self.grid.shunners[layer] if self._meets(task.index, start, end))

    def taking(self, resource: int, start: int, end: int) -> tuple[int, ...]:
        """Placed steps that use the resource at some slot between two."""
        return tuple(
            task.index
            for task in self.grid.users[resource]
            if task.index in self.start and self.start[task.index] < end
            for holding, until in zip(task.uses, self.used_until(task), strict=True)
            if holding.of == resource and holding.amount and until > start
        )


def fits(fit: tuple[Slots, ...], start: int, until: int) -> int | None:
    """None when a step from `start`, ending with all it asks at `until`, lies in fit air; else the next start worth trying."""
    k = bisect_right(fit, start, key=lambda span: span[0]) - 1
    if k >= 0 and until <= fit[k][1]:
        return None
    return fit[k + 1][0] if k + 1 < len(fit) else NEVER
