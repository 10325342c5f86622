"""How the shop's air is likely to go on: its own daily rhythm, with a spread that is tried on its own past.

No weather service: good for "the shop cools at night", blind to a cold front.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from tallboy.sums.air_series import (
    ASSUMED_SPREAD,
    FILLED_SPREAD,
    HOUR,
    MEASURED_SPREAD,
    MOST_HOURS,
    AirSeries,
    Reading,
    full_hour,
    hourly,
    hours_between,
    steady,
)
from tallboy.sums.ranges import Array, within

Mask = NDArray[np.bool_]

DAY = 24
RHYTHM_DAYS = 14
RECENT_HOURS = 6
DECAY_HOURS = 24.0
TRIED_HOURS = 48
"""So many hours ahead the forecast is tried on its own past; farther on it is as unsure as there."""
ENOUGH_HOURS = 3 * DAY
"""With fewer hours there is too little past to try it on."""


def forecast(series: AirSeries, until: datetime) -> AirSeries:
    """The series carried on to `until` in the shop's own daily rhythm.

    Formula: value(hour) = mean of that hour of the day over the last 14 days + d * exp(-ahead / 24 h), where d is the mean
    departure from the rhythm over the last 6 hours; spread² = measured² + e², where e is how far this same forecast, made at
    every hour of those days, was out so many hours later (root mean square, never less than for fewer hours), times
    sqrt((n + 1) / (n - 1)) for a rhythm that n days were both the ground and the trial of. Humidity is kept between 1 and 100 %.

    Parameters
    ----------
    series : [°C, %] measured air; hours filled in across gaps count only where an hour of the day has no other
    until : [aware datetime] last moment wanted

    Returns
    -------
    [°C, %] the same series with forecast hours behind it; the series itself when it already reaches `until`

    Raises
    ------
    OutOfRange for more than five years in all.

    Validity
    --------
    With less than a day of readings the last ones are carried on. With less than three days the spread is that of the departures,
    2 °C and 8 % at the least, growing as sqrt(1 - exp(-2 ahead / 24 h)).

    Accuracy
    --------
    On made-up rhythms (three days to two weeks, departures that last from nothing to a day) 62 to 78 of 100 forecasts were within
    one spread up to three days ahead, where 68 should be, and 90 or more within two. Where departures last for three days it is
    60 and 88 up to two days ahead, 55 and 83 at three: a long cold spell is underrated. See tests/sums/test_air_forecast.py.

    Source
    ------
    own derivation (a seasonal mean with a decaying departure, its error from hindcasts)
    """
    ahead = hours_between(series.end, until)
    if ahead <= 0:
        return series
    within("Air series", series.hours + ahead, 1, MOST_HOURS, "hours")
    celsius, spread_celsius = _carried(series, series.celsius, ahead, 0)
    humidity, spread_humidity = _carried(series, series.relative_humidity, ahead, 1)
    return _joined(series, celsius, np.clip(humidity, 1.0, 100.0), spread_celsius, spread_humidity)


def covering(
    readings: Sequence[Reading], since: datetime, until: datetime, usual: tuple[float, float] = (18.0, 60.0)
) -> AirSeries:
    """Air for every hour from `since` to `until`: measured where it was, filled in before, forecast after.

    Before the first reading the mean of the first day of readings serves. A shop with no readings has its usual air throughout.

    Parameters
    ----------
    readings : [aware datetime, °C, %] as for `hourly`; may be empty
    since : [aware datetime] first moment wanted
    until : [aware datetime] last moment wanted, after `since`
    usual : [°C, %] air of a shop that has no readings

    Returns
    -------
    [°C, %] air series that begins at the full hour of `since` and reaches `until`

    Raises
    ------
    As `hourly` and `steady`.

    Source
    ------
    own derivation
    """
    start = full_hour(since)
    wanted = hours_between(start, until) + 1
    if not readings:
        return steady(*usual, start, wanted)
    known = forecast(hourly(readings), until)
    late = hours_between(start, known.start)
    if late > 0:
        known = _before(known, late)
    first = max(0, -late)
    return known.part(first, first + wanted - 1)


def _before(series: AirSeries, hours: int) -> AirSeries:
    """The series with so many hours set before it, at the mean of its first day."""
    day = series.part(0, min(23, series.hours - 1))
    return AirSeries(
        series.start - hours * HOUR,
        np.concatenate([np.full(hours, day.celsius.mean()), series.celsius]),
        np.concatenate([np.full(hours, day.relative_humidity.mean()), series.relative_humidity]),
        np.concatenate([np.zeros(hours, dtype=np.bool_), series.measured]),
        np.concatenate([np.full(hours, ASSUMED_SPREAD[0]), series.spread_celsius]),
        np.concatenate([np.full(hours, ASSUMED_SPREAD[1]), series.spread_humidity]),
    )


def _joined(
    series: AirSeries, celsius: Array, humidity: Array, spread_celsius: Array, spread_humidity: Array
) -> AirSeries:
    return AirSeries(
        series.start,
        np.concatenate([series.celsius, celsius]),
        np.concatenate([series.relative_humidity, humidity]),
        np.concatenate([series.measured, np.zeros(len(celsius), dtype=np.bool_)]),
        np.concatenate([series.spread_celsius, spread_celsius]),
        np.concatenate([series.spread_humidity, spread_humidity]),
    )


def _carried(series: AirSeries, values: Array, ahead: int, which: int) -> tuple[Array, Array]:
    """So many further hours of one column, and their spread."""
    recent, known = values[-DAY * RHYTHM_DAYS :], series.measured[-DAY * RHYTHM_DAYS :]
    rhythm = _rhythm(recent, known)
    departures = recent - np.resize(rhythm, len(recent))
    lately = _lately(departures, known)
    fade = np.exp(-np.arange(1, ahead + 1) / DECAY_HOURS)
    base = np.resize(np.roll(rhythm, -len(recent) % len(rhythm)), ahead)
    if len(recent) >= ENOUGH_HOURS:
        error = _tried(departures, lately, known, ahead)
    else:
        error = max(float(departures.std()), FILLED_SPREAD[which]) * np.sqrt(1 - fade**2)
    return base + lately[-1] * fade, np.hypot(MEASURED_SPREAD[which], error)


def _rhythm(recent: Array, known: Mask) -> Array:
    """Mean of each hour of the day, counted from the first of the recent hours; one mean when there is less than a day."""
    if len(recent) < DAY:
        return np.array([recent[-RECENT_HOURS:].mean()])
    return np.array([_mean_of_known(recent[hour::DAY], known[hour::DAY]) for hour in range(DAY)])


def _mean_of_known(values: Array, known: Mask) -> float:
    """Mean of the measured ones; of all where none was measured."""
    return float(values[known].mean() if known.any() else values.mean())


def _lately(departures: Array, known: Mask) -> Array:
    """For every hour the mean departure over the six hours up to it, of the measured ones; 0 where there is none."""
    window = np.ones(RECENT_HOURS)
    sums: Array = np.convolve(np.where(known, departures, 0.0), window)[: len(departures)]
    counts: Array = np.convolve(known.astype(np.float64), window)[: len(departures)]
    return sums / np.maximum(np.round(counts), 1.0)


def _tried(departures: Array, lately: Array, known: Mask, ahead: int) -> Array:
    """How far the forecast was out, one to so many hours later, when tried at every past hour."""
    days = len(departures) / DAY
    error = np.array([_out_by(departures, lately, known, later) for later in range(1, TRIED_HOURS + 1)])
    grown = np.maximum.accumulate(error * math.sqrt((days + 1) / (days - 1)))
    return grown[np.minimum(np.arange(ahead), TRIED_HOURS - 1)]


def _out_by(departures: Array, lately: Array, known: Mask, later: int) -> float:
    """Root mean square of the forecast's error so many hours later, over the pairs of measured hours; 0 where there is no pair."""
    missed = departures[later:] - lately[:-later] * math.exp(-later / DECAY_HOURS)
    pairs = known[later:] & known[:-later]
    return float(np.sqrt(np.mean(missed[pairs] ** 2))) if pairs.any() else 0.0
