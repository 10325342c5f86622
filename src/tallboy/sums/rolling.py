"""A wheel as it rolls on a flat floor: how high its axle rides, how often and how hard it bumps. The wheel does not slip or bend.

What touches the floor is the convex hull of the outline; dips in the tread make no difference. Flats and steps are in
`wheel_steps`, loads and pressure in `standing` and `wheel_contact`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.spatial import ConvexHull

from tallboy.errors import BadInput
from tallboy.sums.circle import MOST_MM, least_squares, outline
from tallboy.sums.ranges import Array, within

BUMP_MM = 0.05
"""A rise of the axle that counts as a bump: about what a hand on the piece feels on a hard floor. Common practice, no source."""
WALKING_M_S = 1.3
"""Usual pace of healthy adults out of doors, mean 1.31 m/s of 35 studies (Sports Medicine 2021, abstract read)."""
STEPS = 720
KNOCK_UNDULATIONS = 15


@dataclass(frozen=True)
class Rolling:
    """One turn of a wheel.

    `highest_mm`, `lowest_mm` of the axle over the floor and their difference `lift_mm`; `bumps` in a turn; `travel_mm` the way it
    rolls in a turn; `bumps_per_metre`; `run_out_mm` largest less smallest radius about the axle, what a pointer held to the turning
    wheel reads; `eccentricity_mm` how far the axle is off the least-squares centre; `longest_flat_mm` the longest flat, 0 without one,
    and `flat_depth_mm` how far it lies inside a circle of the same travel.
    """

    highest_mm: float
    lowest_mm: float
    lift_mm: float
    bumps: int
    travel_mm: float
    bumps_per_metre: float
    run_out_mm: float
    eccentricity_mm: float
    longest_flat_mm: float
    flat_depth_mm: float


@dataclass(frozen=True)
class Motion:
    """The axle's movement up and down at a pace.

    `turns_per_s`; `speed_mm_s` the fastest rise or fall; `acceleration_m_s2` the greatest, of the movement without its sharp
    corners; `knock_mm_s` the sudden change of speed as the longest flat lands, 0 without a flat to speak of.
    """

    turns_per_s: float
    speed_mm_s: float
    acceleration_m_s2: float
    knock_mm_s: float


def axle_heights(points: ArrayLike, axle_x_mm: float = 0.0, axle_y_mm: float = 0.0, steps: int = STEPS) -> Array:
    """Height of the axle over the floor through one turn.

    Formula: h(t) = largest of (x - ax) cos t + (y - ay) sin t over the outline (support function of its convex hull)

    Parameters
    ----------
    points : [mm] pairs (x, y) of the outline, -100 000 to 100 000
    axle_x_mm : [mm] where the axle is, -100 000 to 100 000
    axle_y_mm : [mm] where the axle is, -100 000 to 100 000
    steps : [1] how many even steps of a turn, 8 to 7200

    Returns
    -------
    [mm] one for each step, the direction t pointing down to the floor

    Raises
    ------
    BadInput or OutOfRange for points that are no outline, or an axle outside it.

    Validity
    --------
    A hard wheel on a hard flat floor. Between the points the edge is taken as straight: see `outlines.from_radii` for few of them.

    Source
    ------
    definition (support function)
    """
    within("Number of steps", steps, 8, 7200)
    corners = _hull(points, axle_x_mm, axle_y_mm)
    turn = np.arange(steps) * 2 * np.pi / steps
    lowest = corners[_touching(corners, turn)]
    return np.asarray(np.cos(turn) * lowest[:, 0] + np.sin(turn) * lowest[:, 1])


def rolling(points: ArrayLike, axle_x_mm: float = 0.0, axle_y_mm: float = 0.0, bump_mm: float = BUMP_MM) -> Rolling:
    """How evenly a wheel rolls about its axle.

    Formula: highest = farthest point from the axle; lowest = least distance of the hull's sides from it; travel = girth of the hull
    (Cauchy: the mean height times 2 pi); bumps = rises by at least `bump_mm` between falls by as much; a flat is a side of the hull at
    least 0.05 mm deep and longer than two even spacings of the points

    Parameters
    ----------
    points : [mm] pairs (x, y) of the outline all round, -100 000 to 100 000
    axle_x_mm : [mm] where the axle is, -100 000 to 100 000
    axle_y_mm : [mm] where the axle is, -100 000 to 100 000
    bump_mm : [mm] rise that counts as a bump, 0.001 to 100

    Returns
    -------
    [mm] heights, lift, travel, run-out, eccentricity, longest flat; bumps in a turn and in a metre

    Raises
    ------
    BadInput or OutOfRange for points that are no outline, or an axle outside it.

    Validity
    --------
    A hard wheel on a hard flat floor, no slip. A soft tread or carpet swallows part of it. Noise of the points lifts too: smooth first.

    Accuracy
    --------
    With n points the lowest is too low by R (pi / n)² / 2: 0.001 mm for 360 points on a radius of 25 mm, 0.1 mm for 36.

    Source
    ------
    Geometry of the support function; own derivation.
    """
    within("Bump", bump_mm, 0.001, 100, "mm")
    corners = _hull(points, axle_x_mm, axle_y_mm)
    pairs = outline(points)
    away = np.hypot(pairs[:, 0] - axle_x_mm, pairs[:, 1] - axle_y_mm)
    sides, heights = _sides(corners)
    fitted = least_squares(pairs)
    travel, longest = float(sides.sum()), float(np.max(sides[_flats(sides, len(pairs))], initial=0.0))
    highest, lowest = float(away.max()), float(heights.min())
    bumps = _bumps(axle_heights(pairs, axle_x_mm, axle_y_mm), bump_mm)
    return Rolling(
        highest_mm=highest,
        lowest_mm=lowest,
        lift_mm=highest - lowest,
        bumps=bumps,
        travel_mm=travel,
        bumps_per_metre=1000 * bumps / travel,
        run_out_mm=float(np.ptp(away)),
        eccentricity_mm=float(np.hypot(fitted.x_mm - axle_x_mm, fitted.y_mm - axle_y_mm)),
        longest_flat_mm=longest,
        flat_depth_mm=_sagitta(travel / (2 * np.pi), longest),
    )


def motion(
    points: ArrayLike,
    axle_x_mm: float = 0.0,
    axle_y_mm: float = 0.0,
    speed_m_s: float = WALKING_M_S,
    undulations: int = KNOCK_UNDULATIONS,
) -> Motion:
    """How fast and how sharply the axle moves up and down as the wheel is rolled along.

    Formula: turning w = speed / mean height; fastest = w * largest distance of the point of contact from under the axle;
    acceleration = w² * largest second derivative of the height's Fourier series cut off at so many waves in a turn;
    knock = w * length of the longest flat (as in `rolling`)

    Parameters
    ----------
    points : [mm] pairs (x, y) of the outline all round, -100 000 to 100 000
    axle_x_mm : [mm] where the axle is, -100 000 to 100 000
    axle_y_mm : [mm] where the axle is, -100 000 to 100 000
    speed_m_s : [m/s] pace, 0.01 to 5
    undulations : [1] waves in a turn that the acceleration is reckoned from, 1 to 100

    Returns
    -------
    [mm/s, m/s²] movement of the axle

    Raises
    ------
    BadInput or OutOfRange for points that are no outline, or an axle outside it.

    Validity
    --------
    At a corner or the end of a flat a hard wheel's speed jumps and its acceleration has no limit: the knock tells how hard, and the
    acceleration is that of the smooth part. Steady turning; the piece neither hops nor gives way.

    Source
    ------
    Derivatives of the support function; own derivation. Pace: systematic review of walking speeds, 1.31 m/s (abstract read).
    """
    within("Pace", speed_m_s, 0.01, 5, "m/s")
    within("Undulations", undulations, 1, 100)
    corners = _hull(points, axle_x_mm, axle_y_mm)
    sides, _ = _sides(corners)
    mean = float(sides.sum()) / (2 * np.pi)
    turning = 1000 * speed_m_s / mean
    flats = _flats(sides, len(outline(points)))
    return Motion(
        turns_per_s=turning / (2 * np.pi),
        speed_mm_s=turning * float(np.max(np.abs(_offsets(corners, flats)))),
        acceleration_m_s2=turning**2 * _sharpest(axle_heights(points, axle_x_mm, axle_y_mm), undulations) / 1000,
        knock_mm_s=turning * float(np.max(sides[flats], initial=0.0)),
    )


def _hull(points: ArrayLike, axle_x_mm: float, axle_y_mm: float) -> Array:
    """Corners of the hull about the axle, anticlockwise, the axle inside."""
    within("Axle", axle_x_mm, -MOST_MM, MOST_MM, "mm")
    within("Axle", axle_y_mm, -MOST_MM, MOST_MM, "mm")
    about = outline(points) - np.array([axle_x_mm, axle_y_mm])
    hull = ConvexHull(about)
    if np.max(hull.equations[:, 2]) >= 0:
        raise BadInput("The axle lies outside the outline.", "Give the outline and the axle from the same origin.")
    return np.asarray(about[hull.vertices])


def _sides(corners: Array) -> tuple[Array, Array]:
    """Length of each side of the hull, and its distance from the axle."""
    onward = np.roll(corners, -1, axis=0)
    sides = np.hypot(*(onward - corners).T)
    return np.asarray(sides), np.asarray((corners[:, 0] * onward[:, 1] - corners[:, 1] * onward[:, 0]) / sides)


def _touching(corners: Array, turn: Array) -> NDArray[np.intp]:
    """The corner that touches the floor in each direction: the one between the sides that face just before and just after it."""
    onward = np.roll(corners, -1, axis=0)
    facing = np.arctan2(corners[:, 0] - onward[:, 0], onward[:, 1] - corners[:, 1]) % (2 * np.pi)
    first = int(np.argmin(facing))
    place = np.searchsorted(np.roll(facing, -first), turn)
    return np.asarray((place + first) % len(corners))


def _flats(sides: Array, points: int) -> NDArray[np.bool_]:
    """Which sides are flats: deep enough to be felt, and longer than points set apart evenly would leave."""
    girth = float(sides.sum())
    radius = girth / (2 * np.pi)
    depths = radius - np.sqrt(np.maximum(radius**2 - sides**2 / 4, 0.0))
    return np.asarray((depths >= BUMP_MM) & (sides > 2 * girth / points), dtype=np.bool_)


def _offsets(corners: Array, flats: NDArray[np.bool_]) -> Array:
    """How far before or behind the axle the wheel touches, which is how fast the height changes [mm/rad]: at the middle of each side,
    and at both ends of a flat."""
    onward = np.roll(corners, -1, axis=0)
    along = (onward - corners) / np.hypot(*(onward - corners).T)[:, None]
    middle = np.sum((corners + onward) / 2 * along, axis=1)
    ends = [np.sum(end * along, axis=1)[flats] for end in (corners, onward)]
    return np.concatenate([middle, *ends])


def _bumps(heights: Array, bump_mm: float) -> int:
    """Rises by so much after falls by so much, once round: the turn begins and ends at its lowest place."""
    start = int(np.argmin(heights))
    number, rising, last = 0, True, float(heights[start])
    for height in np.concatenate([heights[start:], heights[: start + 1]]).tolist():
        if rising:
            last = min(last, height)
            if height - last >= bump_mm:
                number, rising, last = number + 1, False, height
        else:
            last = max(last, height)
            rising = last - height >= bump_mm
            last = height if rising else last
    return number


def _sagitta(radius: float, chord: float) -> float:
    """How far a chord lies inside its circle."""
    return float(radius - np.sqrt(max(radius**2 - chord**2 / 4, 0.0)))


def _sharpest(heights: Array, undulations: int) -> float:
    """Largest second derivative of the smoothed height [mm/rad²]."""
    waves = np.fft.rfft(heights)
    number = np.arange(len(waves))
    waves[number > undulations] = 0
    return float(np.max(np.abs(np.fft.irfft(-(number**2) * waves, len(heights)))))
