"""Last touches to a plan that cost none of the aims before them: fewer changes of place, and days that end early."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from tallboy.planner.search.crew import place_changes, shifts
from tallboy.planner.search.greedy import cost
from tallboy.planner.slots.board import Board
from tallboy.planner.slots.grid import Slots, Task, Way
from tallboy.planner.slots.holds import earliest

BESIDE = "place"
EARLY = "early"
Spot = tuple[int, Way]


@dataclass
class _Tries:
    """How many more moves may be tried: counted, not timed, so that the same plan comes out on any machine."""

    left: int

    def another(self) -> bool:
        """Take one; False when none is left."""
        self.left -= 1
        return self.left >= 0


def polish(board: Board, tries: int) -> None:
    """Swap neighbours that save a change of place and, where it is wanted, move late work into gaps of later days.

    Nothing is accepted that makes lateness, finishing times or the number of changed starts worse. Steps that could be earlier
    afterwards are noted on the board.
    """
    left = _Tries(tries)
    _stay_in_place(board, left)
    if board.grid.problem.leave_early:
        _leave_early(board, left)


def _stay_in_place(board: Board, tries: _Tries) -> None:
    """For each two steps of a person in different places, try them the other way round."""
    now = place_changes(board)
    for tasks in list(shifts(board).values()):
        for one, other in pairwise(tasks):
            if one.fact is None and other.fact is None and one.step.place != other.step.place:
                if not tries.another():
                    return
                now = _swapped(board, one, other, now)


def _swapped(board: Board, one: Task, other: Task, now: int) -> int:
    """Put two steps the other way round if that saves a change of place; the changes of place there are then."""
    if board.start[one.index] > board.start[other.index]:
        return now
    before, spots = cost(board), (_spot(board, one), _spot(board, other))
    first = board.start[one.index]
    board.lift(one)
    board.lift(other)
    moved = _put(board, other, first) and _put(board, one, first)
    if moved and cost(board) <= before:
        changes = place_changes(board)
        if changes < now:
            board.notes[one.index] = BESIDE
            return changes
    _back(board, (one, other), spots)
    return now


def _spot(board: Board, task: Task) -> Spot:
    return board.start[task.index], board.way[task.index]


def _put(board: Board, task: Task, floor: int) -> bool:
    """Place a step as early as it can go from `floor` on; False when it finds no room."""
    found = earliest(board, task, floor)
    if found is not None:
        board.place(task, *found)
    return found is not None


def _back(board: Board, tasks: tuple[Task, ...], spots: tuple[Spot, ...]) -> None:
    for task in tasks:
        if task.index in board.start:
            board.lift(task)
    for task, spot in zip(tasks, spots, strict=True):
        board.place(task, *spot)


def _leave_early(board: Board, tries: _Tries) -> None:
    """The last step of each day goes into a gap of a later one, if nothing comes later by it and that day ends no later."""
    for day in _days(board):
        while (last := _last_of(board, day)) is not None and tries.another():
            if not _moved_on(board, last, day):
                break


def _days(board: Board) -> list[Slots]:
    """The stretches of open hours put together by day."""
    clock = board.grid.clock
    days: dict[object, Slots] = {}
    for a, b in board.grid.spans:
        date = clock.time(a).date()
        days[date] = (days.get(date, (a, b))[0], b)
    return list(days.values())


def _last_of(board: Board, day: Slots) -> Task | None:
    """The step with which a day ends, if it is one that could be done another day."""
    here = [i for i, end in board.end.items() if day[0] < end <= day[1] and board.grid.tasks[i].step.hands]
    last = max(here, key=lambda i: (board.end[i], i), default=None)
    if last is None or board.grid.tasks[last].fact is not None or board.start[last] < day[0]:
        return None
    return board.grid.tasks[last]


def _moved_on(board: Board, task: Task, day: Slots) -> bool:
    """Move a step to a later day where it lengthens none; False when it has to stay."""
    before, spot, ends = cost(board), _spot(board, task), _day_ends(board)
    board.lift(task)
    start: int | None = day[1]
    while start is not None and (found := earliest(board, task, start)) is not None:
        board.place(task, *found)
        if cost(board) > before:
            break
        if _day_ends(board) < ends:
            board.notes[task.index] = EARLY
            return True
        board.lift(task)
        start = _next_day(board, found[0])
    if task.index in board.start:
        board.lift(task)
    board.place(task, *spot)
    return False


def _next_day(board: Board, start: int) -> int | None:
    return next((a for a, _ in _days(board) if a > start), None)


def _day_ends(board: Board) -> int:
    """How late days end: the squares of their lengths [slots from each opening to the last hands-on slot], added up.

    Squares, because an hour less on a long day is worth more than an hour more on a short one.
    """
    works = [board.end[i] for i in board.start if board.grid.tasks[i].step.hands]
    total = 0
    for opens, closes in _days(board):
        last = max((end for end in works if opens < end <= closes), default=opens)
        total += (last - opens) ** 2
    return total
