"""Plots as drawings: nothing runs out of the frame or over something else, and what is drawn is the curve that was given."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from tests.drawings import parsed

from tallboy.sums.units import IMPERIAL
from tallboy.workings.draw import FIGURE, NARROW, WIDE, draw, round_step
from tallboy.workings.kinds import Curve, Mark, Plot

LINE = Plot(
    "Wait",
    "time",
    "h",
    "share",
    "%",
    (Curve("all of it", (0.0, 10.0), (0.0, 100.0)),),
    (Mark(8.0, 80.0, "now"),),
    "It rises.",
)
LEG = Plot(
    "Leg",
    "along it",
    "mm",
    "from its middle",
    "mm",
    (Curve("", (0.0, 690.0), (26.0, 10.0)),),
    says="Thin.",
    square=True,
)


def texts(plot: Plot, width: int = NARROW) -> list[ElementTree.Element]:
    return list(parsed(draw(plot, width)).iter("text"))


def size(plot: Plot, width: int = NARROW) -> tuple[float, float]:
    root = parsed(draw(plot, width))
    return float(root.attrib["width"]), float(root.attrib["height"])


def test_a_long_legend_takes_two_lines() -> None:
    """None of its words is lost, and the drawing grows by a line."""
    words = "middle reading, with the band from the slow to the quick one"
    long = replace(LINE, curves=(replace(LINE.curves[0], label=words),))
    shown = " ".join(text.text or "" for text in texts(long))
    assert "middle reading, with" in shown
    assert "the quick one" in shown
    assert not any(text.text == words for text in texts(long))
    assert any(text.text == words for text in texts(long, WIDE))
    assert size(long)[1] > size(LINE)[1]


def test_no_two_curves_are_dashed_alike() -> None:
    """Whichever of them asks for dashes; the legend shows the same."""
    first = replace(LINE, curves=tuple(Curve(name, (0.0, 1.0), (0.0, 1.0), dashed=name == "a") for name in "abcd"))
    second = replace(LINE, curves=tuple(replace(one, dashed=one.label != "a") for one in first.curves))
    for plot in (first, second):
        lines = re.findall(r'<path d="M[^"]*" stroke-width="1.8"[^>]*>', draw(plot))
        dashes = [re.search(r'dasharray="([^"]*)"', line) for line in lines]
        told = [found[1] if found else "" for found in dashes]
        assert len(set(told)) == 4
        assert told[:4] == told[4:]


def test_axes_begin_with_a_capital_and_name_their_unit() -> None:
    """However the sum wrote them."""
    assert {"Time, h", "Share, %"} <= {text.text for text in texts(LINE)}


def test_the_word_of_a_mark_can_be_read_over_a_curve() -> None:
    """It alone has the class that the page draws with a rim of paper."""
    (word,) = [text for text in texts(LINE) if text.attrib.get("class") == "word"]
    assert word.text == "now"


@pytest.mark.parametrize("width", [WIDE, NARROW])
@pytest.mark.parametrize("high", [1.0, 100.0, 12_345.0, 1_234_567.0])
def test_figures_of_the_upright_axis_keep_clear_of_its_words(width: int, high: float) -> None:
    """The longer they are, the farther right the frame begins; the last figure below stays on the sheet."""
    for text in texts(replace(LINE, curves=(Curve("", (0.0, high), (-high, high)),), marks=()), width):
        if text.attrib["text-anchor"] == "end":
            assert float(text.attrib["x"]) - FIGURE * len(text.text or "") >= 18
        elif "transform" not in text.attrib and re.fullmatch(r"[\d.\u202f\u2212]+", text.text or ""):
            assert float(text.attrib["x"]) + FIGURE * len(text.text or "") / 2 <= width


@pytest.mark.parametrize("width", [WIDE, NARROW])
def test_an_outline_keeps_its_proportions(width: int) -> None:
    """A millimetre is as long upwards as across; a long thin leg makes a low drawing, not a square one."""
    wide, high = size(LEG, width)
    assert high < 0.75 * wide
    found = re.search(r'<path d="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)" stroke-width="1.8"', draw(LEG, width))
    assert found is not None
    left, upper, right, lower = map(float, found.groups())
    assert (lower - upper) / 16 == pytest.approx((right - left) / 690, rel=0.02)


def test_a_standing_outline_is_no_higher_than_wide() -> None:
    """A round wheel gets a square frame."""
    wheel = replace(LEG, curves=(Curve("", (-25.0, 0.0, 25.0, 0.0), (0.0, 25.0, 0.0, -25.0)),))
    tall = replace(LEG, curves=(Curve("", (-2.0, 2.0), (0.0, 690.0)),))
    for plot in (wheel, tall):
        wide, high = size(plot)
        assert high == pytest.approx(wide - 20, abs=25)


def test_a_shop_in_inches_sees_inches() -> None:
    """Lengths and temperatures are turned, marks with them; differences of temperatures have no nought to shift."""
    cold = Plot(
        "Cold",
        "depth",
        "mm",
        "temperature",
        "°C",
        (Curve("", (0.0, 254.0), (0.0, 20.0)),),
        (Mark(127.0, 10.0, "here"),),
    )
    shown = {text.text for text in parsed(draw(cold, WIDE, IMPERIAL)).iter("text")}
    assert {"Depth, in", "Temperature, °F", "10", "60", "40"} <= shown
    assert "200" not in shown
    apart = {text.text for text in parsed(draw(replace(cold, y_unit="K"), WIDE, IMPERIAL)).iter("text")}
    assert {"0", "40", "Temperature, °F"} <= apart
    assert "60" not in apart
    assert "Temperature, °C" in {text.text for text in texts(replace(cold, y_unit="K"))}


@pytest.mark.parametrize(("span", "step"), [(10, 2), (7, 2), (60, 10), (0.05, 0.01), (1200, 200)])
def test_ticks_stand_at_round_values(span: float, step: float) -> None:
    """One, two or five of a power of ten."""
    assert round_step(span) == pytest.approx(step)
