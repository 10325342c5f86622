"""The month, the day and their drawings: what was done, what is planned, what must not be missed, each on its day."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from tests.drawers.today.today_made import chair, coat, done, step, varnish, wait
from tests.drawings import bars, parsed

from tallboy.book.actions import add_day_off
from tallboy.book.doing import By
from tallboy.book.models import Person
from tallboy.drawers.pieces.actions.work import start_step
from tallboy.drawers.pieces.models import Delivery
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.models import PlannedStep
from tallboy.drawers.today.show import day_page as plan_day
from tallboy.drawers.today.show import month
from tallboy.drawers.today.show.period import Period
from tallboy.drawers.today.show.strip import NAME_WIDTH

HOUR = timedelta(hours=1)
THURSDAY = date(2026, 3, 12)
QUICK = 0.4
OpenAt = Callable[[By], Client]


@pytest.fixture(autouse=True)
def quick(settings: Any) -> None:
    settings.PLAN_SECONDS = 0.3


def period(by: By, first: date = THURSDAY, last: date = THURSDAY) -> Period:
    return Period(by.shop, by.at, first, last)


def page(client: Client, name: str, *args: object, **query: str) -> str:
    answer = client.get(reverse(f"today:{name}", args=args), query)
    assert answer.status_code == 200
    return str(answer.content.decode())


def texts(svg: str) -> list[str]:
    return [one.text or "" for one in parsed(svg).iter("text")]


@pytest.mark.parametrize(
    ("asked", "first", "last", "weeks"),
    [
        (date(2026, 3, 1), date(2026, 2, 23), date(2026, 4, 5), 6),
        (date(2027, 2, 1), date(2027, 2, 1), date(2027, 2, 28), 4),
        (date(2026, 12, 1), date(2026, 11, 30), date(2027, 1, 3), 5),
    ],
)
def test_a_month_is_shown_in_whole_weeks(asked: date, first: date, last: date, weeks: int) -> None:
    """From the Monday of its first week to the Sunday of its last; by the calendar on any wall."""
    assert month.month_of(asked) == (first, last)
    assert (last - first).days + 1 == 7 * weeks


def test_done_and_planned_work_stand_on_their_days(by: By) -> None:
    """What was done yesterday with its real hours, what is planned from now on, each once."""
    piece = chair(by)
    before, ahead = step(piece, "Scrape"), step(piece, "Sand")
    wait(before, ahead)
    done(by, before, by.at - 24 * HOUR, by.at - 22 * HOUR)
    replan(by, seconds=QUICK)
    shown = period(by, THURSDAY - timedelta(days=1))
    assert [(work.step, work.done, work.start, work.end) for work in shown.work] == [
        (before, True, by.at - 24 * HOUR, by.at - 22 * HOUR),
        (ahead, False, by.at, by.at + HOUR / 2),
    ]
    lines = {line.day: line for line in month.day_lines(shown)}
    assert lines[THURSDAY - timedelta(days=1)].minutes == 120
    assert lines[THURSDAY].minutes == 30


def test_what_is_begun_counts_its_clock_and_its_rest_once(by: By) -> None:
    """An hour on the clock and the half that is left: no minute twice."""
    piece = chair(by)
    long = step(piece, "Strip", 90)
    start_step(by.later(by.at - HOUR), long)
    replan(by, seconds=QUICK)
    (line,) = month.day_lines(period(by))
    assert 85 <= line.minutes <= 95


def test_drying_promise_and_window_are_on_the_month(by: By) -> None:
    """A coat laid this morning dries until one, its window closes on Saturday, the chair is promised for Friday."""
    can = varnish(by, recoat_until_minutes=2 * 24 * 60)
    piece = chair(by, promise=date(2026, 3, 13))
    first, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    wait(first, second, kind="drying", from_label="recoat")
    done(by, first, by.at - HOUR, by.at)
    replan(by, seconds=QUICK)
    shown = period(by, THURSDAY, THURSDAY + timedelta(days=6))
    (rest,) = [rest for rest in shown.rests if rest.step == first]
    assert (rest.start, rest.until, rest.kind) == (by.at, by.at + 4 * HOUR, "drying")
    (closing,) = shown.closings
    assert (closing.then, closing.at) == (second, by.at + 48 * HOUR)
    (due,) = shown.dues
    assert (due.piece, due.day, due.late) == (piece, date(2026, 3, 13), False)
    (row,) = month.rows_of(shown)
    svg = month.draw(shown, [row], "now")
    frame_left = NAME_WIDTH
    (dries,) = bars(svg, "plan-drying")
    assert frame_left < dries[0] < dries[1]
    assert {"Kitchen chair", "now", "12"} <= set(texts(svg))
    assert 'class="plan-flag"' in svg
    assert 'class="plan-window"' in svg


def test_late_promise_is_drawn_and_said(client_at: OpenAt, by: By) -> None:
    """What cannot be kept has another flag, and words."""
    piece = chair(by, promise=THURSDAY)
    step(piece, "Strip", 480, split=True), step(piece, "Sand", 480, split=True)
    replan(by, seconds=QUICK)
    told = page(client_at(by), "plan-month")
    assert 'class="plan-flag plan-late" d="M' in told
    assert "(planned later)" in told


def test_days_off_are_hatched_and_named(client_at: OpenAt, by: By) -> None:
    """A day off has a narrow column with a faint hatch, and its reason in the list; so has every weekend."""
    step(chair(by), "Sand")
    add_day_off(by, date(2026, 3, 19), "Quay fair")
    replan(by, seconds=QUICK)
    told = page(client_at(by), "plan-month", **{"from": "2026-03"})
    assert told.count('class="plan-closed" x=') == 6 * 2 + 1
    assert "Quay fair" in told


def test_every_day_and_every_piece_is_a_tap_away(client_at: OpenAt, by: By) -> None:
    """The drawing and the list lead to the day; the drawing and the buttons below to the piece's path."""
    piece = chair(by)
    step(piece, "Sand")
    replan(by, seconds=QUICK)
    told = page(client_at(by), "plan-month")
    assert told.count(f'href="{reverse("today:plan-day", args=["2026-03-12"])}"') == 2
    assert told.count(f'href="{reverse("today:path", args=[piece.pk])}"') == 2


def test_many_pieces_come_in_pages(client_at: OpenAt, by: By) -> None:
    """Twenty rows a page; the list of days counts all of them."""
    for number in range(23):
        step(chair(by, f"Chair {number:02d}"), "Sand", 10)
    replan(by, seconds=QUICK)
    first, second = (page(client_at(by), "plan-month", page=str(number)) for number in (1, 2))
    assert len(re.findall(r'class="plan-hands" d=', first)) == 20
    assert len(re.findall(r'class="plan-hands" d=', second)) == 3
    assert "3 h 50" in first
    assert "3 h 50" in second


def test_empty_shop_has_an_empty_month(client_at: OpenAt, by: By) -> None:
    """No plan, no piece: the page says so."""
    told = page(client_at(by), "plan-month")
    assert "There is no plan yet." in told
    assert "Nothing is done or planned in these weeks." in told


@pytest.mark.parametrize("asked", ["2026-13", "2026", "x", "0001-01", "9999-12", "2026-03-12"])
def test_no_such_month(client_at: OpenAt, by: By, asked: str) -> None:
    """What is no month is told as not found, in plain words."""
    answer = client_at(by).get(reverse("today:plan-month"), {"from": asked})
    assert answer.status_code == 404


@pytest.mark.parametrize("asked", ["2026-02-30", "today", "0001-01-01", "9999-12-31"])
def test_no_such_day(client_at: OpenAt, by: By, asked: str) -> None:
    """The same for a day."""
    assert client_at(by).get(reverse("today:plan-day", args=[asked])).status_code == 404


def test_a_day_person_by_person(client_at: OpenAt, by: By) -> None:
    """Two people: each has a list of their own, what they do together stands in both, and the numbers are those of the drawing."""
    rui = Person.objects.create(shop=by.shop, name="Rui")
    by.shop.hands = 2
    by.shop.save()
    piece = chair(by)
    together, alone = step(piece, "Turn it over", 60, hands=2), step(piece, "Sand", 60)
    wait(together, alone)
    plan = replan(by, seconds=QUICK)
    PlannedStep.objects.filter(plan=plan, step=together).update(people=[str(by.person.pk), str(rui.pk)])
    PlannedStep.objects.filter(plan=plan, step=alone).update(people=[str(rui.pk)])
    shown = plan_day.PlanDay(period(by))
    hands = shown.hands()
    assert [(group.name, [item.number for item in group.items], group.minutes) for group in hands] == [
        ("Ines", [1], 60.0),
        ("Rui", [1, 2], 120.0),
    ]
    assert hands[0].items[0].beside == "Rui"
    svg = plan_day.draw(shown, hands, "hours", "now")
    assert [text for text in texts(svg) if text in "12"] == ["1", "1", "2"]
    told = page(client_at(by), "plan-day", "2026-03-12")
    assert "with Rui" in told
    assert told.index(">Ines") < told.index(">Rui")


def test_a_day_off_says_why(client_at: OpenAt, by: By) -> None:
    """Nobody works, and nothing is to be done."""
    add_day_off(by, date(2026, 3, 19), "Quay fair")
    told = page(client_at(by), "plan-day", "2026-03-19")
    assert "Quay fair: nobody works" in told
    assert "Nobody has anything to do on this day." in told


def test_what_is_due_stands_first(client_at: OpenAt, by: By) -> None:
    """The window that closes on a day and the piece promised for it, before all else; nothing is marked that the plan keeps."""
    can = varnish(by, recoat_until_minutes=24 * 60)
    piece = chair(by, promise=date(2026, 3, 13))
    first, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    wait(first, second, kind="drying", from_label="recoat")
    done(by, first, by.at - HOUR, by.at)
    replan(by, seconds=QUICK)
    told = page(client_at(by), "plan-day", "2026-03-13")
    assert "Not to be missed" not in told
    assert (
        told.index("Due on this day")
        < told.index("promised for today")
        < told.index("the window after “Coat 1” closes; the step is planned before, Thu 12 March, ")
        < told.index("Drying, setting")
    )


def test_what_dries_over_a_day_says_when_it_is_ready(client_at: OpenAt, by: By) -> None:
    """Glue set this morning for two days: on the day between it is not ready, on the last it is, with the hour."""
    piece = chair(by)
    first, second = step(piece, "Glue"), step(piece, "Out of the clamps")
    wait(first, second, kind="clamps", least_minutes=48 * 60)
    done(by, first, by.at - HOUR, by.at)
    replan(by, seconds=QUICK)
    assert "not ready on this day" in page(client_at(by), "plan-day", "2026-03-13")
    last = page(client_at(by), "plan-day", "2026-03-14")
    assert "ready on this day" in last
    assert f"{by.at.astimezone(by.shop.tz):%H:%M}" in last
    assert "Nothing rests on this day." in page(client_at(by), "plan-day", "2026-03-16")


def test_drawings_carry_no_style_and_no_markup_of_names(by: By) -> None:
    """Only classes, as the content policy asks; a name with marks in it is text."""
    wicked = '<b onload="x">&'
    step(chair(by, wicked), "Sand")
    replan(by, seconds=QUICK)
    shown = period(by)
    rows = month.rows_of(shown)
    day = plan_day.PlanDay(shown)
    for svg in (month.draw(shown, rows, wicked), plan_day.draw(day, day.hands(), wicked, wicked)):
        assert not {name for one in parsed(svg).iter() for name in one.attrib} & {"style", "fill", "stroke", "onload"}
        assert wicked in texts(svg)


def test_night_in_which_the_clocks_change_has_all_its_hours(by: By) -> None:
    """The last Sunday of March in Lisbon is 23 hours long; a clock that ran through it is drawn once, on its days."""
    shown = period(by, date(2026, 3, 29), date(2026, 3, 29))
    assert shown.end - shown.start == timedelta(days=1)
    assert (shown.end.timestamp() - shown.start.timestamp()) / 3600 == 23
    assert shown.day_of(datetime.combine(date(2026, 3, 29), time(12), tzinfo=by.shop.tz)) == date(2026, 3, 29)


def test_what_is_expected_stands_on_its_day(client_at: OpenAt, by: By) -> None:
    """A delivery, on the month and on the day; once it has come it is no news any more."""
    hinge = step(chair(by), "Fit the hinge")
    row = Delivery.objects.create(**by.kept(), what="two brass hinges", step=hinge, expected=date(2026, 3, 17))
    client = client_at(by)
    assert "two brass hinges is expected" in page(client, "plan-month")
    assert "two brass hinges" in page(client, "plan-day", "2026-03-17")
    row.arrived_at = by.at
    row.save()
    assert "two brass hinges" not in page(client, "plan-month")
