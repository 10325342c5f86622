"""The pages of steps: what they say and what may be done there in one tap."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from tests.drawers.pieces.pieces_made import dresser, furnish, jpeg, state_of_the_book
from tests.drawers.today.pages_made import address, press, text_of
from tests.drawers.today.today_made import chair, coat, done, step, varnish, wait

from tallboy.book.doing import By
from tallboy.drawers.pieces.actions.layout import stock_routes
from tallboy.drawers.pieces.actions.piece import record_lead_test
from tallboy.drawers.pieces.actions.work import skip_step, start_step
from tallboy.drawers.pieces.models import Coat, Piece, PiecePhoto, Route, Step
from tallboy.drawers.pieces.queries import position_lines
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.models import PlannedStep

HOUR = timedelta(hours=1)


NOBODYS = 10**9


BEYOND_ANY_DATABASE = 10**30


OpenAt = Callable[[By], Client]


@pytest.fixture(autouse=True)
def quick(settings: Any) -> None:
    settings.PLAN_SECONDS = 0.3


def test_step_page_says_what_it_needs(client_at: OpenAt, by: By) -> None:
    """What it waits for, the can, what must be to hand, dust and hands; buttons only while it is open."""
    piece, can = chair(by), varnish(by)
    glue = step(piece, "Glue the joint")
    laid = coat(piece, "Coat 1", can, needs=["A soft brush"], hands=2, dusty=True, note="Thin, along the grain.")
    wait(glue, laid, kind="clamps", least_minutes=60, text="The joint must have set.")
    client = client_at(by)
    page = text_of(client.get(address("step", laid.pk)))
    for words in ("Glue the joint", "The joint must have set.", "Clear varnish", "A soft brush", "2 people", "makes dust",
                  "Thin, along the grain.", "Start the clock", "Not planned yet"):  # fmt: skip
        assert words in page
    page = text_of(press(client, "done", laid, used="120 ml"))
    assert "Start the clock" not in page
    assert Coat.objects.get().ml == 120


def test_no_dust_of_untested_paint(client_at: OpenAt, by: By) -> None:
    """The page offers the test instead of the clock; pressed all the same, it is refused in words; tested, it goes."""
    piece = chair(by)
    piece.old_paint = True
    piece.save()
    test, sand = step(piece, "Test the paint", does="test"), step(piece, "Sand", dusty=True)
    client = client_at(by)
    page = text_of(client.get(address("step", sand.pk)))
    assert "Start the clock" not in page
    assert reverse("today:lead-test", args=[piece.pk]) in page
    assert reverse("today:lead-test", args=[piece.pk]) in text_of(client.get(address("step", test.pk)))
    assert "not been tested for lead" in text_of(press(client, "start", sand))
    assert "not been tested for lead" in text_of(press(client, "done", sand))
    sand.refresh_from_db()
    assert sand.state == Step.State.TO_DO
    record_lead_test(by, piece, Piece.Lead.NONE)
    press(client, "start", sand)
    sand.refresh_from_db()
    assert sand.state == Step.State.RUNNING


@pytest.mark.parametrize(
    ("chosen", "until"),
    [("60", "2026-03-12T10:00"), ("120", "2026-03-12T11:00"), ("tomorrow", "2026-03-13T05:00"),
     ("3 days", "2026-03-15T05:00"), ("7 days", "2026-03-19T05:00")],
)  # fmt: skip
def test_not_now_until(client_at: OpenAt, by: By, chosen: str, until: str) -> None:
    """Each choice by the shop's clock, with the reason."""
    sand = step(chair(by), "Sand")
    press(client_at(by), "not-now", sand, until=chosen, reason="lent the machine")
    sand.refresh_from_db()
    assert sand.not_before is not None
    assert f"{sand.not_before.astimezone(by.shop.tz):%Y-%m-%dT%H:%M}" == until
    assert sand.reason == "lent the machine"


def test_skip_and_again(client_at: OpenAt, by: By) -> None:
    """Skipped with the reason on the page; wanted after all."""
    sand = step(chair(by), "Sand")
    client = client_at(by)
    page = text_of(press(client, "skip", sand, reason="smooth enough"))
    assert "smooth enough" in page
    assert "It is wanted after all" in page
    assert "Start the clock" in text_of(press(client, "again", sand))


def test_better_estimate(client_at: OpenAt, by: By) -> None:
    """Typed as people say it; the plan follows."""
    sand = step(chair(by), "Sand", 30)
    replan(by, seconds=0.3)
    press(client_at(by), "minutes", sand, minutes="1 h 30")
    sand.refresh_from_db()
    assert sand.minutes == 90
    row = PlannedStep.objects.get()
    assert row.end - row.start == 1.5 * HOUR


BAD = {
    "not-now": {"until": "never"},
    "skip": {"reason": " "},
    "minutes": {"minutes": "a while"},
    "note": {"text": ""},
    "done": {"used": "a lot"},
}


@pytest.mark.parametrize("name", BAD)
def test_bad_input_shows_the_form_again(client_at: OpenAt, by: By, name: str) -> None:
    """What cannot be read comes back with its message, in the form opened, and nothing is changed."""
    laid = coat(chair(by), "Coat 1", varnish(by))
    before = state_of_the_book()
    answer = client_at(by).post(address(name, laid.pk), BAD[name])
    assert answer.status_code == 400
    page = text_of(answer)
    assert "errorlist" in page
    if name != "done":
        assert '<details class="more" open>' in page
    assert state_of_the_book() == before


@pytest.mark.parametrize("minutes", ["1 min", "3 days"])
def test_estimate_out_of_range_is_told(client_at: OpenAt, by: By, minutes: str) -> None:
    """Readable but not sensible: told in words, nothing changed."""
    sand = step(chair(by), "Sand", 30)
    assert "Give 5 to 1440 minutes." in text_of(press(client_at(by), "minutes", sand, minutes=minutes))
    sand.refresh_from_db()
    assert sand.minutes == 30


def test_note_and_photograph(client_at: OpenAt, by: By) -> None:
    """Both are kept with the step and shown on its page."""
    sand = step(chair(by), "Sand")
    client = client_at(by)
    assert "Grain rises on the left" in text_of(press(client, "note", sand, text="Grain rises on the left"))
    page = text_of(press(client, "photo", sand, photo=SimpleUploadedFile("x.jpg", jpeg(), "image/jpeg")))
    use = PiecePhoto.objects.get(step=sand)
    assert (use.purpose, use.piece) == (PiecePhoto.Purpose.DURING, sand.piece)
    assert use.photo.digest in page


@pytest.mark.parametrize(("sent", "words"), [(None, "No photograph came"), (b"plain text", "not a photograph")])
def test_photograph_that_is_none(client_at: OpenAt, by: By, sent: bytes | None, words: str) -> None:
    """Nothing sent, or a text renamed: told once, nothing kept."""
    sand = step(chair(by), "Sand")
    before = state_of_the_book()
    values = {} if sent is None else {"photo": SimpleUploadedFile("x.jpg", sent, "image/jpeg")}
    assert text_of(press(client_at(by), "photo", sand, **values)).count(words) == 1
    assert state_of_the_book() == before


def test_steps_of_a_piece(client_at: OpenAt, by: By) -> None:
    """The path of a piece: each step with its state, time and reason; what is left of hands."""
    piece = chair(by, promise=date(2026, 4, 1))
    names = ("Clean", "Glue", "Sand", "Wax")
    clean, glue, sand, wax = (step(piece, name, 60) for name in names)
    wait(glue, sand, kind="clamps", least_minutes=60)
    wait(sand, wax)
    done(by, clean, by.at - 2 * HOUR, by.at - HOUR)
    start_step(by, glue)
    skip_step(by, wax, "oiled instead")
    replan(by, seconds=0.3)
    page = text_of(client_at(by).get(address("steps", piece.pk)))
    assert "2 h hands-on left" in page
    assert "promised 1 April" in page
    assert [page.count(f'<li class="{state}">') for state in ("done", "running", "waiting", "skipped")] == [1, 1, 1, 1]
    assert "oiled instead" in page
    assert [page.index(f">{name}</a>") for name in names] == sorted(page.index(f">{name}</a>") for name in names)


def test_steps_stand_in_the_order_they_happen(client_at: OpenAt, by: By) -> None:
    """What is done stands first and what is planned by its time, whatever the order of the route; skipped steps end it."""
    piece = chair(by)
    skipped, late, early, clean = (step(piece, name, 60) for name in ("Stain", "Wax", "Soak", "Clean"))
    wait(early, late)
    done(by, clean, by.at - 2 * HOUR, by.at - HOUR)
    skip_step(by, skipped, "light enough")
    replan(by, seconds=0.3)
    page = text_of(client_at(by).get(address("steps", piece.pk)))
    places = [page.index(f">{name}</a>") for name in ("Clean", "Soak", "Wax", "Stain")]
    assert places == sorted(places)


def test_a_reason_names_its_own_piece_once(client_at: OpenAt, by: By) -> None:
    """Beside a step stands its piece: the reason names another step of that piece without it."""
    piece = chair(by)
    wait(step(piece, "Sand", 60), step(piece, "Wax", 60))
    replan(by, seconds=0.3)
    assert "Comes after “Sand”, done by" in text_of(client_at(by).get(address("steps", piece.pk)))


def test_not_now_says_until_when(client_at: OpenAt, by: By) -> None:
    """One tap on Today puts the step off, and the page says until when."""
    sand = step(chair(by), "Sand", 60)
    page = text_of(press(client_at(by), "not-now", sand, **{"from": "today"}))
    assert "Put off until" in page
    assert ": Sand." in page


def test_put_off_to_a_day_names_the_day_alone(client_at: OpenAt, by: By) -> None:
    """In three days: that day, and no hour that nobody chose."""
    sand = step(chair(by), "Sand", 60)
    client = client_at(by)
    day = (by.at.astimezone(by.shop.tz) + timedelta(days=3)).strftime("%a %-d %b")
    for page in (press(client, "not-now", sand, until="3 days"), client.get(address("step", sand.pk))):
        assert re.search(rf"Put off until {day}[.:]", text_of(page))


def test_take_down_done_says_what_is_still_on(client_at: OpenAt, by: By) -> None:
    """The take-down may be done with parts left on: how many is said, and the step leads to where parts are taken off."""
    piece = dresser(by)
    off = step(piece, "Take the fittings off", 60, does="take-down")
    client = client_at(by)
    assert reverse("pieces:take-down", args=[piece.pk]) in text_of(client.get(address("step", off.pk)))
    on = sum(line.state == "on" for line in position_lines(piece))
    assert on > 1
    assert f"{on} positions still carry what they came with." in text_of(press(client, "done", off))


def test_the_four_questions_of_a_step_have_names_of_their_own(client_at: OpenAt, by: By) -> None:
    """No two fields of a step's page share an id, so each label belongs to its own field."""
    page = text_of(client_at(by).get(address("step", step(chair(by), "Sand", 60).pk)))
    ids = re.findall(r' id="([^"]+)"', page)
    assert len(ids) == len(set(ids))


def test_lay_out_asks_for_cans_and_coats(client_at: OpenAt, by: By) -> None:
    """Choose a route, then a can and coats for each of its roles; then it is laid out and planned."""
    furnish(by)
    can = varnish(by)
    piece = dresser(by)
    client = client_at(by)
    assert "No steps are laid out yet" in text_of(client.get(address("steps", piece.pk)))
    route = Route.objects.get(key="strip-refinish")
    page = text_of(client.get(address("lay-out", piece.pk), {"route": route.pk}))
    assert "Coats of topcoat" in page
    assert "Clear varnish" in page
    values = {"route": route.pk, "can-topcoat": can.pk, "coats-topcoat": 3, "coats-sealer": 1}
    answer = client.post(address("lay-out", piece.pk), values)
    assert answer.status_code == 302, text_of(answer)
    assert piece.steps.filter(product=can, does="coat").count() == 3
    assert PlannedStep.objects.filter(step__piece=piece).count() == piece.steps.count()


def test_lay_out_with_bad_answers_changes_nothing(client_at: OpenAt, by: By, stranger: By) -> None:
    """Too many coats, another shop's can, no route, another shop's route."""
    furnish(by)
    stock_routes(stranger)
    theirs = varnish(stranger)
    piece = dresser(by)
    client = client_at(by)
    route = Route.objects.get(shop=by.shop, key="strip-refinish")
    before = state_of_the_book()
    good = {"route": route.pk, "coats-topcoat": 3, "coats-sealer": 1}
    for wrong in ({"coats-topcoat": 99}, {"coats-topcoat": "many"}, {"can-topcoat": theirs.pk}):
        page = text_of(client.post(address("lay-out", piece.pk), {**good, **wrong}))
        assert "errorlist" in page
    foreign = Route.objects.get(shop=stranger.shop, key="oil")
    for number in (foreign.pk, NOBODYS, BEYOND_ANY_DATABASE):
        assert client.get(address("lay-out", piece.pk), {"route": number}).status_code == 404
    assert "Choose a route first" in text_of(client.get(address("lay-out", piece.pk), follow=True))
    assert state_of_the_book() == before


def test_step_of_ones_own(client_at: OpenAt, by: By) -> None:
    """Added after another step and planned; without a name it comes back."""
    piece = chair(by)
    sand = step(piece, "Sand")
    client = client_at(by)
    sent = {"title": "Order felt", "minutes": "10", "does": "fetch", "after": sand.pk}
    answer = client.post(address("add-step", piece.pk), sent)
    assert answer.status_code == 302
    own = Step.objects.get(title="Order felt")
    assert PlannedStep.objects.get(step=own).start >= PlannedStep.objects.get(step=sand).end
    for wrong in (
        {"title": "", "minutes": "10", "does": "repair"},
        {"title": "x", "minutes": "2", "does": "repair"},
        {"title": "x", "minutes": "10", "does": "paint"},
        {"title": "x", "minutes": "10", "does": "repair", "after": NOBODYS},
    ):
        assert "errorlist" in text_of(client.post(address("add-step", piece.pk), wrong))
    assert piece.steps.count() == 2
