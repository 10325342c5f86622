"""What no plan can beat: bounds that are proven, however good or bad the plans are that were found.

What is bounded is the cost: weighted lateness plus finishing times from now, in slots. The bound of `priced` is that of hands for
hire: whoever uses somebody's hour pays for it, and what all hours there are would fetch is given back. For any prices, no plan
of the shop costs less than all pieces cost by themselves at these prices, less what is given back:

    cost(plan) = Σ worth(piece) ≥ Σ [worth(piece) + Σ price·used(piece)] - Σ price·available
               ≥ Σ min over the piece's own plans [worth + Σ price·used] - Σ price·available

The first step holds because no hour is used by more hands than are there and no price is below 0, the second because each piece's
part of the plan is one of its own plans. Prices are raised where more hands are asked for than there are, and lowered where fewer.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from tallboy.planner.search.bounds_pieces import NO, Floats, Hours, Ints, PieceTree, trees
from tallboy.planner.search.stopwatch import Stopwatch
from tallboy.planner.slots.grid import Grid, Slots

BLOCK = 120  # [min] of open hours that have one price
PATIENCE = 12  # rounds without gain before steps get shorter
TINY = 1e-6  # [slots] what rounding in the sums may add


@dataclass(frozen=True, eq=False)
class Shop:
    """The pieces and the hours of hands: `block` by slot (-1: nobody is there), `available` hands·slots by block."""

    grid: Grid
    pieces: tuple[PieceTree, ...]
    hours: Hours
    block: Ints
    available: Floats


@dataclass(frozen=True)
class Bounds:
    """What is proven: no plan costs less than `cost` [slots].

    `prices` by block of `shop` are those that prove it, `starts` by task what each piece would do by itself at these prices.
    """

    cost: float
    starts: dict[int, int]
    rounds: int
    shop: Shop
    prices: Floats


def alone(grid: Grid) -> float:
    """What all pieces cost together when each has the shop to itself.

    Parameters: grid.
    Returns: a bound for the cost of every plan [slots].
    Source: own derivation: the bound of hands for hire with all prices 0.
    """
    return alone_in(shop_of(grid))


def alone_in(shop: Shop) -> float:
    """The same for a shop as the bounds see it."""
    worths = [worth_of(shop.grid, piece) for piece in shop.pieces]
    return _whole(_round(shop, worths, np.zeros(len(shop.available)))[0])


def priced(
    grid: Grid,
    upper: float,
    *,
    on_time: bool = False,
    rounds: int = 300,
    seconds: float = math.inf,
    begin: Bounds | None = None,
    goes_on: Callable[[float], bool] = lambda bound: True,
) -> Bounds:
    """The best bound of hands for hire that can be found in the time.

    Parameters: grid; upper [slots] what some plan costs: sets how far prices move, not what is proven; on_time: bound only those
    plans that keep every promise; rounds [1] and seconds [s] at most; begin, what was found of this grid before, with its prices; goes_on, told each better
    bound, ends the search by False.
    Returns: the bound and what goes with it.
    Validity: holds for every plan within the hours given.
    Source: own derivation, see above; prices after Held, Wolfe and Crowder, "Validation of subgradient optimization" (1974).
    """
    shop = shop_of(grid) if begin is None else begin.shop
    worths = [worth_of(grid, piece, on_time=on_time) for piece in shop.pieces]
    ascent = Ascent(upper, np.zeros(len(shop.available)) if begin is None else begin.prices)
    stopwatch = Stopwatch()
    while ascent.rounds < rounds and stopwatch.seconds < seconds and ascent.goes_on:
        bound, short, starts = _round(shop, worths, ascent.prices)
        better = ascent.learn(bound, short, starts)
        if better and not goes_on(_whole(ascent.best)):
            break
    return Bounds(_whole(ascent.best), ascent.starts, ascent.rounds, shop, ascent.best_prices)


def _whole(bound: float) -> float:
    """Costs are whole slots, so that a bound may be rounded up, and none is below 0, which holds before the first round too."""
    if bound >= NO / 2:
        return math.inf
    least = max(bound, 0.0)
    return float(math.ceil(least - TINY - least * 1e-12))


class Ascent:
    """Prices on their way up: a step along the shortage, as long as the distance to a plan's cost suggests."""

    def __init__(self, upper: float, prices: Floats) -> None:
        self.upper, self.best = upper, -math.inf
        self.prices = self.best_prices = prices
        self.starts: dict[int, int] = {}
        self.rounds, self._stale, self._reach = 0, 0, 1.0
        self._way = np.zeros_like(prices)

    @property
    def goes_on(self) -> bool:
        """Whether another round may gain anything that counts."""
        return self._reach > 1e-3 and self.best < self.upper - TINY

    def learn(self, bound: float, short: Floats, starts: dict[int, int]) -> bool:
        """Take what a round found and set the next prices; True when the bound is better."""
        self.rounds += 1
        better = bound > self.best
        self._stale = 0 if bound > self.best + 1e-4 * abs(self.upper) else self._stale + 1
        if better:
            self.best, self.best_prices, self.starts = bound, self.prices, starts
        if self._stale >= PATIENCE:
            self._reach, self._stale = self._reach * 0.6, 0
            self.prices, self._way = self.best_prices, np.zeros_like(self._way)
            return better
        self._way = 0.3 * short + 0.7 * self._way if self._way.any() else short
        length = self._reach * max(self.upper - bound, 1.0) / max(float(self._way @ self._way), 1e-9)
        self.prices = np.maximum(0.0, self.prices + length * self._way)
        return better


def _round(shop: Shop, worths: Sequence[Floats], prices: Floats) -> tuple[float, Floats, dict[int, int]]:
    """The bound at these prices, by how much each block's hands are short, and where each task would start."""
    sums = price_sums(shop, prices)
    bound = -float(prices @ shop.available)
    starts: dict[int, int] = {}
    changes = [np.zeros(shop.grid.horizon + 1) for _ in shop.hours.known]
    for piece, worth in zip(shop.pieces, worths, strict=True):
        least, chosen = piece.cheapest(sums, worth)
        bound += least
        for i, option in chosen.items():
            starts[i] = _count(piece, i, option, changes)
    return bound, _used(shop, changes) - shop.available, starts


def _count(piece: PieceTree, i: int, option: int, changes: Sequence[Floats]) -> int:
    """Note a task's hands where they begin and end; its start."""
    options = piece.options[i]
    start, end = int(options.start[option]), int(options.end[option])
    hours = next(k for k, part in options.hours if part.start <= option < part.stop)
    changes[hours][start] += piece.hands[i]
    changes[hours][end] -= piece.hands[i]
    return start


def _used(shop: Shop, changes: Sequence[Floats]) -> Floats:
    """Hands·slots used in each block, of each crew only within its own hours."""
    used = np.zeros(len(shop.available))
    for spans, change in zip(shop.hours.known, changes, strict=True):
        at_work = np.cumsum(change)[:-1] * _within(spans, shop.grid.horizon)
        inside = shop.block >= 0
        used += np.bincount(shop.block[inside], weights=at_work[inside], minlength=len(used))
    return used


def price_sums(shop: Shop, prices: Floats) -> list[Floats]:
    """For each crew's hours, the price of one pair of hands from slot 0 up to each slot."""
    by_slot = np.where(shop.block >= 0, prices[np.maximum(shop.block, 0)], 0.0) if len(prices) else shop.block * 0.0
    return [
        np.concatenate(([0.0], np.cumsum(by_slot * _within(spans, shop.grid.horizon)))) for spans in shop.hours.known
    ]


def _within(spans: tuple[Slots, ...], horizon: int) -> Floats:
    """1 in the slots that lie in these hours, else 0."""
    inside = np.zeros(horizon)
    for start, end in spans:
        inside[max(start, 0) : end] = 1.0
    return inside


def shop_of(grid: Grid) -> Shop:
    """The shop as the bounds see it."""
    pieces, hours = trees(grid)
    hands, open_slots = np.zeros(grid.horizon), np.zeros(grid.horizon, dtype=bool)
    for number, team in enumerate(grid.teams):
        free = _within(team.spans, grid.horizon) * len(team.people)
        open_slots |= free > 0
        for start, end, busy, count in grid.busy:
            if busy == number:
                free[max(start, 0) : end] -= count
        hands += np.maximum(free, 0.0)
    block = np.where(open_slots, (np.cumsum(open_slots) - 1) // grid.clock.length(BLOCK), -1)
    available = np.bincount(block[open_slots], weights=hands[open_slots])
    return Shop(grid, pieces, hours, block, np.asarray(available, dtype=np.float64))


def worth_of(grid: Grid, piece: PieceTree, *, on_time: bool = False) -> Floats:
    """What each finish of a piece costs: its time from now, and its lateness times the weight (more than anything if `on_time`)."""
    facts = [task.fact.last for task in grid.tasks if task.fact is not None and task.step.piece == piece.piece]
    ends = np.maximum(piece.ends, max(facts, default=0))
    by, weight = grid.due.get(piece.piece, (grid.horizon, 0))
    late = np.maximum(0, ends - by)
    return np.where(late > 0, NO if on_time and weight else weight * late, 0.0) + ends - grid.first_slot
