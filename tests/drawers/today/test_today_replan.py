"""The plan worked out anew: what is kept, what is told, and when it has been overtaken."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from tests.drawers.today.today_made import chair, coat, done, step, varnish, wait

import tallboy
from tallboy.book.actions import add_day_off, set_hours
from tallboy.book.doing import By
from tallboy.book.models import Journal
from tallboy.drawers.air.actions import add_reading
from tallboy.drawers.pieces.actions.piece import add_note, edit_piece
from tallboy.drawers.pieces.actions.work import change_minutes, finish_step, not_now, pause_step, start_step
from tallboy.drawers.pieces.models import Step
from tallboy.drawers.shelf.actions import change_product
from tallboy.drawers.today import actions, queries
from tallboy.drawers.today.actions import late_words, replan
from tallboy.drawers.today.day import day_of
from tallboy.drawers.today.models import Plan, PlannedPromise, PlannedStep
from tallboy.drawers.today.telling import day_data, plan_data, plan_lines
from tallboy.errors import NoPlan
from tallboy.planner import network
from tallboy.planner.mend import mend
from tallboy.planner.solve import solve

HOUR = timedelta(hours=1)
QUICK = 0.5


def row(of: Step) -> PlannedStep:
    return PlannedStep.objects.get(step=of)


def test_plan_is_kept_with_a_reason_for_each_step(by: By) -> None:
    """Every open step is in the plan, in the shop's hours, with why it is not earlier."""
    piece = chair(by)
    steps = [step(piece, title, 90) for title in ("Glue", "Sand", "Oil")]
    for first, then in itertools.pairwise(steps):
        wait(first, then)
    plan = replan(by, seconds=QUICK)
    assert plan.status == "optimal"
    assert [found.step_id for found in plan.steps.all()] == [one.pk for one in steps]
    assert all(found.reason for found in plan.steps.all())
    assert row(steps[0]).start == by.at


def test_only_the_newest_plan_is_kept(by: By, stranger: By) -> None:
    """A new plan replaces the old one; another shop's stays."""
    step(chair(by), "Sand")
    step(chair(stranger), "Sand")
    theirs = replan(stranger, seconds=QUICK)
    replan(by, seconds=QUICK)
    newest = replan(by, seconds=QUICK)
    assert set(Plan.objects.all()) == {theirs, newest}


def test_no_plan_leaves_the_one_before(by: By) -> None:
    """Without working hours there is no plan: that is told in words, and people keep what they had."""
    step(chair(by), "Sand")
    before = replan(by, seconds=QUICK)
    set_hours(by, [])
    with pytest.raises(NoPlan, match="no working hours left"):
        replan(by, seconds=QUICK)
    assert queries.current_plan(by.shop) == before
    assert before.steps.count() == 1


def test_late_promise_is_told_in_words_and_stays(by: By) -> None:
    """A promise that cannot be kept: by how many days, when it would be finished; the promise itself is not touched."""
    piece = chair(by, promise=date(2026, 3, 12))
    first, second = coat(piece, "Coat 1", varnish(by)), step(piece, "Put back")
    wait(first, second, kind="cure", from_label="cure")
    plan = replan(by, seconds=QUICK)
    assert late_words(plan) == [
        "Kitchen chair cannot be ready on Thu 12 March: it would be finished on Mon 16 March, 08:30, 4 days late."
    ]
    piece.refresh_from_db()
    assert piece.promise == date(2026, 3, 12)
    assert PlannedPromise.objects.get(plan=plan).late_minutes > 3 * 24 * 60


def test_promise_kept_on_its_last_evening_is_not_late(by: By) -> None:
    """Finished on the promised day is in time."""
    piece = chair(by, promise=date(2026, 3, 12))
    step(piece, "Sand", 200)
    assert late_words(replan(by, seconds=QUICK)) == []


def test_untouched_steps_keep_their_starts_after_a_slip(by: By) -> None:
    """One piece takes longer than thought; the steps of the other stay where people saw them."""
    mine, other = chair(by), chair(by, "Stool")
    slow, after = step(mine, "Scrape", 60), step(mine, "Sand", 60)
    wait(slow, after)
    off = step(other, "Collect the glass", 30)
    not_now(by, off, by.at + 28 * HOUR)
    replan(by, seconds=QUICK)
    before = {one.pk: row(one).start for one in (after, off)}
    start_step(by, slow)
    change_minutes(by, slow, 150)
    replan(by.later(by.at + HOUR), seconds=QUICK)
    assert row(off).start == before[off.pk]
    assert row(after).start > before[after.pk]


def test_step_that_is_done_leaves_the_plan_and_its_times_count(by: By) -> None:
    """Done two hours early, what follows it comes earlier."""
    piece = chair(by)
    glue, sand = step(piece, "Glue", 120), step(piece, "Sand", 30)
    wait(glue, sand, kind="clamps", least_minutes=60)
    replan(by, seconds=QUICK)
    late = row(sand).start
    done(by, glue, by.at, by.at + HOUR / 2)
    replan(by.later(by.at + HOUR / 2), seconds=QUICK)
    assert row(sand).start == by.at + 1.5 * HOUR < late
    assert not PlannedStep.objects.filter(step=glue).exists()


def test_rest_after_a_step_is_kept_with_it(by: By) -> None:
    """What rests after a step is kept as long as the longest that waits for it, over a night in which clocks change."""
    can = varnish(by)
    piece = chair(by)
    first, rub, last = coat(piece, "Coat 1", can), step(piece, "Rub down"), step(piece, "Put back")
    wait(first, rub, kind="drying", from_label="recoat")
    wait(first, last, kind="cure", from_label="cure")
    friday = by.later(datetime(2026, 3, 27, 9, tzinfo=by.shop.tz))
    replan(friday, seconds=QUICK)
    found = row(first)
    assert found.rests == "cure"
    assert found.rests_until is not None
    assert found.rests_until - found.end == timedelta(minutes=2880)
    assert row(last).start.astimezone(UTC) == datetime(2026, 3, 30, 7, 0, tzinfo=UTC), (
        "eight in the morning, summer time"
    )


def test_missed_window_is_made_good(by: By) -> None:
    """A window that closed while nobody was there: the coat is sanded dull first, by a step that is now in the book."""
    can = varnish(by, recoat_until_minutes=300)
    piece = chair(by)
    first, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    between = wait(first, second, kind="drying", from_label="recoat")
    done(by, first, by.at - 9 * HOUR, by.at - 8 * HOUR)
    plan = replan(by, seconds=QUICK)
    scuff = Step.objects.get(window_of=between)
    assert row(scuff).end <= row(second).start
    assert plan.missed == []
    assert not queries.is_stale(plan)


def test_missed_window_without_remedy_is_told_and_kept(by: By) -> None:
    """Where sanding makes nothing good: a warning in words, and the pair of steps with it."""
    piece = chair(by)
    first, second = step(piece, "Warm the glue"), step(piece, "Glue")
    wait(first, second, most_minutes=60)
    done(by, first, by.at - 9 * HOUR, by.at - 8 * HOUR)
    plan = replan(by, seconds=QUICK)
    assert plan.missed == [[str(first.pk), str(second.pk)]]
    assert "the window has closed" in plan.warnings[0]


def test_can_that_never_dries_still_gets_a_plan(by: By) -> None:
    """The plan comes, with one sentence of trouble."""
    can = varnish(by, minimum_celsius=10)
    add_reading(by, by.at, 2.0, 60)
    piece, other = chair(by), chair(by, "Stool")
    first, second, sand = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can), step(other, "Sand")
    wait(first, second, kind="drying", from_label="recoat")
    plan = replan(by, seconds=QUICK)
    assert len(plan.warnings) == 1
    assert row(sand).start < row(second).start
    assert row(second).start - row(first).end >= timedelta(days=14)


def test_plan_is_overtaken_by_what_it_depends_on(by: By) -> None:
    """Steps begun and done, hours, readings, labels, promises: each makes the plan stale until it is worked out anew."""
    can = varnish(by)
    piece = chair(by)
    first, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    changes: tuple[Callable[[By], object], ...] = (
        lambda at: start_step(at, first),
        lambda at: finish_step(at, first),
        lambda at: not_now(at, second, at.at + HOUR),
        lambda at: change_product(at, can, recoat_from_minutes=300),
        lambda at: add_day_off(at, date(2026, 3, 20)),
        lambda at: add_reading(at, at.at, 15.0, 60.0),
        lambda at: edit_piece(at, piece, promise=date(2026, 5, 1)),
    )
    for number, change in enumerate(changes):
        now = by.later(by.at + number * HOUR)
        plan = replan(now, seconds=QUICK)
        assert not queries.is_stale(plan)
        change(now)
        assert queries.is_stale(plan), f"change {number} was not seen"


def test_plan_is_not_overtaken_by_what_it_does_not_depend_on(by: By, stranger: By) -> None:
    """A note, a pause of the clock, or another shop's work change nothing of this plan."""
    piece = chair(by)
    sand = step(piece, "Sand")
    start_step(by, sand)
    plan = replan(by, seconds=QUICK)
    add_note(by, piece, "The seat is later than the rest.")
    pause_step(by, sand)
    finish_step(stranger, step(chair(stranger), "Sand"))
    assert not queries.is_stale(plan)


def test_every_upset_is_the_name_of_a_journal_row() -> None:
    """A name misspelt among those that overtake a plan would never be seen."""
    sources = Path(tallboy.__file__).parent.rglob("*.py")
    recorded = {
        name
        for file in sources
        for name in re.findall(r'(?:\.record\(|_change\(by,)\s*"([^"]+)"', file.read_text("utf-8"))
    }
    assert queries.UPSETS - recorded == set()


def test_planning_leaves_one_row_in_the_journal(by: By) -> None:
    """Who planned, how many steps, how many promises are late."""
    step(chair(by, promise=date(2026, 3, 12)), "Scrape", 480)
    replan(by, seconds=QUICK)
    newest = Journal.objects.filter(shop=by.shop).first()
    assert newest is not None
    assert newest.text == "Planned 1 step. 1 promise cannot be kept."


def test_plan_as_data_says_everything_of_every_step(by: By) -> None:
    """For a script: start, end, hands-on minutes and a reason for each step, times in the shop's clock."""
    piece = chair(by, promise=date(2026, 3, 12))
    first, second = step(piece, "Glue", 45), step(piece, "Sand", 30)
    wait(first, second, kind="clamps", least_minutes=60)
    data = plan_data(replan(by, seconds=QUICK))
    assert [(found["title"], found["hands_on_minutes"]) for found in data["steps"]] == [("Glue", 45), ("Sand", 30)]
    assert [found["start"] for found in data["steps"]] == ["2026-03-12T09:00:00+00:00", "2026-03-12T10:45:00+00:00"]
    assert all(found["reason"] and found["rule"] and found["end"] > found["start"] for found in data["steps"])
    assert data["steps"][0]["blocks"] == [["2026-03-12T09:00:00+00:00", "2026-03-12T09:45:00+00:00"]]
    assert data["promises"][0]["late_minutes"] == 0


def test_plan_and_day_as_lines_and_data(by: By) -> None:
    """To read: when, how long, which piece, why; nothing planned says so."""
    empty = replan(by, seconds=QUICK)
    assert plan_lines(empty) == ["Nothing to plan: no piece has steps laid out."]
    step(chair(by), "Sand", 30)
    (line,) = plan_lines(replan(by, seconds=QUICK))
    assert line.startswith("Thu 12 Mar 09:00    30 min  Kitchen chair: Sand")
    assert day_data(day_of(by.shop, by.at))["next"]["title"] == "Sand"


def noted(how: Callable[..., network.Plan], asked: list[str]) -> Callable[..., network.Plan]:
    """The same way of planning, with a note that it was taken."""

    def plan(*what: Any, **more: Any) -> network.Plan:
        asked.append(how.__name__)
        return how(*what, **more)

    return plan


@pytest.mark.parametrize(
    ("happens", "is_mended"),
    [
        (lambda by, row: change_minutes(by, row, 90), True),
        (start_step, True),
        (lambda by, row: not_now(by, row, by.at + HOUR), True),
        (lambda by, row: add_day_off(by, date(2026, 3, 20)), False),
        (lambda by, row: edit_piece(by, row.piece, promise=date(2026, 5, 1)), False),
        (lambda by, row: add_note(by, row.piece, "The seat is later than the rest."), False),
    ],
    ids=["minutes", "begun", "put off", "a day off", "a promise", "a note"],
)
def test_after_a_slip_the_plan_is_mended(
    by: By, monkeypatch: pytest.MonkeyPatch, happens: Callable[[By, Step], object], is_mended: bool
) -> None:
    """Where only work went another way the plan that people saw is mended; whatever else has changed, all is planned anew."""
    row = step(chair(by), "Sand", 60)
    replan(by, seconds=QUICK)
    asked: list[str] = []
    monkeypatch.setattr(actions, "mend", noted(mend, asked))
    monkeypatch.setattr(actions, "solve", noted(solve, asked))
    happens(by, row)
    replan(by)
    assert asked == ["mend" if is_mended else "solve"]
    assert not queries.is_stale(Plan.objects.get())


def test_plan_again_is_never_mended(by: By) -> None:
    """Who asks for a new plan gets one, whatever happened."""
    row = step(chair(by), "Sand", 60)
    replan(by, seconds=QUICK)
    change_minutes(by, row, 90)
    assert replan(by, afresh=True).status == "optimal"
