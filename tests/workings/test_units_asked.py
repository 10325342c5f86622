"""What is asked about units: a length in every form and what it could be taken for, volumes of both systems, masses, degrees, spans."""

from __future__ import annotations

import pytest
from tests.workings.answers import answered, value

from tallboy.errors import BadUnit


def test_96_mm_are_not_three_and_three_quarters() -> None:
    """0.75 mm apart: a pull of the one does not go on the holes of the other."""
    answer = answered("length", length="96 mm")
    assert value(answer, "fraction") == "3 3/4 in"
    assert value(answer, "left") == pytest.approx(0.75)
    assert "The 3 3/4 in spacing is 0.75 mm less, not the same" in answer.says
    assert "As a hole spacing it is the 96 mm one." in answer.says
    assert answer.table is not None
    assert [row[0] for row in answer.table.rows] == ["3 3/4 in", "96 mm"]


def test_76_mm_are_three_inches_near_enough() -> None:
    """0.2 mm, within what old holes allow."""
    assert "3 in spacing is 0.20 mm more, near enough" in answered("length", length="76 mm").says


@pytest.mark.parametrize(
    ("length", "parts", "fraction", "feet"),
    [("128 mm", "16", "5 1/16 in", "5 1/16 in"), ("1' 2 1/2\"", "8", "14 1/2 in", "1 ft 2 1/2 in"), ("609.5 mm", "16", "24 in", "2 ft 0 in"), ("1 mm", "64", "3/64 in", "3/64 in")],
)  # fmt: skip
def test_forms_of_a_length(length: str, parts: str, fraction: str, feet: str) -> None:
    """Nearest fraction, feet and inches; a foot that is rounded up is a foot."""
    answer = answered("length", length=length, parts=parts)
    assert value(answer, "fraction") == fraction
    assert value(answer, "feet") == feet


def test_a_length_near_no_trade_size_has_no_table() -> None:
    """And says nothing of one."""
    answer = answered("length", length="43 mm")
    assert answer.table is None
    assert "spacing" not in answer.says


def test_volumes_of_both_systems() -> None:
    """A US quart is 946 ml and less than an imperial one; a bare quart is asked."""
    answer = answered("volume", volume="1 US qt")
    assert value(answer, "us_qt") == pytest.approx(1)
    assert value(answer, "imp_qt") == pytest.approx(0.8327, abs=1e-4)
    assert value(answer, "imp_fl_oz") == pytest.approx(33.307, abs=1e-3)
    assert [value(answer, name) for name in ("us_pt", "us_gal")] == pytest.approx([2, 0.25])
    assert value(answered("volume", volume="4.54609 l"), "imp_gal") == pytest.approx(1)
    assert value(answered("volume", volume="4.54609 l"), "imp_pt") == pytest.approx(8)
    with pytest.raises(BadUnit, match="US or imperial"):
        answered("volume", volume="1 qt")


def test_mass_temperature_and_time() -> None:
    """One of each."""
    assert value(answered("mass", mass="2 lb 3 oz"), "oz") == pytest.approx(35)
    assert value(answered("temperature", temperature="65 °F"), "celsius") == "18.3 °C"
    assert value(answered("temperature", temperature="-40"), "fahrenheit") == "-40.0 °F"
    assert value(answered("time-span", span="1 day 4 h"), "hours") == pytest.approx(28)
