"""RED with its spread, and words that claim no more than the numbers bear."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.sums.lifting_made import materials, residues

from tallboy.errors import OutOfRange
from tallboy.sums.lifting import LIFTS_TO, ROUNDING, SPARES_FROM, Residue, judge, margin, red_spread, word_for
from tallboy.sums.solubility import Hansen, relative_energy_difference
from tallboy.sums.spreads import carried_spread

SHELLAC = Hansen(19.7, 10.1, 15.1)
PAIRS = [
    (Hansen(15.8, 8.8, 19.4), SHELLAC, 10.7),
    (Hansen(18.0, 1.4, 2.0), SHELLAC, 10.7),
    (Hansen(15.5, 10.4, 7.0), Hansen(18.64, 10.52, 7.51), 8.59),
    (Hansen(15.3, 0.0, 0.0), Hansen(17.69, 2.66, 4.36), 7.98),
    (Hansen(15.5, 16.0, 42.3), Hansen(17.5, 2.3, 7.7), 10.0),
]


@pytest.mark.parametrize(("liquid", "residue", "radius"), PAIRS)
def test_the_spread_is_that_of_many_draws(liquid: Hansen, residue: Hansen, radius: float) -> None:
    """200 000 draws with a fixed seed of all seven numbers; first order agrees within 5 % where Ra is well above the errors."""
    draw = np.random.default_rng(1)
    one = draw.normal((liquid.d, liquid.p, liquid.h), 0.3, (200_000, 3))
    other = draw.normal((residue.d, residue.p, residue.h), 0.7, (200_000, 3))
    away = (one - other) * np.array([2.0, 1.0, 1.0])
    reds = np.sqrt(np.sum(away**2, axis=1)) / draw.normal(radius, 0.8, 200_000)
    assert red_spread(liquid, residue, radius) == pytest.approx(float(np.std(reds)), rel=0.05)


@pytest.mark.parametrize(("liquid", "residue", "radius"), PAIRS)
def test_the_spread_is_that_of_small_steps(liquid: Hansen, residue: Hansen, radius: float) -> None:
    """Each number moved a little at a time, by the general sum for spreads."""

    def red(*all_seven: float) -> float:
        return relative_energy_difference(Hansen(*all_seven[:3]), Hansen(*all_seven[3:6]), all_seven[6])

    numbers = (liquid.d, liquid.p, liquid.h, residue.d, residue.p, residue.h, radius)
    small = [0.3e-4] * 3 + [0.7e-4] * 3 + [0.8e-4]
    assert red_spread(liquid, residue, radius) == pytest.approx(1e4 * carried_spread(red, numbers, small), rel=1e-3)


@given(materials, residues)
def test_the_spread_is_never_below_nothing_and_none_without_errors(liquid: Hansen, residue: Residue) -> None:
    """And grows with each error."""
    centre, radius = residue.hansen, residue.radius
    assert red_spread(liquid, centre, radius, 0, 0, 0) == 0
    less, more = red_spread(liquid, centre, radius, 0.1, 0.1, 0.1), red_spread(liquid, centre, radius, 0.2, 0.2, 0.2)
    assert 0 < less < more


@given(materials, residues)
def test_nothing_is_ever_called_safe(liquid: Hansen, residue: Residue) -> None:
    """Only four words; lifts and swells only inside, spares only far outside and with its whole spread."""
    found = judge(liquid, residue)
    assert found.word in {"lifts", "swells", "uncertain", "spares, test first"}
    assert found.low <= found.red <= found.high
    if found.word in {"lifts", "swells"}:
        assert found.red <= LIFTS_TO + ROUNDING
        assert (found.word == "swells") == residue.crosslinks
    if found.word == "spares, test first":
        assert found.red >= SPARES_FROM - ROUNDING
        assert found.low > 1
    if not residue.reliable or residue.radius < 4:
        assert found.word == "uncertain"


@pytest.mark.parametrize(("radius", "polar"), [(4.0, 5.3), (5.0, 5.3), (6.5, 0.1)])
def test_on_the_edge_it_lifts_in_binary_fractions_too(radius: float, polar: float) -> None:
    """Nine tenths of the radius away is RED 0.9, though it comes out a hair more; likewise 1.3, a hair less."""
    at = Residue("edge", Hansen(16, polar, 5), radius)
    near, far = (judge(Hansen(16, polar + times * radius, 5), at) for times in (LIFTS_TO, SPARES_FROM))
    assert near.red > LIFTS_TO
    assert (near.word, far.word) == ("lifts", "spares, test first" if far.low > 1 else "uncertain")


@given(st.floats(0, 10), st.floats(0, 3))
def test_a_just_above_one_is_uncertain(above: float, spread: float) -> None:
    """From 0.9 up to 1.3 nothing is claimed, whatever the spread."""
    red = min(LIFTS_TO + 1e-6 + above / 26, SPARES_FROM - 1e-6)
    assert word_for(red, red - spread) == "uncertain"


@given(st.floats(0, 5), st.lists(st.floats(0, 5), max_size=4))
def test_the_margin_is_above_nothing_only_when_every_claim_holds(lifted: float, spared: list[float]) -> None:
    """What is lifted inside its edge, everything that stays outside its own; more to spare never makes it larger."""
    found = margin(lifted, spared)
    assert (found > 0) == (lifted < LIFTS_TO and all(red > SPARES_FROM for red in spared))
    assert margin(lifted, [*spared, 1.2]) <= found


@pytest.mark.parametrize("errors", [(-0.1, 0.7, 0.8), (0.3, 11, 0.8), (0.3, 0.7, math.nan)])
def test_errors_that_cannot_be(errors: tuple[float, float, float]) -> None:
    """Below nothing, too large, no number."""
    with pytest.raises(OutOfRange, match="Error"):
        red_spread(SHELLAC, SHELLAC, 10.7, *errors)


def test_a_residue_without_a_sphere() -> None:
    """A radius that cannot be is refused when the residue is made."""
    with pytest.raises(OutOfRange, match="Radius"):
        Residue("nothing", SHELLAC, 0)
