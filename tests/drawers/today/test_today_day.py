"""The day: what is next, what is begun, what waits and how sure that is."""

from __future__ import annotations

import io
import itertools
from collections.abc import Callable
from datetime import date, datetime, timedelta
from typing import Any

import pytest
from pypdf import PdfReader
from tests.drawers.today.today_made import chair, coat, cold, done, step, varnish, wait

from tallboy.book.actions import change_shop
from tallboy.book.doing import By
from tallboy.book.models import Person
from tallboy.drawers.air.actions import add_reading
from tallboy.drawers.pieces.actions.work import finish_step, pause_step, skip_step, start_step
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.day import MOST_TURNS, day_of
from tallboy.drawers.today.papers import day_sheet
from tallboy.drawers.today.show.week import strip
from tallboy.drawers.today.telling import day_data, day_lines
from tallboy.drawers.today.waiting import waiting

HOUR = timedelta(hours=1)
QUICK = 0.5


@pytest.fixture
def rui(by: By) -> By:
    """A second person in the shop."""
    change_shop(by, hands=2)
    return By(Person.objects.create(shop=by.shop, name="Rui"), by.at)


def test_next_is_the_first_to_come(by: By) -> None:
    """One thing first: the earliest planned step that has not begun."""
    piece = chair(by)
    glue, sand = step(piece, "Glue"), step(piece, "Sand")
    wait(glue, sand, kind="clamps", least_minutes=60)
    replan(by, seconds=QUICK)
    day = day_of(by.shop, by.at)
    assert day.next is not None
    assert day.next.step == glue
    assert [turn.row.step for turn in day.today] == [glue, sand]
    assert day.free_from == by.at + 2 * HOUR
    assert not day.behind


def test_day_without_plan(by: By) -> None:
    """Before anything is planned the day is empty, not broken."""
    day = day_of(by.shop, by.at)
    assert (day.plan, day.next, day.today, day.stale, day.behind, day.free_from) == (None, None, [], False, False, None)
    assert day.at_hand("Ines") is None
    assert strip(day) == ""
    assert day_lines(day)[0].startswith("There is no plan yet")


def test_begun_step_comes_first_for_who_works_on_it(by: By, rui: By) -> None:
    """Each of two people sees first what their own clock runs on; the other's is begun as well, not theirs."""
    piece, other = chair(by), chair(by, "Stool")
    sand, oil, third = step(piece, "Sand"), step(other, "Oil"), step(other, "Wax")
    start_step(by, sand)
    start_step(rui.later(by.at + HOUR / 6), oil)
    replan(by.later(by.at + HOUR / 6), seconds=QUICK)
    day = day_of(by.shop, by.at + HOUR / 6)
    assert day.running == [oil, sand]
    assert day.clocks == {sand.pk: ["Ines"], oil.pk: ["Rui"]}
    assert (day.at_hand("Ines"), day.at_hand("Rui")) == (sand, oil)
    assert day.at_hand("somebody new") == third


def test_step_laid_aside_comes_before_a_new_one(by: By) -> None:
    """What lies begun with nobody on it is the first thing to go on with."""
    piece = chair(by)
    sand = step(piece, "Sand")
    step(piece, "Oil")
    start_step(by, sand)
    pause_step(by.later(by.at + HOUR / 6), sand)
    replan(by.later(by.at + HOUR / 6), seconds=QUICK)
    assert day_of(by.shop, by.at + HOUR / 6).at_hand("Ines") == sand


def test_step_over_two_days_is_on_both(by: By) -> None:
    """A step cut by the evening is today's until it closes and goes on tomorrow morning."""
    step(chair(by), "Scrape", 600, split=True)
    replan(by, seconds=QUICK)
    day = day_of(by.shop, by.at)
    (today,) = day.today
    ((tomorrow, (turn,)),) = day.later
    assert (today.start, today.end.hour, today.goes_on) == (by.at, 17, False)
    assert (tomorrow, turn.start.hour, turn.goes_on) == (date(2026, 3, 13), 8, True)
    assert day.free_from == datetime(2026, 3, 12, 17, tzinfo=by.shop.tz)


def test_days_after_are_as_many_as_can_be_read(by: By) -> None:
    """Whole days until the list is long, the first always; work far ahead is still what is next when nothing else is."""
    piece = chair(by)
    for _number in range(140):
        step(piece, "Set a tack", 40)
    replan(by, seconds=QUICK)
    day = day_of(by.shop, by.at)
    assert [when for when, _turns in day.later] == [date(2026, 3, 13)]
    assert all(len(turns) <= MOST_TURNS for _when, turns in day.later)


def test_work_far_ahead_is_next_when_there_is_nothing_else(by: By) -> None:
    """The glass comes in a month: that is next, and today is free."""
    fit = step(chair(by), "Fit the glass", not_before=by.at + timedelta(days=30))
    replan(by, seconds=QUICK)
    day = day_of(by.shop, by.at)
    assert day.next is not None
    assert (day.next.step, day.today, day.later) == (fit, [], [])


def test_begun_step_stays_on_todays_list(by: By) -> None:
    """What is begun is part of the day, on the page and on the day sheet."""
    sand = step(chair(by), "Sand", 60)
    start_step(by, sand)
    replan(by, seconds=QUICK)
    assert [turn.row.step for turn in day_of(by.shop, by.at + HOUR / 6).today] == [sand]


def test_what_was_not_done_yesterday_is_todays_and_said_to_be_behind(by: By) -> None:
    """A plan that time has run past still shows its step, and says that the day went another way."""
    sand = step(chair(by), "Sand", 60)
    replan(by, seconds=QUICK)
    day = day_of(by.shop, by.at + 24 * HOUR)
    assert [turn.row.step for turn in day.today] == [sand]
    assert day.behind
    assert day.free_from is None


def test_drying_coat_waits_with_spread_and_working(by: By) -> None:
    """A coat just laid: until when, how sure that is, how it was worked out and where the figure comes from."""
    can = varnish(by, recoat_until_minutes=1440)
    piece = chair(by)
    first, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    wait(first, second, kind="drying", from_label="recoat")
    done(by, first, by.at - HOUR, by.at)
    (row,) = waiting(by.shop, by.at + HOUR)
    assert (row.step, row.verb, row.ready, row.trouble) == (first, "drying", False, "")
    assert row.opens == by.at + 4 * HOUR
    assert 0 < row.spread_minutes < 240
    assert row.closes == by.at + 24 * HOUR
    assert any("4 h" in line for line in row.working)
    assert "Clear varnish" in row.source


def test_working_tells_the_time_by_the_shops_clock(by: By) -> None:
    """The database gives moments in UTC; the working says when the coat was laid as the clock on the wall did."""
    shop = change_shop(by, timezone="Asia/Kolkata")
    piece = chair(by)
    varnished, waxed = coat(piece, "Varnish", varnish(by)), step(piece, "Wax")
    wait(varnished, waxed, kind="drying", from_label="recoat")
    done(by, varnished, by.at - HOUR, by.at)
    (row,) = waiting(shop, by.at + HOUR)
    assert any("Laid 2026-03-12 14:30." in line for line in row.working)


def test_open_window_is_told_until_it_closes(by: By) -> None:
    """Dry already, but the window will close: that is worth a line; afterwards it is not."""
    can = varnish(by, recoat_until_minutes=1440)
    piece = chair(by)
    first, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    wait(first, second, kind="drying", from_label="recoat")
    done(by, first, by.at - HOUR, by.at)
    (row,) = waiting(by.shop, by.at + 6 * HOUR)
    assert row.ready
    assert row.verb == "ready for the next coat"
    assert waiting(by.shop, by.at + 25 * HOUR) == []


def test_longest_wait_after_a_step_is_shown_once(by: By) -> None:
    """A coat that several steps wait for is one line, with the wait that ends last."""
    can = varnish(by)
    piece = chair(by)
    first, rub, last = coat(piece, "Coat 1", can), step(piece, "Rub down"), step(piece, "Put back")
    wait(first, rub, kind="drying", from_label="recoat")
    wait(first, last, kind="cure", from_label="cure")
    done(by, first, by.at - HOUR, by.at)
    (row,) = waiting(by.shop, by.at + HOUR)
    assert (row.kind, row.opens) == ("cure", by.at + 48 * HOUR)


def test_glue_waits_in_clamps_also_past_a_skipped_step(by: By) -> None:
    """The clamps stay on although the next step was skipped."""
    piece = chair(by)
    glue, scrape, sand = step(piece, "Glue"), step(piece, "Scrape"), step(piece, "Sand")
    wait(glue, scrape, kind="clamps", least_minutes=180)
    wait(scrape, sand)
    done(by, glue, by.at - HOUR, by.at)
    skip_step(by, scrape, "wiped off wet")
    (row,) = waiting(by.shop, by.at + HOUR)
    assert (row.step, row.verb, row.opens, row.closes) == (glue, "in clamps", by.at + 3 * HOUR, None)


def test_wait_is_over_when_what_waited_is_done(by: By) -> None:
    """Nobody asks any more how long the glue takes once the joint is sanded."""
    piece = chair(by)
    glue, sand = step(piece, "Glue"), step(piece, "Sand")
    wait(glue, sand, kind="clamps", least_minutes=180)
    done(by, glue, by.at - HOUR, by.at)
    finish_step(by, sand)
    assert waiting(by.shop, by.at) == []


def test_coat_that_does_not_dry_says_so(by: By) -> None:
    """Too cold for the can: no time is invented, the trouble is told."""
    cold(by, 3.0)
    can = varnish(by, minimum_celsius=10)
    piece = chair(by)
    first, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    wait(first, second, kind="drying", from_label="recoat")
    done(by, first, by.at - HOUR, by.at)
    (row,) = waiting(by.shop, by.at)
    assert "10 °C" in row.trouble
    replan(by, seconds=QUICK)
    assert day_lines(day_of(by.shop, by.at))[-1] == "drying: Kitchen chair: Coat 1 → not in this air"


def test_other_shops_and_pieces_gone_home_do_not_wait(by: By, stranger: By) -> None:
    """Neither another shop's glue nor that on a piece handed over is shown."""
    for who in (by, stranger):
        piece = chair(who)
        glue, sand = step(piece, "Glue"), step(piece, "Sand")
        wait(glue, sand, kind="clamps", least_minutes=180)
        done(who, glue, who.at - HOUR, who.at)
    assert [row.step.shop for row in waiting(by.shop, by.at)] == [by.shop]
    piece = waiting(by.shop, by.at)[0].step.piece
    piece.handed_over_at = by.at
    piece.save()
    assert waiting(by.shop, by.at) == []


def test_day_in_lines_and_data(by: By) -> None:
    """The command line says what is begun, what is next and why, and what waits; scripts get the same."""
    can = varnish(by)
    piece = chair(by)
    first, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    wait(first, second, kind="drying", from_label="recoat")
    done(by, first, by.at - HOUR, by.at)
    begun = step(piece, "Sharpen", 60)
    start_step(by, begun)
    replan(by, seconds=QUICK)
    day = day_of(by.shop, by.at)
    lines = day_lines(day)
    assert lines[0] == "Begun: Kitchen chair: Sharpen"
    assert lines[1] == "Next:  Thu 12 Mar 13:00  Kitchen chair: Coat 2"
    assert lines[-1].startswith("drying: Kitchen chair: Coat 1 → Thu 12 Mar 13:00 ± ")
    data = day_data(day)
    assert data["next"]["start"] == "2026-03-12T13:00:00+00:00"
    assert data["waiting"][0]["opens"] == "2026-03-12T13:00:00+00:00"


def test_day_sheet_is_printed(by: By) -> None:
    """The same day on paper."""
    step(chair(by), "Sand")
    replan(by, seconds=QUICK)
    assert day_sheet(by.shop, by.at).startswith(b"%PDF")


def test_questions_do_not_grow_with_the_day(by: By, django_assert_max_num_queries: Callable[..., Any]) -> None:
    """A full shop asks the database no more than an empty one: each thing once."""
    can = varnish(by)
    for number in range(8):
        piece = chair(by, f"Chair {number}")
        row = [coat(piece, f"Coat {count}", can) for count in range(4)]
        for one, then in itertools.pairwise(row):
            wait(one, then, kind="drying", from_label="recoat")
        done(by, row[0], by.at - HOUR, by.at - HOUR / 2)
    replan(by, seconds=QUICK)
    with django_assert_max_num_queries(12):
        day = day_of(by.shop, by.at)
    assert len(day.waiting) == 8
    with django_assert_max_num_queries(4):
        strip(day)


def test_day_sheet_tells_the_day_of_an_old_reading(by: By) -> None:
    """The air of this morning is told by the hour, that of three days ago by its day, older still by its date."""
    add_reading(by, by.at - 20 * 24 * HOUR, 14.0, 70.0)
    assert "20 Feb 2026" in _text(day_sheet(by.shop, by.at))
    add_reading(by, by.at - 3 * 24 * HOUR, 15.0, 70.0)
    assert "Mon 09:00" in _text(day_sheet(by.shop, by.at))
    add_reading(by, by.at - HOUR, 16.0, 70.0)
    assert "08:00" in _text(day_sheet(by.shop, by.at))


def _text(pdf: bytes) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)
