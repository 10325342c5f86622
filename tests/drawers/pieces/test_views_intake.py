"""Taking a piece in by form and by file, changing its front, putting points on a photograph."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from tests.drawers.pieces.pieces_made import (
    EXAMPLES,
    as_sent,
    dresser,
    example,
    furnish,
    jpeg,
    off,
    state_of_the_book,
    take_in_example,
)

from tallboy.book.doing import By
from tallboy.drawers.pieces.models import Piece, Route, Spot
from tallboy.front.piecefile import read_piece_file
from tallboy.front.ready import ready_fronts


@pytest.fixture
def tray(by: By) -> Spot:
    return furnish(by)


@pytest.fixture
def piece(by: By, tray: Spot) -> Piece:
    return dresser(by)


FORM: dict[str, Any] = {
    "name": "Sea chest", "kind": "chest", "front": "chest", "width": "36 in", "height": "900", "depth": "45 cm",
    "old_paint": "unknown",
}  # fmt: skip


def took_in(client: Client, **changes: Any) -> Any:
    return client.post(reverse("pieces:take-in"), {key: value for key, value in {**FORM, **changes}.items() if value})


def test_a_name_and_a_size_are_enough(client: Client, tray: Spot) -> None:
    """Lengths are read in the unit that stands beside them; bare numbers are millimetres in this shop."""
    answer = took_in(client)
    piece = Piece.objects.get()
    assert answer.headers["Location"] == reverse("pieces:piece", args=[piece.pk])
    assert (piece.width_mm, piece.height_mm, piece.depth_mm) == pytest.approx((36 * 25.4, 900, 450))
    assert piece.positions.count() > 0


@pytest.mark.parametrize(("answer", "painted"), [("unknown", True), ("yes", True), ("no", False)])
def test_unasked_paint_counts_as_paint(client: Client, tray: Spot, answer: str, painted: bool) -> None:
    """Only a plain "none" rules old paint out; "not sure" is what the form begins with."""
    form = client.get(reverse("pieces:take-in")).context["form"]
    assert form["old_paint"].value() == "unknown"
    took_in(client, old_paint=answer)
    assert Piece.objects.get().lead_unknown is painted


def test_all_that_the_form_asks_is_kept(client: Client, tray: Spot) -> None:
    """Photographs, faults, spot test, owner and promise come in together."""
    took_in(
        client, customer="the pilot's widow", promise="2031-05-01", woods="pine, elm", old_finish="wax", age="1890?",
        spot_liquid="alcohol", spot_result="softened", fault_0="loose joint", where_0="left foot", fault_2="odour",
        photos=[SimpleUploadedFile("a.jpg", jpeg()), SimpleUploadedFile("b.jpg", jpeg((1, 2, 3)))],
    )  # fmt: skip
    piece = Piece.objects.get()
    assert (piece.customer, str(piece.promise), piece.woods, piece.age) == (
        "the pilot's widow", "2031-05-01", "pine, elm", "1890?",
    )  # fmt: skip
    assert [(fault.kind, fault.where) for fault in piece.faults.all()] == [("loose joint", "left foot"), ("odour", "")]
    assert piece.spot_tests.get().result == "softened"
    assert piece.photos.count() == 2


def test_a_chosen_route_leads_on_to_its_cans(client: Client, tray: Spot, by: By) -> None:
    """With a route the next page asks for cans and coats, as the form said it would."""
    assert "Next: look the steps over and lay them out." in client.get(reverse("pieces:take-in")).content.decode()
    route = Route.objects.get(shop=by.shop, key="oil")
    answer = took_in(client, route=str(route.pk))
    piece = Piece.objects.get()
    assert answer.headers["Location"] == reverse("today:lay-out", args=[piece.pk]) + f"?route={route.pk}"


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"name": ""}, "This field is required"),
        ({"width": "3 3/5/8 in"}, "3 3/5/8 in"),
        ({"width": "-40 mm"}, "-40"),
        ({"height": "0 mm"}, "The height is 0 mm."),
        ({"depth": "1 km"}, "1 km"),
        ({"depth": "40 m"}, "between 10 and 6000 mm"),
        ({"height": "12 parsecs"}, "12 parsecs"),
        ({"kind": "spaceship"}, "spaceship is not one of the available choices"),
        ({"promise": "2020-02-02"}, "2020-02-02"),
        ({"old_paint": "maybe"}, "maybe is not one of the available choices"),
        ({"spot_liquid": "alcohol"}, "needs both the liquid and what it did"),
        ({"front": "none"}, "needs a photograph to put points on"),
        ({"photos": "a text, not a file", "front": "none"}, "needs a photograph"),
    ],
)
def test_bad_take_in_is_shown_again(client: Client, tray: Spot, wrong: dict[str, str], said: str) -> None:
    """What cannot be used comes back with its message and everything else as typed; no piece is made."""
    before = state_of_the_book()
    answer = took_in(client, **{"customer": "the pilot's widow", **wrong})
    assert answer.status_code == 200
    assert said in answer.content.decode()
    assert "the pilot&#x27;s widow" in answer.content.decode()
    assert state_of_the_book() == before


@pytest.mark.parametrize("name", sorted(path.stem for path in EXAMPLES.glob("*.toml")))
def test_piece_file_goes_in_and_comes_out_the_same(client: Client, tray: Spot, name: str) -> None:
    """A piece taken in from a file and saved as one again says the same, but for the photographs, which stay."""
    text, files = example(name)
    sent = {
        "file": SimpleUploadedFile(f"{name}.toml", text.encode()),
        "photos": [SimpleUploadedFile(file.rsplit("/", 1)[-1], data) for file, data in files.items()],
    }
    answer = client.post(reverse("pieces:take-in-file"), sent)
    piece = Piece.objects.get()
    assert answer.headers["Location"] == reverse("pieces:piece", args=[piece.pk])
    saved = client.get(reverse("pieces:piece-file", args=[piece.pk]))
    assert saved.headers["Content-Disposition"] == f'attachment; filename="{piece.number}.toml"'
    again, first = read_piece_file(saved.content.decode(), name="again"), read_piece_file(text, name=name)
    same = (
        "name",
        "kind",
        "width",
        "height",
        "depth",
        "woods",
        "front",
        "missing",
        "spot_tests",
        "customer",
        "promise",
    )
    assert {key: getattr(again, key) for key in same} == {key: getattr(first, key) for key in same}


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"[piece\nname = 1", "dresser.toml"),
        (b"\xff\xfe\x00nonsense", "is not a text in UTF-8"),
        (b'[piece]\nname = "X"\nkind = "spaceship"\nwidth = "1 m"\nheight = "1 m"\ndepth = "1 m"', "spaceship"),
        (b'[piece]\nname = "X"\nkind = "box"\nwidth = "-1 m"\nheight = "1 m"\ndepth = "1 m"', "width"),
        (b"#" * 1_100_000, "too large"),
    ],
)
def test_bad_piece_file_is_told_by_name(client: Client, tray: Spot, data: bytes, said: str) -> None:
    """A file that cannot be read says what is wrong in it, and nothing comes in."""
    before = state_of_the_book()
    answer = client.post(reverse("pieces:take-in-file"), {"file": SimpleUploadedFile("dresser.toml", data)})
    assert said in answer.content.decode()
    assert state_of_the_book() == before


def test_photograph_that_the_file_names_must_come_along(client: Client, tray: Spot) -> None:
    """A named photograph that was not sent stops the take-in."""
    before = state_of_the_book()
    text, _files = example("pine-dresser")
    answer = client.post(reverse("pieces:take-in-file"), {"file": SimpleUploadedFile("d.toml", text.encode())})
    assert "dresser-front.jpg is named, but it is not there" in answer.content.decode()
    assert state_of_the_book() == before


def front_as_shown(client: Client, piece: Piece) -> dict[str, Any]:
    """What the front's form sends when nothing on it is touched."""
    context = client.get(reverse("pieces:front", args=[piece.pk])).context
    form, rows = context["form"], context["rows"]
    sent = {name: form[name].value() for name in form.fields}
    sent |= {field.html_name: field.value() for field in rows.management_form}
    for row in rows:
        sent |= {field.html_name: field.value() for field in row}
    return as_sent(sent)


def test_front_left_alone_stays_the_same(client: Client, piece: Piece) -> None:
    """Sending the front's form back as it was changes no position."""
    before = list(piece.positions.values_list("code", "number", "x", "y"))
    rows = (piece.front or {})["rows"]
    client.post(reverse("pieces:front", args=[piece.pk]), front_as_shown(client, piece))
    piece.refresh_from_db()
    assert list(piece.positions.values_list("code", "number", "x", "y")) == before
    assert piece.front is not None
    assert piece.front["rows"] == rows


@pytest.mark.parametrize("name", sorted(ready_fronts()))
def test_every_ready_front_can_be_opened_and_kept(client: Client, tray: Spot, name: str) -> None:
    """No front that the take-in form offers is changed by opening it and sending it back."""
    took_in(client, front=name, width="1200", height="1900", depth="500")
    piece = Piece.objects.get()
    before = set(piece.positions.values_list("code", "name"))
    answer = client.post(reverse("pieces:front", args=[piece.pk]), front_as_shown(client, piece))
    assert answer.status_code == 302, answer.context["rows"].errors
    assert set(piece.positions.values_list("code", "name")) == before


def test_front_takes_a_further_row(client: Client, piece: Piece) -> None:
    """The last line of the form adds a row of one drawer below; its pull becomes a position."""
    sent = front_as_shown(client, piece)
    sent |= {"row-2-across": "1", "row-2-what": "drawer"}
    client.post(reverse("pieces:front", args=[piece.pk]), sent)
    piece.refresh_from_db()
    assert piece.front is not None
    assert len(piece.front["rows"]) == 3
    assert piece.positions.count() == 17


def test_front_keeps_what_has_been_worked_on(client: Client, piece: Piece, by: By, tray: Spot) -> None:
    """A row whose part was taken off cannot be taken out: the page names the position, nothing is changed."""
    position = piece.positions.get(code="left-drawer-pull")
    off(by, position, tray)
    before = state_of_the_book()
    answer = client.post(
        reverse("pieces:front", args=[piece.pk]), front_as_shown(client, piece) | {"row-0-DELETE": "on"}
    )
    assert "The new front has no left drawer, pull" in answer.content.decode()
    assert state_of_the_book() == before


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"row-0-across": "0"}, "greater than or equal to 1"),
        ({"row-0-across": "900"}, "less than or equal to"),
        ({"row-0-height": "a foot or so"}, "a foot or so"),
        ({"row-2-across": "2"}, "This field is required"),
        ({"row-2-what": "as drawn"}, "A new row cannot be"),
        ({"pulls": "9"}, "less than or equal to 4"),
        ({"hinges": "5"}, "less than or equal to 4"),
        ({"row-0-height": "0"}, "front.rows[0].height is 0.0"),
        ({"base_height": "90 m"}, "front.base.height is 90000.0"),
        ({"base": "stilts"}, "stilts is not one of the available choices"),
        ({"row-0-DELETE": "on", "row-1-DELETE": "on"}, "A front needs at least one row"),
    ],
)
def test_bad_front_is_shown_again(client: Client, piece: Piece, wrong: dict[str, str], said: str) -> None:
    """A front that cannot be drawn comes back with its message; the old one stays."""
    before = state_of_the_book()
    answer = client.post(reverse("pieces:front", args=[piece.pk]), front_as_shown(client, piece) | wrong)
    assert answer.status_code == 200
    assert said in answer.content.decode()
    assert state_of_the_book() == before


def test_a_tap_becomes_a_point(client: Client, by: By, tray: Spot) -> None:
    """A tap is a share of the photograph (160 × 120), whatever the width it was shown at; without a name it is numbered."""
    piece = take_in_example(by, "hall-stand")
    address = reverse("pieces:points", args=[piece.pk])
    client.post(address, {"name": "mirror screw", "kind": "other", "tap320.x": "80", "tap320.y": "60"})
    client.post(address, {"name": "brass rail", "kind": "rail", "tap680.x": "510", "tap680.y": "102"})
    found = piece.positions.filter(name__in=["mirror screw", "brass rail"]).values_list("name", "x", "y")
    assert list(found) == [("mirror screw", 0.25, 0.25), ("brass rail", 0.75, pytest.approx(0.2))]
    assert "brass rail" in client.get(address).content.decode()
    for x in ("100", "120"):
        client.post(address, {"name": "", "kind": "lock", "tap320.x": x, "tap320.y": "60"})
    assert set(piece.positions.filter(kind="lock").values_list("name", flat=True)) == {"lock 1", "lock 2"}


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"kind": ""}, "This field is required"),
        ({"kind": "whim"}, "whim is not one of the available choices"),
        ({"tap320.y": "9999"}, "lies beside the photograph"),
        ({"tap320.y": "up"}, "That tap had no place"),
        ({"name": "drip tray"}, "needs a name of its own"),
    ],
)
def test_bad_point_is_shown_again(client: Client, by: By, tray: Spot, wrong: dict[str, str], said: str) -> None:
    """A point without a kind or a place, or with a name that is taken, comes back with its message."""
    piece = take_in_example(by, "hall-stand")
    before = state_of_the_book()
    sent = {"name": "mirror screw", "kind": "other", "tap320.x": "80", "tap320.y": "60"} | wrong
    answer = client.post(reverse("pieces:points", args=[piece.pk]), sent)
    assert said in answer.content.decode()
    assert state_of_the_book() == before


def test_a_piece_without_a_front_goes_on_to_its_points(client: Client, tray: Spot) -> None:
    """Taken in with "none of these" and a photograph, the next page puts points on it; another may be chosen."""
    answer = took_in(client, front="none", photos=SimpleUploadedFile("a.jpg", jpeg()))
    piece = Piece.objects.get()
    points = reverse("pieces:points", args=[piece.pk])
    assert answer.headers["Location"] == points
    first = piece.free_photo
    client.post(points, {"photo": SimpleUploadedFile("b.jpg", jpeg((7, 7, 7)))})
    piece.refresh_from_db()
    assert piece.free_photo != first
    before = state_of_the_book()
    answer = client.post(points, {})
    assert "No photograph came with the form" in answer.content.decode()
    assert state_of_the_book() == before


def test_only_a_piece_without_a_front_has_points(client: Client, piece: Piece, by: By) -> None:
    """The front's page of a piece without one leads to its points."""
    bare = take_in_example(by, "hall-stand")
    assert client.get(reverse("pieces:front", args=[bare.pk])).headers["Location"] == reverse(
        "pieces:points", args=[bare.pk]
    )
    before = state_of_the_book()
    answer = client.post(reverse("pieces:points", args=[piece.pk]), {"photo": SimpleUploadedFile("b.jpg", jpeg())})
    assert "has a front" in answer.content.decode()
    assert state_of_the_book() == before
