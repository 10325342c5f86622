"""When a coat is dry: the label holds in the label's air, colder and damper air stretches it, and every answer shows its working."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tallboy.errors import BadInput, NeverDries, OutOfRange
from tallboy.sums import drying
from tallboy.sums.air_series import AirSeries, steady
from tallboy.sums.drying import Factor, Label, Law, Reading, dry_after, wait_table, window_closes, window_table
from tallboy.sums.units import format_minutes

LISBON = ZoneInfo("Europe/Lisbon")
START = datetime(2026, 3, 12, 9, 0, tzinfo=LISBON)
MINUTE = timedelta(minutes=1)
LAWS = list(Law)


def label(law: Law = Law.WATERBORNE, **values: float) -> Label:
    """Touch in 1 h, next coat 4 to 24 h, cured in a week, at 23 °C and 50 %."""
    given: dict[str, float] = {
        "touch_minutes": 60,
        "recoat_from_minutes": 240,
        "recoat_until_minutes": 1440,
        "cure_minutes": 10080,
    }
    return Label(law, **{**given, **values})  # type: ignore[arg-type]  # only numbers are passed on


def air(celsius: float = 23, humidity: float = 50, hours: int = 24 * 20) -> AirSeries:
    """Steady air."""
    return steady(celsius, humidity, START, hours)


def nights(hours: int = 24 * 10, mean: float = 12, swing: float = 5) -> AirSeries:
    """A shop that falls below 10 °C every night."""
    wave = np.cos((np.arange(hours) - 6) / 24 * 2 * np.pi)
    series = steady(mean, 60, START, hours)
    return replace(series, celsius=mean + swing * wave, measured=np.arange(hours) < 30)


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize(("stage", "minutes"), [("touch", 60), ("recoat", 240), ("cure", 10080)])
def test_in_the_label_s_air_the_label_holds(law: Law, stage: str, minutes: float) -> None:
    """Whatever the law, to the minute; the low and high values lie on either side, but glue is never said to set sooner."""
    found = dry_after(label(law), stage, START, air())
    assert found.minutes == pytest.approx(minutes)
    assert found.low <= found.minutes < found.high
    assert (found.low == found.minutes) is (law is Law.GLUE)
    assert found.stalled_minutes == 0


@pytest.mark.parametrize("law", [law for law in LAWS if law not in (Law.WATERBORNE, Law.GLUE)])
def test_a_label_at_another_temperature_holds_there(law: Law) -> None:
    """Many US sheets are for 25 °C; a sheet may be for 30 °C."""
    for celsius in (15, 25, 30):
        assert dry_after(label(law, celsius=celsius), "recoat", START, air(celsius)).minutes == pytest.approx(240)


@pytest.mark.parametrize("law", LAWS)
def test_colder_is_slower_and_warmer_never_slower(law: Law) -> None:
    """Except that glue is never counted on to be quicker than its label."""
    times = [dry_after(label(law), "recoat", START, air(celsius)).minutes for celsius in (11, 15, 19, 23, 27, 31)]
    assert all(colder >= warmer - 1e-6 for colder, warmer in pairwise(times))
    assert times[0] > times[3] * 1.3
    assert (times[-1] < 240) is (law is not Law.GLUE)


@pytest.mark.parametrize("law", [Law.WATERBORNE, Law.OXIDISING, Law.SOLVENT])
def test_very_damp_air_is_slower(law: Law) -> None:
    """Water hardly leaves; oil and solvent slow down."""
    assert dry_after(label(law), "recoat", START, air(23, 95)).minutes > 240 * 1.4


def test_half_an_hour_past_the_hour_counts_from_then() -> None:
    """The coat is laid at any minute, in any zone."""
    laid = (START + 90 * MINUTE).astimezone(UTC)
    assert dry_after(label(), "touch", laid, air()).minutes == pytest.approx(60)


@pytest.mark.parametrize("law", LAWS)
def test_nights_below_the_lowest_temperature_do_not_count(law: Law) -> None:
    """The coat stands still, and the time it stood still is told."""
    cold = dry_after(label(law), "recoat", START + timedelta(hours=12), nights())
    awake = dry_after(label(law, minimum_celsius=0), "recoat", START + timedelta(hours=12), nights())
    assert cold.stalled_minutes > 300
    assert cold.minutes > awake.minutes
    assert awake.stalled_minutes == 0
    assert any("nothing dries: below 10 °C" in line for line in cold.working)


def test_ten_hours_of_a_night_by_hand() -> None:
    """Warm for two hours, six hours too cold, then warm: 240 minutes of drying take 600."""
    celsius = np.array([23.0] * 3 + [0.0] * 6 + [23.0] * 20)
    series = replace(steady(23, 50, START, 29), celsius=celsius)
    found = dry_after(label(Law.TWO_PART, minimum_celsius=22.9), "recoat", START, series)
    assert found.minutes == pytest.approx(240 + 7 * 60, abs=3)
    assert found.stalled_minutes == pytest.approx(7 * 60, abs=3)


def test_air_that_stays_too_cold_or_saturated_never_dries() -> None:
    """A plain refusal that says what the product needs."""
    for series in (air(6, 50), air(20, 100)):
        with pytest.raises(NeverDries, match="at least 10 °C"):
            dry_after(label(), "recoat", START, series)
        with pytest.raises(NeverDries):
            wait_table(label(), "recoat", series)


def test_a_warm_spell_before_the_cold_is_enough_for_a_quick_coat() -> None:
    """Only what would have to dry in the cold is refused or carried on at the mean of the whole series."""
    series = replace(air(23, 50, 100), celsius=np.array([23.0] * 10 + [5.0] * 90))
    assert dry_after(label(), "recoat", START, series).minutes == pytest.approx(240)
    assert dry_after(label(), "cure", START, series).minutes > 10080 * 5


def test_past_the_end_of_the_air_its_last_day_goes_on_and_says_so() -> None:
    """A cure of a week in two days of air at half the rate takes two weeks."""
    slow = label(Law.OXIDISING)
    found = dry_after(slow, "cure", START, air(13, 50, 48))
    assert found.minutes == pytest.approx(2 * 10080)
    assert "mean rate of its last day" in found.working[-1]
    late = dry_after(slow, "touch", START + timedelta(days=30), air(13, 50, 48))
    assert late.minutes == pytest.approx(120)
    assert dry_after(slow, "touch", START, air(13, 50, 1)).minutes == pytest.approx(120)


def test_the_spread_grows_with_unsure_air_and_stays_within_bounds() -> None:
    """Air that nobody measured makes the answer less sure; never beyond three times."""
    sure = replace(air(15, 60), spread_celsius=np.full(480, 0.1), spread_humidity=np.full(480, 0.5))
    unsure = replace(air(15, 60), spread_celsius=np.full(480, 6.0), spread_humidity=np.full(480, 30.0))
    narrow, wide = (dry_after(label(), "recoat", START, series) for series in (sure, unsure))
    assert narrow.minutes == wide.minutes
    assert wide.high - wide.low > 2 * (narrow.high - narrow.low)
    assert wide.minutes / 3 <= wide.low <= wide.high <= wide.minutes * 3


@pytest.mark.parametrize(("law", "least"), [(Law.GLUE, 240), (Law.WATERBORNE, 120)])
def test_the_low_value_is_never_sooner_than_is_ever_counted_on(law: Law, least: float) -> None:
    """Not even in warm, dry, unsure air: the label's time for glue, half of it for all else."""
    for celsius, humidity in ((18, 60), (35, 20)):
        found = dry_after(label(law), "recoat", START, air(celsius, humidity))
        assert least - 1e-6 <= found.low <= found.minutes


def test_the_working_shows_inputs_law_and_result() -> None:
    """Enough to work it out again by hand."""
    found = dry_after(replace(label(Law.OXIDISING), source="the label of the green tin"), "recoat", START, nights())
    text = "\n".join(found.working)
    assert "The label of the green tin: 4 h to the next coat at 23 °C and 50 %." in text
    assert "Laid 2026-03-12 09:00." in text
    assert "2 to the power of" in text
    assert f"= {format_minutes(found.minutes)}." in text
    assert "measured for" in text
    assert found.source == "the label of the green tin"


def test_a_stage_that_the_label_does_not_give_is_refused() -> None:
    """As is a stage that nobody knows."""
    glue = Label(Law.GLUE, None, 60)
    assert [drying.has_stage(glue, stage) for stage in drying.STAGES] == [False, True, False]
    with pytest.raises(BadInput, match="gives no time for touch dry"):
        dry_after(glue, "touch", START, air())
    with pytest.raises(BadInput, match="gives no time for cured"):
        wait_table(glue, "cure", air())
    with pytest.raises(BadInput, match="touch, recoat, cure"):
        drying.has_stage(glue, "hard")


def test_a_coat_laid_before_the_air_begins_is_refused() -> None:
    """The caller gives air from the laying on."""
    with pytest.raises(OutOfRange):
        dry_after(label(), "touch", START - MINUTE, air())


def test_the_window_closes_in_its_own_time() -> None:
    """Moved like the drying; none when the label leaves it open."""
    closes = window_closes(label(Law.OXIDISING), START, air(13))
    assert closes is not None
    assert closes.minutes == pytest.approx(2880)
    assert "the end of the recoat window" in closes.working[0]
    assert window_closes(replace(label(), recoat_until_minutes=None), START, air()) is None


@pytest.mark.parametrize(
    "wrong",
    [
        {"touch_minutes": 0}, {"cure_minutes": float("nan")}, {"celsius": 80}, {"relative_humidity": 95}, {"minimum_celsius": 24},
        {"recoat_until_minutes": 240},
    ],
)  # fmt: skip
def test_an_impossible_label_is_refused(wrong: dict[str, float]) -> None:
    """Before any sum is made with it."""
    with pytest.raises(BadInput):
        label(Law.WATERBORNE, **wrong)


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("stage", ["touch", "recoat", "cure"])
def test_the_table_of_waits_agrees_with_each_single_answer(law: Law, stage: str) -> None:
    """For each hour the longer of the waits at its beginning and its end, rounded up, also where the air runs out."""
    series = nights(96)
    table = wait_table(label(law), stage, series)
    assert table.dtype == np.int64
    single = [dry_after(label(law), stage, START + timedelta(hours=k), series).minutes for k in range(96)]
    for k in range(0, 95, 7):
        assert table[k] == pytest.approx(max(single[k], single[k + 1]), abs=1.001)
    assert table[95] == pytest.approx(single[95], abs=1.001)


@pytest.mark.parametrize("law", [law for law in LAWS if label(law).recoat_until_minutes is not None])
def test_the_table_of_windows_agrees_with_each_single_answer(law: Law) -> None:
    """For each hour the sooner end of those at its beginning and its end, rounded down: nobody is told a window that is shut."""
    series = nights(96)
    table = window_table(label(law), series)
    assert table is not None
    assert table.dtype == np.int64
    single = [window_closes(label(law), START + timedelta(hours=k), series) for k in range(96)]
    for k in range(0, 95, 7):
        here, next_hour = single[k], single[k + 1]
        assert here is not None
        assert next_hour is not None
        assert table[k] == pytest.approx(min(here.minutes, next_hour.minutes), abs=1.001)
    assert window_table(replace(label(law), recoat_until_minutes=None), series) is None


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.floats(-20, 45), st.floats(0, 99)), min_size=2, max_size=60), st.sampled_from(LAWS))
def test_who_lays_later_is_never_dry_earlier(hours: list[tuple[float, float]], law: Law) -> None:
    """Whatever the air: progress never falls, and the moment of being dry never moves back."""
    series = replace(
        steady(20, 50, START, len(hours)),
        celsius=np.array([h[0] for h in hours]),
        relative_humidity=np.array([h[1] for h in hours]),
    )
    try:
        dry = [
            k * 60 + dry_after(label(law), "touch", START + timedelta(hours=k), series).minutes
            for k in range(len(hours))
        ]
    except NeverDries:
        return
    assert all(earlier <= later + 1e-6 for earlier, later in pairwise(dry))


@given(st.floats(-39, 59), st.floats(0, 100), st.sampled_from(LAWS))
def test_the_quick_reading_is_quicker_and_no_rate_is_out_of_bounds(celsius: float, humidity: float, law: Law) -> None:
    """Slow <= middle <= quick, and 0 to 2 whatever the air; glue 0 to 1."""
    at = np.array([celsius]), np.array([humidity])
    slow, middle, quick = (
        float(drying.rate(label(law), *at, reading)[0]) for reading in (Reading.SLOW, Reading.MIDDLE, Reading.QUICK)
    )
    assert 0 <= slow <= middle + 1e-12
    assert middle <= quick + 1e-12
    assert quick <= (1 if law is Law.GLUE else 2)


def test_impossible_air_is_refused() -> None:
    """Also a missing number."""
    for celsius in (70.0, float("nan")):
        with pytest.raises(OutOfRange):
            drying.rate(label(Law.SOLVENT), np.array([celsius]), np.array([50.0]))


def factor(value: float, share: float = 1.0) -> Factor:
    """What a shop has learned: so many times the label, with that share of the doubt left."""
    spread = 0.3 * share
    return Factor(value, value * np.exp(-spread), value * np.exp(spread), spread, 0.3, 3, 5)


@pytest.mark.parametrize("law", LAWS)
def test_nothing_learned_changes_nothing(law: Law) -> None:
    """A factor of 1 with all of the doubt left gives the same time and the same spread as none."""
    plain = dry_after(label(law), "recoat", START, air(14, 70))
    same = dry_after(label(law), "recoat", START, air(14, 70), factor(1.0))
    assert (same.minutes, same.low, same.high) == pytest.approx((plain.minutes, plain.low, plain.high))
    assert not any("In this shop" in line for line in plain.working)


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("value", [0.6, 0.95, 1.4])
def test_the_label_s_minutes_are_multiplied(law: Law, value: float) -> None:
    """In steady air the time with them; glue never gets quicker than its label. The working says by how much, and from what."""
    found = dry_after(label(law), "recoat", START, air(18, 55), factor(value))
    plain = dry_after(label(law), "recoat", START, air(18, 55))
    glue = law is Law.GLUE and value < 1
    assert found.minutes == pytest.approx(plain.minutes * (1 if glue else value))
    assert wait_table(label(law), "recoat", air(18, 55), factor(value))[0] == int(np.ceil(found.minutes - 1e-6))
    assert ("left out: glue" if glue else "from 5 touches") in found.working[1]
    closes = window_closes(label(law), START, air(18, 55), factor(value))
    assert closes is not None
    assert closes.minutes == pytest.approx(plain.minutes * (1 if glue else value) * 6)


@pytest.mark.parametrize("law", LAWS)
def test_what_is_learned_narrows_the_spread_but_not_below_a_tenth(law: Law) -> None:
    """In air that is known the law's own doubt goes, the difference between two coats stays."""
    sure = replace(air(13, 50), spread_celsius=np.full(480, 1e-6), spread_humidity=np.full(480, 1e-6))
    some, none = (dry_after(label(law), "recoat", START, sure, factor(1.2, share)) for share in (0.5, 0.0))
    all_of_it = dry_after(label(law), "recoat", START, sure, factor(1.2))
    assert none.high < some.high < all_of_it.high
    assert none.high == pytest.approx(none.minutes * 1.1, rel=1e-3)
    assert none.low == pytest.approx(none.minutes / 1.1, rel=1e-3)


def test_a_factor_that_cannot_be_is_refused() -> None:
    """Nobody dries a coat in a hundredth of its time, or follows one that does not dry for ever."""
    for value in (0.01, 20_001.0, float("nan")):
        with pytest.raises(OutOfRange, match="factor"):
            dry_after(label(), "touch", START, air(), factor(value))


def test_a_coat_that_would_take_a_hundred_years_never_dries() -> None:
    """Air a hair's breadth from saturated: told as such, not as a date that no calendar has."""
    with pytest.raises(NeverDries, match="hundred years"):
        dry_after(label(Law.WATERBORNE), "recoat", START, air(20, 99.99999), factor(2000.0))


def test_when_the_label_s_time_has_gone_by_the_coat_is_dry() -> None:
    """The way back from an estimate: in any air the moment of being dry is the moment when the label's minutes have gone by."""
    for law in LAWS:
        found = dry_after(label(law), "recoat", START + 40 * MINUTE, nights())
        gone = drying.gone_by(label(law), START + 40 * MINUTE, START + 40 * MINUTE + found.minutes * MINUTE, nights())
        assert gone.minutes == pytest.approx(240, abs=0.1)
        assert gone.low <= gone.minutes <= gone.high
        assert gone.stalled_minutes == pytest.approx(found.stalled_minutes, abs=2)


def test_in_the_label_s_air_the_clock_is_the_progress() -> None:
    """Half an hour is half an hour; in air nobody has measured it is less sure; in the cold nothing is gained or known."""
    gone = drying.gone_by(label(Law.OXIDISING), START + 75 * MINUTE, START + 105 * MINUTE, air())
    assert gone.minutes == pytest.approx(30)
    assert 0.05 < gone.spread < 0.5
    cold = drying.gone_by(label(), START, START + 90 * MINUTE, air(4))
    assert (cold.minutes, cold.stalled_minutes, cold.spread) == (0, 90, 3.0)


@pytest.mark.parametrize(("laid", "touched"), [(-1, 60), (60, 60), (60, 30), (0, 60 * 24 * 21)])
def test_a_touch_outside_the_air_or_before_the_coat_is_refused(laid: int, touched: int) -> None:
    """The caller gives air from laying to touch."""
    with pytest.raises(OutOfRange):
        drying.gone_by(label(), START + laid * MINUTE, START + touched * MINUTE, air())
