"""Weighing a metal: the sums agree with each other and with what physics says."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums import metal
from tallboy.tables.metals import spans

DENSITIES = st.floats(1.5, 22)
WEIGHTS = st.floats(1, 5000)
TEMPERATURES = st.floats(0, 40)


@given(WEIGHTS, DENSITIES, TEMPERATURES)
def test_weighing_there_and_back(air_g: float, density: float, celsius: float) -> None:
    """The density that a weight in water was worked out from comes out again, without the buoyancy of the air."""
    water_g = metal.weight_in_water(air_g, density, celsius)
    assert metal.density_by_weighing(air_g, water_g, celsius, 0) == pytest.approx(density, rel=1e-9)


@given(WEIGHTS, DENSITIES)
def test_the_air_makes_a_metal_a_little_lighter(air_g: float, density: float) -> None:
    """Its buoyancy moves the density by less than a five hundredth, always downward for what sinks."""
    water_g = metal.weight_in_water(air_g, density)
    with_air = metal.density_by_weighing(air_g, water_g)
    assert density * 0.998 < with_air < density


@given(TEMPERATURES, TEMPERATURES)
def test_water_is_heaviest_at_four_degrees(one: float, other: float) -> None:
    """It grows lighter on both sides of 3.98 °C."""
    near, far = sorted((one, other), key=lambda t: abs(t - 3.983035))
    if (near - 3.983035) * (far - 3.983035) > 0:
        assert metal.water_density(near) >= metal.water_density(far)


@given(WEIGHTS, DENSITIES, st.floats(0.001, 0.1))
def test_the_uncertainty_is_that_of_many_trials(air_g: float, density: float, share: float) -> None:
    """Of both readings alone it is the closed form, and goes with the error of the scale."""
    water_g = metal.weight_in_water(air_g, density)
    loss = air_g - water_g
    error = share * loss
    found = metal.weighed(air_g, water_g, error, celsius_error=0, air_density=0)
    by_hand = metal.water_density(20) / loss**2 * error / math.sqrt(3) * math.hypot(air_g, water_g)
    assert found.uncertainty == pytest.approx(by_hand, rel=1e-9)
    twice = metal.weighed(air_g, water_g, error / 2, celsius_error=0, air_density=0)
    assert found.uncertainty == pytest.approx(2 * twice.uncertainty, rel=1e-9)
    assert found.low < found.density < found.high


def test_nothing_weighs_less_than_nothing() -> None:
    """A gram on a scale that tells a tenth of one: the lower limit ends at nought."""
    found = metal.weighed(1, 0.9, 0.1)
    assert found.uncertainty > found.density / 2
    assert found.low == 0


def test_the_spread_of_random_readings() -> None:
    """Readings scattered evenly within the error of the scale spread the density as the sum says, within 3 in 100."""
    import numpy as np

    dice = np.random.default_rng(7)
    air, water = (value + dice.uniform(-0.1, 0.1, 40_000) for value in (100.0, 88.2))
    lift = metal.water_density(20) - metal.AIR
    scattered = float(np.std(air / (air - water) * lift + metal.AIR))
    said = metal.weighed(100, 88.2, 0.1, celsius_error=0).uncertainty
    assert said == pytest.approx(scattered, rel=0.03)


@given(st.floats(0, 2))
def test_trapped_air_is_taken_off(trapped_ml: float) -> None:
    """More air that may be trapped gives a higher density and a wider spread."""
    without = metal.weighed(100, 88.2, 0.1)
    with_air = metal.weighed(100, 88.2, 0.1, trapped_ml=trapped_ml)
    assert with_air.density >= without.density
    assert with_air.uncertainty >= without.uncertainty


def test_the_causes_add_up() -> None:
    """The squares of the parts come to the square of the whole."""
    found = metal.weighed(100, 88.2, 0.1, 22, 3, 0.2)
    assert math.sqrt(sum(share**2 for _, share in found.parts)) == pytest.approx(found.uncertainty)
    assert all(share > 0 for _, share in found.parts)


def test_a_temperature_that_spans_four_degrees() -> None:
    """The heaviest water lies inside the span and counts."""
    part = dict(metal.weighed(100, 88.2, 0, 4, 4).parts)["temperature of the water"]
    half = (metal.water_density(3.983) - min(metal.water_density(0), metal.water_density(8))) / 2
    assert part == pytest.approx(100 / 11.8 * half / math.sqrt(3), rel=1e-6)


@given(DENSITIES, st.floats(0, 3), st.floats(0, 3))
def test_more_doubt_never_leaves_fewer_metals(density: float, one: float, other: float) -> None:
    """What fits within a small spread fits within a wider one."""
    tight, loose = sorted((one, other))
    assert set(metal.fits(density, tight, spans()).keys) <= set(metal.fits(density, loose, spans()).keys)


def test_what_fits_is_told_nearest_first() -> None:
    """And a magnet leaves only what it would find."""
    found = metal.fits(7.13, 0.02, spans())
    assert found.keys == ("zinc", "cast iron")
    assert found.verdict == "cannot tell"
    assert found.kin == ""
    assert metal.fits(7.13, 0.02, spans(), "strong").kin == "iron"
    assert metal.fits(20, 0.1, spans()) == metal.Fits((), "", "nothing fits")


@given(st.floats(0, 10), st.floats(0, 20))
def test_a_mirror_gives_back_no_more_than_it_gets(n: float, k: float) -> None:
    """Between nothing and all; more extinction, more light."""
    found = metal.mirror_reflectance(n, k)
    assert 0 <= found <= 1
    assert found <= metal.mirror_reflectance(n, min(k + 1, 20)) + 1e-12


@given(DENSITIES, DENSITIES, st.floats(0, 100))
def test_a_mixture_lies_between(first: float, second: float, percent: float) -> None:
    """Between its two, and at its ends it is the one or the other."""
    found = metal.mixture_density(first, second, percent)
    assert min(first, second) - 1e-9 <= found <= max(first, second) + 1e-9
    assert metal.mixture_density(first, second, 100) == pytest.approx(first)


@pytest.mark.parametrize(
    "bad",
    [
        lambda: metal.water_density(-0.1), lambda: metal.water_density(40.1), lambda: metal.water_density(math.nan),
        lambda: metal.density_by_weighing(0, 0), lambda: metal.density_by_weighing(100, -1), lambda: metal.density_by_weighing(100, 88, 20, 1),
        lambda: metal.density_by_weighing(math.nan, 5), lambda: metal.weight_in_water(100, 0.9), lambda: metal.weight_in_water(0, 8),
        lambda: metal.reading_error(8, 0, 0.1), lambda: metal.weighed(100, 88, -0.1), lambda: metal.weighed(100, 88, 0.1, 20, 21),
        lambda: metal.weighed(100, 88, 0.1, trapped_ml=-1), lambda: metal.fits(0, 0.1, ()), lambda: metal.fits(8, -1, ()),
        lambda: metal.mirror_reflectance(-1, 0), lambda: metal.mirror_reflectance(1, 21), lambda: metal.mixture_density(0, 1, 50),
        lambda: metal.mixture_density(8, 7, 101),
    ],
)  # fmt: skip
def test_out_of_range(bad: object) -> None:
    """Nothing is clamped."""
    assert callable(bad)
    with pytest.raises(OutOfRange):
        bad()


def test_a_piece_that_weighs_no_less_in_water() -> None:
    """It floats, or the weights were swapped; and one that is all trapped air."""
    with pytest.raises(BadInput, match="less in water"):
        metal.density_by_weighing(88.2, 100)
    with pytest.raises(BadInput, match="less in water"):
        metal.weighed(100, 100, 0.1)
    with pytest.raises(BadInput, match="bubbles"):
        metal.weighed(100, 99.9, 0.01, trapped_ml=1)
