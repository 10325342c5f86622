"""How far from round an outline is: about each reference circle, by its waves, smoothed, and how much of it is only noise."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ndtr

from tallboy.errors import BadInput
from tallboy.sums.circle import Circle, least_squares, outline, residuals, widest_gap
from tallboy.sums.circle_zones import Zone, maximum_inscribed, minimum_circumscribed, minimum_zone
from tallboy.sums.ranges import Array, within

UNDULATIONS = 15
"""Waves in a turn that are kept when an outline is smoothed: the filter of roundness gauges for small parts; common practice."""
MOST_UNDULATIONS = 500
ALL_ROUND = 180.0
"""Degrees; with a gap this wide there is no circle around or inside to speak of."""


@dataclass(frozen=True)
class Roundness:
    """Deviations from round about each reference circle [mm].

    About the least-squares circle `fitted`: `total_mm` peak to valley (RONt), `peak_mm` (RONp), `valley_mm` (RONv), `rms_mm` (RONq).
    `zone` the minimum zone, its width the least of all four. `circumscribed_mm` and `inscribed_mm` are peak to valley about `around`
    and `inside`; all four None where the points do not reach round. `points` how many, `gap_degrees` the widest angle without one.
    """

    points: int
    gap_degrees: float
    fitted: Circle
    total_mm: float
    peak_mm: float
    valley_mm: float
    rms_mm: float
    zone: Zone
    around: Circle | None
    circumscribed_mm: float | None
    inside: Circle | None
    inscribed_mm: float | None


@dataclass(frozen=True)
class RoundnessSpread:
    """A roundness as read, what it may truly be from `low_mm` to `high_mm`, and `floor_mm`, what noise alone would read as [mm]."""

    read_mm: float
    low_mm: float
    high_mm: float
    floor_mm: float


def roundness(points: ArrayLike) -> Roundness:
    """Roundness about the least-squares, minimum-zone, minimum-circumscribed and maximum-inscribed reference circles.

    Formula: largest - smallest distance from each circle's centre (for the last two: from the circle)

    Parameters
    ----------
    points : [mm] pairs (x, y), at least three different ones, -100 000 to 100 000

    Returns
    -------
    [mm] all of them

    Raises
    ------
    BadInput or OutOfRange for points that no circle can be laid through.

    Validity
    --------
    As measured: noise widens all of them (`noise_floor`). For a verdict take the minimum zone of the smoothed outline.

    Source
    ------
    ISO 12181-1:2011 for the names and definitions (wording from memory).
    """
    pairs = outline(points)
    fitted = least_squares(pairs)
    away = residuals(pairs, fitted)
    gap = widest_gap(pairs, fitted.x_mm, fitted.y_mm)
    around = minimum_circumscribed(pairs) if gap < ALL_ROUND else None
    inside = maximum_inscribed(pairs) if gap < ALL_ROUND else None
    return Roundness(
        points=len(pairs),
        gap_degrees=gap,
        fitted=fitted,
        total_mm=float(np.ptp(away)),
        peak_mm=float(away.max()),
        valley_mm=float(-away.min()),
        rms_mm=float(np.sqrt(np.mean(away**2))),
        zone=minimum_zone(pairs),
        around=around,
        circumscribed_mm=None if around is None else float(-residuals(pairs, around).min()),
        inside=inside,
        inscribed_mm=None if inside is None else float(residuals(pairs, inside).max()),
    )


def smooth(points: ArrayLike, undulations: int = UNDULATIONS, samples: int = 0) -> Array:
    """The outline without what waves more often than so many times in a turn.

    Formula: least squares of r(t) = a0 + sum over k of (ak cos k t + bk sin k t), k to the number of undulations, about the
    least-squares centre

    Parameters
    ----------
    points : [mm] pairs (x, y) all round, more than twice as many as undulations, -100 000 to 100 000
    undulations : [1] waves in a turn that stay, 2 to 500
    samples : [1] points of the result at equal angles, 0 to 20 000; 0 gives one at the angle of each point

    Returns
    -------
    [mm] array of shape (n, 2)

    Raises
    ------
    OutOfRange outside the ranges; BadInput with too few points, or a gap wider than a wave, in which a wave could hide.

    Validity
    --------
    A flat with sharp ends is rounded off a little: its depth is kept to a few percent once its chord is over a wave long.

    Source
    ------
    definition (a Fourier series cut off); a sharp cut at 15 undulations stands in for the Gaussian filter of ISO 12181-2 (from memory).
    """
    within("Number of samples", samples, 0, 20_000)
    centre, turn, coefficients = _waves(points, undulations)
    if samples:
        turn = np.arange(samples) * 2 * np.pi / samples
    radii = _series(turn, undulations) @ coefficients
    return np.column_stack([centre[0] + radii * np.cos(turn), centre[1] + radii * np.sin(turn)])


def amplitudes(points: ArrayLike, undulations: int = UNDULATIONS) -> Array:
    """How high each wave stands: 2 for an oval, 3 for three lobes, and so on.

    Formula: sqrt(ak² + bk²) of the series of `smooth`

    Parameters
    ----------
    points : [mm] pairs (x, y) all round, more than twice as many as undulations, -100 000 to 100 000
    undulations : [1] the most waves in a turn, 2 to 500

    Returns
    -------
    [mm] entry 0 the mean radius, entry 1 nearly nothing (the centre is fitted), entry k half the peak to valley of k lobes

    Raises
    ------
    OutOfRange outside the ranges; BadInput with too few points or a gap wider than a wave.

    Source
    ------
    definition
    """
    coefficients = _waves(points, undulations)[2]
    both = coefficients[1:].reshape(2, undulations)
    return np.concatenate([[abs(coefficients[0])], np.hypot(both[0], both[1])])


def expected_range(number: int) -> float:
    """Mean of the largest less the smallest of so many values that scatter at random (normally), in standard deviations.

    Formula: integral of 1 - (1 - Phi(u))ⁿ - Phi(u)ⁿ

    Parameters
    ----------
    number : [1] n, 2 to 100 000

    Returns
    -------
    [1] known as d2

    Raises
    ------
    OutOfRange outside the range.

    Source
    ------
    Tippett 1925, as in a statistics program's documentation (read).
    """
    within("Number of values", number, 2, 100_000)
    u = np.linspace(-10, 10, 4001)
    return float(np.trapezoid(1 - ndtr(-u) ** number - ndtr(u) ** number, u))


def noise_floor(sigma_mm: float, points: int, undulations: int = 0) -> float:
    """What a perfect circle would read as, peak to valley, from the scatter of the points alone.

    Formula: raw: sigma sqrt(1 - 3 / n) d2(n). Smoothed to K undulations: 2 s E with s = sigma sqrt(2 (K - 1) / n) and E the mean
    highest peak of a wave of K - 1 frequencies: integral of 1 - F(u) and -F(-u), F(u) = Phi(u) exp(-c exp(-u² / 2)), c the root
    mean square of 2 to K

    Parameters
    ----------
    sigma_mm : [mm] scatter of a point, one sigma, 0 to 100
    points : [1] how many, evenly round, 6 to 20 000
    undulations : [1] waves in a turn that were kept by smoothing, 0 to 500; 0 when nothing was smoothed, else at least 2 and
        less than half of the points

    Returns
    -------
    [mm] mean roundness about the least-squares circle; about the minimum zone it is some 5 to 10 % less

    Raises
    ------
    OutOfRange outside the ranges.

    Accuracy
    --------
    Within 3 % of simulation raw and smoothed to 10 undulations or more; within 12 % with fewer.

    Source
    ------
    Raw: expected range of normal values, less three fitted numbers. Smoothed: Rice's formula for crossings (from memory), own derivation.
    """
    return sigma_mm * _noise_range(sigma_mm, points, undulations)[0]


def roundness_spread(read_mm: float, sigma_mm: float, points: int, undulations: int = 0) -> RoundnessSpread:
    """What a roundness truly is, when scatter of the points is taken into account.

    Formula: low = read - max(N, U), not below 0; high = read + U; U = 2 sqrt(2) s, s the scatter of a point after smoothing; N what
    noise alone stays under in 95 of 100 wheels (peak and valley taken as independent)

    Parameters
    ----------
    read_mm : [mm] roundness as it came out, 0 to 10 000
    sigma_mm : [mm] scatter of a point, one sigma, 0 to 100
    points : [1] how many, evenly round, 6 to 20 000
    undulations : [1] waves in a turn that were kept by smoothing, 0 to 500; 0 when nothing was smoothed

    Returns
    -------
    [mm] as read, lowest and highest (k = 2), and the noise floor

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Scatter only makes a wheel look less round, never rounder in the mean: the range reaches farther down than up.

    Accuracy
    --------
    Holds the truth in more than 95 of 100 simulated wheels, round or lobed.

    Source
    ------
    JCGM 100 (GUM), k = 2; difference of two extreme points; own derivation.
    """
    within("Roundness", read_mm, 0, 10_000, "mm")
    mean, most, one = _noise_range(sigma_mm, points, undulations)
    expanded = 2 * math.sqrt(2) * one * sigma_mm
    low = max(0.0, read_mm - max(most * sigma_mm, expanded))
    return RoundnessSpread(read_mm, low, read_mm + expanded, mean * sigma_mm)


def _noise_range(sigma_mm: float, points: int, undulations: int) -> tuple[float, float, float]:
    """For noise of one sigma: mean peak to valley, what it stays under in 95 of 100, and the scatter of one point that is left."""
    within("Scatter of a point", sigma_mm, 0, 100, "mm")
    within("Number of points", points, 6, 20_000)
    within("Undulations", undulations, 0, MOST_UNDULATIONS)
    u = np.linspace(-8, 8, 1601)
    if undulations == 0:
        left = float(np.sqrt(1 - 3 / points))
        below = ndtr(u) ** points
    else:
        within("Undulations", undulations, 2, (points - 1) / 2)
        left = float(np.sqrt(2 * (undulations - 1) / points))
        crossings = np.sqrt(np.mean(np.arange(2, undulations + 1) ** 2))
        below = ndtr(u) * np.exp(-crossings * np.exp(-(u**2) / 2))
    mean = 2 * (float(u[0]) + float(np.trapezoid(1 - below, u)))
    peaks = np.diff(below)
    ranges = np.cumsum(np.convolve(peaks, peaks))
    # Entry k of the convolution is the chance of a range near 2 u0 + (k + 1) du, so the sum up to it belongs half a step higher.
    most = float(np.interp(0.95, ranges, 2 * u[0] + (u[1] - u[0]) * (np.arange(len(ranges)) + 1.5)))
    return left * mean, left * most, left


def _waves(points: ArrayLike, undulations: int) -> tuple[Array, Array, Array]:
    """Centre, angle of each point, and the coefficients of the series: mean, cosines, sines."""
    within("Undulations", undulations, 2, MOST_UNDULATIONS)
    pairs = outline(points)
    fitted = least_squares(pairs)
    gap = widest_gap(pairs, fitted.x_mm, fitted.y_mm)
    if len(pairs) < 2 * undulations + 2 or gap >= 360 / undulations:
        raise BadInput(
            f"{len(pairs)} points with a gap of {gap:.3g}° cannot tell {undulations} undulations.",
            f"It takes {2 * undulations + 2} or more, no gap over {360 / undulations:.3g}°; or fewer undulations.",
        )
    turn = np.arctan2(pairs[:, 1] - fitted.y_mm, pairs[:, 0] - fitted.x_mm)
    rows = _series(turn, undulations)
    coefficients = np.linalg.solve(rows.T @ rows, rows.T @ residuals(pairs, fitted))
    coefficients[0] += fitted.radius_mm
    return fitted.centre, np.asarray(turn), np.asarray(coefficients)


def _series(turn: Array, undulations: int) -> Array:
    """One row an angle: 1, cosines, sines."""
    angles = turn[:, None] * np.arange(1, undulations + 1)
    return np.hstack([np.ones((len(turn), 1)), np.cos(angles), np.sin(angles)])
