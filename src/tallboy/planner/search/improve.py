"""From the first plan to the best one: the solver's stages, one for each aim, and the shift to the left."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from tallboy.planner.model.parts import MISSED_WINDOW, PlanModel, hint
from tallboy.planner.model.solver import Outcome, Search, run
from tallboy.planner.model.whole import plan_model
from tallboy.planner.search.greedy import cost
from tallboy.planner.search.stopwatch import Stopwatch
from tallboy.planner.search.watch import Best, Watch
from tallboy.planner.slots.board import Board
from tallboy.planner.slots.grid import Grid, Lag, Task
from tallboy.planner.slots.holds import RULES, closing_slot, earliest, holds


def take(best: Best, outcome: Outcome, model: PlanModel, lost: set[Lag]) -> None:
    """Keep the solver's plan if it is no worse than ours."""
    if outcome.values:
        board = board_from(model, outcome, lost)
        if cost(board) <= cost(best.board):
            best.board = board


@dataclass
class _Stage:
    """One run of the solver for one aim, as the watch sees it. `raise_bound` takes the bounds of this aim."""

    best: Best
    model: PlanModel
    lost: set[Lag]
    watch: Watch
    raise_bound: Callable[[float], None]

    def found(self, outcome: Outcome) -> None:
        take(self.best, outcome, self.model, self.lost)

    def proven(self, bound: float) -> None:
        self.raise_bound(bound)

    def goes_on(self) -> bool:
        return self.watch.goes_on(self.best)

    def run(self, search: Search) -> Outcome:
        """Solve from the best plan so far and keep what is better."""
        hint(self.model, self.best.board)
        outcome = run(self.model.cp, search, prepare=False, watcher=self if self.watch.listens else None)
        self.best.seconds += outcome.seconds
        take(self.best, outcome, self.model, self.lost)
        if outcome.values:
            self.raise_bound(outcome.bound)
        return outcome


def board_from(model: PlanModel, outcome: Outcome, lost: set[Lag]) -> Board:
    """The solver's starts and crews put on a board."""
    board = Board(model.grid)
    board.dropped = set(lost)
    for i, start in model.start.items():
        if i in model.present and not outcome[model.present[i]]:
            continue
        chosen = (way for way, _ in model.work[i] if (i, way) not in model.chosen or outcome[model.chosen[i, way]])
        board.place(model.grid.tasks[i], outcome[start], next(chosen))
    tidy(board)
    return board


def tidy(board: Board) -> None:
    """Windows given up that are kept all the same need no scuff and are not missed."""
    for lag in list(board.dropped):
        closing = closing_slot(board, lag)
        if closing is None or board.start[lag.then] <= closing:
            board.dropped.discard(lag)
            if lag.scuff is not None and lag.scuff in board.start:
                board.lift(board.grid.tasks[lag.scuff])


def any_plan(grid: Grid, search: Search) -> tuple[Outcome, Board | None]:
    """Any plan at all that keeps every rule, or the proof that there is none (which the solver's preparations shorten)."""
    model = plan_model(grid, set())
    outcome = run(model.cp, search)
    return outcome, board_from(model, outcome, set()) if outcome.values else None


def improve(best: Best, search: Search, watch: Watch) -> None:
    """Lateness first, then finishing times, then changes, each with the time that is left and the aims before it kept."""
    lost = best.board.dropped | {lag for lag in best.board.grid.lags if lag.scuff is not None}
    model = plan_model(best.board.grid, lost)
    stopwatch = Stopwatch()
    late_proven = _stage_late(model, best, lost, search.within(search.seconds / 2), watch)
    if watch.stopped:
        return
    model.cp.minimize(sum(model.finish))
    offset = len(model.finish) * best.board.grid.first_slot
    stage = _Stage(best, model, lost, watch, lambda bound: best.raise_finish(bound - offset))
    outcome = stage.run(search.within(stopwatch.left_of(search.seconds) * 0.8))
    best.proven = late_proven and outcome.verdict == "optimal"
    if not watch.stopped:
        _stage_changes(model, best, lost, search.within(stopwatch.left_of(search.seconds)), watch)


def _stage_late(model: PlanModel, best: Best, lost: set[Lag], search: Search, watch: Watch) -> bool:
    """Least lateness; nothing to do when the first plan is on time. True when proven."""
    missed, late, *_ = cost(best.board)
    if not model.late:
        return True
    proven = missed + late == 0
    if not proven:
        model.cp.minimize(sum(model.late))
        price = _priced(best.board) * MISSED_WINDOW
        stage = _Stage(best, model, lost, watch, lambda bound: best.raise_late(bound - price))
        proven = stage.run(search).verdict == "optimal"
        _, late, *_ = cost(best.board)
    if not watch.stopped:
        model.cp.add(sum(model.late) <= late + _priced(best.board) * MISSED_WINDOW)
    return proven


def _priced(board: Board) -> int:
    """How many missed windows the model has a price for."""
    return sum(lag.ready is not None and lag.scuff is None for lag in board.dropped)


def _stage_changes(model: PlanModel, best: Best, lost: set[Lag], search: Search, watch: Watch) -> None:
    """As many steps as possible where people saw them, without finishing later."""
    if not model.changed:
        return
    _, _, finish, _ = cost(best.board)
    model.cp.add(sum(model.finish) <= finish + len(model.finish) * best.board.grid.first_slot)
    model.cp.minimize(sum(model.changed))
    _Stage(best, model, lost, watch, lambda _: None).run(search)


def shift_left(board: Board, *, stay: bool = False) -> None:
    """Move every step to the earliest start its rules allow, until none can move.

    A step that is where people saw it moves only if it could begin at the last moment of open hours before, so that a
    gap far ahead does not pull it out of its place; with `stay` it does not move at all.
    """
    moved = True
    while moved:
        moved = False
        for i in sorted(board.start, key=lambda j: (board.start[j], j)):
            task = board.grid.tasks[i]
            if task.fact is None and i in board.start:
                moved |= _move(board, task, stay=stay)
        tidy(board)


def _move(board: Board, task: Task, *, stay: bool) -> bool:
    """Move one step to the left if it can be done earlier; True when it moved."""
    start, end, way = board.start[task.index], board.end[task.index], board.way[task.index]
    board.lift(task)
    seen = board.grid.previous.get(task.index) == start
    before = way.windows.before(start)
    stays = seen and (stay or before is None or holds(board, task, way, before, RULES))
    found = None if stays else earliest(board, task, board.grid.first_slot)
    if found is not None and (board.end_of(task, found[1], found[0]), found[0]) >= (end, start):
        found = None
    board.place(task, *(found or (start, way)))
    return found is not None
