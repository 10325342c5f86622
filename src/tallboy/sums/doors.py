"""What a side-hung door does to its hinges, and what that leaves each screw to hold."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tallboy.errors import BadInput
from tallboy.sums.ranges import within

STANDARD_GRAVITY = 9.80665
AMPLE, ENOUGH = 5.5, 2.0


@dataclass(frozen=True)
class HingeForces:
    """Forces on two hinges [N]: the pull outwards on the upper one is the push inwards on the lower; each bears its part of the weight."""

    pull_n: float
    upper_down_n: float
    lower_down_n: float
    upper_n: float
    lower_n: float


def weight_of(mass_kg: float, gravity: float = STANDARD_GRAVITY) -> float:
    """Weight of a mass.

    Formula: mass * gravity

    Parameters
    ----------
    mass_kg : [kg] 0 to 1000
    gravity : [m/s²] 9.7 to 9.9

    Returns
    -------
    [N] weight

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition; standard gravity 9.80665 m/s² (CGPM 1901)
    """
    within("Mass", mass_kg, 0, 1000, "kg")
    within("Gravity", gravity, 9.7, 9.9, "m/s²")
    return mass_kg * gravity


def hinge_forces(weight_n: float, width_mm: float, spacing_mm: float, *, lower_bears: float = 0.5) -> HingeForces:
    """Forces of a side-hung door on its two hinges.

    Formula: pull = weight * (width / 2) / spacing; down = weight shared; together sqrt(pull² + down²)

    Parameters
    ----------
    weight_n : [N] of the door, 0 to 10 000
    width_mm : [mm] from the pin to the far edge, 0 to 5000; the weight is taken to act in its middle
    spacing_mm : [mm] from one hinge's middle to the other's, 10 to 5000
    lower_bears : [1] share of the weight that the lower hinge bears, 0 to 1; which it is depends on how they were fitted

    Returns
    -------
    [N] pull, the down parts, and both together for each hinge

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    A door at rest, hung plumb. Someone leaning on its edge, or a door that hits its stop, does far more.

    Source
    ------
    Statics (moments about the lower hinge); textbook problems give the same.
    """
    within("Weight", weight_n, 0, 10_000, "N")
    within("Width", width_mm, 0, 5000, "mm")
    within("Hinge spacing", spacing_mm, 10, 5000, "mm")
    within("Share of the lower hinge", lower_bears, 0, 1, "")
    pull = weight_n * width_mm / 2 / spacing_mm
    upper, lower = weight_n * (1 - lower_bears), weight_n * lower_bears
    return HingeForces(pull, upper, lower, math.hypot(pull, upper), math.hypot(pull, lower))


def hinge_pulls(weight_n: float, width_mm: float, heights_mm: Sequence[float]) -> tuple[float, ...]:
    """Pull outwards on each of several hinges of a side-hung door.

    Formula: weight * (width / 2) * y / sum of y², y the height of a hinge above the middle of all of them

    Parameters
    ----------
    weight_n : [N] of the door, 0 to 10 000
    width_mm : [mm] from the pin to the far edge, 0 to 5000
    heights_mm : [mm] heights of the hinges' middles, from anywhere, 2 to 20 of them, 0 to 10 000, not all the same

    Returns
    -------
    [N] pull on each in the given order, negative where it is pushed in

    Raises
    ------
    OutOfRange outside the ranges; BadInput when all hinges are at one height.

    Validity
    --------
    Hinges of one kind, fitted in one line, a door that does not bend. A third hinge in the middle then takes no pull at all; one
    close below the upper takes about two fifths of it. In a line that is not straight one hinge works against the others.

    Source
    ------
    own derivation (equal springs and a stiff door; two hinges give the same as by statics)
    """
    within("Weight", weight_n, 0, 10_000, "N")
    within("Width", width_mm, 0, 5000, "mm")
    within("Number of hinges", len(heights_mm), 2, 20, "")
    for height in heights_mm:
        within("Height of a hinge", height, 0, 10_000, "mm")
    middle = sum(heights_mm) / len(heights_mm)
    above = [height - middle for height in heights_mm]
    squares = sum(y * y for y in above)
    if squares < 1:
        raise BadInput("All hinges are at one height.", "Give the height of each, from the bottom of the door.")
    return tuple(weight_n * width_mm / 2 * y / squares for y in above)


def margin(holds_n: float, load_n: float) -> float:
    """How many times over something holds.

    Formula: what it holds / what pulls

    Parameters
    ----------
    holds_n : [N] load at which it gives, 0 to 1 000 000
    load_n : [N] load on it, 0 to 1 000 000; nothing gives an endless margin

    Returns
    -------
    [1] margin

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition
    """
    within("What it holds", holds_n, 0, 1e6, "N")
    within("Load", load_n, 0, 1e6, "N")
    return math.inf if load_n == 0 else holds_n / load_n


def verdict(times: float) -> str:
    """What to think of a margin on the mean load at which something gives.

    Formula: 5.5 and more "ample"; 2 to 5.5 "enough at rest"; below 2 "not enough"

    Parameters
    ----------
    times : [1] margin, 0 or above

    Returns
    -------
    [text] "ample", "enough at rest" or "not enough"

    Raises
    ------
    OutOfRange for a margin below nothing, or none.

    Validity
    --------
    For a door or a fitting of a piece of furniture. A weak screw holds six tenths of the mean, so "enough at rest" leaves it little. Where
    someone can be hurt when it gives, ample is the least.

    Source
    ------
    5.5 is what lies between the ultimate and the allowed withdrawal load of the National Design Specification (15 700 to 2850); 2 is
    common practice, no source.
    """
    within("Margin", times, 0, math.inf, "")
    if times >= AMPLE:
        return "ample"
    return "enough at rest" if times >= ENOUGH else "not enough"
