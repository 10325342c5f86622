"""Working through steps: the clock, done, not now, skipped; coats as they were laid; no dust of untested paint."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest
from tests.drawers.today.today_made import chair, coat, step, varnish

from tallboy.book.doing import By
from tallboy.book.models import Journal, Person
from tallboy.drawers.air.actions import add_reading
from tallboy.drawers.pieces.actions import work
from tallboy.drawers.pieces.actions.piece import record_lead_test
from tallboy.drawers.pieces.models import ClockEntry, Coat, Piece, Step, Surface
from tallboy.drawers.shelf.models import Product
from tallboy.errors import BadInput, NotFound, Refused

HOUR = timedelta(hours=1)


def clock_of(one: Step) -> list[tuple[str, float | None]]:
    """Whose clock ran how many minutes on a step; None while it runs."""
    return [
        (
            entry.person.name,
            None if entry.ended_at is None else (entry.ended_at - entry.began_at) / timedelta(minutes=1),
        )
        for entry in one.clock.select_related("person")
    ]


def painted(by: By) -> Piece:
    """A chair with old paint that nobody has tested."""
    piece = chair(by)
    piece.old_paint = True
    piece.save()
    return piece


def test_start_runs_the_clock_and_done_stops_it(by: By) -> None:
    """From start to done: begun and ended when the buttons were pressed, and the clock has the minutes between."""
    sand = step(chair(by), "Sand")
    begun = work.start_step(by, sand)
    assert (begun.state, begun.began_at, clock_of(sand)) == (Step.State.RUNNING, by.at, [("Ines", None)])
    ended = work.finish_step(by.later(by.at + HOUR), sand)
    assert (ended.state, ended.began_at, ended.ended_at) == (Step.State.DONE, by.at, by.at + HOUR)
    assert clock_of(sand) == [("Ines", 60)]


def test_pause_stops_the_clock_and_the_step_stays_begun(by: By) -> None:
    """Laid aside and taken up again: two stretches on the clock, begun only once."""
    sand = step(chair(by), "Sand")
    work.start_step(by, sand)
    work.pause_step(by.later(by.at + HOUR), sand)
    again = work.start_step(by.later(by.at + 3 * HOUR), sand)
    work.finish_step(by.later(by.at + 4 * HOUR), sand)
    assert again.began_at == by.at
    assert clock_of(sand) == [("Ines", 60), ("Ines", 60)]


def test_starting_another_step_moves_the_clock(by: By) -> None:
    """One person has one clock: it stops on the first step when the second begins; both stay begun."""
    piece = chair(by)
    sand, oil = step(piece, "Sand"), step(piece, "Oil")
    work.start_step(by, sand)
    work.start_step(by.later(by.at + HOUR), oil)
    assert (clock_of(sand), clock_of(oil)) == ([("Ines", 60)], [("Ines", None)])
    sand.refresh_from_db()
    assert sand.state == Step.State.RUNNING


def test_two_people_have_two_clocks(by: By) -> None:
    """One's pause or start does not touch the other's clock; done stops both."""
    rui = By(Person.objects.create(shop=by.shop, name="Rui"), by.at)
    piece = chair(by)
    lift, oil = step(piece, "Turn it over", hands=2), step(piece, "Oil")
    work.start_step(by, lift)
    work.start_step(rui, lift)
    work.pause_step(rui.later(by.at + HOUR), lift)
    assert clock_of(lift) == [("Ines", None), ("Rui", 60)]
    work.start_step(rui.later(by.at + HOUR), oil)
    assert clock_of(lift) == [("Ines", None), ("Rui", 60)]
    work.start_step(rui.later(by.at + 2 * HOUR), lift)
    work.finish_step(by.later(by.at + 3 * HOUR), lift)
    assert clock_of(lift) == [("Ines", 180), ("Rui", 60), ("Rui", 60)]


def test_pausing_one_step_leaves_the_clock_on_another(by: By) -> None:
    """The button on a step whose clock stands does not stop the clock elsewhere."""
    piece = chair(by)
    sand, oil = step(piece, "Sand"), step(piece, "Oil")
    work.start_step(by, sand)
    work.start_step(by.later(by.at + HOUR), oil)
    with pytest.raises(Refused, match="does not run"):
        work.pause_step(by.later(by.at + HOUR), sand)
    assert clock_of(oil) == [("Ines", None)]


def test_second_start_is_refused(by: By) -> None:
    """The clock runs already: no second stretch begins."""
    sand = step(chair(by), "Sand")
    work.start_step(by, sand)
    with pytest.raises(Refused, match="runs on “Sand” already"):
        work.start_step(by.later(by.at + HOUR), sand)
    assert clock_of(sand) == [("Ines", None)]


def test_done_without_start_counts_the_estimate(by: By) -> None:
    """Never started: it counts as begun its estimated minutes ago, or when one says."""
    piece = chair(by)
    sand, oil = step(piece, "Sand", 45), step(piece, "Oil")
    assert work.finish_step(by, sand).began_at == by.at - timedelta(minutes=45)
    assert work.finish_step(by, oil, began_at=by.at - 2 * HOUR).began_at == by.at - 2 * HOUR
    assert (clock_of(sand), clock_of(oil)) == ([("Ines", 45)], [("Ines", 120)])


def test_done_before_it_began_is_refused(by: By) -> None:
    """A step cannot begin after it ended."""
    sand = step(chair(by), "Sand")
    with pytest.raises(BadInput, match="after it ended"):
        work.finish_step(by, sand, began_at=by.at + HOUR)
    work.start_step(by, sand)
    with pytest.raises(BadInput, match="after it ended"):
        work.finish_step(by.later(by.at - HOUR), sand)


Act = Callable[[By, Step], object]
CLOSED: dict[str, Act] = {
    "start": work.start_step,
    "done": work.finish_step,
    "not now": lambda by, of: work.not_now(by, of, by.at + HOUR),
    "skip": lambda by, of: work.skip_step(by, of, "not needed"),
    "minutes": lambda by, of: work.change_minutes(by, of, 60),
    "pause": work.pause_step,
}
ANY: dict[str, Act] = {**CLOSED, "again": work.take_up_again}


@pytest.mark.parametrize("act", CLOSED)
def test_what_is_done_stays_done(by: By, act: str) -> None:
    """Nothing can be done to a step that is over, and nothing is written of the attempt."""
    sand = work.finish_step(by, step(chair(by), "Sand"))
    rows = Journal.objects.count()
    with pytest.raises(Refused):
        CLOSED[act](by, sand)
    sand.refresh_from_db()
    assert (sand.state, Journal.objects.count()) == (Step.State.DONE, rows)


@pytest.mark.parametrize("act", ANY)
def test_step_of_another_shop_is_not_found(by: By, stranger: By, act: str) -> None:
    """Another shop's step cannot be touched, whatever its state."""
    theirs = step(chair(stranger), "Sand")
    with pytest.raises(NotFound):
        ANY[act](by, theirs)
    theirs.refresh_from_db()
    assert theirs.state == Step.State.TO_DO


@pytest.mark.parametrize("act", ANY)
def test_piece_that_has_gone_home_is_not_worked_on(by: By, act: str) -> None:
    """After the hand-over its steps are over."""
    piece = chair(by)
    sand = step(piece, "Sand")
    piece.handed_over_at = by.at
    piece.save()
    with pytest.raises(Refused, match="handed over"):
        ANY[act](by, sand)


def test_dust_of_untested_paint_is_refused(by: By) -> None:
    """Old paint that nobody tested: a dusty step may neither be begun nor ended; the hint says what to do."""
    sand = step(painted(by), "Sand", dusty=True)
    for act in (work.start_step, work.finish_step):
        with pytest.raises(Refused, match="not been tested for lead") as refused:
            act(by, sand)
        assert "record the result" in refused.value.hint
    assert clock_of(sand) == []


def test_dust_is_allowed_once_the_test_is_recorded(by: By) -> None:
    """Whatever the test said: found lead is worked with its caution, none found as usual."""
    piece = painted(by)
    sand = step(piece, "Sand", dusty=True)
    record_lead_test(by, piece, Piece.Lead.FOUND)
    assert work.start_step(by, sand).state == Step.State.RUNNING


def test_work_without_dust_needs_no_lead_test(by: By) -> None:
    """Taking the fittings off raises no dust."""
    assert work.start_step(by, step(painted(by), "Take the fittings off")).state == Step.State.RUNNING


def test_coat_is_written_down_as_it_was_laid(by: By) -> None:
    """Which can, over what area, when, how much, in which measured air; and the can holds less."""
    piece = chair(by)
    Surface.objects.filter(piece=piece).delete()
    areas = [Surface.objects.create(**by.kept(), piece=piece, group="top", name=name, area_m2=0.3) for name in "ab"]
    can = varnish(by, left_ml=500.0)
    laid = coat(piece, "Coat 2", can, coat_number=2, coats=3)
    laid.surfaces.set(areas)
    add_reading(by, by.at - HOUR, 16.5, 58.0)
    work.finish_step(by, laid, ml=120.0)
    found = Coat.objects.get(step=laid)
    assert (found.product, found.number, found.laid_at, found.ml) == (can, 2, by.at, 120.0)
    assert found.area_m2 == pytest.approx(0.6)
    assert (found.celsius, found.relative_humidity) == (16.5, 58.0)
    assert Product.objects.get(pk=can.pk).left_ml == 380.0


def test_old_reading_is_not_taken_for_the_air_of_a_coat(by: By) -> None:
    """Air measured this morning is not the air of a coat laid in the evening, nor is another shop's."""
    laid = coat(chair(by), "Coat 1", varnish(by))
    add_reading(by, by.at - 4 * HOUR, 16.5, 58.0)
    work.finish_step(by, laid)
    assert Coat.objects.get(step=laid).celsius is None


def test_can_never_holds_less_than_nothing(by: By) -> None:
    """Used more than was thought to be left: the can is empty. An unknown amount stays unknown."""
    known, unknown = varnish(by, left_ml=50.0), varnish(by, "Other can")
    piece = chair(by)
    work.finish_step(by, coat(piece, "Coat 1", known), ml=120.0)
    work.finish_step(by, coat(piece, "Coat 2", unknown), ml=120.0)
    assert Product.objects.get(pk=known.pk).left_ml == 0.0
    assert Product.objects.get(pk=unknown.pk).left_ml is None


@pytest.mark.parametrize("ml", [0.0, -5.0, 20_001.0])
def test_amount_that_cannot_be_is_refused(by: By, ml: float) -> None:
    """None, less than none, or a barrel of it: nothing is changed."""
    laid = coat(chair(by), "Coat 1", varnish(by, left_ml=500.0))
    with pytest.raises(BadInput, match="ml was used"):
        work.finish_step(by, laid, ml=ml)
    assert not Coat.objects.exists()
    assert not ClockEntry.objects.exists()


def test_not_now_and_its_reason_end_when_it_begins(by: By) -> None:
    """Put off with a reason; begun after all, neither is left."""
    sand = step(chair(by), "Sand")
    off = work.not_now(by, sand, by.at + HOUR, " the machine is lent ")
    assert (off.not_before, off.reason, off.state) == (by.at + HOUR, "the machine is lent", Step.State.TO_DO)
    begun = work.start_step(by, sand)
    assert (begun.not_before, begun.reason) == (None, "")


def test_not_now_is_for_later_and_for_what_has_not_begun(by: By) -> None:
    """A moment that is past is refused, and so is a step that has begun."""
    piece = chair(by)
    sand, oil = step(piece, "Sand"), step(piece, "Oil")
    with pytest.raises(BadInput, match="before now"):
        work.not_now(by, sand, by.at)
    work.start_step(by, oil)
    with pytest.raises(Refused, match="not begun"):
        work.not_now(by, oil, by.at + HOUR)


def test_skip_needs_a_reason_and_can_be_taken_back(by: By) -> None:
    """Skipped with why; wanted after all, it is as it was. The clock that ran on it stays."""
    sand = step(chair(by), "Sand")
    with pytest.raises(BadInput, match="Why is"):
        work.skip_step(by, sand, "  ")
    work.start_step(by, sand)
    gone = work.skip_step(by.later(by.at + HOUR), sand, "smooth enough")
    assert (gone.state, gone.ended_at, gone.reason) == (Step.State.SKIPPED, by.at + HOUR, "smooth enough")
    back = work.take_up_again(by.later(by.at + 2 * HOUR), sand)
    assert (back.state, back.began_at, back.ended_at, back.reason) == (Step.State.TO_DO, None, None, "")
    assert clock_of(sand) == [("Ines", 60)]
    with pytest.raises(Refused, match="Only a skipped step"):
        work.take_up_again(by, sand)


@pytest.mark.parametrize("minutes", [0, 4, 24 * 60 + 1])
def test_estimate_that_cannot_be_is_refused(by: By, minutes: int) -> None:
    """Less than five minutes, or more than a day."""
    piece = chair(by)
    sand = step(piece, "Sand")
    with pytest.raises(BadInput, match="Give 5 to 1440 minutes"):
        work.change_minutes(by, sand, minutes)
    with pytest.raises(BadInput, match="Give 5 to 1440 minutes"):
        work.add_step(by, piece, "Wax", minutes)


def test_better_estimate_keeps_the_one_before_in_the_journal(by: By) -> None:
    """What was thought before stays readable."""
    assert work.change_minutes(by, step(chair(by), "Sand", 30), 75).minutes == 75
    newest = Journal.objects.first()
    assert newest is not None
    assert newest.data == {"before": 30}


def test_own_steps_get_keys_of_their_own(by: By) -> None:
    """Steps added by hand come last, after what one says, and never share a key."""
    piece = chair(by)
    sand = step(piece, "Sand")
    own = [work.add_step(by, piece, f"Own {number}", 20, after=sand if number == 2 else None) for number in range(3)]
    assert [one.key for one in own] == ["own/1", "own/2", "own/3"]
    assert [one.order for one in own] == [2, 3, 4]
    assert [found.first for found in own[2].waits_before.all()] == [sand]


def test_own_step_is_not_mixed_up_with_a_route_step_of_that_name(by: By) -> None:
    """A shop may call a step of its route "Own polish"; steps added by hand still count from 1."""
    piece = chair(by)
    Step.objects.filter(pk=step(piece, "Own polish").pk).update(key="own-polish")
    assert work.add_step(by, piece, "Oil the key", 10).key == "own/1"


def test_own_step_needs_a_name_and_a_piece_at_hand(by: By, stranger: By) -> None:
    """No name, another shop's piece, a step of another piece, a piece gone home: refused."""
    piece, other = chair(by), chair(by, "Stool")
    with pytest.raises(BadInput, match="no name"):
        work.add_step(by, piece, "  ", 30)
    with pytest.raises(NotFound):
        work.add_step(stranger, piece, "Wax", 30)
    with pytest.raises(NotFound):
        work.add_step(by, piece, "Wax", 30, after=step(other, "Sand"))
    piece.handed_over_at = by.at
    piece.save()
    with pytest.raises(Refused, match="handed over"):
        work.add_step(by, piece, "Wax", 30)
