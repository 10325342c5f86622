"""A finger on a coat: what Today asks, what the plan makes of the answer, and what is never passed over in silence."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from time import monotonic
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from tests.drawers.today.today_made import asked, chair, coat, cold, done, link, step, varnish, wait

from tallboy.book.doing import By
from tallboy.drawers.pieces.models import Step
from tallboy.drawers.shelf.actions import add_product
from tallboy.drawers.shelf.models import Product, Touch
from tallboy.drawers.shelf.touches import Fingers
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.checks import check_book
from tallboy.drawers.today.felt import coat_felt, told_already, touch_coat
from tallboy.drawers.today.gathering.gather import gather
from tallboy.drawers.today.models import Plan, PlannedStep
from tallboy.drawers.today.queries import is_stale
from tallboy.drawers.today.views import MOST_WAITING
from tallboy.drawers.today.waiting import ASK_FOR, waiting
from tallboy.errors import BadInput, NotFound, Refused
from tallboy.planner.slots.grid import wait_minutes

HOUR = timedelta(hours=1)
OpenAt = Callable[[By], Client]


@pytest.fixture(autouse=True)
def quick(settings: Any) -> None:
    settings.PLAN_SECONDS = 0.3


def two_coats(by: By, can: Product, laid_ago: float = 1.0, **fields: Any) -> tuple[Step, Step]:
    """A coat laid so many hours ago that the next one waits for."""
    piece = chair(by)
    first, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    wait(first, second, kind="drying", from_label="recoat", **fields)
    ended = by.at - laid_ago * HOUR
    return done(by, first, ended - HOUR / 2, ended), second


def opens(by: By, first: Step, then: Step) -> int:
    """Minutes after laying at which the plan lets the next step begin."""
    assert first.ended_at is not None
    return wait_minutes(link(gather(by.shop, by.at).problem, first, then).least, first.ended_at)


def test_dry_enough_before_the_estimate_ends_the_wait(by: By) -> None:
    """The label says 4 h; felt dry after 2 h 03 the next coat waits no longer than that, nor is its place wet any more."""
    first, second = two_coats(by, varnish(by), laid_ago=2.05)
    assert opens(by, first, second) == 240
    touch_coat(by, first, "recoat", True)
    assert opens(by, first, second) == 123
    wet = asked(gather(by.shop, by.at).problem, first).wet
    assert wet is not None
    assert first.ended_at is not None
    assert wait_minutes(wet, first.ended_at) == 123
    assert waiting(by.shop, by.at) == []


def test_not_yet_after_the_estimate_pushes_it_out(by: By) -> None:
    """Still wet after 5 h where the label says 4: later than now, and with a spread."""
    first, second = two_coats(by, varnish(by), laid_ago=5)
    assert opens(by, first, second) == 240
    touch_coat(by, first, "recoat", False)
    assert opens(by, first, second) > 300
    (row,) = waiting(by.shop, by.at)
    assert row.opens > by.at
    assert row.spread_minutes > 0
    assert any("not dry yet at" in line or "In this shop" in line for line in row.working)


def test_not_yet_long_before_the_estimate_changes_little(by: By) -> None:
    """Nobody expected it to be dry after half an hour."""
    first, second = two_coats(by, varnish(by), laid_ago=0.5)
    touch_coat(by, first, "recoat", False)
    assert opens(by, first, second) == pytest.approx(240, rel=0.02)


def test_a_route_s_own_wait_still_holds(by: By) -> None:
    """Where the route asks for more than the can, the finger does not shorten that."""
    first, second = two_coats(by, varnish(by), laid_ago=2, least_minutes=200)
    touch_coat(by, first, "recoat", True)
    assert opens(by, first, second) == 200


def test_what_one_coat_taught_is_used_for_the_next(by: By) -> None:
    """The same can on another piece waits by the shop's factor."""
    can = varnish(by)
    first, _second = two_coats(by, can, laid_ago=8)
    touch_coat(by.later(by.at - HOUR), first, "recoat", False)
    touch_coat(by, first, "recoat", True)
    piece = chair(by, "Other chair")
    one, two = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    wait(one, two, kind="drying", from_label="recoat")
    assert wait_minutes(link(gather(by.shop, by.at).problem, one, two).least, by.at) > 260


def test_dry_enough_in_the_cold_is_never_passed_over_in_silence(by: By) -> None:
    """The plan goes on from the touch, for the finger decides; but it says that nothing dries there, and learns nothing from it."""
    cold(by, 6.0)
    can = varnish(by, minimum_celsius=10)
    first, second = two_coats(by, can, laid_ago=5)
    touch_coat(by, first, "recoat", True)
    assert opens(by, first, second) == 300
    told = [line for line in gather(by.shop, by.at).troubles if "felt dry enough" in line]
    assert len(told) == 1
    assert "below 10 °C" in told[0]
    assert replan(by).warnings
    felt = coat_felt(first, by.at)
    assert felt is not None
    assert felt.estimate is not None
    assert any("below 10 °C" in line for line in felt.estimate.working)


def test_a_coat_that_should_be_dry_is_asked_about_until_the_next_morning(by: By) -> None:
    """It stays on Today with its two buttons, and goes when a finger has told or the night is over."""
    first, _second = two_coats(by, varnish(by), laid_ago=5)
    (row,) = waiting(by.shop, by.at)
    assert row.ask
    assert "touch it" in str(row.verb)
    assert waiting(by.shop, by.at + ASK_FOR) == []
    touch_coat(by, first, "recoat", True)
    assert waiting(by.shop, by.at) == []


def test_today_asks_with_two_buttons_and_plans_anew(client_at: OpenAt, by: By) -> None:
    """Without JavaScript, in one tap; a second tap changes nothing."""
    first, second = two_coats(by, varnish(by), laid_ago=2)
    replan(by)
    client = client_at(by)
    page = client.get("/").content.decode()
    address = reverse("today:touch", args=[first.pk])
    assert page.count(f'formaction="{address}"') == 2
    assert 'name="dry" value="recoat"' in page
    assert 'name="wet" value="recoat"' in page
    before = PlannedStep.objects.get(step=second).start
    told = {"dry": "recoat", "from": "today"}
    answer = client.post(address, told)
    assert (answer.status_code, answer["Location"]) == (302, "/")
    assert PlannedStep.objects.get(step=second).start < before
    client.post(address, told)
    assert Touch.objects.count() == 1
    assert address not in client.get("/").content.decode()


def test_the_step_s_page_asks_too_and_lists_what_was_found(client_at: OpenAt, by: By) -> None:
    """Also long after Today has stopped asking."""
    first, _second = two_coats(by, varnish(by), laid_ago=60)
    client = client_at(by)
    address = reverse("today:touch", args=[first.pk])
    assert address in client.get(reverse("today:step", args=[first.pk])).content.decode()
    page = client.post(address, {"wet": "recoat"}, follow=True).content.decode()
    assert "not yet dry enough for the next coat after 2 days 12 h" in page
    assert "not dry enough yet" in page
    assert f"take it back on the page of {first.product}" in page


@pytest.mark.parametrize("stage", ["", "tomorrow", "\x00"])
def test_a_stage_that_nobody_knows_is_told_and_written_nowhere(client_at: OpenAt, by: By, stage: str) -> None:
    """A form made up by hand."""
    first, _second = two_coats(by, varnish(by))
    page = client_at(by).post(reverse("today:touch", args=[first.pk]), {"dry": stage}, follow=True).content.decode()
    assert "touch, recoat, cure" in page
    assert not Touch.objects.exists()


def test_the_same_is_written_once_however_often_it_is_tapped(by: By) -> None:
    """Two taps that both looked before either had written: the second is told."""
    first, _second = two_coats(by, varnish(by))
    touch_coat(by, first, "recoat", True)
    with pytest.raises(Refused, match="a moment ago"):
        touch_coat(by.later(by.at - timedelta(seconds=1)), first, "recoat", True)
    touch_coat(by, first, "recoat", False)
    assert Touch.objects.count() == 2


def test_a_clock_that_was_set_back_swallows_no_touch(by: By) -> None:
    """What was written by a clock that ran ahead is no second tap of what is found now."""
    first, _second = two_coats(by, varnish(by), laid_ago=3)
    touch_coat(by.later(by.at + HOUR), first, "recoat", True)
    assert not told_already(by, first, "recoat", True)
    touch_coat(by, first, "recoat", True)
    assert Touch.objects.count() == 2


def test_only_a_coat_that_was_laid_from_a_can_is_felt(by: By, stranger: By) -> None:
    """Nothing to do, not glue, not without a can, not another shop's."""
    can = varnish(by)
    piece = chair(by)
    todo, plain = coat(piece, "Coat 1", can), step(piece, "Sand")
    glue = step(piece, "Glue", product=add_product(by, "Glue pot", "hide glue"), coating="hide glue")
    for row in (plain, glue):
        done(by, row, by.at - 2 * HOUR, by.at - HOUR)
    for row in (todo, plain, glue):
        with pytest.raises(Refused):
            touch_coat(by, row, "recoat", True)
        assert coat_felt(row, by.at) is None, "nothing waits for it"
    first, _second = two_coats(by, can)
    with pytest.raises(NotFound):
        touch_coat(stranger, first, "recoat", True)
    with pytest.raises(BadInput):
        touch_coat(by, first, "hard", True)
    assert not Touch.objects.exists()


def test_glue_in_clamps_is_not_asked_about(client_at: OpenAt, by: By) -> None:
    """A finger tells nothing of a joint."""
    piece = chair(by)
    glue, sand = (
        step(piece, "Glue", product=add_product(by, "Glue pot", "hide glue"), coating="hide glue"),
        step(piece, "Sand"),
    )
    wait(glue, sand, kind="clamps", from_label="recoat")
    done(by, glue, by.at - HOUR, by.at - HOUR / 2)
    (row,) = waiting(by.shop, by.at)
    assert (row.kind, row.stage) == ("clamps", "")
    page = client_at(by).get(reverse("today:step", args=[glue.pk])).content.decode()
    assert "how this is worked out" in page
    assert "dry enough" not in page.casefold()


def test_a_touch_makes_the_plan_stale(by: By) -> None:
    """Until it is worked out anew."""
    first, _second = two_coats(by, varnish(by))
    replan(by)
    touch_coat(by, first, "recoat", False)
    plan = Plan.objects.get()
    assert is_stale(plan)


def test_the_window_is_never_longer_for_a_slow_can(by: By) -> None:
    """Where the coat opens so late that the label's end leaves no room, both ends move; else the label's end holds."""
    can = varnish(by, recoat_until_minutes=300)
    first, second = two_coats(by, can, laid_ago=4.5)
    assert link(gather(by.shop, by.at).problem, first, second).most == 300
    touch_coat(by, first, "recoat", False)
    found = link(gather(by.shop, by.at).problem, first, second)
    assert isinstance(found.most, int)
    assert found.most > opens(by, first, second) > 270


def test_today_shows_the_first_few_and_says_how_many_more(client_at: OpenAt, by: By) -> None:
    """A shop full of wet coats keeps its page light; the first to be ready come first."""
    can = varnish(by)
    for number in range(MOST_WAITING + 2):
        two_coats(by, can, laid_ago=1 + number / 10)
    page = client_at(by).get("/").content.decode()
    assert page.count(">Dry enough</button>") == MOST_WAITING
    assert "And 2 more, ready later than these" in page


def test_not_yet_however_late_is_followed(by: By) -> None:
    """A coat that should have been dry in half an hour and is wet after thirty: the shop is planned on, and this coat takes longer still."""
    first, second = two_coats(by, varnish(by, touch_minutes=10, recoat_from_minutes=30), laid_ago=30)
    touch_coat(by, first, "recoat", False)
    assert opens(by, first, second) > 30 * 60
    replan(by)
    assert waiting(by.shop, by.at)[0].opens > by.at


def test_a_can_whose_coats_never_dry_is_planned_with(by: By) -> None:
    """Twenty coats wet at twenty times the label: slower than that for the next one, and no rule is broken."""
    can = varnish(by, touch_minutes=10, recoat_from_minutes=30)
    for _coat in range(20):
        touch_coat(by, two_coats(by, can, laid_ago=9.9)[0], "recoat", False)
    first, second = two_coats(by, can, laid_ago=0.01)
    assert opens(by, first, second) > 20 * 30
    replan(by)
    assert all(row.holds for row in check_book(by.at))


def test_a_slip_of_the_finger_makes_no_other_coat_ready_sooner(by: By) -> None:
    """Dry enough after a quarter of an hour where the label says four: that coat goes by the finger, with a warning; the next by the label."""
    can = varnish(by)
    first, second = two_coats(by, can, laid_ago=0.25)
    touch_coat(by, first, "recoat", True)
    assert opens(by, first, second) == 15
    (trouble,) = gather(by.shop, by.at).troubles
    assert "far sooner than its label lets one expect" in trouble
    found = coat_felt(first, by.at)
    assert found is not None
    assert found.estimate is not None
    assert trouble in found.estimate.working
    assert opens(by, *two_coats(by, can, laid_ago=0.01)) == 240


def test_coats_of_long_ago_keep_nobody_waiting(by: By) -> None:
    """Twenty of them, touched after ten months: not all the air since then is added up."""
    can = varnish(by)
    for number in range(20):
        first, _second = two_coats(by, can, laid_ago=24 * 300 - number)
        touch_coat(by, first, "recoat", True)
    begun = monotonic()
    gather(by.shop, by.at)
    assert monotonic() - begun < 2
    assert len(Fingers(by.shop, by.at, [can]).learned(can).left_out) == 20
