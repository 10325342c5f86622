"""One shop in which everything is asked of the planner at once, by an independent checker."""

from __future__ import annotations

from datetime import UTC, date, time, timedelta
from typing import Any

import pytest
from tests.drawers.pieces.pieces_made import dresser, furnish
from tests.drawers.today.today_made import chair, coat, done, step, varnish, wait

from tallboy.book.actions import add_means, add_person, change_person, change_place, set_quiet_hours
from tallboy.book.doing import By
from tallboy.book.models import Means, Place
from tallboy.drawers.air.models import Reading
from tallboy.drawers.pieces.actions.deliveries import expect
from tallboy.drawers.pieces.actions.layout import lay_out
from tallboy.drawers.pieces.actions.piece import add_fault
from tallboy.drawers.pieces.actions.work import add_step
from tallboy.drawers.pieces.models import Piece, Route, Step
from tallboy.drawers.shelf.actions import add_product
from tallboy.drawers.shelf.models import Product
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.checks import check_book
from tallboy.drawers.today.gathering.gather import gather
from tallboy.drawers.today.models import PlannedStep

HOUR = timedelta(hours=1)
DAY = timedelta(days=1)


@pytest.fixture(autouse=True)
def quick(settings: Any) -> None:
    settings.PLAN_SECONDS = 1.0


@pytest.fixture
def full(by: By) -> dict[str, Step]:
    """Two people, one with a skill; four clamps, a small rack, two seats; quiet mornings, cold nights; a piece of each sort."""
    furnish(by)
    _air(by)
    tome = add_person(by, "Tomé")
    change_person(by, tome.pk, name="Tomé", works=True, skills=["french polishing"])
    bench = Place.objects.filter(shop=by.shop, kind=Place.Kind.BENCH)[0]
    change_place(by, bench.pk, room=bench.room, fresh_air=False, seats=2)
    add_means(by, "clamps", Means.Kind.CLAMPS, 4)
    add_means(by, "rack", Means.Kind.RACK, 60)
    set_quiet_hours(by, time(10), time(16))
    can = varnish(by, recoat_until_minutes=2880, minimum_celsius=10.0, left_ml=900.0)
    pieces = [_refinished(by, can), _refinished(by, can)]
    steps = _missed_window(by, can)
    own = add_step(by, dresser(by), "Sand the edge", 20, does="sand")
    pin = step(chair(by, "Hall stand"), "Pin the hinges")
    expect(by, "Brass pins", date(2026, 3, 17), step=pin)
    polish = pieces[0].steps.get(key="topcoat#1")
    Step.objects.filter(pk=polish.pk).update(skill="french polishing")
    return {"own": own, "pin": pin, "polish": polish, **steps}


def test_a_full_shop_gets_a_plan_that_keeps_every_rule(by: By, full: dict[str, Step]) -> None:
    """Checked by code that shares nothing with the planner; what is blocked and what is added stands in the book."""
    problem = gather(by.shop, by.at).problem
    assert any(one.fit is not None for one in problem.steps)
    assert {use.of for one in problem.steps for use in one.uses} >= {"clamps", "rack"}
    plan = replan(by)
    assert {check.name: check.trouble for check in check_book(by.at) if not check.holds} == {}
    assert [key for key, _why in plan.blocked] == [str(full["own"].pk)]
    assert Step.objects.filter(window_of__first=full["first"]).count() == 1
    assert PlannedStep.objects.get(step=full["pin"]).start >= (by.at + 5 * DAY).replace(hour=12, minute=0)
    tome = next(person.key for person in problem.people if person.name == "Tomé")
    assert PlannedStep.objects.get(step=full["polish"]).people == [tome]


def test_planned_again_it_still_keeps_every_rule(by: By, full: dict[str, Step]) -> None:
    """A day later, with nothing done: what lay in the past moves, the sanding stays one step."""
    replan(by)
    later = by.later(by.at + DAY)
    replan(later)
    assert {check.name: check.trouble for check in check_book(later.at) if not check.holds} == {}
    assert Step.objects.filter(window_of__first=full["first"]).count() == 1


def _air(by: By) -> None:
    """Warm by day, cold at night, for two weeks."""
    at = by.at.astimezone(UTC)
    Reading.objects.bulk_create(
        Reading(
            **by.kept(),
            at=at - hour * HOUR,
            celsius=19 if 8 <= (at - hour * HOUR).hour < 19 else 7,
            relative_humidity=55,
        )
        for hour in range(15 * 24)
    )


def _refinished(by: By, can: Product) -> Piece:
    """A chair with a loose joint, to be shellacked."""
    piece = chair(by, f"Chair {Piece.objects.count()}", promise=date(2026, 4, 2))
    add_fault(by, piece, "loose joint", where="left rear leg")
    lacquer = Product.objects.filter(name="Shellac").first() or add_product(by, "Shellac", "shellac", left_ml=500.0)
    lay_out(by, piece, Route.objects.get(shop=by.shop, key="shellac"), products={"topcoat": lacquer})
    assert can.left_ml == 900.0
    return piece


def _missed_window(by: By, can: Product) -> dict[str, Step]:
    """Doors whose second coat should have gone on yesterday."""
    piece = chair(by, "Wardrobe")
    first, second = coat(piece, "Coat 1", can, rack_dm2=50), coat(piece, "Coat 2", can, rack_dm2=50, solvent=True)
    wait(first, second, kind="drying", from_label="recoat")
    return {"first": done(by, first, by.at - 3 * DAY - HOUR, by.at - 3 * DAY), "second": second}
