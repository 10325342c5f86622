"""A new plan at once when something slipped, in which steps stay where people saw them.

First come missed windows, then promises broken, by weight: for a promise that can be kept any step may move. All else has its price:
a step moves only if weighted lateness and finishing times gain more than MOVE minutes for each step that moves. So a piece
that is late anyway does not turn the whole week round to be late by five minutes less.
"""

from __future__ import annotations

import numpy as np

from tallboy.planner.network import Plan, Problem
from tallboy.planner.search.answer import plan_of
from tallboy.planner.search.bounds import alone_in, shop_of
from tallboy.planner.search.greedy import cost, finishes, follow, keep, place_all, preceded
from tallboy.planner.search.reinsert import Market
from tallboy.planner.search.stopwatch import Stopwatch
from tallboy.planner.search.watch import Best
from tallboy.planner.slots.board import Board
from tallboy.planner.slots.build import blocked_in, build
from tallboy.planner.slots.grid import Grid
from tallboy.planner.slots.holds import earliest, holds
from tallboy.planner.solve import solve

MOVE = 120  # [min] by which finishing times must gain for each step that moves
TRIES = 60  # at most: pieces put back


def mend(problem: Problem, *, seconds: float = 0.6, seed: int = 1) -> Plan:
    """A plan after a slip that changes no more of `problem.previous` than it gains by.

    Every step stays where it can; the others are fitted in around them, or pushed on in their order, or those of the pieces
    that would be late go first. Then piece after piece is taken off and put back where it does best, each step that
    leaves its place paying for it.

    Parameters: problem, with the starts people saw as `previous`; seconds [s] for trying; seed, for the order of trying.
    Returns: the plan, status "good"; its bound is that of each piece alone. Without `previous`, or when nothing fits in, the plan
    of `solve`.
    Raises: BadInput, NoPlan as `solve`.
    Validity: the same problem and seed give the same plan if the time suffices for all tries.
    Source: own derivation.
    """
    stopwatch = Stopwatch()
    grid = build(problem)
    boards = starts(grid)
    if not boards or not grid.open_tasks:
        return solve(problem, seconds=seconds, seed=seed)
    shop = shop_of(grid)
    market = Market(shop, np.zeros(len(shop.available)), float(grid.clock.length(MOVE)))
    for k, board in enumerate(boards):
        share = stopwatch.left_of(seconds) * (0.5 if k + 1 < len(boards) else 1.0)
        boards[k] = _put_back(board, market, share, seed)
    best = Best(min(boards, key=judged))
    best.raise_cost(alone_in(shop))
    best.seconds = stopwatch.seconds
    return plan_of(best, "good", problem, blocked_in(problem), stay=True)


def starts(grid: Grid) -> list[Board]:
    """Plans to begin with: all that can stay stays; pieces that would be late by that go first; all is pushed on."""
    kept = keep(grid) or _giving_way(grid)
    boards = [kept, None if kept is None else _late_first(grid, kept), follow(grid)]
    return [board for board in boards if board is not None]


def _giving_way(grid: Grid) -> Board | None:
    """Where what was displaced finds no room beside all others: piece by piece gives way, those with most time first.

    The steps of a piece that gives way go on in their order, where they were or as soon after as can be.
    """
    board = Board(grid)
    _stay(board, set())
    moving = {task.step.piece for task in grid.open_tasks if task.index not in board.start}
    others = {task.step.piece for task in grid.open_tasks} - moving
    latest = grid.horizon + 1
    for piece in ["", *sorted(others, key=lambda other: (-grid.due.get(other, (latest, 0))[0], other))]:
        moving.add(piece)
        board = Board(grid)
        _stay(board, moving)
        floors = {i: start for i, start in grid.previous.items() if grid.tasks[i].step.piece in moving}
        found = place_all(grid, _seen_order(grid), floors=floors, board=board)
        if found is not None:
            return found
    return None


def _late_first(grid: Grid, kept: Board) -> Board | None:
    """The late pieces among those disturbed go on as soon as they can, the other steps stay beside them where they can."""
    ends, disturbed = finishes(kept), _disturbed(kept)
    late = {piece for piece in disturbed if piece in grid.due and ends[piece] > grid.due[piece][0]}
    board = Board(grid)
    for i in grid.order:
        task = grid.tasks[i]
        if task.fact is None and task.step.piece in late and preceded(board, i):
            found = earliest(board, task, max(grid.first_slot, grid.previous.get(i, 0)))
            if found is not None:
                board.place(task, *found)
    _stay(board, late)
    return place_all(grid, _seen_order(grid), board=board) if late else None


def _stay(board: Board, moving: set[str]) -> None:
    """Place every step where people saw it, if it can be there, but for those of pieces that are moving."""
    grid = board.grid
    for i, start in sorted(grid.previous.items(), key=lambda seen: (seen[1], seen[0])):
        task = grid.tasks[i]
        free = task.fact is None and task.step.piece not in moving and i not in board.start
        if free and preceded(board, i) and start >= grid.first_slot:
            way = next((way for way in task.ways if not holds(board, task, way, start)), None)
            if way is not None:
                board.place(task, start, way)


def _seen_order(grid: Grid) -> list[float]:
    return [float(grid.previous.get(i, grid.horizon + i)) for i in range(len(grid.tasks))]


def judged(board: Board) -> tuple[int, int, int]:
    """Missed windows, promises broken by weight, and lateness and finishing times with the price of changed starts [slots]."""
    missed, late, finish, changed = cost(board)
    due = board.grid.due
    broken = sum(due[piece][1] for piece, end in finishes(board).items() if piece in due and end > due[piece][0])
    return (missed, broken, late + finish + changed * board.grid.clock.length(MOVE))


def _put_back(board: Board, market: Market, seconds: float, seed: int) -> Board:
    """Pieces with changed steps first, then any, then two at a time; what is better is kept, and nothing of a plan unchanged."""
    stopwatch, random = Stopwatch(), np.random.default_rng(seed)
    pieces = [piece.piece for piece in market.shop.pieces]
    disturbed = _disturbed(board)
    if not disturbed:
        return board
    queue = [[k] for k, piece in enumerate(pieces) if piece in disturbed]
    queue += [[k] for k, piece in enumerate(pieces) if piece not in disturbed]
    while len(queue) < TRIES and len(pieces) > 1:
        queue.append([int(k) for k in random.choice(len(pieces), 2, replace=False)])
    for numbers in queue:
        if stopwatch.seconds >= seconds:
            break
        new = market.put_back(board, numbers, 0, 0.0, 0.0)
        if new is not None and judged(new) < judged(board):
            board = new
    return board


def _disturbed(board: Board) -> set[str]:
    """Pieces of which a step is not where people saw it."""
    grid: Grid = board.grid
    return {
        grid.tasks[i].step.piece
        for i, start in board.start.items()
        if grid.tasks[i].fact is None and grid.previous.get(i, start) != start
    }
