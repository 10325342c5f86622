"""The papers of a piece, and the shop's routes and repairs."""

from __future__ import annotations

import io
from typing import Any

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse
from pypdf import PdfReader
from tests.drawers.pieces.pieces_made import as_sent, jpeg, off, state_of_the_book

from tallboy.book.doing import By
from tallboy.drawers.pieces.actions.piece import add_photo
from tallboy.drawers.pieces.models import Part, Piece, PiecePhoto, Route, Spot


@pytest.fixture
def parts(piece: Piece, by: By, tray: Spot) -> list[Part]:
    """Three parts of the dresser, off and in the tray."""
    return [off(by, position, tray) for position in piece.positions.all()[:3]]


def words(answer: Any) -> str:
    """The text of a PDF that was sent."""
    assert answer.headers["Content-Type"] == "application/pdf"
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages)


def test_tags_are_printed_once_unless_asked_for_again(client: Client, piece: Piece, parts: list[Part]) -> None:
    """The new tags are those not printed yet; all of them can be had again; the sheet is remembered."""
    address = reverse("pieces:tags", args=[piece.pk])
    text = words(client.post(address, {"which": "new", "sheet": "roll-62", "first": "1"}))
    assert all(part.label in text for part in parts)
    assert Part.objects.filter(tag_printed_at__isnull=True).count() == 0
    page = client.get(reverse("pieces:papers", args=[piece.pk])).content.decode()
    assert 'value="roll-62" selected' in page
    assert "Print the new tags" not in page
    answer = client.post(address, {"which": "new", "sheet": "roll-62"}, follow=True)
    assert "There is no tag to print" in answer.content.decode()
    assert parts[2].label in words(client.post(address, {"which": "all", "sheet": "a4-24", "first": "5"}))


def test_one_tag_is_printed_from_its_part(client: Client, piece: Piece, parts: list[Part]) -> None:
    """A part's own page prints its own tag and no other."""
    address = reverse("pieces:tags", args=[piece.pk])
    text = words(client.post(address, {"part": str(parts[1].pk), "sheet": "a4-24", "first": "1"}))
    assert parts[1].label in text
    assert parts[0].label not in text


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({"which": "all", "sheet": "papyrus"}, "There is no label sheet called"),
        ({"which": "all", "sheet": ""}, "There is no label sheet called"),
        ({"which": "all", "sheet": "a4-24", "first": "25"}, "24"),
    ],
)
def test_bad_tags_are_told_and_not_counted_as_printed(
    client: Client, piece: Piece, parts: list[Part], sent: dict[str, str], said: str
) -> None:
    """A sheet that does not exist, or a label beyond its last, prints nothing and marks nothing."""
    before = state_of_the_book()
    answer = client.post(reverse("pieces:tags", args=[piece.pk]), sent, follow=True)
    assert said in answer.content.decode()
    assert state_of_the_book() == before


def test_records_can_be_printed(client: Client, piece: Piece, parts: list[Part]) -> None:
    """Take-down record and put-back list name the piece, its positions and where its parts lie."""
    for name in ("take-down-record", "put-back-list"):
        text = words(client.get(reverse(f"pieces:{name}", args=[piece.pk])))
        assert piece.number in text
        assert parts[0].label in text


def test_papers_page_leads_to_every_paper(client: Client, piece: Piece) -> None:
    """With nothing off there is no tag to print; the records are there all the same."""
    page = client.get(reverse("pieces:papers", args=[piece.pk])).content.decode()
    assert "no tag to print" in page
    for name in ("take-down-record", "put-back-list", "piece-file"):
        assert reverse(f"pieces:{name}", args=[piece.pk]) in page
    assert reverse("today:day-sheet") in page


def as_shown(client: Client, route: Route) -> dict[str, Any]:
    """What a route's form sends when nothing on it is touched."""
    context = client.get(reverse("pieces:route", args=[route.pk])).context
    fields = [*context["form"], *context["rows"].management_form, *(field for row in context["rows"] for field in row)]
    return as_sent({field.html_name: field.value() for field in fields})


def test_every_route_and_repair_can_be_opened_and_kept(client: Client, by: By, tray: Spot) -> None:
    """Sending a route back as it was shown changes nothing in it."""
    listed = client.get(reverse("pieces:routes")).content.decode()
    for route in Route.objects.filter(shop=by.shop):
        assert reverse("pieces:route", args=[route.pk]) in listed
        answer = client.post(reverse("pieces:route", args=[route.pk]), as_shown(client, route))
        assert answer.status_code == 302, (route.key, answer.context["form"].errors, answer.context["rows"].errors)
        assert Route.objects.get(pk=route.pk).body == route.body


def test_route_is_changed_step_by_step(client: Client, by: By, tray: Spot) -> None:
    """A step can be renamed, taken out, and one added; the check that ends every route stays the last."""
    route = Route.objects.get(shop=by.shop, key="wax-only")
    steps = route.body["steps"]
    sent = as_shown(client, route)
    last = len(steps)
    sent |= {
        "name": "Wax, the short way", "step-0-title": "Look it over", "step-1-DELETE": "on",
        f"step-{last}-title": "Buff it", f"step-{last}-does": "wax", f"step-{last}-place": "bench",
        f"step-{last}-minutes": "25 min",
    }  # fmt: skip
    answer = client.post(reverse("pieces:route", args=[route.pk]), sent)
    assert answer.status_code == 302, (answer.context["form"].errors, answer.context["rows"].errors)
    route.refresh_from_db()
    titles = [step["title"] for step in route.body["steps"]]
    assert route.name == "Wax, the short way"
    assert titles == ["Look it over", *(step["title"] for step in steps[2:-1]), "Buff it", steps[-1]["title"]]


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"name": ""}, "This field is required"),
        ({"step-0-title": ""}, "This field is required"),
        ({"step-0-minutes": "a while"}, "a while"),
        ({"step-0-does": "juggle"}, "juggle is not one of the available choices"),
        ({"step-0-place": "moon"}, "moon is not one of the available choices"),
    ],
)
def test_bad_route_is_shown_again(client: Client, by: By, tray: Spot, wrong: dict[str, str], said: str) -> None:
    """A route that could not be worked comes back with its message, and the old one stays."""
    route = Route.objects.get(shop=by.shop, key="wax-only")
    before = state_of_the_book()
    sent = {key: value for key, value in (as_shown(client, route) | wrong).items() if value}
    answer = client.post(reverse("pieces:route", args=[route.pk]), sent)
    assert answer.status_code == 200
    assert said in answer.content.decode()
    assert state_of_the_book() == before


def test_copy_makes_a_route_of_ones_own(client: Client, by: By, tray: Spot) -> None:
    """A copy opens at once, with the same steps under a name of its own."""
    route = Route.objects.get(shop=by.shop, key="oil")
    answer = client.post(reverse("pieces:copy-route", args=[route.pk]))
    made = Route.objects.filter(shop=by.shop, kind="route").latest("pk")
    assert answer.headers["Location"] == reverse("pieces:route", args=[made.pk])
    assert made.name == "Oil, our own"
    assert made.body["steps"] == route.body["steps"]


@pytest.mark.usefixtures("own_folder")
def test_a_record_is_printed_without_a_photograph_whose_file_was_lost(client: Client, piece: Piece, by: By) -> None:
    """The paper comes all the same, whether the file is gone or is no picture any more."""
    position = piece.positions.all()[0]
    use = add_photo(by, piece, jpeg(), "hinge.jpg", purpose=PiecePhoto.Purpose.TAKE_DOWN, position=position)
    file = settings.BOOK.photo(use.photo.digest)
    address = reverse("pieces:take-down-record", args=[piece.pk])
    for now in (b"no picture", None):
        file.unlink()
        if now is not None:
            file.write_bytes(now)
        assert position.name in words(client.get(address))
