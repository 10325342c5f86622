"""Roundness: its order among the reference circles, lobes, smoothing, callipers, and what of it is only noise."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.sums.wheels_made import few, noisy, seeds, turned

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums import outlines, roundness, two_point
from tallboy.sums.circle import least_squares, residuals
from tallboy.sums.circle_zones import minimum_zone


@settings(max_examples=30)
@given(seeds, few)
def test_the_minimum_zone_reads_least(seed: int, number: int) -> None:
    """ISO's order: no reference circle gives less than the minimum zone; peak and valley add up."""
    found = roundness.roundness(noisy(seed, number))
    assert found.circumscribed_mm is not None
    assert found.inscribed_mm is not None
    least = found.zone.width_mm - 1e-10
    assert found.total_mm >= least
    assert found.circumscribed_mm >= least
    assert found.inscribed_mm >= least
    assert found.total_mm == pytest.approx(found.peak_mm + found.valley_mm)
    assert found.rms_mm <= max(found.peak_mm, found.valley_mm)


@settings(max_examples=25)
@given(st.integers(2, 30), st.floats(0.001, 0.3), st.floats(-5, 5), st.floats(-5, 5), st.floats(0, 360))
def test_lobes_are_seen_for_what_they_are(number: int, height: float, x: float, y: float, degrees: float) -> None:
    """Wherever it lies and however it is turned, k lobes of height a stand as a in the k-th wave."""
    points = turned(outlines.lobed(20, [(number, height)], 720), degrees) + np.array([x, y])
    waves = roundness.amplitudes(points, 30)
    assert waves[number] == pytest.approx(height, rel=1e-3)
    assert np.delete(waves, [0, 1, number]).max() < 1e-3 * height + 1e-12
    assert waves[1] < 1e-3 * height


def test_smoothing_takes_noise_and_leaves_lobes() -> None:
    """Three lobes of 0.2 mm under noise of 0.01: raw some 0.24, smoothed some 0.204 (simulated by others with NumPy 2.4.6)."""
    clean = outlines.lobed(20, [(3, 0.1)])
    raw, smoothed = [], []
    for seed in range(60):
        points = clean + noisy(seed, 360, sigma=0.01) - outlines.lobed(20)
        raw.append(np.ptp(residuals(points, least_squares(points))))
        soft = roundness.smooth(points)
        smoothed.append(np.ptp(residuals(soft, least_squares(soft))))
    assert np.mean(raw) == pytest.approx(0.2356, abs=0.008)
    assert np.mean(smoothed) == pytest.approx(0.2040, abs=0.004)


@settings(max_examples=25)
@given(seeds)
def test_smoothing_twice_is_smoothing_once(seed: int) -> None:
    """At even angles a cut is a cut."""
    once = roundness.smooth(noisy(seed, 200), 15, 360)
    twice = roundness.smooth(once, 15, 360)
    assert np.hypot(*(once - twice).T).max() < 5e-4


def test_smoothing_asks_for_enough_points() -> None:
    """Too few, or a gap in which a wave could hide."""
    with pytest.raises(BadInput, match="32 or more"):
        roundness.smooth(noisy(1, 31), 15)
    assert len(roundness.smooth(noisy(1, 32), 15)) == 32
    with pytest.raises(BadInput, match="gap"):
        roundness.smooth(noisy(1, 300)[:270], 15)


@pytest.mark.parametrize(
    ("points", "undulations", "within"), [(36, 0, 0.05), (100, 0, 0.04), (360, 0, 0.03), (100, 15, 0.05), (360, 5, 0.13), (40, 2, 0.15)]
)  # fmt: skip
def test_the_noise_floor_is_what_noise_reads(points: int, undulations: int, within: float) -> None:
    """Mean over a hundred and twenty perfect circles with scatter."""
    found = []
    for seed in range(120):
        outline = noisy(seed, points, sigma=0.03)
        outline = roundness.smooth(outline, undulations, 240) if undulations else outline
        found.append(np.ptp(residuals(outline, least_squares(outline))))
    assert roundness.noise_floor(0.03, points, undulations) == pytest.approx(np.mean(found), rel=within)


@settings(max_examples=40)
@given(st.floats(0.001, 1), st.integers(8, 3000))
def test_more_points_read_more_noise_and_smoothing_less(sigma: float, points: int) -> None:
    """The floor is in proportion to the scatter, grows with the points, and shrinks when they are smoothed."""
    floor = roundness.noise_floor(sigma, points)
    assert roundness.noise_floor(2 * sigma, points) == pytest.approx(2 * floor)
    assert roundness.noise_floor(sigma, 2 * points) > floor
    if points > 200:
        assert roundness.noise_floor(sigma, points, 15) < floor


@pytest.mark.parametrize(
    ("truth", "undulations", "points"), [(0.0, 0, 36), (0.0, 15, 200), (0.1, 15, 200), (0.02, 15, 100), (0.05, 0, 36)]
)
def test_the_range_holds_the_truth(truth: float, undulations: int, points: int) -> None:
    """In at least 95 of 100 wheels, round or three-lobed."""
    held = 0
    for seed in range(120):
        outline = (
            outlines.lobed(20, [(3, truth / 2)], points)
            + noisy(seed, points, sigma=0.03)
            - outlines.lobed(20, (), points)
        )
        outline = roundness.smooth(outline, undulations) if undulations else outline
        read = minimum_zone(outline).width_mm
        told = roundness.roundness_spread(read, 0.03, points, undulations)
        held += told.low_mm <= truth <= told.high_mm
    assert held >= 57


@settings(max_examples=25)
@given(st.floats(1, 200), st.sampled_from([3, 5, 7, 9]))
def test_callipers_are_blind_to_odd_corners(width: float, corners: int) -> None:
    """A shape of constant width: every diameter alike, and yet out of round by w (1 / cos (pi / 2n) - 1)."""
    points = outlines.constant_width(width, corners, 60)
    widths = two_point.caliper_widths(points, 90)
    assert np.ptp(widths) < 1e-4 * width
    assert two_point.two_point(widths).roundness_mm < 1e-4 * width
    assert roundness.roundness(points).zone.width_mm == pytest.approx(
        width * (1 / np.cos(np.pi / 2 / corners) - 1), rel=1e-6
    )


@settings(max_examples=25)
@given(st.floats(0.01, 0.5), st.sampled_from([2, 4, 6]))
def test_callipers_see_even_lobes(height: float, number: int) -> None:
    """Half the range of the diameters is the roundness."""
    points = outlines.lobed(50, [(number, height)], 1440)
    found = two_point.two_point(two_point.caliper_widths(points, 360))
    assert found.roundness_mm == pytest.approx(2 * height, rel=0.15)
    assert found.mean_mm == pytest.approx(100, abs=0.2)


@given(st.lists(st.floats(20, 21), min_size=4, max_size=60))
def test_an_outline_goes_through_its_radii(radii: list[float]) -> None:
    """Where they were measured it meets them."""
    number = len(radii)
    points = outlines.from_radii(radii, 12 * number)
    assert np.hypot(*points.T)[::12] == pytest.approx(radii)


def test_outlines_refuse_what_cannot_be() -> None:
    """Even corners of constant width, half a point, fewer samples than radii."""
    with pytest.raises(BadInput, match="even number"):
        outlines.constant_width(40, 4)
    half_a_point: Any = 12.5  # the types do not allow it; who calls without them must be stopped all the same
    with pytest.raises(OutOfRange):
        outlines.lobed(20, (), half_a_point)
    with pytest.raises(OutOfRange):
        outlines.from_radii([20] * 40, 20)
    with pytest.raises(OutOfRange):
        two_point.two_point([40.0])
