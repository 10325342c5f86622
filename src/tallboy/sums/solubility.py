"""Solubility parameters: how like a liquid is to what it should lift, in three numbers each.

All parameters are in MPa^0.5. A residue is a sphere about its own three numbers; a liquid inside it is likely to lift it. The words
for what comes out, and the choice among liquids, are in `lifting` and `blends`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tallboy.errors import BadInput
from tallboy.sums.air import KELVIN
from tallboy.sums.ranges import within
from tallboy.sums.vapour import GAS_CONSTANT

UNIT = "MPa^0.5"
HIGHEST = 60.0
"""Nothing liquid or solid in the tables comes near; larger numbers are in another unit [MPa^0.5]."""


@dataclass(frozen=True)
class Hansen:
    """The three parameters of a liquid or a solid [MPa^0.5]: dispersion, polar and hydrogen-bonding forces, each 0 to 60."""

    d: float
    p: float
    h: float

    def __post_init__(self) -> None:
        for name, value in (("δD", self.d), ("δP", self.p), ("δH", self.h)):
            within(name, value, 0, HIGHEST, UNIT)


@dataclass(frozen=True)
class Teas:
    """The same as shares of their sum [%]: dispersion, polar, hydrogen bonding; together 100."""

    d: float
    p: float
    h: float


def total(parameters: Hansen) -> float:
    """The one parameter (Hildebrand's) that three parameters come to.

    Formula: δ = √(δD² + δP² + δH²)

    Parameters
    ----------
    parameters : [MPa^0.5] the three, each 0 to 60

    Returns
    -------
    [MPa^0.5] total

    Source
    ------
    Hansen 2007, chapter 1.
    """
    return math.hypot(parameters.d, parameters.p, parameters.h)


def distance(one: Hansen, other: Hansen) -> float:
    """How far apart two materials stand; the dispersion part counts double.

    Formula: Ra = √(4 (δD1 - δD2)² + (δP1 - δP2)² + (δH1 - δH2)²)

    Parameters
    ----------
    one : [MPa^0.5] the three of one, each 0 to 60
    other : [MPa^0.5] the three of the other, each 0 to 60

    Returns
    -------
    [MPa^0.5] distance, 0 for two alike

    Validity
    --------
    The factor 4 is empirical: with it the region of good solvents is nearly round.

    Source
    ------
    Hansen 2007, chapter 1.
    """
    return math.hypot(2 * (one.d - other.d), one.p - other.p, one.h - other.h)


def relative_energy_difference(liquid: Hansen, residue: Hansen, radius: float) -> float:
    """Distance of a liquid from a residue, in radii of the residue's sphere (RED).

    Formula: RED = Ra / R0

    Parameters
    ----------
    liquid : [MPa^0.5] the three of the liquid, each 0 to 60
    residue : [MPa^0.5] the three of the residue, each 0 to 60
    radius : [MPa^0.5] R0 of the residue, 0.5 to 40

    Returns
    -------
    [1] below 1 likely to dissolve, about 1 undecided, above 1 likely not

    Raises
    ------
    OutOfRange for a radius outside 0.5 to 40.

    Validity
    --------
    Amorphous residues near room temperature, given time. It says nothing of how fast, nor of reactions (caustic, ammonia, acids).
    A radius under 4 was seldom measured well. Toluene stands at 1.25 for acrylic and dissolves it nevertheless.

    Accuracy
    --------
    Over 25 polymers the rule told 67 % of solvents and 76 % of non-solvents rightly (Venkatram and others 2019).

    Source
    ------
    Hansen 2007, chapter 1.
    """
    return distance(liquid, residue) / within("Radius R0", radius, 0.5, 40, UNIT)


def blend(liquids: Sequence[Hansen], fractions: Sequence[float]) -> Hansen:
    """The parameters of liquids mixed by volume.

    Formula: δ = Σ φi δi for each of the three, φ fractions of the volume

    Parameters
    ----------
    liquids : [MPa^0.5] the three of each liquid, each 0 to 60
    fractions : [1] share of each in the volume, 0 to 1, together 1

    Returns
    -------
    [MPa^0.5] the three of the blend

    Raises
    ------
    OutOfRange for a fraction outside 0 to 1; BadInput when they do not add up to 1 or do not match the liquids.

    Validity
    --------
    Liquids that mix in one layer, taken before any has evaporated.

    Source
    ------
    Hansen 2007, chapter 1 (volume fractions); the linear rule read in a public tool's description.
    """
    if len(liquids) != len(fractions) or not liquids:
        raise BadInput(
            f"There are {len(liquids)} liquids and {len(fractions)} fractions.", "Give one fraction for each liquid."
        )
    for fraction in fractions:
        within("Fraction", fraction, 0, 1)
    if abs(sum(fractions) - 1) > 1e-6:
        raise BadInput(f"The fractions add up to {sum(fractions):g}.", "They must add up to 1.")
    shares = list(zip(fractions, liquids, strict=True))
    return Hansen(
        sum(share * liquid.d for share, liquid in shares),
        sum(share * liquid.p for share, liquid in shares),
        sum(share * liquid.h for share, liquid in shares),
    )


def teas_fractions(parameters: Hansen) -> Teas:
    """The three parameters as shares of their sum, for a three-cornered chart.

    Formula: fd = 100 δD / (δD + δP + δH), fp and fh likewise

    Parameters
    ----------
    parameters : [MPa^0.5] the three, each 0 to 60, not all 0

    Returns
    -------
    [%] fd, fp, fh; together 100

    Raises
    ------
    OutOfRange when all three are 0.

    Validity
    --------
    Older published charts (Teas 1968, Burke 1984) rest on an earlier set of parameters and differ by up to 4 units: never mix the
    two. The shares drop the size of the parameters, so two liquids at one point of the chart need not behave alike.

    Source
    ------
    Teas 1968, as in Burke 1984; from memory, the three add up to 100 by definition.
    """
    whole = within("Sum of the parameters", parameters.d + parameters.p + parameters.h, 1e-9, 3 * HIGHEST, UNIT)
    return Teas(100 * parameters.d / whole, 100 * parameters.p / whole, 100 * parameters.h / whole)


def hildebrand(heat_of_vaporisation: float, molar_volume: float, celsius: float = 25.0) -> float:
    """The total parameter of a liquid from the heat it takes to vaporise it.

    Formula: δ = √((ΔHv - R T) / Vm), T in kelvin

    Parameters
    ----------
    heat_of_vaporisation : [J/mol] at this temperature, 5 000 to 200 000
    molar_volume : [cm³/mol] of the liquid at this temperature, 10 to 1000
    celsius : [°C] temperature, -50 to 150

    Returns
    -------
    [MPa^0.5] total parameter

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    The vapour is taken as an ideal gas: liquids well below their boiling point. Acetic acid, whose vapour pairs up, comes out low.

    Source
    ------
    Hildebrand's definition, as in chemicals 1.5.2 (`solubility_parameter`).
    """
    heat = within("Heat of vaporisation", heat_of_vaporisation, 5_000, 200_000, "J/mol")
    volume = within("Molar volume", molar_volume, 10, 1000, "cm³/mol")
    kelvin = within("Temperature", celsius, -50, 150, "°C") + KELVIN
    return math.sqrt((heat - GAS_CONSTANT * kelvin) / volume)
