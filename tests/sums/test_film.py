"""Films and amounts: limits and how they hang together; published examples are among the checks."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums import film

TEN = film.Estimate(10, 10, 10)


@given(st.floats(1, 3000), st.floats(1, 100), st.floats(0, 2))
def test_wet_and_dry_are_each_other_s_inverse(dry: float, solids: float, thinned: float) -> None:
    """Laying what `wet_film` asks leaves what was wanted."""
    wet = film.wet_film(dry, solids, thinned)
    if wet <= 10_000:
        assert film.dry_film(wet, solids, thinned) == pytest.approx(dry)


@given(st.floats(1, 100), st.floats(5, 500))
def test_spreading_rate_lays_the_film_it_was_asked_for(solids: float, dry: float) -> None:
    """Rate, wet film and dry film close the circle."""
    rate = film.spreading_rate(solids, dry)
    if 0.1 <= rate <= 100:
        assert film.wet_film_at_rate(rate) == pytest.approx(film.wet_film(dry, solids))


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: film.spreading_rate(0, 30), lambda: film.spreading_rate(40, 0), lambda: film.spreading_rate(float("nan"), 30),
        lambda: film.wet_film(30, 40, 5), lambda: film.dry_film(0, 40), lambda: film.practical_rate(10, 1),
        lambda: film.litres(-1, 2, 10), lambda: film.litres(1, -2, 10), lambda: film.wet_film_at_rate(0),
        lambda: film.thinner_per_paint(70), lambda: film.litres_to_have(1, 0, TEN), lambda: film.litres_to_have(1, 2, TEN, area_spread=0.6),
        lambda: film.litres_to_have(1, 2, TEN, thirst=film.Estimate(0.5, 1, 1)), lambda: film.litres_to_have(1, 2, film.Estimate(0, 1, 2)),
    ],
)  # fmt: skip
def test_what_is_out_of_range_is_refused(wrong: object) -> None:
    """The argument, its value and the range are named."""
    assert callable(wrong)
    with pytest.raises(OutOfRange, match="It must lie between"):
        wrong()


def test_low_middle_and_high_stand_in_their_order() -> None:
    """An estimate with its ends swapped is refused."""
    with pytest.raises(BadInput, match="not in order"):
        film.Estimate(2, 1, 3)


@given(st.floats(0, 66))
def test_a_share_of_the_mix_thins_as_it_says(share: float) -> None:
    """Thinner over the whole mix is the share again."""
    thinned = film.thinner_per_paint(share)
    assert thinned / (1 + thinned) == pytest.approx(share / 100)
    assert thinned >= share / 100


@given(st.floats(0.1, 100), st.integers(1, 8), st.floats(2, 20), st.floats(0, 0.8))
def test_with_everything_known_there_is_no_spread(area: float, coats: int, rate: float, loss: float) -> None:
    """Exact rate, loss and area give the plain sum three times."""
    found = film.litres_to_have(
        area, coats, film.Estimate(rate, rate, rate), loss=film.Estimate(loss, loss, loss), area_spread=0
    )
    assert found.middle == pytest.approx(film.litres(area, coats, rate, loss))
    assert found.low == pytest.approx(found.middle)
    assert found.high == pytest.approx(found.middle)


@given(st.floats(0.1, 100), st.integers(1, 8), st.floats(1, 2), st.floats(0, 0.5), st.floats(0, 0.4))
def test_more_doubt_never_narrows_the_spread(
    area: float, coats: int, thirst: float, spread: float, loss: float
) -> None:
    """Each doubt alone lies inside all together, and the high end is at least the largest of them."""
    losses = film.Estimate(0, loss / 2, loss)
    takes = film.Estimate(1, (1 + thirst) / 2, thirst)
    alone = film.litres_to_have(area, coats, TEN, loss=losses, thirst=film.Estimate(*[takes.middle] * 3), area_spread=0)
    both = film.litres_to_have(area, coats, TEN, loss=losses, thirst=takes, area_spread=spread)
    assert both.middle == pytest.approx(alone.middle)
    assert both.low <= alone.low * (1 + 1e-9)
    assert both.high >= alone.high * (1 - 1e-9)


def test_a_thirsty_first_coat_counts_once() -> None:
    """6 m² at 10 m²/l, three coats, the first taking half as much again: 6 * 3.5 / 10 = 2.1 l."""
    found = film.litres_to_have(6, 3, TEN, thirst=film.Estimate(1.5, 1.5, 1.5), area_spread=0.1)
    assert found.middle == pytest.approx(2.1)
    assert (found.low, found.high) == pytest.approx((1.89, 2.31))


def test_doubts_add_in_quadrature() -> None:
    """Area ± 10 % and a loss of 0 to 2/11 about 1/11: 10 % up by each, so sqrt(2) * 10 % together."""
    losses = film.Estimate(1 / 11, 1 / 11, 1 - 10 / 12.1)
    found = film.litres_to_have(10, 1, TEN, loss=losses, area_spread=0.1)
    assert found.middle == pytest.approx(1.1)
    assert found.high == pytest.approx(1.1 + math.hypot(0.11, 0.11))
