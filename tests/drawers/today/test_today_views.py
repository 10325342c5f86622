"""The pages of Today and of the plan: one thing first, one tap each."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, time, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from tests.drawers.pieces.pieces_made import furnish
from tests.drawers.today.pages_made import address, press, text_of
from tests.drawers.today.today_made import chair, coat, done, step, varnish, wait

from tallboy.book.actions import set_hours
from tallboy.book.doing import By
from tallboy.drawers.pieces.models import Coat, Route, Step
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.models import Plan, PlannedStep

HOUR = timedelta(hours=1)


OpenAt = Callable[[By], Client]


@pytest.fixture(autouse=True)
def quick(settings: Any) -> None:
    settings.PLAN_SECONDS = 0.3


def ask(client: Client, name: str, number: int | str | None, method: str) -> int:
    """The status that an address answers."""
    return int(getattr(client, method)(address(name, *([] if number is None else [number]))).status_code)


def test_empty_shop_offers_to_take_in(client_at: OpenAt, by: By) -> None:
    """Nothing there yet: the two things one can do."""
    page = text_of(client_at(by).get("/"))
    assert reverse("pieces:take-in") in page
    assert reverse("visit-demo") in page


def test_one_thing_first(client_at: OpenAt, by: By) -> None:
    """Today opens with the next step, why, its cautions, and what can be done about it in one tap."""
    piece = chair(by)
    wash = step(piece, "Wash off with spirit", 25, cautions=["solvent-vapour", "lead"])
    wait(wash, step(piece, "Sand"))
    replan(by, seconds=0.3)
    page = text_of(client_at(by).get("/"))
    assert page.index("Wash off with spirit") < page.index("Nothing holds it back") < page.index("Start the clock")
    assert page.index("Start the clock") < page.index('class="caution"')
    for name in ("start", "done", "not-now"):
        assert f'action="{address(name, wash.pk)}"' in page


def test_many_cautions_fold_and_stay_named(client_at: OpenAt, by: By) -> None:
    """Two stand open; the others are named in the line that unfolds them."""
    step(chair(by), "Strip", cautions=["solvent-vapour", "heat", "dust", "lead"])
    replan(by, seconds=0.3)
    page = text_of(client_at(by).get("/"))
    assert page.count('class="caution"') == 4
    assert "Mind also:" in page


def test_page_with_nothing_to_do(client_at: OpenAt, by: By) -> None:
    """A piece without steps: the page says what to do, and that there is no plan."""
    chair(by)
    page = text_of(client_at(by).get("/"))
    assert "Nothing to do." in page
    assert "There is no plan yet." in page


def test_pieces_without_steps_are_named_with_a_way_to_lay_them_out(client_at: OpenAt, by: By) -> None:
    """The first three in one plain line; a piece whose steps are laid out is not among them."""
    laid = chair(by, "Hall chair")
    step(laid, "Sand")
    bare = [chair(by, f"Bare chair {number}") for number in range(4)]
    page = text_of(client_at(by).get("/"))
    assert "No steps yet:" in page
    for piece in bare[:3]:
        assert f'{piece.name} (<a href="{address("steps", piece.pk)}">lay them out' in page
    assert bare[3].name not in page
    assert "and 1 more" in page
    for piece in bare:
        step(piece, "Sand")
    assert "No steps yet:" not in text_of(client_at(by).get("/"))


def test_hours_of_the_plan_stay_on_one_line(client_at: OpenAt, by: By) -> None:
    """A number and its unit are never set apart."""
    step(chair(by), "Sand", 30)
    replan(by, seconds=0.3)
    assert '<span class="unbroken">30 min</span>' in text_of(client_at(by).get(address("plan")))


def test_a_question_that_cannot_be_asked_says_nothing_of_saving(client_at: OpenAt, by: By) -> None:
    """A question of the kind "what if" never saves anything."""
    step(chair(by), "Sand")
    page = text_of(client_at(by).get(address("what-if"), {"celsius": "90"}))
    assert "One thing needs another look." in page
    assert "saved" not in page


def test_a_can_is_named_once(client_at: OpenAt, by: By) -> None:
    """What is in it is told beside its name only where the name says something else."""
    furnish(by)
    piece = chair(by)
    for name in ("Oil varnish", "Clear varnish"):
        varnish(by, name)
    route = Route.objects.get(key="strip-refinish")
    page = text_of(client_at(by).get(address("lay-out", piece.pk), {"route": route.pk}))
    assert ">Oil varnish</option>" in page
    assert ">Clear varnish (oil varnish)</option>" in page


def test_late_promise_stands_on_today_once(client_at: OpenAt, by: By) -> None:
    """Told on the page, not again above it after a button."""
    piece = chair(by, promise=date(2026, 3, 12))
    first, second = step(piece, "Scrape", 480, split=True), step(piece, "Sand", 480, split=True)
    wait(first, second)
    replan(by, seconds=0.3)
    page = text_of(press(client_at(by), "start", first, **{"from": "today"}))
    assert page.count("Kitchen chair cannot be ready on Thu 12 March") == 1


def test_missed_start_offers_to_plan_again(client_at: OpenAt, by: By) -> None:
    """The day has gone another way; one tap works it out anew."""
    step(chair(by), "Sand")
    replan(by, seconds=0.3)
    client = client_at(by.later(by.at + 3 * HOUR))
    assert "was planned for Thu 09:00" in text_of(client.get("/"))
    page = text_of(client.post(address("plan-again"), follow=True))
    assert "was planned for" not in page


def test_buttons_from_today_come_back_to_today(client_at: OpenAt, by: By) -> None:
    """Start, stop, go on, done: each one tap, each back on Today with what is next."""
    piece = chair(by)
    sand, oil = step(piece, "Sand"), step(piece, "Oil")
    wait(sand, oil)
    replan(by, seconds=0.3)
    client, today = client_at(by), {"from": "today"}
    assert "The clock is running" in text_of(press(client, "start", sand, **today))
    assert "Begun, the clock is stopped" in text_of(press(client, "pause", sand, **today))
    assert "The clock is running" in text_of(press(client, "start", sand, **today))
    page = text_of(press(client, "done", sand, **today))
    assert "Done: Sand." in page
    assert f'action="{address("start", oil.pk)}"' in page
    assert PlannedStep.objects.get().step == oil


def test_not_now_from_today_is_one_tap(client_at: OpenAt, by: By) -> None:
    """Two hours later, and something else is next."""
    piece = chair(by)
    sand, oil = step(piece, "Sand", 30), step(chair(by, "Stool"), "Oil", 60)
    replan(by, seconds=0.3)
    press(client_at(by), "not-now", sand, **{"from": "today"})
    sand.refresh_from_db()
    assert sand.not_before == by.at + 2 * HOUR
    assert PlannedStep.objects.order_by("start")[0].step == oil


def test_second_tap_changes_nothing(client_at: OpenAt, by: By) -> None:
    """A wet glove taps twice: one clock, one coat, no reproach."""
    laid = coat(chair(by), "Coat 1", varnish(by))
    client = client_at(by)
    for name in ("start", "start", "pause", "pause", "done", "done"):
        assert 'class="error"' not in text_of(press(client, name, laid))
    assert (laid.clock.count(), Coat.objects.count()) == (1, 1)


def test_no_new_plan_is_told_and_the_work_counts(client_at: OpenAt, by: By) -> None:
    """The shop has no hours left: done is done, and the plan before stays with a word why."""
    piece = chair(by)
    sand = step(piece, "Sand")
    step(piece, "Oil")
    plan = replan(by, seconds=0.3)
    set_hours(by, [])
    page = text_of(press(client_at(by), "done", sand))
    assert "There is no new plan" in page
    sand.refresh_from_db()
    assert (sand.state, Plan.objects.get()) == (Step.State.DONE, plan)


def test_what_becomes_late_is_told_on_the_steps_page(client_at: OpenAt, by: By) -> None:
    """A better estimate that breaks a promise says so there and then; what was late before is not said again."""
    piece = chair(by, promise=date(2026, 3, 12))
    sand = step(piece, "Sand", 60)
    replan(by, seconds=0.3)
    client = client_at(by)
    assert "cannot be ready" in text_of(press(client, "minutes", sand, minutes="10 h"))
    assert "cannot be ready" not in text_of(press(client, "note", sand, text="slow"))


def test_whole_plan_is_paged(client_at: OpenAt, by: By) -> None:
    """A full shop's plan comes a page at a time, each row with its reason."""
    piece = chair(by)
    for number in range(65):
        step(piece, f"Step {number:02d}", 5)
    replan(by, seconds=0.3)
    client = client_at(by)
    first, second = (text_of(client.get(address("plan"), {"page": page})) for page in (1, 2))
    assert [page.count(">Kitchen chair</a></small>") for page in (first, second)] == [60, 5]
    assert "1 to 60 of 65" in first


def test_plan_page_without_plan(client_at: OpenAt, by: By) -> None:
    """Before anything is planned it says so."""
    assert "Nothing is planned" in text_of(client_at(by).get(address("plan")))


def test_plan_again_goes_back_only_to_our_own_pages(client_at: OpenAt, by: By) -> None:
    """A form cannot send people to another site."""
    client = client_at(by)
    for target in ("https://elsewhere.example/", "//elsewhere.example/", "/\\elsewhere.example/", "1", "nowhere", ""):
        assert client.post(address("plan-again"), {"next": target})["Location"] == "/"
    assert client.post(address("plan-again"), {"next": "/plan/"})["Location"] == "/plan/"


def test_day_sheet(client_at: OpenAt, by: By) -> None:
    """The day on paper, also of an empty day."""
    answer = client_at(by).get(address("day-sheet"))
    assert answer["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")


def test_pages_ask_the_database_a_bounded_number_of_times(
    client_at: OpenAt, by: By, django_assert_max_num_queries: Callable[..., Any]
) -> None:
    """Ten pieces with five steps each, or one: the pages ask as often."""
    can = varnish(by)
    for number in range(10):
        piece = chair(by, f"Chair {number}")
        row = [coat(piece, f"Coat {count}", can) for count in range(5)]
        for at, one in enumerate(row[1:]):
            wait(row[at], one, kind="drying", from_label="recoat")
        done(by, row[0], by.at - HOUR, by.at - HOUR / 2)
    replan(by, seconds=0.3)
    client = client_at(by)
    for page, most in (
        ("/", 34),
        (address("plan"), 20),
        (address("steps", piece.pk), 20),
        (address("step", row[1].pk), 26),
    ):
        client.get(page)
        with django_assert_max_num_queries(most):
            assert client.get(page).status_code == 200


def test_many_late_pieces_are_told_in_few_lines(client_at: OpenAt, by: By) -> None:
    """Messages travel in a cookie: four lines and how many more, not one for each of a full shop."""
    client = client_at(by)
    first = chair(by, promise=date(2026, 3, 12))
    rub = step(first, "Rub down", 60)
    for _number in range(5):
        step(chair(by, promise=date(2026, 3, 12)), "Rub down", 60)
    replan(by, seconds=0.3)
    set_hours(by, [(0, time(8), time(17))])
    answer = client.post(f"/step/{rub.pk}/minutes/", {"minutes": "70 min"}, follow=True)
    told = [str(line) for line in answer.context["messages"]]
    assert len(told) == 5
    assert "more; the plan tells them all" in told[-1]
