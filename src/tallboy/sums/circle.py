"""The circle that fits points best, by least squares; the other reference circles are in `circle_zones` and are named here too.

Points are pairs (x, y) in millimetres, in any order unless a sum says otherwise; the x axis points right, the y axis up.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from tallboy.errors import BadInput
from tallboy.sums.ranges import Array, ranged, within

MOST_MM = 100_000.0
MOST_POINTS = 20_000
FLAT_ENOUGH = 1e-9
"""A set whose breadth is a smaller share of its length than this lies on a line."""
LARGEST_RADIUS = 1e5
"""Times the spread of the points; a circle larger than this is a straight line to any gauge."""

AS_STRAIGHT, MORE_EDGE = "A straight line fits these points as well as a circle.", "Give points from more of the edge."


@dataclass(frozen=True)
class Circle:
    """A circle: centre `x_mm`, `y_mm` and `radius_mm`, all in [mm]."""

    x_mm: float
    y_mm: float
    radius_mm: float

    @property
    def values(self) -> tuple[float, float, float]:
        """Centre and radius in a row [mm]."""
        return self.x_mm, self.y_mm, self.radius_mm

    @property
    def centre(self) -> Array:
        """The centre as a pair [mm]."""
        return np.array([self.x_mm, self.y_mm])


@dataclass(frozen=True)
class CircleSpread:
    """How sure a fitted circle is: expanded uncertainties with k = 2 [mm] and the spread of one point, one sigma [mm]."""

    x_mm: float
    y_mm: float
    radius_mm: float
    point_sigma_mm: float


def outline(points: ArrayLike, least: int = 3) -> Array:
    """The points as an array, once they have been seen to be a set that a circle can be laid through.

    Parameters
    ----------
    points : [mm] pairs (x, y), each from -100 000 to 100 000
    least : [1] how many different points are needed, 3 to 20 000

    Returns
    -------
    [mm] array of shape (n, 2)

    Raises
    ------
    OutOfRange for a coordinate or a number outside its range; BadInput when there are too few different points, too many, they do
    not come in pairs, or they all lie on one straight line.

    Source
    ------
    definition
    """
    within("Number of points needed", least, 3, MOST_POINTS)
    pairs = _in_pairs(points)
    if len(pairs) > MOST_POINTS:
        raise BadInput(f"There are {len(pairs)} points.", f"It takes up to {MOST_POINTS}.")
    different = len(distinct(pairs))
    if different < least:
        raise BadInput(f"There are {different} different points.", f"It needs {least} or more.")
    long, broad = np.linalg.svd(pairs - pairs.mean(axis=0), compute_uv=False)
    if broad <= FLAT_ENOUGH * long:
        raise BadInput("The points all lie on one straight line.", "Give points from round the edge.")
    return pairs


def algebraic_fit(points: ArrayLike) -> Circle:
    """A quick circle near the points: one step of linear algebra, too small on short arcs; it starts off the proper fit.

    Formula: least squares of x² + y² - 2 a x - 2 b y - c = 0; radius² = c + a² + b²

    Parameters
    ----------
    points : [mm] pairs (x, y), at least three different ones, -100 000 to 100 000

    Returns
    -------
    [mm] circle

    Raises
    ------
    BadInput or OutOfRange for points that no circle can be laid through.

    Validity
    --------
    Use it only where the points reach well round the circle and are clean.

    Accuracy
    --------
    On an arc of 90° of the NIST pairs its radius is off by up to 0.46 mm in 163 mm; the proper fit by less than 0.00000001 mm.

    Source
    ------
    Kåsa 1976, as in the SciPy Cookbook, "Least squares circle".
    """
    pairs = outline(points)
    shift, scale = _frame(pairs)
    return _placed(_algebraic((pairs - shift) / scale), shift, scale)


def least_squares(points: ArrayLike) -> Circle:
    """The least-squares reference circle: the sum of the squared distances of the points from it is the smallest there is.

    Formula: minimum over x, y, R of sum (sqrt((xi - x)² + (yi - y)²) - R)², by damped Gauss-Newton steps (Levenberg-Marquardt)

    Parameters
    ----------
    points : [mm] pairs (x, y), at least three different ones, -100 000 to 100 000

    Returns
    -------
    [mm] circle

    Raises
    ------
    BadInput or OutOfRange for points that no circle can be laid through, or that a straight line fits as well.

    Validity
    --------
    Any arc, but see `fit_spread`: over 30° the radius is some 100 times less sure than over the full circle.

    Accuracy
    --------
    Reproduces the NIST reference pairs for circles to 1e-8 mm.

    Source
    ------
    Definition of the least-squares reference circle: ISO 12181-1:2011 (wording from memory). Method: Gander, Golub and Strebel 1994.
    """
    pairs = outline(points)
    shift, scale = _frame(pairs)
    framed = (pairs - shift) / scale
    state = _settled(framed, _algebraic(framed))
    if np.sum(_misses(framed, state)[0] ** 2) >= np.linalg.svd(framed, compute_uv=False)[1] ** 2:
        raise BadInput(AS_STRAIGHT, MORE_EDGE)
    return _placed(state, shift, scale)


def residuals(points: ArrayLike, circle: Circle) -> Array:
    """How far each point lies outside the circle.

    Formula: sqrt((xi - x)² + (yi - y)²) - R

    Parameters
    ----------
    points : [mm] pairs (x, y), -100 000 to 100 000
    circle : [mm] the circle

    Returns
    -------
    [mm] one for each point, negative inside

    Raises
    ------
    OutOfRange for a coordinate outside the range; BadInput when they do not come in pairs.

    Source
    ------
    definition
    """
    pairs = _in_pairs(points)
    return np.asarray(np.hypot(pairs[:, 0] - circle.x_mm, pairs[:, 1] - circle.y_mm) - circle.radius_mm)


def fit_spread(points: ArrayLike, sigma_mm: float | None = None) -> CircleSpread:
    """How sure the least-squares circle is, for points that scatter at random by the same amount.

    Formula: covariance = sigma² (JᵀJ)⁻¹ with rows of J (cos, sin, 1); expanded by k = 2; sigma² = sum of squares / (n - 3) unless given

    Parameters
    ----------
    points : [mm] pairs (x, y), at least three different ones (four when sigma is not given), -100 000 to 100 000
    sigma_mm : [mm] spread of one point, one sigma, 0 to 100; None to take it from how the points scatter about their circle

    Returns
    -------
    [mm] expanded uncertainties (k = 2) of centre and radius, and the sigma they rest on

    Raises
    ------
    BadInput or OutOfRange for points that no circle can be laid through.

    Validity
    --------
    Small scatter. Taken from the points themselves, sigma holds the true out-of-roundness too, and the spread is on the safe side.
    With fewer than about ten points k = 2 is less than 95 %.

    Source
    ------
    JCGM 100 (GUM): propagation and k = 2, as in the NIST/SEMATECH handbook 2.5.7 (read); the matrix is the own derivation.
    """
    pairs = outline(points, 3 if sigma_mm is not None else 4)
    circle = least_squares(pairs)
    if sigma_mm is None:
        sigma = float(np.sqrt(np.sum(residuals(pairs, circle) ** 2) / (len(pairs) - 3)))
    else:
        sigma = within("Spread of a point", sigma_mm, 0, 100, "mm")
    angles = np.arctan2(pairs[:, 1] - circle.y_mm, pairs[:, 0] - circle.x_mm)
    slopes = np.column_stack([np.cos(angles), np.sin(angles), np.ones(len(angles))])
    x, y, radius = 2 * sigma * np.sqrt(np.diag(np.linalg.inv(slopes.T @ slopes)))
    return CircleSpread(float(x), float(y), float(radius), sigma)


def widest_gap(points: ArrayLike, x_mm: float, y_mm: float) -> float:
    """The widest angle, seen from a centre, in which there is no point.

    Formula: largest difference of neighbouring angles, once round

    Parameters
    ----------
    points : [mm] pairs (x, y), one at least, -100 000 to 100 000
    x_mm : [mm] centre, -100 000 to 100 000
    y_mm : [mm] centre, -100 000 to 100 000

    Returns
    -------
    [°] up to 360; a full outline of n even points gives 360 / n, an arc of 90° gives 270

    Raises
    ------
    OutOfRange for a coordinate outside the range; BadInput when they do not come in pairs or there is none.

    Source
    ------
    definition
    """
    pairs = _in_pairs(points)
    within("Centre", x_mm, -MOST_MM, MOST_MM, "mm")
    within("Centre", y_mm, -MOST_MM, MOST_MM, "mm")
    if not len(pairs):
        raise BadInput("There is no point.", "Give one at least.")
    angles = np.sort(np.arctan2(pairs[:, 1] - y_mm, pairs[:, 0] - x_mm))
    return float(np.degrees(np.max(np.diff(angles, append=angles[0] + 2 * np.pi))))


def distinct(pairs: ArrayLike) -> Array:
    """The points without repeats, from left to right.

    Formula: sorted as complex numbers, which is far quicker than as rows

    Parameters
    ----------
    pairs : [mm] pairs (x, y), -100 000 to 100 000

    Returns
    -------
    [mm] array of shape (m, 2), m not more than n

    Raises
    ------
    OutOfRange for a coordinate outside the range; BadInput when they do not come in pairs.

    Source
    ------
    definition
    """
    columns = _in_pairs(pairs)
    single = np.unique(columns[:, 0] + 1j * columns[:, 1])
    return np.column_stack([single.real, single.imag])


def _in_pairs(points: ArrayLike) -> Array:
    """The points as an array of two columns, every number within its range; none at all is an empty one."""
    pairs = ranged("Coordinate of a point", points, -MOST_MM, MOST_MM, "mm")
    if pairs.shape == (0,):
        return np.empty((0, 2))
    if pairs.ndim != 2 or pairs.shape[1] != 2:
        raise BadInput("The points do not come in pairs.", "Give an x and a y for each point.")
    return pairs


def _frame(pairs: Array) -> tuple[Array, float]:
    """A shift and a scale that bring the points near 0 and 1, where the arithmetic is at its best."""
    shift = pairs.mean(axis=0)
    return shift, float(np.sqrt(np.mean((pairs - shift) ** 2) * 2))


def _placed(framed: Array, shift: Array, scale: float) -> Circle:
    x, y = shift + scale * framed[:2]
    return Circle(float(x), float(y), float(scale * framed[2]))


def _algebraic(framed: Array) -> Array:
    """x, y, radius of the algebraic fit."""
    rows = np.column_stack([2 * framed, np.ones(len(framed))])
    x, y, rest = np.linalg.lstsq(rows, np.sum(framed**2, axis=1), rcond=None)[0]
    return np.array([x, y, np.sqrt(rest + x * x + y * y)])


def _settled(framed: Array, guess: Array) -> Array:
    """Damped Gauss-Newton steps until nothing moves any more."""
    state, damping = guess, 1e-3
    misses, slopes = _misses(framed, state)
    for _ in range(300):
        normal = slopes.T @ slopes
        step = np.linalg.solve(normal + damping * np.diag(np.diag(normal)), -slopes.T @ misses)
        trial = state + step
        trial_misses, trial_slopes = _misses(framed, trial)
        # Near the bottom the sum of squares is flat to the last digit: steps that only look worse by rounding are taken.
        if trial_misses @ trial_misses <= (misses @ misses) * (1 + 1e-12) + 1e-30:
            state, misses, slopes, damping = trial, trial_misses, trial_slopes, max(damping / 10, 1e-15)
        else:
            damping *= 10
        if state[2] > LARGEST_RADIUS:
            break
        if np.max(np.abs(step)) < 1e-14 * max(1.0, state[2]):
            return state
    if np.max(np.abs(step)) < 1e-10 and state[2] <= LARGEST_RADIUS:
        return state
    raise BadInput(AS_STRAIGHT, MORE_EDGE)


def _misses(framed: Array, state: Array) -> tuple[Array, Array]:
    """Distances from the circle, and how they change with x, y and radius."""
    offsets = framed - state[:2]
    lengths = np.hypot(offsets[:, 0], offsets[:, 1])
    towards = offsets / np.where(lengths > 0, lengths, 1.0)[:, None]
    return lengths - state[2], np.column_stack([-towards, -np.ones(len(framed))])
