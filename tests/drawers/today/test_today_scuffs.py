"""Windows for the next coat, by the hour and by the air; and the scuff sanding that makes a missed one good."""

from __future__ import annotations

from datetime import UTC, timedelta
from typing import Any

import pytest
from tests.drawers.pieces.pieces_made import furnish
from tests.drawers.today.today_made import asked, chair, closes, coat, cold, done, link, step, varnish, wait

from tallboy.book.doing import By
from tallboy.book.models import Journal
from tallboy.drawers.air.models import Reading
from tallboy.drawers.pieces.actions.layout import lay_out
from tallboy.drawers.pieces.actions.piece import add_note
from tallboy.drawers.pieces.actions.work import change_minutes, finish_step, skip_step, start_step
from tallboy.drawers.pieces.models import Piece, Route, Step, Surface, Wait
from tallboy.drawers.shelf.actions import change_product
from tallboy.drawers.shelf.models import Product
from tallboy.drawers.today.actions import keep_plan, replan
from tallboy.drawers.today.checks import check_book
from tallboy.drawers.today.gathering.gather import gather
from tallboy.drawers.today.gathering.scuffs import minutes_for
from tallboy.drawers.today.models import PlannedStep
from tallboy.drawers.today.queries import is_stale, newest_journal
from tallboy.planner.slots.grid import wait_minutes
from tallboy.planner.solve import solve

HOUR = timedelta(hours=1)
DAY = timedelta(days=1)


@pytest.fixture(autouse=True)
def quick(settings: Any) -> None:
    settings.PLAN_SECONDS = 0.3


def two_coats(by: By, **label: Any) -> tuple[Step, Step, Product]:
    """Two coats of a can on a chair, 1.2 m² of it; the first was laid two days ago."""
    can = varnish(by, **{"recoat_until_minutes": 1440, **label})
    piece = chair(by)
    Surface.objects.filter(piece=piece).delete()
    first, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    first.surfaces.add(Surface.objects.create(**by.kept(), piece=piece, group="legs", name="legs", area_m2=1.2))
    wait(first, second, kind="drying", from_label="recoat")
    return done(by, first, by.at - 2 * DAY - HOUR, by.at - 2 * DAY), second, can


def scuff_of(first: Step) -> Step | None:
    """The sanding that makes good the missed window after a coat."""
    return Step.objects.filter(window_of__first=first).first()


def start_of(of: Step) -> Any:
    """When it is planned."""
    return PlannedStep.objects.get(step=of).start


@pytest.mark.parametrize(("area", "minutes"), [(0.0, 15), (0.1, 10), (1.2, 20), (3.0, 35)])
def test_minutes_of_a_scuff_sanding(area: float, minutes: int) -> None:
    """By hand: 5 and 10 for each square metre, up to the next five (common practice, no source); 15 where no area is known."""
    assert minutes_for(area) == minutes


def test_a_missed_window_brings_a_sanding_into_the_book(by: By) -> None:
    """A real step with dust, its caution and its time, planned between the two coats; the journal tells it; nothing is out of date."""
    first, second, _can = two_coats(by)
    plan = replan(by)
    scuff = scuff_of(first)
    assert scuff is not None
    assert (scuff.state, scuff.minutes, scuff.dusty, scuff.cautions) == (Step.State.TO_DO, 20, True, ["dust"])
    assert scuff.place is not None
    assert [surface.name for surface in scuff.surfaces.all()] == ["legs"]
    assert start_of(scuff) + timedelta(minutes=20) <= start_of(second)
    assert plan.missed == []
    assert not is_stale(plan)
    assert Journal.objects.filter(action="add scuff").count() == 1
    assert all(row.holds for row in check_book(by.at))


def test_it_is_not_sanded_while_the_window_is_open(by: By) -> None:
    """The next coat is put off over the end of the window: sanded is after that end, not now while hands are free."""
    first, second, _can = two_coats(by, recoat_until_minutes=4 * 1440)
    Step.objects.filter(pk=second.pk).update(not_before=by.at + 5 * DAY)
    for _time in range(2):
        replan(by)
        scuff = scuff_of(first)
        assert scuff is not None
        assert first.ended_at is not None
        assert first.ended_at + 4 * DAY <= start_of(scuff) < start_of(second)


def test_planned_again_it_stays_the_same_step(by: By) -> None:
    """Its minutes too, once somebody has changed them."""
    first, second, _can = two_coats(by)
    replan(by)
    scuff = scuff_of(first)
    assert scuff is not None
    change_minutes(by, scuff, 45)
    replan(by)
    again = scuff_of(first)
    assert again is not None
    assert (again.pk, again.minutes) == (scuff.pk, 45)
    assert start_of(again) + timedelta(minutes=45) <= start_of(second)
    assert all(row.holds for row in check_book(by.at))


def test_a_better_plan_of_the_same_run_finds_the_step_that_the_first_one_made(by: By) -> None:
    """Both were asked for before the book had it: one sanding, planned by the second plan too."""
    first, second, _can = two_coats(by)
    gathered = gather(by.shop, by.at)
    found = solve(gathered.problem, seconds=0.3)
    keep_plan(by, found, newest_journal(by.shop), gathered)
    made = scuff_of(first)
    keep_plan(by, found, newest_journal(by.shop), gathered)
    scuff = scuff_of(first)
    assert scuff is not None
    assert scuff == made
    assert start_of(scuff) < start_of(second)
    assert Journal.objects.filter(action__in=["add scuff", "remove scuff"]).count() == 1


def test_it_is_taken_away_when_it_is_not_needed(by: By) -> None:
    """The label was read wrongly: the window is open for a week."""
    first, second, can = two_coats(by)
    replan(by)
    change_product(by, can, recoat_until_minutes=7 * 1440)
    replan(by)
    assert scuff_of(first) is None
    assert PlannedStep.objects.filter(step=second).exists()
    assert Journal.objects.filter(action="remove scuff").count() == 1


def test_one_that_somebody_wrote_something_of_stays(by: By) -> None:
    """It is not planned, but it is not lost."""
    first, _second, can = two_coats(by)
    replan(by)
    scuff = scuff_of(first)
    assert scuff is not None
    add_note(by, scuff.piece, "Mind the edges.", step=scuff)
    change_product(by, can, recoat_until_minutes=7 * 1440)
    replan(by)
    assert scuff_of(first) == scuff
    assert not PlannedStep.objects.filter(step=scuff).exists()


def test_once_done_the_window_is_satisfied(by: By) -> None:
    """The next coat follows it, whenever that is."""
    first, second, _can = two_coats(by)
    replan(by)
    scuff = scuff_of(first)
    assert scuff is not None
    start_step(by, scuff)
    problem = gather(by.shop, by.at).problem
    assert asked(problem, scuff).started == by.at
    assert link(problem, first, second).most is None
    assert link(problem, scuff, second).kind == "order"
    finish_step(by.later(by.at + HOUR), scuff)
    later = by.later(by.at + 9 * DAY)
    replan(later)
    assert scuff_of(first) == scuff
    assert link(gather(by.shop, later.at).problem, first, second).scuff is None
    assert all(row.holds for row in check_book(later.at))


def test_skipped_it_is_not_asked_for_again(by: By) -> None:
    """Somebody rubbed the coat down on the way past; the reason stands in the record."""
    first, second, _can = two_coats(by)
    replan(by)
    scuff = scuff_of(first)
    assert scuff is not None
    skip_step(by, scuff, "rubbed down with a pad")
    replan(by)
    found = link(gather(by.shop, by.at).problem, first, second)
    assert (found.most, found.scuff) == (None, None)
    assert Step.objects.filter(window_of__first=first).count() == 1


def test_it_outlives_a_new_laying_out(by: By) -> None:
    """Laid out again by the same route the sanding stays before its coat; by a route without the coat it goes."""
    furnish(by)
    can = varnish(by, recoat_until_minutes=1440)
    piece = chair(by)
    oil = Route.objects.get(shop=by.shop, key="oil")
    steps = {row.key: row for row in lay_out(by, piece, oil, products={"oil": can})}
    for key, row in steps.items():
        if key == "oil#1" or row.order < steps["oil#1"].order:
            start_step(by.later(by.at - 2 * DAY), row)
            finish_step(by.later(by.at - 2 * DAY), row)
    skip_step(by, next(row for row in steps.values() if row.does == "rub-down"), "smooth enough")
    replan(by)
    scuff = scuff_of(steps["oil#1"])
    assert scuff is not None
    lay_out(by, piece, oil, products={"oil": can})
    kept = scuff_of(steps["oil#1"])
    assert kept is not None
    assert kept.pk == scuff.pk
    assert kept.order == Step.objects.get(piece=piece, key="oil#2").order - 1
    lay_out(by, piece, Route.objects.get(shop=by.shop, key="hardware-only"))
    assert not Step.objects.filter(pk=scuff.pk).exists()


def test_a_window_closes_sooner_in_warmer_air(by: By) -> None:
    """The label's end at most: it is for 18 °C, and at 30 °C the coat hardens quicker; in the cold nobody counts on more."""
    first, second = _coats(by, varnish(by, recoat_until_minutes=1440))
    _air(by, 30.0)
    warm = closes(gather(by.shop, by.at).problem, first, second, by.at)
    Reading.objects.all().delete()
    _air(by, 14.0)
    problem = gather(by.shop, by.at).problem
    cool = closes(problem, first, second, by.at)
    assert warm < 1440
    assert cool == 1440
    assert cool > wait_minutes(link(problem, first, second).least, by.at)


def test_a_window_depends_on_the_hour(by: By) -> None:
    """Warm days and cool nights: laid in the morning it closes sooner than laid in the evening."""
    at = by.at.astimezone(UTC)
    Reading.objects.bulk_create(
        Reading(
            **by.kept(),
            at=at - hour * HOUR,
            celsius=32 if 8 <= (at - hour * HOUR).hour < 18 else 18,
            relative_humidity=60,
        )
        for hour in range(15 * 24)
    )
    first, second = _coats(by, varnish(by, recoat_until_minutes=700))
    problem = gather(by.shop, by.at).problem
    morning, evening = (closes(problem, first, second, (by.at + DAY).replace(hour=hour)) for hour in (8, 18))
    assert morning < evening <= 700


@pytest.mark.parametrize("minutes", [241, 243, 250])
def test_a_window_of_a_minute_stops_no_plan(by: By, minutes: int) -> None:
    """It is taken for open ten minutes, which is told, and the second coat goes on in them or after a sanding."""
    first, second = _coats(by, varnish(by, recoat_until_minutes=minutes))
    plan = replan(by)
    assert PlannedStep.objects.filter(plan=plan).count() >= 2
    assert any("less than 10 minutes" in trouble for trouble in plan.warnings) == (minutes < 250)
    rested = start_of(second) - PlannedStep.objects.get(step=first).end
    assert timedelta(minutes=240) <= rested
    assert scuff_of(first) is not None or rested <= timedelta(minutes=250)
    assert all(row.holds for row in check_book(by.at))


def test_only_between_coats_is_sanded(by: By) -> None:
    """A soak that lasted too long is not made good by sandpaper."""
    piece = chair(by)
    soak, clean = step(piece, "Put to soak"), step(piece, "Clean")
    wait(soak, clean, kind="soak", least_minutes=60, most_minutes=1440)
    found = link(gather(by.shop, by.at).problem, soak, clean)
    assert (found.most, found.scuff) == (1440, None)


def test_a_window_over_a_skipped_rub_down_is_asked_once(by: By) -> None:
    """Coat to coat, with the rub-down between them left out: the wait of its own has the window and the sanding."""
    can = varnish(by, recoat_until_minutes=1440)
    piece = chair(by)
    first, rub, second = coat(piece, "Coat 1", can), step(piece, "Rub down"), coat(piece, "Coat 2", can)
    wait(first, rub, kind="drying", from_label="recoat")
    wait(rub, second)
    own = wait(first, second, kind="drying", from_label="recoat")
    skip_step(by, rub, "smooth enough")
    rows = [
        row for row in gather(by.shop, by.at).problem.links if (row.first, row.then) == (str(first.pk), str(second.pk))
    ]
    assert [row.scuff.key for row in rows if row.scuff is not None] == [f"scuff-{own.pk}"]
    assert [row.most is None for row in rows].count(False) == 1


@pytest.mark.parametrize("rubbed", [False, True])
def test_a_rub_down_between_the_coats_makes_a_missed_window_good(by: By, rubbed: bool) -> None:
    """To do or done, it gives the tooth that the window is for: the same coat is not sanded twice."""
    first, second, _can = two_coats(by)
    rub = step(first.piece, "Rub down lightly", does="rub-down", dusty=True)
    wait(first, rub, kind="drying", from_label="recoat")
    wait(rub, second)
    if rubbed:
        done(by, rub, by.at - HOUR, by.at)
    plan = replan(by)
    found = link(gather(by.shop, by.at).problem, first, second)
    assert (found.most, found.scuff) == (None, None)
    assert scuff_of(first) is None
    assert plan.missed == []
    assert all(row.holds for row in check_book(by.at))


def test_a_skipped_rub_down_or_one_after_both_coats_makes_no_window_good(by: By) -> None:
    """Only what really rubs the first coat before the second is laid."""
    first, second, _can = two_coats(by)
    rub, last = (step(first.piece, title, does="rub-down", dusty=True) for title in ("Rub down", "Rub down again"))
    wait(first, rub, kind="drying", from_label="recoat")
    wait(rub, second)
    wait(second, last, kind="drying", from_label="recoat")
    skip_step(by, rub, "smooth enough")
    replan(by)
    assert scuff_of(first) is not None


def _coats(by: By, can: Product) -> tuple[Step, Step]:
    piece: Piece = chair(by)
    first, second = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can)
    wait(first, second, kind="drying", from_label="recoat")
    assert Wait.objects.filter(first=first).count() == 1
    return first, second


def _air(by: By, celsius: float) -> None:
    cold(by, celsius)
