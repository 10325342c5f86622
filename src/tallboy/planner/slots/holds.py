"""May this step start here? Every rule is one function that yields a `Hold` for each thing that forbids this start.

The greedy planner, the shift to the left and the reasons all ask the same functions.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from tallboy.planner.slots.board import NEVER, Board, fits
from tallboy.planner.slots.grid import Holding, Lag, Task, Way, Windows


@dataclass(frozen=True)
class Hold:
    """A rule that forbids a start: the next start worth trying is `again` (NEVER: no later one), because of these tasks."""

    rule: str
    again: int
    because: tuple[int, ...] = ()
    lag: Lag | None = None
    of: int | None = None

    @property
    def name(self) -> tuple[str, Lag | None]:
        """What to leave out to be rid of this hold: the rule, for links the very link."""
        return (self.rule, self.lag)


Names = frozenset[tuple[str, Lag | None]]
Rule = Callable[[Board, Task, Way, int], Iterator[Hold]]
Found = tuple[int, Way]
"""Where a step could start, and who would do it."""


def now(board: Board, task: Task, way: Way, start: int) -> Iterator[Hold]:
    """Nothing is planned in the past."""
    if start < board.grid.first_slot:
        yield Hold("now", board.grid.first_slot)


def not_before(board: Board, task: Task, way: Way, start: int) -> Iterator[Hold]:
    """A step does not start before its own earliest date."""
    if task.not_before is not None and start < task.not_before:
        yield Hold("not before", task.not_before)


def delivery(board: Board, task: Task, way: Way, start: int) -> Iterator[Hold]:
    """A step does not start before what it needs has been delivered."""
    if task.delivered is not None and start < task.delivered:
        yield Hold("delivery", task.delivered)


def waits(board: Board, task: Task, way: Way, start: int) -> Iterator[Hold]:
    """A step starts only after each step it follows has ended and the wait is over."""
    for lag in board.grid.into[task.index]:
        ready = ready_slot(board, lag)
        if ready is not None and start < ready:
            rule = "order" if lag.wait.longest == 0 else "wait"
            yield Hold(rule, ready, (lag.first,), lag)


def hours(board: Board, task: Task, way: Way, start: int) -> Iterator[Hold]:
    """A step lies within the hours of its crew and place, whole in one stretch or cut only where the stretches end."""
    if way.loud.gap(start) is None:
        yield Hold("hours", _next(way.loud, start))


def quiet(board: Board, task: Task, way: Way, start: int) -> Iterator[Hold]:
    """A noisy step keeps out of quiet hours."""
    if way.windows is not way.loud and way.windows.gap(start) is None:
        yield Hold("quiet", _next(way.windows, start))


def _next(windows: Windows, start: int) -> int:
    again = windows.after(start)
    return NEVER if again is None else again


def air(board: Board, task: Task, way: Way, start: int) -> Iterator[Hold]:
    """A step is done in air that suits it, for as long as it asks."""
    if task.fit is not None:
        again = fits(task.fit, start, board.end_of(task, way, start) + task.fit_after)
        if again is not None:
            yield Hold("air", again)


def hands(board: Board, task: Task, way: Way, start: int) -> Iterator[Hold]:
    """Nobody is at two steps at once."""
    free = board.busy_run(way, start, board.end_of(task, way, start))
    if free is not None:
        yield Hold("hands", free)


def room(board: Board, task: Task, way: Way, start: int) -> Iterator[Hold]:
    """Never more of anything in use than there is."""
    end = board.end_of(task, way, start) if task.uses else start
    for holding in task.uses:
        free = board.taken_run(holding.of, holding.amount, start, end + holding.hold.at(end))
        if free is not None and holding.amount:
            yield Hold("room", _or_shorter(holding, start, end, free), of=holding.of)


def layers(board: Board, task: Task, way: Way, start: int) -> Iterator[Hold]:
    """No dust where a coat is wet, no other work beside an open solvent, no flame near vapour."""
    if not task.holds and not task.shuns:
        return
    end = board.end_of(task, way, start)
    for layer in task.shuns:
        free = board.held_run(layer, start, end)
        if free is not None:
            yield Hold(board.grid.layers[layer].rule, free, of=layer)
    for holding in task.holds:
        free = board.shunned_run(holding.of, start, end + holding.hold.at(end))
        if free is not None:
            yield Hold(board.grid.layers[holding.of].rule, _or_shorter(holding, start, end, free), of=holding.of)


def _or_shorter(holding: Holding, start: int, end: int, free: int) -> int:
    """The next start worth trying: when the way is free, or at the hour from which less long is held."""
    change = holding.hold.next_break(end)
    return free if change is None else min(free, start + max(1, change - end))


def later_waits(board: Board, task: Task, way: Way, start: int) -> Iterator[Hold]:
    """A step is not moved to an hour after which the steps that follow would have to wait longer than they do."""
    end = board.end_of(task, way, start)
    for lag in board.grid.out[task.index]:
        wait = lag.wait.at(end)
        if wait > _room_for_wait(board, lag, end):
            next_break = lag.wait.next_break(end)
            if lag.then not in board.start and lag.most is not None:
                next_break = _sooner(next_break, lag.most.next_break(end))
            yield Hold("wait", NEVER if next_break is None else start + max(1, next_break - end), (lag.then,), lag)


def _room_for_wait(board: Board, lag: Lag, end: int) -> int:
    """The longest wait that still leaves `then` where it is or, if it is not on the board, within its window."""
    if lag.then in board.start:
        return board.start[lag.then] - end
    return NEVER if lag.most is None or lag.scuff is not None or lag in board.dropped else lag.most.at(end)


def _sooner(one: int | None, other: int | None) -> int | None:
    return min((slot for slot in (one, other) if slot is not None), default=None)


def window_before(board: Board, task: Task, way: Way, start: int) -> Iterator[Hold]:
    """A step starts before the window of the step it follows has closed."""
    for lag in board.grid.into[task.index]:
        last = last_slot(board, lag)
        if last is not None and start > last:
            yield Hold("window", NEVER, (lag.first,), lag)


def window_after(board: Board, task: Task, way: Way, start: int) -> Iterator[Hold]:
    """A step is not so early that the window for the step after it would have closed."""
    end = board.end_of(task, way, start)
    for lag in board.grid.out[task.index]:
        if lag.most is None or lag.then not in board.start or lag in board.dropped:
            continue
        early = board.start[lag.then] - lag.most.at(end) - end
        if early > 0:
            change = lag.most.next_break(end)
            again = early if change is None else min(early, max(1, change - end))
            yield Hold("window", start + again, (lag.then,), lag)


RULES: tuple[Rule, ...] = (
    now,
    not_before,
    delivery,
    waits,
    hours,
    quiet,
    air,
    hands,
    room,
    layers,
    later_waits,
    window_after,
    window_before,
)


def ready_slot(board: Board, lag: Lag) -> int | None:
    """The slot from which `then` may start, None while `first` is not on the board."""
    if lag.ready is not None or lag.first not in board.end:
        return lag.ready
    end = board.end[lag.first]
    return end + lag.wait.at(end)


def last_slot(board: Board, lag: Lag) -> int | None:
    """The slot in which `then` must start at the latest, None when there is no such limit (any more)."""
    return None if lag in board.dropped else closing_slot(board, lag)


def closing_slot(board: Board, lag: Lag) -> int | None:
    """The slot in which the window closes, whether it is kept or not; None when it has no end that is known."""
    if lag.most is None or lag.ready is not None:
        return lag.last
    if lag.first not in board.end:
        return None
    end = board.end[lag.first]
    return end + lag.most.at(end)


def holds(board: Board, task: Task, way: Way, start: int, rules: tuple[Rule, ...] = RULES) -> tuple[Hold, ...]:
    """Everything that forbids this start."""
    return tuple(hold for rule in rules for hold in rule(board, task, way, start))


def earliest(
    board: Board,
    task: Task,
    start: int,
    rules: tuple[Rule, ...] = RULES,
    without: Names = frozenset(),
) -> Found | None:
    """The first start from `start` on that no rule forbids, and the way; None if there is none.

    Of several crews the one that is done first is taken, of those the one that begins first. Holds named in `without` are
    left out.
    """
    best: tuple[int, int, Way] | None = None
    for way in task.ways:
        limit = board.grid.horizon if best is None else best[0]
        found = earliest_by(board, task, way, start, rules, without, limit)
        if found is not None:
            end = board.end_of(task, way, found)
            if best is None or (end, found) < best[:2]:
                best = (end, found, way)
    return None if best is None else best[1:]


def earliest_by(
    board: Board, task: Task, way: Way, start: int, rules: tuple[Rule, ...], without: Names, limit: int
) -> int | None:
    """The same for one crew, below `limit`."""
    while start < limit:
        again = start
        for rule in rules:
            for hold in rule(board, task, way, start):
                if hold.again > again and hold.name not in without:
                    again = hold.again
            if again > start:
                break
        if again <= start:
            return start
        start = again
    return None
