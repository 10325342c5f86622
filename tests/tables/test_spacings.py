"""Hole spacings of pulls: inch sizes are inches, metric ones multiples of 32 mm."""

from __future__ import annotations

import pytest

from tallboy.sums.units import parse_length
from tallboy.tables.rows import table

ROWS = table("spacings").rows


@pytest.mark.parametrize("row", ROWS, ids=lambda row: str(row["key"]))
def test_a_spacing_is_what_it_is_called(row: dict[str, object]) -> None:
    """Its name, read as a length, is its size; the metric ones go by 32 mm."""
    assert parse_length(str(row["key"])) == pytest.approx(row["mm"])
    assert row["series"] == "inch" or float(str(row["mm"])) % 32 == 0


def test_seventeen_in_rising_order() -> None:
    """Ten by the inch, seven by the millimetre."""
    sizes = [float(row["mm"]) for row in ROWS]
    assert len(sizes) == 17
    assert sizes == sorted(sizes)
    assert [row["series"] for row in ROWS].count("metric") == 7
