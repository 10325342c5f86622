"""One day of the plan: what is under way once, cautions beside the work, windows marked only where nothing keeps them."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from tests.drawers.today.today_made import chair, coat, done, step, varnish, wait

from tallboy.book.doing import By
from tallboy.drawers.pieces.actions.work import start_step
from tallboy.drawers.pieces.models import Step
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.models import PlannedStep
from tallboy.drawers.today.show import day_page as plan_day
from tallboy.drawers.today.show import month
from tallboy.drawers.today.show.period import Period

HOUR, MINUTE = timedelta(hours=1), timedelta(minutes=1)
THURSDAY, FRIDAY = date(2026, 3, 12), date(2026, 3, 13)
QUICK = 0.3
OpenAt = Callable[[By], Client]


@pytest.fixture(autouse=True)
def quick(settings: Any) -> None:
    settings.PLAN_SECONDS = QUICK


def page(client: Client, name: str, *args: object) -> str:
    return str(client.get(reverse(f"today:{name}", args=args)).content.decode())


def test_a_step_under_way_stands_once_and_ends_where_the_next_begins(client_at: OpenAt, by: By) -> None:
    """Begun 41 minutes ago, an hour's work: once in the list, until the slot from which the plan has hands again."""
    piece = chair(by)
    strip, sand = step(piece, "Strip", 60), step(piece, "Sand")
    wait(strip, sand)
    start_step(by.later(by.at - 41 * MINUTE), strip)
    replan(by, seconds=QUICK)
    (group,) = plan_day.PlanDay(Period(by.shop, by.at, THURSDAY, THURSDAY)).hands()
    under_way, following = (item.work for item in group.items)
    assert (under_way.step, under_way.start) == (strip, by.at - 41 * MINUTE)
    assert (following.step, following.start) == (sand, under_way.end)
    told = page(client_at(by), "plan-day", "2026-03-12")
    assert "so far" not in told
    assert f"begun; until about {following.start.astimezone(by.shop.tz):%H:%M}" in told


def test_what_was_paused_keeps_its_own_line(by: By) -> None:
    """The clock of an earlier stretch that was stopped is not drawn through the pause."""
    strip = step(chair(by), "Strip", 120)
    start_step(by.later(by.at - 2 * HOUR), strip)
    strip.clock.update(ended_at=by.at - HOUR)
    replan(by, seconds=QUICK)
    (group, *more) = plan_day.PlanDay(Period(by.shop, by.at, THURSDAY, THURSDAY)).hands()
    works = [item.work for one in (group, *more) for item in one.items]
    assert [(work.done, work.end <= by.at - HOUR) for work in works] == [(True, True), (False, False)]


def test_cautions_stand_beside_what_is_still_to_do(client_at: OpenAt, by: By) -> None:
    """One line of names by a step to do, none by one that is done."""
    piece = chair(by)
    over = step(piece, "Strip", cautions=["lead"])
    ahead = step(piece, "Wipe down", cautions=["solvent-vapour", "oily-rags"])
    wait(over, ahead)
    done(by, over, by.at - HOUR, by.at)
    replan(by, seconds=QUICK)
    (group,) = plan_day.PlanDay(Period(by.shop, by.at, THURSDAY, THURSDAY)).hands()
    names = [item.cautions for item in group.items]
    assert names[0] == ""
    assert len(names[1].split(", ")) == 2
    assert f"<b>Mind:</b> {names[1]}" in page(client_at(by), "plan-day", "2026-03-12")


def test_the_cautions_of_a_full_day_stay_small(client_at: OpenAt, by: By) -> None:
    """Sixty steps in a day, each with three cautions: the page is under 100 kB."""
    for number in range(60):
        step(chair(by, f"Chair {number}"), "Wipe down", 5, cautions=["lead", "solvent-vapour", "oily-rags"])
    replan(by, seconds=QUICK)
    assert len(page(client_at(by), "plan-day", "2026-03-12").encode()) < 100_000


def closing(by: By) -> tuple[Step, Step]:
    """A coat laid this morning, and the one after it, whose window closes tomorrow."""
    piece, can = chair(by), varnish(by, recoat_until_minutes=24 * 60)
    first, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    wait(first, second, kind="drying", from_label="recoat")
    done(by, first, by.at - HOUR, by.at)
    return first, second


def test_a_window_whose_step_is_planned_in_time_is_not_marked(client_at: OpenAt, by: By) -> None:
    """Said when the step is planned; marked as soon as that is over, or later than the window."""
    _first, second = closing(by)
    plan = replan(by, seconds=QUICK)
    client = client_at(by)
    told = page(client, "plan-day", "2026-03-13")
    assert "the step is planned before, Thu 12 March" in told
    assert "Not to be missed" not in told
    PlannedStep.objects.filter(plan=plan, step=second).update(start=by.at + 30 * HOUR, end=by.at + 31 * HOUR)
    assert "Not to be missed" in page(client, "plan-day", "2026-03-13")
    PlannedStep.objects.filter(plan=plan, step=second).update(start=by.at - HOUR, end=by.at)
    assert "Not to be missed" in page(client, "plan-day", "2026-03-13")


def test_windows_of_one_piece_in_the_month_name_their_steps_once(client_at: OpenAt, by: By) -> None:
    """Three windows at one hour, two of them of steps of the same name: one line with both names."""
    piece, can = chair(by), varnish(by, recoat_until_minutes=24 * 60)
    first = coat(piece, "Coat 1", can)
    for title in ("Coat 2, door", "Coat 2, sides", "Coat 2, sides"):
        wait(first, coat(piece, title, can), kind="drying", from_label="recoat")
    done(by, first, by.at - HOUR, by.at)
    replan(by, seconds=QUICK)
    lines = {line.day: line for line in month.day_lines(Period(by.shop, by.at, THURSDAY, FRIDAY))}
    (closes,) = lines[FRIDAY].closes
    assert sorted(closes.steps) == ["Coat 2, door", "Coat 2, sides"]
    told = page(client_at(by), "plan-month")
    assert told.count("the window for “Coat 2, ") == 1
