"""The air as other drawers ask for it: now, hour by hour, forecast, guessed."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest
from pytest_django import DjangoAssertNumQueries
from tests.drawers.air.air_made import taken_in

from tallboy.book.doing import By
from tallboy.drawers.air import days, queries
from tallboy.drawers.air.actions import add_reading
from tallboy.drawers.air.chart import NARROW, WIDE, chart
from tallboy.drawers.air.models import Reading
from tallboy.drawers.air.now import air_now, figures, verdict
from tallboy.sums import air

HOUR = timedelta(hours=1)


def test_a_shop_that_never_read_its_air_is_guessed(by: By) -> None:
    """18 °C and 60 % throughout, none of it measured, and it is told as a guess."""
    found = queries.series(by.shop, by.at, by.at + 10 * HOUR)
    assert set(found.celsius) == {18.0}
    assert set(found.relative_humidity) == {60.0}
    assert not found.measured.any()
    assert not queries.has_readings(by.shop)
    assert queries.line(by.shop, by.at) == "not read yet"
    assert queries.now_rows(by.shop, by.at) == []
    assert queries.now_data(by.shop, by.at) == {"read_at": None}


def test_one_reading_is_enough_to_stop_guessing(by: By) -> None:
    """From then on the shop's own air is carried on, not the usual one."""
    add_reading(by, by.at - HOUR, 9.0, 80)
    found = queries.series(by.shop, by.at, by.at + 48 * HOUR)
    assert found.celsius == pytest.approx(9.0)
    assert found.relative_humidity == pytest.approx(80)


def test_measured_hours_are_the_means_of_their_readings(by: By) -> None:
    """The database averages as the sums do: readings half an hour either side belong to the full hour."""
    for minutes, celsius in ((-20, 10.0), (0, 11.0), (20, 15.0), (40, 30.0)):
        add_reading(by.later(by.at + HOUR), by.at + timedelta(minutes=minutes), celsius, 50)
    found = queries.series(by.shop, by.at, by.at + HOUR)
    rows = list(Reading.objects.values_list("at", "celsius", "relative_humidity"))
    assert found.celsius[:2] == pytest.approx([12.0, 30.0])
    assert found.celsius[:2] == pytest.approx(air.hourly(rows).celsius)


def test_the_series_covers_what_was_asked_and_forecasts_the_rest(by: By) -> None:
    """Three weeks measured, three days of rhythm behind them with a growing spread."""
    taken_in(by)
    found = queries.series(by.shop, by.at - timedelta(days=21), by.at + timedelta(days=3))
    assert found.start == by.at - timedelta(days=21)
    assert found.end >= by.at + timedelta(days=3)
    past = int((by.at - found.start) / HOUR)
    assert found.measured[: past - 1].all()
    assert not found.measured[past + 1 :].any()
    assert found.spread_celsius[-1] >= found.spread_celsius[past - 2]
    # The rhythm goes on: tomorrow's dawn is as cold as the dawns were, within the spread.
    dawn = [at for at, moment in enumerate(days.moments(found, by.shop)) if moment.hour == 5]
    assert found.celsius[dawn[-1]] == pytest.approx(found.celsius[dawn[0]], abs=1.0)


def test_air_read_more_than_a_year_ago_serves_as_its_mean(by: By) -> None:
    """No rhythm is carried over years; the shop's own old air is still nearer than a guess."""
    old = by.later(by.at - timedelta(days=3000))
    for hour in range(48):
        add_reading(old, old.at - hour * HOUR, 12.0 + hour % 2, 70)
    found = queries.series(by.shop, by.at, by.at + 5 * HOUR)
    assert found.celsius == pytest.approx(12.5)


def test_a_reading_still_to_come_is_not_the_latest(by: By) -> None:
    """The newest reading up to the moment asked about."""
    first = add_reading(by, by.at - 2 * HOUR, 17, 60)
    add_reading(by, by.at, 18, 61)
    assert queries.latest(by.shop, by.at - HOUR) == first


def test_another_shops_air_is_not_ours(by: By, stranger: By) -> None:
    """Every question is asked of one shop."""
    taken_in(stranger, days=1)
    assert queries.latest(by.shop, by.at) is None
    assert not queries.series(by.shop, by.at, by.at + HOUR).measured.any()


def test_the_front_of_the_drawer_costs_one_question(by: By, django_assert_num_queries: DjangoAssertNumQueries) -> None:
    """Air and humidity in one line; an old reading says how old it is."""
    add_reading(by, by.at, 17.5, 62)
    with django_assert_num_queries(1):
        assert queries.line(by.shop, by.at) == "17.5 °C · 62 %"
    assert queries.line(by.shop, by.at + timedelta(days=3)).endswith("ago")


def test_what_follows_from_a_reading_agrees_with_the_reference(by: By) -> None:
    """20 °C and 50 %: dew point 9.27 °C (psychrolib 2.5.0 and MetPy 1.7.1, as gathered in wood-air-finish.md, check 17)."""
    found = queries.current(by.shop, add_reading(by, by.at, 20, 50).at)
    assert found is not None
    assert found.dew == pytest.approx(9.27, abs=0.1)
    assert found.margin == pytest.approx(10.73, abs=0.1)


def test_wood_settles_where_the_handbook_says(by: By) -> None:
    """70 °F and 65 %: 12.0 % (Wood Handbook FPL-GTR-190, Table 4-2, read)."""
    found = air_now(by.shop, add_reading(by, by.at, (70 - 32) / 1.8, 65), by.at)
    assert found.wood == pytest.approx(12.0, abs=0.07)


def test_the_rule_is_the_shops_and_the_verdict_follows_it(by: By) -> None:
    """16 °C and 71 % leave 5.2 °C, enough; 10 °C and 85 % leave 2.4 °C, not enough by either rule."""
    fine = air_now(by.shop, add_reading(by, by.at, 16, 71), by.at)
    damp = air_now(by.shop, add_reading(by, by.at - HOUR, 10, 85), by.at)
    assert (fine.may_coat, damp.may_coat) == (True, False)
    assert verdict(fine, by.shop).startswith("A coat may go on")
    assert verdict(damp, by.shop).startswith("No coat now")
    by.shop.units = "imperial"
    narrow = air_now(by.shop, add_reading(by, by.at - 2 * HOUR, 20, 83.7), by.at)
    assert narrow.margin is not None
    assert 25 / 9 < narrow.margin < 3
    assert narrow.may_coat
    assert "5.0 °F will do" in verdict(narrow, by.shop)


def test_every_figure_opens_to_its_inputs_formula_and_source(by: By) -> None:
    """Dew point, wood and margin: nothing a person acts on is without its working and spread."""
    rows = figures(by.shop, air_now(by.shop, add_reading(by, by.at, 17.5, 62), by.at))
    assert [row.key for row in rows] == ["dew", "wood", "margin"]
    assert all(row.inputs and row.formula and row.source and row.spread for row in rows)


def test_air_outside_the_formulas_is_told_not_worked_out(by: By) -> None:
    """Bone-dry or freezing air has no dew point or no moisture of wood; the pages say so instead of failing."""
    dry = air_now(by.shop, add_reading(by, by.at, 20, 0), by.at)
    assert (dry.dew, dry.may_coat) == (None, None)
    assert "cannot be said" in verdict(dry, by.shop)
    cold = air_now(by.shop, add_reading(by, by.at - HOUR, -15, 80), by.at)
    assert cold.wood is None
    assert queries.now_rows(by.shop, by.at - HOUR)[3]["value"] == "–"


def test_an_old_reading_says_how_old_it_is(by: By) -> None:
    """The rows for the page's corner get a fifth when the reading is no longer of now."""
    add_reading(by, by.at, 17.5, 62)
    assert len(queries.now_rows(by.shop, by.at + HOUR)) == 4
    assert queries.now_rows(by.shop, by.at + timedelta(days=2))[4]["value"].endswith("ago")


def test_the_table_says_what_the_drawing_shows(by: By) -> None:
    """One row a day with its extremes; days after today are forecast; cold ones are marked."""
    taken_in(by)
    series = queries.series(by.shop, by.at - timedelta(days=21), by.at + timedelta(days=3))
    rows = days.by_day(series, by.shop, by.at)
    assert [row.day for row in rows] == sorted({moment.date() for moment in days.moments(series, by.shop)})
    assert sum(row.forecast for row in rows) == 3
    assert min(row.coldest for row in rows) == pytest.approx(float(series.celsius.min()))
    whole = rows[5]
    assert (whole.cold, whole.coldest_at.hour, whole.guessed) == (True, 5, False)


@pytest.mark.parametrize("size", [WIDE, NARROW])
def test_the_drawing_tells_its_lines_apart_by_dashes_and_has_no_style(by: By, size: object) -> None:
    """Solid, dashed, dotted; forecast hatched; every cold night ringed; classes only."""
    taken_in(by)
    series = queries.series(by.shop, by.at - timedelta(days=21), by.at + timedelta(days=3))
    svg = chart(series, by.shop, by.at, size)  # type: ignore[arg-type]
    assert svg.count('stroke-dasharray="7 4"') == svg.count('stroke-dasharray="1.5 3.5"') == 2
    assert svg.count("plan-drying") == 2
    assert svg.count("<circle") == (21 if size is WIDE else 6)
    assert "style=" not in svg
    assert "nan" not in svg


def test_the_drawing_is_broken_where_nothing_was_measured(by: By) -> None:
    """A gap of days is a gap in the line, not a straight line through it."""
    for hour in (0, 1, 2, 100, 101, 102):
        add_reading(by, by.at - hour * HOUR, 15, 60)
    series = queries.series(by.shop, by.at - timedelta(days=6), by.at + timedelta(days=2))
    assert np.count_nonzero(series.measured) == 6
    solid = (
        chart(series, by.shop, by.at, NARROW)
        .split('stroke-width="2" stroke-linejoin="round"/>')[0]
        .rsplit("<path", 1)[1]
    )
    assert solid.count("M") == 2


def test_the_drawing_and_its_table_are_in_the_shops_degrees(by: By) -> None:
    """A shop that thinks in °F reads its scale, its cold nights and the spread in °F: 8 °C before dawn is 46.4 °F."""
    taken_in(by)
    by.shop.units = "imperial"
    series = queries.series(by.shop, by.at - timedelta(days=21), by.at + timedelta(days=3))
    svg = chart(series, by.shop, by.at, WIDE)
    assert ">°F<" in svg
    assert ">46.4<" in svg
    assert all(row.spread.endswith("°F") for row in days.by_day(series, by.shop, by.at))
