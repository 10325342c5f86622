"""A wheel as it rolls: identities of the height of its axle, bumps, flats, steps, pressure, and the verdict."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from tests.sums.wheels_made import few, noisy, seeds, turned

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums import outlines, rolling, wheel, wheel_contact, wheel_steps
from tallboy.sums.circle import least_squares


@settings(max_examples=20)
@given(seeds, few, st.floats(-5, 5), st.floats(-5, 5))
def test_heights_keep_between_highest_and_lowest(seed: int, number: int, x: float, y: float) -> None:
    """The exact ones from the corners and sides of the hull hold all heights, and are nearly met."""
    points = noisy(seed, number, sigma=0.5)
    heights, found = rolling.axle_heights(points, x, y, 3600), rolling.rolling(points, x, y)
    assert heights.max() <= found.highest_mm + 1e-9
    assert heights.min() >= found.lowest_mm - 1e-9
    down = np.radians(np.arange(3600) / 10)
    away = points - np.array([x, y])
    assert heights == pytest.approx(
        np.max(np.outer(np.cos(down), away[:, 0]) + np.outer(np.sin(down), away[:, 1]), axis=1)
    )
    assert np.ptp(heights) == pytest.approx(found.lift_mm, abs=2e-2)


@settings(max_examples=40)
@given(seeds, few, st.floats(-5, 5), st.floats(-5, 5))
def test_the_way_is_the_mean_height_times_two_pi(seed: int, number: int, x: float, y: float) -> None:
    """Cauchy's formula, wherever the axle is."""
    points = noisy(seed, number, sigma=0.5)
    heights = rolling.axle_heights(points, x, y, 7200)
    assert rolling.rolling(points, x, y).travel_mm == pytest.approx(2 * np.pi * heights.mean(), rel=1e-5)


@settings(max_examples=40)
@given(seeds, few, st.floats(0, 360), st.floats(-200, 200), st.floats(0.2, 20))
def test_rolling_does_not_mind_where_and_how_large(
    seed: int, number: int, degrees: float, shift: float, scale: float
) -> None:
    """Turned, shifted with its axle, and scaled."""
    points = noisy(seed, number, sigma=0.5)
    here = rolling.rolling(points, 1, 2)
    axle = turned(np.array([[1.0, 2.0]]), degrees)[0] * scale + shift
    there = rolling.rolling(turned(points, degrees) * scale + shift, float(axle[0]), float(axle[1]))
    for name in ("lift_mm", "travel_mm", "run_out_mm", "eccentricity_mm"):
        assert getattr(there, name) == pytest.approx(scale * getattr(here, name), rel=1e-6, abs=1e-7)


@settings(max_examples=30)
@given(st.floats(0.06, 5), st.floats(0, 360))
def test_an_eccentric_wheel_bumps_once(off: float, degrees: float) -> None:
    """Lift and run-out are twice the eccentricity, one bump a turn; roundness sees none of it."""
    x, y = off * np.cos(np.radians(degrees)), off * np.sin(np.radians(degrees))
    found = rolling.rolling(outlines.lobed(20, (), 720), float(x), float(y))
    assert found.lift_mm == pytest.approx(2 * off, abs=1e-3)
    assert found.run_out_mm == pytest.approx(2 * off, abs=1e-3)
    assert found.eccentricity_mm == pytest.approx(off)
    assert found.bumps == 1
    moved = rolling.motion(outlines.lobed(20, (), 720), float(x), float(y), 1.0)
    assert moved.speed_mm_s == pytest.approx(50 * off, rel=1e-3)
    assert moved.acceleration_m_s2 == pytest.approx(2.5 * off, rel=1e-3)


@settings(max_examples=30)
@given(st.integers(2, 6), st.floats(0.03, 0.2))
def test_lobes_bump_as_often_as_they_are(number: int, height: float) -> None:
    """Convex lobes of height a lift 2 a, k times a turn."""
    assume(height * (number**2 - 1) < 19)
    found = rolling.rolling(outlines.lobed(20, [(number, height)], 720))
    assert found.lift_mm == pytest.approx(2 * height, abs=1e-3)
    assert found.bumps == number
    assert found.longest_flat_mm == 0


def test_a_dent_does_not_matter_but_a_flat_does() -> None:
    """What lies inside the hull never touches the floor."""
    points = outlines.lobed(20, (), 720)
    dented = points.copy()
    dented[100] *= 0.9
    assert rolling.rolling(dented).lift_mm == pytest.approx(rolling.rolling(points).lift_mm, abs=1e-3)
    assert rolling.rolling(dented).run_out_mm == pytest.approx(2, abs=1e-9)
    flat = rolling.rolling(outlines.flattened(20, 19.5, 720))
    assert flat.bumps == 1
    assert flat.longest_flat_mm == pytest.approx(wheel_steps.flat_chord(20, 0.5), abs=0.4)


def test_few_readings_joined_by_a_wave_are_no_nut() -> None:
    """Twelve even radii are a round wheel; their polygon would lift 0.85 mm."""
    assert rolling.rolling(outlines.from_radii([25.0] * 12)).lift_mm < 1e-3
    assert rolling.rolling(outlines.lobed(25, (), 12)).lift_mm == pytest.approx(25 * (1 - np.cos(np.pi / 12)))


def test_an_axle_outside_is_told() -> None:
    """It could not roll."""
    with pytest.raises(BadInput, match="outside the outline"):
        rolling.rolling(outlines.lobed(20), 21, 0)


@given(st.floats(1, 500), st.floats(0, 1))
def test_a_flat_by_its_length_and_by_its_depth(radius: float, share: float) -> None:
    """Each is the other's inverse; the rule of the bench is never over."""
    chord = 2 * radius * share
    depth = wheel_steps.flat_depth(radius, chord)
    assert wheel_steps.flat_chord(radius, depth) == pytest.approx(chord, abs=1e-6 * radius)
    assert depth >= chord**2 / (8 * radius) - 1e-9


@settings(max_examples=30)
@given(st.floats(0.5, 12), st.floats(0, 360))
def test_a_flat_is_found_in_an_outline(depth: float, degrees: float) -> None:
    """Depth, length within two spacings of the points, and where, turned by any angle."""
    points = turned(outlines.flattened(20, 20 - depth, 720), degrees)
    found = wheel_steps.deepest_flat(points)
    assert found.depth_mm == pytest.approx(depth, abs=1e-3)
    assert found.chord_mm == pytest.approx(wheel_steps.flat_chord(20, depth), abs=4 * np.pi / 720 * 400 / (20 - depth))
    assert abs((found.towards_degrees - degrees + 180) % 360 - 180) < 0.6


def test_an_arc_is_no_wheel() -> None:
    """A flat cannot be told from half an outline."""
    with pytest.raises(BadInput, match="do not reach round"):
        wheel_steps.deepest_flat(noisy(1, 40, degrees=150))


@given(st.floats(1, 500), st.floats(0.001, 0.95))
def test_steps_there_and_back(radius: float, share: float) -> None:
    """The highest step for the pull that a step needs is that step; pull grows with it; slanting is never harder; larger wheels climb easier."""
    step = share * radius
    pull = wheel_steps.step_pull(radius, step)
    assert wheel_steps.largest_step(radius, pull) == pytest.approx(step, rel=1e-6)
    assert wheel_steps.least_step_pull(radius, step) <= pull
    assert wheel_steps.step_pull(2 * radius, step) < pull
    assert wheel_steps.step_pull(radius, step * 1.01) > pull


def test_no_step_as_high_as_the_wheel() -> None:
    """The pull would have no limit."""
    with pytest.raises(OutOfRange):
        wheel_steps.step_pull(25, 25)


@given(st.floats(1, 1000), st.floats(1, 50), st.floats(5, 100), st.floats(100, 1e5))
def test_pressure_carries_the_load(load: float, width: float, radius: float, modulus: float) -> None:
    """Mean pressure over the strip or spot is the load; peaks stand to means as Hertz says; fourfold load doubles the line's peak."""
    line, ball = (
        wheel_contact.line_contact(load, width, radius, modulus),
        wheel_contact.ball_contact(load, radius, modulus),
    )
    assert line.mean_mpa * 2 * line.half_width_mm * width == pytest.approx(load)
    assert ball.mean_mpa * np.pi * ball.half_width_mm**2 == pytest.approx(load)
    assert line.peak_mpa == pytest.approx(4 / np.pi * line.mean_mpa)
    assert line.peak_mpa == pytest.approx(np.sqrt(load * modulus / (np.pi * radius * width)))
    assert ball.peak_mpa == pytest.approx(1.5 * ball.mean_mpa)
    assert wheel_contact.line_contact(4 * load, width, radius, modulus).peak_mpa == pytest.approx(2 * line.peak_mpa)
    assert wheel_contact.ball_contact(8 * load, radius, modulus).peak_mpa == pytest.approx(2 * ball.peak_mpa)


@given(st.floats(0, 2), st.floats(0, 2), st.floats(0, 0.5))
def test_a_worse_wheel_is_never_judged_better(lift: float, more: float, spread: float) -> None:
    """Keep, measure again, true up: in that order as the lift grows."""
    order = [wheel.KEEP, wheel.MEASURE, wheel.TRUE_UP, wheel.REPLACE]
    better, worse = wheel.judge(25, lift, lift, spread), wheel.judge(25, lift + more, lift + more, spread)
    assert order.index(worse.word) >= order.index(better.word)
    assert worse.turned_radius_mm <= better.turned_radius_mm


def test_reasons_are_numbers() -> None:
    """Lift and its limit, what truing takes, slack and cracks."""
    found = wheel.judge(25, 0.6, 0.8, 0.1, 300, 0.7, True)
    assert found.word == wheel.REPLACE
    words = " ".join(found.reasons)
    for part in (
        "cracked",
        "0.60 ± 0.10 mm against 0.25",
        "300 mm/s against 250",
        "0.40 mm off the radius against 2.00",
        "0.70 mm against 0.50",
    ):
        assert part in words
    assert wheel.judge(25, 0.6, 0.8, limits=wheel.Limits(lift_share=0.05)).word == wheel.KEEP
    with pytest.raises(OutOfRange):
        wheel.Limits(lift_share=2)


def test_more_points_change_little() -> None:
    """Two thousand points of a clean outline give nearly what every fourth of them gives."""
    points = noisy(5, 2000, sigma=0.001)
    fine, coarse = rolling.rolling(points), rolling.rolling(points[::4])
    assert fine.lift_mm == pytest.approx(coarse.lift_mm, abs=0.005)
    assert least_squares(points).radius_mm == pytest.approx(least_squares(points[::4]).radius_mm, abs=0.001)
