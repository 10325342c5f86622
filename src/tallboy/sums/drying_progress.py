"""How far a coat has come, minute by minute, in air that is given hour by hour."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import cast

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tallboy.errors import NeverDries, OutOfRange
from tallboy.sums.air import AirSeries
from tallboy.sums.rates import Label, Reading, rate

Array = NDArray[np.float64]
DAY_MINUTES = 1440
UNKNOWN_AIR = 3.0
"""A spread of ln(minutes) so wide that nothing can be learned."""


def progress(
    label: Label, celsius: ArrayLike, relative_humidity: ArrayLike, reading: Reading = Reading.MIDDLE
) -> Array:
    """Minutes of the label's air that have gone by, after each minute of the room's air.

    Formula: integral of the rate by trapezia one minute wide

    Parameters
    ----------
    label : [Label] what the can says
    celsius : [°C] air temperature minute by minute, -40 to 60
    relative_humidity : [%] 0 to 100, as many entries
    reading : [text] middle, quick or slow reading of the law

    Returns
    -------
    [min] never falling, 0 at the first entry

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    own derivation (trapezium rule)
    """
    rates = rate(label, celsius, relative_humidity, reading)
    done = np.empty_like(rates)
    done[0] = 0.0
    np.cumsum((rates[1:] + rates[:-1]) * 0.5, out=done[1:])
    return done


def by_the_minute(air: AirSeries, shift: float = 0.0) -> tuple[Array, Array]:
    """The air of a series minute by minute, straight between its hours.

    Parameters
    ----------
    air : [°C, %] series of one hour at least
    shift : [1] how many standard deviations warmer and drier than the series says

    Returns
    -------
    [°C, %] temperature and humidity, the first entry at the series' start; kept within -40 to 60 °C and 0 to 100 %

    Source
    ------
    definition
    """
    hours = np.arange(air.hours) * 60
    minutes = np.arange(max(air.hours - 1, 1) * 60 + 1)
    celsius = np.clip(air.celsius + shift * air.spread_celsius, -40, 60)
    humidity = np.clip(air.relative_humidity - shift * air.spread_humidity, 0, 100)
    return np.interp(minutes, hours, celsius), np.interp(minutes, hours, humidity)


def reached(done: ArrayLike, wanted: ArrayLike, label: Label) -> Array:
    """Minute at which the progress first comes to each wanted value.

    Past the end of the progress the mean rate of its last day goes on.

    Parameters
    ----------
    done : [min] progress minute by minute, never falling
    wanted : [min] values of the progress, above 0
    label : [Label] what the can says, for the error

    Returns
    -------
    [min] one minute for each wanted value, counted from the first entry of `done`

    Raises
    ------
    NeverDries when it would have to go on and nothing dries in the whole progress.

    Source
    ------
    own derivation
    """
    done, wanted = np.asarray(done, dtype=np.float64), np.asarray(wanted, dtype=np.float64)
    last = len(done) - 1
    after = np.clip(np.searchsorted(done, wanted, side="left"), 1, last)
    step = done[after] - done[after - 1]
    found = after - np.divide(done[after] - wanted, step, out=np.zeros_like(wanted), where=step > 0)
    beyond = wanted > done[-1]
    if bool(beyond.any()):
        found[beyond] = last + (wanted[beyond] - done[-1]) / last_rate(done, label)
    return cast(Array, found)


def last_rate(done: Sequence[float] | Array, label: Label) -> float:
    """Mean rate of the last day; of the whole progress where the last day stood still.

    Parameters
    ----------
    done : [min] progress minute by minute, never falling, two entries at least
    label : [Label] what the can says, for the error

    Returns
    -------
    [1] minutes of progress in a minute, above 0

    Raises
    ------
    NeverDries when nothing dries in the whole progress.

    Source
    ------
    definition
    """
    for minutes in (min(DAY_MINUTES, len(done) - 1), len(done) - 1):
        gained = float(done[-1] - done[-1 - minutes])
        if gained > 0:
            return gained / minutes
    raise NeverDries(
        "In this air the coat would not dry.",
        f"It needs at least {label.minimum_celsius:g} °C and air that is not saturated.",
    )


@dataclass(frozen=True)
class Gone:
    """How much of the label's time has gone by for a coat [min], `low` and `high` with the air one standard deviation less and more
    drying; for `stalled_minutes` of the clock nothing dried."""

    minutes: float
    low: float
    high: float
    stalled_minutes: float

    @property
    def spread(self) -> float:
        """One standard deviation of ln(minutes) from the air; the widest there is where in the worse air nothing had dried."""
        if self.low <= 0:
            return UNKNOWN_AIR
        return min(UNKNOWN_AIR, math.log(self.high / self.low) / 2)


def gone_by(label: Label, laid_at: datetime, touched_at: datetime, air: AirSeries) -> Gone:
    """How much of the label's time had gone by when a coat was touched.

    Formula: integral of the middle rate from laying to touch; low and high: the same with the air shifted by one spread

    Parameters
    ----------
    label : [Label] what the can says
    laid_at : [aware datetime] when the coat was laid, not before the series begins
    touched_at : [aware datetime] when it was touched, after laying and not after the series ends
    air : [°C, %] the shop's air

    Returns
    -------
    [min] minutes of the label's air, with their spread, and minutes of the clock in which nothing dried

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    own derivation (trapezium rule)
    """
    if not air.start <= laid_at < touched_at <= air.end:
        raise OutOfRange("Time of laying or of the touch", f"{laid_at} to {touched_at}", air.start, air.end)
    begun, until = ((at - air.start) / timedelta(minutes=1) for at in (laid_at, touched_at))
    first = int(begun // 60)
    part = air.part(first, min(air.hours - 1, int(until // 60) + 1))
    span = np.array([begun - first * 60, until - first * 60])
    done = progress(label, *by_the_minute(part))
    middle = _between(done, span)
    low, high = (_between(progress(label, *by_the_minute(part, shift)), span) for shift in (-1.0, 1.0))
    stretch = done[int(span[0]) : math.ceil(span[1]) + 1]
    return Gone(middle, min(low, middle), max(high, middle), float(np.count_nonzero(np.diff(stretch) == 0)))


def _between(done: Array, span: Array) -> float:
    """Progress between two minutes of a stretch of air."""
    begun, until = np.interp(span, np.arange(len(done)), done)
    return float(until - begun)
