"""Vapour pressure, parts in a million, diffusion: monotone where physics says, there and back, limits at the ends.

Published values are in checks/vapour.toml; the library's own equations in tests/published/test_liquids_chemicals.py.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums import vapour
from tallboy.sums.vapour import PressureLaw
from tallboy.tables import load
from tallboy.tables.liquids import law_of, liquid

LAWS = [key for row in load("liquids")["liquids"] if (key := row["key"]) != "ammonia"]
molar_masses = st.floats(2, 400)
shop = st.floats(-20, 60)


@given(st.sampled_from(LAWS), st.floats(0, 1), st.floats(0.01, 1))
def test_warmer_liquids_press_more(key: str, start: float, step: float) -> None:
    """Over all of a law's range, for every liquid of the table."""
    law = law_of(key)
    low = law.low + start * (law.high - law.low) * 0.9
    high = low + step * (law.high - low)
    assert vapour.vapour_pressure(law, high) > vapour.vapour_pressure(law, low) > 0


@given(st.floats(20, 120), st.floats(30, 400))
def test_a_law_through_two_points_meets_both(heat: float, boiling: float) -> None:
    """The given pressure at 20 °C, and an atmosphere at the boiling point, for any heat of evaporation [kJ/mol] that a liquid has."""
    pressure = 101_325 * math.exp(heat * 1000 / 8.314462618 * (1 / (boiling + 273.15) - 1 / 293.15))
    if pressure < 0.01:
        return
    law = vapour.law_through(pressure, boiling)
    assert vapour.vapour_pressure(law, 20.0) == pytest.approx(pressure, rel=1e-9)
    assert law.a + law.b / (boiling + 273.15) == pytest.approx(math.log(101_325), rel=1e-9)


@pytest.mark.parametrize("key", ["acetone", "ethanol", "toluene", "heptane", "water", "n-butanol"])
def test_two_points_come_near_the_full_law(key: str) -> None:
    """Within 15 % of the handbook's constants at 10 and 30 °C: good enough for a liquid that only a data sheet tells of."""
    law, boiling = law_of(key), liquid(key).boiling
    assert boiling is not None
    near = vapour.law_through(vapour.vapour_pressure(law, 20.0), boiling)
    for celsius in (10.0, 30.0):
        assert vapour.vapour_pressure(near, celsius) == pytest.approx(vapour.vapour_pressure(law, celsius), rel=0.15)


@pytest.mark.parametrize(("pressure", "boiling"), [(0.02, 30), (94_000, 300), (20_000, 250)])
def test_two_points_of_two_liquids_make_no_law(pressure: float, boiling: float) -> None:
    """A slip in either would give pressures out of all reason a few degrees on."""
    with pytest.raises(OutOfRange, match="Heat of evaporation"):
        vapour.law_through(pressure, boiling)


def test_a_law_knows_its_range() -> None:
    """Below, above, and no number."""
    law = PressureLaw(20.0, -3000.0, low=5.0, high=40.0)
    for celsius in (4.9, 40.1, math.nan):
        with pytest.raises(OutOfRange, match="Temperature of the liquid"):
            vapour.vapour_pressure(law, celsius)


@given(st.floats(0, 1e6), molar_masses, shop, st.floats(60_000, 108_000))
def test_ppm_there_and_back(ppm: float, molar_mass: float, celsius: float, total: float) -> None:
    """mg/m³ and back give the ppm again, at any temperature and height above the sea."""
    mass = vapour.milligrams_per_m3(ppm, molar_mass, celsius, total)
    if mass <= 2e7:
        assert vapour.ppm_from_milligrams(mass, molar_mass, celsius, total) == pytest.approx(ppm, rel=1e-9, abs=1e-9)


@given(st.floats(1, 1e5), st.floats(500, 2000), molar_masses, shop)
def test_all_of_a_liquid_becomes_vapour(ml: float, density: float, molar_mass: float, celsius: float) -> None:
    """The cloud of pure vapour weighs what the liquid weighed."""
    cloud = vapour.vapour_volume(ml, density, molar_mass, celsius)
    grams = cloud * vapour.milligrams_per_m3(1e6, molar_mass, celsius) / 1000
    assert grams == pytest.approx(ml * density / 1000, rel=1e-9)


@given(molar_masses, st.floats(0, 1e6))
def test_heavier_or_lighter_than_air(molar_mass: float, ppm: float) -> None:
    """Between clean air and the pure vapour; on the side that the molar mass says."""
    found = vapour.relative_density(molar_mass, ppm)
    pure = molar_mass / 28.96
    assert min(1.0, pure) - 1e-12 <= found <= max(1.0, pure) + 1e-12


@pytest.mark.parametrize(
    "law",
    [
        vapour.PressureLaw(900.0, -10.0), vapour.PressureLaw(-900.0, 0.0), vapour.PressureLaw(20.0, -5000.0, c=-293.15),
        vapour.PressureLaw(20.0, -5000.0, e=1.0, f=200.0), vapour.PressureLaw(30.0, -3000.0),
    ],
)  # fmt: skip
def test_constants_that_belong_to_no_liquid(law: vapour.PressureLaw) -> None:
    """As somebody may copy them from a sheet that means other units: refused, never a program error."""
    with pytest.raises(BadInput, match="belong to no liquid"):
        vapour.vapour_pressure(law, 20.0)


def test_only_ammonia_and_water_rise() -> None:
    """Every other vapour of the table is heavier than air."""
    lighter = [row["key"] for row in load("liquids")["liquids"] if vapour.relative_density(row["molar_mass"]) < 1]
    assert lighter == ["ammonia", "water"]


@given(molar_masses, st.floats(5, 400), st.floats(-20, 50), st.floats(70_000, 100_000))
def test_diffusion(molar_mass: float, volume: float, celsius: float, total: float) -> None:
    """Faster when warmer, slower under more pressure, slower for larger molecules."""
    here = vapour.diffusivity(molar_mass, volume, celsius, total)
    assert vapour.diffusivity(molar_mass, volume, celsius + 5, total) > here
    assert vapour.diffusivity(molar_mass, volume, celsius, total + 5000) < here
    assert vapour.diffusivity(molar_mass, volume * 1.1, celsius, total) < here


def test_atoms_add_up() -> None:
    """A molecule of two halves without hydrogen or rings has twice the volume of one."""
    assert vapour.diffusion_volume(carbon=2, oxygen=4) == pytest.approx(2 * vapour.diffusion_volume(carbon=1, oxygen=2))
    with pytest.raises(OutOfRange, match="hydrogen"):
        vapour.diffusion_volume(hydrogen=-1)
