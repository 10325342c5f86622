"""Whether a liquid lifts a residue: the relative energy difference with its spread, and the word for it.

The words claim no more than the numbers bear. No residue is ever called safe: the best that can be said is "spares, test first".
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from tallboy.sums.ranges import within
from tallboy.sums.solubility import UNIT, Hansen, distance, relative_energy_difference

Word = Literal["lifts", "swells", "uncertain", "spares, test first"]

LIFTS_TO = 0.9
SPARES_FROM = 1.3
"""Between these two the sphere's edge is not sharp enough to tell. Toluene lifts acrylic at 1.25, so the upper one lies above that."""

ROUNDING = 1e-9
"""Of RED: what lies so near an edge lies on it, as 3.6 / 4 does in binary fractions too."""

SMALLEST_RADIUS = 4.0
"""Under it a sphere was seldom measured well [MPa^0.5]; such a residue always gets the word "uncertain"."""

LIQUID_ERROR = 0.3
RESIDUE_ERROR = 0.7
RADIUS_ERROR = 0.8
"""Usual errors [MPa^0.5]: half the middling difference between two published entries for one liquid, one residue, one radius."""


@dataclass(frozen=True)
class Residue:
    """What is to be lifted or spared: its sphere in MPa^0.5, whether it is crosslinked, whether its numbers can be leaned on."""

    key: str
    hansen: Hansen
    radius: float
    crosslinks: bool = False
    reliable: bool = True

    def __post_init__(self) -> None:
        within("Radius R0", self.radius, 0.5, 40, UNIT)


@dataclass(frozen=True)
class Judged:
    """One liquid or blend against one residue: RED, RED less and more its spread (one standard deviation), and the word."""

    key: str
    red: float
    low: float
    high: float
    word: Word


def red_spread(
    liquid: Hansen,
    residue: Hansen,
    radius: float,
    liquid_error: float = LIQUID_ERROR,
    residue_error: float = RESIDUE_ERROR,
    radius_error: float = RADIUS_ERROR,
) -> float:
    """Standard deviation of RED that follows from the errors of the parameters and of the radius.

    Formula: s² = RED² ((sA / Ra)² + (sR / R0)²), sA² = (16 ΔD² + ΔP² + ΔH²) (s1² + s2²) / Ra²

    Parameters
    ----------
    liquid : [MPa^0.5] the three of the liquid, each 0 to 60
    residue : [MPa^0.5] the three of the residue, each 0 to 60
    radius : [MPa^0.5] R0 of the residue, 0.5 to 40
    liquid_error : [MPa^0.5] standard deviation of each of the liquid's three, 0 to 5
    residue_error : [MPa^0.5] the same for the residue, 0 to 10
    radius_error : [MPa^0.5] the same for R0, 0 to 20

    Returns
    -------
    [1] standard deviation

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    First order, errors independent. Close to the middle of the sphere, where Ra is not more than the error, it is too large; at the
    very middle the largest slope is taken. Real errors of a centre and its radius go together, which this leaves out.

    Source
    ------
    Own derivation: propagation of errors through Ra and R0; checked against a seeded Monte Carlo run.
    """
    both = math.hypot(
        within("Error of the liquid", liquid_error, 0, 5, UNIT),
        within("Error of the residue", residue_error, 0, 10, UNIT),
    )
    red = relative_energy_difference(liquid, residue, radius)
    apart = distance(liquid, residue)
    slope = math.hypot(4 * (liquid.d - residue.d), liquid.p - residue.p, liquid.h - residue.h) / apart if apart else 2.0
    from_radius = red * within("Error of the radius", radius_error, 0, 20, UNIT) / radius
    return math.hypot(slope * both / radius, from_radius)


def word_for(red: float, low: float, crosslinks: bool = False, reliable: bool = True) -> Word:
    """The word for a RED: lifts, swells, uncertain, or spares, test first.

    Formula: lifts (crosslinked: swells) up to 0.9; spares, test first from 1.3 when RED less its spread is above 1; else uncertain

    Parameters
    ----------
    red : [1] relative energy difference, 0 to 200
    low : [1] RED less its spread, -50 to 200
    crosslinks : [flag] true for a cured film, which swells and never dissolves
    reliable : [flag] false where the residue's numbers cannot be leaned on

    Returns
    -------
    [text] the word

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Unreliable numbers give "uncertain" whatever RED is. Nothing is ever called safe.

    Source
    ------
    Own choice: RED 1 is the published boundary (Hansen 2007); the band is set so that toluene on acrylic (RED 1.25, lifts in practice,
    from memory) falls into it.
    """
    within("RED", red, 0, 200)
    within("RED less its spread", low, -50, 200)
    if not reliable:
        return "uncertain"
    if red <= LIFTS_TO + ROUNDING:
        return "swells" if crosslinks else "lifts"
    return "spares, test first" if red >= SPARES_FROM - ROUNDING and low > 1 else "uncertain"


def judge(liquid: Hansen, residue: Residue) -> Judged:
    """One liquid or blend against one residue.

    Formula: RED = Ra / R0, its spread, and the word for both

    Parameters
    ----------
    liquid : [MPa^0.5] the three of the liquid or blend, each 0 to 60
    residue : [MPa^0.5] its sphere, R0 0.5 to 40

    Returns
    -------
    [1] RED with low and high, and the word

    Validity
    --------
    As `relative_energy_difference`. A radius under 4 MPa^0.5 makes the word "uncertain".

    Source
    ------
    Hansen 2007, chapter 1; spread and words as `red_spread` and `word_for`.
    """
    red = relative_energy_difference(liquid, residue.hansen, residue.radius)
    spread = red_spread(liquid, residue.hansen, residue.radius)
    low = max(red - spread, 0.0)
    reliable = residue.reliable and residue.radius >= SMALLEST_RADIUS
    return Judged(residue.key, red, low, red + spread, word_for(red, low, residue.crosslinks, reliable))


def margin(lifted: float, spared: Sequence[float] = ()) -> float:
    """How far inside their bands the weaker of two claims stands: that it lifts the one and spares the others.

    Formula: the smaller of 0.9 - RED of what is lifted, and the smallest RED of what is spared - 1.3

    Parameters
    ----------
    lifted : [1] RED of what is to be lifted, 0 to 200
    spared : [1] RED of each that must be spared, 0 to 200; none when nothing must

    Returns
    -------
    [1] above 0 both claims hold by the words, below 0 one is uncertain or worse

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Own choice: the same distance inside counts the same for both.
    """
    lifting = LIFTS_TO - within("RED of what is lifted", lifted, 0, 200)
    sparing = [within("RED of what is spared", red, 0, 200) - SPARES_FROM for red in spared]
    return min([lifting, *sparing])
