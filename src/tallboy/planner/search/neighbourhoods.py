"""Better plans for big shops: part of the plan is worked out anew, over and over, and what is no worse is kept.

Three ways take turns: pieces are taken off and put back where they do best (reinsert.py), a stretch of time is given to the solver
(stretches.py), and the order of placing is shaken. Before them prices for the hours are found, which guide them and prove
how good a plan can be at best (bounds.py).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial

import numpy as np

from tallboy.planner.model.parts import MISSED_WINDOW
from tallboy.planner.model.solver import Search
from tallboy.planner.search.bounds import Bounds, priced
from tallboy.planner.search.greedy import cost, place_all
from tallboy.planner.search.reinsert import Market
from tallboy.planner.search.stopwatch import Stopwatch
from tallboy.planner.search.stretches import anew
from tallboy.planner.search.watch import Best, Watch
from tallboy.planner.slots.board import Board

BOUND_SHARE = 0.2  # of the time for the prices before the search, and again for those of plans on time after it
BOUND_ROUNDS = 150
LOOK = 6.0  # the solver's effort for one stretch
WET = (0.0, 0.2, 0.5, 1.0, 2.0)  # prices of open slots in which the air of a place is kept
DEAR = (0.0, 0.3, 0.6, 1.0, 1.3)  # how much of the prices of hands counts
HEAT = 60.0  # [slots] worse that a plan may well be at first
LATE_WORTH = 2.0
WAYS = (0.5, 0.45, 0.05)  # how often pieces are put back, a stretch is solved, the order is shaken


def search_more(best: Best, search: Search, watch: Watch) -> None:
    """Improve the best plan a part at a time, until the time is up, the watch says stop, or it is proven best.

    Parameters: best, whose board is replaced by each plan that is no worse, and whose bounds are raised; search: seconds [s], workers,
    seed; watch.
    Validity: finds no proof that there is no better plan than what the bounds of bounds.py give.
    Source: own derivation (large-neighbourhood search guided by the prices of a Lagrangian relaxation).
    """
    stopwatch = Stopwatch()
    found = bounded(best, search.seconds * BOUND_SHARE, watch)
    neighbours = Neighbours(found, search, stopwatch)
    now = best.board
    while neighbours.seconds > 0 and not _proven(best) and watch.goes_on(best):
        board = neighbours.another(now)
        if board is not None and neighbours.takes(board, now):
            now = board
            best.board = min(best.board, board, key=cost)
    if not watch.stopped and not _proven(best):
        bounded(best, stopwatch.left_of(search.seconds), watch, found)
    best.seconds += stopwatch.seconds


def _proven(best: Best) -> bool:
    """A plan on time that costs no more than is proven cannot be bettered; remembered in `best`."""
    missed, late, finish, _ = cost(best.board)
    best.proven = best.proven or (missed == late == 0 and finish <= best.cost_bound)
    return best.proven


def _weighed(board: Board) -> float:
    missed, late, finish, _ = cost(board)
    return missed * MISSED_WINDOW + LATE_WORTH * late + finish


def bounded(best: Best, seconds: float, watch: Watch, before: Bounds | None = None) -> Bounds:
    """Raise the bound of the cost by the prices of hands: of all plans or, when the best one is on time, of those that are.

    Parameters: best; seconds [s] at most; watch, which may stop it; before, what was found of the same grid before.
    Returns: what was found, with the prices.
    Source: own derivation, see bounds.py.
    """
    grid = best.board.grid
    missed, late, finish, _ = cost(best.board)

    def better(bound: float) -> bool:
        best.raise_cost(bound)
        return watch.goes_on(best)

    return priced(
        grid,
        float(late + finish),
        on_time=missed == late == 0,
        rounds=BOUND_ROUNDS,
        seconds=seconds,
        begin=before,
        goes_on=better,
    )


@dataclass
class Neighbours:
    """Makes one plan from another."""

    found: Bounds
    search: Search
    stopwatch: Stopwatch

    def __post_init__(self) -> None:
        self.random = np.random.default_rng(self.search.seed)
        self.market = Market(self.found.shop, self.found.prices)
        self.ways: tuple[Callable[[Board], Board | None], ...] = (self._put_back, self._stretch, self._shaken)

    def takes(self, board: Board, now: Board) -> bool:
        """Whether to go on from this board: if it is no worse, or by chance if it is a little worse, less and less so.

        Lateness weighs only some times as much as finishing here, so that the search does not get stuck on one promise.
        """
        heat = HEAT * max(0.0, self.seconds) / self.search.seconds
        worse = _weighed(board) - _weighed(now)
        return worse <= 0 or bool(heat > 0 and self.random.random() < math.exp(-worse / heat))

    @property
    def seconds(self) -> float:
        """What is left [s]."""
        return self.stopwatch.left_of(self.search.seconds * (1 - BOUND_SHARE))

    def another(self, board: Board) -> Board | None:
        """A plan like this one, better or worse; None when none was found."""
        return self.ways[int(self.random.choice(len(self.ways), p=WAYS))](board)

    def _put_back(self, board: Board) -> Board | None:
        """One to three pieces, or what is left of them from some moment on, put back where they do best."""
        count = min(len(self.market.shop.pieces), int(self.random.choice([1, 1, 1, 2, 3])))
        pieces = [int(k) for k in self.random.choice(len(self.market.shop.pieces), count, replace=False)]
        since = int(self.random.choice([0, int(self.random.choice(list(board.start.values())))]))
        dear, wet = float(self.random.choice(DEAR)), float(self.random.choice(WET))
        return self.market.put_back(board, pieces, since, dear, wet)

    def _stretch(self, board: Board) -> Board | None:
        """A stretch solved; with several workers as many at the same time, of which the best is taken."""
        seeds = [int(self.random.integers(1 << 30)) for _ in range(self.search.workers)]
        if len(seeds) == 1:
            return self._solved(board, seeds[0])
        with ThreadPoolExecutor(len(seeds)) as pool:
            boards = [new for new in pool.map(partial(self._solved, board), seeds) if new is not None]
        return min(boards, key=_weighed, default=None)

    def _solved(self, board: Board, seed: int) -> Board | None:
        look = Search(max(self.seconds, 0.05), 1, seed, LOOK)
        return anew(board, np.random.default_rng(seed), look)

    def _shaken(self, board: Board) -> Board | None:
        """All steps placed anew in the order they have, but for some steps of one piece that come earlier or later."""
        grid = board.grid
        order = np.array([float(board.start.get(i, grid.horizon)) for i in range(len(grid.tasks))])
        piece = self.market.shop.pieces[int(self.random.integers(len(self.market.shop.pieces)))]
        a, b = sorted(int(k) for k in self.random.integers(0, len(piece.tasks) + 1, 2))
        order[list(piece.tasks[a:b])] += self.random.normal(0.0, 400.0)
        drop = any(lag.scuff is None and lag.ready is None for lag in board.dropped)
        return place_all(grid, [float(rank) for rank in order], drop=drop)
