"""What the planner is asked: what really happened, the waits of the cans in the shop's own air, hands, promises."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from tests.drawers.today.today_made import asked, chair, closes, coat, cold, done, link, step, varnish, wait

from tallboy.book.actions import change_shop, set_hours
from tallboy.book.doing import By
from tallboy.drawers.air.models import Reading
from tallboy.drawers.pieces.actions.piece import edit_piece
from tallboy.drawers.pieces.actions.work import finish_step, not_now, skip_step, start_step
from tallboy.drawers.pieces.models import Step
from tallboy.drawers.shelf.actions import add_product, change_product
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.checks import check_book
from tallboy.drawers.today.gathering.gather import gather
from tallboy.drawers.today.gathering.waits import UNTIL_IT_WARMS
from tallboy.planner.network import Fixed
from tallboy.planner.slots.grid import wait_minutes

HOUR = timedelta(hours=1)


def test_skipped_step_is_bridged_and_the_glue_still_sets(by: By) -> None:
    """The wait before a skipped step is kept, the wait after it is not."""
    piece = chair(by)
    glue, clean, sand = step(piece, "Glue the joint"), step(piece, "Scrape off the squeeze-out"), step(piece, "Sand")
    wait(glue, clean, kind="clamps", least_minutes=240)
    wait(clean, sand, least_minutes=999)
    skip_step(by, clean, "wiped off wet")
    problem = gather(by.shop, by.at).problem
    assert [found.key for found in problem.steps] == [str(glue.pk), str(sand.pk)]
    found = link(problem, glue, sand)
    assert (found.kind, found.least) == ("clamps", Fixed(240))


def test_bridged_wait_is_not_hidden_by_an_order_that_was_there(by: By) -> None:
    """Where the two were tied already by order alone, the glue's wait joins it."""
    piece = chair(by)
    glue, clean, sand = step(piece, "Glue the joint"), step(piece, "Scrape off the squeeze-out"), step(piece, "Sand")
    wait(glue, clean, kind="clamps", least_minutes=240)
    wait(clean, sand)
    wait(glue, sand)
    skip_step(by, clean, "wiped off wet")
    assert link(gather(by.shop, by.at).problem, glue, sand, "clamps").least == Fixed(240)


def test_chain_of_skipped_steps_is_bridged(by: By) -> None:
    """Two skipped in a row: the first is still tied to the last."""
    piece = chair(by)
    row = [step(piece, title) for title in ("Glue", "Scrape", "Fill", "Sand")]
    for first, then in itertools.pairwise(row):
        wait(first, then, kind="clamps", least_minutes=60)
    for one in row[1:3]:
        skip_step(by, one, "not needed")
    assert link(gather(by.shop, by.at).problem, row[0], row[3]).least == Fixed(60)


def test_done_step_keeps_its_real_times(by: By) -> None:
    """A done step that something waits for is asked about with the times it really had, and never planned again."""
    piece = chair(by)
    glue, sand = step(piece, "Glue the joint", 30), step(piece, "Sand")
    wait(glue, sand, kind="clamps", least_minutes=60)
    began, ended = by.at - 3 * HOUR, by.at - 2 * HOUR
    done(by, glue, began, ended)
    assert asked(gather(by.shop, by.at).problem, glue).done == (began, ended)


def test_done_step_that_nothing_waits_for_is_left_out(by: By) -> None:
    """What is over and done with does not burden the planner."""
    piece = chair(by)
    clean, sand = step(piece, "Clean"), step(piece, "Sand")
    done(by, clean, by.at - 2 * HOUR, by.at - HOUR)
    assert [found.key for found in gather(by.shop, by.at).problem.steps] == [str(sand.pk)]


def test_coat_just_laid_counts_until_no_dust_sticks_to_it(by: By) -> None:
    """Nothing waits for the last coat any more, and still nobody may raise dust beside it while it is wet."""
    piece = chair(by)
    last, sand = coat(piece, "Last coat", varnish(by)), step(piece, "Sand", dusty=True)
    done(by, last, by.at - HOUR, by.at - HOUR / 2)
    assert asked(gather(by.shop, by.at).problem, last).wet is not None
    keys = [found.key for found in gather(by.shop, by.at + HOUR).problem.steps]
    assert keys == [str(sand.pk)]


def test_wait_comes_from_the_can(by: By) -> None:
    """In the air that the label is written for, the wait is the label's own."""
    piece = chair(by)
    first, second = coat(piece, "Coat 1", varnish(by)), coat(piece, "Coat 2", varnish(by, "Other can"))
    wait(first, second, kind="drying", from_label="recoat")
    assert wait_minutes(link(gather(by.shop, by.at).problem, first, second).least, by.at) == 240


def test_wait_changes_with_what_the_can_says(by: By) -> None:
    """The label corrected, the next plan waits as it says now."""
    can = varnish(by)
    piece = chair(by)
    first, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    wait(first, second, kind="drying", from_label="recoat")
    change_product(by, can, recoat_from_minutes=600)
    assert wait_minutes(link(gather(by.shop, by.at).problem, first, second).least, by.at) == 600


def test_fixed_wait_holds_where_it_is_longer_than_the_label(by: By) -> None:
    """A route may ask for more than the can does."""
    can = varnish(by)
    piece = chair(by)
    first, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    wait(first, second, kind="drying", from_label="recoat", least_minutes=480)
    assert wait_minutes(link(gather(by.shop, by.at).problem, first, second).least, by.at) == 480


def test_recoat_window_is_the_labels(by: By) -> None:
    """The next coat must come before the label's window closes; a rub-down may come when it likes."""
    can = varnish(by, recoat_until_minutes=1440)
    piece = chair(by)
    first, rub, second = coat(piece, "Coat 1", can), step(piece, "Rub down"), coat(piece, "Coat 2", can)
    wait(first, rub, kind="drying", from_label="recoat")
    wait(first, second, kind="drying", from_label="recoat")
    problem = gather(by.shop, by.at).problem
    assert closes(problem, first, second, by.at) == 1440
    assert link(problem, first, rub).most is None


@pytest.mark.parametrize("laid", [False, True])
def test_window_moves_where_the_air_opens_it_after_the_label_would_close_it(by: By, laid: bool) -> None:
    """In a cold shop a window of an hour would close before it opens; then both its ends move with the air."""
    can = varnish(by, recoat_until_minutes=300, minimum_celsius=0)
    cold(by, 6.0)
    piece = chair(by)
    first, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    wait(first, second, kind="drying", from_label="recoat")
    if laid:
        done(by, first, by.at - HOUR, by.at - HOUR / 2)
    problem = gather(by.shop, by.at).problem
    opens = wait_minutes(link(problem, first, second).least, by.at)
    assert opens > 300
    assert closes(problem, first, second, by.at) / opens == pytest.approx(300 / 240, rel=0.02)


def test_can_that_never_dries_is_told_and_does_not_stop_the_plan(by: By) -> None:
    """One can in too cold a shop: a plain sentence, and two weeks in place of the wait."""
    cold(by, 3.0)
    can = varnish(by, minimum_celsius=10)
    piece = chair(by)
    first, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    wait(first, second, kind="drying", from_label="recoat")
    found = gather(by.shop, by.at)
    assert wait_minutes(link(found.problem, first, second).least, by.at) == UNTIL_IT_WARMS
    assert len(found.troubles) == 1
    assert "10 °C" in found.troubles[0]


def test_put_off_and_begun_are_handed_on(by: By) -> None:
    """A step put off has its date, a begun one its start."""
    piece = chair(by)
    off, begun = step(piece, "Later"), step(piece, "Now")
    until = by.at + 5 * HOUR
    not_now(by, off, until)
    start_step(by, begun)
    problem = gather(by.shop, by.at + HOUR).problem
    assert asked(problem, off).not_before == until
    assert asked(problem, begun).started == by.at


def test_promise_is_kept_until_the_end_of_its_day(by: By) -> None:
    """A promise holds until the day ends by the shop's clock, also when summer time has begun by then."""
    piece = chair(by, promise=date(2026, 4, 2))
    step(piece, "Sand")
    zone = ZoneInfo("Europe/Lisbon")
    (promise,) = gather(by.shop, by.at).problem.promises
    assert promise.by == datetime(2026, 4, 2, 23, 59, tzinfo=zone)
    assert promise.by.utcoffset() == HOUR


def test_promise_without_work_left_is_not_asked(by: By) -> None:
    """Nothing is left to do, so nothing can be late."""
    piece = chair(by, promise=date(2026, 4, 2))
    finish_step(by, step(piece, "Sand"))
    edit_piece(by, piece, promise=date(2026, 5, 1))
    assert gather(by.shop, by.at).problem.promises == ()


def test_hands_are_capped_by_what_the_shop_has(by: By) -> None:
    """A step for three in a shop of two is done by two; nothing is refused for it."""
    change_shop(by, hands=2)
    lift = step(chair(by), "Turn the wardrobe", hands=3)
    problem = gather(by.shop, by.at).problem
    assert (problem.hands, asked(problem, lift).hands) == (2, 2)


def test_step_longer_than_any_stretch_is_done_in_several_goes(by: By) -> None:
    """A step of ten hours may not be split, but no stretch is that long: it is, and that is told."""
    scrape = step(chair(by), "Scrape the floor", 600)
    found = gather(by.shop, by.at)
    assert asked(found.problem, scrape).split
    assert found.troubles == (
        "“Scrape the floor” takes 10 h, longer than any stretch of working hours: it is planned in several goes.",
    )


def test_reasons_are_told_in_the_shops_clock(by: By) -> None:
    """Whoever asks from a machine on another clock gets the shop's."""
    step(chair(by), "Sand")
    elsewhere = by.at.astimezone(ZoneInfo("Asia/Tokyo"))
    now = gather(by.shop, elsewhere).problem.now
    assert (now, str(now.tzinfo)) == (by.at, "Europe/Lisbon")


def test_what_another_has_done_in_the_same_moment_lies_before_now(by: By) -> None:
    """Two buttons pressed at once: a step that ended a second after this one's now does not break the plan."""
    piece = chair(by)
    glue, sand = step(piece, "Glue"), step(piece, "Sand")
    wait(glue, sand, kind="clamps", least_minutes=60)
    finish_step(by.later(by.at + timedelta(seconds=1)), glue)
    assert gather(by.shop, by.at).problem.now == by.at + timedelta(seconds=1)


def test_shops_of_one_database_are_never_mixed(by: By, stranger: By) -> None:
    """Steps, waits, hands and hours of another shop are none of this one's."""
    change_shop(stranger, hands=4)
    set_hours(stranger, [(day, time(6), time(22)) for day in range(7)])
    mine, theirs = step(chair(by), "Mine"), step(chair(stranger), "Theirs")
    problem = gather(by.shop, by.at).problem
    assert [found.key for found in problem.steps] == [str(mine.pk)]
    assert [found.key for found in gather(stranger.shop, by.at).problem.steps] == [str(theirs.pk)]
    assert problem.hands == 1
    assert max(end.time() for _start, end in problem.working) == time(17)
    assert max(end.time() for _start, end in gather(stranger.shop, by.at).problem.working) == time(22)


def test_pieces_handed_over_are_left_out(by: By) -> None:
    """What has gone home is nobody's work any more."""
    piece = chair(by)
    step(piece, "Sand")
    piece.handed_over_at = by.at
    piece.save()
    assert gather(by.shop, by.at).problem.steps == ()


def test_questions_do_not_grow_with_the_work(by: By, django_assert_max_num_queries: Callable[..., Any]) -> None:
    """Ten pieces with six steps each ask the database no more than one does: some for the work, some for the calendar."""
    can = varnish(by)
    for number in range(10):
        piece = chair(by, f"Chair {number}")
        row: list[Step] = []
        for coats in range(6):
            row.append(coat(piece, f"Coat {coats}", can))
            if coats:
                wait(row[-2], row[-1], kind="drying", from_label="recoat")
    with django_assert_max_num_queries(25):
        gather(by.shop, by.at)


def test_a_coat_that_takes_for_ages_stops_no_other_plan(by: By) -> None:
    """Hardly anything dries in this damp: the plan reckons with half a year from now, says so, and goes on for the rest of the shop."""
    Reading.objects.bulk_create(
        Reading(**by.kept(), at=by.at - timedelta(hours=hour), celsius=20, relative_humidity=99.8)
        for hour in range(40 * 24)
    )
    piece, can = chair(by), add_product(by, "Milk paint", "acrylic paint", recoat_from_minutes=40_000)
    first, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    wait(first, second, kind="drying", from_label="recoat")
    laid = by.at - timedelta(days=30)
    first = done(by, first, laid - HOUR, laid)
    found = gather(by.shop, by.at)
    assert any("The plan reckons with 180 from now" in trouble for trouble in found.troubles)
    assert wait_minutes(link(found.problem, first, second).least, laid) == pytest.approx((30 + 180) * 1440, abs=61)
    replan(by)
    assert all(row.holds for row in check_book(by.at))
