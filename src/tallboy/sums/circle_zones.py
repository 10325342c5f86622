"""The other three reference circles: minimum zone, minimum circumscribed and maximum inscribed. None is a guess: each is proved by the
points that it touches.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.spatial import ConvexHull, Delaunay

from tallboy.errors import BadInput
from tallboy.sums.circle import AS_STRAIGHT, MORE_EDGE, Circle, distinct, least_squares, outline, widest_gap
from tallboy.sums.ranges import Array

ALL_TOGETHER = 16
"""Up to so many points every crossing is tried; above, points are taken in as they turn out to matter."""
BLOCKS = 8
SETTLED = 1e-13
"""Of the radius: how near the bound and the zone must come."""
ROUND = 1e-12
"""Of the radius: rounder than numbers can tell; neighbours of such points cannot be told apart either."""
STRIP = 0.1
"""Of the radius: a wider zone, like one about an arc, is compared with a strip between straight lines."""
REACH = 0.5
"""Of the radius: how far from the least-squares centre the centre of the zone is looked for."""


@dataclass(frozen=True)
class Zone:
    """Two circles about one centre with all points between them [mm]."""

    x_mm: float
    y_mm: float
    inner_mm: float
    outer_mm: float

    @property
    def width_mm(self) -> float:
        """Radial width, the roundness about the minimum zone [mm]."""
        return self.outer_mm - self.inner_mm


def minimum_zone(points: ArrayLike) -> Zone:
    """The minimum-zone reference circles: two circles about one centre, all points between them, as near together as can be.

    Formula: minimum over the centre of (largest - smallest distance to the points). At the best centre two outermost and two
    innermost points alternate, so it lies where the bisector of an outer pair crosses the bisector of an inner pair. For a few
    points (chosen as they matter) all crossings are tried; that gives a bound which no centre can beat, and points are added
    until the bound is met by all points.

    Parameters
    ----------
    points : [mm] pairs (x, y), at least three different ones, -100 000 to 100 000

    Returns
    -------
    [mm] zone; its width is never more than the roundness about the least-squares circle

    Raises
    ------
    BadInput or OutOfRange for points that no circle can be laid through, or that lie as well between two straight lines.

    Validity
    --------
    Over 16 points the centre is looked for within half a radius of the least-squares centre; for an outline that reaches all round
    none farther off can be better. Outliers and noise widen the zone directly: smooth first.

    Accuracy
    --------
    To rounding: the bound and the zone agree within 1e-13 of the radius.

    Source
    ------
    Definition: ISO 12181-1:2011 (wording from memory). The crossing of bisectors: own derivation from the condition for a minimum.
    """
    pairs = distinct(outline(points))
    fitted = least_squares(pairs)
    framed = (pairs - fitted.centre) / fitted.radius_mm
    centre = _best_crossing(framed, framed, np.inf)[0] if len(framed) <= ALL_TOGETHER else _closed_in(framed)
    reach = np.hypot(*(framed - centre).T)
    far_from_round = np.ptp(reach) > STRIP or widest_gap(framed, float(centre[0]), float(centre[1])) >= 180
    if far_from_round and _strip(framed) <= np.ptp(reach):
        raise BadInput(AS_STRAIGHT, MORE_EDGE)
    x, y = fitted.centre + fitted.radius_mm * centre
    return Zone(float(x), float(y), float(reach.min()) * fitted.radius_mm, float(reach.max()) * fitted.radius_mm)


def minimum_circumscribed(points: ArrayLike) -> Circle:
    """The smallest circle that no point lies outside of; the reference circle of a wheel or another outside.

    Formula: the smallest circle over two or three of the points that holds all others, found by taking in the farthest point outside

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
    On an arc under 180° it is held by the two ends of the arc and says nothing of the wheel.

    Source
    ------
    Definition: ISO 12181-1:2011 (wording from memory). The circle is unique; method: taking in violators, after Welzl 1991.
    """
    pairs = outline(points)
    shift = pairs.mean(axis=0)
    corners = (pairs - shift)[ConvexHull(pairs - shift).vertices]
    first = int(np.argmax(np.hypot(*(corners - corners[0]).T)))
    held = corners[[0, first]]
    for _ in range(10 * len(corners)):
        centre, radius, held = _smallest_over(held)
        away = np.hypot(*(corners - centre).T)
        if away.max() <= radius * (1 + 1e-12):
            break
        held = np.vstack([held, corners[int(np.argmax(away))]])
    return Circle(float(centre[0] + shift[0]), float(centre[1] + shift[1]), float(radius))


def maximum_inscribed(points: ArrayLike) -> Circle:
    """The largest circle inside the outline that no point lies in; the reference circle of a bore, and what turning could leave.

    Formula: the largest of the circles through three neighbouring points (of the Delaunay triangles) whose centre lies within its
    own triangle, so that the points hold it from all sides

    Parameters
    ----------
    points : [mm] pairs (x, y) all round the edge, at least three different ones, -100 000 to 100 000

    Returns
    -------
    [mm] circle

    Raises
    ------
    BadInput or OutOfRange for points that no circle can be laid through, or that do not reach round it (a gap of 180° or more).

    Validity
    --------
    Several circles can each be held by their points; the largest is given. Between two points the edge may dip farther in.

    Source
    ------
    Definition: ISO 12181-1:2011 (wording from memory). Largest empty circle from Voronoi's corners: textbook geometry.
    """
    pairs = outline(points)
    fitted = least_squares(pairs)
    if widest_gap(pairs, fitted.x_mm, fitted.y_mm) >= 180:
        raise BadInput(
            "The points do not reach round the circle.", "An inscribed circle needs them less than 180° apart."
        )
    framed = distinct((pairs - fitted.centre) / fitted.radius_mm)
    reach = np.hypot(*framed.T)
    if np.ptp(reach) <= ROUND:
        return Circle(fitted.x_mm, fitted.y_mm, float(reach.min()) * fitted.radius_mm)
    triangles = framed[Delaunay(framed).simplices]
    centres = _circumcentres(triangles)
    radii = np.where(_held_within(triangles, centres), np.hypot(*(centres - triangles[:, 0]).T), -1.0)
    # Where points lie on one circle to the last digit, triangles are not sharp: what counts is the distance to the nearest point.
    best = np.argsort(radii)[::-1][:8]
    free = np.array(
        [np.hypot(*(framed - centre).T).min() if np.isfinite(centre).all() else -1.0 for centre in centres[best]]
    )
    chosen = int(np.argmax(np.where(radii[best] > 0, free, -1.0)))
    x, y = fitted.centre + fitted.radius_mm * centres[best[chosen]]
    return Circle(float(x), float(y), float(free[chosen]) * fitted.radius_mm)


def _closed_in(framed: Array) -> Array:
    """The centre of the zone of many points: crossings of a few, points added until the bound is met."""
    away = np.hypot(*framed.T)
    blocks = np.array_split(np.argsort(np.arctan2(framed[:, 1], framed[:, 0])), BLOCKS)
    outer = {int(block[np.argmax(away[block])]) for block in blocks}
    inner = {int(block[np.argmin(away[block])]) for block in blocks}
    best, width = np.zeros(2), float(np.ptp(away))
    for _ in range(60):
        centre, bound = _best_crossing(framed[sorted(outer)], framed[sorted(inner)], REACH)
        reach = np.hypot(*(framed - centre).T)
        if np.ptp(reach) < width:
            best, width = centre, float(np.ptp(reach))
        if width - bound <= SETTLED:
            break
        outer.add(int(np.argmax(reach)))
        inner.add(int(np.argmin(reach)))
    return best


def _best_crossing(outer: Array, inner: Array, reach: float) -> tuple[Array, float]:
    """Where the farthest of `outer` and the nearest of `inner` differ least, and by how much: bisectors crossed with bisectors."""
    middle, along = _bisected(outer)
    other_middle, other_along = _bisected(inner)
    level, other_level = np.sum(middle * along, axis=1), np.sum(other_middle * other_along, axis=1)
    cross = along[:, None, 0] * other_along[None, :, 1] - along[:, None, 1] * other_along[None, :, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        x = (level[:, None] * other_along[None, :, 1] - other_level[None, :] * along[:, None, 1]) / cross
        y = (other_level[None, :] * along[:, None, 0] - level[:, None] * other_along[None, :, 0]) / cross
        near = np.isfinite(x) & np.isfinite(y) & (np.hypot(x, y) <= reach)
    spots = np.column_stack([x[near], y[near]])
    if len(spots) == 0:
        return np.zeros(2), -np.inf
    far = np.max([np.hypot(spots[:, 0] - px, spots[:, 1] - py) for px, py in outer], axis=0)
    close = np.min([np.hypot(spots[:, 0] - px, spots[:, 1] - py) for px, py in inner], axis=0)
    least = int(np.argmin(far - close))
    return spots[least], float(far[least] - close[least])


def _bisected(points: Array) -> tuple[Array, Array]:
    """Middles of all pairs, and the directions that their bisectors stand square to."""
    first, second = np.triu_indices(len(points), 1)
    return (points[first] + points[second]) / 2, points[second] - points[first]


def _strip(framed: Array) -> float:
    """Least width of a strip between two straight lines that holds all points."""
    corners = framed[ConvexHull(framed).vertices]
    edges = np.roll(corners, -1, axis=0) - corners
    normals = np.column_stack([-edges[:, 1], edges[:, 0]]) / np.hypot(*edges.T)[:, None]
    return float(np.min(np.ptp(normals @ corners.T, axis=1)))


def _smallest_over(held: Array) -> tuple[Array, float, Array]:
    """The smallest circle over two to four points, and the two or three of them that hold it."""
    found: tuple[Array, float, Array] | None = None
    for number in (2, 3):
        for chosen in combinations(range(len(held)), number):
            corners = held[list(chosen)]
            centre = corners.mean(axis=0) if number == 2 else _circumcentres(corners[None])[0]
            if not np.isfinite(centre).all():
                continue
            radius = float(np.max(np.hypot(*(corners - centre).T)))
            fits = np.max(np.hypot(*(held - centre).T)) <= radius * (1 + 1e-12)
            if fits and (found is None or radius < found[1]):
                found = centre, radius, corners
    assert found is not None, "two to four points always have a smallest circle"
    return found


def _circumcentres(triangles: Array) -> Array:
    """Centres of the circles through the corners of triangles; infinite or no numbers where the corners lie on a line."""
    a = triangles[:, 0]
    b, c = triangles[:, 1] - a, triangles[:, 2] - a
    double = 2 * (b[:, 0] * c[:, 1] - b[:, 1] * c[:, 0])
    bb, cc = np.sum(b * b, axis=1), np.sum(c * c, axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        x = (c[:, 1] * bb - b[:, 1] * cc) / double
        y = (b[:, 0] * cc - c[:, 0] * bb) / double
    return np.asarray(a + np.column_stack([x, y]))


def _held_within(triangles: Array, centres: Array) -> NDArray[np.bool_]:
    """Whether each centre lies in its triangle, an edge counted in."""
    inside = np.ones(len(triangles), dtype=np.bool_)
    with np.errstate(invalid="ignore"):
        for one, two in ((0, 1), (1, 2), (2, 0)):
            side = triangles[:, two] - triangles[:, one]
            spot = centres - triangles[:, one]
            opposite = triangles[:, 3 - one - two] - triangles[:, one]
            turn = side[:, 0] * spot[:, 1] - side[:, 1] * spot[:, 0]
            sense = side[:, 0] * opposite[:, 1] - side[:, 1] * opposite[:, 0]
            inside &= turn * np.sign(sense) >= -1e-9
    return inside
