"""Heated air: warmer, with the same water in it; checked against an independent library."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums.air import steady, vapour_pressure
from tallboy.sums.air_heated import heated
from tallboy.sums.air_series import hourly

START = datetime(2031, 1, 6, 7, tzinfo=UTC)
SEA_LEVEL = 101325.0


@pytest.mark.parametrize(("cold", "humidity", "warm"), [(5.0, 80.0, 20.0), (10.0, 70.0, 22.0), (2.0, 95.0, 18.0)])
def test_humidity_falls_as_the_library_says(cold: float, humidity: float, warm: float) -> None:
    """Relative humidity at the same humidity ratio and air pressure, by psychrolib 2.5.0 (ASHRAE Handbook: Fundamentals, ch. 1)."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    ratio = psychrolib.GetHumRatioFromRelHum(cold, humidity / 100, SEA_LEVEL)
    expected = 100 * psychrolib.GetRelHumFromHumRatio(warm, ratio, SEA_LEVEL)
    made = heated(steady(cold, humidity, START, 3), warm, START)
    assert made.celsius == pytest.approx([warm] * 3)
    assert made.relative_humidity == pytest.approx([expected] * 3, abs=0.01)


def test_hours_before_stay_and_warmer_hours_are_not_cooled() -> None:
    """From nine on, the cold hours are heated; the eighth hour and the warm noon stay, and only forecast hours are told apart."""
    air = hourly([(START + timedelta(hours=k), t, 60.0) for k, t in enumerate((10.0, 10.0, 10.0, 24.0, 12.0))])
    made = heated(air, 20, START + timedelta(hours=1, minutes=10))
    assert made.celsius.tolist() == [10, 10, 20, 24, 20]
    assert made.relative_humidity[[0, 1, 3]].tolist() == [60, 60, 60]
    assert made.measured.tolist() == [True, True, False, True, False]
    assert made.start == air.start


def test_from_the_full_hour_on() -> None:
    """The hour that begins at that very moment is heated, also when the heating began before the air was known."""
    air = steady(10, 60, START, 3)
    assert heated(air, 20, START + timedelta(hours=1)).celsius.tolist() == [10, 20, 20]
    assert heated(air, 20, START - timedelta(days=2)).celsius.tolist() == [20, 20, 20]


@given(st.floats(-20, 35), st.floats(1, 100), st.floats(-20, 40))
def test_the_water_in_the_air_stays(cold: float, humidity: float, warm: float) -> None:
    """Vapour pressure is the same before and after, and never is air made damper or colder."""
    air = steady(cold, humidity, START, 2)
    made = heated(air, warm, START)
    assert np.all(made.celsius >= air.celsius)
    assert np.all(made.relative_humidity <= air.relative_humidity)
    if np.all(made.relative_humidity > 0.1):
        before = vapour_pressure(air.celsius, air.relative_humidity)
        assert vapour_pressure(made.celsius, made.relative_humidity) == pytest.approx(before)


def test_impossible_heat_and_times_without_zone_are_refused() -> None:
    """A shop at 80 °C, and a moment that says no zone."""
    with pytest.raises(OutOfRange, match="heated shop"):
        heated(steady(10, 60, START, 2), 80, START)
    with pytest.raises(BadInput, match="time zone"):
        heated(steady(10, 60, START, 2), 20, START.replace(tzinfo=None))
