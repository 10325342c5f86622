"""The dry and the wet thermometer: there and back, limits and what cannot be; values are in the checks."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tallboy.errors import OutOfRange
from tallboy.sums import hygrometer
from tallboy.sums.air import dew_point


@given(st.floats(0, 60), st.floats(0, 60), st.floats(60_000, 110_000))
def test_there_and_back(celsius: float, wet: float, pressure: float) -> None:
    """The humidity from two thermometers puts the wet one back where it was."""
    assume(wet <= celsius)
    try:
        humidity = hygrometer.humidity_from_wet_bulb(celsius, wet, pressure)
    except OutOfRange:
        assume(False)
    assert hygrometer.wet_bulb(celsius, humidity, pressure) == pytest.approx(wet, abs=1e-6)


@given(st.floats(5, 60), st.floats(34, 99))
def test_the_wet_thermometer_lies_between_dew_and_air(celsius: float, humidity: float) -> None:
    """Above the dew point, below the dry thermometer, and higher in damper air."""
    wet = hygrometer.wet_bulb(celsius, humidity)
    assert dew_point(celsius, humidity) < wet < celsius
    assert hygrometer.wet_bulb(celsius, humidity + 0.5) > wet


@given(st.floats(0, 60))
def test_full_air_makes_them_one(celsius: float) -> None:
    """At 100 % nothing evaporates."""
    assert hygrometer.wet_bulb(celsius, 100) == celsius


def test_a_wet_thermometer_above_the_dry_one_is_refused() -> None:
    """Nor can the wet one be so cold that the air would hold less than nothing, nor freeze."""
    for dry, wet in ((20.0, 21.0), (40.0, 2.0)):
        with pytest.raises(OutOfRange):
            hygrometer.humidity_from_wet_bulb(dry, wet)
    with pytest.raises(OutOfRange, match="Relative humidity"):
        hygrometer.wet_bulb(5, 20)
    assert hygrometer.humidity_from_wet_bulb(20.0, 20.0) == pytest.approx(100)


@given(st.floats(-20, 50), st.floats(0, 99))
def test_the_humidity_ratio_rises_with_humidity_and_height(celsius: float, humidity: float) -> None:
    """Thinner air holds as much vapour with less dry air beside it."""
    ratio = hygrometer.humidity_ratio(celsius, humidity)
    assert hygrometer.humidity_ratio(celsius, humidity + 1) > ratio
    assert hygrometer.humidity_ratio(celsius, humidity, 80_000) >= ratio
