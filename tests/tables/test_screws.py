"""The table of screws: all rows there, in order, and the drills as charts differ."""

from __future__ import annotations

from itertools import pairwise

import pytest

from tallboy.errors import NotFound
from tallboy.sums.holes import gauge_diameter
from tallboy.sums.unit_words import MM_PER_INCH
from tallboy.tables.rows import table
from tallboy.tables.screws import clearance, clearance_of, next_thicker, pilot, pilot_of, screw, screw_of

ROWS = table("screws").rows


def test_every_gauge_is_there() -> None:
    """2 to 12 and 14; the shanks in inches add up to 12 * 0.060 + 0.013 * 91."""
    assert [row["key"] for row in ROWS] == ["2", "3", "4", "5", "6", "7", "8", "9", "10", "11", "12", "14"]
    assert sum(row["shank_in"] for row in ROWS) == pytest.approx(12 * 0.060 + 0.013 * 91)
    assert sum(row.get("root_in", 0) for row in ROWS) == pytest.approx(1.363)


def test_millimetres_and_inches_are_the_same_screw() -> None:
    """Two sources, to the rounding of each; and both the formula."""
    for row in ROWS:
        assert row["shank_in"] * MM_PER_INCH == pytest.approx(row["shank_mm"], abs=0.01)
        assert gauge_diameter(row["gauge"]) == pytest.approx(row["shank_mm"], abs=0.01)


@pytest.mark.parametrize(
    "name",
    ["gauge", "shank_mm", "shank_in", "root_in", "head_in", "hard_in", "soft_in", "hard_firm_in", "clearance_in"],
)
def test_each_column_grows_with_the_gauge(name: str) -> None:
    """A figure out of order would be a slip of the pen."""
    values = [row[name] for row in ROWS if name in row]
    assert all(one < other for one, other in pairwise(values))


def test_drills_lie_in_their_order() -> None:
    """Softwood never above hardwood, every pilot below the shank, firm drills the smaller; the shank's drill within a 64th of it.

    The chart's drills for No. 4 and No. 10 are 0.003 in under the basic shank: real screws are thinner.
    """
    for row in ROWS:
        if "hard_in" not in row:
            continue
        assert row["soft_in"] <= row["hard_in"] < row["shank_in"]
        assert row["shank_in"] - 0.003 <= row["clearance_in"] < row["shank_in"] + 1 / 64
        assert row["soft_firm_in"] < row["hard_firm_in"] < row["hard_in"]
        assert row["root_in"] < row["shank_in"]


def test_a_pilot_ranges_over_formula_and_charts() -> None:
    """No. 8 in hardwood: 3/32 to 1/8 in; a gauge without a chart gets a 64th to either side."""
    eight = pilot_of("8", True)
    assert (eight.low, eight.high) == pytest.approx((3 / 32 * MM_PER_INCH, 1 / 8 * MM_PER_INCH))
    seven = pilot_of("7", False)
    assert seven.high - seven.low == pytest.approx(MM_PER_INCH / 32)
    for row in ROWS:
        soft, hard = pilot(row, False), pilot(row, True)
        assert soft.low <= hard.low
        assert soft.middle < hard.middle < row["shank_mm"]
        assert soft.high <= hard.high < row["shank_mm"]


def test_a_row_turns_into_a_screw() -> None:
    """Root and head where the table has them; two thirds of the shank where it has no root."""
    assert screw_of("8").head_mm == pytest.approx(0.332 * MM_PER_INCH)
    eleven = screw_of("11")
    assert eleven.root_mm == pytest.approx(5.16 * 2 / 3)
    assert eleven.head_mm is None
    assert screw({"key": "brass pin", "shank_mm": 3.0}).root_mm == pytest.approx(2.0)


def test_heads_are_about_twice_the_shank() -> None:
    """The rule of a furniture text, to five in a hundred, for every head that a trade table prints."""
    for row in ROWS:
        if "head_in" in row:
            assert row["head_in"] / row["shank_in"] == pytest.approx(2.0, rel=0.05)


def test_clearance_is_printed_or_a_64th() -> None:
    """No. 8: 11/64 in; No. 7 has no chart."""
    assert clearance_of("8") == pytest.approx(11 / 64 * MM_PER_INCH)
    assert clearance(ROWS[5]) == pytest.approx(3.84 + MM_PER_INCH / 64)


def test_the_next_thicker() -> None:
    """After 12 comes 14; after 14 none, unless the shop has added one."""
    assert next_thicker(ROWS[-2], ROWS)["key"] == "14"
    with pytest.raises(NotFound, match="no screw thicker than 14"):
        next_thicker(ROWS[-1], ROWS)
    assert next_thicker(ROWS[-1], [*ROWS, {"key": "16", "shank_mm": 6.8}])["key"] == "16"
