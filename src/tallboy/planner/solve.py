"""One call from problem to plan."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from tallboy.errors import NoPlan
from tallboy.planner.board import Board
from tallboy.planner.build import build
from tallboy.planner.conflict import explain
from tallboy.planner.greedy import best_greedy, cost, finishes
from tallboy.planner.grid import Grid, Lag, Task
from tallboy.planner.improve import Improved, any_plan, improve, really_missed, shift_left
from tallboy.planner.model import Search
from tallboy.planner.network import Kept, MissedWindow, Plan, Planned, Problem, Span, Status
from tallboy.planner.reasons import reason


def solve(problem: Problem, *, seconds: float = 2.0, workers: int = 1, seed: int = 1) -> Plan:
    """Work out the best plan that can be found in the time.

    The greedy planner gives a valid plan at once; the solver then improves it: promises by weight, then the finishing times
    of all pieces, then the fewest changes against the plan people saw. It never comes back empty.

    Parameters: problem; seconds [s] wall clock the solver may use, above 0; workers [1] threads, 1 or more; seed.
    Returns: the plan; its status is "optimal" when lateness and finishing times are proven best, "good" when the solver
    worked on it, "first" when it is the greedy planner's.
    Raises: BadInput for what cannot be used; NoPlan, with the rules and steps in conflict, when no plan keeps all rules.
    Validity: with 1 worker the same problem and seed give the same plan whenever the solver ends before its time.
    Source: own derivation, see docs/planner.md.
    """
    grid = build(problem)
    board = best_greedy(grid, seed=seed, shuffles=_shuffles(grid))
    search, used = Search(seconds, workers, seed), 0.0
    if board is None:
        outcome, board = any_plan(grid, search)
        used = outcome.seconds
        if outcome.verdict == "no plan":
            raise explain(problem, search.within(max(2.0, seconds)))
        if board is None:
            return _fallback(grid, seed, used)
        shift_left(board)
    if not grid.open_tasks:
        return _plan(Improved(board, proven=True), "optimal")
    best = improve(board, search.within(seconds - used))
    best.seconds += used
    return _plan(best, "optimal" if best.proven else "good")


def first_plan(problem: Problem, *, seed: int = 1) -> Plan:
    """The greedy planner's plan alone, without the solver.

    Parameters: problem; seed.
    Returns: a plan with status "first"; windows it could not keep are in `missed_windows`.
    Raises: BadInput as `solve`; NoPlan when the steps do not fit into the working hours given.
    Source: own derivation, see docs/planner.md.
    """
    grid = build(problem)
    board = best_greedy(grid, seed=seed, shuffles=_shuffles(grid))
    return _plan(Improved(board), "first") if board is not None else _fallback(grid, seed, 0.0)


def _shuffles(grid: Grid) -> int:
    """Fewer shuffled orders for bigger shops, so that the first plan stays quick."""
    return min(12, 1500 // (len(grid.tasks) + 1))


def _fallback(grid: Grid, seed: int, seconds: float) -> Plan:
    """A plan that gives up windows it cannot keep, for when none was found in time that keeps them all."""
    board = best_greedy(grid, seed=seed, drop=True)
    if board is None:
        raise NoPlan(
            "The steps do not fit into the working hours given.",
            "Give working hours further ahead, or more of them.",
            rules=("hours",),
            steps=tuple(task.step.key for task in grid.open_tasks),
        )
    return _plan(Improved(board, seconds=seconds), "first")


def _plan(best: Improved, status: Status) -> Plan:
    board = best.board
    shift_left(board)
    board.dropped = really_missed(board, board.dropped)
    clock = board.grid.clock
    _, late, finish, _ = cost(board)
    total = late + finish
    bound = float(total) if best.proven else min(float(total), best.late_bound + best.finish_bound)
    return Plan(
        status=status,
        steps={task.step.key: _planned(board, task) for task in board.grid.tasks},
        promises=_kept(board),
        bound=clock.minutes(bound),
        gap=(total - bound) / total if total else 0.0,
        seconds=best.seconds,
        made_at=board.grid.problem.now,
        missed_windows=tuple(
            _missed(board, lag) for lag in sorted(board.dropped, key=lambda lag: (lag.then, lag.first))
        ),
        cost=clock.minutes(total),
    )


def _planned(board: Board, task: Task) -> Planned:
    why = reason(board, task)
    if task.fact is not None:
        fact = task.fact
        return Planned(
            task.step.key, fact.start, fact.end, fact.blocks, why, done=not fact.running, running=fact.running
        )
    blocks = _blocks(board, task)
    return Planned(task.step.key, blocks[0][0], blocks[-1][1], blocks, why)


def _blocks(board: Board, task: Task) -> tuple[Span, ...]:
    """The hands-on stretches of a planned step: all of one stretch of hours, or cut where the stretches end."""
    start, end = board.start[task.index], board.end[task.index]
    clock = board.grid.clock
    chunk = min(clock.length(task.step.least_chunk), task.slots)
    parts = [(max(a, start), min(b, end)) for a, b in board.grid.spans if a < end and b > start]
    long_enough = [(a, b) for a, b in parts if b - a >= chunk]
    return tuple((clock.time(a), clock.time(b)) for a, b in long_enough)


def _kept(board: Board) -> tuple[Kept, ...]:
    """What becomes of each promise, from the real end of every step."""
    grid = board.grid
    ends = {piece: grid.clock.time(slot) for piece, slot in finishes(board).items()}
    kept = []
    for promise in grid.problem.promises:
        facts = [task.fact.end for task in grid.tasks if task.fact is not None and task.step.piece == promise.piece]
        finish = max([*facts, *([ends[promise.piece]] if promise.piece in ends else [])], key=_utc)
        late = -((_utc(promise.by) - _utc(finish)) // timedelta(minutes=1))
        kept.append(Kept(promise.piece, promise.by, finish, max(0, late)))
    return tuple(kept)


def _utc(time: datetime) -> datetime:
    return time.astimezone(UTC)


def _missed(board: Board, lag: Lag) -> MissedWindow:
    first, then = board.grid.tasks[lag.first].step, board.grid.tasks[lag.then].step
    text = f"“{then.title}” comes more than {lag.link.most} minutes after “{first.title}”: the window has closed."
    return MissedWindow(then.key, text, first.key)
