"""What is typed for a sum: units spoken or bare, lists, choices, rows, and everything that is wrong told at once."""

from __future__ import annotations

import pytest

from tallboy.errors import BadInput, BadUnit, NotFound, OutOfRange, TallboyError
from tallboy.sums.units import IMPERIAL, METRIC
from tallboy.tables.rows import Rows
from tallboy.workings.asking import ask, described, quantity, read, takes
from tallboy.workings.kinds import Answer, Asked, Given, Got, Working


def _sum(*inputs: Asked) -> Working:
    return Working("try", "units", "Try", "What?", inputs, _echo, {})


def _echo(given: Given) -> Answer:
    return Answer((Got("first", "First", str(next(iter(given.values.values())))),), ("as typed",), ("memory",))


def _read(asked: Asked, text: str, rows: Rows | None = None, system: str = METRIC) -> object:
    given, wrong = read(_sum(asked), {asked.name: text}, rows, system)
    if wrong:
        raise next(iter(wrong.values()))
    return given.values[asked.name]


WIDTH = Asked("width", "Width", "mm", 1, 5000)


@pytest.mark.parametrize(
    ("unit", "text", "value"),
    [
        ("mm", "96", 96.0), ("mm", "3 3/4 in", 95.25), ("m", "2.5 m", 2.5), ("°C", "65 °F", 18.3333333), ("ml", "1 US qt", 946.352946),
        ("l", "750 ml", 0.75), ("kg", "2 lb", 0.90718474), ("min", "1 h 30", 90.0), ("h", "90 min", 1.5), ("%", "62 %", 62.0),
        ("N", "140 N", 140.0), ("N", "10 lbf", 44.4822162), ("m²", "100 ft²", 9.290304), ("m²/l", "400 ft²/gal", 9.81696),
        ("µm", "2 mils", 50.8), ("", "1e-3", 0.001), ("", "0,5", 0.5),
    ],
)  # fmt: skip
def test_a_quantity_may_carry_its_unit(unit: str, text: str, value: float) -> None:
    """The same kind of quantity in another unit; a bare number has the input's own."""
    assert _read(Asked("x", "X", unit), text) == pytest.approx(value)


def test_bare_numbers_of_an_imperial_shop() -> None:
    """Inches and °F; what carries its unit is what it says."""
    assert _read(WIDTH, "2", system=IMPERIAL) == pytest.approx(50.8)
    assert _read(WIDTH, "2 mm", system=IMPERIAL) == pytest.approx(2.0)
    assert _read(Asked("t", "T", "°C"), "68", system=IMPERIAL) == pytest.approx(20.0)
    assert "in in" in takes(WIDTH, IMPERIAL)


def test_a_difference_of_temperatures_has_no_zero() -> None:
    """Four and a half °F apart are two and a half °C; a bare one is in the degrees of the shop."""
    asked = Asked("margin", "Margin", "K", 0, 20)
    assert _read(asked, "2.5") == _read(asked, "2.5 °C") == _read(asked, "2.5 K") == pytest.approx(2.5)
    assert _read(asked, "4.5 °F") == _read(asked, "4.5", system=IMPERIAL) == pytest.approx(2.5)
    with pytest.raises(BadUnit):
        _read(asked, "2 mm")


def test_a_default_means_the_same_in_every_shop() -> None:
    """Nothing typed: the default, in its own unit."""
    asked = Asked("t", "T", "°C", default=20.0)
    assert _read(asked, "", system=IMPERIAL) == pytest.approx(20.0)


@pytest.mark.parametrize(
    ("text", "error"),
    [
        ("", BadInput),
        ("wide", BadUnit),
        ("0.5", OutOfRange),
        ("9 kg", BadUnit),
        ("nan", BadUnit),
        ("1e999", TallboyError),
    ],
)
def test_a_number_that_cannot_be(text: str, error: type[TallboyError]) -> None:
    """Missing, no number, out of range, another kind of unit."""
    with pytest.raises(error):
        _read(WIDTH, text)


def test_lists_and_pairs() -> None:
    """Semicolons or lines between items; the parts of a pair by their units."""
    assert _read(Asked("d", "D", kind="numbers"), "12.1 12.3\n") == (12.1, 12.3)
    assert _read(Asked("d", "D", "mm", kind="numbers"), "1/2 in; 12") == (12.7, 12.0)
    cans = Asked("cans", "Cans", kind="pairs", units=("ml", ""))
    assert _read(cans, "750 ml = 14.90; 2.5 l=36") == ((750.0, 14.9), (2500.0, 36.0))
    assert _read(Asked("p", "P", kind="pairs", units=("", "")), "1 7\n2 6") == ((1.0, 7.0), (2.0, 6.0))
    with pytest.raises(BadInput, match="3 parts"):
        _read(cans, "1 l = 2 = 3")


def test_choices_rows_and_flags() -> None:
    """By key or words; an own row like any other; yes and no."""
    cut = Asked("cut", "Cut", kind="choice", choices=(("flat", "Flat-sawn"), ("quarter", "Quarter-sawn")))
    assert _read(cut, "quarter-sawn") == "quarter"
    with pytest.raises(BadInput, match="flat, quarter"):
        _read(cut, "round")
    key = Asked("caution", "Caution", kind="row", table="cautions")
    own = Rows({"cautions": ({"key": "wet paint", "title": "Wet"},)})
    assert _read(key, "Wet Paint", rows=own) == {"key": "wet paint", "title": "Wet"}
    with pytest.raises(NotFound, match="oily-rags"):
        _read(key, "oily", rows=own)
    many = Asked("cautions", "Cautions", kind="row list", table="cautions")
    given, _wrong = read(_sum(many), {"cautions": "dust, lead; dust"})
    assert [row["key"] for row in given.rows("cautions")] == ["dust", "lead"]
    flag = Asked("lid", "Lid", kind="flag")
    assert _read(flag, "Yes") is True
    assert _read(flag, "") is False
    with pytest.raises(BadInput, match="yes or no"):
        _read(flag, "perhaps")


def test_whole_numbers_stay_whole() -> None:
    """Two and a half wheels are none."""
    assert _read(Asked("n", "N", kind="whole"), "4") == 4
    with pytest.raises(BadInput, match="whole"):
        _read(Asked("n", "N", kind="whole"), "2.5")


def test_everything_wrong_is_told_at_once() -> None:
    """By the names of the inputs; a name the sum does not have too."""
    working = _sum(WIDTH, Asked("depth", "Depth", "mm"))
    with pytest.raises(BadInput) as caught:
        ask(working, {"width": "x", "hight": "3"})
    text = str(caught.value)
    assert "width" in text
    assert "depth" in text
    assert "hight" in text


def test_an_input_that_may_be_left_out() -> None:
    """Nothing typed is nothing, not zero."""
    asked = Asked("area", "Area", "m²", needed=False)
    assert _read(asked, " ") is None
    assert described(asked)["needed"] is False


def test_a_flood_is_refused() -> None:
    """Longer than any list of measurements."""
    with pytest.raises(BadInput, match="too long"):
        _read(Asked("d", "D", kind="numbers"), "1;" * 20_000)


def test_what_an_input_takes_is_said_as_it_is() -> None:
    """Words are not asked for as a number, nor yes or no; a million has no exponent."""
    assert takes(Asked("tone", "Tone", kind="text")) == "Words."
    assert takes(Asked("lid", "Lid", kind="flag")) == "Yes or no."
    assert takes(Asked("run", "Run", "mm", 0, 1_000_000)) == "A number in mm, 0 to 1000000 mm."
    assert takes(Asked("coats", "Coats", "", 1, 20, kind="whole")) == "A whole number, 1 to 20."


@pytest.mark.parametrize("unit", ["", "°C", "K", "µm"])
@pytest.mark.parametrize("typed", ["-0", "-0.0", "\u22120"])
def test_nothing_has_no_sign(unit: str, typed: str) -> None:
    """In the units in which less than nothing can be typed."""
    assert str(quantity(typed, unit, "It")) == "0.0"
