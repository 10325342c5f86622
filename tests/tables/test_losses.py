"""The tables of losses and of the first coat's thirst: whole, and in a plausible order."""

from __future__ import annotations

import pytest

from tallboy.errors import NotFound
from tallboy.tables.losses import loss_by, thirst_of
from tallboy.tables.rows import table

LOSSES, THIRST = table("losses").rows, table("thirst").rows


def test_tables_are_whole() -> None:
    """Row counts and column sums, so that no figure slips unseen."""
    assert (len(LOSSES), len(THIRST)) == (12, 6)
    assert sum(row["middle"] for row in LOSSES) == pytest.approx(3.66)
    assert sum(row["high"] for row in THIRST) == pytest.approx(10.67)


def test_low_middle_high_are_in_order() -> None:
    """Making the estimate refuses anything else."""
    for row in LOSSES:
        assert 0 <= loss_by(row["key"]).low <= loss_by(row["key"]).high < 1
    for row in THIRST:
        assert thirst_of(row["key"]).low >= 1


def test_brushes_waste_less_than_guns() -> None:
    """Every gun loses more than every way by hand that is not wiped off; HVLP less than a cup gun; panels less than legs."""
    hand = max(loss_by(key).high for key in ("brush", "roller", "pad"))
    assert all(loss_by(row["key"]).low > hand for row in LOSSES if row.get("spray"))
    assert loss_by("HVLP gun").high < loss_by("cup gun").low
    assert loss_by("gun on large panels").high < loss_by("gun on slender parts").low


def test_guns_lie_where_a_trade_page_has_them() -> None:
    """A trade page says that spraying wastes 35 to 75 %: the usual share of every gun but one lies there."""
    outside = [row["key"] for row in LOSSES if row.get("spray") and not 0.35 <= row["middle"] <= 0.75]
    assert outside == ["air-assisted gun"]


def test_an_unknown_way_is_told_with_those_there_are() -> None:
    """By name."""
    with pytest.raises(NotFound, match="brush"):
        loss_by("trowel")
