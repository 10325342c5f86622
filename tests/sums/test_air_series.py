"""The air hour by hour: what was measured stays, gaps are marked, the forecast keeps the shop's rhythm and grows unsure."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums.air_series import Reading, hourly, steady

LISBON = ZoneInfo("Europe/Lisbon")
START = datetime(2026, 3, 12, 9, 0, tzinfo=LISBON)
HOUR = timedelta(hours=1)


def rhythm(hours: int, start: datetime = START, mean: float = 16.0, swing: float = 4.0) -> list[Reading]:
    """A shop that is warmest at 15 h UTC, drier when warm."""
    found = []
    for k in range(hours):
        at = start.astimezone(UTC) + k * HOUR
        wave = float(np.cos((at.hour - 15) / 24 * 2 * np.pi))
        found.append((at, mean + swing * wave, 60 - 10 * wave))
    return found


def test_hourly_readings_stay_as_they_are() -> None:
    """Each full hour keeps its own value and counts as measured; the start is in UTC."""
    readings = rhythm(30)
    series = hourly(readings)
    assert series.start == START
    assert series.start.tzinfo is UTC
    assert series.hours == 30
    assert series.end == START + 29 * HOUR
    assert series.celsius == pytest.approx([celsius for _, celsius, _ in readings])
    assert series.measured.all()


def test_readings_in_any_order_are_averaged_around_the_hour() -> None:
    """10 °C at ten to nine and 14 °C at ten past nine make 12 °C at nine."""
    minutes = timedelta(minutes=10)
    series = hourly([(START + HOUR, 20.0, 50.0), (START + minutes, 14.0, 62.0), (START - minutes, 10.0, 58.0)])
    assert series.celsius == pytest.approx([12.0, 20.0])
    assert series.relative_humidity == pytest.approx([60.0, 50.0])


def test_a_gap_is_filled_straight_and_marked() -> None:
    """Ten hours without a reading are no measurement, two are."""
    series = hourly([(START, 10.0, 50.0), (START + 2 * HOUR, 12.0, 50.0), (START + 12 * HOUR, 22.0, 70.0)])
    assert series.celsius == pytest.approx([10 + k for k in range(13)])
    assert series.measured.tolist() == [True] * 3 + [False] * 9 + [True]
    assert series.spread_celsius[6] > series.spread_celsius[1]
    assert series.spread_humidity[6] > series.spread_humidity[1]


def test_the_clock_change_moves_no_hour() -> None:
    """In Lisbon the clocks go forward in the night of 29 March 2026: that day has 23 hours."""
    first, last = (datetime(2026, 3, day, 12, 0, tzinfo=LISBON) for day in (28, 29))
    assert hourly([(first, 10.0, 50.0), (last, 10.0, 50.0)]).hours == 24
    assert hourly([(first, 10.0, 50.0), (last, 10.0, 50.0)]).end == last


@pytest.mark.parametrize(
    "reading", [(START, 80.0, 50.0), (START, 20.0, 120.0), (START, float("nan"), 50.0), (START, 20.0, float("nan"))]
)
def test_impossible_readings_are_refused(reading: Reading) -> None:
    """The value and the range are named."""
    with pytest.raises(OutOfRange, match="It must lie between"):
        hourly([(START, 20.0, 50.0), reading])


def test_readings_without_a_zone_or_none_at_all_are_refused() -> None:
    """As are readings spread over more than five years, and columns of unequal length."""
    with pytest.raises(BadInput, match="time zone"):
        hourly([(START.replace(tzinfo=None), 20.0, 50.0)])
    with pytest.raises(BadInput, match="no readings"):
        hourly([])
    with pytest.raises(OutOfRange):
        hourly([(START, 20.0, 50.0), (START + timedelta(days=3000), 20.0, 50.0)])
    series = hourly(rhythm(3))
    with pytest.raises(BadInput, match="uneven"):
        replace(series, celsius=series.celsius[:2])


def test_steady_air_is_assumed_air() -> None:
    """It starts at the full hour and none of it is measured."""
    series = steady(18, 60, START + timedelta(minutes=40), 10)
    assert series.start == START
    assert series.hours == 10
    assert not series.measured.any()
    with pytest.raises(OutOfRange):
        steady(18, 60, START, 0)
    with pytest.raises(BadInput):
        steady(18, 60, START.replace(tzinfo=None), 5)
