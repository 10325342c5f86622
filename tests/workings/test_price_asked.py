"""Prices as they are asked: they add up, to what the currency has."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tallboy.errors import BadInput, NotFound
from tallboy.workings.asking import ask
from tallboy.workings.kinds import Answer
from tallboy.workings.known import working


def asked(name: str, **typed: str) -> Answer:
    """The example of a sum with some of it typed otherwise."""
    found = working(name)
    return ask(found, {**found.example, **typed})


def money(answer: Answer, name: str) -> Decimal:
    value = next(got.value for got in answer.results if got.name == name)
    assert isinstance(value, Decimal)
    return value


def test_a_job_by_hand() -> None:
    """One sure step of two hours at 38 and 8, a third of a can at 15, 25 % on the cost, 20 % tax: (5 + 76 + 16) · 1.25 · 1.2 = 145.50."""
    answer = asked(
        "job-price", materials="250 = 750 = 15", steps="2 h = 0 min", way="markup", percent="25", deposit="30"
    )
    names = ("materials", "labour", "reserve", "overheads", "net", "tax", "gross", "deposit", "fee")
    assert [str(money(answer, name)) for name in names] == [
        "5.00", "76.00", "0.00", "16.00", "121.25", "24.25", "145.50", "43.65", "0.00",
    ]  # fmt: skip
    assert money(answer, "earned") == Decimal("50.12"), "(121.25 - 5 - 16) / 2, a half to the even side"
    assert "Ask 145.50 EUR (20 % tax in it), of it 43.65 before you begin." in answer.says


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 40), st.integers(0, 25), st.integers(0, 90), st.sampled_from(["EUR", "JPY", "KWD", "CHF"]))
def test_the_parts_make_the_whole_and_the_fee_is_paid(fee: int, tax: int, percent: int, code: str) -> None:
    """Without tax and tax are the price with tax; after the fee the cost with its margin is left, but for the rounding."""
    answer = asked("job-price", fee=str(fee), fee_fixed="1", tax=str(tax), percent=str(percent), currency=code)
    net, gross = money(answer, "net"), money(answer, "gross")
    assert net + money(answer, "tax") == gross
    cost = sum(money(answer, name) for name in ("materials", "labour", "reserve", "overheads"))
    left = net - money(answer, "fee")
    unit = Decimal(1).scaleb(-{"EUR": 2, "JPY": 0, "KWD": 3, "CHF": 2}[code])
    assert abs(left * (100 - percent) / 100 - cost) <= 4 * unit


def test_yen_have_no_decimals_and_francs_are_paid_in_five_rappen() -> None:
    """ISO 4217 for the one, coins for the other."""
    assert str(money(asked("job-price", currency="JPY", rate="4000"), "gross")).isdigit()
    francs = asked("job-price", currency="chf")
    assert money(francs, "cash") % Decimal("0.05") == 0
    assert abs(money(francs, "cash") - money(francs, "gross")) < Decimal("0.03")


def test_surer_hours_cost_more() -> None:
    """And the span beside the price reaches over them."""
    even, sure = asked("job-price", sureness="50"), asked("job-price", sureness="95")
    assert money(even, "gross") < money(sure, "gross")
    assert money(even, "reserve") == 0, "an even chance takes less than the mean: nothing is taken off for it"
    got = next(got for got in sure.results if got.name == "gross")
    assert got.high is not None
    assert got.high >= float(money(sure, "gross"))


def test_margin_and_mark_up_are_kept_apart() -> None:
    """20 % of the price, 20 % of the cost."""
    answer = asked("margin")
    assert (money(answer, "by_margin"), money(answer, "by_markup")) == (Decimal("100.00"), Decimal("96.00"))
    assert next(got.value for got in answer.results if got.name == "as_markup") == 25


@pytest.mark.parametrize(
    ("has", "parts"), [("with", ("100.00", "20.00", "120.00")), ("without", ("120.00", "24.00", "144.00"))]
)
def test_tax_in_or_out(has: str, parts: tuple[str, ...]) -> None:
    """120 with 20 % in it, or on top."""
    answer = asked("tax", has=has)
    assert tuple(str(money(answer, name)) for name in ("net", "tax", "gross")) == parts


def test_a_fee_is_taken_of_what_is_added_too() -> None:
    """100.30 / 0.971 = 103.30, of which 3.30 goes (trade pages)."""
    answer = asked("selling-fee")
    assert [str(money(answer, name)) for name in ("asked", "taken", "left")] == ["103.30", "3.30", "100.00"]


def test_a_rate_that_pays_the_shop() -> None:
    """(36 000 + 9600) / 1200 = 38, of which 8 are overheads."""
    answer = asked("hourly-rate")
    assert [str(money(answer, name)) for name in ("rate", "overhead", "own")] == ["38.00", "8.00", "30.00"]


def test_hours_to_reckon_with() -> None:
    """More than the sum, and the curve rises with the sureness."""
    answer = asked("hours-reserve")
    enough, total = (next(got.value for got in answer.results if got.name == name) for name in ("enough", "total"))
    assert total == 465
    assert isinstance(enough, float)
    assert 465 < enough < 620
    curve = answer.plots[0].curves[0]
    assert list(curve.y) == sorted(curve.y)


def test_what_cannot_be_priced_is_refused() -> None:
    """No step, an empty pack, a currency that is not in use."""
    with pytest.raises(BadInput):
        asked("job-price", steps="")
    with pytest.raises(BadInput, match="pack is empty"):
        asked("job-price", materials="1 = 0 = 5")
    with pytest.raises(NotFound, match="QQQ"):
        asked("margin", currency="QQQ")


def test_whole_numbers_are_said_as_such() -> None:
    """Twenty percent, not 20.0; twelve hundred hours."""
    margin, rate = (ask(working(name), working(name).example) for name in ("margin", "hourly-rate"))
    assert margin.says.startswith("20 % on the price")
    assert " 1200 hours sold" in rate.says
    assert not any(".0 " in line for line in (*margin.working, *rate.working))
