"""Drying as it is asked: the words, the figures and the plot of each sum."""

from __future__ import annotations

import pytest

from tallboy.errors import BadInput, NeverDries
from tallboy.workings.asking import ask
from tallboy.workings.kinds import Answer
from tallboy.workings.known import working


def asked(name: str, **typed: str) -> Answer:
    """The example of a sum with some of it typed otherwise."""
    found = working(name)
    return ask(found, {**found.example, **typed})


def value(answer: Answer, name: str) -> object:
    return next(got.value for got in answer.results if got.name == name)


def test_in_the_label_s_air_the_can_is_right() -> None:
    """Twelve hours are twelve hours; the curve ends at all of its time."""
    answer = asked("coat-wait", celsius="23 °C", humidity="50 %")
    assert value(answer, "wait") == pytest.approx(720)
    assert value(answer, "still") == 0
    (plot,) = answer.plots
    (curve,) = plot.curves
    assert plot.marks[0].y == 100
    assert curve.y[-1] == pytest.approx(130, rel=0.01)
    assert all(low <= middle <= high for low, middle, high in zip(curve.low, curve.y, curve.high, strict=True))


def test_ten_degrees_colder_doubles_an_oil() -> None:
    """The rule of experience below 25 °C; and the cautions of its kind stand beside it."""
    answer = asked("coat-wait", celsius="13 °C", humidity="50 %")
    assert value(answer, "wait") == pytest.approx(1440)
    assert "oily-rags" in answer.cautions
    assert "after 24 h" in answer.says


def test_a_factor_multiplies_the_label() -> None:
    """And the working says so."""
    answer = asked("coat-wait", celsius="23 °C", humidity="50 %", factor="1.25")
    assert value(answer, "wait") == pytest.approx(900)
    (line,) = (line for line in answer.working if "In this shop times 1.25" in line)
    assert "as unsure as a can that nobody has touched yet) = 15 h." in line


def test_where_the_can_is_silent_its_kind_serves() -> None:
    """With the source of that kind."""
    answer = asked("coat-wait", label="", coating="shellac", celsius="23 °C", humidity="50 %")
    assert value(answer, "wait") == pytest.approx(120)
    assert answer.sources[0] == "army-tm-43-0139"


@pytest.mark.parametrize(
    "typed",
    [{"celsius": "5 °C"}, {"coating": "waterborne varnish", "humidity": "100 %"}],
)
def test_air_that_never_dries_is_refused(typed: dict[str, str]) -> None:
    """Too cold, or saturated for water."""
    with pytest.raises(NeverDries):
        asked("coat-wait", **typed)


def test_a_stage_that_the_kind_does_not_have_is_told() -> None:
    """Glue has no "touch dry"."""
    with pytest.raises(BadInput, match="gives no time"):
        asked("coat-wait", coating="hide glue", stage="touch", label="")


def test_cold_nights_stand_still() -> None:
    """Laid at half past four, the night below 10 °C does not count; the line runs level through it."""
    answer = asked("coat-nights")
    assert value(answer, "still") == pytest.approx(12.5 * 60, abs=60)
    assert value(answer, "at") == "10:35 the next day"
    assert "about 10:35 the next day, give or take: between 08:50 and 11:55" in answer.says
    curve = answer.plots[0].curves[0]
    assert any(later == earlier for earlier, later in zip(curve.y, curve.y[1:], strict=False))
    warm = asked("coat-nights", night_celsius="18 °C", night_humidity="60 %")
    assert value(warm, "still") == 0
    assert str(value(warm, "at")).endswith("the same day")


def test_a_stove_lit_through_midnight() -> None:
    """Warm from ten in the evening until six in the morning."""
    answer = asked("coat-nights", warm_from="22", warm_until="6", laid="22.5", stage="touch")
    assert value(answer, "still") == 0


def test_a_window_opens_before_it_closes() -> None:
    """Surely open between the late opening and the early closing."""
    answer = asked("recoat-window")
    opens, closes = (next(got for got in answer.results if got.name == name) for name in ("opens", "closes"))
    assert opens.high is not None
    assert closes.low is not None
    assert value(answer, "sure") == pytest.approx(closes.low - opens.high)
    assert "then the window is surely open" in answer.says


def test_a_window_that_may_close_before_it_opens() -> None:
    """Six hours to seven: no moment is sure."""
    answer = asked("recoat-window", until="7 h", celsius="12 °C", minimum="5 °C")
    assert value(answer, "sure") == 0
    assert "no time at which the window is surely open" in answer.says


def test_touches_teach_a_factor() -> None:
    """Bounds on both sides of 1.2; without a touch the label stands."""
    answer = asked("can-factor")
    assert 1.0 < float(str(value(answer, "factor"))) < 1.4
    assert value(answer, "touches") == 5
    assert "Coat 1: not yet at 0.90, dry enough at 1.30 of the label's time." in answer.working
    assert value(asked("can-factor", coats="0 = 0"), "factor") == pytest.approx(1)
    with pytest.raises(BadInput, match="must come first"):
        asked("can-factor", coats="1.5 = 1.2")
