"""The air hour by hour: what was measured stays, gaps are marked, the forecast keeps the shop's rhythm and grows unsure."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums.air_series import Reading, covering, forecast, hourly, steady

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


def test_the_forecast_keeps_a_perfect_rhythm() -> None:
    """A shop that repeats itself is forecast exactly, on whatever hour the readings end."""
    for hours in (24 * 8, 24 * 8 + 7):
        series = hourly(rhythm(hours))
        further = forecast(series, series.end + 100 * HOUR)
        assert further.celsius == pytest.approx([celsius for _, celsius, _ in rhythm(hours + 100)], abs=1e-9)
        assert further.measured.sum() == hours
        assert further.celsius[:hours] == pytest.approx(series.celsius)


def test_a_cold_spell_fades_back_to_the_rhythm() -> None:
    """Five degrees too cold now is near five in an hour, about 1.8 in a day (e-fold) and nothing in a week."""
    readings = rhythm(24 * 14)
    cold = [(at, celsius - 5 * (k >= 24 * 14 - 6), humidity) for k, (at, celsius, humidity) in enumerate(readings)]
    series = hourly(cold)
    ahead = forecast(series, series.end + 24 * 8 * HOUR)
    usual = np.array([celsius for _, celsius, _ in rhythm(24 * 22)])
    lack = (usual - ahead.celsius)[24 * 14 :]
    assert lack[0] == pytest.approx(5, abs=0.8)
    assert lack[23] == pytest.approx(5 / np.e, abs=0.5)
    assert abs(lack[24 * 7 :]).max() < 0.5


def test_the_forecast_grows_unsure_and_stays_possible() -> None:
    """The spread rises from the instrument's to the shop's own wandering; humidity stays between 1 and 100 %."""
    noise = np.random.default_rng(7)
    readings = [(at, c + noise.normal(0, 3), min(100.0, h + 45 + noise.normal(0, 5))) for at, c, h in rhythm(24 * 10)]
    series = hourly(readings)
    ahead = forecast(series, series.end + 72 * HOUR)
    spread = ahead.spread_celsius[series.hours :]
    assert (np.diff(spread) >= 0).all()
    assert spread[0] < 1.2
    assert spread[-1] == pytest.approx(3, abs=0.4)
    assert ahead.relative_humidity.max() <= 100
    assert ahead.relative_humidity.min() >= 1


def test_a_single_reading_is_carried_on() -> None:
    """With its spread soon that of air nobody has measured."""
    ahead = forecast(hourly([(START, 18.0, 55.0)]), START + 48 * HOUR)
    assert ahead.celsius == pytest.approx(np.full(49, 18.0))
    assert ahead.spread_celsius[-1] == pytest.approx(2.06, abs=0.05)


def test_a_forecast_that_is_not_needed_changes_nothing() -> None:
    """And one for ever is refused."""
    series = hourly(rhythm(30))
    assert forecast(series, START) is series
    with pytest.raises(OutOfRange):
        forecast(series, START + timedelta(days=4000))


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


@given(st.integers(-200, 200), st.integers(1, 300), st.integers(0, 100))
def test_covering_reaches_from_since_to_until(first: int, length: int, count: int) -> None:
    """Whatever readings there are, early, late or none, every hour asked for is there and what was measured is kept."""
    readings = rhythm(count)
    begin = START.astimezone(UTC)
    since, until = begin + first * HOUR + timedelta(minutes=20), begin + (first + length) * HOUR
    series = covering(readings, since, until)
    assert series.start == begin + first * HOUR
    assert series.end == until
    for k in np.flatnonzero(series.measured):
        assert series.celsius[k] == pytest.approx(readings[first + int(k)][1])
    assert series.measured.sum() == len(range(max(0, first), min(count, first + length + 1)))
