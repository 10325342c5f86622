"""The plan that people saw, for the problem as it is now, without looking for a better one."""

from __future__ import annotations

from tallboy.planner.mend import mend
from tallboy.planner.network import Plan, Problem
from tallboy.planner.search.answer import plan_of
from tallboy.planner.search.bounds import alone_in, shop_of
from tallboy.planner.search.greedy import keep
from tallboy.planner.search.watch import Best
from tallboy.planner.slots.board import Board
from tallboy.planner.slots.build import blocked_in, build
from tallboy.planner.slots.grid import Grid


def as_seen(problem: Problem, *, seconds: float = 0.6, seed: int = 1) -> Plan:
    """The plan that people saw, every step where it was; mended only where a step cannot be there any more.

    Parameters: problem, with the starts people saw as `previous`; seconds [s] and seed for mending, where that is needed.
    Returns: the plan, status "good"; while every step can stay none moves, whatever could be gained.
    Raises: BadInput, NoPlan as `solve`.
    Source: own derivation.
    """
    grid = build(problem)
    board = keep(grid)
    if board is None or not grid.open_tasks or not _stands(grid, board):
        return mend(problem, seconds=seconds, seed=seed)
    best = Best(board)
    best.raise_cost(alone_in(shop_of(grid)))
    return plan_of(best, "good", problem, blocked_in(problem), stay=True)


def _stands(grid: Grid, board: Board) -> bool:
    """Whether every step that is still to begin is where people saw it."""
    return all(board.start.get(i, slot) == slot for i, slot in grid.previous.items() if grid.tasks[i].fact is None)
