"""The page of a piece's areas: groups with their working, the sum of those ticked, and the way on to litres."""

from __future__ import annotations

import re
from urllib.parse import parse_qs, urlsplit

import pytest
from django.test import Client
from django.urls import reverse
from tests.drawers.pieces.pieces_made import take_in_example

from tallboy.book.doing import By
from tallboy.book.models import Shop
from tallboy.drawers.pieces.models import Piece


def page(client: Client, piece: Piece, **query: str | list[str]) -> str:
    answer = client.get(reverse("pieces:areas", args=[piece.pk]), query)
    assert answer.status_code == 200
    return answer.content.decode()


def total(text: str) -> float:
    """What the link to the litres carries [m²]."""
    link = re.search(r'href="(/sums/litres/[^"]*)"', text)
    assert link is not None
    return float(parse_qs(urlsplit(link[1].replace("&amp;", "&")).query)["area"][0].removesuffix(" m²"))


def test_the_piece_leads_to_its_areas(client: Client, piece: Piece) -> None:
    """And back again."""
    address = reverse("pieces:areas", args=[piece.pk])
    assert address in client.get(reverse("pieces:piece", args=[piece.pk])).content.decode()
    assert reverse("pieces:piece", args=[piece.pk]) in page(client, piece)


def test_real_drawers_and_doors_stand_in_it(client: Client, piece: Piece) -> None:
    """Each by its name and its size of the drawing, with what is left out and taken for granted."""
    text = page(client, piece)
    for words in ("Drawer fronts", "375 mm × 170 mm", "left door", "both faces, four edges", "five faces"):
        assert words in text
    for words in ("the underside", "shelves behind doors", "doors 20 mm thick", "good to about 10 %"):
        assert words in text


def test_the_usual_surfaces_are_added_up(client: Client, piece: Piece) -> None:
    """All that shows when it is shut: top, sides, frame, fronts, doors and feet, a tenth to either side."""
    text = page(client, piece)
    assert total(text) == pytest.approx(0.608 + 0.706 + 0.097 + 0.191 + 1.4 + 0.126, abs=0.005)
    assert "area_off=10" in text
    assert "2.82 m² to 3.44 m²" in text


def test_what_is_ticked_is_added_up(client: Client, piece: Piece) -> None:
    """The top and the inside alone; a group that the piece has not is passed over."""
    text = page(client, piece, of=["top", "inside", "trays"])
    assert total(text) == pytest.approx(0.608 + 2.199, abs=0.005)
    assert len(re.findall(r'name="of"[^>]*checked', text)) == 2


def test_mouldings_and_turnings_are_added(client: Client, piece: Piece) -> None:
    """Girth by run, and girth by length by how many; they are no longer said to be missing."""
    text = page(
        client, piece, of=["top"], moulding_girth="60 mm", moulding_run="2.4 m", turning_girth="12 cm", turning_length="700 mm", turning_count="4",
    )  # fmt: skip
    assert total(text) == pytest.approx(0.608 + 0.144 + 4 * 0.084, abs=0.005)
    assert "Turned legs" in text
    assert "carving, the underside" in text


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ({"moulding_girth": "60 mm"}, "belong together"), ({"turning_length": "60 mm"}, "belong together"),
        ({"moulding_girth": "wide", "moulding_run": "1 m"}, "cannot be read"), ({"of": "roof"}, "not one of the available"),
        ({"turning_girth": "9 m", "turning_length": "1 m"}, "between 0 and 4000"), ({"turning_count": "0"}, "greater than or equal to 1"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_told_and_the_rest_stands(
    client: Client, piece: Piece, query: dict[str, str], words: str
) -> None:
    """At its field, while the areas are shown without it."""
    text = page(client, piece, **query)
    assert words in text
    assert total(text) > 3


def test_a_chair_and_a_free_drawing(client: Client, by: By, piece: Piece) -> None:
    """A chair's back shows and counts, good to a fifth; without a front it is a plain case."""
    chair = page(client, take_in_example(by, "kitchen-chair"))
    assert "good to about 20 %" in chair
    assert total(chair) == pytest.approx(0.436 + 0.281 + 0.445, abs=0.005)
    stand = page(client, take_in_example(by, "hall-stand"))
    assert "a plain case" in stand


def test_a_shop_in_inches(client: Client, by: By, piece: Piece) -> None:
    """Sizes and areas as the shop speaks; the link keeps square metres, which mean the same everywhere."""
    metric = total(page(client, piece))
    Shop.objects.filter(pk=by.shop.pk).update(units="imperial")
    text = page(client, piece, of=["top"], moulding_girth="2", moulding_run="40")
    assert "ft²" in text
    assert "14 3/4 in × 6 11/16 in" in text
    assert total(text) == pytest.approx(0.608 + 2 * 40 * 0.0254**2, abs=0.005)
    assert total(page(client, piece)) == pytest.approx(metric)
