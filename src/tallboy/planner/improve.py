"""From the first plan to the best one: the solver's stages, one for each aim, and the shift to the left."""

from __future__ import annotations

from dataclasses import dataclass

from tallboy.planner.board import RULES, Board, earliest, holds
from tallboy.planner.greedy import cost
from tallboy.planner.grid import Grid, Lag, Task
from tallboy.planner.model import MISSED_WINDOW, Outcome, PlanModel, Search, hint, plan_model, run


@dataclass
class Improved:
    """The best board so far and what is proven about it: bounds in slots, `proven` when lateness and finishing are best."""

    board: Board
    late_bound: float = 0.0
    finish_bound: float = 0.0
    proven: bool = False
    seconds: float = 0.0

    def take(self, outcome: Outcome, model: PlanModel, lost: set[Lag]) -> None:
        """Keep the solver's plan if it is no worse than ours."""
        self.seconds += outcome.seconds
        if outcome.verdict in ("optimal", "good"):
            board = board_from(model, outcome, lost)
            if cost(board) <= cost(self.board):
                self.board = board


def board_from(model: PlanModel, outcome: Outcome, lost: set[Lag]) -> Board:
    """The solver's starts put on a board."""
    board = Board(model.grid)
    for i, start in model.start.items():
        board.place(model.grid.tasks[i], outcome[start])
    board.dropped = really_missed(board, lost)
    return board


def really_missed(board: Board, lost: set[Lag]) -> set[Lag]:
    """Those of the windows given up that are in fact missed."""
    return {lag for lag in lost if lag.most is not None and board.start[lag.then] > _last(board, lag)}


def _last(board: Board, lag: Lag) -> int:
    if lag.ready is not None:
        return lag.last or 0
    return board.end[lag.first] + (lag.most or 0)


def any_plan(grid: Grid, search: Search) -> tuple[Outcome, Board | None]:
    """Any plan at all that keeps every rule, or the proof that there is none (which the solver's preparations shorten)."""
    model = plan_model(grid, set())
    outcome = run(model.cp, search)
    return outcome, board_from(model, outcome, set()) if outcome.values else None


def improve(board: Board, search: Search) -> Improved:
    """Lateness first, then finishing times, then changes, each with the time that is left and the aims before it kept."""
    lost = set(board.dropped)
    model = plan_model(board.grid, lost)
    best = Improved(board)
    late_proven = _stage_late(model, best, lost, search.within(search.seconds / 2))
    hint(model, best.board)
    model.cp.minimize(sum(model.finish))
    outcome = run(model.cp, search.within((search.seconds - best.seconds) * 0.8), prepare=False)
    best.take(outcome, model, lost)
    best.proven = late_proven and outcome.verdict == "optimal"
    offset = len(model.finish) * board.grid.first_slot
    best.finish_bound = max(0.0, outcome.bound - offset)
    _stage_changes(model, best, lost, search.within(search.seconds - best.seconds))
    return best


def _stage_late(model: PlanModel, best: Improved, lost: set[Lag], search: Search) -> bool:
    """Least lateness; nothing to do when the first plan is on time. True when proven."""
    missed, late, *_ = cost(best.board)
    if not model.late:
        return True
    proven = missed + late == 0
    if not proven:
        hint(model, best.board)
        model.cp.minimize(sum(model.late))
        outcome = run(model.cp, search, prepare=False)
        best.take(outcome, model, lost)
        proven = outcome.verdict == "optimal"
        missed, late, *_ = cost(best.board)
        best.late_bound = late if proven else max(0.0, min(outcome.bound, late))
    const_missed = sum(lag.ready is not None for lag in best.board.dropped)
    model.cp.add(sum(model.late) <= late + const_missed * MISSED_WINDOW)
    return proven


def _stage_changes(model: PlanModel, best: Improved, lost: set[Lag], search: Search) -> None:
    """As many steps as possible where people saw them, without finishing later."""
    if not model.changed:
        return
    _, _, finish, _ = cost(best.board)
    model.cp.add(sum(model.finish) <= finish + len(model.finish) * best.board.grid.first_slot)
    hint(model, best.board)
    model.cp.minimize(sum(model.changed))
    best.take(run(model.cp, search, prepare=False), model, lost)


def shift_left(board: Board) -> None:
    """Move every step to the earliest start its rules allow, until none can move.

    A step that is where people saw it moves only if it could begin at the last moment of open hours before, so that a
    gap far ahead does not pull it out of its place.
    """
    moved = True
    while moved:
        moved = False
        for i in sorted(board.start, key=lambda j: (board.start[j], j)):
            task = board.grid.tasks[i]
            if task.fact is None:
                moved |= _move(board, task)


def _move(board: Board, task: Task) -> bool:
    """Move one step to the left if it can go; True when it moved."""
    start = board.start[task.index]
    board.lift(task)
    seen = board.grid.previous.get(task.index) == start
    before = _last_open_start(task, start)
    stays = seen and (before is None or holds(board, task, before, RULES))
    new = start if stays else earliest(board, task, board.grid.first_slot)
    board.place(task, start if new is None else min(start, new))
    return board.start[task.index] < start


def _last_open_start(task: Task, start: int) -> int | None:
    """The latest start before `start` at which the working hours would have the step; None when there is none."""
    return max((min(window.hi, start - 1) for window in task.windows if window.lo < start), default=None)
