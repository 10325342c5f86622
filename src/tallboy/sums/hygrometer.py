"""The dry and the wet thermometer of a whirling hygrometer, and the share of water in air by mass that ties them together."""

from __future__ import annotations

from scipy.optimize import brentq

from tallboy.sums.air import saturation_pressure, vapour_pressure
from tallboy.sums.ranges import within

STANDARD_PRESSURE = 101_325.0
"""[Pa] of air at sea level."""
LOWEST_PRESSURE, HIGHEST_PRESSURE = 60_000.0, 110_000.0
"""[Pa] of air about 4000 m up, and in the deepest high below sea level."""
MOLAR_RATIO = 0.621945
"""Molar mass of water over that of dry air."""


def humidity_ratio(celsius: float, relative_humidity: float, pressure: float = STANDARD_PRESSURE) -> float:
    """Mass of water vapour that goes with each kilogram of dry air.

    Formula: W = 1000 * 0.621945 p / (P - p), p the vapour pressure, P the air's

    Parameters
    ----------
    celsius : [°C] air temperature, -40 to 60
    relative_humidity : [%] 0 to 100
    pressure : [Pa] of the air, 60 000 to 110 000

    Returns
    -------
    [g/kg] water for each kilogram of dry air

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    ASHRAE Handbook: Fundamentals, ch. 1, eq. 20.
    """
    within("Temperature", celsius, -40, 60, "°C")
    within("Air pressure", pressure, LOWEST_PRESSURE, HIGHEST_PRESSURE, "Pa")
    vapour = vapour_pressure(celsius, relative_humidity)
    return 1000 * MOLAR_RATIO * vapour / (pressure - vapour)


def humidity_from_wet_bulb(celsius: float, wet_bulb_celsius: float, pressure: float = STANDARD_PRESSURE) -> float:
    """Relative humidity from a dry and a wet thermometer.

    Formula: W = ((2501 - 2.326 tw) Ws - 1.006 (t - tw)) / (2501 + 1.86 t - 4.186 tw); RH = 100 W P / ((0.621945 + W) ps(t))

    Parameters
    ----------
    celsius : [°C] dry thermometer, 0 to 60
    wet_bulb_celsius : [°C] wet thermometer, 0 to the dry one
    pressure : [Pa] of the air, 60 000 to 110 000

    Returns
    -------
    [%] relative humidity, 0 to 100

    Raises
    ------
    OutOfRange outside the ranges, or when the two readings cannot be from the same air.

    Validity
    --------
    Moving air, a wick that is wet and not frozen.

    Source
    ------
    ASHRAE Handbook: Fundamentals, ch. 1, eq. 22 and 35.
    """
    within("Temperature", celsius, 0, 60, "°C")
    within("Wet bulb", wet_bulb_celsius, 0, celsius, "°C")
    within("Air pressure", pressure, LOWEST_PRESSURE, HIGHEST_PRESSURE, "Pa")
    humidity = _humidity(celsius, wet_bulb_celsius, pressure)
    within("Relative humidity from the wet bulb", humidity, 0, 100 + 1e-9, "%")
    return min(humidity, 100.0)


def wet_bulb(celsius: float, relative_humidity: float, pressure: float = STANDARD_PRESSURE) -> float:
    """What the wet thermometer of a hygrometer shows in this air: `humidity_from_wet_bulb` turned round.

    Formula: the wet bulb at which that formula gives this humidity, by bracketing

    Parameters
    ----------
    celsius : [°C] air temperature, 0 to 60
    relative_humidity : [%] 0 to 100, and not so dry that the wet thermometer would be under 0 °C
    pressure : [Pa] of the air, 60 000 to 110 000

    Returns
    -------
    [°C] wet bulb, 0 to the air temperature

    Raises
    ------
    OutOfRange outside the ranges, or when the wick would freeze.

    Validity
    --------
    As `humidity_from_wet_bulb`.

    Source
    ------
    Inversion of eq. 35, ch. 1, of the ASHRAE Handbook: Fundamentals.
    """
    within("Temperature", celsius, 0, 60, "°C")
    within("Air pressure", pressure, LOWEST_PRESSURE, HIGHEST_PRESSURE, "Pa")
    driest = min(max(0.0, _humidity(celsius, 0.0, pressure)), 100.0)
    within("Relative humidity", relative_humidity, driest, 100, "%")
    if relative_humidity == 100:
        return float(celsius)
    return float(brentq(lambda wet: _humidity(celsius, wet, pressure) - relative_humidity, 0.0, celsius, xtol=1e-9))


def _humidity(celsius: float, wet: float, pressure: float) -> float:
    """Eq. 35 and 22, with no look at the ranges; below nothing when the readings cannot be of the same air."""
    at_wet = saturation_pressure(wet)
    saturated = MOLAR_RATIO * at_wet / (pressure - at_wet)
    ratio = ((2501 - 2.326 * wet) * saturated - 1.006 * (celsius - wet)) / (2501 + 1.86 * celsius - 4.186 * wet)
    return 100 * ratio * pressure / ((MOLAR_RATIO + ratio) * saturation_pressure(celsius))
