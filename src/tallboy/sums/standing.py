"""How a piece stands on its feet or wheels: the load on each, which three carry, how much it rocks and what packing cures it.

Feet are counted from 0 in the order they are given. A leg's length is measured from a level of the piece down to where it touches;
only differences matter. A floor's height at a foot is up.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
from numpy.typing import ArrayLike
from scipy.spatial import ConvexHull

from tallboy.errors import BadInput
from tallboy.sums.ranges import Array, ranged, whole, within

MOST_MM = 10_000.0
MOST_FEET = 12
TOUCHING_MM = 1e-6
"""A gap smaller than this is none."""


@dataclass(frozen=True)
class Rock:
    """How four feet rock.

    `gap_mm` under the foot in the air when the piece is tipped all the way to one side; `diagonal` the two feet that it rocks on and
    `lifts` the two that take turns in the air, both () when it stands firm; `pack_foot` the foot to pack, None when none, and
    `pack_mm` how much. `trim_foot` is the foot to shorten by as much instead.
    """

    gap_mm: float
    diagonal: tuple[int, ...]
    lifts: tuple[int, ...]
    pack_foot: int | None
    pack_mm: float
    trim_foot: int | None


@dataclass(frozen=True)
class Stance:
    """How any number of feet stand.

    `carriers` three that carry and `shares` what part of the weight each has; `gaps_mm` under every foot, 0 where it touches;
    `margin_mm` how far the centre of mass is inside the touching feet, towards the nearest side; `rocks` whether it lies on that side,
    so that the piece stands on either of two threes; `others` the second three, () when there is none.
    """

    carriers: tuple[int, int, int]
    shares: tuple[float, float, float]
    gaps_mm: tuple[float, ...]
    margin_mm: float
    rocks: bool
    others: tuple[int, ...]


def load_per_wheel(empty_kg: float, load_kg: float, wheels: int) -> float:
    """Load that each wheel must be good for: one of them may hang free on an uneven floor.

    Formula: (E + Z) / (n - 1)

    Parameters
    ----------
    empty_kg : [kg] E, the piece empty, 0 to 10 000
    load_kg : [kg] Z, what it holds, 0 to 10 000
    wheels : [1] n, 3 to 12

    Returns
    -------
    [kg] on each wheel

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    The load spread evenly. Steps, drops and shoving ask for more: see `load_with_factor`. Three wheels never hang free; the rule is on
    the safe side there.

    Source
    ------
    Common practice: makers' and trade pages (read), no standard seen.
    """
    total = within("Weight of the piece", empty_kg, 0, 10_000, "kg") + within("Load", load_kg, 0, 10_000, "kg")
    return total / (_feet(wheels) - 1)


def load_with_factor(empty_kg: float, load_kg: float, wheels: int, factor: float = 1.25) -> float:
    """Load that each wheel must be good for, by a factor of safety instead.

    Formula: (E + Z) S / n

    Parameters
    ----------
    empty_kg : [kg] E, the piece empty, 0 to 10 000
    load_kg : [kg] Z, what it holds, 0 to 10 000
    wheels : [1] n, 3 to 12
    factor : [1] S, 1 to 5; 1.25 by hand, 1.5 towed, 2 with knocks

    Returns
    -------
    [kg] on each wheel

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Common practice: makers' and trade pages (read), no standard seen.
    """
    total = within("Weight of the piece", empty_kg, 0, 10_000, "kg") + within("Load", load_kg, 0, 10_000, "kg")
    return total * within("Factor of safety", factor, 1, 5) / _feet(wheels)


def rock_of_four(lengths_mm: ArrayLike, floor_mm: ArrayLike = (0.0, 0.0, 0.0, 0.0)) -> Rock:
    """How much a piece on four feet rocks, on which diagonal, and what cures it.

    Formula: t = (l0 + l2) - (l1 + l3), l the leg's length plus the floor's height under it; it rocks on the diagonal that is longer,
    the gap is |t|, and |t| under one foot of the other diagonal cures it (or |t| / 2 under both)

    Parameters
    ----------
    lengths_mm : [mm] four legs in order round the piece (front left, front right, back right, back left), -10 000 to 10 000
    floor_mm : [mm] height of the floor under each, -10 000 to 10 000

    Returns
    -------
    [mm] gap and packing; of the two feet that could be packed the one that leaves the piece nearer to level, likewise for trimming

    Raises
    ------
    OutOfRange outside the ranges; BadInput unless there are four.

    Validity
    --------
    Feet at the corners of a rectangle or parallelogram, a stiff carcase, differences small beside the span. On another floor it rocks
    otherwise: measure on a flat one, or give the floor.

    Source
    ------
    Own derivation: four corners of a parallelogram lie in one plane when the sums over both diagonals are equal.
    """
    legs = ranged("Leg", lengths_mm, -MOST_MM, MOST_MM, "mm").ravel()
    floor = ranged("Floor", floor_mm, -MOST_MM, MOST_MM, "mm").ravel()
    if len(legs) != 4 or len(floor) != 4:
        raise BadInput(f"There are {len(legs)} legs and {len(floor)} heights of the floor.", "It takes four of each.")
    effective = legs + floor
    twist = float(effective[0] + effective[2] - effective[1] - effective[3])
    if abs(twist) <= TOUCHING_MM:
        return Rock(0.0, (), (), None, 0.0, None)
    long, short = ((0, 2), (1, 3)) if twist > 0 else ((1, 3), (0, 2))
    gap = abs(twist)
    return Rock(gap, long, short, _nearer_level(effective, short, gap), gap, _nearer_level(effective, long, -gap))


def stand(
    feet_mm: ArrayLike, lengths_mm: ArrayLike, centre_mm: Sequence[float], floor_mm: ArrayLike | None = None
) -> Stance:
    """Which three feet carry a piece, how the weight is shared, and the gap under each other foot.

    Formula: the plane through three feet that has no other foot below the floor and whose triangle holds the centre of mass; gaps are
    the heights of the other feet over the floor; shares are the centre's barycentric coordinates

    Parameters
    ----------
    feet_mm : [mm] pairs (x, y), where each of 3 to 12 feet stands, seen from above, each -10 000 to 10 000
    lengths_mm : [mm] length of each leg, -10 000 to 10 000
    centre_mm : [mm] pair (x, y), where the centre of mass is, seen from above
    floor_mm : [mm] height of the floor at each foot, -10 000 to 10 000; None for a flat floor

    Returns
    -------
    [1, mm] the three, their shares, gaps, and the margin before it tips to another three

    Raises
    ------
    OutOfRange outside the ranges; BadInput when numbers do not match, feet lie on a line, or the centre of mass is outside the feet,
    so that the piece falls.

    Validity
    --------
    A stiff carcase and floor, differences of length small beside the span (so that the view from above holds). Where more than three
    touch, how they share the weight depends on what gives: one possible sharing among three is told.

    Source
    ------
    Statics of a rigid body on supports without pull: the lowest position of the centre of mass; own derivation.
    """
    feet = ranged("Place of a foot", feet_mm, -MOST_MM, MOST_MM, "mm")
    centre = ranged("Centre of mass", centre_mm, -MOST_MM, MOST_MM, "mm")
    if feet.ndim != 2 or feet.shape[1] != 2 or centre.shape != (2,):
        raise BadInput(
            "The places do not come in pairs.", "Give an x and a y for each foot and for the centre of mass."
        )
    _feet(len(feet))
    drops = ranged("Leg", lengths_mm, -MOST_MM, MOST_MM, "mm").ravel()
    rises = np.zeros(len(feet)) if floor_mm is None else ranged("Floor", floor_mm, -MOST_MM, MOST_MM, "mm").ravel()
    if len(drops) != len(feet) or len(rises) != len(feet):
        raise BadInput(
            f"{len(feet)} feet, {len(drops)} legs, {len(rises)} heights of the floor.", "Give as many of each."
        )
    found = sorted(_stances(feet, drops + rises, centre), key=lambda one: -one.margin_mm)
    if not found:
        raise BadInput("The centre of mass lies outside the feet: the piece falls.", "Move it in, or the feet out.")
    best = found[0]
    others = next((one.carriers for one in found if one.gaps_mm != best.gaps_mm), ())
    if best.margin_mm > TOUCHING_MM or not others:
        return best
    return replace(best, rocks=True, others=others)


def _stances(feet: Array, effective: Array, centre: Array) -> Iterator[Stance]:
    """Every three that can carry, the most even first where feet of one plane offer several."""
    whole = np.column_stack([feet, np.ones(len(feet))])
    span = float(np.max(np.ptp(feet, axis=0)))
    known: dict[tuple[float, ...], Stance] = {}
    for three in combinations(range(len(feet)), 3):
        rows = whole[list(three)]
        if abs(np.linalg.det(rows)) <= 1e-9 * max(span, 1e-9) ** 2:
            continue
        shares = np.linalg.solve(rows.T, np.array([*centre, 1.0]))
        gaps = whole @ np.linalg.solve(rows, effective[list(three)]) - effective
        if shares.min() < -1e-9 or gaps.min() < -TOUCHING_MM:
            continue
        clean = tuple(0.0 if gap <= TOUCHING_MM else round(float(gap), 9) for gap in gaps)
        touching = feet[np.array(clean) == 0]
        margin = max(0.0, -float(np.max(ConvexHull(touching).equations @ np.array([*centre, 1.0]))))
        first, second, third = np.where(shares < 1e-9, 0.0, shares).tolist()
        stance = Stance(three, (first, second, third), clean, margin, False, ())
        if clean not in known or min(stance.shares) > min(known[clean].shares):
            known[clean] = stance
    yield from known.values()


def _nearer_level(effective: Array, feet: tuple[int, int], change: float) -> int:
    """Of two feet the one whose change by so much leaves the smaller slopes."""

    def slope(foot: int) -> float:
        legs = effective.copy()
        legs[foot] += change
        return float((legs[0] + legs[1] - legs[2] - legs[3]) ** 2 + (legs[0] + legs[3] - legs[1] - legs[2]) ** 2)

    return min(feet, key=lambda foot: (round(slope(foot), 9), foot))


def _feet(number: float) -> int:
    return whole("Number of wheels", number, 3, MOST_FEET)
