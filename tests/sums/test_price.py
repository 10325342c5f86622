"""Prices as exact decimals: margins and mark-ups, fees and tax undo each other; a reserve of hours behaves as a quantile must."""

from __future__ import annotations

import math
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums import charges, money, price
from tallboy.sums.contingency import SHAPES, Shape, reserve, three_point

CENT = Decimal("0.01")
amounts = st.decimals(0, 10**7, places=2)
above = st.decimals(1, 10**7, places=2)
margins = st.decimals(0, 95, places=1)
close = Decimal("1e-15")


@given(above, margins)
def test_a_margin_is_left_of_the_price(cost: Decimal, margin: Decimal) -> None:
    """And the same price comes of the mark-up that it amounts to."""
    asked = price.price_from_margin(cost, margin)
    assert abs(price.margin_of(asked, cost) - margin) < close * 100
    markup = price.markup_from_margin(margin)
    assert abs(price.price_from_markup(cost, markup) - asked) < asked * close
    assert abs(price.margin_from_markup(markup) - margin) < close * 100
    assert abs(price.markup_of(asked, cost) - markup) < markup * close + close


@given(above, st.decimals(1, 90, places=1))
def test_a_margin_asks_more_than_the_same_mark_up(cost: Decimal, percent: Decimal) -> None:
    """Half on the price is all on the cost: who mixes the two sells too cheap."""
    assert price.price_from_margin(cost, percent) > price.price_from_markup(cost, percent)


@given(amounts, st.decimals(0, 90, places=2), amounts)
def test_what_is_grossed_up_leaves_what_is_wanted(wanted: Decimal, fee: Decimal, fixed: Decimal) -> None:
    """After the fee, which is taken of all that is asked."""
    asked = charges.grossed_up(wanted, fee, fixed)
    assert abs(asked - charges.fee_of(asked, fee, fixed) - wanted) <= (asked + 1) * close


@given(amounts, st.decimals(0, 100, places=2))
def test_tax_out_of_a_price_with_tax_is_the_price_without(net: Decimal, tax: Decimal) -> None:
    """Both ways, and the parts make the whole."""
    gross = charges.with_tax(net, tax)
    assert abs(charges.without_tax(gross, tax) - net) <= (net + 1) * close
    assert abs(charges.without_tax(gross, tax) + charges.tax_in(gross, tax) - gross) <= (gross + 1) * close


@given(st.decimals(-(10**6), 10**6, places=5), st.integers(0, 4))
def test_rounding_moves_by_half_a_unit_at_the_most(amount: Decimal, places: int) -> None:
    """To the decimals asked for, the same again when rounded again, symmetrical about nothing."""
    found = money.rounded(amount, places)
    assert abs(found - amount) <= Decimal(1).scaleb(-places) / 2
    assert found.as_tuple().exponent == -places
    assert money.rounded(found, places) == found
    assert money.rounded(-amount, places) == -found


@given(amounts, st.sampled_from(["0.05", "0.10", "0.50", "1", "5"]))
def test_cash_is_a_whole_number_of_coins(amount: Decimal, coin: str) -> None:
    """The nearest one."""
    found = money.cash_rounded(amount, coin)
    assert found % Decimal(coin) == 0
    assert abs(found - amount) <= Decimal(coin) / 2


def test_no_binary_fraction_comes_near_money() -> None:
    """0.1 + 0.2 would not be 0.3; "14,90" is no number here."""
    binary: Any = 0.1  # the types do not allow it; who calls without them must be stopped all the same
    with pytest.raises(BadInput, match="binary fraction"):
        money.exact("Amount", binary, 0, 1)
    with pytest.raises(BadInput, match="no number"):
        money.exact("Amount", "14,90", 0, 100)
    for wrong in ("NaN", "Infinity", "-1", "1e13"):
        with pytest.raises(OutOfRange):
            money.paid("Amount", wrong)


@pytest.mark.parametrize("tiny", ["1e-999999", "-1e-999999", "1e-29"])
def test_a_number_too_near_to_nothing_is_refused(tiny: str) -> None:
    """Before anything is divided by it."""
    with pytest.raises(BadInput):
        price.material_cost(1, tiny, 1)
    with pytest.raises(BadInput):
        price.margin_of(tiny, 100)


def test_nothing_has_no_sign() -> None:
    """A rate of -0 leaves no bill of -0.00."""
    assert str(price.labour_cost(60, "-0")) == "0"
    assert str(money.exact("Rate", "-0.00", 0, 1)) == "0.00"


def test_hours_and_materials_add_up_exactly() -> None:
    """Three thirds of a can are the can; sixty minutes are the rate."""
    third = price.material_cost(1, 3, "14.90")
    assert money.rounded(3 * third, 2) == Decimal("14.90")
    assert price.labour_cost(60, "38.50") == Decimal("38.50")
    assert price.labour_cost(0, 38) == 0
    assert price.earned_rate(100, 130, 60) == -30


@pytest.mark.parametrize(
    ("function", "given"),
    [
        (price.material_cost, (1, 0, 5)), (price.material_cost, (-1, 1, 5)), (price.labour_cost, (-1, 38)), (price.overhead_rate, (100, 0)),
        (price.hourly_rate, (1, 1, 0)), (price.earned_rate, (100, 10, 0)), (price.price_from_margin, (10, 100)), (price.price_from_markup, (10, -1)),
        (price.margin_of, (0, 1)), (price.markup_of, (1, 0)), (charges.grossed_up, (1, 95)), (charges.with_tax, (1, 101)),
        (charges.deposit, (1, 101)), (money.rounded, (1, 5)), (money.cash_rounded, (1, 0)),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(function: Any, given: tuple[Any, ...]) -> None:
    """Each argument in its range, and no share of nothing."""
    with pytest.raises(BadInput):
        function(*given)


steps = st.lists(st.tuples(st.floats(5, 600), st.floats(0, 300)), min_size=1, max_size=30)


@given(steps, st.sampled_from(SHAPES), st.floats(50, 99), st.floats(0, 1))
def test_surer_needs_more_and_together_spreads_wider(
    found: list[tuple[float, float]], shape: Shape, sureness: float, together: float
) -> None:
    """A quantile rises with the sureness; steps that run over together are never surer than those that do so singly."""
    minutes, spreads = zip(*found, strict=True)
    one, more = (reserve(minutes, spreads, s, shape, together) for s in (sureness, min(99.5, sureness + 0.5)))
    assert one.enough <= more.enough + 1e-9
    assert one.total == pytest.approx(sum(minutes))
    assert one.extra == pytest.approx(one.enough - one.total)
    singly, at_once = (reserve(minutes, spreads, sureness, shape, share) for share in (0.0, 1.0))
    assert singly.spread <= one.spread + 1e-9
    assert one.spread <= at_once.spread + 1e-9
    assert at_once.spread == pytest.approx(sum(spreads))


@given(steps)
def test_many_small_steps_are_surer_than_one_large(found: list[tuple[float, float]]) -> None:
    """The share that has to be added falls when work is cut into more steps of the same kind."""
    minutes, spreads = zip(*found, strict=True)
    assume(max(spreads) > 1)
    once, fourfold = reserve(minutes, spreads, 80, "normal"), reserve(minutes * 4, spreads * 4, 80, "normal")
    assert fourfold.extra / fourfold.total == pytest.approx(once.extra / once.total / 2)


def test_the_lognormal_has_the_longer_tail() -> None:
    """Half of the time less than the mean is enough; to be very sure takes more than the normal says."""
    minutes, spreads = [120.0, 240.0], [60.0, 90.0]
    assert reserve(minutes, spreads, 50).enough < 360
    assert reserve(minutes, spreads, 99).enough > reserve(minutes, spreads, 99, "normal").enough
    assert reserve(minutes, [0, 0], 99) == reserve(minutes, [0, 0], 50)


@pytest.mark.parametrize(
    "wrong",
    [
        {"minutes": [], "spreads": []}, {"minutes": [0], "spreads": [1]}, {"minutes": [10], "spreads": [1, 2]}, {"minutes": [-1], "spreads": [1]},
        {"minutes": [10], "spreads": [-1]}, {"minutes": [10], "spreads": [1], "sureness_percent": 100}, {"minutes": [10], "spreads": [1], "shape": "flat"},
        {"minutes": [10], "spreads": [1], "together": 2}, {"minutes": [math.nan], "spreads": [1]},
    ],
)  # fmt: skip
def test_a_reserve_of_nonsense_is_refused(wrong: dict[str, Any]) -> None:
    """Uneven lists, no work, another shape, out of range."""
    with pytest.raises(BadInput):
        reserve(**wrong)


def test_three_points_stand_in_their_order() -> None:
    """Least, most likely, most."""
    assert three_point(5, 5, 5) == (5, 0)
    for wrong in ((-1, 2, 3), (3, 2, 5), (1, 4, 3)):
        with pytest.raises(OutOfRange):
            three_point(*wrong)
