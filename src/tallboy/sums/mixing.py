"""Whether liquids mix in one layer, and what is left of a blend as its quick part evaporates."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from scipy.optimize import brentq

from tallboy.errors import BadInput
from tallboy.sums.ranges import within

Mixes = Literal["mixes", "may part", "parts"]


@dataclass(frozen=True)
class MixingNumber:
    """A liquid's place on the scale of miscibility numbers (0 watery to 32 oily), 0 to 32.

    A liquid that falls out with both ends of the scale has two numbers: `low` holds towards oily liquids, `high` towards watery ones.
    Others have the same number twice.
    """

    low: float
    high: float

    def __post_init__(self) -> None:
        within("Lower mixing number", self.low, 0, 32)
        within("Upper mixing number", self.high, self.low, 32)


def mixing_gap(one: MixingNumber, other: MixingNumber) -> float:
    """How far apart two liquids stand on the scale of miscibility numbers.

    Formula: the larger of high1 - low2 and high2 - low1

    Parameters
    ----------
    one : [1] numbers of one liquid, 0 to 32
    other : [1] numbers of the other, 0 to 32

    Returns
    -------
    [1] gap, 0 to 32

    Validity
    --------
    An empirical scale; hydrogen bonds between the two can make them mix better or worse than it tells. Water has no number on it.

    Source
    ------
    Godfrey's miscibility numbers, as tabulated in makers' handbooks for chromatography, read in public copies.
    """
    return max(one.high - other.low, other.high - one.low)


def mixes(one: MixingNumber, other: MixingNumber) -> Mixes:
    """Whether two liquids stay in one layer at 15 °C, in any proportion.

    Formula: gap up to 15 mixes; 16 may part; 17 and more parts

    Parameters
    ----------
    one : [1] numbers of one liquid, 0 to 32
    other : [1] numbers of the other, 0 to 32

    Returns
    -------
    [text] "mixes", "may part" or "parts"

    Validity
    --------
    As `mixing_gap`. A gap of 16 means a critical temperature between 25 and 75 °C: at the bench the two part unless one is scarce.

    Source
    ------
    Godfrey's miscibility numbers, as tabulated in makers' handbooks for chromatography, read in public copies.
    """
    gap = mixing_gap(one, other)
    if gap <= 15:
        return "mixes"
    return "may part" if gap < 17 else "parts"


def left_over(
    fractions: Sequence[float], vapour_pressures: Sequence[float], remaining: float = 0.5
) -> tuple[float, ...]:
    """What is left of a blend when part of it has evaporated: richer in what evaporates slowly.

    Formula: Vi = φi exp(-Pi τ), τ such that Σ Vi = remaining; the fractions left are Vi / Σ Vi

    Parameters
    ----------
    fractions : [1] share of each liquid in the volume at first, 0 to 1, together 1
    vapour_pressures : [Pa] of each pure liquid at the bench's temperature, 0.001 to 200 000
    remaining : [1] share of the volume that is still there, 0.001 to 1

    Returns
    -------
    [1] share of each liquid in what is left, together 1

    Raises
    ------
    OutOfRange outside the ranges; BadInput when the lists do not match or the fractions do not add up to 1.

    Validity
    --------
    Ideal mixing, moving air that takes up every vapour alike, no constant-boiling mixtures. It tells the direction well and the
    amount roughly; alcohols with hydrocarbons leave together more than it says.

    Source
    ------
    Own derivation from Raoult's law: each liquid leaves in proportion to its share of the molecules times its vapour pressure
    (Rayleigh's open evaporation).
    """
    if len(fractions) != len(vapour_pressures) or abs(sum(fractions) - 1) > 1e-6:
        raise BadInput(
            "The blend does not add up.", "Give one vapour pressure for each fraction; fractions add up to 1."
        )
    shares = [within("Fraction", fraction, 0, 1) / sum(fractions) for fraction in fractions]
    speeds = [within("Vapour pressure", pressure, 0.001, 200_000, "Pa") for pressure in vapour_pressures]
    lost = -math.log(within("Remaining share", remaining, 0.001, 1))

    def volumes(time: float) -> list[float]:
        return [share * math.exp(-speed * time) for share, speed in zip(shares, speeds, strict=True)]

    # As if all of it left like the quickest, and like the slowest that is there: the time asked for lies between.
    there = [speed for share, speed in zip(shares, speeds, strict=True) if share > 0]
    soonest, latest = 0.99 * lost / max(there), 1.01 * lost / min(there)
    time = (
        0.0 if lost < 1e-9 else brentq(lambda t: sum(volumes(t)) - remaining, soonest, latest, xtol=1e-18, rtol=1e-12)
    )
    left = volumes(float(time))
    return tuple(volume / sum(left) for volume in left)
