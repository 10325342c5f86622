"""The first plan at once: steps placed one after another, each as early as the rules allow.

Several orders of placing are tried (by the slack left to the promise, by piece, by what is still ahead, by the plan people
saw, and shuffled ones) and the best plan is kept. A step that would miss its window sends the step before it to a later
start and is placed again.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from tallboy.planner.slots.board import Board
from tallboy.planner.slots.grid import Grid, Lag, Task
from tallboy.planner.slots.holds import RULES, earliest, holds, last_slot, window_before

Priority = Sequence[float]
Cost = tuple[int, int, int, int]

_FREE_RULES = tuple(rule for rule in RULES if rule is not window_before)


def cost(board: Board) -> Cost:
    """What makes a plan worse, in order: missed windows, weighted lateness, finishing times [slots], changed starts."""
    late, finish = 0, 0
    for piece, end in finishes(board).items():
        by, weight = board.grid.due.get(piece, (end, 0))
        late += weight * max(0, end - by)
        finish += end - board.grid.first_slot
    changes = sum(
        board.start[i] != s
        for i, s in board.grid.previous.items()
        if board.grid.tasks[i].fact is None and i in board.start
    )
    lost = sum(lag.scuff is None for lag in board.dropped)
    return (lost, late, finish, changes)


def finishes(board: Board) -> dict[str, int]:
    """The slot in which each piece with steps still to plan is finished."""
    ends: dict[str, int] = {}
    for task in board.grid.open_tasks:
        ends[task.step.piece] = max(board.end[task.index], ends.get(task.step.piece, 0))
    for task in board.grid.tasks:
        if task.fact is not None and task.step.piece in ends:
            ends[task.step.piece] = max(task.fact.last, ends[task.step.piece])
    return ends


def best_greedy(grid: Grid, *, seed: int, shuffles: int = 12, drop: bool = False) -> Board | None:
    """The best of several greedy plans; None when none keeps every window.

    Parameters: grid; seed; shuffles [1] how many shuffled orders are tried besides the fixed ones; drop: give up windows
    that cannot be kept instead of failing.
    Returns: a board with every step placed, or None.
    Source: own derivation (serial schedule generation with several priorities), see docs/planner.md.
    """
    if not grid.open_tasks:
        return Board(grid)
    boards: list[Board] = []
    orders = _fixed_orders(grid)[: max(2, 4000 // len(grid.tasks))]  # fewer in a very big shop
    for priority in orders:
        _try(grid, priority, boards, drop=drop)
    boards += [board for board in (follow(grid, drop=drop), keep(grid, drop=drop)) if board is not None]
    if any(lag.scuff is not None for lag in grid.lags):
        for priority in orders[:2]:
            _try(grid, priority, boards, drop=drop, scuff_at_once=True)
    random = np.random.default_rng(seed)
    for _ in range(shuffles):
        noise = random.normal(0.0, 1.0, len(grid.tasks))
        base = np.asarray(orders[int(random.integers(len(orders)))])
        _try(grid, list(base + noise * 0.15 * (np.std(base) + 1.0)), boards, drop=drop)
    return min(boards, key=cost) if boards else None


def _try(grid: Grid, priority: Priority, boards: list[Board], *, drop: bool, scuff_at_once: bool = False) -> None:
    board = place_all(grid, priority, drop=drop, scuff_at_once=scuff_at_once)
    if board is not None:
        boards.append(board)


def follow(grid: Grid, *, drop: bool = False) -> Board | None:
    """Every step where the plan people saw has it, or as soon after as the rules allow."""
    if not grid.previous:
        return None
    floors = {i: slot for i, slot in grid.previous.items() if grid.tasks[i].fact is None}
    after = max(floors.values(), default=0)
    priority = [float(grid.previous.get(i, after + i)) for i in range(len(grid.tasks))]
    board = Board(grid)
    board.dropped |= _seen_scuffs(grid)
    return place_all(grid, priority, drop=drop, floors=floors, board=board)


def _seen_scuffs(grid: Grid) -> set[Lag]:
    """The windows that the plan people saw misses, with a scuff."""
    return {lag for scuff, lag in grid.scuffed.items() if scuff in grid.previous}


def keep(grid: Grid, *, drop: bool = False) -> Board | None:
    """Every step that can stay where people saw it stays; the others are then fitted in around them."""
    if not grid.previous:
        return None
    board = Board(grid)
    board.dropped |= _seen_scuffs(grid)
    for i, slot in sorted(grid.previous.items(), key=lambda item: (item[1], item[0])):
        task = grid.tasks[i]
        if task.fact is None and preceded(board, i) and slot >= grid.first_slot:
            way = next((way for way in task.ways if not holds(board, task, way, slot)), None)
            if way is not None:
                board.place(task, slot, way)
    priority = [float(grid.previous.get(i, grid.horizon + i)) for i in range(len(grid.tasks))]
    return place_all(grid, priority, drop=drop, board=board)


def _fixed_orders(grid: Grid) -> list[Priority]:
    """Priorities by task, lower first."""
    tail = _tails(grid)
    far = float(max([grid.horizon, *(by for by, _ in grid.due.values())]))
    due = [float(grid.due.get(task.step.piece, (far, 1))[0]) for task in grid.tasks]
    work: dict[str, float] = {}
    for task in grid.open_tasks:
        work[task.step.piece] = work.get(task.step.piece, 0.0) + task.slots
    left = [work.get(task.step.piece, 0.0) for task in grid.tasks]
    slack = [d - t for d, t in zip(due, tail, strict=True)]
    orders: list[Priority] = [slack, [-t for t in tail], [d * 1000 + s for d, s in zip(due, slack, strict=True)]]
    orders.append([w * 1000 - t for w, t in zip(left, tail, strict=True)])
    if grid.previous:
        orders.append([float(grid.previous.get(i, grid.horizon)) for i in range(len(grid.tasks))])
    return orders


def _tails(grid: Grid) -> list[float]:
    """Elapsed slots from the start of each step to the end of all that follows it, hands-on time stretched by closed time."""
    open_slots = sum(end - start for start, end in grid.spans)
    stretch = (grid.horizon - grid.first_slot) / open_slots if open_slots else 1.0
    tail = [0.0] * len(grid.tasks)
    for i in reversed(grid.order):
        after = [lag.wait.shortest + tail[lag.then] for lag in grid.out[i]]
        tail[i] = grid.tasks[i].slots * stretch + max(after, default=0.0)
    return tail


def preceded(board: Board, index: int) -> bool:
    """Whether all that a step follows is on the board; scuffs only of windows that are missed, and a scuff itself only then."""
    grid = board.grid
    if grid.is_scuff(index) and grid.scuffed[index] not in board.dropped:
        return False
    return all(lag.first in board.end or not _needed(board, lag.first) for lag in grid.into[index])


def _needed(board: Board, index: int) -> bool:
    return not board.grid.is_scuff(index) or board.grid.scuffed[index] in board.dropped


def place_all(
    grid: Grid,
    priority: Priority,
    *,
    drop: bool = False,
    floors: dict[int, int] | None = None,
    board: Board | None = None,
    scuff_at_once: bool = False,
) -> Board | None:
    """Place every open step in order of `priority` among those whose predecessors are placed.

    A step with an open window goes before all others. Windows that really are lost (the step before is done or has begun)
    are given up and noted on the board, others when one later start did not help: those that a scuff makes good always, the
    rest only if `drop`. With `scuff_at_once` no later start is tried where a scuff will do. None when a step finds no room.
    """
    placing = Placing(board or Board(grid), priority, dict(floors or {}), drop, scuff_at_once)
    while placing.ready:
        if not placing.place_next():
            return None
    return placing.board


class Placing:
    """A board being filled: `ready` are the steps whose predecessors are all placed, `floors` their earliest starts."""

    def __init__(
        self, board: Board, priority: Priority, floors: dict[int, int], drop: bool, scuff_at_once: bool = False
    ) -> None:
        self.board, self.priority, self.floors, self.drop = board, priority, floors, drop
        self.scuff_at_once = scuff_at_once
        self.ready: set[int] = set()
        self.tried: set[Lag] = set()
        self.repairs_left = 30 * len(board.grid.open_tasks) + 30
        self._look(task.index for task in board.grid.open_tasks)
        self._look(lag.scuff for lag in board.dropped if lag.scuff is not None)

    def _look(self, tasks: Iterable[int]) -> None:
        """Which of these tasks are ready now?"""
        for i in tasks:
            if i not in self.board.start and preceded(self.board, i):
                self.ready.add(i)
            else:
                self.ready.discard(i)

    def _rank(self, i: int) -> tuple[bool, float, int]:
        """Windows first, then priority, then the order given."""
        window = any(last_slot(self.board, lag) is not None for lag in self.board.grid.into[i])
        return (not window, self._priority(i), i)

    def _priority(self, i: int) -> float:
        """A scuff is as urgent as the step it makes ready."""
        grid = self.board.grid
        return self.priority[grid.scuffed[i].then if grid.is_scuff(i) else i]

    def place_next(self) -> bool:
        """Place the next step, or make room for it; False when neither can be done."""
        task = self.board.grid.tasks[min(self.ready, key=self._rank)]
        floor = self.floors.get(task.index, self.board.grid.first_slot)
        found = earliest(self.board, task, floor, _FREE_RULES)
        if found is None:
            return self._give_up_windows_after(task)
        start, way = found
        missed = _missed(self.board, task, start)
        if missed is not None:
            return self._repair(missed, start)
        self.board.place(task, start, way)
        self._look([task.index, *(lag.then for lag in self.board.grid.out[task.index])])
        return True

    def _give_up_windows_after(self, task: Task) -> bool:
        """For a step that no hour suits because of the windows after it: let them go, if that is allowed."""
        stuck = {lag for lag in self.board.grid.out[task.index] if lag.most is not None} - self.board.dropped
        self.board.dropped |= stuck if self.drop else set()
        self.floors.pop(task.index, None)
        return self.drop and bool(stuck)

    def _repair(self, missed: Lag, start: int) -> bool:
        """Give the window up if it is lost, else send the step before it later."""
        self.repairs_left -= 1
        lost = missed.ready is not None or (missed in self.tried and (self.drop or missed.scuff is not None))
        if lost or (missed.scuff is not None and (self.scuff_at_once or self.repairs_left < 0)):
            self.board.dropped.add(missed)
            self._look([missed.then] if missed.scuff is None else [missed.scuff, missed.then])
        elif self.repairs_left < 0:
            return False
        else:
            self._send_later(missed, start)
            self.tried.add(missed)
        return True

    def _send_later(self, lag: Lag, start: int) -> None:
        """Lift the step before the window and all placed after it, to be placed as much later as the window was missed by."""
        grid = self.board.grid
        late = start - (last_slot(self.board, lag) or 0)
        self.floors[lag.first] = self.board.start[lag.first] + late
        lifted = [lag.first]
        for i in lifted:
            lifted += sorted({out.then for out in grid.out[i]} & self.board.start.keys() - set(lifted))
        for i in lifted:
            self.board.lift(grid.tasks[i])
        self._look([*lifted, *(out.then for i in lifted for out in grid.out[i])])


def _missed(board: Board, task: Task, start: int) -> Lag | None:
    """The link whose window has closed before `start`, if any."""
    for lag in board.grid.into[task.index]:
        last = last_slot(board, lag)
        if last is not None and start > last:
            return lag
    return None
