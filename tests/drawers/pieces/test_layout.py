"""Laying out the steps of a piece: by its route and faults, again when something changed, and what stays then."""

from __future__ import annotations

import pytest
from tests.drawers.pieces.pieces_made import furnish, jpeg, off
from tests.drawers.today.today_made import varnish

from tallboy.book.doing import By
from tallboy.book.models import Journal
from tallboy.drawers.pieces.actions import work
from tallboy.drawers.pieces.actions.desk import take_in_and_lay_out, usual_cans
from tallboy.drawers.pieces.actions.layout import change_route, copy_route, lay_out, stock_routes
from tallboy.drawers.pieces.actions.piece import add_fault, add_note, add_photo, record_lead_test
from tallboy.drawers.pieces.models import Piece, Route, Spot, Step, Wait
from tallboy.drawers.shelf.actions import add_product
from tallboy.drawers.today.actions import replan
from tallboy.errors import BadInput, NotFound, Refused
from tallboy.front.takein import TakeIn


def route(by: By, key: str) -> Route:
    return Route.objects.get(shop=by.shop, kind=Route.Kind.ROUTE, key=key)


def states(piece: Piece) -> dict[str, str]:
    return dict(piece.steps.values_list("key", "state"))


def test_route_becomes_steps_in_order_with_their_waits(by: By, piece: Piece) -> None:
    """Steps numbered from one; no wait runs backwards; each names its place; repairs of the faults are among them."""
    steps = lay_out(by, piece, route(by, "strip-refinish"))
    assert [one.order for one in steps] == list(range(1, len(steps) + 1))
    assert all(found.first.order < found.then.order for found in Wait.objects.select_related("first", "then"))
    assert all(one.place is not None for one in steps)
    assert {one.fault.kind for one in steps if one.fault} == {"loose joint", "bent hinge", "missing fitting"}
    piece.refresh_from_db()
    assert piece.route == "strip-refinish"


def test_chosen_cans_and_coats_are_taken(by: By, piece: Piece) -> None:
    """The can chosen for a role is the step's; the number of coats is what one says."""
    can = varnish(by)
    steps = lay_out(by, piece, route(by, "strip-refinish"), products={"topcoat": can}, coats={"topcoat": 3})
    coats = [one for one in steps if one.product_id == can.pk]
    assert [one.coat_number for one in coats] == [1, 2, 3]
    assert {one.coating for one in coats} == {"oil varnish"}


def test_laid_out_again_what_was_worked_on_stays(by: By, piece: Piece) -> None:
    """Begun, done, skipped and own steps stay as they are; steps still to do are dropped or made anew."""
    first = lay_out(by, piece, route(by, "strip-refinish"))
    own = work.add_step(by, piece, "Ask about the lock", 10, after=first[2])
    done, begun, skipped = first[1], first[2], first[3]
    record_lead_test(by, piece, Piece.Lead.NONE)
    work.start_step(by, begun)
    work.skip_step(by, skipped, "clean already")
    to_do = {one.key for one in first[4:]}
    again = {one.key for one in lay_out(by, piece, route(by, "wax-only"))}
    found = states(piece)
    assert found[done.key] == "done"
    assert found[begun.key] == "running"
    assert found[skipped.key] == "skipped"
    assert found[own.key] == "to do"
    assert (to_do - again) & set(found) == set()
    assert again <= set(found)
    done.refresh_from_db()
    assert done.ended_at == by.at
    assert [wait.first_id for wait in own.waits_before.all()] == [begun.pk]


def test_laid_out_again_the_same_nothing_changes(by: By, piece: Piece) -> None:
    """The same route twice gives the same steps, not twice as many."""
    first = [one.pk for one in lay_out(by, piece, route(by, "oil"))]
    waits = Wait.objects.count()
    assert [one.pk for one in lay_out(by, piece, route(by, "oil"))] == first
    assert (piece.steps.count(), Wait.objects.count()) == (len(first), waits)


def test_new_fault_brings_its_repair(by: By, piece: Piece) -> None:
    """A fault found since joins when the steps are laid out again."""
    before = {one.key for one in lay_out(by, piece, route(by, "oil"))}
    fault = add_fault(by, piece, "water ring", "top")
    after = lay_out(by, piece, route(by, "oil"))
    fresh = [one for one in after if one.key not in before]
    assert fresh
    assert {one.fault for one in fresh} == {fault}


def test_decision_on_a_part_changes_the_steps(by: By, piece: Piece) -> None:
    """What came off and is to be kept as it is needs no cleaning any more."""
    tray = Spot.objects.get(shop=by.shop, name="tray A")
    lay_out(by, piece, route(by, "strip-refinish"))
    cleaned = Step.objects.filter(piece=piece, key__startswith="metal-clean").count()
    for position in piece.positions.filter(missing_at_take_in=False):
        part = off(by, position, tray)
        part.decision = "keep"
        part.save()
    lay_out(by, piece, route(by, "strip-refinish"))
    assert 0 == Step.objects.filter(piece=piece, key__startswith="metal-clean").count() < cleaned


def test_dropped_step_with_something_written_of_it_is_kept_as_skipped(by: By, piece: Piece) -> None:
    """A note, a photograph or minutes on the clock are never lost: the step is skipped, with the reason."""
    first = [one for one in lay_out(by, piece, route(by, "strip-refinish")) if one.does == "strip"]
    noted, pictured, timed = first[:3]
    record_lead_test(by, piece, Piece.Lead.NONE)
    add_note(by, piece, "The paint comes off in sheets.", step=noted)
    add_photo(by, piece, jpeg(), "strip.jpg", step=pictured)
    work.start_step(by, timed)
    work.skip_step(by, timed, "not today")
    work.take_up_again(by, timed)
    lay_out(by, piece, route(by, "wax-only"))
    for one in (noted, pictured, timed):
        one.refresh_from_db()
        assert one.state == Step.State.SKIPPED
        assert "no longer in the route" in one.reason
        assert not one.waits_before.exists()


def test_own_step_stands_behind_what_it_follows(by: By, piece: Piece) -> None:
    """On the list a step of one's own comes right after the step it was added to, however often it is laid out."""
    first = lay_out(by, piece, route(by, "strip-refinish"))
    own = work.add_step(by, piece, "Ask about the lock", 10, after=first[0])
    loose = work.add_step(by, piece, "Order felt", 5)
    for key in ("oil", "strip-refinish"):
        lay_out(by, piece, route(by, key))
        rows = list(piece.steps.order_by("order"))
        assert [one.order for one in rows] == list(range(1, len(rows) + 1))
        assert rows[-1] == loose
        assert rows[rows.index(own) - 1].key == first[0].key


def test_laid_out_again_is_planned_again(by: By, piece: Piece) -> None:
    """Steps that are in a plan may be dropped; the next plan has the new ones."""
    lay_out(by, piece, route(by, "strip-refinish"))
    replan(by, seconds=0.3)
    steps = lay_out(by, piece, route(by, "wax-only"))
    plan = replan(by, seconds=0.3)
    assert set(plan.steps.values_list("step_id", flat=True)) == {one.pk for one in steps}


def test_untested_paint_is_tested_first(by: By, piece: Piece) -> None:
    """Old paint and no test: only photographs come before the lead test, and every dusty step carries the caution."""
    steps = lay_out(by, piece, route(by, "strip-refinish"))
    assert [one.does for one in steps[:3]] == ["look", "test", "take-down"]
    assert all("lead" in one.cautions for one in steps if one.dusty)


def test_another_shops_piece_route_or_can_is_not_found(by: By, stranger: By, piece: Piece) -> None:
    """Nothing of another shop can be mixed in, and nothing is changed by trying."""
    furnish(stranger)
    with pytest.raises(NotFound):
        lay_out(stranger, piece, route(stranger, "oil"))
    with pytest.raises(NotFound):
        lay_out(by, piece, route(stranger, "oil"))
    with pytest.raises(NotFound):
        lay_out(by, piece, route(by, "oil"), products={"oil": varnish(stranger)})
    assert not piece.steps.exists()


def test_piece_gone_home_is_not_laid_out(by: By, piece: Piece) -> None:
    """Handed over is handed over."""
    piece.handed_over_at = by.at
    piece.save()
    with pytest.raises(Refused, match="handed over"):
        lay_out(by, piece, route(by, "oil"))


def test_stocking_routes_twice_adds_nothing(by: By) -> None:
    """The ready-made ones are copied once; an edited one stays as edited."""
    stock_routes(by)
    count = Route.objects.count()
    oil = route(by, "oil")
    change_route(by, oil, {**oil.body, "name": "Oil, the way of the quay"})
    stock_routes(by)
    assert Route.objects.count() == count
    assert route(by, "oil").name == "Oil, the way of the quay"


def test_route_that_cannot_be_read_is_refused(by: By) -> None:
    """What is wrong is said, and the route stays as it was."""
    stock_routes(by)
    oil = route(by, "oil")
    with pytest.raises(BadInput):
        change_route(by, oil, {**oil.body, "steps": [{"key": "x", "title": "X", "does": "juggle"}]})
    assert route(by, "oil").body == oil.body


def test_copied_route_has_a_key_of_its_own(by: By, stranger: By) -> None:
    """A copy may be changed without touching the first; the key must be new, and the route one's own."""
    stock_routes(by)
    made = copy_route(by, route(by, "oil"), "hard-oil", "Hard oil")
    assert made.body["steps"] == route(by, "oil").body["steps"]
    with pytest.raises(BadInput, match="already a route"):
        copy_route(by, route(by, "oil"), "hard-oil", "Again")
    with pytest.raises(NotFound):
        copy_route(stranger, made, "theirs", "Theirs")


def test_taken_in_and_laid_out_in_one_go(by: By) -> None:
    """A piece with the route it names, and the shelf's usual cans."""
    stock_routes(by)
    usual = route(by, "oil").body["products"]["oil"]
    can = add_product(by, "Hard oil", usual)
    told = TakeIn(name="Stool", kind="chair", width=300, height=450, depth=300, painted_before="no", route="oil")
    piece, steps = take_in_and_lay_out(by, told, {})
    assert piece.steps.count() == len(steps) > 0
    assert {one.product for one in steps if one.does == "coat"} == {can}


def test_usual_cans_are_the_shelfs(by: By, stranger: By) -> None:
    """For each role the first can of its usual class on this shop's shelf."""
    stock_routes(by)
    usual = route(by, "strip-refinish").body["products"]["topcoat"]
    add_product(stranger, "Theirs", usual)
    mine = add_product(by, "Mine", usual)
    assert usual_cans(by, route(by, "strip-refinish").body)["topcoat"] == mine


def test_unknown_route_takes_nothing_in(by: By) -> None:
    """All or nothing: a route that is not there leaves no piece and no journal row."""
    stock_routes(by)
    rows = Journal.objects.count()
    told = TakeIn(name="Stool", kind="chair", width=300, height=450, depth=300, route="gilding")
    with pytest.raises(BadInput, match="no route 'gilding'"):
        take_in_and_lay_out(by, told, {})
    assert not Piece.objects.exists()
    assert Journal.objects.count() == rows


def test_piece_without_route_has_no_steps(by: By) -> None:
    """Named nowhere, laid out later."""
    piece, steps = take_in_and_lay_out(by, TakeIn(name="Stool", kind="chair", width=300, height=450, depth=300), {})
    assert (steps, piece.steps.count(), piece.route) == ([], 0, "")
