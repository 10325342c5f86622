"""The air of a shop that is heated: warmer, with the water it had, and so drier."""

from __future__ import annotations

from datetime import datetime

import numpy as np

from tallboy.sums.air import saturation_pressure
from tallboy.sums.air_series import AirSeries, full_hour, hours_between
from tallboy.sums.ranges import within

LEAST_HUMIDITY = 0.1
"""[%] Under this the dew point is not reckoned with any more."""


def heated(series: AirSeries, celsius: float, since: datetime) -> AirSeries:
    """The air as it is when the shop is kept at a temperature or above it from a moment on; nothing is ever cooled.

    The water vapour in the air stays: no humidifier, no drier, the same air coming in. Moisture that wet wood or a flame without
    a flue gives off is not in it.

    Formula: T' = max(T, celsius); RH' = RH * ps(T) / ps(T'), ps the saturation pressure

    Parameters
    ----------
    series : [°C, %] air hour by hour
    celsius : [°C] what the shop is heated to, -40 to 60
    since : [aware datetime] from when on; hours that begin before it stay as they are

    Returns
    -------
    [°C, %] the same hours; the spread of the humidity shrinks with it

    Raises
    ------
    OutOfRange outside -40 to 60 °C; BadInput when `since` has no time zone.

    Validity
    --------
    Heating at the same air pressure keeps the share of water vapour, and so its pressure.

    Source
    ------
    definition (ASHRAE Handbook: Fundamentals, ch. 1: sensible heating at constant humidity ratio)
    """
    within("Temperature of the heated shop", celsius, -40, 60, "°C")
    first = hours_between(series.start, full_hour(since)) + (since > full_hour(since))
    warm = (np.arange(series.hours) >= first) & (series.celsius < celsius)
    hotter = np.where(warm, float(celsius), series.celsius)
    share = saturation_pressure(series.celsius) / saturation_pressure(hotter)
    return AirSeries(
        series.start,
        hotter,
        np.maximum(series.relative_humidity * share, np.minimum(series.relative_humidity, LEAST_HUMIDITY)),
        series.measured & ~warm,
        series.spread_celsius,
        series.spread_humidity * share,
    )
