"""Readings written down, taken in from a file, and taken back; each leaves its row in the journal."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from django.db import IntegrityError, transaction
from tests.drawers.air.air_made import quay_file, taken_in

from tallboy.book.doing import By
from tallboy.book.models import Journal
from tallboy.drawers.air.actions import (
    add_reading,
    import_readings,
    take_back_file,
    take_back_reading,
)
from tallboy.drawers.air.logger_file import Answers, Ask, BadLines
from tallboy.drawers.air.models import LoggerFile, Reading, nearest_hour
from tallboy.errors import BadInput, NotFound


def state() -> tuple[int, int, int]:
    """How many readings, files and journal rows the book has."""
    return Reading.objects.count(), LoggerFile.objects.count(), Journal.objects.count()


def test_a_reading_is_written_down_with_who_and_when(by: By) -> None:
    """The row carries its shop and person, the journal says what was read."""
    reading = add_reading(by, by.at, 17.5, 62)
    assert (reading.shop, reading.owner, reading.at) == (by.shop, by.person, by.at)
    row = Journal.objects.first()
    assert row is not None
    assert (row.action, row.subject_id) == ("add reading", reading.pk)
    assert "17.5 °C, 62 %" in row.text


@pytest.mark.parametrize(
    ("celsius", "humidity"), [(-41, 50), (61, 50), (17, -1), (17, 101), (float("nan"), 50), (17, float("nan"))]
)
def test_impossible_air_is_refused(by: By, celsius: float, humidity: float) -> None:
    """Nothing is written of air that no shop has."""
    before = state()
    with pytest.raises(BadInput):
        add_reading(by, by.at, celsius, humidity)
    assert state() == before


def test_a_time_to_come_and_a_time_twice_are_refused(by: By) -> None:
    """One moment has one reading, and none is from tomorrow or without a zone."""
    add_reading(by, by.at, 17, 62)
    before = state()
    for at in (by.at, by.at + timedelta(days=1), datetime(2026, 3, 1, 9)):  # noqa: DTZ001  the missing zone is the point
        with pytest.raises(BadInput):
            add_reading(by, at, 18, 60)
    assert state() == before


def test_a_wrong_reading_is_taken_back_and_stays_in_the_journal(by: By) -> None:
    """What it said and why it went can still be read; without a reason nothing happens."""
    reading = add_reading(by, by.at, 45, 62)
    with pytest.raises(BadInput):
        take_back_reading(by, reading, "  ")
    take_back_reading(by, reading, "stood on the stove")
    assert not Reading.objects.exists()
    row = Journal.objects.first()
    assert row is not None
    assert row.data["celsius"] == 45
    assert "stood on the stove" in row.text


def test_another_shops_reading_or_file_cannot_be_taken_back(by: By, stranger: By) -> None:
    """As if it were not there."""
    reading, file = add_reading(stranger, by.at, 17, 62), taken_in(stranger, days=1).file
    with pytest.raises(NotFound):
        take_back_reading(by, reading, "no")
    with pytest.raises(NotFound):
        take_back_file(by, file, "no")
    assert Reading.objects.filter(shop=stranger.shop).count() == 25


def test_a_file_is_taken_in_once(by: By) -> None:
    """The second time all its readings are known; a longer file brings only what is new."""
    first = taken_in(by, days=2)
    assert (first.count, first.skipped, first.last) == (48, 0, by.at - timedelta(hours=1))
    again = taken_in(by, days=2)
    assert (again.count, again.skipped) == (0, 48)
    longer = taken_in(by, days=3)
    assert (longer.count, longer.skipped, longer.first) == (24, 48, by.at - timedelta(days=3))
    assert Reading.objects.count() == 72


def test_another_shop_takes_the_same_file_in_for_itself(by: By, stranger: By) -> None:
    """What one shop knows does not count for another."""
    taken_in(by, days=1)
    assert taken_in(stranger, days=1).count == 24


@pytest.mark.parametrize(
    ("text", "error"),
    [
        ("time;temp °C;rh\n2026-03-12 08:00;17;62\nx;17;62\n", BadLines),
        ("time;temp °C;rh\n03/04/2026 08:00;17;62\n", Ask),
        ("time;temp °C;rh\n2026-03-12 08:00;62;17\n", Ask),
        ("nothing", BadInput),
    ],
)
def test_nothing_is_half_taken_in(by: By, text: str, error: type[Exception]) -> None:
    """A file that is not understood whole leaves the book as it was."""
    before = state()
    with pytest.raises(error):
        import_readings(by, text.encode(), "x.csv", Answers())
    assert state() == before


def test_bad_lines_are_left_out_only_when_the_person_says_so(by: By) -> None:
    """The count of lines left out is kept with the file."""
    text = "time;temp °C;rh\n2026-03-12 08:00;17;62\nx;17;62\n"
    done = import_readings(by, text.encode(), "x.csv", Answers(leave_out_bad=True))
    assert (done.count, done.file.left_out) == (1, 1)


def test_local_times_are_the_shops(by: By) -> None:
    """A line without an offset is by the shop's clock: in Lisbon's summer an hour before UTC."""
    import_readings(by.later(by.at + timedelta(days=200)), b"time;temp C;rh\n2026-07-01 09:00;22;55\n", "x", Answers())
    assert Reading.objects.get().at == datetime(2026, 7, 1, 8, tzinfo=UTC)


def test_a_whole_file_can_be_taken_back(by: By) -> None:
    """Its readings go, those written by hand or brought by another file stay."""
    add_reading(by, by.at, 17, 62)
    kept = taken_in(by, days=1)
    wrong = taken_in(by, days=2)
    assert take_back_file(by, wrong.file, "wrong unit") == 24
    assert Reading.objects.count() == 25
    assert list(LoggerFile.objects.all()) == [kept.file]


def test_the_hour_is_always_the_nearest_one(by: By) -> None:
    """By save or in bulk, the column the means are taken over follows the time of the reading."""
    at = by.at + timedelta(minutes=29)
    one = Reading.objects.create(**by.kept(), at=at, celsius=17, relative_humidity=60, hour=3)
    Reading.objects.bulk_create([Reading(**by.kept(), at=at + timedelta(minutes=2), celsius=17, relative_humidity=60)])
    assert list(Reading.objects.values_list("hour", flat=True)) == [nearest_hour(by.at), nearest_hour(by.at) + 1]
    assert one.hour == nearest_hour(by.at)


def test_the_database_itself_refuses_impossible_air(by: By) -> None:
    """Whoever goes round the actions still cannot store 101 %, nor one moment twice."""
    Reading.objects.create(**by.kept(), at=by.at, celsius=17, relative_humidity=60)
    for values in ({"relative_humidity": 101, "celsius": 17}, {"relative_humidity": 50, "celsius": 61}):
        with pytest.raises(IntegrityError), transaction.atomic():
            Reading.objects.create(**by.kept(), at=by.at - timedelta(hours=1), **values)
    with pytest.raises(IntegrityError), transaction.atomic():
        Reading.objects.create(**by.kept(), at=by.at, celsius=17, relative_humidity=60)


def test_the_file_of_a_test_is_what_it_says(by: By) -> None:
    """The invented file has a line an hour and its heading."""
    assert len(quay_file(by, days=1).splitlines()) == 25
