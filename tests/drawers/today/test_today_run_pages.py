"""What is said of a run that improves the plan: in words, as a drawing, on its page."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from tests.drawers.today.today_made import chair, step

from tallboy.book.doing import By
from tallboy.book.models import Journal
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.models import Plan, PlanRun
from tallboy.drawers.today.run import bar as run_bar
from tallboy.drawers.today.run import runs
from tallboy.drawers.today.run import words as run_words
from tallboy.drawers.today.run.runs import SILENT, begin_run, tell

OpenAt = Callable[[By], Client]
FIRST: dict[str, float] = {"missed": 0, "late": 3, "late_minutes": 4320.0, "finishing": 10_000.0, "pieces": 4}
NOW: dict[str, Any] = {
    **FIRST,
    "late": 1,
    "finishing": 8_560.0,
    "status": "good",
    "cost": 12_880.0,
    "bound": 12_000.0,
    "gap": 0.04,
}


def test_words_of_a_run() -> None:
    """Promises, finishing times and nearness to the best, in words; nothing known yet says so."""
    assert run_words.lines({}) == ["The first plan is being made."]
    assert run_words.lines({**NOW, "first": FIRST}) == [
        "1 promise is late. By the first plan it was 3.",
        "All pieces together are finished 24 h sooner than by the first plan.",
        "No plan could be better by more than 4 %.",
    ]
    same = {**NOW, **FIRST, "late": 0, "first": {**FIRST, "late": 0}, "status": "optimal"}
    assert run_words.lines(same) == [
        "Every promise is kept.",
        "All pieces together are finished as soon as by the first plan.",
        "Proven: no plan is better.",
    ]


@pytest.mark.parametrize(
    ("status", "gap", "words"),
    [
        ("optimal", 0.0, "Proven"),
        ("good", 0.004, "more than 1 %"),
        ("good", 0.12, "more than 12 %"),
        ("good", 0.8, "not proven yet"),
        ("first", 0.0, "not improved yet"),
        ("good", None, "not improved yet"),
    ],
)
def test_how_good_a_plan_is(status: str, gap: float | None, words: str) -> None:
    """Proven best, within so many per cent, not known, or the first."""
    assert words in run_words.how_good(status, gap)


def test_bars_are_as_long_as_what_they_stand_for() -> None:
    """The first plan the longest; each bar in proportion, with its words beside it."""
    drawing = run_bar.draw({**NOW, "first": FIRST})
    widths = [float(width) for width in re.findall(r' width="([\d.]+)" height', drawing)]
    costs = [FIRST["finishing"] + FIRST["late_minutes"], NOW["finishing"] + NOW["late_minutes"], NOW["bound"]]
    assert [round(width / widths[0], 2) for width in widths] == [round(cost / costs[0], 2) for cost in costs]
    assert "best so far: 8 days 22 h 40" in drawing
    assert run_bar.draw({}) == ""


def page_of(run: PlanRun) -> str:
    return reverse("today:plan-run", args=[run.pk])


def test_page_of_a_run_that_goes_on(client_at: OpenAt, by: By) -> None:
    """It asks for itself every second, is loaded anew where there is no script, and can be stopped."""
    run = begin_run(by, 20)
    tell(run, by.at + timedelta(seconds=5), {**NOW, "first": FIRST, "seconds": 4.5})
    client = client_at(by.later(by.at + timedelta(seconds=5)))
    page = client.get(page_of(run)).content.decode()
    assert 'hx-trigger="every 1s"' in page
    assert '<noscript><meta http-equiv="refresh" content="2"></noscript>' in page
    assert "5 of 20 seconds" in page
    assert "No plan could be better by more than 4 %." in page
    assert f'action="{reverse("today:plan-run-stop", args=[run.pk])}"' in page


def test_page_asks_for_its_own_part_only(client_at: OpenAt, by: By) -> None:
    """The script gets the part that changes; going there gets the whole page; neither stands in for the other."""
    run = begin_run(by, 20)
    client = client_at(by)
    part = client.get(page_of(run), headers={"HX-Request": "true"})
    assert part.content.decode().lstrip().startswith("<section")
    assert "HX-Request" in part["Vary"]
    boosted = client.get(page_of(run), headers={"HX-Request": "true", "HX-Boosted": "true"})
    assert "<!doctype html>" in boosted.content.decode()


@pytest.mark.parametrize("state", ["done", "stopped", "failed"])
def test_page_of_a_run_that_has_ended(client_at: OpenAt, by: By, state: str) -> None:
    """It asks no more, says how it ended, and leads to the plan."""
    run = begin_run(by, 20)
    runs.end_run(by, run, PlanRun.State(state), "It has ended so.")
    page = client_at(by).get(page_of(run)).content.decode()
    assert "It has ended so." in page
    assert "every 1s" not in page
    assert "http-equiv" not in page
    assert f'href="{reverse("today:plan")}"' in page


def test_page_of_a_run_left_behind(client_at: OpenAt, by: By) -> None:
    """It does not pretend that it goes on."""
    run = begin_run(by, 20)
    page = client_at(by.later(by.at + 2 * SILENT)).get(page_of(run)).content.decode()
    assert "before this run had ended" in page
    assert "every 1s" not in page


def test_buttons_of_a_run(client_at: OpenAt, by: By) -> None:
    """Begin one, be led to it by a second tap, stop it; a second tap on stop changes nothing."""
    client = client_at(by)
    first = client.post(reverse("today:plan-improve"))
    run = PlanRun.objects.get()
    assert first["Location"] == page_of(run)
    assert run.seconds == 20
    again = client.post(reverse("today:plan-improve"), follow=True)
    assert "being improved already" in again.content.decode()
    assert again.redirect_chain[-1][0] == page_of(run)
    for _tap in range(2):
        assert client.post(reverse("today:plan-run-stop", args=[run.pk]))["Location"] == page_of(run)
    run.refresh_from_db()
    assert run.stop_asked
    assert Journal.objects.filter(action="stop improving").count() == 1


@pytest.mark.parametrize("seconds", ["0", "-3", "9999", "soon", "²"])
def test_length_that_cannot_be_used(client_at: OpenAt, by: By, seconds: str) -> None:
    """Told on the plan's page; no run is begun."""
    answer = client_at(by).post(reverse("today:plan-improve"), {"seconds": seconds}, follow=True)
    assert "It must lie between 0.1 and 600" in answer.content.decode()
    assert not PlanRun.objects.exists()


def test_plan_page_leads_to_the_run(client_at: OpenAt, by: By) -> None:
    """While one goes on the plan's page says so; otherwise it offers to look longer, where that could help."""
    step(chair(by), "Sand", 60)
    plan = replan(by, seconds=0.5)
    Plan.objects.filter(pk=plan.pk).update(status="good", gap=0.07)
    client = client_at(by)
    page = client.get(reverse("today:plan")).content.decode()
    assert "No plan could be better by more than 7 %." in page
    assert f'action="{reverse("today:plan-improve")}"' in page
    run = begin_run(by, 20)
    page = client.get(reverse("today:plan")).content.decode()
    assert f'href="{page_of(run)}"' in page
    assert f'action="{reverse("today:plan-improve")}"' not in page
