"""From the board to the plan: times, people, reasons, promises, what is missed and made good."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from tallboy.planner.network import (
    Blocked,
    Kept,
    MissedWindow,
    Plan,
    Planned,
    Problem,
    Promise,
    Scuffed,
    Span,
    Status,
    Step,
)
from tallboy.planner.search.crew import people_at, place_changes
from tallboy.planner.search.greedy import cost, finishes
from tallboy.planner.search.improve import shift_left
from tallboy.planner.search.polish import polish
from tallboy.planner.search.watch import Best
from tallboy.planner.slots.board import Board
from tallboy.planner.slots.grid import Lag, Task
from tallboy.planner.why.reasons import reason

POLISH_WORK = 40_000  # tries times steps: a tenth of a second or so


def bound_of(best: Best, total: int) -> float:
    """The proven bound [slots], never above what the plan costs."""
    if best.proven:
        return float(total)
    return min(float(total), max(best.late_bound + best.finish_bound, best.cost_bound))


def gap_of(total: float, bound: float) -> float:
    """(cost - bound) / cost."""
    return (total - bound) / total if total else 0.0


def plan_of(best: Best, status: Status, problem: Problem, blocked: tuple[Blocked, ...], *, stay: bool = False) -> Plan:
    """The plan on a board: moved to the left (with `stay`, but for steps that are where people saw them), polished, with
    everybody's name and every step's reason."""
    board = best.board.copy()
    shift_left(board, stay=stay)
    polish(board, POLISH_WORK // max(1, len(board.start)))
    clock = board.grid.clock
    _, late, finish, _ = cost(board)
    total = late + finish
    bound = bound_of(best, total)
    people = people_at(board)
    dropped = sorted(board.dropped, key=lambda lag: (lag.then, lag.first))
    return Plan(
        status=status,
        steps={board.grid.tasks[i].step.key: _planned(board, board.grid.tasks[i], people) for i in sorted(board.start)},
        promises=_kept(board, problem.promises),
        bound=clock.minutes(bound),
        gap=gap_of(total, bound),
        seconds=best.seconds,
        made_at=problem.now,
        missed_windows=tuple(_missed(board, lag) for lag in dropped if lag.scuff is None),
        cost=clock.minutes(total),
        scuffed=tuple(_scuffed(board, lag) for lag in dropped if lag.scuff is not None),
        blocked=blocked,
        place_changes=place_changes(board),
    )


def _planned(board: Board, task: Task, people: dict[int, tuple[str, ...]]) -> Planned:
    why = reason(board, task)
    who = people.get(task.index, ())
    if task.fact is not None:
        fact = task.fact
        return Planned(
            task.step.key,
            fact.start,
            fact.end,
            fact.blocks,
            why,
            done=not fact.running,
            running=fact.running,
            people=who or task.step.people,
        )
    blocks = _blocks(board, task)
    return Planned(task.step.key, blocks[0][0], blocks[-1][1], blocks, why, people=who)


def _blocks(board: Board, task: Task) -> tuple[Span, ...]:
    """The hands-on stretches of a planned step: all of one stretch of hours, or cut where the stretches end."""
    start, end = board.start[task.index], board.end[task.index]
    clock = board.grid.clock
    chunk = min(clock.length(task.step.least_chunk), task.slots)
    parts = [(max(a, start), min(b, end)) for a, b in board.way[task.index].spans if a < end and b > start]
    long_enough = [(a, b) for a, b in parts if b - a >= chunk]
    return tuple((clock.time(a), clock.time(b)) for a, b in long_enough)


def _kept(board: Board, promises: tuple[Promise, ...]) -> tuple[Kept, ...]:
    """What becomes of each promise, from the real end of every step; of one with nothing planned, now."""
    grid = board.grid
    ends = {piece: grid.clock.time(slot) for piece, slot in finishes(board).items()}
    kept = []
    for promise in promises:
        facts = [task.fact.end for task in grid.tasks if task.fact is not None and task.step.piece == promise.piece]
        times = [*facts, *([ends[promise.piece]] if promise.piece in ends else [])]
        finish = max(times or [grid.problem.now], key=_utc)
        late = -((_utc(promise.by) - _utc(finish)) // timedelta(minutes=1))
        kept.append(Kept(promise.piece, promise.by, finish, max(0, late)))
    return tuple(kept)


def _utc(time: datetime) -> datetime:
    return time.astimezone(UTC)


def _missed(board: Board, lag: Lag) -> MissedWindow:
    first, then = board.grid.tasks[lag.first].step, board.grid.tasks[lag.then].step
    return MissedWindow(then.key, _missed_words(first, then), first.key)


def _missed_words(first: Step, then: Step) -> str:
    return f"“{then.title}” comes later after “{first.title}” than it may: the window has closed."


def _scuffed(board: Board, lag: Lag) -> Scuffed:
    first, then = board.grid.tasks[lag.first].step, board.grid.tasks[lag.then].step
    scuff = board.grid.tasks[lag.scuff or 0].step
    return Scuffed(first.key, then.key, scuff.key, f"{_missed_words(first, then)} “{scuff.title}” makes it good.")
