"""The pages of Today and of steps: one thing first, one tap each, and nothing of another shop."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, time, timedelta
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from tests.drawers.pieces.pieces_made import dresser, furnish, jpeg, state_of_the_book
from tests.drawers.today.today_made import chair, coat, done, step, varnish, wait

from tallboy.book.actions import set_hours
from tallboy.book.doing import By
from tallboy.drawers.pieces.actions.layout import stock_routes
from tallboy.drawers.pieces.actions.piece import record_lead_test
from tallboy.drawers.pieces.actions.work import skip_step, start_step
from tallboy.drawers.pieces.models import Coat, Piece, PiecePhoto, Route, Step
from tallboy.drawers.pieces.queries import position_lines
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.models import Plan, PlannedStep
from tallboy.drawers.today.runs import begin_run
from tallboy.drawers.today.urls import urlpatterns

HOUR = timedelta(hours=1)
LOOK, ACT, BOTH = "get", "post", "both"
# Address by address: whose number it takes, and which methods it answers.
ADDRESSES = {
    "today": ("", LOOK), "plan": ("", LOOK), "plan-again": ("", ACT), "day-sheet": ("", LOOK),
    "steps": ("piece", LOOK), "lay-out": ("piece", BOTH), "add-step": ("piece", BOTH),
    "step": ("step", LOOK), "start": ("step", ACT), "pause": ("step", ACT), "done": ("step", ACT),
    "not-now": ("step", ACT), "skip": ("step", ACT), "again": ("step", ACT), "minutes": ("step", ACT),
    "note": ("step", ACT), "photo": ("step", ACT), "touch": ("step", ACT),
    "plan-improve": ("", ACT), "plan-run": ("run", LOOK), "plan-run-stop": ("run", ACT), "plan-ics": ("", LOOK),
    "what-if": ("", LOOK), "rescue": ("", LOOK), "sure": ("", LOOK),
    "plan-month": ("", LOOK), "plan-day": ("day", LOOK), "why": ("step", LOOK), "path": ("piece", LOOK),
}  # fmt: skip
NUMBERED = {name: row for name, row in ADDRESSES.items() if row[0] not in ("", "day")}
NOBODYS = 10**9
A_DAY = "2026-03-12"
BEYOND_ANY_DATABASE = 10**30
OpenAt = Callable[[By], Client]


@pytest.fixture(autouse=True)
def quick(settings: Any) -> None:
    settings.PLAN_SECONDS = 0.3


def text_of(answer: Any) -> str:
    return str(answer.content.decode())


def address(name: str, *numbers: int | str) -> str:
    return reverse(f"today:{name}", args=numbers)


def ask(client: Client, name: str, number: int | str | None, method: str) -> int:
    """The status that an address answers."""
    return int(getattr(client, method)(address(name, *([] if number is None else [number]))).status_code)


def press(client: Client, name: str, of: Step, **values: Any) -> Any:
    """Press a button of a step and follow to the page after it."""
    return client.post(address(name, of.pk), values, follow=True)


def numbers_of(by: By, piece: Piece) -> dict[str, int | str | None]:
    """A number of each kind that an address can take, all of one shop."""
    return {"": None, "piece": piece.pk, "step": step(piece, "Sand").pk, "run": begin_run(by, 5).pk, "day": A_DAY}


def test_every_address_is_in_the_table() -> None:
    """A new page cannot be forgotten by the tests below."""
    assert {pattern.name for pattern in urlpatterns} == set(ADDRESSES)


@pytest.mark.parametrize("number", [NOBODYS, BEYOND_ANY_DATABASE])
@pytest.mark.parametrize("name", NUMBERED)
def test_unknown_number_is_not_found(client: Client, by: By, name: str, number: int) -> None:
    """A number that nobody has is a page in plain words with the status 404."""
    methods = {LOOK: ["get"], ACT: ["post"], BOTH: ["get", "post"]}[ADDRESSES[name][1]]
    assert [ask(client, name, number, method) for method in methods] == [404] * len(methods)


@pytest.mark.parametrize("name", NUMBERED)
def test_another_shops_row_is_not_found(client_at: OpenAt, by: By, stranger: By, name: str) -> None:
    """What belongs to another shop is neither shown nor changed: 404, as if it were not there."""
    piece = chair(stranger)
    number = numbers_of(stranger, piece)[ADDRESSES[name][0]]
    before = state_of_the_book()
    methods = {LOOK: ["get"], ACT: ["post"], BOTH: ["get", "post"]}[ADDRESSES[name][1]]
    assert [ask(client_at(by), name, number, method) for method in methods] == [404] * len(methods)
    assert state_of_the_book() == before


@pytest.mark.parametrize("name", [name for name, row in ADDRESSES.items() if row[1] != BOTH])
def test_wrong_method_is_refused(client_at: OpenAt, by: By, name: str) -> None:
    """Nothing changes by following a link; nothing that is only shown takes a form."""
    piece = chair(by)
    number = numbers_of(by, piece)[ADDRESSES[name][0]]
    wrong = "get" if ADDRESSES[name][1] == ACT else "post"
    assert ask(client_at(by), name, number, wrong) == 405


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
    assert reverse("pieces:lead-test", args=[piece.pk]) in page
    assert reverse("pieces:lead-test", args=[piece.pk]) in text_of(client.get(address("step", test.pk)))
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
    answer = client.post(address("add-step", piece.pk), {"title": "Order felt", "minutes": "10", "after": sand.pk})
    assert answer.status_code == 302
    own = Step.objects.get(title="Order felt")
    assert PlannedStep.objects.get(step=own).start >= PlannedStep.objects.get(step=sand).end
    for wrong in (
        {"title": "", "minutes": "10"},
        {"title": "x", "minutes": "2"},
        {"title": "x", "minutes": "10", "after": NOBODYS},
    ):
        assert "errorlist" in text_of(client.post(address("add-step", piece.pk), wrong))
    assert piece.steps.count() == 2


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
    assert "more; Today tells them all" in told[-1]
