"""The sums about air: shapes, limits and the two coating rules; their values are checked in tests/published."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums import air


def test_plain_numbers_give_plain_numbers_and_arrays_arrays() -> None:
    """So that a caller never meets an array of no dimension."""
    one = air.dew_point(20.0, 50.0)
    many = air.dew_point(np.array([20.0, -5.0, 30.0]), np.array([50.0, 80.0, 75.0]))
    assert type(one) is float
    assert many.shape == (3,)
    assert many[0] == pytest.approx(one)
    assert type(air.may_coat(19.0, 20.0, 50.0)) is bool
    assert air.may_coat(many + 3, np.array([20.0, -5.0, 30.0]), np.array([50.0, 80.0, 75.0])).all()


@pytest.mark.parametrize(("rule", "margin"), [("3 degC", 3.0), ("5 degF", 25 / 9)])
def test_each_coating_rule_holds_from_its_own_margin_on(rule: air.Rule, margin: float) -> None:
    """5 °F is 2.78 °C, not 3: the two are told apart at the boundary."""
    dew = air.dew_point(20.0, 60.0)
    assert air.may_coat(dew + margin, 20.0, 60.0, rule)
    assert not air.may_coat(dew + margin - 0.01, 20.0, 60.0, rule)


def test_another_coating_rule_is_refused() -> None:
    """Words that are no rule, such as a percentage."""
    with pytest.raises(BadInput, match="3 degC, 5 degF"):
        air.may_coat(20.0, 20.0, 60.0, "85 %")  # type: ignore[call-overload]  # the wrong word is the point


def test_a_surface_at_air_temperature_fails_at_high_humidity() -> None:
    """At 20 °C the 3 °C rule stops coating at about 83 % (computed with psychrolib)."""
    assert air.may_coat(20.0, 20.0, 82.0)
    assert not air.may_coat(20.0, 20.0, 84.0)


@given(st.floats(-40, 100), st.floats(0.1, 100))
def test_the_dew_point_saturates_the_air(celsius: float, humidity: float) -> None:
    """At the dew point the vapour pressure is the saturation pressure, and it is never above the air."""
    dew = air.dew_point(celsius, humidity)
    assert dew <= celsius
    assert air.saturation_pressure(dew) == pytest.approx(air.vapour_pressure(celsius, humidity), rel=3e-4)


@given(st.floats(-40, 100), st.floats(0, 100))
def test_vapour_and_deficit_make_up_saturation(celsius: float, humidity: float) -> None:
    """What is there and what is wanting."""
    both = air.vapour_pressure(celsius, humidity) + air.vapour_pressure_deficit(celsius, humidity)
    assert both == pytest.approx(air.saturation_pressure(celsius))


@pytest.mark.parametrize(
    ("celsius", "humidity"), [(20.0, 101.0), (20.0, -1.0), (20.0, float("nan")), (float("nan"), 50.0), (500.0, 50.0)]
)
def test_impossible_air_is_refused(celsius: float, humidity: float) -> None:
    """A missing number is not let through either, alone or in an array."""
    for function in (
        air.dew_point,
        air.vapour_pressure,
        air.vapour_pressure_deficit,
        air.absolute_humidity,
    ):
        with pytest.raises(OutOfRange, match="It must lie between"):
            function(celsius, humidity)
        with pytest.raises(OutOfRange):
            function(np.array([20.0, celsius]), np.array([50.0, humidity]))
