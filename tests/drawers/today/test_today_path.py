"""A piece's path and the reasons of a step, on their pages: in the order of time, back to something real, with the room there is."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from tests.drawers.today.today_made import chair, coat, done, step, varnish, wait
from tests.drawings import parsed

from tallboy.book.doing import By
from tallboy.book.models import Person
from tallboy.drawers.pieces.actions.work import skip_step
from tallboy.drawers.pieces.models import Piece, Step
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.models import PlannedStep
from tallboy.drawers.today.show import path_draw
from tallboy.drawers.today.show.path import Node, Path, path_of
from tallboy.drawers.today.show.rule_words import RULES, rule_word
from tallboy.drawers.today.show.why import MOST_LINKS, Reasons

HOUR = timedelta(hours=1)
QUICK = 0.4
OpenAt = Callable[[By], Client]


@pytest.fixture(autouse=True)
def quick(settings: Any) -> None:
    settings.PLAN_SECONDS = 0.3


def page(client: Client, name: str, *args: object) -> str:
    answer = client.get(reverse(f"today:{name}", args=args))
    assert answer.status_code == 200
    return str(answer.content.decode())


def path(by: By, piece: Piece) -> Path:
    return path_of(Reasons(by.shop, by.at), piece.steps.order_by("order"))


def told(nodes: tuple[Node, ...]) -> list[str]:
    return [node.step.title for node in nodes]


def varnished(by: By) -> tuple[Piece, list[Step]]:
    """A chair with its first coat laid an hour ago; rub down, second coat and the clean handle are still to do."""
    can = varnish(by)
    piece = chair(by)
    first, rub, second = coat(piece, "Coat 1", can), step(piece, "Rub down"), coat(piece, "Coat 2", can)
    handle = step(piece, "Clean the handle", 20, does="metal")
    wait(first, rub, kind="drying", from_label="recoat")
    wait(rub, second)
    done(by, first, by.at - 2 * HOUR, by.at - HOUR)
    replan(by, seconds=QUICK)
    return piece, [first, rub, second, handle]


def test_done_first_then_as_planned(by: By) -> None:
    """Real times for what is done, the plan's for what is ahead, numbers in the order of time."""
    piece, (_first, _rub, second, _handle) = varnished(by)
    found = path(by, piece)
    assert told(found.nodes) == ["Coat 1", "Clean the handle", "Rub down", "Coat 2"]
    assert [node.number for node in found.nodes] == [1, 2, 3, 4]
    assert (found.nodes[0].start, found.nodes[0].end) == (by.at - 2 * HOUR, by.at - HOUR)
    assert found.nodes[2].start == by.at + 3 * HOUR, "four hours after the coat"
    assert found.finish == PlannedStep.objects.get(step=second).end


def test_threads_and_the_waits_in_them(by: By) -> None:
    """What follows each other is one thread, with its wait; what stands alone is another."""
    piece, _steps = varnished(by)
    found = path(by, piece)
    assert [told(thread) for thread in found.threads] == [["Coat 1", "Rub down", "Coat 2"], ["Clean the handle"]]
    rub = found.threads[0][1]
    assert rub.gap is not None
    assert (rub.gap.kind, rub.gap.minutes) == ("drying", 240)


def test_what_holds_the_finish_is_marked(by: By) -> None:
    """The coat, the rub-down and the second coat hold it; the handle does not."""
    piece, _steps = varnished(by)
    found = path(by, piece)
    assert {node.step.title for node in found.nodes if node.holds} == {"Coat 1", "Rub down", "Coat 2"}
    svg = path_draw.draw(found.threads, "after")
    boxes = [one.get("class", "").split() for one in parsed(svg).iter("rect") if "path-" in one.get("class", "")]
    assert [box for box in boxes if "path-holds" in box] == [
        ["path-done", "path-holds"],
        *[["path-ahead", "path-holds"]] * 2,
    ]


def test_steps_of_other_pieces_that_hold_it_are_named(client_at: OpenAt, by: By) -> None:
    """One pair of hands, and the stool is sooner done than the chair: it goes first, and the chair's page says so."""
    sand = step(chair(by, "Stool"), "Sand the stool", 60)
    piece = chair(by)
    step(piece, "Sand the chair", 120)
    replan(by, seconds=QUICK)
    found = path(by, piece)
    assert [link.step for link in found.elsewhere.first] == [sand]
    assert "Other pieces that its finish hangs on" in page(client_at(by), "path", piece.pk)


def test_past_waits_tell_the_time_that_really_went_by(by: By) -> None:
    """Five hours lay between the coat and the rub-down, whatever its label said."""
    can = varnish(by)
    piece = chair(by)
    first, rub = coat(piece, "Coat 1", can), step(piece, "Rub down")
    wait(first, rub, kind="drying", from_label="recoat")
    done(by, first, by.at - 7 * HOUR, by.at - 6 * HOUR)
    done(by, rub, by.at - HOUR, by.at)
    (thread,) = path(by, piece).threads
    assert thread[1].gap is not None
    assert thread[1].gap.minutes == 300


def test_other_steps_that_it_comes_after_are_named_by_number(by: By) -> None:
    """Three threads run into one step: one goes on in it, the other two are named beside it."""
    piece = chair(by)
    before = [step(piece, f"Clean {name}", 20) for name in ("hinges", "pulls", "lock")]
    fit = step(piece, "Fit them")
    for one in before:
        wait(one, fit)
    replan(by, seconds=QUICK)
    found = path(by, piece)
    last = found.threads[-1][-1]
    assert last.step == fit
    assert last.after == (1, 2)


def test_skipped_and_unplanned_steps_have_their_place(client_at: OpenAt, by: By) -> None:
    """Skipped ones in a list of their own, those the plan does not know of dashed, at the end."""
    piece = chair(by)
    skipped, planned = step(piece, "Wax"), step(piece, "Sand")
    skip_step(by, skipped, "sound as it is")
    replan(by, seconds=QUICK)
    late = step(piece, "A thought of the evening")
    found = path(by, piece)
    assert told(found.nodes) == ["Sand", late.title]
    assert found.skipped == (skipped,)
    shown = page(client_at(by), "path", piece.pk)
    assert "sound as it is" in shown
    assert shown.count('<rect class="plan-missing"') >= 1
    assert "Not planned yet" in shown
    assert str(planned) in shown


def test_a_path_without_steps_says_so(client_at: OpenAt, by: By) -> None:
    """A piece just taken in."""
    assert "No steps are laid out yet." in page(client_at(by), "path", chair(by).pk)


def test_drawing_of_a_path_carries_no_style_and_escapes_titles(by: By) -> None:
    """Classes only; a long title is cut after two lines; every box leads to its reasons."""
    piece = chair(by)
    wicked = step(piece, "<i>&</i> " + "a very long thing to do " * 6)
    replan(by, seconds=QUICK)
    svg = path_draw.draw(path(by, piece).threads, "after")
    assert not {name for one in parsed(svg).iter() for name in one.attrib} & {"style", "fill", "stroke"}
    texts = [one.text or "" for one in parsed(svg).iter("text")]
    assert texts[0].startswith("<i>&</i>")
    assert texts[1].endswith("…")
    assert reverse("today:why", args=[wicked.pk]) in svg


def test_why_goes_back_to_what_is_done(client_at: OpenAt, by: By) -> None:
    """The second coat comes after the rub-down, which waits for the first coat, which was really laid."""
    _piece, (first, rub, second, _handle) = varnished(by)
    reasons = Reasons(by.shop, by.at)
    links = reasons.told(reasons.chain(str(second.pk))).first
    assert [link.step for link in links] == [second, rub, first]
    assert [link.rule for link in links[1:]] == ["wait", "done"]
    shown = page(client_at(by), "why", second.pk)
    places = [shown.index(text, shown.index("Back to something real")) for text in ("Coat 2", "Rub down", "Coat 1")]
    assert places == sorted(places)
    assert "It was really done, until" in shown


def test_why_shows_how_the_wait_is_worked_out(client_at: OpenAt, by: By) -> None:
    """The rub-down waits for a coat that was laid: its working, its source, and the sum to try other numbers."""
    _piece, (_first, rub, _second, _handle) = varnished(by)
    shown = page(client_at(by), "why", rub.pk)
    assert "How the wait is worked out" in shown
    assert 'class="formula"' in shown
    assert "Source:" in shown
    assert reverse("desk:sum", args=["coat-wait"]) in shown


def test_why_tells_what_follows_and_how_much_room_there_is(client_at: OpenAt, by: By) -> None:
    """The first of two steps: the other follows; promised for tomorrow evening, it has room until then."""
    piece = chair(by, promise=by.at.date() + timedelta(days=1))
    sand, oil = step(piece, "Sand", 60), step(piece, "Oil", 60)
    wait(sand, oil)
    replan(by, seconds=QUICK)
    row = PlannedStep.objects.get(step=sand)
    assert row.free_until == row.start, "the oil comes right after it"
    assert row.spare_until is not None
    assert row.spare_until.astimezone(by.shop.tz).date() == piece.promise
    reasons = Reasons(by.shop, by.at)
    assert [(one.step, one.linked) for one in reasons.followers(str(sand.pk))] == [(oil, True)]
    shown = page(client_at(by), "why", sand.pk)
    assert "begun later, something after it has to move" in shown
    assert "no promise suffers" in shown


def test_why_says_how_sure_the_time_is(client_at: OpenAt, by: By) -> None:
    """Where futures were worked out: between when and when it begins in eight of ten."""
    _piece, (_first, rub, _second, _handle) = varnished(by)
    PlannedStep.objects.filter(step=rub).update(early=by.at + 3 * HOUR, late=by.at + 6 * HOUR)
    assert "in eight of ten futures it begins between" in page(client_at(by), "why", rub.pk)
    PlannedStep.objects.filter(step=rub).update(early=None, late=None)
    assert "in eight of ten futures" not in page(client_at(by), "why", rub.pk)


def test_why_of_what_is_done_skipped_or_unknown(client_at: OpenAt, by: By) -> None:
    """Every step has the page, whatever has become of it."""
    piece, (first, _rub, _second, handle) = varnished(by)
    skip_step(by, handle, "lost")
    late = step(piece, "A thought of the evening")
    client = client_at(by)
    assert "It is done" in page(client, "why", first.pk)
    assert "It is skipped" in page(client, "why", handle.pk)
    assert "The plan in force does not know of it." in page(client, "why", late.pk)


def test_a_blocked_step_says_what_blocks_it(client_at: OpenAt, by: By) -> None:
    """Not planned until something is found out: the sentence that is kept with the plan."""
    _piece, (_first, rub, _second, _handle) = varnished(by)
    row = PlannedStep.objects.get(step=rub)
    row.plan.blocked = [[str(rub.pk), "Test the old paint for lead first."]]
    row.plan.save()
    row.delete()
    assert "Test the old paint for lead first." in page(client_at(by), "why", rub.pk)


def test_a_long_chain_is_told_in_few_lines(client_at: OpenAt, by: By) -> None:
    """Twenty pieces, one pair of hands: the beginning, how many are passed over, and the end, numbered through."""
    last = [step(chair(by, f"Chair {number}"), "Sand", 60) for number in range(20)]
    replan(by, seconds=QUICK)
    row = PlannedStep.objects.order_by("start").last()
    assert row is not None
    reasons = Reasons(by.shop, by.at)
    chain = reasons.chain(str(row.step_id))
    assert len(chain) > MOST_LINKS
    shown = page(client_at(by), "why", row.step_id)
    numbers = [int(number) for number in re.findall(r'<span class="tag">(\d+)</span>', shown)]
    assert numbers == [*range(1, MOST_LINKS), len(chain)]
    assert f"and {len(chain) - MOST_LINKS} steps more" in shown
    assert len(last) == 20


def test_every_rule_of_the_planner_has_its_word() -> None:
    """What the planner may give as a reason has a name for people; a rule from tomorrow keeps its own."""
    named = {
        "wait", "order", "hands", "hours", "quiet", "air", "delivery", "not before", "room", "dust", "vapour", "fire", "window",
        "kept", "begun", "done", "now",
    }  # fmt: skip
    assert set(RULES) == named
    assert rule_word("hands") == "hands are busy"
    assert rule_word("moon") == "moon"


def test_reasons_lead_from_today_the_plan_the_month_and_the_path(client_at: OpenAt, by: By) -> None:
    """Why is one tap away from wherever a step is planned."""
    piece, (_first, rub, _second, handle) = varnished(by)
    client = client_at(by)
    first = reverse("today:why", args=[handle.pk])
    assert first in page(client, "today")
    for name, args in (("plan", ()), ("path", (piece.pk,)), ("plan-day", (by.at.date().isoformat(),))):
        assert reverse("today:why", args=[rub.pk]) in page(client, name, *args)
    assert reverse("today:path", args=[piece.pk]) in page(client, "steps", piece.pk)


def test_each_person_has_a_next_step(client_at: OpenAt, by: By) -> None:
    """Ines is told hers first, and who does what next beside her."""
    rui = Person.objects.create(shop=by.shop, name="Rui")
    piece, other = chair(by), chair(by, "Stool")
    hers, his = step(piece, "Sand the chair"), step(other, "Sand the stool")
    plan = replan(by, seconds=QUICK)
    PlannedStep.objects.filter(plan=plan, step=his).update(people=[str(rui.pk)], start=by.at)
    PlannedStep.objects.filter(plan=plan, step=hers).update(people=[str(by.person.pk)], start=by.at + HOUR)
    shown = page(client_at(by), "today")
    next_one = shown.index("Sand the chair")
    assert next_one < shown.index("Next for the others") < shown.index("Rui · Sand the stool")


def test_a_piece_that_has_gone_home_keeps_its_path(by: By) -> None:
    """Nothing of it is planned any more; what was done stands in its threads, with the times it had."""
    piece, (_first, rub, second, handle) = varnished(by)
    for at, one in enumerate((rub, second, handle), start=4):
        done(by, one, by.at + at * HOUR, by.at + (at + 1) * HOUR)
    piece.handed_over_at = by.at + 9 * HOUR
    piece.save()
    found = path_of(Reasons(by.shop, by.at + 9 * HOUR, piece), piece.steps.order_by("order"))
    assert [told(thread) for thread in found.threads] == [["Coat 1", "Rub down", "Coat 2"], ["Clean the handle"]]
    assert found.finish is None
    assert found.nodes[0].end == by.at - HOUR


def test_the_day_says_who_does_what_where_several_work(client_at: OpenAt, by: By) -> None:
    """Names stand beside the steps of the day as soon as there are two people with something to do."""
    rui = Person.objects.create(shop=by.shop, name="Rui")
    piece = chair(by)
    mine, his = step(piece, "Sand"), step(piece, "Oil")
    plan = replan(by, seconds=QUICK)
    PlannedStep.objects.filter(plan=plan).update(people=[str(by.person.pk)])
    assert "· Ines" not in page(client_at(by), "today")
    PlannedStep.objects.filter(plan=plan, step=his).update(people=[str(by.person.pk), str(rui.pk)])
    shown = page(client_at(by), "today")
    assert "· Ines, Rui" in shown
    assert mine.title in shown


def test_a_long_day_is_cut_on_today_and_whole_on_its_own_page(client_at: OpenAt, by: By) -> None:
    """Twenty-five short steps today and as many tomorrow: Today shows the first of them and leads to the whole day."""
    piece = chair(by)
    for number in range(25):
        step(piece, f"Today {number:02d}", 10)
        step(piece, f"Tomorrow {number:02d}", 10, not_before=by.at + 23 * HOUR)
    replan(by, seconds=QUICK)
    client = client_at(by)
    shown = page(client, "today")
    assert 20 <= len(re.findall(r">Today \d\d</a>", shown)) <= 21, "the next one stands first as well"
    assert len(re.findall(r">Tomorrow \d\d</a>", shown)) == 14
    for day in (by.at.date(), by.at.date() + timedelta(days=1)):
        address = reverse("today:plan-day", args=[day.isoformat()])
        assert address in shown
        whole = str(client.get(address).content.decode())
        assert len(re.findall(r">(?:Today|Tomorrow) \d\d</a>", whole)) == 25


def test_many_cautions_of_the_plan_are_told_in_few_lines(client_at: OpenAt, by: By) -> None:
    """Nine promises that cannot be kept: four sentences, how many more there are, and the way to the plan that has them all."""
    for number in range(9):
        step(chair(by, f"Chair {number}", promise=by.at.date()), "Sand", 480, split=True)
    replan(by, seconds=QUICK)
    client = client_at(by)
    shown = page(client, "today")
    assert shown.count("<b>Promise.</b>") == 4
    assert "And 5 more: see the plan" in shown
    assert page(client, "plan").count("<b>Promise.</b>") == 9


def test_lateness_is_told_in_days_of_the_calendar(client_at: OpenAt, by: By) -> None:
    """The same days as in the words about the promise, not the hours since the evening of the promised day."""
    piece = chair(by, promise=by.at.date())
    for title in ("Sand", "Mend", "Wax"):
        step(piece, title, 4 * 60)
    plan = replan(by, seconds=QUICK)
    row = plan.promises.get()
    assert row.late_minutes % (24 * 60), "not whole days by the clock"
    assert row.late_days == (row.finish.astimezone(by.shop.tz).date() - by.at.date()).days
    assert f"{row.late_days} day" in page(client_at(by), "path", piece.pk)
