"""Diameters by callipers: what they tell of round, and the odd lobes that they cannot see."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from tallboy.errors import OutOfRange
from tallboy.sums.ranges import Array, ranged, within
from tallboy.sums.rolling import axle_heights
from tallboy.sums.roundness import expected_range


@dataclass(frozen=True)
class TwoPoint:
    """What diameters tell: their `mean_mm` and its `mean_spread_mm` (k = 2), `range_mm` largest less smallest, `roundness_mm` of the
    even lobes, from `low_mm` to `high_mm`, and `floor_mm`, the roundness that the callipers' own scatter would read."""

    mean_mm: float
    mean_spread_mm: float
    range_mm: float
    roundness_mm: float
    low_mm: float
    high_mm: float
    floor_mm: float


def caliper_widths(points: ArrayLike, steps: int = 180) -> Array:
    """The diameters that callipers find on an outline, over half a turn.

    Formula: w(t) = h(t) + h(t + 180°), h the distance of the hull's farthest point in that direction

    Parameters
    ----------
    points : [mm] pairs (x, y) of the outline all round, about an origin inside, -100 000 to 100 000
    steps : [1] how many, evenly over half a turn, 4 to 3600

    Returns
    -------
    [mm] one for each step

    Raises
    ------
    BadInput or OutOfRange for points that are no outline or do not hold the origin.

    Source
    ------
    definition (width of a convex shape)
    """
    within("Number of steps", steps, 4, 3600)
    heights = axle_heights(points, steps=2 * steps)
    return np.asarray(heights[:steps] + heights[steps:])


def two_point(diameters_mm: ArrayLike, sigma_mm: float = 0.0) -> TwoPoint:
    """Roundness from diameters at several angles: half of their range, and only of lobes in even number.

    Formula: (largest - smallest) / 2; noise floor d2(n) sigma / 2; low = that - the larger of floor and U, high = that + U,
    U = root 2 sigma; mean +- 2 sigma / root n

    Parameters
    ----------
    diameters_mm : [mm] 2 to 1000 of them, evenly over half a turn, each 0.2 to 20 000
    sigma_mm : [mm] scatter of one reading, one sigma, 0 to 10

    Returns
    -------
    [mm] mean, range, roundness of the even lobes with its spread, floor

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Blind to 3, 5, 7 … lobes: shapes of constant width read nought, and may be out of round by up to 0.155 of their diameter.
    With few angles an oval can be missed too: four or more are wanted, six are better.

    Source
    ------
    Two-point measurement in the sense of ISO 4292 (from memory); half the range: own derivation from r = R + a cos 2t.
    """
    widths = ranged("Diameter", diameters_mm, 0.2, 20_000, "mm").ravel()
    sigma = within("Scatter of a reading", sigma_mm, 0, 10, "mm")
    number = len(widths)
    if not 2 <= number <= 1000:
        raise OutOfRange("Number of diameters", number, 2, 1000)
    spread = float(np.ptp(widths))
    floor, expanded = expected_range(number) * sigma / 2, float(np.sqrt(2)) * sigma
    return TwoPoint(
        mean_mm=float(widths.mean()),
        mean_spread_mm=2 * sigma / float(np.sqrt(number)),
        range_mm=spread,
        roundness_mm=spread / 2,
        low_mm=max(0.0, spread / 2 - max(floor, expanded)),
        high_mm=spread / 2 + expanded,
        floor_mm=floor,
    )
