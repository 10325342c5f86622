"""The shop's air hour by hour, as it was measured, and how sure each hour is; how it is likely to go on is in `air_forecast`.

Times inside are UTC, so that a day of 23 or 25 hours moves nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from tallboy.errors import BadInput
from tallboy.sums.ranges import Array, ranged, within

Reading = tuple[datetime, float, float]

HOUR = timedelta(hours=1)
MOST_HOURS = 5 * 366 * 24
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
    within("Air series", count, 1, MOST_HOURS, "hours")
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
    within("Air series", hours, 1, MOST_HOURS, "hours")
    _checked([(start, celsius, relative_humidity)])
    return AirSeries(
        full_hour(start),
        np.full(hours, float(celsius)),
        np.full(hours, float(relative_humidity)),
        np.zeros(hours, dtype=np.bool_),
        np.full(hours, spread[0]),
        np.full(hours, spread[1]),
    )


def full_hour(moment: datetime) -> datetime:
    """The full hour that a moment lies in.

    Parameters
    ----------
    moment : [aware datetime] in any zone

    Returns
    -------
    [aware datetime] the same hour, in UTC

    Raises
    ------
    BadInput when it has no time zone.

    Source
    ------
    definition
    """
    if moment.tzinfo is None:
        raise BadInput("A time of the air series has no time zone.", "Give it with one.")
    return moment.astimezone(UTC).replace(minute=0, second=0, microsecond=0)


def hours_between(first: datetime, last: datetime) -> int:
    """How many hours from one moment to another, the last begun one counted.

    Parameters
    ----------
    first : [aware datetime] from
    last : [aware datetime] to; before `first` the count is below zero

    Returns
    -------
    [h] whole hours

    Source
    ------
    definition
    """
    return int(-((first - last) // HOUR))


def _checked(readings: Sequence[Reading]) -> tuple[Array, Array]:
    """The two columns, once every reading has been seen to be possible."""
    celsius = ranged("Air temperature", [reading[1] for reading in readings], -40, 60, "°C")
    return celsius, ranged("Relative humidity", [reading[2] for reading in readings], 0, 100, "%")


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
