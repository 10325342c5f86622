"""Cans to buy: the least cost, proved against trying everything."""

from __future__ import annotations

from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums.cans import cans_to_buy

SIZES = st.integers(100, 1500)
PRICES = st.integers(0, 4000).map(lambda cents: Decimal(cents) / 100)
CANS = st.lists(st.tuples(SIZES, PRICES), min_size=1, max_size=3)


def _tried(needed: int, cans: list[tuple[int, Decimal]]) -> tuple[Decimal, int, int]:
    """Cost, volume and number of the best cover by trying every count that could matter."""
    counts = product(*(range(-(-needed // size) + 1) for size, _ in cans))
    least = needed * 0.999
    covers = [found for found in counts if sum(n * size for n, (size, _) in zip(found, cans, strict=True)) >= least]
    return min(
        (
            sum((n * price for n, (_, price) in zip(found, cans, strict=True)), Decimal(0)),
            sum(n * size for n, (size, _) in zip(found, cans, strict=True)),
            sum(found),
        )
        for found in covers
    )


@settings(max_examples=150)
@given(st.integers(0, 3000), CANS)
def test_nothing_is_cheaper(needed: int, cans: list[tuple[int, Decimal]]) -> None:
    """Cost, then what is left over, then the number of cans are those of the best of all covers."""
    found = cans_to_buy(needed, cans)
    got = (found.cost, found.bought_ml, sum(row.count for row in found.cans))
    assert got == _tried(needed, cans)


@given(st.floats(0, 5000), st.floats(0, 5000), CANS)
def test_what_is_bought_and_there_covers_what_is_needed(
    needed: float, shelf: float, cans: list[tuple[int, Decimal]]
) -> None:
    """Nothing is missing, and what is left over is what was had less what was needed."""
    found = cans_to_buy(needed, cans, shelf)
    assert found.bought_ml + shelf >= needed * 0.999 - 1e-6
    assert found.left_over_ml == pytest.approx(max(found.bought_ml + shelf - needed, 0), abs=1e-6)
    assert found.cost == sum((row.price * row.count for row in found.cans), Decimal(0))
    if shelf >= needed:
        assert found.cans == ()


def test_a_large_can_may_cost_less_than_what_is_needed() -> None:
    """1.1 l from cans of 750 ml at 14.90 and of 2.5 l at 29: one large one, not two small ones at 29.80."""
    found = cans_to_buy(1100, [(750, Decimal("14.90")), (2500, Decimal("29.00"))])
    assert [(row.millilitres, row.count) for row in found.cans] == [(2500, 1)]
    assert found.left_over_ml == 1400
    assert found.per_litre == Decimal("11.60")
    assert found.left_over_worth == Decimal("16.24")


def test_of_equal_cost_the_lesser_rest_then_the_fewer_cans() -> None:
    """Two covers at 20: the one with less left over; two at the same cost and rest: one can."""
    assert [row.millilitres for row in cans_to_buy(900, [(1500, Decimal(20)), (500, Decimal(10))]).cans] == [500]
    one = cans_to_buy(1000, [(500, Decimal(10)), (1000, Decimal(20))])
    assert [(row.millilitres, row.count) for row in one.cans] == [(1000, 1)]


@pytest.mark.parametrize("count", [2, 3, 20])
def test_us_cans_are_not_one_short_for_a_fraction(count: int) -> None:
    """So many US quarts are needed: so many cans of 946.352946 ml."""
    quart = 946.352946
    found = cans_to_buy(count * quart, [(quart, Decimal("12.99"))])
    assert found.cans[0].count == count
    assert found.cost == Decimal("12.99") * count
    assert found.left_over_ml == pytest.approx(0, abs=1e-6)


def test_the_largest_question_is_answered() -> None:
    """Fifty litres from eight sizes: the cheapest by far is bought throughout."""
    cans = [(97.3 * n, Decimal(40 + n)) for n in range(1, 7)] + [(2500.0, Decimal(1)), (125.0, Decimal(9))]
    found = cans_to_buy(50_000, cans)
    assert [(row.millilitres, row.count) for row in found.cans] == [(2500.0, 20)]


def test_what_cannot_be_bought_is_refused() -> None:
    """No can, a price below nothing or not a number, a can of nothing, a need beyond any piece."""
    with pytest.raises(BadInput, match="no can"):
        cans_to_buy(1000, [])
    for price in ("-0.01", "nan", "inf", "1e13"):
        with pytest.raises(OutOfRange, match="Price of a can"):
            cans_to_buy(1000, [(750, Decimal(price))])
    for price in ("0.0000001", "1e-999999"):
        with pytest.raises(BadInput, match=r"finer than any coin|too near to nothing"):
            cans_to_buy(1000, [(750, Decimal(price)), (500, Decimal(3))])
    with pytest.raises(OutOfRange):
        cans_to_buy(1000, [(0.5, Decimal(1))])
    with pytest.raises(OutOfRange):
        cans_to_buy(float("nan"), [(750, Decimal(1))])
    with pytest.raises(OutOfRange):
        cans_to_buy(1000, [(750, Decimal(1))] * 9)
