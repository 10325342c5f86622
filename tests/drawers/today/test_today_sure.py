"""How sure the dates of the plan are: kept with every plan, and shown on Today, on the plan, on a piece and on a page of its own."""

from __future__ import annotations

import re
import socket
from collections.abc import Callable
from contextlib import closing
from datetime import date, datetime, timedelta
from itertools import pairwise
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from tests.drawers.today.today_made import chair, coat, step, varnish, wait

from tallboy.book.doing import By
from tallboy.drawers.pieces.models import Piece
from tallboy.drawers.shelf.models import Product
from tallboy.drawers.today import telling
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.models import Plan, PlannedPromise, PlannedStep
from tallboy.drawers.today.sure import chances
from tallboy.drawers.today.sure.pages import SurePage

OpenAt = Callable[[By], Client]
SURE = "today:sure"


@pytest.fixture(autouse=True)
def quick(settings: Any) -> None:
    settings.PLAN_SECONDS = 0.3
    settings.CLUSTER = ""


def text_of(answer: Any) -> str:
    return str(answer.content.decode())


def page(client: Client, name: str, *numbers: int) -> str:
    answer = client.get(reverse(name, args=numbers))
    assert answer.status_code == 200
    return text_of(answer)


def varnished(by: By, promise: date | None = date(2026, 3, 13), name: str = "Kitchen chair") -> tuple[Piece, Product]:
    """A chair with some rubbing down and two coats of varnish, about as long as until the promise."""
    piece, can = chair(by, name, promise=promise), varnish(by, f"Varnish for the {name}")
    rub = step(piece, "Rub down", 240, spread_minutes=80)
    one = coat(piece, "Coat 1", can, 60, spread_minutes=20)
    two = coat(piece, "Coat 2", can, 60, spread_minutes=20)
    wait(rub, one)
    wait(one, two, kind="drying", least_minutes=0, from_label="recoat")
    return piece, can


def test_a_plan_keeps_how_sure_it_is(by: By) -> None:
    """Futures, chance and safe date of the promise, and for each step by when it is begun, all with the plan."""
    piece, _can = varnished(by)
    plan = replan(by, seconds=0.3)
    assert plan.chance["futures"] == 10_000
    promise = PlannedPromise.objects.get(piece=piece)
    assert promise.chance is not None
    assert 0.05 < promise.chance < 0.999
    assert promise.safe_on is not None
    assert promise.safe_on >= promise.finish
    first, *rest = PlannedStep.objects.order_by("start")
    assert first.early == first.late == first.start
    for row in rest:
        assert row.early is not None
        assert row.late is not None
        assert row.early <= row.late
        assert row.start <= row.late


def test_the_safe_date_is_the_one_of_the_page(by: By) -> None:
    """The table under the plan and the date beside the promise are from the same futures."""
    piece, _can = varnished(by)
    plan = replan(by, seconds=0.3)
    by_share = {round(share, 3): moment for share, moment in plan.chance["pieces"][str(piece.pk)]["by"]}
    assert datetime.fromisoformat(by_share[0.8]) == PlannedPromise.objects.get().safe_on
    moments = [datetime.fromisoformat(moment) for _share, moment in sorted(by_share.items())]
    assert all(a <= b for a, b in pairwise(moments))


def test_today_and_plan_say_how_sure(client_at: OpenAt, by: By) -> None:
    """On Today and on the plan's page: when it is ready, which date is safe, how likely the promise is kept."""
    piece, _can = varnished(by)
    plan = replan(by, seconds=0.3)
    line = chances.line_of(PlannedPromise.objects.get(), plan.chance["futures"])
    client = client_at(by)
    for name in ("today:today", "today:plan"):
        shown = page(client, name)
        assert line.dates in shown
        assert f"<b>{line.likely} likely</b>" in shown
        assert reverse(SURE) in shown
        assert reverse("today:path", args=[piece.pk]) in shown
    assert re.fullmatch(r"ready \w+ \d+ \w+; 80 % safe: \w+ \d+ \w+; \d+ % ± 1 % likely by the promise", line.words)


def test_the_pages_of_a_piece_say_how_sure(client_at: OpenAt, by: By) -> None:
    """The piece's steps and its path have the line too."""
    piece, _can = varnished(by)
    replan(by, seconds=0.3)
    line = chances.line_for(piece)
    assert line is not None
    for name in ("today:steps", "today:path"):
        assert line.words in page(client_at(by), name, piece.pk)


def test_page_how_sure(client_at: OpenAt, by: By) -> None:
    """Chance, safe date, drawing with a table beside it, what it hangs on with its source, and the model in words."""
    piece, can = varnished(by)
    replan(by, seconds=0.3)
    shown = page(client_at(by), SURE)
    assert "likely to be ready on Fri 13 March, as promised" in shown
    assert '<svg viewBox="0 0 880 250" role="img" aria-label="Kitchen chair: the share of futures' in shown
    table = shown[shown.index("<caption>Finished by") : shown.index("</table>")]
    assert re.findall(r'<th scope="row">(\d+ %)', table) == [
        "10 %", "25 %", "50 %", "75 %", "80 %", "90 %", "95 %",
    ]  # fmt: skip
    assert "the work on “Kitchen chair: Rub down”" in shown
    assert "4 h ± 1 h 20<" in shown
    assert f"how quickly “{can.name}” dries" in shown
    assert reverse("shelf:product", args=[can.pk]) in shown
    assert "from 10000 futures" in shown
    assert "The shop follows the plan through many made-up futures" in shown
    assert f'id="sure-{piece.pk}"' in shown


def test_the_least_sure_promise_comes_first(client_at: OpenAt, by: By) -> None:
    """What is promised stands before what is not, and what is in danger before what is safe."""
    free, _can = varnished(by, None, "Stool")
    safe, _can = varnished(by, date(2026, 4, 30), "Desk")
    tight, _can = varnished(by, date(2026, 3, 13), "Press")
    plan = replan(by, seconds=0.3)
    assert [row.pk for row in SurePage(plan).pieces] == [tight.pk, safe.pk, free.pk]
    shown = page(client_at(by), SURE)
    assert shown.index("Press") < shown.index("Desk") < shown.index("Stool")
    assert "Nothing is promised." in shown
    assert "more than 99 % likely to be ready on Thu 30 April" in shown


def test_another_shop_is_not_shown(client_at: OpenAt, by: By, stranger: By) -> None:
    """Only the shop's own pieces are on the page."""
    varnished(stranger, name="Strange stool")
    replan(stranger, seconds=0.3)
    varnished(by)
    replan(by, seconds=0.3)
    shown = page(client_at(by), SURE)
    assert "Kitchen chair" in shown
    assert "Strange stool" not in shown


def test_without_a_plan_there_is_a_button(client_at: OpenAt, by: By) -> None:
    """No plan, or one from before futures were looked at: the page says so and offers to plan."""
    assert "There is no plan yet." in page(client_at(by), SURE)
    varnished(by)
    replan(by, seconds=0.3)
    Plan.objects.update(chance={})
    PlannedPromise.objects.update(chance=None, safe_on=None)
    shown = page(client_at(by), SURE)
    assert "was not followed through any futures" in shown
    assert reverse("today:plan-again") in shown
    assert "likely by the promise" not in page(client_at(by), "today:today")


def test_a_cluster_that_is_away_is_told(client_at: OpenAt, by: By, settings: Any) -> None:
    """Nothing is lost: the chances are worked out here, and the page says what is wrong with the cluster."""
    with closing(socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        settings.CLUSTER = f"tcp://127.0.0.1:{probe.getsockname()[1]}"
    varnished(by)
    plan = replan(by, seconds=0.3)
    assert plan.chance["futures"] == 10_000
    assert "cannot be reached" in page(client_at(by), SURE)


def test_an_added_step_has_its_dates_too(by: By) -> None:
    """What the plan adds becomes a step of the book; its dates are kept under the name that it has there."""
    piece, can = chair(by), varnish(by, recoat_until_minutes=1440)
    one, two = coat(piece, "Coat 1", can, 60), coat(piece, "Coat 2", can, 60, spread_minutes=20)
    two.not_before = by.at + timedelta(days=20)
    two.save()
    wait(one, two, kind="drying", least_minutes=0, from_label="recoat")
    one.state, one.began_at, one.ended_at = "done", by.at - timedelta(hours=3), by.at - timedelta(hours=2)
    one.save()
    replan(by, seconds=0.3)
    added = PlannedStep.objects.get(step__window_of__isnull=False)
    assert added.early is not None
    assert added.late is not None
    assert added.early <= added.start <= added.late


@pytest.mark.parametrize(
    ("chance", "futures", "words"),
    [
        (1.0, 10_000, "more than 99 %"),
        (0.996, 10_000, "more than 99 %"),
        (0.0, 10_000, "less than 1 %"),
        (0.7431, 10_000, "74 % ± 1 %"),
        (0.5, 400, "50 % ± 3 %"),
        (0.99, 10_000, "99 % ± 1 %"),
    ],
)
def test_chances_in_words(chance: float, futures: int, words: str) -> None:
    """Never surer than the futures make it: a whole percent and its standard error, no 0 % and no 100 %."""
    assert chances.percent(chance, futures) == words


@pytest.mark.parametrize(("steps", "futures"), [(0, 10_000), (50, 10_000), (150, 10_000), (360, 4000), (4000, 2000)])
def test_big_shops_look_at_fewer_futures(steps: int, futures: int) -> None:
    """After each plan only as many as take a fraction of a second."""
    assert chances.futures_for(steps) == futures


def test_a_cluster_looks_at_all_futures(settings: Any) -> None:
    """On a cluster a big shop has all its futures."""
    settings.CLUSTER = "tcp://127.0.0.1:9"
    assert chances.futures_for(4000) == 10_000


def test_told_on_the_command_line(by: By) -> None:
    """As lines, the piece with what it hangs on; as data, with the chance, the safe date and every share."""
    piece, can = varnished(by)
    plan = replan(by, seconds=0.3)
    lines = telling.chance_lines(plan)
    assert lines[0].startswith("Kitchen chair: ready ")
    assert lines[0].endswith("likely by the promise")
    assert any(re.match(rf"     *\d+ % of the spread  .*{can.name}", line) for line in lines[1:])
    (promise,) = telling.plan_data(plan)["promises"]
    row = PlannedPromise.objects.get()
    assert (promise["chance"], promise["safe_on"] is not None) == (row.chance, True)
    data = telling.chance_data(plan)
    assert (data["futures"], data["pieces"][0]["piece"]) == (10_000, piece.number)
    assert [share for share, _moment in data["pieces"][0]["by"]] == list(chances.SHARES)


def test_what_hardly_matters_is_not_told(by: By) -> None:
    """A thing that less than 5 % of the spread goes with is left out, in lines and on the page."""
    piece, _can = varnished(by)
    plan = replan(by, seconds=0.3)
    driver = plan.chance["pieces"][str(piece.pk)]["drivers"][0]
    plan.chance["pieces"][str(piece.pk)]["drivers"] = [{**driver, "share": 0.05}, {**driver, "share": 0.0499}]
    told = [line for line in telling.chance_lines(plan) if "of the spread" in line]
    assert len(told) == 1
    assert told[0].lstrip().startswith("5 % of the spread")


def test_same_plan_same_chances(by: By) -> None:
    """The seed is always the same, so that a chance changes only when the plan or what is known changes."""
    varnished(by)
    one, other = replan(by, seconds=0.3).chance, replan(by, seconds=0.3).chance
    assert one == other
