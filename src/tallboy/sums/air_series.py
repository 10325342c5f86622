"""The shop's air hour by hour: as it was measured, as it is likely to go on, and how sure each hour is.

Times inside are UTC, so that a day of 23 or 25 hours moves nothing. The forecast is the shop's own daily rhythm, no weather
service: good for "the shop cools at night", blind to a cold front.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from tallboy.errors import BadInput, OutOfRange

Array = NDArray[np.float64]
Reading = tuple[datetime, float, float]

HOUR = timedelta(hours=1)
MOST_HOURS = 5 * 366 * 24
RHYTHM_DAYS = 14
RECENT_HOURS = 6
DECAY_HOURS = 24.0
GAP_HOURS = 3
"""Readings farther apart than this leave a gap between them."""
MEASURED_SPREAD = (0.5, 3.0)
"""[°C, %] of a usual thermo-hygrometer; common practice, no source."""
FILLED_SPREAD = (2.0, 8.0)
"""[°C, %] of an hour filled in across a gap, and the least a far forecast is trusted; common practice, no source."""
ASSUMED_SPREAD = (3.0, 10.0)
"""[°C, %] of air nobody has measured; common practice, no source."""


@dataclass(frozen=True, eq=False)
class AirSeries:
    """Air at full hours from `start` (UTC): entry k holds for `start` + k hours; between hours it runs straight.

    `celsius` [°C], `relative_humidity` [%], `measured` false where the hour is forecast or filled in, `spread_celsius` [°C] and
    `spread_humidity` [%] one standard deviation. All arrays have one entry an hour.
    """

    start: datetime
    celsius: Array
    relative_humidity: Array
    measured: NDArray[np.bool_]
    spread_celsius: Array
    spread_humidity: Array

    def __post_init__(self) -> None:
        if self.start.tzinfo is None:
            raise BadInput("The air series has no time zone.", "Give its start with one.")
        object.__setattr__(self, "start", self.start.astimezone(UTC))
        sizes = {
            len(self.celsius),
            len(self.relative_humidity),
            len(self.measured),
            len(self.spread_celsius),
            len(self.spread_humidity),
        }
        if len(sizes) != 1 or 0 in sizes:
            raise BadInput(
                "The air series has uneven columns.", "All of them need one entry an hour, and one hour at the least."
            )

    @property
    def hours(self) -> int:
        """How many full hours it has."""
        return len(self.celsius)

    @property
    def end(self) -> datetime:
        """The last full hour."""
        return self.start + (self.hours - 1) * HOUR

    def part(self, first: int, last: int) -> AirSeries:
        """The hours from number `first` to number `last`, both kept."""
        cut = slice(first, last + 1)
        return AirSeries(
            self.start + first * HOUR,
            self.celsius[cut],
            self.relative_humidity[cut],
            self.measured[cut],
            self.spread_celsius[cut],
            self.spread_humidity[cut],
        )


def hourly(readings: Sequence[Reading]) -> AirSeries:
    """Readings at any times as one value an hour.

    Readings within half an hour of a full hour are averaged; hours without one lie on the straight line between their
    neighbours. Such an hour counts as measured when the readings around it are at most three hours apart.

    Parameters
    ----------
    readings : [aware datetime, °C, %] time, air temperature -40 to 60, relative humidity 0 to 100; in any order, one at least

    Returns
    -------
    [°C, %] air series from the hour of the first reading to that of the last

    Raises
    ------
    BadInput when there is none or one has no time zone; OutOfRange for impossible air or more than five years.

    Source
    ------
    own derivation
    """
    if not readings:
        raise BadInput("There are no readings of the air.", "Enter at least one.")
    if any(reading[0].tzinfo is None for reading in readings):
        raise BadInput("A reading of the air has no time zone.", "Give its time with one.")
    seconds = np.array([reading[0].timestamp() for reading in readings], dtype=np.float64)
    celsius, humidity = _checked(readings)
    hour = np.floor(seconds / 3600 + 0.5).astype(np.int64)
    first = int(hour.min())
    slot = hour - first
    count = int(slot.max()) + 1
    _few_enough(count)
    known = np.bincount(slot, minlength=count)
    near = _near_readings(known > 0)
    return AirSeries(
        datetime.fromtimestamp(first * 3600, UTC),
        _filled(slot, celsius, known),
        _filled(slot, humidity, known),
        near,
        np.where(near, MEASURED_SPREAD[0], FILLED_SPREAD[0]),
        np.where(near, MEASURED_SPREAD[1], FILLED_SPREAD[1]),
    )


def forecast(series: AirSeries, until: datetime) -> AirSeries:
    """The series carried on to `until` in the shop's own daily rhythm.

    Formula: value(hour) = mean of that hour of the day over the last 14 days + d * exp(-ahead / 24 h), where d is the mean
    departure from the rhythm over the last 6 hours; spread² = measured² + s² (1 - exp(-2 ahead / 24 h)), where s is the standard
    deviation of the departures. Humidity is kept between 1 and 100 %.

    Parameters
    ----------
    series : [°C, %] measured air
    until : [aware datetime] last moment wanted

    Returns
    -------
    [°C, %] the same series with forecast hours behind it; the series itself when it already reaches `until`

    Raises
    ------
    OutOfRange for more than five years in all.

    Validity
    --------
    With less than a day of readings the last ones are carried on; with less than three days s is 2 °C and 8 % at the least.

    Source
    ------
    own derivation (a seasonal mean with a decaying departure)
    """
    ahead = _hours_between(series.end, until)
    if ahead <= 0:
        return series
    _few_enough(series.hours + ahead)
    celsius, spread_celsius = _carried(series, series.celsius, ahead, 0)
    humidity, spread_humidity = _carried(series, series.relative_humidity, ahead, 1)
    return _joined(series, celsius, np.clip(humidity, 1.0, 100.0), spread_celsius, spread_humidity)


def steady(
    celsius: float,
    relative_humidity: float,
    start: datetime,
    hours: int,
    spread: tuple[float, float] = ASSUMED_SPREAD,
) -> AirSeries:
    """Air that stays as it is, for a shop with no readings; none of it counts as measured.

    Parameters
    ----------
    celsius : [°C] air temperature, -40 to 60
    relative_humidity : [%] 0 to 100
    start : [aware datetime] first moment, taken back to the full hour
    hours : [1] how many full hours, 1 to 43 920
    spread : [°C, %] one standard deviation of each

    Returns
    -------
    [°C, %] air series

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition
    """
    _few_enough(hours)
    _checked([(start, celsius, relative_humidity)])
    return AirSeries(
        _full_hour(start),
        np.full(hours, float(celsius)),
        np.full(hours, float(relative_humidity)),
        np.zeros(hours, dtype=np.bool_),
        np.full(hours, spread[0]),
        np.full(hours, spread[1]),
    )


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
    start = _full_hour(since)
    wanted = _hours_between(start, until) + 1
    if not readings:
        return steady(*usual, start, wanted)
    known = forecast(hourly(readings), until)
    late = _hours_between(start, known.start)
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
    recent = values[-24 * RHYTHM_DAYS :]
    rhythm = _rhythm(recent)
    departures = recent - np.resize(rhythm, len(recent))
    offset = departures[-RECENT_HOURS:].mean()
    hours = np.arange(1, ahead + 1)
    fade = np.exp(-hours / DECAY_HOURS)
    base = (
        np.resize(np.roll(rhythm, -len(recent) % len(rhythm)), ahead) if len(rhythm) > 1 else np.full(ahead, rhythm[0])
    )
    floor = 0.0 if len(recent) >= 72 else FILLED_SPREAD[which]
    wander = max(float(departures.std()), floor)
    spread = np.sqrt(MEASURED_SPREAD[which] ** 2 + wander**2 * (1 - fade**2))
    return base + offset * fade, spread


def _rhythm(recent: Array) -> Array:
    """Mean of each hour of the day, counted from the first of the recent hours; one mean when there is less than a day."""
    if len(recent) < 24:
        return np.array([recent[-RECENT_HOURS:].mean()])
    return np.array([recent[hour::24].mean() for hour in range(24)])


def _checked(readings: Sequence[Reading]) -> tuple[Array, Array]:
    """The two columns, once every reading has been seen to be possible."""
    columns = []
    for name, which, low, high, unit in (
        ("Air temperature", 1, -40.0, 60.0, "°C"),
        ("Relative humidity", 2, 0.0, 100.0, "%"),
    ):
        column = np.array([reading[which] for reading in readings], dtype=np.float64)
        bad = ~((column >= low) & (column <= high))
        if bool(bad.any()):
            raise OutOfRange(name, f"{column[bad][0]:g}", f"{low:g}", f"{high:g}", unit)
        columns.append(column)
    return columns[0], columns[1]


def _filled(slot: NDArray[np.int64], values: Array, known: NDArray[np.int64]) -> Array:
    """Mean of each hour's readings, straight lines across the hours that have none."""
    have = np.flatnonzero(known)
    sums = np.bincount(slot, weights=values, minlength=len(known))
    return np.interp(np.arange(len(known)), have, sums[have] / known[have])


def _near_readings(have: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Which hours have a reading, or lie between two readings at most three hours apart."""
    places = np.flatnonzero(have)
    hours = np.arange(len(have))
    after = places[np.searchsorted(places, hours, side="left")]
    before = places[np.searchsorted(places, hours, side="right") - 1]
    return np.asarray(after - before <= GAP_HOURS, dtype=np.bool_)


def _hours_between(first: datetime, last: datetime) -> int:
    """Full hours from one moment to another, the last begun hour counted."""
    return int(-((first - last) // HOUR))


def _full_hour(moment: datetime) -> datetime:
    if moment.tzinfo is None:
        raise BadInput("A time of the air series has no time zone.", "Give it with one.")
    return moment.astimezone(UTC).replace(minute=0, second=0, microsecond=0)


def _few_enough(hours: int) -> None:
    if not 1 <= hours <= MOST_HOURS:
        raise OutOfRange("Air series", hours, 1, MOST_HOURS, "hours")
