"""Two metals that touch in the damp: how far apart they lie, which one is eaten, and whether that is too far.

The anodic index is a voltage below gold, reckoned here in hundredths of a volt as whole numbers: the limits are met exactly, and
0.85 - 0.70 is 0.15 and not a hair more.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tallboy.errors import OutOfRange
from tallboy.sums.ranges import whole, within

LIMITS: Mapping[str, int] = {"harsh": 15, "normal": 25, "controlled": 50}
"""Largest difference [0.01 V] in salt, wet or outdoor air; in a room or store without control; in dry, steady air."""


@dataclass(frozen=True)
class Couple:
    """Two metals in contact. `hundredths` is their difference [0.01 V]; `anode` the one that corrodes: "first", "second" or "neither".

    `harsh`, `normal` and `controlled` say whether the difference keeps to the limit of that place.
    """

    hundredths: int
    volts: float
    anode: str
    harsh: bool
    normal: bool
    controlled: bool


def couple(first_index: int, second_index: int) -> Couple:
    """How two metals get on where damp can join them.

    Formula: difference = |index1 - index2|; allowed when it is not more than 15, 25 or 50 hundredths of a volt

    Parameters
    ----------
    first_index : [0.01 V] anodic index of the one, 0 (gold) to 200
    second_index : [0.01 V] anodic index of the other, 0 to 200

    Returns
    -------
    [0.01 V] Couple: difference, which is the anode, and the three verdicts

    Raises
    ------
    OutOfRange outside the ranges or not a whole number.

    Validity
    --------
    A rule of thumb from potentials in sea water. Without moisture nothing happens; the area of the two counts as much.

    Source
    ------
    Index and limits: public engineering notes on MIL-DTL-14072, table VI, that agree with each other
    """
    one, other = _whole("First index", first_index), _whole("Second index", second_index)
    apart = abs(one - other)
    anode = "neither" if apart == 0 else ("first" if one > other else "second")
    return Couple(apart, apart / 100, anode, *(apart <= limit for limit in LIMITS.values()))


def allowed(hundredths: int, place: str) -> bool:
    """Whether a difference keeps to the limit of a place.

    Parameters
    ----------
    hundredths : [0.01 V] difference of two anodic indices, 0 to 200
    place : [text] "harsh", "normal" or "controlled"

    Returns
    -------
    [yes or no] True when it is not over the limit; equal is allowed

    Raises
    ------
    OutOfRange for another difference or place.

    Source
    ------
    Limits of 0.15, 0.25 and 0.50 V: public engineering notes on MIL-DTL-14072, table VI
    """
    apart = _whole("Difference", hundredths)
    if place not in LIMITS:
        raise OutOfRange("Place", place, "harsh", "controlled")
    return apart <= LIMITS[place]


def area_rule(anode_area: float, cathode_area: float) -> str:
    """What the areas of the two mean for the one that corrodes.

    Formula: attack on the anode ~ cathode area / anode area

    Parameters
    ----------
    anode_area : [mm²] wetted area of the metal that corrodes, 0.001 to 1e9
    cathode_area : [mm²] wetted area of the other, 0.001 to 1e9

    Returns
    -------
    [text] "worse" (anode smaller than the cathode), "even", or "milder" (anode larger)

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Only areas joined by the same wet film count. Proportional when the supply of oxygen decides, the usual case in a damp film.

    Source
    ------
    Mansfeld, Corrosion 27 (1971) 436-442, abstract; MIL-DTL-14072F (make the smaller part the cathode)
    """
    one = within("Area of the anode", anode_area, 0.001, 1e9, "mm²")
    other = within("Area of the cathode", cathode_area, 0.001, 1e9, "mm²")
    if one == other:
        return "even"
    return "worse" if other > one else "milder"


def _whole(name: str, value: float) -> int:
    return whole(name, value, 0, 200, "hundredths of a volt")
