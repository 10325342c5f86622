"""From the pages of a shop at work to the sums: every link brings inputs that the sum takes."""

from __future__ import annotations

import html
import re
from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse
from tests.drawers.pieces.pieces_made import dresser
from tests.moments import MORNING

from tallboy.book.doing import By
from tallboy.demo.shop import make_demo
from tallboy.drawers.pieces.models import ClockEntry, Part, Piece, Position
from tallboy.drawers.shelf.models import Product
from tallboy.drawers.soaks.models import Vessel

ANSWERED = {"dew-point", "may-coat", "wood-moisture", "coat-wait", "job-price"}
"""Sums whose link brings all that they need."""


@pytest.fixture
def demo(db: None, client_at: Callable[[By], Client]) -> Client:
    """A browser in the demo shop, with one more piece whose parts are all still on."""
    by = make_demo(MORNING)
    dresser(by)
    return client_at(by)


def _pages() -> list[str]:
    """One page of each sort that leads to sums; each product, because labels differ."""
    worked = ClockEntry.objects.order_by("pk").values_list("step__piece", flat=True)[0]
    on_the_piece = Position.objects.filter(screws__gt=0, missing_at_take_in=False, came_off__isnull=True)
    return [
        reverse("air:air"),
        *(reverse("shelf:product", args=[pk]) for pk in Product.objects.values_list("pk", flat=True)),
        reverse("pieces:piece", args=[Piece.objects.order_by("pk")[0].pk]),
        reverse("pieces:position", args=[on_the_piece.order_by("pk")[0].pk]),
        reverse("pieces:part", args=[Part.objects.filter(screws__gt=0).order_by("pk")[0].pk]),
        reverse("soaks:soaks"),
        reverse("soaks:vessel", args=[Vessel.objects.order_by("pk")[0].pk]),
        reverse("ledger:piece", args=[worked]),
    ]


def _links(client: Client, address: str) -> set[str]:
    answer = client.get(address)
    assert answer.status_code == 200
    return {html.unescape(link) for link in re.findall(r'href="(/sums/[^"]+)"', answer.content.decode())}


def test_every_link_brings_what_the_sum_takes(demo: Client) -> None:
    """No error of its own making; with the air and the label known, some are answered at once."""
    links = set()
    for address in _pages():
        found = _links(demo, address)
        assert found, address
        links |= found
    answered = set()
    for link in links:
        text = demo.get(link).content.decode()
        assert "errorlist" not in text, link
        if "answer-title" in text:
            answered.add(link.split("/")[2])
    assert answered >= ANSWERED
