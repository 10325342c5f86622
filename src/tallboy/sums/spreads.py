"""How sure an answer is, from how sure its numbers are."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from tallboy.errors import OutOfRange


def carried_spread(formula: Callable[..., float], values: Sequence[float], spreads: Sequence[float]) -> float:
    """What the spreads of its numbers do to the answer of a sum.

    Formula: square root of the sum of (f(..., x + s, ...) - f(..., x, ...))², one number moved at a time; where x + s is out of
    the formula's range, x - s is taken

    Parameters
    ----------
    formula : [any unit] the sum, of as many numbers as there are values
    values : [their own units] what was put in
    spreads : [same units] one standard deviation of each, 0 or above

    Returns
    -------
    [unit of the answer] one standard deviation, 0 or above

    Raises
    ------
    OutOfRange when the values themselves are out of range, or one can be moved neither way.

    Validity
    --------
    The numbers are independent of one another and the formula is near enough straight over one spread.

    Source
    ------
    First-order propagation of independent errors, by differences; JCGM 100 (GUM), 5.1, from memory.
    """
    answer = formula(*values)
    return math.hypot(*(_moved(formula, values, place, spread) - answer for place, spread in enumerate(spreads)))


def _moved(formula: Callable[..., float], values: Sequence[float], place: int, spread: float) -> float:
    """The answer with one of the numbers moved up by its spread, or down where up is out of range."""
    up, down = list(values), list(values)
    up[place] += spread
    down[place] -= spread
    try:
        return formula(*up)
    except OutOfRange:
        return formula(*down)
