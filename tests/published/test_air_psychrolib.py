"""Air against a reference library over its whole range; single published values lie in tallboy/checks/air.toml.

psychrolib 2.5.0 writes out the equations of the ASHRAE Handbook: Fundamentals, chapter 1, in SI. It works dew points and wet bulbs
out to 0.001 °C; the tolerances here are that and what it makes of the answer.
"""

from __future__ import annotations

import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.checks.load import all_checks
from tallboy.sums import air, hygrometer


@pytest.fixture(autouse=True)
def _si_units() -> None:
    """psychrolib keeps its system of units in a global."""
    psychrolib.SetUnitSystem(psychrolib.SI)


@given(st.floats(-95, 190))
def test_saturation_pressure_is_that_of_psychrolib(celsius: float) -> None:
    """The same published equations, written twice by different people."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    assert air.saturation_pressure(celsius) == pytest.approx(psychrolib.GetSatVapPres(celsius), rel=1e-9)


@given(st.floats(-10, 60), st.floats(1, 100))
def test_dew_point_is_that_of_psychrolib(celsius: float, humidity: float) -> None:
    """Within the thousandth of a degree to which psychrolib works it out."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    expected = psychrolib.GetTDewPointFromRelHum(celsius, humidity / 100)
    assert air.dew_point(celsius, humidity) == pytest.approx(expected, abs=0.003)


@given(st.floats(2, 45), st.floats(5, 99), st.floats(70_000, 105_000))
def test_the_wet_thermometer_is_that_of_psychrolib(celsius: float, humidity: float, pressure: float) -> None:
    """There: the wet bulb of this air. Back: psychrolib's wet bulb gives the air again."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    wet = psychrolib.GetTWetBulbFromRelHum(celsius, humidity / 100, pressure)
    if wet > 0.1:
        assert hygrometer.wet_bulb(celsius, humidity, pressure) == pytest.approx(wet, abs=0.003)
        assert hygrometer.humidity_from_wet_bulb(celsius, wet, pressure) == pytest.approx(humidity, abs=0.1)


@given(st.floats(-20, 50), st.floats(1, 100), st.floats(70_000, 105_000))
def test_the_humidity_ratio_is_that_of_psychrolib(celsius: float, humidity: float, pressure: float) -> None:
    """The same equation; psychrolib rounds the molar ratio to six digits too."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    expected = 1000 * psychrolib.GetHumRatioFromRelHum(celsius, humidity / 100, pressure)
    assert hygrometer.humidity_ratio(celsius, humidity, pressure) == pytest.approx(expected, rel=1e-6)


def test_the_table_of_moisture_was_copied_whole() -> None:
    """Table 4-2 of the Wood Handbook has 8 rows of 15 here; each rises with humidity and falls with temperature."""
    cells = [c for c in all_checks() if c.of == "wood.equilibrium_moisture" and "Table 4-2" in c.note]
    rows = np.array([c.expected for c in cells], dtype=float).reshape(8, 15)
    assert (np.diff(rows, axis=1) > 0).all()
    assert (np.diff(rows, axis=0) <= 0).all()
    assert rows.sum() == pytest.approx(1303.3, abs=0.05)
