"""Solubility parameters: distance is a distance, a blend lies among its liquids, and what cannot be is refused."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from tests.sums.lifting_made import fractions, materials

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums.solubility import (
    Hansen,
    blend,
    distance,
    hildebrand,
    relative_energy_difference,
    teas_fractions,
    total,
)


@given(materials, materials)
def test_distance_is_the_same_from_both_sides(one: Hansen, other: Hansen) -> None:
    """And nothing only between two alike."""
    assert distance(one, other) == distance(other, one)
    assert distance(one, one) == 0


@given(materials, materials, materials)
def test_no_way_round_is_shorter(one: Hansen, between: Hansen, other: Hansen) -> None:
    """The triangle inequality, with dispersion counted double."""
    assert distance(one, other) <= distance(one, between) + distance(between, other) + 1e-9


def test_dispersion_counts_double() -> None:
    """One apart in δD is as far as two apart in δP or δH."""
    start = Hansen(16, 5, 5)
    assert (
        distance(start, Hansen(17, 5, 5)) == distance(start, Hansen(16, 7, 5)) == distance(start, Hansen(16, 5, 7)) == 2
    )


@given(materials, materials, st.floats(0.5, 39))
def test_a_larger_sphere_is_nearer(liquid: Hansen, residue: Hansen, radius: float) -> None:
    """RED falls as the radius grows, in proportion."""
    small, large = (relative_energy_difference(liquid, residue, size) for size in (radius, radius + 1))
    assert small * radius == pytest.approx(large * (radius + 1))


@given(materials, st.integers(1, 3).flatmap(fractions))
def test_a_blend_of_a_liquid_with_itself(liquid: Hansen, shares: list[float]) -> None:
    """Is the liquid."""
    mixed = blend([liquid] * len(shares), shares)
    assert distance(mixed, liquid) == pytest.approx(0, abs=1e-6)


@given(materials, materials, fractions(2), materials)
def test_a_blend_is_never_farther_than_its_farthest(
    one: Hansen, other: Hansen, shares: list[float], residue: Hansen
) -> None:
    """RED is a bowl over the shares: no hill between two liquids."""
    apart = shares[0] * distance(one, residue) + shares[1] * distance(other, residue)
    assert distance(blend([one, other], shares), residue) <= apart + 1e-6


@given(materials)
def test_shares_add_up_to_a_hundred(one: Hansen) -> None:
    """And say nothing of the size."""
    assume(one.d + one.p + one.h > 0.1)
    teas = teas_fractions(one)
    assert teas.d + teas.p + teas.h == pytest.approx(100)
    half = teas_fractions(Hansen(one.d / 2, one.p / 2, one.h / 2))
    assert (half.d, half.p, half.h) == pytest.approx((teas.d, teas.p, teas.h))


@given(materials)
def test_the_total_is_at_least_its_largest_part(one: Hansen) -> None:
    """And at most their sum."""
    assert max(one.d, one.p, one.h) <= total(one) + 1e-9
    assert total(one) <= one.d + one.p + one.h + 1e-9


@given(st.floats(20_000, 100_000), st.floats(20, 400), st.floats(0, 60))
def test_heat_gives_its_parameter_back(heat: float, volume: float, celsius: float) -> None:
    """δ² Vm + R T is the heat again; warmer liquids have the smaller parameter for the same heat."""
    found = hildebrand(heat, volume, celsius)
    assert found**2 * volume + 8.314462618 * (celsius + 273.15) == pytest.approx(heat)
    assert hildebrand(heat, volume, celsius + 10) < found


@pytest.mark.parametrize("value", [-0.1, 60.1, math.nan, math.inf, -math.inf])
@pytest.mark.parametrize("place", [0, 1, 2])
def test_parameters_in_another_unit_are_refused(value: float, place: int) -> None:
    """Such as cal/cm³ or Pa: each of the three must lie between 0 and 60."""
    three = [16.0, 5.0, 5.0]
    three[place] = value
    with pytest.raises(OutOfRange, match=r"δ[DPH]"):
        Hansen(*three)


@pytest.mark.parametrize("radius", [0.4, 41, math.nan, 0, -3])
def test_a_radius_that_cannot_be(radius: float) -> None:
    """Too small, too large, none."""
    with pytest.raises(OutOfRange, match="Radius"):
        relative_energy_difference(Hansen(16, 5, 5), Hansen(17, 5, 5), radius)


@pytest.mark.parametrize(
    ("shares", "error"),
    [([0.5], BadInput), ([0.5, 0.4], BadInput), ([1.5, -0.5], OutOfRange), ([math.nan, 1], OutOfRange), ([], BadInput)],
)
def test_shares_that_do_not_add_up(shares: list[float], error: type[BadInput]) -> None:
    """One too few, less than all, below nothing, no number, none."""
    with pytest.raises(error):
        blend([Hansen(16, 5, 5), Hansen(17, 5, 5)], shares)


def test_nothing_has_no_shares() -> None:
    """All three parameters 0."""
    with pytest.raises(OutOfRange):
        teas_fractions(Hansen(0, 0, 0))
