"""The air of the shop: vapour pressure, dew point, and whether a surface may be coated.

Every sum takes plain numbers or numpy arrays of equal shape, and gives back the same kind. Relative humidity is in percent.
The air hour by hour is in `air_series`, its forecast in `air_forecast`, and both are named here too; the two thermometers of a hygrometer are in
`hygrometer`, the water that wood takes up from air in `wood`.
"""

from __future__ import annotations

from typing import Literal, TypeVar, cast, overload

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tallboy.errors import BadInput
from tallboy.sums.air_forecast import covering, forecast
from tallboy.sums.air_series import AirSeries, hourly, steady
from tallboy.sums.ranges import ranged, same_kind

__all__ = [
    "COATING_RULES",
    "AirSeries",
    "absolute_humidity",
    "covering",
    "dew_point",
    "forecast",
    "hourly",
    "may_coat",
    "saturation_pressure",
    "steady",
    "surface_margin",
    "vapour_pressure",
    "vapour_pressure_deficit",
]

Array = NDArray[np.float64]
Number = TypeVar("Number", float, NDArray[np.float64])
Rule = Literal["3 degC", "5 degF"]

KELVIN = 273.15
TRIPLE_POINT = 0.01
WATER_VAPOUR_GAS_CONSTANT = 461.52
COATING_RULES: dict[Rule, float] = {"3 degC": 3.0, "5 degF": 25 / 9}
"""How far above the dew point a surface must be [°C]: 3 °C (specifications in SI) or 5 °F (US specifications)."""

_ICE = (-5674.5359, 6.3925247, -9.6778430e-3, 6.2215701e-7, 2.0747825e-9, -9.4840240e-13, 4.1635019)
_WATER = (-5800.2206, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673)


def saturation_pressure(celsius: Number) -> Number:
    """Pressure of water vapour that saturates the air: over ice up to 0.01 °C, over liquid water above.

    Formula: ln p = C1/T + C2 + C3 T + C4 T² + C5 T³ + C6 T⁴ + C7 ln T, T in kelvin

    Parameters
    ----------
    celsius : [°C] temperature, -100 to 200

    Returns
    -------
    [Pa] saturation pressure

    Raises
    ------
    OutOfRange outside -100 to 200 °C.

    Validity
    --------
    The pressure is that of pure water vapour; the small effect of the air's own pressure (under 0.5 %) is left out.

    Source
    ------
    Hyland and Wexler 1983, as in ASHRAE Handbook: Fundamentals, ch. 1, eq. 5 (ice) and 6 (water).
    """
    t = ranged("Temperature", celsius, -100, 200, "°C")
    return cast(Number, same_kind(np.exp(_log_pressure(t)), celsius))


def vapour_pressure(celsius: Number, relative_humidity: Number) -> Number:
    """Pressure of the water vapour that the air holds.

    Formula: p = RH / 100 * saturation pressure

    Parameters
    ----------
    celsius : [°C] air temperature, -100 to 200
    relative_humidity : [%] 0 to 100

    Returns
    -------
    [Pa] vapour pressure

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition
    """
    h = ranged("Relative humidity", relative_humidity, 0, 100, "%")
    return cast(Number, same_kind(h / 100 * saturation_pressure(_array(celsius)), celsius, relative_humidity))


def vapour_pressure_deficit(celsius: Number, relative_humidity: Number) -> Number:
    """How much more vapour pressure the air could take up; what pulls water out of a waterborne coat.

    Formula: (1 - RH / 100) * saturation pressure

    Parameters
    ----------
    celsius : [°C] air temperature, -100 to 200
    relative_humidity : [%] 0 to 100

    Returns
    -------
    [Pa] deficit, 0 at saturation

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition
    """
    h = ranged("Relative humidity", relative_humidity, 0, 100, "%")
    return cast(Number, same_kind((1 - h / 100) * saturation_pressure(_array(celsius)), celsius, relative_humidity))


def absolute_humidity(celsius: Number, relative_humidity: Number) -> Number:
    """Mass of water vapour in a cubic metre of air.

    Formula: 1000 * p / (461.52 * T), T in kelvin

    Parameters
    ----------
    celsius : [°C] air temperature, -100 to 200
    relative_humidity : [%] 0 to 100

    Returns
    -------
    [g/m³] water vapour

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Ideal gas; gas constant of water vapour 8.314462618 / 0.01801528 J/(kg K).
    """
    t = _array(celsius)
    pressure = vapour_pressure(t, _array(relative_humidity))
    return cast(
        Number, same_kind(1000 * pressure / (WATER_VAPOUR_GAS_CONSTANT * (t + KELVIN)), celsius, relative_humidity)
    )


def dew_point(celsius: Number, relative_humidity: Number) -> Number:
    """Temperature at which this air begins to wet a surface; below 0 °C the frost point.

    Formula: the temperature whose saturation pressure is the air's vapour pressure, by Newton's steps

    Parameters
    ----------
    celsius : [°C] air temperature, -40 to 100
    relative_humidity : [%] 0.1 to 100

    Returns
    -------
    [°C] dew point, never above the air temperature

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Below 0 °C humidity is over ice. Weather services tell it over water: their 80 % at -10 °C is 88 % here.

    Source
    ------
    Inversion of `saturation_pressure` (ASHRAE Handbook: Fundamentals, ch. 1, eq. 5 and 6).
    """
    t = ranged("Temperature", celsius, -40, 100, "°C")
    h = ranged("Relative humidity", relative_humidity, 0.1, 100, "%")
    wanted = np.log(h / 100) + _log_pressure(t)
    found = _first_guess(wanted)
    for _ in range(8):
        step = (_log_pressure(found) - wanted) / _log_pressure_slope(found)
        found = found - step
    return cast(Number, same_kind(np.minimum(found, t), celsius, relative_humidity))


def surface_margin(surface_celsius: Number, celsius: Number, relative_humidity: Number) -> Number:
    """How far a surface is above the dew point of the air around it.

    Formula: surface temperature - dew point

    Parameters
    ----------
    surface_celsius : [°C] temperature of the surface, -40 to 100
    celsius : [°C] air temperature, -40 to 100
    relative_humidity : [%] 0.1 to 100

    Returns
    -------
    [°C] margin; negative when dew is forming

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition
    """
    surface = ranged("Surface temperature", surface_celsius, -40, 100, "°C")
    dew = dew_point(_array(celsius), _array(relative_humidity))
    return cast(Number, same_kind(surface - dew, surface_celsius, celsius, relative_humidity))


@overload
def may_coat(surface_celsius: float, celsius: float, relative_humidity: float, rule: Rule = ...) -> bool: ...
@overload
def may_coat(
    surface_celsius: Array, celsius: Array, relative_humidity: Array, rule: Rule = ...
) -> NDArray[np.bool_]: ...
def may_coat(
    surface_celsius: float | Array, celsius: float | Array, relative_humidity: float | Array, rule: Rule = "3 degC"
) -> bool | NDArray[np.bool_]:
    """Whether a surface is far enough above the dew point to be coated.

    Formula: surface margin >= 3 °C, or >= 5 °F (2.78 °C), by the rule that is named

    Parameters
    ----------
    surface_celsius : [°C] temperature of the surface, -40 to 100
    celsius : [°C] air temperature, -40 to 100
    relative_humidity : [%] 0.1 to 100
    rule : [text] "3 degC" or "5 degF"

    Returns
    -------
    [1] true when it may

    Raises
    ------
    OutOfRange outside the ranges; BadInput for another rule.

    Validity
    --------
    It tells of dew only. The product's own limits of temperature and humidity come first.

    Source
    ------
    3 °C: attributed to ISO 8502-4 by trade pages, the standard not read. 5 °F: UFC 3-190-06, 9.6.6, read.
    """
    if rule not in COATING_RULES:
        raise BadInput(f"There is no rule “{rule}” for coating.", f"It must be one of: {', '.join(COATING_RULES)}.")
    margin = surface_margin(_array(surface_celsius), _array(celsius), _array(relative_humidity))
    enough = np.asarray(margin >= COATING_RULES[rule] - 1e-9, dtype=np.bool_)
    return bool(enough) if enough.ndim == 0 else enough


def _log_pressure(t: Array) -> Array:
    """ln of the saturation pressure [Pa]; only the branches that are needed are worked out."""
    if bool(np.all(t > TRIPLE_POINT)):
        return _log_branch(t + KELVIN, _WATER)
    if bool(np.all(t <= TRIPLE_POINT)):
        return _log_branch(t + KELVIN, _ICE)
    return np.where(t <= TRIPLE_POINT, _log_branch(t + KELVIN, _ICE), _log_branch(t + KELVIN, _WATER))


def _log_branch(k: Array, c: tuple[float, ...]) -> Array:
    poly = c[1] + k * (c[2] + k * (c[3] + k * (c[4] + k * c[5])))
    return c[0] / k + poly + c[6] * np.log(k)


def _log_pressure_slope(t: Array) -> Array:
    k = t + KELVIN
    return np.where(t <= TRIPLE_POINT, _slope_branch(k, _ICE), _slope_branch(k, _WATER))


def _slope_branch(k: Array, c: tuple[float, ...]) -> Array:
    return -c[0] / k**2 + c[2] + k * (2 * c[3] + k * (3 * c[4] + k * 4 * c[5])) + c[6] / k


def _first_guess(log_pressure: Array) -> Array:
    """The Magnus form turned round; close enough that Newton's steps settle at once."""
    x = log_pressure - np.log(610.94)
    return cast(Array, 243.04 * x / (17.625 - x))


def _array(value: ArrayLike) -> Array:
    return np.asarray(value, dtype=np.float64)
