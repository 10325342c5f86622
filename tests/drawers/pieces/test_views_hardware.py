"""Take-down, parts and put-back as a person does them: tap, photograph, lay, fit, leave empty, hand over."""

from __future__ import annotations

import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from tests.drawers.pieces.pieces_made import dresser, jpeg, off, state_of_the_book

from tallboy.book.doing import By
from tallboy.drawers.bins.actions import retire
from tallboy.drawers.pieces import queries
from tallboy.drawers.pieces.actions.hardware import add_spot, keep_part, part_gone, put_on
from tallboy.drawers.pieces.actions.piece import hand_over
from tallboy.drawers.pieces.models import Part, Piece, Position, Spot


@pytest.fixture
def hinge(piece: Piece) -> Position:
    return piece.positions.get(code="left-door-top-hinge")


@pytest.fixture
def gap(piece: Piece) -> Position:
    """The position where a hinge was missing when the dresser came in."""
    return piece.positions.get(code="right-door-bottom-hinge")


def page(client: Client, name: str, *args: int) -> str:
    answer = client.get(reverse(f"pieces:{name}", args=args))
    assert answer.status_code == 200
    return answer.content.decode()


def as_shown(client: Client, position: Position) -> dict[str, str]:
    """What the take-off form sends when nothing on it is touched."""
    form = client.get(reverse("pieces:position", args=[position.pk])).context["form"]
    values = {name: form[name].value() for name in form.fields if name != "photo"}
    first_spot = form.fields["spot"].choices[0][0]
    return {name: str(value) for name, value in values.items() if value not in (None, "")} | {
        "spot": values["spot"] or first_spot
    }


def test_take_down_begins_with_the_next_position(client: Client, piece: Piece) -> None:
    """The first position still carrying its part comes first; every position is a link on the drawing."""
    text = page(client, "take-down", piece.pk)
    assert "15 positions still carry what they came with" in text
    assert re.search(r'class="what">1 · left drawer, pull', text)


def test_two_taps_take_a_part_off(client: Client, hinge: Position, tray: Spot) -> None:
    """A photograph and the button are enough: the form already says what is expected, and the next position follows."""
    sent = as_shown(client, hinge) | {"photo": SimpleUploadedFile("hinge.jpg", jpeg())}
    answer = client.post(reverse("pieces:position", args=[hinge.pk]), sent)
    part = Part.objects.get(home=hinge)
    assert (part.kind, part.name, part.screws, part.at_spot) == ("hinge", "butt hinge", hinge.screws, tray)
    assert part.photos.get().position == hinge
    after = hinge.piece.positions.get(number=hinge.number + 1)
    assert answer.headers["Location"] == reverse("pieces:position", args=[after.pk])


def test_the_tray_is_remembered(client: Client, hinge: Position, by: By) -> None:
    """The next form begins with the tray that the last part was laid in."""
    client.post(
        reverse("pieces:position", args=[hinge.pk]),
        as_shown(client, hinge) | {"spot": "new", "new_spot": "tray of hinges"},
    )
    made = Spot.objects.get(name="tray of hinges")
    after = hinge.piece.positions.get(number=hinge.number + 1)
    assert as_shown(client, after)["spot"] == str(made.pk)


def test_a_position_that_is_off_leads_to_its_part(client: Client, hinge: Position, by: By, tray: Spot) -> None:
    """Tapping a number again opens the part that came off there."""
    part = off(by, hinge, tray)
    answer = client.get(reverse("pieces:position", args=[hinge.pk]))
    assert answer.headers["Location"] == reverse("pieces:part", args=[part.pk])


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"kind": "whatnot"}, "whatnot is not one of the available choices"),
        ({"screws": "-3"}, "greater than or equal to 0"),
        ({"screws": "many"}, "Enter a whole number"),
        ({"condition": "splendid"}, "splendid is not one of the available choices"),
        ({"spot": "new"}, "Name the new tray"),
        ({"spot": "new", "new_spot": "tray A"}, "There is already a place named tray A"),
        ({"spot": "987654321"}, "987654321 is not one of the available choices"),
    ],
)
def test_bad_take_off_is_shown_again(client: Client, hinge: Position, wrong: dict[str, str], said: str) -> None:
    """What cannot be used comes back with its message, the rest as typed; the part is still on the piece."""
    sent = as_shown(client, hinge) | {"metal": "iron"} | wrong
    before = state_of_the_book()
    answer = client.post(reverse("pieces:position", args=[hinge.pk]), sent)
    assert answer.status_code == 200
    assert said in answer.content.decode()
    assert 'value="iron"' in answer.content.decode()
    assert state_of_the_book() == before


def test_a_bad_photograph_takes_nothing_off(client: Client, hinge: Position) -> None:
    """The part, its new tray and its photograph come in together or not at all."""
    before = state_of_the_book()
    sent = as_shown(client, hinge) | {"spot": "new", "new_spot": "tray Z", "photo": SimpleUploadedFile("x.png", b"no")}
    answer = client.post(reverse("pieces:position", args=[hinge.pk]), sent)
    assert "x.png is not a photograph that can be read" in answer.content.decode()
    assert state_of_the_book() == before


def test_nothing_was_here(client: Client, hinge: Position) -> None:
    """A position without a part is noted as missing and the next one follows; its page then offers a stand-in."""
    answer = client.post(reverse("pieces:missing", args=[hinge.pk]))
    after = hinge.piece.positions.get(number=hinge.number + 1)
    assert answer.headers["Location"] == reverse("pieces:position", args=[after.pk])
    hinge.refresh_from_db()
    assert hinge.missing_at_take_in
    assert reverse("pieces:stand-in", args=[hinge.pk]) in page(client, "position", hinge.pk)


def test_part_tells_where_it_is_and_was(client: Client, hinge: Position, by: By, tray: Spot) -> None:
    """A part's page names its place, offers its own position, and keeps its history."""
    part = off(by, hinge, tray)
    client.post(reverse("pieces:lay", args=[part.pk]), {"spot": "new", "new_spot": "window sill"})
    text = page(client, "part", part.pk)
    assert '<p class="what">window sill</p>' in text
    assert "tray A → window sill" in text
    assert reverse("pieces:fit", args=[part.pk]) in text
    assert reverse("pieces:tags", args=[hinge.piece_id]) in text


def test_tag_leads_to_its_part(client: Client, hinge: Position, by: By, tray: Spot) -> None:
    """The address in a tag's code opens the part."""
    part = off(by, hinge, tray)
    answer = client.get(reverse("pieces:tag", args=[part.number]))
    assert answer.headers["Location"] == reverse("pieces:part", args=[part.pk])


def test_describe_changes_what_is_written_of_a_part(client: Client, hinge: Position, by: By, tray: Spot) -> None:
    """Kind, name, screws, condition and decision can be put right afterwards."""
    part = off(by, hinge, tray)
    sent = {"kind": "hinge", "name": "rising hinge", "screws": "5", "condition": "worn", "decision": "repair"}
    client.post(reverse("pieces:describe", args=[part.pk]), sent)
    part.refresh_from_db()
    assert (part.name, part.screws, part.condition, part.decision) == ("rising hinge", 5, "worn", "repair")


@pytest.mark.parametrize(
    ("name", "sent", "said"),
    [
        ("describe", {"kind": "hinge", "name": "x", "condition": "lovely", "decision": "keep"}, "Condition: "),
        ("describe", {"kind": "hinge", "name": " ", "condition": "sound", "decision": "keep"}, "A part needs a name"),
        ("lay", {"spot": "0"}, "Lay it in: "),
        ("lay", {"spot": "new"}, "Name the new tray"),
        ("gone", {"gone-reason": " "}, "Reason: "),
        ("fit", {"position": "999999999"}, "There is no such position"),
    ],
)
def test_bad_button_is_told_and_changes_nothing(
    client: Client, hinge: Position, by: By, tray: Spot, name: str, sent: dict[str, str], said: str
) -> None:
    """A form behind a button says on the next page what was wrong; the part stays where and as it was."""
    part = off(by, hinge, tray)
    before = state_of_the_book()
    answer = client.post(reverse(f"pieces:{name}", args=[part.pk]), sent, follow=True)
    assert said in answer.content.decode()
    assert state_of_the_book() == before


def test_no_tray_is_added_for_a_part_that_cannot_be_laid_in_it(
    client: Client, gap: Position, hinge: Position, by: By, tray: Spot
) -> None:
    """The part is on a piece that went home: it stays there, and the tray named for it is not in the book either."""
    part = put_on(by, off(by, hinge, tray), hinge)
    hand_over(by, gap.piece, reasons={gap.code: "none to be had"})
    before = state_of_the_book()
    client.post(reverse("pieces:lay", args=[part.pk]), {"spot": "new", "new_spot": "tray Z"})
    assert state_of_the_book() == before


def test_gone_keeps_the_reason(client: Client, hinge: Position, by: By, tray: Spot) -> None:
    """A part that left the shop keeps its page, with the reason; it can be laid somewhere again when it turns up."""
    part = off(by, hinge, tray)
    client.post(reverse("pieces:gone", args=[part.pk]), {"gone-reason": "fell in the harbour"})
    assert "gone: fell in the harbour" in page(client, "part", part.pk)
    client.post(reverse("pieces:lay", args=[part.pk]), {"spot": str(tray.pk)})
    assert '<p class="what">tray A</p>' in page(client, "part", part.pk)


def test_put_back_says_what_is_left(client: Client, hinge: Position, by: By, tray: Spot) -> None:
    """The list counts what is not accounted for, and has a button for each part that lies somewhere."""
    part = off(by, hinge, tray)
    text = page(client, "put-back", hinge.piece_id)
    assert "2 positions are not accounted for" in text
    assert "1 part lies loose" in text
    assert f'formaction="{reverse("pieces:fit", args=[part.pk])}"' in text
    client.post(reverse("pieces:fit", args=[part.pk]))
    text = page(client, "put-back", hinge.piece_id)
    assert "1 position is not accounted for" in text
    assert "lies loose" not in text


def test_stand_in_is_found_and_fitted(client: Client, gap: Position, by: By) -> None:
    """Kept parts of the kind are offered for a missing one; fitting one accounts for the position."""
    spare = keep_part(by, kind="hinge", name="butt hinge, brass", spot=add_spot(by, "bin 3", Spot.Kind.BIN))
    keep_part(by, kind="pull", name="a pull", spot=Spot.objects.get(name="bin 3"))
    text = page(client, "stand-in", gap.pk)
    assert "butt hinge, brass" in text
    assert "a pull" not in text
    answer = client.post(reverse("pieces:fit", args=[spare.pk]), {"position": str(gap.pk)})
    assert answer.headers["Location"] == reverse("pieces:put-back", args=[gap.piece_id])
    assert "a stand-in is fitted" not in page(client, "put-back", gap.piece_id)
    assert {row.position.code: row.state for row in queries.position_lines(gap.piece)}[gap.code] == "back"


def test_what_waits_for_another_piece_is_no_stand_in(
    client: Client, gap: Position, hinge: Position, by: By, tray: Spot
) -> None:
    """A hinge in the tray that came off another piece is not offered; one off this piece is, and so is a kept one."""
    other = dresser(by)
    theirs = off(by, other.positions.get(code=hinge.code), tray)
    ours = off(by, hinge, tray)
    offered = set(queries.stand_ins(gap))
    assert offered == {ours}
    retire(by, theirs)
    assert set(queries.stand_ins(gap)) == {ours, theirs}


def test_no_stand_in_says_where_to_look(client: Client, gap: Position) -> None:
    """With nothing of the kind kept, the page says so and leads to the bins."""
    text = page(client, "stand-in", gap.pk)
    assert "No part of this kind is kept" in text
    assert reverse("bins:bins") in text


def test_leave_empty_needs_a_reason(client: Client, gap: Position) -> None:
    """A position stays empty with the reason that the owner will read, never without."""
    before = state_of_the_book()
    answer = client.post(reverse("pieces:leave-empty", args=[gap.pk]), {"reason": ""})
    assert "This field is required" in answer.content.decode()
    assert state_of_the_book() == before
    client.post(reverse("pieces:leave-empty", args=[gap.pk]), {"reason": "no hinge like it"})
    assert "Nothing is missing" in page(client, "put-back", gap.piece_id)
    assert "no hinge like it" in page(client, "position", gap.pk)


def test_hand_over_refuses_to_lose_track(client: Client, hinge: Position, by: By, tray: Spot) -> None:
    """Without reasons the piece stays, and the page names the position and the part that are not accounted for."""
    part = off(by, hinge, tray)
    before = state_of_the_book()
    answer = client.post(reverse("pieces:hand-over", args=[hinge.piece_id]), {"note": "Wax it in a year."})
    assert answer.status_code == 409
    text = answer.content.decode()
    assert "left door, top hinge" in text
    assert part.label in text
    assert "Wax it in a year." in text
    assert state_of_the_book() == before


def test_hand_over_with_a_reason_beside_each(
    client: Client, gap: Position, hinge: Position, by: By, tray: Spot
) -> None:
    """The page has a box for each reason; with all of them filled in the piece goes, and the reasons stay."""
    part = off(by, hinge, tray)
    text = page(client, "put-back", gap.piece_id)
    names = re.findall(r'name="(reason:[^"]+)"', text)
    assert sorted(names) == sorted([f"reason:{gap.code}", f"reason:{hinge.code}", f"reason:{part.label}"])
    answer = client.post(
        reverse("pieces:hand-over", args=[gap.piece_id]), dict.fromkeys(names, "the owner will find one"), follow=True
    )
    assert "is handed over" in answer.content.decode()
    gap.piece.refresh_from_db()
    part.refresh_from_db()
    assert not gap.piece.in_the_shop
    assert part.gone_because == "the owner will find one"


def test_nothing_is_taken_off_after_hand_over(client: Client, gap: Position, hinge: Position, tray: Spot) -> None:
    """A piece that has gone home is read only."""
    sent = as_shown(client, hinge)
    client.post(reverse("pieces:hand-over", args=[gap.piece_id]), {f"reason:{gap.code}": "none to be had"})
    before = state_of_the_book()
    answer = client.post(reverse("pieces:position", args=[hinge.pk]), sent)
    assert "has been handed over" in answer.content.decode()
    assert state_of_the_book() == before


def test_part_that_came_off_no_piece_has_a_page(client: Client, by: By, tray: Spot) -> None:
    """A part bought or found has a page too; it cannot be fitted without naming a position."""
    spare = keep_part(by, kind="knob", name="porcelain knob", spot=tray)
    assert "porcelain knob" in page(client, "part", spare.pk)
    before = state_of_the_book()
    answer = client.post(reverse("pieces:fit", args=[spare.pk]), follow=True)
    assert "came off no piece" in answer.content.decode()
    assert state_of_the_book() == before
    part_gone(by, spare, "given away")
    assert "gone: given away" in page(client, "part", spare.pk)
