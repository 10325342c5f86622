"""Adding bins, and keeping parts in them."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from tests.drawers.pieces.test_whereabouts import ready_piece, rows_of_the_book

from tallboy.book.doing import By
from tallboy.book.models import Journal
from tallboy.drawers.bins import queries
from tallboy.drawers.bins.actions import add_bin, kept_bin, retire
from tallboy.drawers.bins.models import Bin
from tallboy.drawers.pieces.actions.hardware import add_spot, keep_part, lay, part_gone, take_off
from tallboy.drawers.pieces.models import Move, Part, Position, Spot
from tallboy.errors import BadInput, NotFound, TallboyError


def refused(act: Callable[[], object], error: type[TallboyError], match: str) -> None:
    """The act is refused with these words and leaves the book as it was."""
    before = rows_of_the_book()
    with pytest.raises(error, match=match):
        act()
    assert rows_of_the_book() == before


@pytest.fixture
def hinge(by: By) -> Part:
    """A hinge that was taken off a bedside and lies in a tray."""
    ready_piece(by, "bedside", "pine bedside")
    tray = add_spot(by, "tray A", Spot.Kind.TRAY)
    return take_off(by, Position.objects.order_by("pk")[0], kind="hinge", name="butt hinge", spot=tray)


def test_a_bin_is_named_by_its_labels(by: By) -> None:
    """Rack, box, perhaps a compartment; the word that the name says anyway may be left out or typed."""
    assert add_bin(by, "1", "2").spot.name == "rack 1 / box 2"
    made = add_bin(by, " rack 2 ", "Box  3", "compartment left")
    assert (made.rack, made.box, made.compartment) == ("2", "3", "left")
    assert made.spot.name == "rack 2 / box 3 / compartment left"
    assert made.spot.kind == Spot.Kind.BIN


@pytest.mark.parametrize(
    ("labels", "match"),
    [
        (("", "1"), "no rack or no box"),
        (("1", "  "), "no rack or no box"),
        (("x" * 41, "1"), "too long"),
        (("x" * 40, "y" * 40), "too long"),
        (("1", "1"), "already a place named rack 1 / box 1"),
        (("rack 1", "box 1"), "already a place named rack 1 / box 1"),
    ],
)
def test_a_bin_that_cannot_be_told_apart_is_refused(by: By, labels: tuple[str, str], match: str) -> None:
    """No label, one too long to print, or labels that another bin bears."""
    add_bin(by, "1", "1")
    refused(lambda: add_bin(by, *labels), BadInput, match)


def test_two_shops_may_have_the_same_labels(by: By, stranger: By) -> None:
    """A name is taken within one shop only."""
    assert add_bin(by, "1", "1").spot.name == add_bin(stranger, "1", "1").spot.name


def test_a_part_retires_to_the_bin_that_was_chosen(by: By, hinge: Part) -> None:
    """Its history says so, and the journal who and when."""
    chosen = add_bin(by, "1", "1")
    kept = retire(by, hinge, chosen)
    assert kept.at_spot == chosen.spot
    move = Move.objects.filter(part=hinge).last()
    assert move is not None
    assert (move.came_from, move.went_to) == ("tray A", "rack 1 / box 1")
    row = Journal.objects.get(subject_kind="pieces.part", subject_id=hinge.pk, text__contains=chosen.spot.name)
    assert row.action == "retire"
    assert (row.person, row.at, row.subject_id) == (by.person, by.at, hinge.pk)


def test_the_bin_for_kept_parts_is_made_once_at_need(by: By, hinge: Part) -> None:
    """Where no bin is chosen, all parts go to the same one."""
    assert not Bin.objects.exists()
    first = retire(by, hinge)
    other = keep_part(by, kind="knob", name="oak knob", spot=Spot.objects.get(name="tray A"))
    assert first.at_spot == retire(by, other).at_spot
    assert Bin.objects.filter(shop=by.shop, is_usual=True).get().spot.name == "Kept parts"


def test_a_tray_of_that_name_does_not_stand_in_the_way(by: By, hinge: Part) -> None:
    """The bin takes the next free name."""
    add_spot(by, "Kept parts", Spot.Kind.TRAY)
    kept = retire(by, hinge)
    assert kept.at_spot is not None
    assert (kept.at_spot.name, kept.at_spot.kind) == ("Kept parts 2", Spot.Kind.BIN)


def test_nothing_crosses_from_shop_to_shop(by: By, stranger: By, hinge: Part) -> None:
    """Neither into another shop's bin, nor another shop's part into one of ours."""
    theirs = add_bin(stranger, "1", "1")
    ours = add_bin(by, "1", "1")
    refused(lambda: retire(by, hinge, theirs), NotFound, "no such bin")
    refused(lambda: retire(stranger, hinge, theirs), NotFound, "no such part")
    refused(lambda: keep_part(stranger, kind="knob", name="", spot=ours.spot), NotFound, "no such part or place")


def test_a_part_in_a_bin_still_knows_its_piece(by: By, hinge: Part) -> None:
    """Retiring takes nothing from its history: where it came off stays written."""
    kept = retire(by, hinge)
    assert (kept.piece, kept.home) == (hinge.piece, hinge.home)


def test_kept_parts_are_found_by_every_word(by: By) -> None:
    """In what it is, its metal, its bin, or the number on its tag; all words must be there."""
    box = add_bin(by, "1", "1").spot
    other = add_bin(by, "7", "1").spot
    keep_part(by, kind="hinge", name="butt hinge 63 mm", metal="brass", spot=box)
    keep_part(by, kind="hinge", name="butt hinge 50 mm", metal="steel", spot=other)
    keep_part(by, kind="knob", name="turned knob", metal="", spot=box)

    def found(words: str, kind: str = "") -> list[int]:
        rows = queries.matching(queries.kept_parts(by.shop), words, kind)
        return [part.number for part in queries.told(rows)]

    assert found("") == [1, 2, 3]
    assert found("BUTT brass") == [1]
    assert found("hinge", "knob") == []
    assert found("", "knob") == [3]
    assert found("P-0002") == [2]
    assert found("3") == [1, 3]
    assert found("rack 7") == [2]
    assert found("100%") == []
    assert found("' OR 1=1 --") == []


def test_what_is_gone_or_on_a_piece_is_not_kept(by: By, hinge: Part) -> None:
    """Parts of a piece count when they lie in a bin; parts of no piece wherever they lie; none once they are gone."""
    tray = Spot.objects.get(name="tray A")
    loose = keep_part(by, kind="knob", name="oak knob", spot=tray)
    assert list(queries.kept_parts(by.shop)) == [loose]
    retire(by, hinge)
    part_gone(by, loose, "given away")
    assert list(queries.kept_parts(by.shop)) == [hinge]
    lay(by, hinge, tray)
    assert not queries.kept_parts(by.shop).exists()


def test_box_two_comes_before_box_ten(by: By) -> None:
    """Numbers in labels are put in order as numbers."""
    for box in ("10", "2", "1"):
        add_bin(by, "1", box)
    assert [row.box for row in queries.bins_of(by.shop)] == ["1", "2", "10"]


def test_the_front_of_the_drawer(by: By) -> None:
    """One short line: how many parts are kept."""
    assert queries.line(by.shop, by.at) == "nothing kept yet"
    spot = kept_bin(by).spot
    keep_part(by, kind="knob", name="", spot=spot)
    assert queries.line(by.shop, by.at) == "1 part kept"
    keep_part(by, kind="knob", name="", spot=spot)
    assert queries.line(by.shop, by.at) == "2 parts kept"
