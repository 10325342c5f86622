"""The air day by day: lowest and highest, the cold of the nights. The same data as the chart, as rows of a table."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

import numpy as np
from django.utils.translation import gettext_lazy as _

from tallboy.book.models import Shop
from tallboy.drawers.air.now import apart
from tallboy.sums import air
from tallboy.sums.air import AirSeries

COLD_NIGHT = 10.0
COLD_SOURCE = _(
    "Waterborne paint on wood asks for 10 °C (50 °F), and for a day after it was laid: Wood Handbook (USDA Forest Products "
    "Laboratory), chapter 16"
)
LEAST_HUMIDITY = 0.1
"""[%] below which no dew point can be worked out; no shop is that dry."""
HOUR = timedelta(hours=1)


@dataclass(frozen=True)
class DayOfAir:
    """One day: lowest and highest [°C, %, °C], the hour of the lowest temperature, and how sure a forecast day is."""

    day: date
    coldest: float
    warmest: float
    coldest_at: datetime
    driest: float
    dampest: float
    dew_low: float
    dew_high: float
    forecast: bool
    guessed: bool
    spread: str

    @property
    def cold(self) -> bool:
        return self.coldest < COLD_NIGHT


def dew_points(series: AirSeries) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """The dew point of every hour [°C]."""
    return np.asarray(air.dew_point(series.celsius, np.maximum(series.relative_humidity, LEAST_HUMIDITY)))


def moments(series: AirSeries, shop: Shop) -> list[datetime]:
    """The hours of the series by the shop's clock."""
    return [(series.start + hour * HOUR).astimezone(shop.tz) for hour in range(series.hours)]


def by_day(series: AirSeries, shop: Shop, now: datetime) -> list[DayOfAir]:
    """One row a day, newest last; a day counts as forecast when it begins after `now`."""
    clock = moments(series, shop)
    dew = dew_points(series)
    places: dict[date, list[int]] = {}
    for place, moment in enumerate(clock):
        places.setdefault(moment.date(), []).append(place)
    today = now.astimezone(shop.tz).date()
    return [_day(day, np.array(of_day), series, dew, clock, today, shop) for day, of_day in places.items()]


def _day(
    day: date,
    places: np.ndarray[tuple[int], np.dtype[np.int64]],
    series: AirSeries,
    dew: np.ndarray[tuple[int], np.dtype[np.float64]],
    clock: list[datetime],
    today: date,
    shop: Shop,
) -> DayOfAir:
    celsius, humidity = series.celsius[places], series.relative_humidity[places]
    return DayOfAir(
        day=day,
        coldest=float(celsius.min()),
        warmest=float(celsius.max()),
        coldest_at=clock[int(places[int(celsius.argmin())])],
        driest=float(humidity.min()),
        dampest=float(humidity.max()),
        dew_low=float(dew[places].min()),
        dew_high=float(dew[places].max()),
        forecast=day > today,
        guessed=day <= today and not bool(series.measured[places].any()),
        spread=apart(float(series.spread_celsius[places].mean()), shop),
    )
