"""When there is work: hours of the shop, of people and of places, days off, holidays, noise, and the days the clocks change.

Clocks: Directive 2000/84/EC has them go forward at 1 in the morning UTC on the last Sunday of March and back at the same hour on
the last Sunday of October; in Lisbon from 1 to 2 on 29 March 2026, and from 2 to 1 on 25 October 2026.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.moments import LISBON, MORNING

from tallboy.book import actions, queries
from tallboy.book.doing import By
from tallboy.book.models import Person, Place, Shop, WorkingHours
from tallboy.book.stretches import Span, Timetable, moment, timetable, total

FORWARD, BACK = date(2026, 3, 29), date(2026, 10, 25)
HOUR = timedelta(hours=1)


def told(spans: list[Span] | None) -> list[str]:
    """Spans by the clock on the wall."""
    assert spans is not None
    return [f"{opens:%a %d %H:%M}-{closes:%H:%M}" for opens, closes in spans]


def table(day: date, *hours: tuple[time, time], zone: str = "Europe/Lisbon", days: int = 0) -> Timetable:
    """A shop that works these hours every day, asked from the midnight before `day` on; not in any database."""
    shop = Shop(timezone=zone)
    rows = [WorkingHours(weekday=number, opens=a, closes=b) for number in range(7) for a, b in hours]
    since = datetime.combine(day, time(0), tzinfo=shop.tz)
    return Timetable(shop, since, days, tuple(rows), frozenset(), {})


def test_a_person_works_the_shops_hours_or_their_own(by: By) -> None:
    """Their own on Saturday, though the shop is closed then; without any again as the shop."""
    abel = actions.add_person(by, "Abel")
    shops = queries.working_stretches(by.shop, MORNING, 4)
    assert queries.person_stretches(abel, MORNING, 4) == shops
    actions.set_hours(by, [(5, time(9), time(12))], abel)
    assert told(queries.person_stretches(abel, MORNING, 9)) == ["Sat 14 09:00-12:00", "Sat 21 09:00-12:00"]
    assert queries.working_stretches(by.shop, MORNING, 4) == shops
    actions.set_hours(by, [], abel)
    assert queries.person_stretches(abel, MORNING, 4) == shops


def test_setting_the_shops_hours_leaves_a_persons_and_a_places_alone(by: By) -> None:
    """Nobody's own week goes with the shop's."""
    bench = Place.objects.get(shop=by.shop, name="bench")
    for of in (by.person, bench):
        actions.set_hours(by, [(0, time(10), time(12))], of)
    actions.set_hours(by, [])
    assert [queries.hours(by.shop, of) for of in (by.person, bench)] == [[(0, time(10), time(12))]] * 2
    assert queries.hours(by.shop) == []


def test_a_place_has_hours_only_where_they_were_given(by: By) -> None:
    """None: whenever somebody works. Otherwise its own, on no day off of everybody."""
    spray = Place.objects.get(shop=by.shop, name="spray spot")
    assert queries.place_stretches(spray, MORNING, 4) is None
    actions.set_hours(by, [(day, time(10), time(16)) for day in (4, 5, 0)], spray)
    actions.add_day_off(by, date(2026, 3, 13))
    assert told(queries.place_stretches(spray, MORNING, 4)) == ["Sat 14 10:00-16:00", "Mon 16 10:00-16:00"]


def test_days_off_of_one_person_are_theirs_alone(by: By) -> None:
    """The shop works on; days off of everybody count for each."""
    abel = actions.add_person(by, "Abel")
    actions.add_days_off(by, date(2026, 3, 12), date(2026, 3, 13), "the boat", abel)
    actions.add_day_off(by, date(2026, 3, 16))
    assert told(queries.person_stretches(abel, MORNING, 5)) == ["Tue 17 08:00-12:30", "Tue 17 13:00-17:00"]
    assert [span[0].day for span in queries.working_stretches(by.shop, MORNING, 5)] == [12, 12, 13, 13, 17, 17]


def test_holidays_are_free_while_they_are_kept(by: By) -> None:
    """Good Friday 2026 (3 April, see test_book_holidays); one can be worked after all and be free again."""
    since = datetime(2026, 4, 2, 7, tzinfo=LISBON)

    def worked() -> list[int]:
        return sorted({span[0].day for span in queries.working_stretches(by.shop, since, 4)})

    assert worked() == [2, 3, 6]
    actions.set_holidays(by, "PT", keeps=True)
    assert worked() == [2, 6]
    actions.work_on_holiday(by, date(2026, 4, 3))
    assert worked() == [2, 3, 6]
    actions.keep_holiday(by, date(2026, 4, 3))
    assert worked() == [2, 6]
    actions.set_holidays(by, "PT", keeps=False)
    assert worked() == [2, 3, 6]


def test_nobody_works_on_a_holiday_in_hours_of_their_own(by: By) -> None:
    """A person's and a place's hours end where everybody's days do."""
    actions.set_holidays(by, "PT", keeps=True)
    bench = Place.objects.get(shop=by.shop, name="bench")
    since = datetime(2026, 4, 3, 7, tzinfo=LISBON)
    for of in (by.person, bench):
        actions.set_hours(by, [(4, time(10), time(12)), (5, time(10), time(12))], of)
    assert told(queries.person_stretches(by.person, since, 1)) == ["Sat 04 10:00-12:00"]
    assert told(queries.place_stretches(bench, since, 1)) == ["Sat 04 10:00-12:00"]


def test_the_list_of_days_off_holds_the_holidays(by: By) -> None:
    """In order, a holiday told as one; a day that is both is told once, with the reason somebody gave; a year at most."""
    actions.set_holidays(by, "PT", keeps=True)
    actions.add_day_off(by, date(2026, 3, 20), "fair")
    actions.add_day_off(by, date(2026, 4, 25), "regatta")
    actions.work_on_holiday(by, date(2026, 4, 3))
    rows = queries.free_days(by.shop, by.at)
    assert [(f"{row.day:%m-%d}", row.reason, row.holiday, row.worked) for row in rows[:5]] == [
        ("03-20", "fair", False, False),
        ("04-03", "Good Friday", True, True),
        ("04-05", "Easter Sunday", True, False),
        ("04-25", "regatta", False, False),
        ("05-01", "Labor Day", True, False),
    ]
    assert rows[-1].day == date(2027, 1, 1)


def test_quiet_is_from_evening_to_morning(by: By) -> None:
    """From the moment asked for on, through the night after the last day; none where noise is allowed at any time."""
    assert timetable(by.shop, MORNING, 1).quiet() == []
    actions.set_quiet_hours(by, time(9, 30), time(18))
    assert told(timetable(by.shop, MORNING, 1).quiet()) == [
        "Thu 12 09:00-09:30",
        "Thu 12 18:00-09:30",
        "Fri 13 18:00-09:30",
    ]


def test_noise_keeps_to_the_clock_when_it_changes(by: By) -> None:
    """The night of 29 March is an hour short, that of 25 October an hour long."""
    actions.set_quiet_hours(by, time(8), time(20))
    nights = {
        day: timetable(by.shop, datetime.combine(day, time(0), LISBON) - 12 * HOUR, 0).quiet()
        for day in (FORWARD, BACK)
    }
    assert {day: total(spans[-1:]) / HOUR for day, spans in nights.items()} == {FORWARD: 11, BACK: 13}


def test_a_shift_through_the_change_is_as_long_as_time_passes() -> None:
    """From midnight until six: five hours in spring, seven in autumn, and the clock shows the same."""
    for day, hours in ((FORWARD, 5), (BACK, 7)):
        spans = table(day, (time(0), time(6))).of_shop()
        assert [(a.time(), b.time()) for a, b in spans] == [(time(0), time(6))]
        assert total(spans) / HOUR == hours


def test_a_time_that_the_clocks_skip_is_the_moment_they_skip_it() -> None:
    """Half past one on 29 March is not there: what ends then ends at one UTC, and what begins then begins at one UTC."""
    jump = datetime(2026, 3, 29, 1, tzinfo=UTC)
    assert moment(FORWARD, time(1, 30), LISBON) == moment(FORWARD, time(1, 0), LISBON) == jump
    spans = table(FORWARD, (time(0), time(1, 30)), (time(1, 30), time(3))).of_shop()
    assert [(a.astimezone(UTC).hour, b.astimezone(UTC).hour) for a, b in spans] == [(0, 1), (1, 2)]
    assert table(FORWARD, (time(1, 15), time(1, 45))).of_shop() == []


def test_a_time_that_the_clocks_show_twice_is_the_first() -> None:
    """Half past one on 25 October is half past midnight UTC, before the clocks go back."""
    assert moment(BACK, time(1, 30), LISBON).astimezone(UTC) == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
    assert total(table(BACK, (time(1, 30), time(3))).of_shop()) / HOUR == 2.5


def test_now_in_the_hour_shown_twice_is_told_apart() -> None:
    """At half past one for the second time, half an hour of a shift until two is left, not one and a half."""
    shift = table(BACK, (time(0), time(2)))
    second = datetime(2026, 10, 25, 1, 30, tzinfo=LISBON, fold=1)
    left = Timetable(shift.shop, second, 0, shift.hours, shift.closed, shift.away).of_shop()
    assert total(left) / HOUR == 0.5


ZONES = ("Europe/Lisbon", "America/Halifax", "Australia/Lord_Howe", "Africa/Casablanca", "America/St_Johns", "UTC")
CLOCK = st.times(time(0, 0), time(23, 59)).map(lambda at: at.replace(second=0, microsecond=0))
DATES = st.dates(date(2026, 1, 1), date(2029, 12, 31))


@given(DATES, st.lists(CLOCK, min_size=2, max_size=8, unique=True), st.sampled_from(ZONES), st.integers(0, 40))
def test_stretches_are_in_order_and_apart(day: date, clocks: list[time], zone: str, days: int) -> None:
    """Whatever the clocks do, and wherever: each ends after it begins, and before the next begins or just then."""
    edges = sorted(clocks)[: len(clocks) // 2 * 2]
    spans = table(day, *zip(edges[::2], edges[1::2], strict=True), zone=zone, days=days).of_shop()
    real = [(a.astimezone(UTC), b.astimezone(UTC)) for a, b in spans]
    assert all(a < b for a, b in real)
    assert all(end <= start for (_a, end), (start, _b) in pairwise(real))


@given(DATES, CLOCK, st.sampled_from(ZONES))
def test_a_moment_is_what_the_wall_shows_or_just_after(day: date, clock: time, zone: str) -> None:
    """The clock shows the time asked for, or the first time after it that there is."""
    tz = Shop(timezone=zone).tz
    shown = moment(day, clock, tz)
    assert shown.replace(tzinfo=None) >= datetime.combine(day, clock)
    before = (shown.astimezone(UTC) - timedelta(minutes=1)).astimezone(tz)
    assert before.replace(tzinfo=None, fold=0) < datetime.combine(day, clock)


@pytest.mark.parametrize("many", [1, 12])
def test_all_hours_are_read_in_few_questions(by: By, many: int, django_assert_max_num_queries: Any) -> None:
    """The database is asked as often for a dozen people as for one."""
    people = [Person.objects.create(shop=by.shop, name=f"hand {number}") for number in range(many)]
    with django_assert_max_num_queries(4):
        read = timetable(by.shop, MORNING, 30)
        assert all(read.of_person(person) for person in people)
