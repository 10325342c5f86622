"""Areas of what is round or moulded: turned legs from their diameters, mouldings from their girth."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums.areas import MM2_PER_M2
from tallboy.sums.ranges import within

Point = tuple[float, float]
MOST_POINTS = 2000


def turned_area(profile: Sequence[Point]) -> float:
    """Area around a turning, from its diameters along its length.

    Formula: sum of pi * (d1 + d2) / 2 * sqrt((x2 - x1)² + ((d2 - d1) / 2)²) over neighbours: truncated cones

    Parameters
    ----------
    profile : [mm] place along the length and diameter there, in order, 2 to 2000 points; places 0 to 10 000, diameters 0 to 1000; the
        same place twice is a square shoulder

    Returns
    -------
    [m²] area around it; the ends are not in it

    Raises
    ------
    OutOfRange outside the ranges; BadInput when the places go back.

    Validity
    --------
    Straight between the points, so a bead needs a few of them: a ball by nine points is 2 % short, by five 8 %.

    Source
    ------
    Geometry: lateral area of the frustum of a cone (closed form).
    """
    _check_profile(profile)
    cones = (
        math.pi * (first + second) / 2 * math.hypot(to - start, (second - first) / 2)
        for (start, first), (to, second) in pairwise(profile)
    )
    return sum(cones) / MM2_PER_M2


def mean_girth(diameters_mm: Sequence[float]) -> float:
    """Girth of a turning on average, from diameters taken at even steps along it.

    Formula: pi * mean diameter

    Parameters
    ----------
    diameters_mm : [mm] at even steps, 1 to 2000 of them, each 0 to 1000

    Returns
    -------
    [mm] mean girth; a tape laid around gives the same

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition
    """
    within("Number of diameters", len(diameters_mm), 1, MOST_POINTS, "")
    for diameter in diameters_mm:
        within("Diameter", diameter, 0, 1000, "mm")
    return math.pi * sum(diameters_mm) / len(diameters_mm)


def girth_area(girth_mm: float, length_mm: float) -> float:
    """Area of a turning or a moulding: girth by length.

    Formula: girth * length

    Parameters
    ----------
    girth_mm : [mm] around a turning on average, or along the profile of a moulding, 0 to 4000
    length_mm : [mm] length or run, 0 to 1 000 000

    Returns
    -------
    [m²] area

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Exact for a moulding and a plain cylinder. For a turning it leaves out the slopes, so it is never too large: a fiftieth short for a
    gentle vase, a third for a full bead.

    Source
    ------
    Geometry; that it is never too large follows from the sum of truncated cones. The shares: a bead of 20 mm on 40 mm in
    closed form, a vase of 40 ± 15 mm over 200 mm in small steps.
    """
    within("Girth", girth_mm, 0, 4000, "mm")
    within("Length", length_mm, 0, 1_000_000, "mm")
    return girth_mm * length_mm / MM2_PER_M2


def profile_girth(points: Sequence[Point]) -> float:
    """Length along the profile of a moulding, from points on its outline.

    Formula: sum of the distances from each point to the next

    Parameters
    ----------
    points : [mm] across and up of points along the visible outline, in order, 2 to 2000; each -10 000 to 10 000

    Returns
    -------
    [mm] girth; a strip of paper pressed into the moulding gives the same

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Geometry (closed form)
    """
    within("Number of points", len(points), 2, MOST_POINTS, "")
    for x, y in points:
        within("Across", x, -10_000, 10_000, "mm")
        within("Up", y, -10_000, 10_000, "mm")
    return sum(math.dist(one, other) for one, other in pairwise(points))


def _check_profile(profile: Sequence[Point]) -> None:
    if not 2 <= len(profile) <= MOST_POINTS:
        raise OutOfRange("Number of points", len(profile), 2, MOST_POINTS)
    for place, diameter in profile:
        within("Place along the length", place, 0, 10_000, "mm")
        within("Diameter", diameter, 0, 1000, "mm")
    for (before, _), (after, _) in pairwise(profile):
        if after < before:
            raise BadInput(f"The turning goes back from {before:g} to {after:g} mm.", "Give its places in order.")
