"""Taking a piece in and what is written of it: all or nothing, numbered by the year, drawn anew without losing anything."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any

import pytest
from django.conf import settings
from tests.drawers.pieces.pieces_made import dresser, example, furnish, jpeg, off, state_of_the_book
from tests.drawers.today.today_made import chair, step

from tallboy.book.doing import By
from tallboy.book.models import Journal
from tallboy.drawers.pieces import queries
from tallboy.drawers.pieces.actions import piece as act
from tallboy.drawers.pieces.actions.desk import take_in_and_lay_out
from tallboy.drawers.pieces.actions.hardware import note_missing, part_gone, put_on
from tallboy.drawers.pieces.actions.intake import add_point, change_area, draw_front, set_free_photo, take_in
from tallboy.drawers.pieces.actions.work import start_step
from tallboy.drawers.pieces.models import Fault, Part, Piece, PiecePhoto, Spot, Surface
from tallboy.errors import BadFile, BadInput, NotFound, Refused, Unaccounted
from tallboy.front.piecefile import read_piece_file
from tallboy.front.shape import front_from_dict
from tallboy.front.takein import FreeDrawing, FreePoint, PhotoFile, TakeIn


def two_photos() -> TakeIn:
    text, _files = example("pine-dresser")
    told = read_piece_file(text, name="dresser.toml")
    return replace(told, photos=(PhotoFile("one.jpg"), PhotoFile("two.jpg")))


def test_taken_in_with_all_that_was_told(by: By) -> None:
    """Positions from the front, surfaces from the size, faults at their positions, tests, the note, the photograph."""
    piece = dresser(by)
    assert (piece.number, piece.taken_in_at, piece.promise) == ("2026-001", by.at, date(2031, 3, 24))
    assert piece.positions.count() == 16
    assert list(piece.positions.filter(missing_at_take_in=True).values_list("code", flat=True)) == [
        "right-door-bottom-hinge"
    ]
    assert {fault.kind: getattr(fault.position, "code", None) for fault in piece.faults.all()} == {
        "loose joint": None,
        "bent hinge": "left-door-top-hinge",
        "missing fitting": piece.positions.get(number=12).code,
    }
    assert piece.spot_tests.count() == 2
    assert piece.notes.get().text.startswith("Stood in a sail loft")
    assert piece.photos.get().purpose == PiecePhoto.Purpose.BEFORE
    top = piece.surfaces.get(group="top")
    assert (top.area_m2, top.typed) == (0.58, True)
    assert piece.surfaces.filter(typed=False).exists()
    assert piece.lead_unknown


@pytest.mark.parametrize("second", [None, b"no photograph at all", jpeg()[:200]])
def test_bad_second_photograph_takes_nothing_in(by: By, second: bytes | None) -> None:
    """Missing, a renamed text, or damaged: no piece, no photograph row, no journal row, nothing."""
    before = state_of_the_book()
    files = {"one.jpg": jpeg(), **({} if second is None else {"two.jpg": second})}
    with pytest.raises((BadInput, BadFile), match=r"two\.jpg"):
        take_in(by, two_photos(), files)
    assert state_of_the_book() == before


def test_promise_in_the_past_takes_nothing_in(by: By) -> None:
    """Today may be promised, yesterday not; the shop's clock says which day it is."""
    before = state_of_the_book()
    with pytest.raises(BadInput, match="is past"):
        chair(by, promise=date(2026, 3, 11))
    assert state_of_the_book() == before
    assert chair(by, promise=date(2026, 3, 12)).promise == date(2026, 3, 12)


def test_numbers_run_through_the_year_of_the_shop(by: By, stranger: By) -> None:
    """001, 002 … in each shop and year; the year turns by the shop's own clock."""
    assert [chair(by, f"Chair {one}").number for one in range(3)] == ["2026-001", "2026-002", "2026-003"]
    assert chair(stranger).number == "2026-001"
    eve = datetime(2026, 12, 31, 23, 59, tzinfo=by.shop.tz)
    assert chair(by.later(eve)).number == "2026-004"
    assert chair(by.later(eve + timedelta(minutes=1))).number == "2027-001"
    assert chair(by).number == "2026-005"


def test_number_after_the_thousandth(by: By) -> None:
    """A busy year goes on counting."""
    piece = chair(by)
    piece.number = "2026-999"
    piece.save()
    assert [chair(by).number, chair(by).number] == ["2026-1000", "2026-1001"]


def narrower(piece: Piece) -> Any:
    """The dresser's front without its first row of drawers."""
    assert piece.front is not None
    front = front_from_dict(piece.front)
    return replace(front, rows=front.rows[1:])


def test_new_front_keeps_what_was_worked_on(by: By) -> None:
    """A part is off the left door: the drawers may go, the door keeps its position with its part."""
    tray = furnish(by)
    piece = dresser(by)
    hinge = piece.positions.get(code="left-door-top-hinge")
    part = off(by, hinge, tray)
    gone = set(piece.positions.filter(code__contains="drawer").values_list("code", flat=True))
    draw_front(by, piece, narrower(piece))
    kept = piece.positions.get(pk=hinge.pk)
    assert (kept.code, kept.taken_off_at) == (hinge.code, by.at)
    assert Part.objects.get(pk=part.pk).home == kept
    assert gone - set(piece.positions.values_list("code", flat=True)) != set()
    numbers = list(piece.positions.values_list("number", flat=True))
    assert numbers == list(range(1, len(numbers) + 1))


WRITTEN: dict[str, Callable[[By, Any, Spot], object]] = {
    "a part came off it": off,
    "nothing was on it": lambda by, position, _tray: note_missing(by, position),
    "a photograph": lambda by, position, _tray: act.add_photo(by, position.piece, jpeg(), "x.jpg", position=position),
    "a fault": lambda by, position, _tray: act.add_fault(by, position.piece, "water ring", position=position),
    "begun work": lambda by, position, _tray: start_step(by, _over(position)),
}


def _over(position: Any) -> Any:
    made = step(position.piece, "Clean the pull")
    made.positions.add(position)
    return made


@pytest.mark.parametrize("what", WRITTEN)
def test_new_front_without_a_position_that_is_written_of_is_refused(by: By, what: str) -> None:
    """What would be lost is named, and the front stays as it was."""
    tray = furnish(by)
    piece = dresser(by)
    first = piece.positions.filter(code__contains="drawer").first()
    assert first is not None
    WRITTEN[what](by, first, tray)
    before = state_of_the_book()
    with pytest.raises(Refused, match=first.name):
        draw_front(by, piece, narrower(piece))
    assert state_of_the_book() == before


def test_new_front_measures_what_nobody_measured(by: By) -> None:
    """Areas follow from the new front, except those that were typed."""
    piece = dresser(by)
    before = {one.name: one.area_m2 for one in piece.surfaces.filter(typed=False)}
    draw_front(by, piece, narrower(piece))
    after = {one.name: one.area_m2 for one in piece.surfaces.filter(typed=False)}
    assert after != before
    assert piece.surfaces.get(group="top").area_m2 == 0.58


def free(by: By) -> Piece:
    """A mirror with two points on its photograph."""
    points = (FreePoint(0.2, 0.3, "left hook"), FreePoint(0.8, 0.3, "right hook"))
    told = TakeIn(name="Mirror", kind="other", width=500, height=700, depth=40, free=FreeDrawing("m.jpg", points))
    return take_in(by, told, {"m.jpg": jpeg()})


def test_points_on_a_photograph_are_positions(by: By) -> None:
    """Points are numbered in their order; one more comes after them."""
    piece = free(by)
    assert piece.free_photo is not None
    made = add_point(by, piece, 0.5, 0.95, " lower edge ", "other")
    assert [(one.number, one.name) for one in piece.positions.all()] == [
        (1, "left hook"), (2, "right hook"), (3, "lower edge"),
    ]  # fmt: skip
    assert (made.x, made.y) == (0.5, 0.95)


@pytest.mark.parametrize(
    ("x", "y", "name", "words"),
    [(1.2, 0.5, "edge", "beside the photograph"), (0.5, -0.1, "edge", "beside"), (0.5, 0.5, " ", "name of its own"),
     (0.5, 0.5, "left hook", "name of its own")],
)  # fmt: skip
def test_point_that_cannot_be_is_refused(by: By, x: float, y: float, name: str, words: str) -> None:
    """Off the photograph, without a name, or with one that is taken."""
    piece = free(by)
    with pytest.raises(BadInput, match=words):
        add_point(by, piece, x, y, name, "other")
    assert piece.positions.count() == 2


def test_free_drawing_is_for_pieces_without_a_front(by: By) -> None:
    """A dresser has its front; a chair needs a photograph before it takes points, and may get a better one."""
    with pytest.raises(Refused, match="has a front"):
        set_free_photo(by, dresser(by), jpeg(), "x.jpg")
    piece = chair(by)
    with pytest.raises(Refused, match="no photograph"):
        add_point(by, piece, 0.5, 0.5, "seat", "other")
    set_free_photo(by, piece, jpeg(), "x.jpg")
    add_point(by, piece, 0.5, 0.5, "seat", "other")
    set_free_photo(by, piece, jpeg(size=(200, 100)), "better.jpg")
    assert piece.positions.count() == 1


def test_measured_area_stays_measured(by: By, stranger: By) -> None:
    """A typed area is kept as typed; one that cannot be is refused, another shop's is not found."""
    surface = Surface.objects.filter(piece=chair(by)).first()
    assert surface is not None
    assert change_area(by, surface, 0.42).typed
    with pytest.raises(BadInput, match="0 to 100 m²"):
        change_area(by, surface, -1)
    with pytest.raises(NotFound):
        change_area(stranger, surface, 1.0)


OF_ANOTHER: dict[str, Callable[[By, Piece, Any, Any], object]] = {
    "note on a step": lambda by, piece, step, _position: act.add_note(by, piece, "x", step=step),
    "photo of a step": lambda by, piece, step, _position: act.add_photo(by, piece, jpeg(), "x.jpg", step=step),
    "photo of a position": lambda by, piece, _step, position: act.add_photo(
        by, piece, jpeg(), "x.jpg", position=position
    ),
    "fault at a position": lambda by, piece, _step, position: act.add_fault(by, piece, "water ring", position=position),
}


@pytest.mark.parametrize("what", OF_ANOTHER)
def test_what_is_written_belongs_to_the_piece(by: By, what: str) -> None:
    """A remark on one piece cannot be about a step or a position of another."""
    piece, other = chair(by), dresser(by)
    foreign = step(other, "Sand"), other.positions.first()
    before = state_of_the_book()
    with pytest.raises(NotFound, match="does not belong"):
        OF_ANOTHER[what](by, piece, *foreign)
    assert state_of_the_book() == before


def test_piece_of_another_shop_is_not_found(by: By, stranger: By) -> None:
    """Nothing can be written of another shop's piece."""
    theirs = chair(stranger)
    for write in (
        lambda: act.edit_piece(by, theirs, name="Mine"),
        lambda: act.add_note(by, theirs, "x"),
        lambda: act.record_lead_test(by, theirs, Piece.Lead.NONE),
        lambda: act.hand_over(by, theirs),
        lambda: act.add_fault(by, theirs, "water ring"),
        lambda: act.add_spot_test(by, theirs, "alcohol", "nothing"),
    ):
        with pytest.raises(NotFound):
            write()
    assert not Fault.objects.exists()


def test_edited_piece_keeps_what_was_written_before(by: By) -> None:
    """What changed stands in the journal; a promise in the past, no name, or an unknown column is refused."""
    piece = chair(by)
    act.edit_piece(by, piece, name="Ladder chair", promise=date(2026, 4, 1))
    newest = Journal.objects.first()
    assert newest is not None
    assert newest.data == {"before": {"name": "Kitchen chair", "promise": "None"}}
    for fields, words in (
        ({"promise": date(2026, 3, 1)}, "past"),
        ({"name": " "}, "needs a name"),
        ({"number": "x"}, "no number"),
    ):
        with pytest.raises(BadInput, match=words):
            act.edit_piece(by, piece, **fields)


def test_promise_that_has_run_out_does_not_stop_other_edits(by: By) -> None:
    """The promise was missed; the wood may still be corrected."""
    piece = chair(by, promise=date(2026, 3, 13))
    later = by.later(by.at + timedelta(days=9))
    assert act.edit_piece(later, piece, woods="beech", promise=date(2026, 3, 13)).woods == "beech"


def test_lead_test_has_two_results(by: By) -> None:
    """Found or none found; anything else is no result."""
    piece = chair(by)
    with pytest.raises(BadInput, match="no result"):
        act.record_lead_test(by, piece, "perhaps")
    found = act.record_lead_test(by, piece, Piece.Lead.FOUND)
    assert (found.lead_test, found.lead_tested_at, found.old_paint) == ("found", by.at, True)


def test_hand_over_names_what_is_not_accounted_for(by: By) -> None:
    """A part in a tray and a position with nothing on it hold the piece back, by name; nothing is changed."""
    tray = furnish(by)
    piece = dresser(by)
    hinge = piece.positions.get(code="left-door-top-hinge")
    part = off(by, hinge, tray)
    before = state_of_the_book()
    with pytest.raises(Unaccounted) as refused:
        act.hand_over(by, piece)
    missing = piece.positions.get(code="right-door-bottom-hinge")
    for name in (hinge.name, missing.name, f"{part.label} (tray A)"):
        assert name in refused.value.message
    assert state_of_the_book() == before


def test_hand_over_with_half_the_reasons_changes_nothing(by: By) -> None:
    """A reason for one of two is not enough, and is not kept either."""
    tray = furnish(by)
    piece = dresser(by)
    part = off(by, piece.positions.get(code="left-door-top-hinge"), tray)
    before = state_of_the_book()
    with pytest.raises(Unaccounted):
        act.hand_over(by, piece, reasons={part.label: "went to the smith", "right-door-bottom-hinge": " "})
    assert state_of_the_book() == before


def test_hand_over_with_a_reason_for_each(by: By) -> None:
    """Reasons by position and by part: each is kept where it belongs, the piece goes home."""
    tray = furnish(by)
    piece = dresser(by)
    hinge = piece.positions.get(code="left-door-top-hinge")
    part = off(by, hinge, tray)
    reasons = {
        part.label: "went to the smith",
        hinge.code: "the smith brings it",
        "right-door-bottom-hinge": "none was found that fits",
    }
    home = act.hand_over(by, piece, note="Keep it dry.", reasons=reasons)
    assert (home.handed_over_at, home.hand_over_note) == (by.at, "Keep it dry.")
    hinge.refresh_from_db()
    part.refresh_from_db()
    assert (hinge.left_empty_because, part.gone_because) == ("the smith brings it", "went to the smith")
    assert not queries.in_the_shop(by.shop).exists()
    with pytest.raises(Refused, match="already"):
        act.hand_over(by, piece)


def test_hand_over_of_a_piece_put_together_again(by: By) -> None:
    """Everything back on, the missing one gone with its reason: no further question."""
    tray = furnish(by)
    piece = dresser(by)
    part = off(by, piece.positions.get(code="left-door-top-hinge"), tray)
    put_on(by, part, piece.positions.get(code="left-door-top-hinge"))
    reasons = {"right-door-bottom-hinge": "none was found that fits"}
    assert not act.hand_over(by, piece, reasons=reasons).in_the_shop


def test_part_that_is_gone_is_accounted_for_but_its_position_is_not(by: By) -> None:
    """A lost part has its reason; the empty place on the piece still needs one."""
    tray = furnish(by)
    piece = dresser(by)
    hinge = piece.positions.get(code="left-door-top-hinge")
    part_gone(by, off(by, hinge, tray), "lost")
    with pytest.raises(Unaccounted) as refused:
        act.hand_over(by, piece)
    assert hinge.name in refused.value.message
    assert "P-0001" not in refused.value.message


def test_begun_step_holds_the_hand_over_back(by: By) -> None:
    """Finish it or skip it first."""
    piece = chair(by)
    start_step(by, step(piece, "Wax"))
    with pytest.raises(Refused, match="“Wax” is still begun"):
        act.hand_over(by, piece)
    piece.refresh_from_db()
    assert piece.in_the_shop


def test_taken_in_by_an_unknown_route_keeps_not_even_the_photographs_file(by: By) -> None:
    """Taking in goes well, laying out does not: all of it is undone, the file in the book's folder too."""
    files = {"one.jpg": jpeg((9, 8, 7)), "two.jpg": jpeg((6, 5, 4))}
    before = state_of_the_book(), set(settings.BOOK.photos.rglob("*.jpg"))
    with pytest.raises(BadInput, match="There is no route 'by-magic'"):
        take_in_and_lay_out(by, two_photos(), files, "by-magic")
    assert (state_of_the_book(), set(settings.BOOK.photos.rglob("*.jpg"))) == before
