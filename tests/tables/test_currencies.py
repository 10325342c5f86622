"""The currencies: as many as the standard's list has, decimals as it gives them, coins no finer than the amounts."""

from __future__ import annotations

from collections import Counter
from decimal import Decimal

import pytest

from tallboy.errors import NotFound
from tallboy.tables.currencies import currency, minor_units
from tallboy.tables.rows import table

ROWS = table("currencies").rows


def test_the_list_is_whole() -> None:
    """155 currencies in 2025 without accounting units, metals and test codes: 16 have no decimals, 7 have three, all others two."""
    assert Counter(row["minor"] for row in ROWS) == {2: 132, 0: 16, 3: 7}
    assert all(len(row["key"]) == 3 and row["key"].isupper() for row in ROWS)
    assert [row["key"] for row in ROWS] == sorted(row["key"] for row in ROWS)
    assert len({row["name"] for row in ROWS}) == len(ROWS)


def test_the_three_decimals_are_dinars_and_rials() -> None:
    """Neighbours that belong together."""
    three = {row["key"] for row in ROWS if row["minor"] == 3}
    assert three == {"BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"}


def test_coins_are_no_finer_than_the_amounts() -> None:
    """A coin that the amounts cannot tell would round nothing."""
    coins = {row["key"]: currency(row["key"]) for row in ROWS if "cash" in row}
    assert set(coins) == {"AUD", "CAD", "CHF", "CZK", "DKK", "NOK", "NZD", "SEK"}
    for found in coins.values():
        assert found.cash_step is not None
        assert found.cash_step > Decimal(1).scaleb(-found.minor_units)


def test_a_code_that_is_not_in_use() -> None:
    """Asked for by name it is not found; an amount of it has two decimals, as most have."""
    with pytest.raises(NotFound, match="three letters"):
        currency("QQQ")
    assert (minor_units("QQQ"), minor_units("JPY")) == (2, 0)
