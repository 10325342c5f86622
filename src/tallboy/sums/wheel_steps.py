"""Flats of a wheel, steps in its way, and the pull that keeps it rolling; the pressure under it is in `wheel_contact`."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.spatial import ConvexHull

from tallboy.errors import BadInput
from tallboy.sums.circle import outline, widest_gap
from tallboy.sums.circle_zones import minimum_circumscribed
from tallboy.sums.ranges import within

MOST_RADIUS_MM = 2000.0
MOST_LOAD_N = 100_000.0


@dataclass(frozen=True)
class Flat:
    """A flat on a wheel: its depth and chord [mm], and the angle of its middle seen from the centre [°], anticlockwise from x."""

    depth_mm: float
    chord_mm: float
    towards_degrees: float


def flat_depth(radius_mm: float, chord_mm: float) -> float:
    """How far the axle drops when a wheel comes to stand on its flat.

    Formula: R - sqrt(R² - c² / 4)

    Parameters
    ----------
    radius_mm : [mm] R, 0.1 to 2000
    chord_mm : [mm] c, length of the flat along the tread, from 0 up to the diameter

    Returns
    -------
    [mm] drop, nearly c² / (8 R)

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Geometry of the chord.
    """
    radius = within("Radius", radius_mm, 0.1, MOST_RADIUS_MM, "mm")
    chord = within("Flat", chord_mm, 0, 2 * radius, "mm")
    return float(radius - np.sqrt(radius**2 - chord**2 / 4))


def flat_chord(radius_mm: float, depth_mm: float) -> float:
    """How long a flat is that goes so deep.

    Formula: 2 sqrt(d (2 R - d))

    Parameters
    ----------
    radius_mm : [mm] R, 0.1 to 2000
    depth_mm : [mm] d, from 0 up to the radius

    Returns
    -------
    [mm] length along the tread

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Geometry of the chord.
    """
    radius = within("Radius", radius_mm, 0.1, MOST_RADIUS_MM, "mm")
    depth = within("Depth of the flat", depth_mm, 0, radius, "mm")
    return float(2 * np.sqrt(depth * (2 * radius - depth)))


def deepest_flat(points: ArrayLike) -> Flat:
    """The deepest flat of an outline, measured from the smallest circle around it.

    Formula: radius of the minimum circumscribed circle - least distance of the hull's sides from its centre

    Parameters
    ----------
    points : [mm] pairs (x, y) of the outline all round, -100 000 to 100 000

    Returns
    -------
    [mm, °] depth, length of the straight side, and where it is

    Raises
    ------
    BadInput or OutOfRange for points that are no outline all round.

    Validity
    --------
    The circle is that of the unworn tread only if more than half of the tread is unworn. With n points even a round wheel shows
    sides of depth R (1 - cos (pi / n)); noise and lobes read as flats too.

    Source
    ------
    Own derivation.
    """
    pairs = outline(points)
    around = minimum_circumscribed(pairs)
    if widest_gap(pairs, around.x_mm, around.y_mm) >= 180 * (1 - 1e-9):
        raise BadInput("The points do not reach round the wheel.", "Give points of the whole outline.")
    corners = pairs[ConvexHull(pairs).vertices] - around.centre
    sides = np.roll(corners, -1, axis=0) - corners
    lengths = np.hypot(*sides.T)
    heights = (corners[:, 0] * sides[:, 1] - corners[:, 1] * sides[:, 0]) / lengths
    lowest = int(np.argmin(heights))
    across = sides[lowest]
    towards = float(np.degrees(np.arctan2(-across[0], across[1]))) % 360
    return Flat(around.radius_mm - float(heights[lowest]), float(lengths[lowest]), towards)


def step_pull(radius_mm: float, step_mm: float) -> float:
    """Level pull at the axle that lifts a wheel over a step, as a share of the load on the wheel.

    Formula: sqrt(2 R h - h²) / (R - h)

    Parameters
    ----------
    radius_mm : [mm] R, 0.1 to 2000
    step_mm : [mm] h, from 0 to less than R

    Returns
    -------
    [1] pull over load; without limit as the step nears the radius

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    A hard wheel, a sharp step that does not give, no run-up. All wheels that meet the step at once need it each.

    Source
    ------
    Moments about the edge of the step; textbook statics.
    """
    radius, step = _before_step(radius_mm, step_mm)
    return float(np.sqrt(2 * radius * step - step**2) / (radius - step))


def least_step_pull(radius_mm: float, step_mm: float) -> float:
    """The least pull at the axle that lifts a wheel over a step, slanting upwards square to the line from the edge to the axle.

    Formula: sqrt(2 R h - h²) / R

    Parameters
    ----------
    radius_mm : [mm] R, 0.1 to 2000
    step_mm : [mm] h, from 0 to less than R

    Returns
    -------
    [1] pull over load on the wheel, less than 1

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    As `step_pull`.

    Source
    ------
    Moments about the edge of the step; textbook statics.
    """
    radius, step = _before_step(radius_mm, step_mm)
    return float(np.sqrt(2 * radius * step - step**2) / radius)


def largest_step(radius_mm: float, pull_share: float) -> float:
    """The highest step that a level pull of so much of the load gets a wheel over.

    Formula: h = R (1 - 1 / sqrt(1 + (F / W)²)), the inverse of `step_pull`

    Parameters
    ----------
    radius_mm : [mm] R, 0.1 to 2000
    pull_share : [1] F / W, pull over load on the wheel, 0 to 100

    Returns
    -------
    [mm] height of the step, always less than R

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    As `step_pull`.

    Source
    ------
    Moments about the edge of the step; textbook statics.
    """
    radius = within("Radius", radius_mm, 0.1, MOST_RADIUS_MM, "mm")
    share = within("Pull over load", pull_share, 0, 100)
    return float(radius * (1 - 1 / np.sqrt(1 + share**2)))


def rolling_resistance(load_n: float, coefficient: float) -> float:
    """Pull that keeps a load rolling on the level.

    Formula: F = W c

    Parameters
    ----------
    load_n : [N] W, weight on the wheels, 0 to 100 000
    coefficient : [1] c, of rolling resistance, 0 to 1

    Returns
    -------
    [N] pull

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Friction of the axle and swivelling come on top. Published coefficients differ by half and more.

    Source
    ------
    Textbook definition, as in an engineering reference page (read).
    """
    return within("Load", load_n, 0, MOST_LOAD_N, "N") * within("Coefficient", coefficient, 0, 1)


def resistance_coefficient(lever_mm: float, radius_mm: float) -> float:
    """Coefficient of rolling resistance from the lever arm of a pair of materials: small wheels roll harder.

    Formula: c = f / R

    Parameters
    ----------
    lever_mm : [mm] f, how far before the axle the floor presses up, 0 to 50
    radius_mm : [mm] R, 0.1 to 2000

    Returns
    -------
    [1] coefficient

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Textbook definition, as in an engineering reference page (read).
    """
    return within("Lever arm", lever_mm, 0, 50, "mm") / within("Radius", radius_mm, 0.1, MOST_RADIUS_MM, "mm")


def _before_step(radius_mm: float, step_mm: float) -> tuple[float, float]:
    radius = within("Radius", radius_mm, 0.1, MOST_RADIUS_MM, "mm")
    return radius, within("Height of the step", step_mm, 0, float(np.nextafter(radius, 0)), "mm")
