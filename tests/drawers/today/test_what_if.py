"""What if: two plans side by side, asked by an address, and nothing is stored."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, timedelta
from typing import Any
from urllib.parse import urlencode

import pytest
from django.test import Client
from django.urls import reverse
from tests.drawers.pieces.pieces_made import dresser, furnish, state_of_the_book
from tests.drawers.today.today_made import chair, coat, cold, done, step, varnish, wait
from tests.drawings import parsed

from tallboy.book.actions import set_hours
from tallboy.book.doing import By
from tallboy.drawers.pieces.actions.deliveries import expect
from tallboy.drawers.pieces.models import Piece, Route
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.gathering.gather import gather
from tallboy.drawers.today.models import PlannedStep
from tallboy.drawers.today.what_if.answer import Answer, Question, Side, answer
from tallboy.drawers.today.what_if.dropped_in import NEW, dropped_in
from tallboy.drawers.today.what_if.rescued import saved
from tallboy.planner.network import ByHour, Fixed
from tallboy.planner.rules.broken import broken_rules

QUICK = 0.3
OpenAt = Callable[[By], Client]


@pytest.fixture(autouse=True)
def quick(settings: Any) -> None:
    settings.PLAN_SECONDS = QUICK


def ask(by: By, **asked: Any) -> Answer:
    return answer(by.shop, by.at, Question(**asked), QUICK)


def page_of(client: Client, name: str = "what-if", **query: object) -> str:
    response = client.get(f"{reverse(f'today:{name}')}?{urlencode(query)}")
    assert response.status_code == 200
    return str(response.content.decode())


def busy(by: By, name: str, hours: int, **fields: Any) -> Piece:
    """A chair with so many hours of mending, an hour at a time."""
    piece = chair(by, name, **fields)
    for hour in range(hours):
        step(piece, f"Mend {hour}", 60)
    return piece


def varnished(by: By, can: Any, **fields: Any) -> Piece:
    """A chair that gets two coats."""
    piece = chair(by, "Varnished chair", **fields)
    first, second = coat(piece, "First coat", can), coat(piece, "Second coat", can)
    wait(first, second, kind="drying", from_label="recoat")
    return piece


def by_hour(side: Side) -> tuple[int, ...]:
    """The wait between the two coats, by the hour."""
    least = side.problem.links[0].least
    assert isinstance(least, ByHour)
    return least.minutes


def test_one_more_pair_of_hands(by: By) -> None:
    """Two chairs of thirty hours each are finished days earlier, and half the work is the helper's."""
    for name in ("One chair", "Other chair"):
        busy(by, name, 30)
    found = ask(by, hands=1)
    assert [row.gained for row in found.pieces if row.gained is not None and row.gained > 0]
    assert found.minutes_now == found.minutes_then == 60 * 60
    assert 1500 <= found.added <= 2100
    assert found.then.plan is not None
    assert broken_rules(found.then.problem, found.then.plan) == ()


def test_as_it_is_the_plan_stands_as_people_see_it(by: By) -> None:
    """Also where a step could be earlier; what is asked starts from there. After more than a slip all is planned anew."""
    late = step(chair(by), "Late by choice", 30)
    plan = replan(by, seconds=QUICK)
    seen = by.at + timedelta(hours=3)
    blocks = [[seen.isoformat(), (seen + timedelta(minutes=30)).isoformat()]]
    row = PlannedStep.objects.get(plan=plan, step=late)
    PlannedStep.objects.filter(pk=row.pk).update(start=seen, end=seen + timedelta(minutes=30), blocks=blocks)
    found = ask(by, hands=1)
    assert found.now.plan is not None
    assert found.now.plan.steps[str(late.pk)].start == seen
    assert found.then.problem.previous[str(late.pk)] == seen
    assert found.now.plan.status == plan.status
    set_hours(by, [])
    assert ask(by, hands=1).now.plan is None


def test_overtime_until_a_day(by: By) -> None:
    """One hour more in the evening up to tomorrow, and no later."""
    busy(by, "Chair", 40)
    tomorrow = by.at.date() + timedelta(days=1)
    found = ask(by, overtime=1, until=tomorrow)
    longer = set(found.then.problem.working) - set(found.now.problem.working)
    assert sorted(closes.date() for _opens, closes in longer) == [by.at.date(), tomorrow]
    assert found.added == 120


def test_saturdays_and_closed_days(by: By) -> None:
    """Every Saturday of the plan; the next closed day; one day by its date; days that are past are left out."""
    busy(by, "Chair", 40)
    plain = {day.date() for day, _ in gather(by.shop, by.at).problem.working}
    saturdays = {a.date() for a, _ in ask(by, saturdays=True).then.problem.working} - plain
    assert saturdays
    assert {day.weekday() for day in saturdays} == {5}
    next_one = {a.date() for a, _ in ask(by, closed_days=1).then.problem.working} - plain
    assert next_one == {min(saturdays)}
    sunday = min(saturdays) + timedelta(days=1)
    assert {a.date() for a, _ in ask(by, day=sunday).then.problem.working} - plain == {sunday}
    assert {a.date() for a, _ in ask(by, day=date(2020, 1, 4)).then.problem.working} == plain


def test_a_warm_shop_dries_sooner(by: By) -> None:
    """In a cold shop a coat waits long; heated to the label's warmth it does not, and the plan says what was bent before."""
    cold(by, 8)
    varnished(by, varnish(by, label_celsius=20.0, minimum_celsius=5))
    found = ask(by, celsius=20.0)
    now, then = (by_hour(side) for side in (found.now, found.then))
    assert max(then) < min(now)
    assert found.changes == ("the shop heated to 20 °C from now on, day and night",)


def test_a_shop_too_cold_for_the_can_is_told_no_more(by: By) -> None:
    """What the can would not do in the cold is a trouble of the plan as it is alone."""
    cold(by, 6)
    varnished(by, varnish(by, minimum_celsius=12))
    found = ask(by, celsius=20.0)
    assert found.gone_troubles
    assert not found.new_troubles


def test_another_can(by: By) -> None:
    """The second coat waits as long as the other can's label says; the book keeps the first can."""
    slow, fast = varnish(by), varnish(by, "Quick varnish", recoat_from_minutes=60)
    piece = varnished(by, slow)
    found = ask(by, can=slow, instead=fast)
    assert by_hour(found.now)[0] > by_hour(found.then)[0]
    assert {one.product for one in piece.steps.all()} == {slow}


def test_a_piece_left_out_or_put_first(by: By) -> None:
    """Without one piece the other is finished sooner; put first, a piece gets the earliest hours."""
    one, other = busy(by, "One", 20, promise=date(2026, 4, 3)), busy(by, "Other", 20, promise=date(2026, 4, 10))
    left_out = {row.name: row for row in ask(by, without=one).pieces}
    assert left_out["One"].then is None
    assert left_out["Other"].gained is not None
    assert left_out["Other"].gained >= 2
    first = {row.name: row for row in ask(by, first=other).pieces}
    assert first["Other"].then is not None
    assert first["Other"].late_then == 0


def test_one_more_piece_like_another_is_planned_from_its_first_step(by: By) -> None:
    """What is done of the pattern is to do again; waits are copied, skipped steps bridged; the new piece has its promise."""
    pattern = chair(by, "Pattern")
    wash, coats = step(pattern, "Wash", 30), coat(pattern, "Coat", varnish(by))
    wait(wash, coats, kind="drying", least_minutes=90)
    done(by, wash, by.at - timedelta(hours=2), by.at - timedelta(hours=1))
    before = state_of_the_book()
    found = ask(by, like=pattern, ready=date(2026, 4, 30))
    new = [one for one in found.then.problem.steps if one.piece == str(NEW)]
    assert sorted(one.minutes for one in new) == [30, 30]
    assert all(one.done is None for one in new)
    links = [link for link in found.then.problem.links if link.then in {one.key for one in new}]
    assert [link.least for link in links] == [Fixed(90)]
    assert [promise.by.date() for promise in found.then.problem.promises] == [date(2026, 4, 30)]
    row = next(row for row in found.pieces if row.key == str(NEW))
    assert (row.now, row.late_then) == (None, 0)
    assert state_of_the_book() == before


def test_one_more_piece_by_a_route(by: By) -> None:
    """The route is unrolled over the pattern's surfaces with the shop's own cans; keys and numbers are below zero."""
    pattern = dresser(by)
    furnish(by)
    route = Route.objects.filter(shop=by.shop, kind="route").first()
    assert route is not None
    made = dropped_in(pattern, "New", None, route)
    assert len(made.steps) > 5
    assert {one.piece.pk for one in made.steps} == {NEW}
    keys = {one.pk for one in made.steps}
    assert max(keys) < 0
    assert {pk for one in made.waits for pk in (one.first_id, one.then_id)} <= keys
    found = ask(by, like=pattern, route=route)
    assert found.then.plan is not None
    assert any(row.key == str(NEW) for row in found.pieces)


def test_the_answer_is_a_page_with_both_weeks_drawn(client_at: OpenAt, by: By) -> None:
    """Promises of both plans in a table, two drawings of each week that parse, what moved, and a plain word that it is only a question."""
    busy(by, "One <chair> & more", 30, promise=date(2026, 4, 1))
    varnished(by, varnish(by), promise=date(2026, 4, 20))
    page = page_of(client_at(by), hands=1, overtime=1)
    assert "Only a question" in page
    drawings = re.findall(r"<svg viewBox.*?</svg>", page, re.S)
    weeks = [one for one in drawings if "aria-label" in one]
    assert len(weeks) == 4
    assert all(parsed(one) is not None for one in weeks)
    assert "One &lt;chair&gt; &amp; more" in page
    for words in ("When each piece is finished", "What begins at another time", "1 h of overtime every working day"):
        assert words in page


def test_nothing_is_stored_by_asking(client_at: OpenAt, by: By) -> None:
    """Whatever is asked, the book is as it was before."""
    piece = busy(by, "Chair", 12, promise=date(2026, 3, 27))
    can, other = varnish(by), varnish(by, "Other varnish")
    varnished(by, can)
    before = state_of_the_book()
    client = client_at(by)
    page_of(client, hands=2, saturdays="on", celsius="20 °C", like=piece.pk, ready="2026-05-01")
    page_of(client, can=can.pk, instead=other.pk, first=piece.pk, closed_days=2, overtime=2, until="2026-04-10")
    page_of(client, without=piece.pk)
    page_of(client, "rescue")
    assert state_of_the_book() == before


def test_heating_has_its_caution(client_at: OpenAt, by: By) -> None:
    """Heaters, vapour and fire are told beside the answer, and only where heat is asked."""
    busy(by, "Chair", 3)
    client = client_at(by)
    assert "Never leave a heater alone" in page_of(client, celsius="20 °C")
    assert "Never leave a heater alone" not in page_of(client, hands=1)


def test_without_a_question_there_is_the_form_alone(client_at: OpenAt, by: By) -> None:
    """Nothing is planned before something is asked; an empty question says so."""
    busy(by, "Chair", 3)
    client = client_at(by)
    assert "When each piece is finished" not in page_of(client)
    assert "Nothing was asked" in page_of(client, hands="", until="2026-05-01")


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ({"celsius": "90"}, "between 5 and 35"),
        ({"celsius": "warm"}, "celsius"),
        ({"can": "the can on the shelf"}, "Name both cans"),
        ({"like": "999"}, "not one of the available choices"),
        ({"day": "2020-01-01"}, "That day is past"),
        ({"day": "9999-12-31"}, "no plan reaches further than four years"),
        ({"closed_days": "2", "until": "9999-12-31"}, "no plan reaches further than four years"),
        ({"day": "tomorrow"}, "Enter a valid date"),
        ({"ready": "2026-05-01"}, "Which piece is the new one like?"),
        ({"hands": "40"}, "not one of the available choices"),
    ],
)
def test_what_cannot_be_asked_is_said(client_at: OpenAt, by: By, query: dict[str, str], words: str) -> None:
    """A wrong answer is told at its field, and nothing is planned."""
    can = varnish(by)
    busy(by, "Chair", 3)
    page = page_of(client_at(by), **{key: str(can.pk) if key == "can" else word for key, word in query.items()})
    assert words in page
    assert "When each piece is finished" not in page


def test_another_shops_piece_cannot_be_asked_about(client_at: OpenAt, by: By, stranger: By) -> None:
    """It is no choice, as if it were not there."""
    theirs = busy(stranger, "Theirs", 3)
    busy(by, "Chair", 3)
    assert "not one of the available choices" in page_of(client_at(by), without=theirs.pk)


def test_a_piece_left_out_has_no_finish(client_at: OpenAt, by: By) -> None:
    """It stands in the table without a time in the plan as it is asked."""
    piece = busy(by, "Chair", 3)
    assert "left out" in page_of(client_at(by), without=piece.pk)


def test_where_there_is_no_plan_the_page_says_why(client_at: OpenAt, by: By) -> None:
    """A shop that nobody works in has no plan, with or without a helper; a plan for one day is there when somebody comes."""
    busy(by, "Chair", 3)
    set_hours(by, [])
    client = client_at(by)
    page = page_of(client, hands=1)
    assert "As it is there is no plan" in page
    assert "As it is asked there is no plan" in page
    assert "no working hours" in page_of(client, "rescue")


def test_an_empty_shop_can_be_asked_about(client_at: OpenAt, by: By) -> None:
    """Nothing is planned on either side."""
    assert "Nothing is planned" in page_of(client_at(by), hands=1)


def test_a_missed_promise_is_saved_and_each_way_opens_as_a_what_if(client_at: OpenAt, by: By) -> None:
    """Twelve hours of work due tomorrow night: overtime or a helper; the link leads to a page where the promise is kept."""
    busy(by, "Chair", 17, promise=by.at.date() + timedelta(days=1))
    client = client_at(by)
    page = page_of(client, "rescue")
    assert "With this it is kept" in page
    links = re.findall(r'href="(/what-if/\?[^"]+)"', page)
    assert links
    for link in links:
        shown = client.get(link.replace("&amp;", "&")).content.decode()
        assert "as asked: 0." in shown


def test_a_promise_that_nothing_saves_names_the_earliest_day(client_at: OpenAt, by: By) -> None:
    """Glue that sets for a week is not ready tomorrow."""
    piece = chair(by, "Chair", promise=by.at.date() + timedelta(days=1))
    glue, out = step(piece, "Glue"), step(piece, "Out of the clamps")
    wait(glue, out, kind="clamps", least_minutes=7 * 24 * 60)
    page = page_of(client_at(by), "rescue")
    assert "Nothing that was tried saves it" in page
    assert "Tried in vain" in page


def test_a_warm_shop_can_save_a_promise(by: By) -> None:
    """Where a coat dries too slowly in the cold, heat is among what saves, with its caution."""
    cold(by, 8)
    varnished(by, varnish(by, label_celsius=20.0, minimum_celsius=5), promise=by.at.date())
    found = saved(by.shop, by.at, None, QUICK)
    assert [row.query for row in found.savers if row.warm] == ["celsius=20+%C2%B0C"]


def test_what_comes_too_late_is_named_as_what_would_save_it(client_at: OpenAt, by: By) -> None:
    """Screws that come in a week hold up an hour's work promised for tomorrow: the page says so, and leads to what is on its way."""
    piece = chair(by, "Chair", promise=by.at.date() + timedelta(days=1))
    expect(by, "Brass screws", by.at.date() + timedelta(days=7), step=step(piece, "Fit the hinges", 60))
    page = page_of(client_at(by), "rescue")
    assert f'<a href="{reverse("today:deliveries")}">“Brass screws” here at once</a>' in page
    assert "Nothing that was tried saves it" not in page


def test_several_missed_promises_are_each_linked(client_at: OpenAt, by: By) -> None:
    """The first is looked at; the others stand below, and a piece's number chooses."""
    soon = by.at.date() + timedelta(days=1)
    pieces = [busy(by, name, 20, promise=soon) for name in ("One chair", "Other chair", "Third chair")]
    client = client_at(by)
    assert "Missed as well" in page_of(client, "rescue")
    chosen = page_of(client, "rescue", piece=pieces[2].pk)
    assert f'href="{reverse("today:steps", args=[pieces[2].pk])}">Third chair' in chosen


def test_kept_promises_say_so(client_at: OpenAt, by: By) -> None:
    """Nothing missed, nothing to save."""
    busy(by, "Chair", 3, promise=date(2026, 12, 1))
    assert "Every promise is kept" in page_of(client_at(by), "rescue")
