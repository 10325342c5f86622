"""Tones as they are asked: what can be typed, and what is said."""

from __future__ import annotations

import pytest
from tests.workings.answers import value

from tallboy.errors import TallboyError
from tallboy.workings.asking import ask
from tallboy.workings.known import working
from tallboy.workings.shade import named_tones, tone


def test_a_tone_by_code_and_by_numbers() -> None:
    """Both ways of typing; comma or point."""
    assert tone("#ffffff") == pytest.approx([100, 0, 0], abs=1e-9)
    assert tone(" 60 5,5 −25 ") == [60, 5.5, -25]


@pytest.mark.parametrize("text", ["", "brown", "1 2", "1 2 3 4", "101 0 0", "#12345", "a b c", "1;2;3"])
def test_no_tone(text: str) -> None:
    """Said in plain words."""
    with pytest.raises(TallboyError):
        tone(text)


def test_tones_with_names_and_without() -> None:
    """Numbered where nothing stands before the sign."""
    assert [name for name, _ in named_tones("left = #fff; #000000\n= #111111")] == ["left", "no. 2", "no. 3"]
    with pytest.raises(TallboyError, match="At most"):
        named_tones("#fff;" * 201)


def test_two_browns() -> None:
    """1.60, as scikit-image has it; and which way the second goes."""
    found = ask(working("colour-difference"), {"first": "#8b4513", "second": "#8f4a18"})
    assert value(found, "difference") == pytest.approx(1.5990, abs=0.001)
    assert value(found, "older") == pytest.approx(2.0166, abs=0.005)
    assert value(found, "turns") == "lighter and greener"
    same = ask(working("colour-difference"), {"first": "#8b4513", "second": "#8b4513"})
    assert value(same, "turns") == "the same, near enough"
    assert value(same, "seen") == "not seen"


def test_the_odd_drawer() -> None:
    """Named, with what is left without it and a table of all pairs."""
    found = ask(working("even-set"), {"tones": "top = #8b4513; middle = #8c4614; bottom = #5a2a08"})
    assert value(found, "odd") == "bottom"
    assert float(str(value(found, "without"))) < 1
    assert found.table is not None
    assert len(found.table.rows) == 3
    assert "Without bottom" in found.says


def test_a_set_of_two_and_of_one() -> None:
    """Two have no odd one; one is no set."""
    found = ask(working("even-set"), {"tones": "#8b4513; #8c4614"})
    assert value(found, "odd") == "none: there are only two"
    with pytest.raises(TallboyError, match="two tones"):
        ask(working("even-set"), {"tones": "#8b4513"})


def test_many_tones_have_no_table() -> None:
    """Nine would not fit a page."""
    tones = "; ".join(f"#8b45{digit}0" for digit in range(9))
    assert ask(working("even-set"), {"tones": tones}).table is None


def test_nearest_on_the_shelf() -> None:
    """The nearest by name, the rest after it."""
    found = ask(working("nearest-tone"), {"wanted": "#8b4513", "shelf": "oak = #b08d57; umber = #8a4614"})
    assert value(found, "nearest") == "umber"
    assert found.table is not None
    assert [row[0] for row in found.table.rows] == ["umber", "oak"]
    with pytest.raises(TallboyError, match="empty"):
        ask(working("nearest-tone"), {"wanted": "#8b4513", "shelf": ";"})
