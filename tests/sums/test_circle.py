"""Circles through points: what no shift, turn or scale may change, and what each reference circle promises."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import ArrayLike
from scipy.optimize import least_squares as scipy_least_squares
from tests.sums.wheels_made import few, noisy, seeds, turned

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums import circle, circle_zones
from tallboy.sums.circle_zones import maximum_inscribed, minimum_circumscribed, minimum_zone
from tallboy.sums.outlines import flattened, lobed
from tallboy.sums.ranges import Array
from tallboy.sums.roundness import roundness


def reach(points: Array, x: float, y: float) -> Array:
    """Distances from a centre."""
    return np.asarray(np.hypot(points[:, 0] - x, points[:, 1] - y))


@settings(max_examples=50)
@given(seeds, few, st.floats(-500, 500), st.floats(-500, 500), st.floats(0, 360), st.floats(0.1, 50))
def test_a_circle_moves_turns_and_grows_with_its_points(
    seed: int, number: int, x: float, y: float, degrees: float, scale: float
) -> None:
    """All four circles: the centre goes along, sizes scale."""
    points = noisy(seed, number)
    moved = turned(points, degrees) * scale + np.array([x, y])
    for fit in (circle.least_squares, minimum_circumscribed, maximum_inscribed):
        here, there = fit(points), fit(moved)
        assert there.radius_mm == pytest.approx(scale * here.radius_mm, rel=1e-8)
        expected = turned(here.centre[None], degrees)[0] * scale + np.array([x, y])
        assert there.centre == pytest.approx(expected, abs=1e-6 * scale)
    assert minimum_zone(moved).width_mm == pytest.approx(scale * minimum_zone(points).width_mm, rel=1e-6, abs=1e-9)


@settings(max_examples=40)
@given(seeds, few, st.floats(40, 360))
def test_least_squares_leaves_nothing_to_gain(seed: int, number: int, degrees: float) -> None:
    """What is left over is square to every way of moving or growing the circle."""
    points = noisy(seed, number, degrees=degrees, sigma=0.01)
    fitted = circle.least_squares(points)
    away = circle.residuals(points, fitted)
    towards = (points - fitted.centre) / reach(points, fitted.x_mm, fitted.y_mm)[:, None]
    assert abs(away.sum()) < 1e-8
    assert np.abs(towards.T @ away).max() < 1e-8


@settings(max_examples=40)
@given(seeds, few, st.floats(60, 360))
def test_least_squares_against_another_solver(seed: int, number: int, degrees: float) -> None:
    """SciPy's own least squares, started from the truth, ends at the same circle."""
    points = noisy(seed, number, degrees=degrees)

    def misses(state: Array) -> Array:
        return np.asarray(reach(points, float(state[0]), float(state[1])) - state[2])

    found = scipy_least_squares(misses, [0, 0, 20], xtol=1e-14, ftol=1e-14, gtol=1e-14)
    assert circle.least_squares(points).values == pytest.approx(tuple(found.x), abs=2e-5)


@settings(max_examples=40)
@given(seeds, few)
def test_each_circle_keeps_its_promise(seed: int, number: int) -> None:
    """All inside the one around, none in the one inside, all in the zone; and each is held by enough points."""
    points = noisy(seed, number)
    around, inside, zone = minimum_circumscribed(points), maximum_inscribed(points), minimum_zone(points)
    outside = reach(points, *around.values[:2]) - around.radius_mm
    within = reach(points, *inside.values[:2]) - inside.radius_mm
    from_zone = reach(points, zone.x_mm, zone.y_mm)
    assert outside.max() < 1e-9
    assert within.min() > -1e-9
    assert from_zone.min() == pytest.approx(zone.inner_mm)
    assert from_zone.max() == pytest.approx(zone.outer_mm)
    assert np.sum(np.abs(outside) < 1e-8) >= 2
    assert np.sum(np.abs(within) < 1e-8) >= 3
    assert np.sum(from_zone > zone.outer_mm - 1e-8) >= 2
    assert np.sum(from_zone < zone.inner_mm + 1e-8) >= 2


@settings(max_examples=40)
@given(seeds, few)
def test_the_minimum_zone_is_the_least(seed: int, number: int) -> None:
    """Never wider than about any other centre: the other three circles' and five hundred at random."""
    points = noisy(seed, number)
    zone, about = minimum_zone(points), roundness(points)
    assert about.around is not None
    assert about.inside is not None
    others = [about.fitted.centre, about.around.centre, about.inside.centre]
    tried = np.vstack([others, np.random.default_rng(seed).normal(0, 0.1, (500, 2)) + np.array([zone.x_mm, zone.y_mm])])
    assert min(np.ptp(reach(points, *spot)) for spot in tried) >= zone.width_mm - 1e-10


@settings(max_examples=12)
@given(seeds, st.integers(17, 24), st.floats(100, 360))
def test_points_taken_in_as_they_matter_give_what_all_together_give(seed: int, number: int, degrees: float) -> None:
    """Every crossing of every two bisectors, tried by brute force, finds no narrower zone."""
    points = noisy(seed, number, degrees=degrees)
    middle, _ = circle_zones._best_crossing(points / 20, points / 20, 0.5)
    assert minimum_zone(points).width_mm == pytest.approx(20 * np.ptp(reach(points / 20, *middle)), abs=1e-9)


@settings(max_examples=30)
@given(seeds, st.integers(5, 10))
def test_circumscribed_and_inscribed_by_brute_force(seed: int, number: int) -> None:
    """Of all circles over two or three points: the smallest that holds all, the largest held from all sides that holds none."""
    points = noisy(seed, number, sigma=1.0)
    holds, empty = [], []
    for two in combinations(points, 2):
        middle = (two[0] + two[1]) / 2
        away = reach(points, *middle)
        half = float(np.hypot(*(two[0] - two[1]))) / 2
        holds += [half] if away.max() <= half + 1e-9 else []
    for three in combinations(points, 3):
        corners = np.array(three)
        spot = np.linalg.solve(2 * (corners[1:] - corners[0]), np.sum(corners[1:] ** 2 - corners[0] ** 2, axis=1))
        away, radius = reach(points, *spot), float(np.hypot(*(spot - corners[0])))
        shares = np.linalg.solve(np.vstack([corners.T, np.ones(3)]), np.array([*spot, 1.0]))
        holds += [radius] if away.max() <= radius + 1e-9 else []
        empty += [radius] if away.min() >= radius - 1e-9 and shares.min() >= -1e-9 else []
    assert minimum_circumscribed(points).radius_mm == pytest.approx(min(holds))
    assert maximum_inscribed(points).radius_mm == pytest.approx(max(empty))


def test_spread_of_a_fit_is_what_fits_do() -> None:
    """Over three hundred fits of the same arc the centre and radius scatter as `fit_spread` says."""
    fits = np.array([circle.least_squares(noisy(seed, 60, degrees=150)).values for seed in range(300)])
    told = circle.fit_spread(lobed(20, (), 60, 150), 0.05)
    assert 2 * fits.std(axis=0) == pytest.approx([told.x_mm, told.y_mm, told.radius_mm], rel=0.15)


def test_the_scatter_is_found_from_the_points() -> None:
    """One sigma of 0.05 mm, from two thousand points."""
    assert circle.fit_spread(noisy(3, 2000)).point_sigma_mm == pytest.approx(0.05, rel=0.05)


def test_how_many_points_a_spread_takes() -> None:
    """Three where their scatter is known; four where they must tell it themselves."""
    three, four = lobed(20, (), 3), lobed(20, [(2, 0.1)], 4)
    assert circle.fit_spread(three, 0.05).radius_mm == pytest.approx(0.1 / 3**0.5)
    assert circle.fit_spread(four).point_sigma_mm > 0
    with pytest.raises(BadInput):
        circle.fit_spread(three)
    with pytest.raises(BadInput):
        circle.fit_spread(three[:2], 0.05)


def test_a_point_measured_twice_counts_twice_for_least_squares_only() -> None:
    """The zones do not change; the fit leans to it."""
    points = noisy(4, 12)
    twice = np.vstack([points, points[0], points[0]])
    assert minimum_zone(twice) == minimum_zone(points)
    assert maximum_inscribed(twice).radius_mm == pytest.approx(maximum_inscribed(points).radius_mm)
    assert minimum_circumscribed(twice).radius_mm == pytest.approx(minimum_circumscribed(points).radius_mm)
    assert circle.least_squares(twice) != circle.least_squares(points)


def test_three_points_lie_on_their_circle() -> None:
    """Whatever three, as long as they make a triangle; the zone has no width."""
    points = [(0, 0), (8, 0), (0, 6)]
    assert circle.least_squares(points).values == pytest.approx((4, 3, 5))
    assert minimum_zone(points).width_mm == pytest.approx(0, abs=1e-12)
    assert minimum_circumscribed(points).values == pytest.approx((4, 3, 5))


def test_a_perfect_circle_has_four_equal_circles() -> None:
    """To the last digits, and at once, though neighbours cannot be told apart."""
    about = roundness(lobed(20, (), 2000, x_mm=3, y_mm=-2))
    assert about.inside is not None
    assert about.around is not None
    for found in (about.fitted, about.around, about.inside):
        assert found.values == pytest.approx((3, -2, 20), abs=1e-9)
    assert about.zone.width_mm < 1e-11


def test_a_large_flat_moves_the_fit_but_not_the_circle_around() -> None:
    """A reason to judge flats from the circle around."""
    points = flattened(20, 17)
    assert minimum_circumscribed(points).values == pytest.approx((0, 0, 20), abs=1e-9)
    assert circle.least_squares(points).x_mm < -0.5


@pytest.mark.parametrize(
    "wrong",
    [
        [(0, 0), (1, 1)], [(0, 0), (1, 1), (1, 1)], [(k, 2 * k) for k in range(9)], [(1, 2, 3), (4, 5, 6), (7, 8, 0)], [1, 2, 3],
        [(0, 0)] * 30_000, [],
    ],
)  # fmt: skip
def test_points_that_make_no_circle(wrong: list[tuple[float, float]]) -> None:
    """Too few, doubled, in a line, not in pairs, too many: each is told."""
    for fit in (circle.least_squares, circle.algebraic_fit, minimum_zone, minimum_circumscribed, maximum_inscribed):
        with pytest.raises(BadInput):
            fit(wrong)


@pytest.mark.parametrize("wrong", [[[]], [1, 2, 3], [(1, 2, 3)]])
def test_what_is_no_pair_is_told_by_every_sum(wrong: ArrayLike) -> None:
    """Also by those that need no circle through them; a gap needs one point at least."""
    some = circle.Circle(0, 0, 1)
    for work in (
        lambda: circle.residuals(wrong, some),
        lambda: circle.widest_gap(wrong, 0, 0),
        lambda: circle.distinct(wrong),
    ):
        with pytest.raises(BadInput, match="pairs"):
            work()
    with pytest.raises(BadInput, match="no point"):
        circle.widest_gap([], 0, 0)
    assert len(circle.residuals([], some)) == len(circle.distinct([])) == 0


def test_numbers_that_are_none() -> None:
    """Not a number, endless, far away."""
    for spoilt in (float("nan"), float("inf"), 1e6):
        with pytest.raises(OutOfRange):
            circle.least_squares([(0, 0), (1, 0), (0, spoilt)])


def test_an_arc_has_no_circle_inside() -> None:
    """Under half a turn it would grow without end; what lies about a line is no circle at all."""
    with pytest.raises(BadInput, match="less than 180"):
        maximum_inscribed(noisy(1, 30, degrees=120))
    assert roundness(noisy(1, 30, degrees=120)).inside is None
    rails = [(x, y) for x in range(12) for y in (-0.1, 0.1)]
    for fit in (circle.least_squares, minimum_zone):
        with pytest.raises(BadInput, match="straight line"):
            fit(rails)
