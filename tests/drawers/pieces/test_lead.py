"""Old paint that nobody has tested: what stirs it is not begun, not planned, and the test ends with its result."""

from __future__ import annotations

import pytest
from tests.drawers.pieces.pieces_made import dresser, furnish
from tests.drawers.today.today_made import chair, step, wait

from tallboy.book.doing import By
from tallboy.drawers.pieces.actions import work
from tallboy.drawers.pieces.actions.layout import lay_out
from tallboy.drawers.pieces.actions.piece import edit_piece, record_lead_test
from tallboy.drawers.pieces.lead import lead_stops
from tallboy.drawers.pieces.models import ClockEntry, Piece, Route, Step
from tallboy.drawers.today.gathering.gather import gather
from tallboy.errors import Refused
from tallboy.planner import network
from tallboy.work.route import LEAD_TEST_KEY


def painted(by: By) -> Piece:
    """A chair with old paint on it."""
    return edit_piece(by, chair(by), old_paint=True)


def lead_test(piece: Piece) -> Step:
    """The step in which the paint is tested."""
    made = step(piece, "Test the old paint for lead", 20, does="test")
    Step.objects.filter(pk=made.pk).update(key=LEAD_TEST_KEY)
    made.refresh_from_db()
    return made


def blocked(by: By, of: Step) -> str:
    """Why a step is not to be planned."""
    asked: network.Step = next(row for row in gather(by.shop, by.at).problem.steps if row.key == str(of.pk))
    return asked.blocked


@pytest.mark.parametrize(("does", "dusty"), [("sand", True), ("strip", False), ("clean", False), ("metal", False)])
def test_what_stirs_untested_paint_is_not_begun(by: By, does: str, dusty: bool) -> None:
    """Stripping and scraping too, which make little dust; the refusal carries the caution."""
    stirs = step(painted(by), "At the paint", does=does, dusty=dusty)
    for act in (work.start_step, work.finish_step):
        with pytest.raises(Refused, match="not been tested for lead") as refused:
            act(by, stirs)
        assert "local rules" in refused.value.hint
    assert not ClockEntry.objects.exists()


@pytest.mark.parametrize("does", ["look", "take-down", "coat", "glue"])
def test_what_leaves_the_paint_alone_may_begin(by: By, does: str) -> None:
    """Looking, taking off fittings, laying a coat."""
    assert work.start_step(by, step(painted(by), "Beside the paint", does=does)).state == Step.State.RUNNING


def test_the_test_ends_when_its_result_is_recorded(by: By) -> None:
    """Not by the button: a test without a result would say nothing."""
    piece = painted(by)
    test, sand = lead_test(piece), step(piece, "Sand", dusty=True)
    work.start_step(by, test)
    with pytest.raises(Refused, match="when its result is recorded"):
        work.finish_step(by, test)
    record_lead_test(by, piece, Piece.Lead.FOUND)
    test.refresh_from_db()
    assert (test.state, test.ended_at) == (Step.State.DONE, by.at)
    assert work.start_step(by, sand).state == Step.State.RUNNING


def test_behind_a_test_that_is_still_to_come_the_plan_goes_on(by: By) -> None:
    """Whatever lies between them."""
    piece = painted(by)
    test, look, sand = lead_test(piece), step(piece, "Look"), step(piece, "Sand", dusty=True)
    wait(test, look)
    wait(look, sand)
    assert blocked(by, sand) == ""
    assert lead_stops(sand)


def test_a_step_added_beside_the_test_is_blocked(by: By) -> None:
    """It waits for nothing, so nothing says that the test comes first."""
    piece = painted(by)
    lead_test(piece)
    own = work.add_step(by, piece, "Sand the edge", 20, does="sand")
    assert "tested for lead" in blocked(by, own)
    record_lead_test(by, piece, Piece.Lead.NONE)
    assert blocked(by, own) == ""


@pytest.mark.parametrize(
    ("does", "dusty", "makes"), [("sand", False, True), ("repair", True, True), ("glue", False, False)]
)
def test_a_step_of_ones_own_says_whether_it_makes_dust(by: By, does: str, dusty: bool, makes: bool) -> None:
    """Sanding does, said or not."""
    own = work.add_step(by, painted(by), "At the edge", 20, does=does, dusty=dusty)
    assert (own.does, own.dusty, lead_stops(own)) == (does, makes, makes)


def test_a_skipped_test_frees_nothing(by: By) -> None:
    """The steps behind it are tied to what came before it, and blocked."""
    piece = painted(by)
    look, test, sand = step(piece, "Look"), lead_test(piece), step(piece, "Sand", dusty=True)
    wait(look, test)
    wait(test, sand)
    work.skip_step(by, test, "no kit in the house")
    assert "tested for lead" in blocked(by, sand)
    assert blocked(by, look) == ""


def test_a_laid_out_route_is_blocked_nowhere_while_its_test_stands(by: By) -> None:
    """The dresser's old paint: its test comes first in the route, and all that stirs paint follows it."""
    furnish(by)
    piece = dresser(by)
    lay_out(by, piece, Route.objects.get(shop=by.shop, key="strip-refinish"))
    problem = gather(by.shop, by.at).problem
    assert len(problem.steps) > 20
    assert not any(asked.blocked for asked in problem.steps)
    work.skip_step(by, piece.steps.get(key=LEAD_TEST_KEY), "later")
    told = {asked.key for asked in gather(by.shop, by.at).problem.steps if asked.blocked}
    stirring = {str(row.pk) for row in piece.steps.filter(does__in=["strip", "sand", "clean", "metal"])}
    assert told >= stirring
