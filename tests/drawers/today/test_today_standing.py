"""The plan's page beside its steps: how good the plan is, what it leaves out and why, what it waits for, what it has added."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

from django.test import Client
from django.urls import reverse
from tests.drawers.today.today_made import chair, coat, done, step, varnish, wait

from tallboy.book.doing import By
from tallboy.book.models import Person
from tallboy.drawers.pieces.models import Delivery, Piece, Step
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.models import Plan, PlannedStep
from tallboy.drawers.today.queries import is_stale
from tallboy.drawers.today.standing import standing

OpenAt = Callable[[By], Client]
HOUR = timedelta(hours=1)
QUICK = 0.5


def page_of(client: Client) -> str:
    return str(client.get(reverse("today:plan")).content.decode())


def old_chair(by: By) -> Piece:
    """A chair with old paint of which nobody knows whether there is lead in it."""
    piece = chair(by)
    Piece.objects.filter(pk=piece.pk).update(old_paint=True)
    piece.refresh_from_db()
    assert piece.lead_unknown
    return piece


def test_blocked_steps_stand_with_why_and_what_to_do(client_at: OpenAt, by: By) -> None:
    """What stirs untested paint and what follows it is not planned; the page says so and leads to the test."""
    piece = old_chair(by)
    sand, oil = step(piece, "Sand the old paint", 60, dusty=True), step(piece, "Oil", 30)
    wait(sand, oil)
    plan = replan(by, seconds=QUICK)
    assert [row.step for row in standing(plan, by).blocked] == [sand, oil]
    assert not PlannedStep.objects.exists()
    page = page_of(client_at(by))
    assert "Not planned yet" in page
    assert "has not been tested for lead" in page
    assert f'href="{reverse("today:lead-test", args=[piece.pk])}"' in page
    assert page.index("Sand the old paint") < page.index(">Oil<")


def test_the_result_of_a_lead_test_plans_anew(client_at: OpenAt, by: By, settings: Any) -> None:
    """As soon as no lead was found, what was left out stands in the plan, and Today does not ask for a new one."""
    settings.PLAN_SECONDS = QUICK
    piece = old_chair(by)
    sand = step(piece, "Sand the old paint", 60, dusty=True)
    replan(by, seconds=QUICK)
    client = client_at(by)
    answer = client.post(reverse("today:lead-test", args=[piece.pk]), {"result": "none found"})
    assert answer.headers["Location"] == reverse("pieces:piece", args=[piece.pk])
    assert PlannedStep.objects.get().step == sand
    assert not is_stale(Plan.objects.get())


def test_nothing_blocked_nothing_said(client_at: OpenAt, by: By) -> None:
    """A shop without old paint, deliveries or missed windows has none of these headings."""
    step(chair(by), "Sand", 30)
    replan(by, seconds=QUICK)
    page = page_of(client_at(by))
    for words in ("Not planned yet", "Still to be delivered", "Added by the plan"):
        assert words not in page
    assert "Proven: no plan is better." in page
    assert "Made by Ines." in page


def test_what_is_to_be_delivered(client_at: OpenAt, by: By) -> None:
    """What, when, and which step waits for it; the step is planned after that day's noon."""
    sand = step(chair(by), "Fit the new lock", 30)
    Delivery.objects.create(**by.kept(), what="Cupboard lock", step=sand, expected=date(2026, 3, 17))
    replan(by, seconds=QUICK)
    page = page_of(client_at(by))
    assert "Still to be delivered" in page
    assert "Cupboard lock" in page
    assert "Tue 17 Mar" in page
    assert PlannedStep.objects.get().start.date() >= date(2026, 3, 17)


def test_added_scuff_says_why(client_at: OpenAt, by: By) -> None:
    """The window was missed: the sanding that the plan has added stands there with the coat it is for."""
    can = varnish(by, recoat_until_minutes=300)
    piece = chair(by)
    first, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    between = wait(first, second, kind="drying", from_label="recoat")
    done(by, first, by.at - 9 * HOUR, by.at - 8 * HOUR)
    replan(by, seconds=QUICK)
    scuff = Step.objects.get(window_of=between)
    page = page_of(client_at(by))
    assert "Added by the plan" in page
    assert f'href="{reverse("today:step", args=[scuff.pk])}"' in page
    assert "The window after “Coat 1” is missed" in page


def test_who_does_each_step(client_at: OpenAt, by: By) -> None:
    """The names of those who do it stand beside each step; hands without a name are told by their number."""
    Person.objects.create(shop=by.shop, name="Rui")
    both = step(chair(by), "Turn the top over", 30, hands=2)
    replan(by, seconds=QUICK)
    row = PlannedStep.objects.get(step=both)
    row.people = [str(by.person.pk), "hand 2"]
    row.save()
    assert "<small>Ines, hand 2</small>" in page_of(client_at(by))


def test_stale_plan_and_plan_before_costs_were_kept(client_at: OpenAt, by: By) -> None:
    """A plan of an older book has no gap: nothing is claimed of it."""
    step(chair(by), "Sand", 30)
    plan = replan(by, seconds=QUICK)
    Plan.objects.filter(pk=plan.pk).update(status="good", gap=None, cost=None, bound=None)
    assert "not improved yet" in page_of(client_at(by))
