"""The board on which steps are placed one at a time, and the rules that say where each may go.

Every rule is one function (board, task, start) that yields a `Hold` for each thing that forbids this start. The greedy
planner, the shift to the left and the reasons all ask the same functions; `rules.py` checks the outcome independently.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from tallboy.planner.grid import Grid, Lag, Task

NEVER = 1 << 40


@dataclass(frozen=True)
class Hold:
    """A rule that forbids a start: the next start worth trying is `again` (NEVER: no later one), because of these tasks."""

    rule: str
    again: int
    because: tuple[int, ...] = ()
    lag: Lag | None = None

    @property
    def name(self) -> tuple[str, Lag | None]:
        """What to leave out to be rid of this hold: the rule, for links the very link."""
        return (self.rule, self.lag)


class Board:
    """Steps placed so far. `start` and `end` hold slots by task; facts are placed from the beginning."""

    def __init__(self, grid: Grid) -> None:
        self.grid = grid
        self.start: dict[int, int] = {}
        self.end: dict[int, int] = {}
        self.dry: dict[int, int] = {}
        self.dropped: set[Lag] = set()
        self._used = bytearray(grid.horizon + 1)
        self._dusty: dict[str, list[int]] = {}
        self._wet: dict[str, list[int]] = {}
        for a, b, hands in grid.busy:
            self._use(a, min(b, grid.horizon), hands)
        for task in grid.tasks:
            self._sort_in(task)
            if task.fact is not None:
                self.start[task.index], self.end[task.index] = task.fact.first, task.fact.last
                self.dry[task.index] = task.fact.dry

    def _sort_in(self, task: Task) -> None:
        if task.step.dusty:
            self._dusty.setdefault(task.step.place, []).append(task.index)
        if task.wet is not None:
            self._wet.setdefault(task.step.place, []).append(task.index)

    def _use(self, start: int, end: int, hands: int) -> None:
        for slot in range(max(start, 0), end):
            self._used[slot] += hands

    def end_of(self, task: Task, start: int) -> int:
        """The slot in which the step ends if it starts at `start` (outside working hours: without a break)."""
        return start + task.slots + (task.gap(start) or 0)

    def place(self, task: Task, start: int) -> None:
        """Put the step on the board."""
        end = self.end_of(task, start)
        self.start[task.index], self.end[task.index] = start, end
        self.dry[task.index] = end + task.wet.at(end) if task.wet is not None else end
        self._use(start, end, task.step.hands)

    def lift(self, task: Task) -> None:
        """Take the step off the board."""
        start, end = self.start.pop(task.index), self.end.pop(task.index)
        del self.dry[task.index]
        self._use(start, end, -task.step.hands)

    def busy_run(self, start: int, end: int, hands: int) -> int | None:
        """The end of the last stretch between `start` and `end` that has not `hands` free; None when there is none."""
        room = self.grid.problem.hands - hands
        last = next((s for s in range(min(end, self.grid.horizon) - 1, start - 1, -1) if self._used[s] > room), None)
        if last is None:
            return None
        while last < self.grid.horizon and self._used[last] > room:
            last += 1
        return last

    def wet_in(self, place: str) -> Iterator[int]:
        """Placed steps that leave `place` wet."""
        return (i for i in self._wet.get(place, ()) if i in self.start)

    def dusty_in(self, place: str) -> Iterator[int]:
        """Placed steps that raise dust in `place`."""
        return (i for i in self._dusty.get(place, ()) if i in self.start)

    def at_work(self, start: int, end: int) -> tuple[int, ...]:
        """Steps whose hands are busy between two slots."""
        tasks = self.grid.tasks
        return tuple(i for i, s in self.start.items() if s < end and self.end[i] > start and tasks[i].step.hands)


Rule = Callable[[Board, Task, int], Iterator[Hold]]


def now(board: Board, task: Task, start: int) -> Iterator[Hold]:
    """Nothing is planned in the past."""
    if start < board.grid.first_slot:
        yield Hold("now", board.grid.first_slot)


def not_before(board: Board, task: Task, start: int) -> Iterator[Hold]:
    """A step does not start before its own earliest date."""
    if task.not_before is not None and start < task.not_before:
        yield Hold("not before", task.not_before)


def waits(board: Board, task: Task, start: int) -> Iterator[Hold]:
    """A step starts only after each step it follows has ended and the wait is over."""
    for lag in board.grid.into[task.index]:
        ready = ready_slot(board, lag)
        if ready is not None and start < ready:
            rule = "order" if max(lag.wait.slots) == 0 else "wait"
            yield Hold(rule, ready, (lag.first,), lag)


def hours(board: Board, task: Task, start: int) -> Iterator[Hold]:
    """A step lies within working hours, whole in one stretch or cut only where the stretches end."""
    if task.gap(start) is None:
        yield Hold("hours", next((w.lo for w in task.windows if w.lo > start), NEVER))


def hands(board: Board, task: Task, start: int) -> Iterator[Hold]:
    """Never more hands at work than there are."""
    end = board.end_of(task, start)
    free = board.busy_run(start, end, task.step.hands)
    if free is not None and task.step.hands:
        yield Hold("hands", free)


def dust(board: Board, task: Task, start: int) -> Iterator[Hold]:
    """Nothing dusty where a coat is being laid or is still wet."""
    end = board.end_of(task, start)
    if task.step.dusty:
        for i in board.wet_in(task.step.place):
            if i != task.index and board.start[i] < end and board.dry[i] > start:
                yield Hold("dust", board.dry[i], (i,))
    if task.wet is not None:
        dry = end + task.wet.at(end)
        for i in board.dusty_in(task.step.place):
            if i != task.index and board.start[i] < dry and board.end[i] > start:
                yield Hold("dust", board.end[i], (i,))


def later_waits(board: Board, task: Task, start: int) -> Iterator[Hold]:
    """A step is not moved to an hour after which the steps that follow would have to wait longer than they do."""
    end = board.end_of(task, start)
    for lag in board.grid.out[task.index]:
        wait = lag.wait.at(end)
        if wait > _room_for_wait(board, lag, end):
            next_break = lag.wait.next_break(end)
            yield Hold("wait", NEVER if next_break is None else start + max(1, next_break - end), (lag.then,), lag)


def _room_for_wait(board: Board, lag: Lag, end: int) -> int:
    """The longest wait that still leaves `then` where it is or, if it is not on the board, within its window."""
    if lag.then in board.start:
        return board.start[lag.then] - end
    return NEVER if lag.most is None or lag in board.dropped else lag.most


def window_before(board: Board, task: Task, start: int) -> Iterator[Hold]:
    """A step starts before the window of the step it follows has closed."""
    for lag in board.grid.into[task.index]:
        last = last_slot(board, lag)
        if last is not None and start > last:
            yield Hold("window", NEVER, (lag.first,), lag)


def window_after(board: Board, task: Task, start: int) -> Iterator[Hold]:
    """A step is not so early that the window for the step after it would have closed."""
    end = board.end_of(task, start)
    for lag in board.grid.out[task.index]:
        if lag.most is None or lag.then not in board.start or lag in board.dropped:
            continue
        early = board.start[lag.then] - lag.most - end
        if early > 0:
            yield Hold("window", start + early, (lag.then,), lag)


RULES: tuple[Rule, ...] = (now, not_before, waits, hours, hands, dust, later_waits, window_after, window_before)


def ready_slot(board: Board, lag: Lag) -> int | None:
    """The slot from which `then` may start, None while `first` is not on the board."""
    if lag.ready is not None or lag.first not in board.end:
        return lag.ready
    end = board.end[lag.first]
    return end + lag.wait.at(end)


def last_slot(board: Board, lag: Lag) -> int | None:
    """The slot in which `then` must start at the latest, None when there is no such limit (any more)."""
    if lag.most is None or lag in board.dropped:
        return None
    if lag.ready is not None:
        return lag.last
    return board.end[lag.first] + lag.most if lag.first in board.end else None


def holds(board: Board, task: Task, start: int, rules: tuple[Rule, ...] = RULES) -> tuple[Hold, ...]:
    """Everything that forbids this start."""
    return tuple(hold for rule in rules for hold in rule(board, task, start))


def earliest(
    board: Board,
    task: Task,
    start: int,
    rules: tuple[Rule, ...] = RULES,
    without: frozenset[tuple[str, Lag | None]] = frozenset(),
) -> int | None:
    """The first start from `start` on that no rule forbids, leaving out the holds named in `without`; None if none."""
    while start < board.grid.horizon:
        again = start
        for rule in rules:
            again = max((hold.again for hold in rule(board, task, start) if hold.name not in without), default=start)
            if again > start:
                break
        if again <= start:
            return start
        start = again
    return None
