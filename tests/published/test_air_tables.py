"""Air and the moisture of wood against published tables and a reference library.

Moisture content: Wood Handbook (USDA Forest Products Laboratory, FPL-GTR-190, 2010), table 4-2, rows read in a public page copy by
their °F labels. Tolerance 0.07: the table is rounded to 0.1 and 228 entries were found within 0.055 of eq. 4-5. The unrounded values
were computed apart from this project with the coefficients for °C as transcribed from FPL-GTR-282, p. 4-3; tolerance 0.005. The
table alone would not notice some single wrong coefficients near room temperature; the unrounded values do.

Dew points, deficits, saturation pressures: computed with psychrolib 2.5.0 (ASHRAE form); dew points agree with MetPy 1.7.1 within 0.05.
"""

from __future__ import annotations

import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.sums import air, hygrometer, wood

HUMIDITIES = (5, 10, 20, 30, 35, 40, 50, 60, 65, 70, 75, 80, 85, 90, 95)
MOISTURE = {
    30: (1.4, 2.6, 4.6, 6.3, 7.1, 7.9, 9.5, 11.3, 12.4, 13.5, 14.9, 16.5, 18.5, 21.0, 24.3),
    50: (1.4, 2.6, 4.6, 6.3, 7.1, 7.9, 9.5, 11.2, 12.3, 13.4, 14.8, 16.4, 18.4, 20.9, 24.3),
    60: (1.3, 2.5, 4.6, 6.2, 7.0, 7.8, 9.4, 11.1, 12.1, 13.3, 14.6, 16.2, 18.2, 20.7, 24.1),
    70: (1.3, 2.5, 4.5, 6.2, 6.9, 7.7, 9.2, 11.0, 12.0, 13.1, 14.4, 16.0, 17.9, 20.5, 23.9),
    80: (1.3, 2.4, 4.4, 6.1, 6.8, 7.6, 9.1, 10.8, 11.7, 12.9, 14.2, 15.7, 17.7, 20.2, 23.6),
    90: (1.2, 2.3, 4.3, 5.9, 6.7, 7.4, 8.9, 10.5, 11.5, 12.6, 13.9, 15.4, 17.3, 19.8, 23.3),
    100: (1.2, 2.3, 4.2, 5.8, 6.5, 7.2, 8.7, 10.3, 11.2, 12.3, 13.6, 15.1, 17.0, 19.5, 22.9),
    140: (0.9, 1.9, 3.6, 5.0, 5.7, 6.3, 7.7, 9.1, 10.0, 11.0, 12.1, 13.6, 15.3, 17.7, 21.0),
}
UNROUNDED = [
    (20, 50, 9.271), (20, 65, 11.996), (21.1, 50, 9.243), (23, 50, 9.190), (25, 40, 7.608),
    (10, 80, 16.382), (0, 50, 9.519), (30, 75, 13.994),
]  # fmt: skip
DEW = [
    (5, 80, 1.84, 174), (10, 50, 0.06, 614), (10, 85, 7.60, 184), (15, 60, 7.31, 682), (16, 71, 10.75, 527), (18, 40, 4.21, 1239),
    (20, 50, 9.27, 1169), (20, 65, 13.23, 819), (20, 85, 17.40, 351), (23, 50, 12.03, 1405), (25, 60, 16.70, 1268),
    (25, 85, 22.30, 475), (30, 40, 14.94, 2548), (30, 75, 25.08, 1061), (35, 50, 23.02, 2814),
]  # fmt: skip
SATURATION = [
    (0, 611.2), (5, 872.5), (10, 1228.0), (15, 1705.4), (20, 2338.8), (23, 2810.4), (25, 3169.2), (30, 4246.0), (35, 5627.8)
]  # fmt: skip


@pytest.fixture(autouse=True)
def _si_units() -> None:
    """psychrolib keeps its system of units in a global."""
    psychrolib.SetUnitSystem(psychrolib.SI)


@pytest.mark.parametrize("fahrenheit", MOISTURE)
def test_moisture_content_matches_the_table(fahrenheit: int) -> None:
    """Every entry of the row within 0.07."""
    celsius = np.full(len(HUMIDITIES), (fahrenheit - 32) * 5 / 9)
    found = wood.equilibrium_moisture(celsius, np.array(HUMIDITIES, dtype=float))
    assert np.abs(found - MOISTURE[fahrenheit]).max() <= 0.07


def test_the_table_was_copied_whole() -> None:
    """Each row rises with humidity and falls with temperature, and has fifteen entries."""
    rows = np.array(list(MOISTURE.values()))
    assert rows.shape == (8, 15)
    assert (np.diff(rows, axis=1) > 0).all()
    assert (np.diff(rows, axis=0) <= 0).all()


@pytest.mark.parametrize(("celsius", "humidity", "moisture"), UNROUNDED)
def test_moisture_content_unrounded(celsius: float, humidity: float, moisture: float) -> None:
    """Within 0.005 of the equation worked out elsewhere."""
    assert wood.equilibrium_moisture(celsius, humidity) == pytest.approx(moisture, abs=0.005)


@pytest.mark.parametrize(("celsius", "humidity", "dew", "deficit"), DEW)
def test_dew_point_and_deficit(celsius: float, humidity: float, dew: float, deficit: float) -> None:
    """Dew point within 0.1 °C, deficit within the rounding of the list."""
    assert air.dew_point(celsius, humidity) == pytest.approx(dew, abs=0.1)
    assert air.vapour_pressure_deficit(celsius, humidity) == pytest.approx(deficit, abs=0.55)


@pytest.mark.parametrize(("celsius", "pascals"), SATURATION)
def test_saturation_pressure(celsius: float, pascals: float) -> None:
    """Within the rounding of the list; 0 °C is on the ice branch."""
    assert air.saturation_pressure(float(celsius)) == pytest.approx(pascals, abs=0.06)


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


@given(st.floats(2, 45), st.floats(5, 99))
def test_humidity_from_a_wet_thermometer_is_that_of_psychrolib(celsius: float, humidity: float) -> None:
    """psychrolib gives the wet bulb of this air; read back it must give the air again."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    wet = psychrolib.GetTWetBulbFromRelHum(celsius, humidity / 100, hygrometer.STANDARD_PRESSURE)
    if wet > 0.1:
        assert hygrometer.humidity_from_wet_bulb(celsius, wet) == pytest.approx(humidity, abs=0.1)


@pytest.mark.parametrize(("celsius", "grams"), [(10, 9.4), (20, 17.3), (30, 30.4)])
def test_absolute_humidity_of_saturated_air(celsius: float, grams: float) -> None:
    """Textbook values of saturated air, from memory, to the tenth."""
    assert air.absolute_humidity(float(celsius), 100.0) == pytest.approx(grams, abs=0.06)


def test_published_case_one_may_be_coated() -> None:
    """Dry 21 °C, wet 17 °C, surface 19 °C: chart dew point 15, acceptable (paint-inspection note, read in a public copy)."""
    humidity = hygrometer.humidity_from_wet_bulb(21.0, 17.0)
    assert air.dew_point(21.0, humidity) == pytest.approx(14.7, abs=0.3)
    assert air.may_coat(19.0, 21.0, humidity)


def test_published_case_two_may_not_be_coated() -> None:
    """16 °C, 71 %, surface 13 °C: chart dew point 11, margin 2 (the same note; the verdict follows from its rule)."""
    assert air.dew_point(16.0, 71.0) == pytest.approx(11, abs=0.3)
    assert air.surface_margin(13.0, 16.0, 71.0) == pytest.approx(2.25, abs=0.1)
    assert not air.may_coat(13.0, 16.0, 71.0)
    assert not air.may_coat(13.0, 16.0, 71.0, rule="5 degF")
