"""The list of pieces and the page of one piece, asked for and written on by a person."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from tests.drawers.pieces.pieces_made import jpeg, off, state_of_the_book, take_in_example

from tallboy.book.doing import By
from tallboy.drawers.pieces import queries
from tallboy.drawers.pieces.actions.hardware import add_spot
from tallboy.drawers.pieces.actions.piece import hand_over
from tallboy.drawers.pieces.models import Piece, Spot


def page(client: Client, name: str, *args: int) -> str:
    answer = client.get(reverse(f"pieces:{name}", args=args))
    assert answer.status_code == 200
    return answer.content.decode()


def test_empty_shop_offers_two_things(client: Client, by: By) -> None:
    """With nothing in the shop the page offers to take in the first piece, or to look around the demo shop."""
    text = page(client, "pieces")
    assert reverse("pieces:take-in") in text
    assert f'action="{reverse("visit-demo")}"' in text


def test_list_says_how_far_each_piece_is(client: Client, piece: Piece, by: By, tray: Spot) -> None:
    """A piece stands in the list with its number, whose it is and how many parts are off."""
    for position in piece.positions.all()[:3]:
        off(by, position, tray)
    text = page(client, "pieces")
    assert piece.number in text
    assert "the ferry house" in text
    assert "3 off the piece" in text
    assert "not laid out" in text


def test_piece_says_where_its_parts_are(client: Client, piece: Piece, by: By, tray: Spot) -> None:
    """Above the drawing: how many parts are off, where they lie while that fits a line, and what is missing."""
    positions = [row for row in piece.positions.all() if not row.missing_at_take_in]
    assert "every part is on it" in queries.parts_words(queries.position_lines(piece)[:1])
    for position in positions[:3]:
        off(by, position, tray)
    assert f"3 parts off: {tray.name}; 1 missing" in page(client, "piece", piece.pk)
    for number, position in enumerate(positions[3:6]):
        off(by, position, add_spot(by, f"tray {number + 5}", Spot.Kind.TRAY))
        where = queries.parts_words(queries.position_lines(piece))
        assert where.startswith(f"{number + 4} parts off")
        assert f"{tray.name} (3)" in where or number == 2
    assert "6 parts off, in 4 places" in page(client, "piece", piece.pk)


def test_pieces_that_have_gone_are_listed_apart(client: Client, piece: Piece, by: By) -> None:
    """A piece that was handed over leaves the list of those in the shop, and stands in the other."""
    hand_over(by, piece, reasons={"right-door-bottom-hinge": "none like it to be had"})
    assert piece.name not in page(client, "pieces")
    assert piece.name in page(client, "handed-over")
    assert "Take off a part" not in page(client, "piece", piece.pk)


def test_page_of_a_piece_shows_what_is_known(client: Client, piece: Piece) -> None:
    """Drawing with a link for every position, faults, spot tests, measured surfaces, photograph, lead caution."""
    text = page(client, "piece", piece.pk)
    assert '<svg xmlns="http://www.w3.org/2000/svg" class="el"' in text
    for position in piece.positions.all():
        assert text.count(reverse("pieces:position", args=[position.pk])) >= 2
    assert "loose joint, left front foot" in text
    assert "softened in 20 seconds" in text
    assert "0.58" in text
    assert "As it came in" in text
    assert reverse("today:lead-test", args=[piece.pk]) in text
    assert "Stood in a sail loft" in text


def test_lead_caution_goes_when_none_was_found(client: Client, piece: Piece) -> None:
    """The caution about lead stands until a test says there is none; the result is kept."""
    assert "Lead paint." in page(client, "piece", piece.pk)
    client.post(reverse("today:lead-test", args=[piece.pk]), {"result": "none found"})
    assert "Lead paint." not in page(client, "piece", piece.pk)
    assert "no lead found" in page(client, "piece", piece.pk)


def test_drawing_alone_is_a_whole_svg(client: Client, piece: Piece) -> None:
    """The drawing as a file carries its own looks and its size on paper."""
    answer = client.get(reverse("pieces:elevation", args=[piece.pk]))
    assert answer.headers["Content-Type"] == "image/svg+xml"
    assert 'fill="#fffdf8"' in answer.content.decode()
    assert 'width="162.00mm"' in answer.content.decode()


def test_photograph_with_points_is_the_drawing_of_a_piece_without_a_front(client: Client, by: By, tray: Spot) -> None:
    """Without a front the photograph is drawn, each point on it a link to its position."""
    piece = take_in_example(by, "hall-stand")
    text = page(client, "piece", piece.pk)
    assert '<svg xmlns="http://www.w3.org/2000/svg" class="free"' in text
    first = piece.positions.get(number=1)
    assert f'<a href="{reverse("pieces:position", args=[first.pk])}"><title>1: left upper hook, on the piece' in text


def test_edit_changes_what_is_written(client: Client, piece: Piece) -> None:
    """The form shows what is written, and keeps what was changed."""
    assert 'value="the ferry house"' in page(client, "edit", piece.pk)
    answer = client.post(
        reverse("pieces:edit", args=[piece.pk]), {"name": "Galley dresser", "promise": "2031-04-01", "woods": "pine"}
    )
    assert answer.headers["Location"] == reverse("pieces:piece", args=[piece.pk])
    piece.refresh_from_db()
    assert (piece.name, str(piece.promise), piece.customer) == ("Galley dresser", "2031-04-01", "")


def test_faults_tests_and_notes_are_written_down(client: Client, piece: Piece) -> None:
    """A fault, a spot test and a note typed on their forms stand on the piece's page."""
    position = piece.positions.get(code="left-door-escutcheon")
    where = f"?position={position.pk}"
    fault = {"kind": "stripped screw hole", "where": position.name}
    client.post(reverse("pieces:add-fault", args=[piece.pk]) + where, fault)
    client.post(reverse("pieces:add-spot-test", args=[piece.pk]), {"liquid": "warm water", "result": "nothing at all"})
    client.post(reverse("pieces:add-note", args=[piece.pk]), {"text": "Key is in the drawer."})
    text = page(client, "piece", piece.pk)
    assert "stripped screw hole, left door, escutcheon" in text
    assert "Spot test with warm water: nothing at all" in text
    assert "Key is in the drawer." in text
    assert piece.faults.get(kind="stripped screw hole").position == position


def test_a_fault_of_another_pieces_position_is_only_of_the_piece(client: Client, piece: Piece, by: By) -> None:
    """An address that names a position of another piece, or nonsense, is not followed."""
    other = take_in_example(by, "tea-trolley").positions.first()
    assert other is not None
    for wrong in (str(other.pk), "ten", "9" * 40):
        client.post(reverse("pieces:add-fault", args=[piece.pk]) + f"?position={wrong}", {"kind": "odour"})
    assert [fault.position for fault in piece.faults.filter(kind="odour")] == [None, None, None]


def test_photograph_is_kept_with_its_part(client: Client, piece: Piece, by: By, tray: Spot) -> None:
    """A photograph goes with the piece, and with the part that the address names; the page shows a small copy."""
    position = piece.positions.get(number=1)
    part = off(by, position, tray)
    sent = {"photo": SimpleUploadedFile("pull.jpg", jpeg((9, 9, 9))), "purpose": "during", "caption": "the back of it"}
    answer = client.post(reverse("pieces:add-photo", args=[piece.pk]) + f"?part={part.pk}", sent)
    assert answer.headers["Location"] == reverse("pieces:part", args=[part.pk])
    use = part.photos.get()
    assert (use.piece, use.position) == (piece, position)
    assert reverse("book:thumbnail", args=[use.photo.digest, 360]) in page(client, "piece", piece.pk)


BAD: list[tuple[str, dict[str, Any], str]] = [
    ("edit", {"name": "", "promise": ""}, "This field is required"),
    ("edit", {"name": "Dresser", "promise": "2020-01-01"}, "2020-01-01"),
    ("edit", {"name": "Dresser", "promise": "soon"}, "Enter a valid date"),
    ("add-fault", {"kind": "haunted"}, "haunted is not one of the available choices"),
    ("add-spot-test", {"liquid": "alcohol", "result": ""}, "This field is required"),
    ("today:lead-test", {"result": "perhaps"}, "perhaps is not one of the available choices"),
    ("add-photo", {"purpose": "during"}, "This field is required"),
    ("add-photo", {"purpose": "sometime"}, "sometime is not one of the available choices"),
]


@pytest.mark.parametrize(("name", "sent", "said"), BAD)
def test_bad_input_is_shown_again_and_changes_nothing(
    client: Client, piece: Piece, name: str, sent: dict[str, Any], said: str
) -> None:
    """What cannot be used comes back with a plain message beside it, and the book stays as it was."""
    before = state_of_the_book()
    address = name if ":" in name else f"pieces:{name}"
    answer = client.post(reverse(address, args=[piece.pk]), sent)
    assert answer.status_code == 200
    assert said in answer.content.decode()
    assert 'role="alert"' in answer.content.decode()
    assert state_of_the_book() == before


def test_renamed_text_file_is_no_photograph(client: Client, piece: Piece) -> None:
    """A text that calls itself a JPEG is refused by name, and nothing is kept."""
    before = state_of_the_book()
    sent = {"photo": SimpleUploadedFile("notes.jpg", b"Dear diary"), "purpose": "during"}
    answer = client.post(reverse("pieces:add-photo", args=[piece.pk]), sent)
    assert "notes.jpg is not a photograph that can be read" in answer.content.decode()
    assert state_of_the_book() == before


def test_empty_note_is_told_and_not_kept(client: Client, piece: Piece) -> None:
    """A note without a word is no note."""
    before = state_of_the_book()
    answer = client.post(reverse("pieces:add-note", args=[piece.pk]), {"text": "  "}, follow=True)
    assert "The note is empty" in answer.content.decode()
    assert state_of_the_book() == before


def test_what_people_type_is_shown_as_text(client: Client, piece: Piece) -> None:
    """Marks that mean something in a page are shown, not obeyed, in the drawing too."""
    client.post(reverse("pieces:edit", args=[piece.pk]), {"name": '<b>Dresser</b> & "co"'})
    text = page(client, "piece", piece.pk)
    assert "<b>Dresser</b>" not in text
    assert "&lt;b&gt;Dresser" in text
