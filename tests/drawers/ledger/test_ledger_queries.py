"""What the ledger counts: weeks by the shop's clock, people, pieces, steps, forgotten clocks; and with how many queries."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from tests.drawers.ledger.ledger_made import clock, piece, second_person, step

from tallboy.book.actions import change_shop
from tallboy.book.doing import By
from tallboy.drawers.ledger import queries
from tallboy.drawers.pieces.models import Step

HOUR = timedelta(hours=1)
LISBON = ZoneInfo("Europe/Lisbon")
Queries = Callable[[int], AbstractContextManager[object]]


def test_line_tells_this_week_only(by: By) -> None:
    """Work of last Sunday evening is another week's; work since Monday counts, and a running clock up to now."""
    on = step(by, piece(by))
    sunday = datetime(2026, 3, 8, 22, 0, tzinfo=LISBON)
    clock(by, on, sunday, sunday + HOUR)
    clock(by, on, by.at - timedelta(days=1, hours=2), by.at - timedelta(days=1))
    clock(by, on, by.at - timedelta(minutes=30), None)
    assert queries.line(by.shop, by.at) == "2 h 30 this week"


def test_line_is_one_query(by: By, django_assert_max_num_queries: Queries) -> None:
    """The chest is on every page, so its line is cheap."""
    with django_assert_max_num_queries(1):
        assert queries.line(by.shop, by.at) == "0 min this week"


def test_an_hour_is_an_hour_when_the_clocks_change(by: By) -> None:
    """Lisbon's clocks jump from 01:00 to 02:00 on 29 March 2026 (tz database): from 00:30 to 02:30 is one hour."""
    on = step(by, piece(by))
    began, ended = datetime(2026, 3, 29, 0, 30, tzinfo=LISBON), datetime(2026, 3, 29, 2, 30, tzinfo=LISBON)
    clock(by, on, began, ended)
    assert queries.lately(by.shop, ended).total.time == HOUR


def test_weeks_begin_on_the_shops_own_monday(by: By) -> None:
    """Half past midnight on Monday in Auckland is still Sunday in UTC, and counts in the new week there."""
    change_shop(by, timezone="Pacific/Auckland")
    zone = ZoneInfo("Pacific/Auckland")
    on = step(by, piece(by))
    for start in (datetime(2026, 3, 9, 0, 30, tzinfo=zone), datetime(2026, 3, 8, 23, 0, tzinfo=zone)):
        clock(by, on, start, start + HOUR / 2)
    weeks = queries.lately(by.shop, by.at).weeks
    assert [(row.of, row.time) for row in weeks] == [(date(2026, 3, 9), HOUR / 2), (date(2026, 3, 2), HOUR / 2)]


def test_lately_is_twelve_weeks_in_one_query(by: By, django_assert_max_num_queries: Queries) -> None:
    """Eleven Mondays before this one still counts, the Sunday before that does not; a whole year costs no more queries."""
    on = step(by, piece(by))
    monday = datetime(2025, 12, 22, 8, 0, tzinfo=LISBON)
    for start in (monday, monday - timedelta(hours=12), *(monday - timedelta(weeks=back) for back in range(1, 52))):
        clock(by, on, start, start + HOUR)
    with django_assert_max_num_queries(1):
        lately = queries.lately(by.shop, by.at)
    assert [(row.of, row.time) for row in lately.weeks] == [(date(2025, 12, 22), HOUR)]


def test_by_person_and_by_piece_add_up(by: By) -> None:
    """Three hours of one, one of the other, on two pieces: the sums by person and by piece agree, and so does the money."""
    change_shop(by, rate=Decimal("40.00"))
    dresser, trolley = piece(by), piece(by, "2026-002", "Tea trolley")
    one, two = step(by, dresser), step(by, trolley, "Clean the wheels")
    abel = second_person(by)
    clock(by, one, by.at - 5 * HOUR, by.at - 2 * HOUR)
    clock(by, two, by.at - 5 * HOUR, by.at - 4 * HOUR, abel)
    lately = queries.lately(by.shop, by.at)
    assert [(row.of, row.time) for row in lately.people] == [("Ines", 3 * HOUR), ("Abel", HOUR)]
    assert (lately.total.time, lately.total.money) == (4 * HOUR, Decimal("160.00"))
    rows = queries.by_piece(by.shop, list(queries.pieces_worked_on(by.shop)), by.at)
    assert [(row.of, row.time, row.money) for row in rows] == [
        (trolley, HOUR, Decimal("40.00")),
        (dresser, 3 * HOUR, Decimal("120.00")),
    ]


def test_by_step_sets_the_estimate_beside_the_real(by: By) -> None:
    """A done step says how far off the estimate was; one under way, or never begun, does not."""
    of = piece(by)
    done, running, untouched = (step(by, of, title) for title in ("Strip", "Sand", "Oil"))
    clock(by, done, by.at - 5 * HOUR, by.at - 3 * HOUR)
    clock(by, running, by.at - HOUR / 2, None)
    Step.objects.filter(pk=done.pk).update(state="done", began_at=by.at - 5 * HOUR, ended_at=by.at - 3 * HOUR)
    rows = queries.by_step(of, by.at)
    assert [row.step for row in rows] == [done, running, untouched]
    assert [row.real for row in rows] == ["2 h", "30 min", ""]
    assert [row.running for row in rows] == [False, True, False]
    assert [row.compared for row in rows] == ["1 h longer", "", ""]


def test_only_a_clock_that_ran_for_more_than_ten_hours_is_forgotten(by: By) -> None:
    """Ten hours to the minute may still be a long day."""
    on = step(by, piece(by))
    abel = second_person(by)
    long = clock(by, on, by.at - 10 * HOUR - timedelta(minutes=1), None)
    clock(by, on, by.at - 10 * HOUR, None, abel)
    clock(by, on, by.at - 30 * HOUR, by.at - 8 * HOUR)
    assert queries.forgotten(by.shop, by.at) == [long]


def test_another_shops_hours_are_not_counted(by: By, stranger: By) -> None:
    """Two books in one database stay apart."""
    clock(stranger, step(stranger, piece(stranger)), by.at - 3 * HOUR, by.at)
    lately = queries.lately(by.shop, by.at)
    assert lately.total.time == timedelta()
    assert lately.weeks == lately.people == []
    assert not queries.pieces_worked_on(by.shop).exists()
