"""Which cans to buy: the cheapest cover of what is needed, and what will be left over."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from tallboy.errors import BadInput
from tallboy.sums.money import paid
from tallboy.sums.ranges import within

MOST_MILLILITRES = 50_000
MOST_SIZES = 8
STEPS_PER_ML = 10
FORGIVEN = 0.001
CENT = Decimal("0.01")
FINEST = 6
"""Decimals that a price may have."""

_Cost = tuple[int, int, int]
"""Price in the smallest coin that the prices have, steps of volume bought, cans: compared in this order."""


@dataclass(frozen=True)
class Bought:
    """So many cans of one size: millilitres in a can, price of a can, how many."""

    millilitres: float
    price: Decimal
    count: int


@dataclass(frozen=True)
class Purchase:
    """What to buy. Volumes [ml]; money in the currency of the prices, `per_litre` and `left_over_worth` None when nothing is bought."""

    cans: tuple[Bought, ...]
    bought_ml: float
    left_over_ml: float
    cost: Decimal
    per_litre: Decimal | None
    left_over_worth: Decimal | None


def cans_to_buy(needed_ml: float, cans: Sequence[tuple[float, Decimal]], on_shelf_ml: float = 0.0) -> Purchase:
    """The cans that cover what is needed at the least cost; at the same cost with the least left over, then with the fewest cans.

    Formula: least of the sum of count * price over whole counts with sum of count * size >= needed - on shelf, found exactly: the best
    cover of v millilitres is the best, over all sizes, of one can and the best cover of v - size

    Parameters
    ----------
    needed_ml : [ml] 0 to 50 000; a thousandth of it is forgiven, as no one measures nearer
    cans : [ml, money] size and price of each kind of can there is, 1 to 8 kinds, each as often as wanted; sizes 1 to 50 000, to a tenth
        of a millilitre; prices from nothing to 1 000 000 000 000, with six decimals at the most
    on_shelf_ml : [ml] of the same stuff already there, 0 to 50 000; it is used first

    Returns
    -------
    [ml, money] the cans, what is bought and left over, the cost, the price of a litre, and what the left over cost

    Raises
    ------
    OutOfRange outside the ranges; BadInput for a price with more decimals or no can at all.

    Validity
    --------
    Only money is weighed: what is left over may keep for the next piece, or skin over in half a year.

    Accuracy
    --------
    Exact: the best cover loses a can and is still the best cover of the rest, or a better rest would have made a better whole.

    Source
    ------
    own derivation (dynamic programming over tenths of a millilitre)
    """
    within("Needed", needed_ml, 0, MOST_MILLILITRES, "ml")
    within("On the shelf", on_shelf_ml, 0, MOST_MILLILITRES, "ml")
    _check_cans(cans)
    missing = max(needed_ml * (1 - FORGIVEN) - on_shelf_ml, 0.0)
    chosen = _best_cover(*_in_steps(missing, [size for size, _ in cans]), _in_coins([price for _, price in cans]))
    rows = tuple(Bought(size, price, count) for (size, price), count in zip(cans, chosen, strict=True) if count)
    return _purchase(rows, needed_ml, on_shelf_ml)


def _check_cans(cans: Sequence[tuple[float, Decimal]]) -> None:
    if not cans:
        raise BadInput("There is no can to choose from.", "Give size and price of one at least.")
    within("Kinds of can", len(cans), 1, MOST_SIZES, "")
    for size, price in cans:
        within("Size of a can", size, 1, MOST_MILLILITRES, "ml")
        paid("Price of a can", price)
        if -int(price.as_tuple().exponent) > FINEST:
            raise BadInput(f"A price of {price} is finer than any coin.", f"It takes {FINEST} decimals at the most.")


def _in_steps(missing: float, sizes: Sequence[float]) -> tuple[int, list[int]]:
    """Volumes as whole numbers of the largest step that all sizes are made of: 250 ml for cans of 750 ml and 2.5 l."""
    tenths = [round(size * STEPS_PER_ML) for size in sizes]
    step = math.gcd(*tenths)
    return math.ceil(round(missing * STEPS_PER_ML / step, 9)), [size // step for size in tenths]


def _in_coins(prices: Sequence[Decimal]) -> list[int]:
    """Prices as whole numbers of the smallest coin that any of them has."""
    places = max(0, *(-int(price.as_tuple().exponent) for price in prices))
    return [int(price.scaleb(places)) for price in prices]


def _best_cover(missing: int, sizes: Sequence[int], coins: Sequence[int]) -> list[int]:
    """How many of each can."""
    best: list[_Cost] = [(0, 0, 0)]
    taken: list[int] = [-1]
    kinds = list(zip(coins, sizes, range(len(sizes)), strict=True))
    for volume in range(1, missing + 1):
        options = []
        for coin, size, index in kinds:
            cost, bought, count = best[volume - size] if volume > size else best[0]
            options.append((cost + coin, bought + size, count + 1, index))
        cost, bought, count, index = min(options)
        best.append((cost, bought, count))
        taken.append(index)
    counts = [0] * len(sizes)
    while missing > 0:
        counts[taken[missing]] += 1
        missing = max(missing - sizes[taken[missing]], 0)
    return counts


def _purchase(rows: tuple[Bought, ...], needed_ml: float, on_shelf_ml: float) -> Purchase:
    bought = sum(row.millilitres * row.count for row in rows)
    cost = sum((row.price * row.count for row in rows), Decimal(0))
    left = max(bought + on_shelf_ml - needed_ml, 0.0)
    if not rows:
        return Purchase((), 0.0, left, cost, None, None)
    per_litre = cost * 1000 / Decimal(str(bought))
    worth = per_litre * Decimal(str(min(left, bought))) / 1000
    return Purchase(rows, bought, left, cost, per_litre.quantize(CENT), worth.quantize(CENT))
