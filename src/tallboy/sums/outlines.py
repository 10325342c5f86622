"""Outlines made to order: round, lobed, flattened, oval, of constant width, or from radii taken off a wheel at equal angles."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums.ranges import Array, ranged, whole, within

MOST_RADIUS_MM = 10_000.0
MOST_POINTS = 20_000


def lobed(
    radius_mm: float,
    lobes: Sequence[tuple[int, float]] = (),
    points: int = 360,
    degrees: float = 360.0,
    x_mm: float = 0.0,
    y_mm: float = 0.0,
) -> Array:
    """A circle or an arc of it with waves of given number and height, anticlockwise from the x axis.

    Formula: r(t) = R + sum of a cos(k t); t from 0 in even steps, once round without repeating the first point, or over the arc

    Parameters
    ----------
    radius_mm : [mm] R, 0.1 to 10 000
    lobes : [1, mm] pairs (k waves in a turn, a), k up to 500, a at most half of R in all
    points : [1] how many points, 3 to 20 000
    degrees : [°] how far round, 1 to 360
    x_mm : [mm] centre, -10 000 to 10 000
    y_mm : [mm] centre, -10 000 to 10 000

    Returns
    -------
    [mm] array of shape (n, 2)

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition
    """
    within("Radius", radius_mm, 0.1, MOST_RADIUS_MM, "mm")
    whole("Number of points", points, 3, MOST_POINTS)
    within("Arc", degrees, 1, 360, "°")
    within("Centre", x_mm, -MOST_RADIUS_MM, MOST_RADIUS_MM, "mm")
    within("Centre", y_mm, -MOST_RADIUS_MM, MOST_RADIUS_MM, "mm")
    within("Heights of the lobes together", sum(abs(height) for _, height in lobes), 0, radius_mm / 2, "mm")
    turn = np.linspace(0, np.radians(degrees), points, endpoint=degrees < 360)
    radii = np.full(points, float(radius_mm))
    for number, height in lobes:
        radii += height * np.cos(whole("Lobes in a turn", number, 0, 500) * turn)
    return np.column_stack([x_mm + radii * np.cos(turn), y_mm + radii * np.sin(turn)])


def flattened(radius_mm: float, flat_at_mm: float, points: int = 360) -> Array:
    """A circle with one flat, points at equal angles.

    Formula: r(t) = min(R, d / cos t) where cos t > 0

    Parameters
    ----------
    radius_mm : [mm] R, 0.1 to 10 000
    flat_at_mm : [mm] d, distance of the flat from the centre, more than nothing and at most R
    points : [1] how many points, 3 to 20 000

    Returns
    -------
    [mm] array of shape (n, 2)

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition
    """
    round_one = lobed(radius_mm, (), points)
    within("Distance of the flat", flat_at_mm, radius_mm * 1e-3, radius_mm, "mm")
    cosines = round_one[:, 0] / radius_mm
    share = np.where(cosines * radius_mm > flat_at_mm, flat_at_mm / np.maximum(cosines * radius_mm, flat_at_mm), 1.0)
    return np.asarray(round_one * share[:, None])


def oval(long_mm: float, short_mm: float, points: int = 360) -> Array:
    """An ellipse about the origin, its long axis along x.

    Formula: x = a cos t, y = b sin t, t in even steps

    Parameters
    ----------
    long_mm : [mm] a, half the long axis, 0.1 to 10 000
    short_mm : [mm] b, half the short axis, 0.1 to 10 000
    points : [1] how many points, 3 to 20 000

    Returns
    -------
    [mm] array of shape (n, 2)

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition
    """
    within("Half the long axis", long_mm, 0.1, MOST_RADIUS_MM, "mm")
    within("Half the short axis", short_mm, 0.1, MOST_RADIUS_MM, "mm")
    return np.asarray(lobed(1.0, (), points) * np.array([long_mm, short_mm]))


def constant_width(width_mm: float, corners: int = 3, points_per_side: int = 120) -> Array:
    """A shape of equal diameter everywhere that is not round (Reuleaux); callipers cannot tell it from a circle.

    Formula: an odd number of corners on a circle of radius w / (2 cos(pi / 2n)); each side an arc of radius w about the corner across

    Parameters
    ----------
    width_mm : [mm] w, 0.1 to 10 000
    corners : [1] n, odd, 3 to 49
    points_per_side : [1] even number of steps along each arc, 2 to 400

    Returns
    -------
    [mm] array of shape (corners * points_per_side, 2), anticlockwise

    Raises
    ------
    OutOfRange outside the ranges; BadInput for an even number of corners.

    Source
    ------
    definition (Reuleaux polygon)
    """
    within("Width", width_mm, 0.1, MOST_RADIUS_MM, "mm")
    whole("Number of corners", corners, 3, 49)
    whole("Points on a side", points_per_side, 2, 400)
    if corners % 2 == 0:
        raise BadInput(f"{corners} corners is an even number.", "Shapes of constant width have 3, 5, 7 … corners.")
    half = np.pi / (2 * corners)
    spot = np.arange(corners) * 2 * np.pi / corners
    corner = width_mm / (2 * np.cos(half)) * np.column_stack([np.cos(spot), np.sin(spot)])
    sweep = np.linspace(-half, half, points_per_side, endpoint=False)
    facing = spot[:, None] + np.pi + sweep[None, :]
    arcs = corner[:, None, :] + width_mm * np.stack([np.cos(facing), np.sin(facing)], axis=-1)
    flat = arcs.reshape(-1, 2)
    return np.asarray(flat[np.argsort(np.arctan2(flat[:, 1], flat[:, 0]))])


def from_radii(radii_mm: ArrayLike, samples: int = 720) -> Array:
    """The outline through radii measured from the axle at equal angles, smooth in between.

    Formula: the wave of fewest undulations through all radii (trigonometric interpolation), drawn at even angles

    Parameters
    ----------
    radii_mm : [mm] at equal angles, anticlockwise from the x axis, 4 to 2000 of them, each 0.1 to 10 000
    samples : [1] how many points to draw, at least as many as radii, 12 to 7200

    Returns
    -------
    [mm] array of shape (samples, 2); the axle is the origin

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    It knows only undulations up to half the number of radii: a flat shorter than two steps is missed or smeared. Joining the
    readings with straight lines instead would make a wheel of few readings look like a nut.

    Source
    ------
    definition (discrete Fourier transform)
    """
    radii = ranged("Radius", radii_mm, 0.1, MOST_RADIUS_MM, "mm").ravel()
    whole("Number of radii", len(radii), 4, 2000)
    whole("Number of samples", samples, 12, 7200)
    if samples < len(radii):
        raise OutOfRange("Number of samples", samples, len(radii), 7200)
    waves = np.fft.rfft(radii)
    if len(radii) % 2 == 0 and samples > len(radii):
        waves[-1] /= 2
    filled = np.fft.irfft(waves, samples) * (samples / len(radii))
    turn = np.arange(samples) * 2 * np.pi / samples
    return np.column_stack([filled * np.cos(turn), filled * np.sin(turn)])
