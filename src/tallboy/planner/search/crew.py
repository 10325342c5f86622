"""Who of a team does which step, and how often people change from one place to another."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import pairwise

from tallboy.planner.slots.board import Board
from tallboy.planner.slots.grid import Task

Shifts = dict[str, list[Task]]


@dataclass
class _Bench:
    """Where everybody is as the plan goes on."""

    free_from: dict[str, int] = field(default_factory=dict)
    last_place: dict[str, str] = field(default_factory=dict)


def people_at(board: Board) -> dict[int, tuple[str, ...]]:
    """The people at each step that is not done, by task.

    Of those of the crew's teams who are free, those already in the step's place are taken first, then in the order they
    are named. Each team has enough: never more of its people are busy at once than it has.
    """
    bench = _Bench()
    at: dict[int, tuple[str, ...]] = {}
    for task in _in_order(board):
        chosen = tuple(key for team, hands in _crew(board, task) for key in _pick(board, bench, task, team, hands))
        at[task.index] = chosen
        for key in chosen:
            bench.free_from[key] = board.end[task.index]
            bench.last_place[key] = task.step.place
    return at


def _in_order(board: Board) -> list[Task]:
    """Steps that are not done, those begun first, then by start."""
    tasks = [board.grid.tasks[i] for i in board.start]
    still = [task for task in tasks if task.fact is None or task.fact.running]
    return sorted(still, key=lambda task: (task.fact is None, board.start[task.index], task.index))


def _crew(board: Board, task: Task) -> Iterable[tuple[int, int]]:
    if task.fact is None:
        return board.way[task.index].crew
    return board.grid.begun.get(task.index, ())


def _pick(board: Board, bench: _Bench, task: Task, team: int, hands: int) -> list[str]:
    start, place = board.start[task.index], task.step.place
    people = board.grid.teams[team].people
    if task.fact is not None and task.step.people:
        return [key for key in people if key in task.step.people]
    free = [key for key in people if bench.free_from.get(key, start) <= start or task.fact is not None]
    free.sort(key=lambda key: (bench.free_from.get(key, start) > start, bench.last_place.get(key) != place))
    return free[:hands]


def shifts(board: Board) -> Shifts:
    """The steps of each person that are not done, in order."""
    of: Shifts = {}
    for i, people in people_at(board).items():
        for key in people:
            of.setdefault(key, []).append(board.grid.tasks[i])
    for tasks in of.values():
        tasks.sort(key=lambda task: (board.start[task.index], task.index))
    return of


def place_changes(board: Board) -> int:
    """How often people go from one place to another between one step and the next."""
    return sum(one.step.place != other.step.place for tasks in shifts(board).values() for one, other in pairwise(tasks))
