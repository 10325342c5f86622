"""What is asked about air: the words and figures of each sum."""

from __future__ import annotations

import pytest
from tests.workings.answers import answered, value

from tallboy.errors import OutOfRange


def test_dew_point() -> None:
    """20 °C and 65 %: 13.2 °C (psychrolib), with what the instruments do to it; the plot marks it."""
    answer = answered("dew-point", celsius="68 °F", humidity="65 %")
    assert value(answer, "dew") == pytest.approx(13.23, abs=0.02)
    assert "13.2 °C (give or take 0.8 °C)" in answer.says
    assert answer.plots[0].marks[0].x == 65
    sure = answered("dew-point", celsius="20", humidity="65", celsius_spread="0", humidity_spread="0")
    assert sure.results[0].low == sure.results[0].high == sure.results[0].value


def test_below_freezing_it_is_frost() -> None:
    """And the margin is never below nothing."""
    answer = answered("dew-point", celsius="2 °C", humidity="60")
    assert answer.results[0].label == "Frost point"
    damp = answered("dew-point", celsius="20", humidity="99")
    assert damp.results[1].low == 0


@pytest.mark.parametrize(
    ("surface", "rule", "may", "words"),
    [
        ("13", "3 degC", False, "Lay no coat: the surface is only 2.2 °C above"),
        ("13.6", "5 degF", True, "As far as dew goes a coat may go on"),
        ("13.6", "3 degC", False, "must be 3.0 °C above it. It is close"),
        ("18", "3 degC", True, "7.2 °C above the dew point, and 3.0 °C will do."),
        ("9", "3 degC", False, "dew is forming"),
    ],
)
def test_may_a_coat_go_on(surface: str, rule: str, may: bool, words: str) -> None:
    """The published case of 16 °C and 71 %, by both rules and other surfaces."""
    answer = answered("may-coat", surface=surface, celsius="16", humidity="71", rule=rule)
    assert value(answer, "may") is may
    assert words in answer.says


def test_the_highest_humidity_that_lets_it() -> None:
    """At that humidity the coat may just go on, a little above it no more; a warm surface may in any air."""
    most = float(value(answered("may-coat", surface="20", celsius="20", humidity="50"), "most"))
    assert most == pytest.approx(83, abs=0.5)
    for humidity, may in ((most - 0.1, True), (most + 0.1, False)):
        assert value(answered("may-coat", surface="20", celsius="20", humidity=f"{humidity:.3f}"), "may") is may
    assert value(answered("may-coat", surface="30", celsius="20", humidity="50"), "most") == 100
    with pytest.raises(OutOfRange):
        answered("may-coat", surface="95", celsius="20", humidity="50")


def test_the_same_air_warmed() -> None:
    """Cold damp air is dry when it is warmed, and full when it is cooled below its dew point."""
    answer = answered("water-in-air", celsius="8", humidity="85", other_celsius="20")
    assert value(answer, "there") == pytest.approx(39, abs=0.1)
    assert value(answer, "grams") == pytest.approx(7.03, abs=0.02)
    cold = answered("water-in-air", celsius="20", humidity="60", other_celsius="5")
    assert value(cold, "there") == 100
    assert "full" in cold.says


def test_two_thermometers() -> None:
    """21 and 17 °C: 67.4 % (psychrolib), dew point 14.7; thinner air reads damper."""
    answer = answered("hygrometer", dry="21 °C", wet="17 °C")
    assert value(answer, "humidity") == pytest.approx(67.37, abs=0.02)
    assert "14.7" in answer.says
    high = answered("hygrometer", dry="21", wet="17", pressure="85000")
    assert float(value(high, "humidity")) > float(value(answer, "humidity"))
    with pytest.raises(OutOfRange, match="Wet bulb"):
        answered("hygrometer", dry="17", wet="21")


def test_what_a_wet_thermometer_would_show() -> None:
    """13.8 °C in air of 20 °C and 50 % (psychrolib)."""
    assert value(answered("wet-bulb", celsius="20", humidity="50"), "wet") == pytest.approx(13.78, abs=0.01)
