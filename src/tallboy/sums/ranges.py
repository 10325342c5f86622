"""The ranges that sums are valid for: seen to before anything is reckoned, never clamped in silence."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tallboy.errors import OutOfRange

Array = NDArray[np.float64]


def within(name: str, value: float, low: float, high: float, unit: str = "") -> float:
    """The value itself, once it has been seen to lie in its range.

    Parameters
    ----------
    name : [text] what people call it
    value : [its own unit] the number
    low : [same unit] least that is accepted
    high : [same unit] most that is accepted
    unit : [text] the unit's sign, "" when it has none

    Returns
    -------
    [its own unit] the value, unchanged

    Raises
    ------
    OutOfRange when it lies outside, or is not a number.

    Source
    ------
    definition
    """
    if not low <= value <= high:
        raise OutOfRange(name, f"{value:g}", f"{low:g}", f"{high:g}", unit)
    return value


def whole(name: str, value: float, low: int, high: int, unit: str = "") -> int:
    """A count, once it has been seen to lie in its range and to be a whole number.

    Parameters
    ----------
    name : [text] what people call it
    value : [its own unit] the number
    low : [same unit] least that is accepted
    high : [same unit] most that is accepted
    unit : [text] the unit's sign, "" when it has none

    Returns
    -------
    [its own unit] the same number

    Raises
    ------
    OutOfRange when it lies outside, is no whole number, or no number at all.

    Source
    ------
    definition
    """
    within(name, value, low, high, unit)
    if value != int(value):
        raise OutOfRange(name, f"{value:g}", f"{low}", f"{high} in whole numbers", unit)
    return int(value)


def ranged(name: str, values: ArrayLike, low: float, high: float, unit: str = "") -> Array:
    """The values as an array, once every one has been seen to lie in the range.

    Parameters
    ----------
    name : [text] what people call them
    values : [their own unit] one number or many, any shape
    low : [same unit] least that is accepted
    high : [same unit] most that is accepted
    unit : [text] the unit's sign, "" when they have none

    Returns
    -------
    [their own unit] array of the same shape

    Raises
    ------
    OutOfRange when one lies outside, or is not a number; it names the first.

    Source
    ------
    definition
    """
    numbers = np.asarray(values, dtype=np.float64)
    good = (numbers >= low) & (numbers <= high)
    if not bool(np.all(good)):
        raise OutOfRange(name, f"{float(numbers[~good].flat[0]):g}", f"{low:g}", f"{high:g}", unit)
    return numbers


def same_kind(result: Array, *given: ArrayLike) -> float | Array:
    """A plain number when only plain numbers were given, else the array.

    Parameters
    ----------
    result : [its own unit] what came out
    given : [any unit] what went in

    Returns
    -------
    [its own unit] float or array

    Source
    ------
    definition
    """
    return float(result) if all(np.ndim(value) == 0 for value in given) else result
