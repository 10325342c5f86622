"""A stretch of a plan worked out anew by the solver, and what follows it placed again.

The solver betters some eighty steps in a second or two where it cannot begin to work on some hundred. Steps before the stretch
stay, those in it are set free, those behind it are left out: what the solver makes small is the slot in which each piece could
go on. The greedy planner then places the rest in the order it had.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from tallboy.planner.model.parts import PlanModel, hint
from tallboy.planner.model.shared import add_hands, add_layers, add_rooms
from tallboy.planner.model.solver import IntVar, LinearExpr, Outcome, Search, run
from tallboy.planner.model.steps import add_lag, add_step, wait_after
from tallboy.planner.search.greedy import finishes, place_all
from tallboy.planner.slots.board import Board
from tallboy.planner.slots.grid import Grid, Task, Way, Window, Windows

ROOM = 288  # how much later [slots] than the stretch its steps may go: a day
SIZES = (40, 80, 80, 100)  # steps in a stretch
LATE = 10  # how much dearer a late slot is than one of finishing later, so that promises go first
FINE = 20  # weights are rounded to 1/FINE


@dataclass(frozen=True)
class Stretch:
    """Part of a plan: `free` steps to be placed anew from slot `begin` on, `beside` those that stay and are still in their way."""

    begin: int
    end: int
    free: tuple[int, ...]
    before: tuple[int, ...]
    beside: tuple[int, ...]


def anew(board: Board, random: np.random.Generator, search: Search) -> Board | None:
    """The plan with one stretch, taken at random, worked out anew and what follows it placed again.

    Parameters: board, which stays as it is; random; search: seconds [s] and effort at most, workers, seed.
    Returns: the new plan, better or worse; None when nothing was found in the time.
    Source: own derivation (large-neighbourhood search over stretches of time, with serial placing of the rest).
    """
    stretch = a_stretch(board, random, int(random.choice(SIZES)))
    model, outcome = _solved(board, stretch, _weights(board, random), search)
    return _refilled(board, stretch, model, outcome) if outcome.values else None


def a_stretch(board: Board, random: np.random.Generator, steps: int) -> Stretch:
    """Some steps that follow one another on the board, from any of them on."""
    grid = board.grid
    opened = sorted((s, i) for i, s in board.start.items() if grid.tasks[i].fact is None)
    at = int(random.integers(-steps // 2, max(1, len(opened) - steps // 2)))
    chosen = opened[max(0, at) : max(0, at) + steps]
    begin, end = chosen[0][0], chosen[-1][0] + 1
    free = tuple(i for s, i in opened if begin <= s < end)
    before = tuple(i for s, i in opened if s < begin)
    return Stretch(begin, end, free, before, tuple(i for i in before if _until(board, i) > begin))


def _until(board: Board, i: int) -> int:
    """When a step is over and all it holds is free again."""
    task = board.grid.tasks[i]
    return max(board.end[i], *board.held_until(task), *board.used_until(task), 0)


def _weights(board: Board, random: np.random.Generator) -> dict[str, int]:
    """What a slot of each piece is worth: more when it is late, and shaken, so that now this piece goes first and now that one."""
    shake = float(random.choice([0.0, 0.3, 0.6, 1.0]))
    weights = {}
    for piece, end in sorted(finishes(board).items()):
        by, weight = board.grid.due.get(piece, (end, 0))
        worth = 1.0 + LATE * weight * (end > by)
        weights[piece] = max(1, round(FINE * worth * float(np.exp(random.normal(0.0, shake)))))
    return weights


def _solved(board: Board, stretch: Stretch, weights: Mapping[str, int], search: Search) -> tuple[PlanModel, Outcome]:
    """The best places for the free steps."""
    model = _small_model(board, stretch)
    ready = _going_on(model, board, stretch)
    goal: list[LinearExpr | IntVar] = [weights[piece] * slot for piece, slot in ready]
    goal += [model.end[i] for i in stretch.free]
    model.cp.minimize(sum(goal))
    hint(model, _seen(board, model))
    return model, run(model.cp, search, prepare=False)


def _small_model(board: Board, stretch: Stretch) -> PlanModel:
    """The rules as constraints, for the free steps and those beside them only."""
    small = _clipped(board, stretch)
    model = PlanModel(small)
    for lag in board.dropped:
        if lag.scuff is not None:
            model.missed[lag] = model.cp.new_constant(1)
    for i in (*stretch.beside, *stretch.free):
        add_step(model, small.tasks[i])
    add_hands(model)
    for lag in small.lags:
        if lag.then not in model.start or lag.then in stretch.beside:
            continue
        if lag.ready is not None or lag.first in model.start:
            add_lag(model, lag, board.dropped)
        elif lag.first in board.end:
            end = board.end[lag.first]
            model.cp.add(model.start[lag.then] >= end + lag.wait.at(end))
            if lag.most is not None and lag not in board.dropped:
                model.cp.add(model.start[lag.then] <= end + lag.most.at(end))
    add_layers(model)
    add_rooms(model)
    return model


def _clipped(board: Board, stretch: Stretch) -> Grid:
    """The grid with the free steps kept near their stretch, and those beside it where they are."""
    tasks = list(board.grid.tasks)
    for i in stretch.free:
        tasks[i] = _within(tasks[i], tasks[i].ways, stretch.begin, stretch.end + ROOM)
    for i in stretch.beside:
        tasks[i] = _within(tasks[i], (board.way[i],), board.start[i], board.start[i])
    return replace(board.grid, tasks=tuple(tasks))


def _within(task: Task, ways: tuple[Way, ...], lo: int, hi: int) -> Task:
    """The step with only those of its starts that lie between two slots."""
    return replace(task, ways=tuple(_clip(way, lo, hi) for way in ways))


def _clip(way: Way, lo: int, hi: int) -> Way:
    starts = Windows(Window(max(w.lo, lo), min(w.hi, hi), w.gap) for w in way.starts if w.lo <= hi and w.hi >= lo)
    return replace(way, starts=starts, windows=starts, loud=starts)


def _seen(board: Board, model: PlanModel) -> Board:
    """The board with the ways of the model in place of its own, to take hints from."""
    seen = board.copy()
    for i in model.start:
        seen.way[i] = model.grid.tasks[i].ways[_which(board, model, i)]
    return seen


def _which(board: Board, model: PlanModel, i: int) -> int:
    """Which of the model's ways a step goes on the board."""
    own = board.grid.tasks[i].ways
    return own.index(board.way[i]) if len(model.grid.tasks[i].ways) == len(own) else 0


def _going_on(model: PlanModel, board: Board, stretch: Stretch) -> list[tuple[str, IntVar | LinearExpr]]:
    """For each step that would come next behind the stretch, its piece and the slot from which it could start."""
    grid, free = board.grid, set(stretch.free)
    ready: list[tuple[str, IntVar | LinearExpr]] = []
    for i in stretch.free:
        after = [lag for lag in grid.out[i] if lag.then in board.start]
        if not after:
            ready.append((grid.tasks[i].step.piece, model.end[i]))
        for lag in after:
            if lag.then not in free:
                wait = wait_after(model, i, lag.wait)
                ready.append((grid.tasks[lag.then].step.piece, model.end[i] + wait))
    return ready


def _refilled(board: Board, stretch: Stretch, model: PlanModel, outcome: Outcome) -> Board | None:
    """The solver's places for the stretch, and behind it the rest in the order it had."""
    new = Board(board.grid)
    for i in stretch.before:
        new.place(board.grid.tasks[i], board.start[i], board.way[i])
    for i in stretch.free:
        small = model.grid.tasks[i].ways
        chosen = next(w for w, _ in model.work[i] if (i, w) not in model.chosen or outcome[model.chosen[i, w]])
        new.place(board.grid.tasks[i], outcome[model.start[i]], board.grid.tasks[i].ways[small.index(chosen)])
    new.dropped = {lag for lag in board.dropped if lag.then in new.start or lag.scuff in new.start}
    drop = any(lag.scuff is None and lag.ready is None for lag in board.dropped)
    priority = [float(board.start.get(i, board.grid.horizon)) for i in range(len(board.grid.tasks))]
    return place_all(board.grid, priority, drop=drop, board=new)
