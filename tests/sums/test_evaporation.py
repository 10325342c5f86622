"""Evaporation: more when warmer and wider, less with freeboard and lid, the ends in order, the models within the factor told.

Published values are in checks/vapour.toml.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.errors import OutOfRange
from tallboy.sums import evaporation, open_surface
from tallboy.sums.evaporation import Rate
from tallboy.sums.vapour import diffusivity, vapour_pressure
from tallboy.tables.liquids import liquid

KEYS = ("acetone", "ethanol", "toluene", "heptane", "white spirit", "water", "butyl acetate")
keys = st.sampled_from(KEYS)
speeds = st.floats(0.02, 1.8)
temperatures = st.floats(6, 34)


def of(key: str, celsius: float) -> tuple[float, float, float]:
    """Molar mass, pressure and diffusivity of a liquid."""
    one = liquid(key)
    assert one.pressure is not None
    assert one.diffusion_volume is not None
    return (
        one.molar_mass,
        vapour_pressure(one.pressure, celsius),
        diffusivity(one.molar_mass, one.diffusion_volume, celsius),
    )


def ends(rate: Rate) -> tuple[float, float, float]:
    """The three rates."""
    return rate.low, rate.likely, rate.high


def brim(key: str, celsius: float, area: float, length: float, speed: float) -> Rate:
    """An open surface full to the brim."""
    return evaporation.open_rate(*of(key, celsius), area, length, speed, celsius)


def jar(key: str, celsius: float, diameter: float, free: float, speed: float) -> Rate:
    """A jar."""
    return evaporation.jar_rate(*of(key, celsius), diameter, free, speed, celsius)


@given(keys, temperatures, st.floats(20, 500), st.floats(0, 200), speeds)
def test_ends_are_in_order(key: str, celsius: float, diameter: float, free: float, speed: float) -> None:
    """Low, likely, high; and a likely rate that is not nought."""
    low, likely, high = ends(jar(key, celsius, diameter, free, speed))
    assert 0 < low <= likely <= high


@given(keys, temperatures, st.floats(0.5, 5), st.floats(20, 500), st.floats(0, 200), speeds)
def test_warmer_gives_more(key: str, celsius: float, step: float, diameter: float, free: float, speed: float) -> None:
    """All three ends rise with the temperature."""
    cool, warm = jar(key, celsius, diameter, free, speed), jar(key, celsius + step, diameter, free, speed)
    assert all(more > less for less, more in zip(ends(cool), ends(warm), strict=True))


@given(keys, st.floats(0.001, 1), st.floats(1.05, 5), speeds)
def test_an_open_surface_goes_with_its_area(key: str, area: float, times: float, speed: float) -> None:
    """Twice the area side by side gives twice the vapour."""
    one, more = brim(key, 20, area, 200, speed), brim(key, 20, area * times, 200, speed)
    assert ends(more) == pytest.approx([times * rate for rate in ends(one)])


@given(keys, st.floats(20, 500), st.floats(1.05, 4), st.floats(0, 200), speeds)
def test_wider_jars_give_more(key: str, diameter: float, times: float, free: float, speed: float) -> None:
    """All three ends rise with the mouth."""
    one, more = jar(key, 20, diameter, free, speed), jar(key, 20, min(2000, diameter * times), free, speed)
    assert all(wide > narrow for narrow, wide in zip(ends(one), ends(more), strict=True))


@given(keys, st.floats(20, 500), st.floats(1, 200), st.floats(1.05, 5), speeds)
def test_freeboard_holds_back(key: str, diameter: float, free: float, times: float, speed: float) -> None:
    """More freeboard, less vapour; and never more than from a jar that is full."""
    full, high, deep = (jar(key, 20, diameter, height, speed) for height in (0, free, free * times))
    for most, more, less in zip(ends(full), ends(high), ends(deep), strict=True):
        assert less < more < most


@given(keys, speeds, st.floats(0.005, 0.2))
def test_a_draught_carries_off_more(key: str, speed: float, step: float) -> None:
    """No end falls when the air moves faster, also across the models' limit of 100 ft/min."""
    slow, fast = brim(key, 20, 0.01, 100, speed), brim(key, 20, 0.01, 100, speed + step)
    assert all(more >= less for less, more in zip(ends(slow), ends(fast), strict=True))


def test_nothing_jumps_at_the_limit_of_a_model() -> None:
    """The high end just below and just above 0.508 m/s."""
    edge = open_surface.PENETRATION_UP_TO
    below, above = brim("acetone", 20, 0.01, 100, edge - 1e-6), brim("acetone", 20, 0.01, 100, edge + 1e-6)
    assert above.high == pytest.approx(below.high, rel=1e-3)


@pytest.mark.parametrize("key", KEYS)
def test_the_models_differ_by_about_five(key: str) -> None:
    """For a jar and a tray in a quiet room: the spread that the answer tells."""
    for area, length in ((0.005, 80.0), (0.0707, 300.0)):
        rate = brim(key, 20, area, length, 0.1)
        assert 2.5 < rate.high / rate.low < 8


@given(st.floats(1, 90_000), st.floats(5, 1000))
def test_a_still_film_halves_with_twice_the_depth(pressure: float, depth: float) -> None:
    """Depth and rate go inversely; the Stefan factor raises strong vapours above plain diffusion."""
    one = evaporation.film_rate(60.0, pressure, 0.1, 0.01, depth)
    assert evaporation.film_rate(60.0, pressure, 0.1, 0.01, 2 * depth) == pytest.approx(one / 2)
    plain = open_surface.saturated_density(60.0, pressure) * 0.1e-4 / (depth / 1000) * 0.01 * 3600
    assert one >= plain * (1 - 1e-12)


@given(st.floats(0, 0.9), st.floats(0.001, 0.05))
def test_stefan_factor(fraction: float, step: float) -> None:
    """1 for a thin vapour, and rising."""
    assert evaporation.stefan_factor(0) == 1
    assert evaporation.stefan_factor(fraction + step) > evaporation.stefan_factor(fraction) >= 1


@given(st.floats(0, 10), st.floats(1, 100))
def test_a_lid(gap: float, path: float) -> None:
    """Nothing through no gap; in proportion to the gap, inversely to the way."""

    def leak(gap: float, path: float) -> float:
        return evaporation.lid_rate(58.0, 24_000, 0.1, 250, gap, path)

    assert leak(0, path) == 0
    assert leak(2 * gap, path) == pytest.approx(2 * leak(gap, path))
    assert leak(gap, 2 * path) == pytest.approx(leak(gap, path) / 2)


def test_a_closed_vessel_breathes_with_the_warmth() -> None:
    """In proportion to the head-space and the warming."""
    one = evaporation.breathing_loss(58.0, 24_000, 100, 5)
    assert evaporation.breathing_loss(58.0, 24_000, 300, 10) == pytest.approx(6 * one)
    assert evaporation.breathing_loss(58.0, 24_000, 100, 0) == 0
    with pytest.raises(OutOfRange, match="Temperature"):
        evaporation.breathing_loss(58.0, 24_000, 100, 5, -273.15)


@pytest.mark.parametrize("pressure", [-1.0, 95_001.0, math.nan])
def test_a_liquid_about_to_boil_is_refused(pressure: float) -> None:
    """None of the models holds there."""
    with pytest.raises(OutOfRange, match="Vapour pressure"):
        evaporation.jar_rate(58.0, pressure, 0.1, 80, 50)
    with pytest.raises(OutOfRange, match="Vapour pressure"):
        open_surface.quiet_rate(58.0, pressure, 0.01)


def test_no_vapour_from_no_pressure() -> None:
    """A liquid that does not press gives nothing off, open or closed."""
    assert ends(evaporation.jar_rate(58.0, 0.0, 0.1, 80, 50)) == (0, 0, 0)
