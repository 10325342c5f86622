"""The drawing on a page: half the weight, the same looks, and never too heavy even for a chest full of fittings."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import translation
from tests.drawers.pieces.pieces_made import dresser, furnish, off

import tallboy.web
from tallboy.book.doing import By
from tallboy.drawers.pieces import drawing, queries
from tallboy.drawers.pieces.actions.intake import take_in
from tallboy.drawers.pieces.drawing import drawn, lean
from tallboy.drawers.pieces.models import Piece
from tallboy.front.kinds import Base, Drawer, DrawerFit, Front, Row
from tallboy.front.svg import INK, LOOKS, OXIDE, PAPER, RULE, SHEET, SOFT
from tallboy.front.takein import TakeIn

STATIC = Path(tallboy.web.__file__).parent / "static"
STYLE = re.sub(r"/\*.*?\*/", "", (STATIC / "pieces.css").read_text(encoding="utf-8"), flags=re.S)
COLOURS = {SHEET: "var(--sheet)", PAPER: "var(--paper)", INK: "var(--ink)", SOFT: "var(--soft)", RULE: "var(--rule)",
           OXIDE: "var(--oxide)"}  # fmt: skip
HEAVIEST = 100_000


def styled(look: str) -> dict[str, str]:
    """What the style sheet says of a class of the drawing; later rules win, as all of them are equally strong."""
    found: dict[str, str] = {}
    for selector, body in re.findall(r"(\.el [^{}]+)\{([^}]*)\}", STYLE):
        if re.search(rf"\.{look}(?![a-z-])", selector) and ":hover" not in selector:
            found |= {key.strip(): value.strip() for key, value in re.findall(r"([a-z-]+):([^;]+);", body)}
    return found


@pytest.mark.parametrize("look", LOOKS)
def test_style_sheet_says_what_a_drawing_alone_says(look: str) -> None:
    """What is left out of a drawing on a page stands in the style sheet: same lines, dashes and, by day, colours."""
    said = styled(look)
    for key, value in LOOKS[look].items():
        if key == "font-family":
            continue
        expected = COLOURS.get(str(value), str(value))
        assert said.get(key, "none" if key in ("fill", "stroke") else "") == re.sub(r"\b0(?=\.)", "", expected), key


def test_lean_drawing_keeps_shapes_links_and_words(piece: Piece) -> None:
    """Every shape, number, link and title of the drawing is still there at no more than six tenths of the weight."""
    drawing = drawn(piece, queries.position_lines(piece), links=True)
    assert drawing is not None
    light = lean(drawing.svg)
    assert len(light) < 0.6 * len(drawing.svg)
    for pattern in (
        r"<(?:rect|path|circle|ellipse|text)\b",
        r' href="[^"]*"',
        r"<title>[^<]*</title>",
        r' d="[^"]*"',
        r">[^<]+</text>",
    ):
        assert re.findall(pattern, light) == re.findall(pattern, drawing.svg)
    assert 'aria-label="Front elevation of' in light


def test_lean_drawing_keeps_a_line_of_its_own(piece: Piece, by: By) -> None:
    """An element thinner than its class says stays so, in the drawing and in the style sheet."""
    position = piece.positions.first()
    assert position is not None
    off(by, position, queries.spots_for_parts(by.shop)[0])
    drawing = drawn(piece, queries.position_lines(piece), links=True)
    assert drawing is not None
    assert re.search(r'<circle class="el-pos" stroke-width="0.26" cx=', lean(drawing.svg))
    assert ".el .el-pos:not([stroke-width])" in STYLE


@pytest.fixture
def map_chest(by: By) -> Piece:
    """Twenty drawers with two pulls and an escutcheon each: sixty-four positions, all off."""
    tray = furnish(by)
    rows = tuple(Row(tuple(Drawer() for _ in range(4)), None) for _ in range(5))
    front = Front(rows, base=Base("feet", 90.0), drawers=DrawerFit(2, "bail pull", True, False))
    piece = take_in(by, TakeIn("Map chest", "chest", 1600.0, 1000.0, 500.0, front=front))
    for position in piece.positions.all():
        off(by, position, tray)
    return piece


def weight(client: Client, address: str) -> int:
    """A page with the style sheets and scripts that it names [bytes]."""
    page: str = client.get(address).content.decode()
    files: list[str] = re.findall(r'<(?:link rel="stylesheet" href|script src)="/static/([^"]+)"', page)
    assert "tallboy.css" in files
    return len(page.encode()) + sum((STATIC / name).stat().st_size for name in files)


@pytest.mark.parametrize("name", ["piece", "take-down", "put-back", "papers", "front"])
def test_pages_of_a_full_chest_stay_light(client: Client, map_chest: Piece, name: str) -> None:
    """Markup, style and script of every page with sixty-four positions weigh 100 kB at most."""
    assert weight(client, reverse(f"pieces:{name}", args=[map_chest.pk])) <= HEAVIEST


def test_forms_stay_light(client: Client, by: By) -> None:
    """So do the take-in form and the longest route."""
    furnish(by)
    routes = queries.routes_of(by.shop)
    longest = max(routes, key=lambda route: len(route.body["steps"]))
    assert weight(client, reverse("pieces:take-in")) <= HEAVIEST
    assert weight(client, reverse("pieces:route", args=[longest.pk])) <= HEAVIEST


@pytest.mark.parametrize("name", ["piece", "take-down", "put-back"])
def test_a_full_chest_takes_no_more_queries(client: Client, map_chest: Piece, by: By, name: str) -> None:
    """The number of questions to the database does not grow with the number of positions."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    counts = []
    for one in (dresser(by), map_chest):
        with CaptureQueriesContext(connection) as asked:
            client.get(reverse(f"pieces:{name}", args=[one.pk]))
        counts.append(len(asked))
    assert max(counts) <= 35
    assert counts[1] <= counts[0] + 1


def test_drawing_speaks_the_language_of_the_page(piece: Piece, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its words go through the translation, and a drawing kept from a page in another language is not shown again."""
    lines = queries.position_lines(piece)
    assert "Front elevation of Pine dresser" in drawing.elevation_svg(piece, lines, links=False)
    monkeypatch.setattr(drawing, "gettext", lambda text: text.replace("Front elevation of", "Vista de"))
    with translation.override("pt"):
        assert "Vista de Pine dresser" in drawing.elevation_svg(piece, lines, links=False)
