"""Hours of work in words and in money."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.book.models import Shop
from tallboy.drawers.ledger.hours import amount, hours_words, money

seconds = st.integers(0, 400 * 24 * 3600)
rates = st.decimals(0, 99_999_999, places=2)


@given(seconds, rates)
def test_an_amount_is_exact_but_for_one_rounding(count: int, rate: Decimal) -> None:
    """Checked with exact fractions: `round` of a Fraction goes half to even (Python's library reference, fractions)."""
    exact = Fraction(count, 3600) * Fraction(rate)
    assert Fraction(amount(timedelta(seconds=count), rate)) == Fraction(round(exact * 100), 100)


@pytest.mark.parametrize(
    ("minutes", "rate", "expected"),
    [
        (60, "45.00", "45.00"),
        (1, "0.30", "0.00"),  # 0.005: the half goes to the even 0.00
        (3, "0.30", "0.02"),  # 0.015: the half goes to the even 0.02
        (750, "38.50", "481.25"),
        (0, "45.00", "0.00"),
    ],
)
def test_half_a_cent_goes_to_the_even_side(minutes: int, rate: str, expected: str) -> None:
    """Worked out by hand from minutes / 60 × rate."""
    assert str(amount(timedelta(minutes=minutes), Decimal(rate))) == expected


@pytest.mark.parametrize(
    ("minutes", "words"), [(0, "0 min"), (45, "45 min"), (60, "1 h"), (125, "2 h 05"), (750, "12 h 30"), (3120, "52 h")]
)
def test_hours_are_never_told_in_days(minutes: int, words: str) -> None:
    """Two and a sixth days of the calendar are 52 hours of work."""
    assert hours_words(timedelta(minutes=minutes)) == words


def test_money_carries_its_currency() -> None:
    """The ISO 4217 code stands beside the number, and thousands are parted."""
    assert money(Decimal("1234.5"), Shop(currency="GBP")) == "1,234.50 GBP"


def test_money_has_the_decimals_of_its_currency() -> None:
    """Yen have none, Bahraini dinars three (ISO 4217, list one); a code that nobody knows has two, as most have."""
    assert [money(Decimal("1234.5678"), Shop(currency=code)) for code in ("JPY", "BHD", "QQQ")] == [
        "1,235 JPY",
        "1,234.568 BHD",
        "1,234.57 QQQ",
    ]
    half = timedelta(minutes=1)
    assert [str(amount(half, Decimal("30.75"), code)) for code in ("JPY", "EUR", "KWD")] == ["1", "0.51", "0.512"]
