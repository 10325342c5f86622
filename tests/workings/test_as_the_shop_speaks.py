"""Sentences in the shop's own units: what is read in inches and °F is answered in them, and differences have no zero."""

from __future__ import annotations

import pytest

from tallboy.sums.units import IMPERIAL, METRIC
from tallboy.workings.asking import ask
from tallboy.workings.kinds import Got
from tallboy.workings.known import working
from tallboy.workings.telling import figure, lines

DRAWER = {"wood": "Scots pine", "size": "180 mm", "moisture_now": "18 %", "moisture_then": "7 %"}
FEET = {
    "feet": "0 in = 0 in = 700 mm; 600 mm = 0 in = 698 mm; 600 mm = 400 mm = 700 mm; 0 in = 400 mm = 698 mm",
    "centre_x": "340 mm", "centre_y": "200 mm", "weight": "32 kg",
}  # fmt: skip


@pytest.mark.parametrize(
    ("name", "typed", "metric", "imperial"),
    [
        ("dew-point", {"celsius": "20 °C", "humidity": "65 %"}, "13.2 °C (give or take 0.8 °C)", "55.8 °F (give or take 1.5 °F)"),
        ("may-coat", {"surface": "9 °C", "celsius": "16 °C", "humidity": "71 %"}, "1.8 °C below the dew point", "3.2 °F below the dew point"),
        ("wood-movement", DRAWER, "about 5.2 mm across", "about 13/64 in across"),
        ("panel-groove", {"wood": "European oak", "sight": "320 mm", "cut": "quarter"}, "335 mm wide", "13 3/16 in wide"),
        ("spreading-rate", {"volume_solids": "42", "dry_film": "35 µm"}, "A litre covers about 11 m²", "A US gallon covers about 460 ft²"),
        ("film-thickness", {"volume_solids": "35", "wet": "8 mil"}, "200 µm dries to 71 µm", "8.0 mil dries to 2.8 mil"),
        ("wood-weight", {"wood": "European oak", "length": "1 m", "width": "0.5 m", "thickness": "20 mm"}, "7.0 kg", "15 lb"),
        ("screw-holding", {"wood": "European oak", "thread": "20 mm"}, "3\u202f500 N", "800 lbf"),
        ("rock", {"legs": "702 mm; 699.5 mm; 701 mm; 700 mm"}, "pack 3.5 mm under front right", "pack 9/64 in under front right"),
        ("which-three", FEET, "moves 22 mm", "moves 7/8 in"),
        ("rolling-pull", {"pair": "wood on wood", "radius": "30 mm", "load": "60 kg"}, "30 N keeps it rolling, as 3.0 kg would hang", "6.7 lbf keeps it rolling;"),
        ("wheel-load", {"empty": "30 kg", "load": "20 kg"}, "good for 17 kg", "good for 37 lb"),
        ("head-space", {"liquid": "ethanol", "celsius": "20 °C"}, "At 20 °C", "At 68.0 °F"),
        ("areas", {"width": "1 m", "height": "1 m", "depth": "0.5 m"}, "3.5 m²", "38 ft²"),
    ],
)  # fmt: skip
def test_a_sentence_speaks_as_the_shop_does(name: str, typed: dict[str, str], metric: str, imperial: str) -> None:
    """The same question with units written out: the figures are converted by hand."""
    assert metric in ask(working(name), typed, None, METRIC).says
    assert imperial in ask(working(name), typed, None, IMPERIAL).says


def test_small_lengths_are_told_finely() -> None:
    """Sixty-fourths for a gap, decimals for what is tiny or finely measured, sixteenths for a board; one minus sign everywhere."""
    assert figure(Got("gap", "Gap", -5.45, "mm", -6.4, -4.5), IMPERIAL) == "\u22127/32 in (\u22121/4 to \u221211/64)"
    assert figure(Got("d", "Diameter", 44.06, "mm", digits=4), IMPERIAL) == "1.735 in"
    assert figure(Got("film", "Lift", 0.714, "mm"), IMPERIAL) == "0.0281 in"
    assert figure(Got("board", "Board", 1219.2, "mm"), IMPERIAL) == "48 in"
    assert figure(Got("load", "Load", 100.0, "N", 50.0, 150.0), IMPERIAL) == "22 lbf (11 to 34)"


def test_the_working_says_that_it_stays_metric() -> None:
    """Who works in inches is told in which units the steps are."""
    sum_ = working("dew-point")
    answer = ask(sum_, {"celsius": "68 °F", "humidity": "65 %"}, None, IMPERIAL)
    assert "Working, in mm, kg and °C" in lines(sum_, answer, IMPERIAL)
    assert "Working" in lines(sum_, answer, METRIC)
