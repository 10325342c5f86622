"""The forecast of the shop's air keeps the shop's rhythm, fades a spell, and is as unsure as it should be."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from tests.sums.test_air_series import HOUR, START, rhythm

from tallboy.errors import OutOfRange
from tallboy.sums.air_forecast import covering, forecast
from tallboy.sums.air_series import AirSeries, hourly

AHEAD = 72


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
    """Chance that is forgotten within the hour is there at once, whole, and stays; humidity stays between 1 and 100 %."""
    noise = np.random.default_rng(7)
    readings = [(at, c + noise.normal(0, 3), min(100.0, h + 45 + noise.normal(0, 5))) for at, c, h in rhythm(24 * 10)]
    series = hourly(readings)
    ahead = forecast(series, series.end + 72 * HOUR)
    spread = ahead.spread_celsius[series.hours :]
    assert (np.diff(spread) >= 0).all()
    assert spread[0] == pytest.approx(3.2, abs=0.4)
    assert spread[-1] == pytest.approx(3.2, abs=0.4)
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


def _departures(rng: np.random.Generator, hours: int, lasts: float) -> NDArray[np.float64]:
    """Chance of one standard deviation that fades over so many hours; 0 for chance that is new every hour."""
    kept = float(np.exp(-1 / lasts)) if lasts else 0.0
    chance = rng.normal(size=hours)
    found = np.empty(hours)
    found[0] = chance[0]
    for hour in range(1, hours):
        found[hour] = kept * found[hour - 1] + np.sqrt(1 - kept**2) * chance[hour]
    return found


def _out_by(lasts: float, days: int, times: int = 150) -> NDArray[np.float64]:
    """How far forecasts of a made-up shop are out, in spreads: a row a shop, a column an hour ahead."""
    rng = np.random.default_rng(1000 + int(lasts) * 10 + days)
    hours = days * 24
    rows = []
    for _ in range(times):
        at = np.arange(hours + AHEAD)
        true = 16 + 4 * np.cos((at - 15) / 24 * 2 * np.pi) + 2 * _departures(rng, hours + AHEAD, lasts)
        seen = true[:hours] + rng.normal(0, 0.3, hours)
        series = AirSeries(
            START, seen, np.full(hours, 50.0), np.ones(hours, dtype=np.bool_), np.full(hours, 0.5), np.full(hours, 3.0)
        )
        ahead = forecast(series, series.end + AHEAD * HOUR)
        rows.append(np.abs(ahead.celsius[hours:] - true[hours:]) / ahead.spread_celsius[hours:])
    return np.array(rows)


@pytest.mark.parametrize(
    ("lasts", "days", "one", "two"),
    [(0, 7, 0.62, 0.90), (1, 14, 0.62, 0.90), (6, 3, 0.62, 0.90), (6, 14, 0.62, 0.90), (24, 7, 0.60, 0.88), (24, 14, 0.60, 0.88), (72, 14, 0.50, 0.80)],
)  # fmt: skip
def test_the_spread_is_an_honest_one(lasts: float, days: int, one: float, two: float) -> None:
    """Of 100 hours about 68 lie within one spread and 95 within two, an hour ahead and three days ahead, whatever the shop is like;
    fewer, as the docstring says, where departures last for days. Nor is it so wide that it says nothing."""
    out = _out_by(lasts, days)
    for hours in (range(6), range(18, 30), range(42, 54), range(60, 72)):
        within_one = float((out[:, list(hours)] < 1).mean())
        assert one <= within_one <= 0.85, (hours, within_one)
        assert float((out[:, list(hours)] < 2).mean()) >= two


def test_hours_filled_in_do_not_make_the_rhythm() -> None:
    """A straight line across two days without readings is no rhythm: with it or without, the forecast is the same."""
    readings = rhythm(24 * 10)
    gap = [reading for k, reading in enumerate(readings) if not 24 * 4 <= k < 24 * 6]
    whole, holed = (forecast(hourly(some), START + 300 * HOUR) for some in (readings, gap))
    assert holed.celsius[-50:] == pytest.approx(whole.celsius[-50:], abs=0.05)
    assert holed.spread_celsius[-1] == pytest.approx(whole.spread_celsius[-1], abs=0.1)


def test_one_day_is_no_trial() -> None:
    """With less than three days the spread is 2 °C at the least, however steady the readings were."""
    still = [(datetime(2026, 3, 1, tzinfo=UTC) + timedelta(hours=k), 18.0, 50.0) for k in range(30)]
    series = hourly(still)
    assert forecast(series, series.end + 60 * HOUR).spread_celsius[-1] > 1.9
