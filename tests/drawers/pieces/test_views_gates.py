"""What every page of the drawer refuses: rows that do not exist, rows of another shop, methods it does not take."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse
from tests.drawers.pieces.pieces_made import dresser, furnish, off, state_of_the_book

from tallboy.book.doing import By
from tallboy.drawers.pieces.models import Route
from tallboy.drawers.pieces.urls import urlpatterns

LOOK, ACT, BOTH = "get", "post", "both"
# Address by address: whose number it takes, and which methods it answers.
ADDRESSES = {
    "pieces": ("", LOOK), "handed-over": ("", LOOK), "take-in": ("", BOTH), "take-in-file": ("", BOTH),
    "piece": ("piece", LOOK), "edit": ("piece", BOTH), "areas": ("piece", LOOK), "front": ("piece", BOTH), "points": ("piece", BOTH),
    "elevation": ("piece", LOOK), "piece-file": ("piece", LOOK), "add-fault": ("piece", BOTH),
    "add-spot-test": ("piece", BOTH), "add-note": ("piece", ACT),
    "add-photo": ("piece", BOTH), "take-down": ("piece", LOOK), "put-back": ("piece", LOOK),
    "hand-over": ("piece", ACT), "papers": ("piece", LOOK), "tags": ("piece", ACT),
    "take-down-record": ("piece", LOOK), "put-back-list": ("piece", LOOK), "position": ("position", BOTH),
    "missing": ("position", ACT), "leave-empty": ("position", BOTH), "stand-in": ("position", LOOK),
    "part": ("part", LOOK), "describe": ("part", ACT), "lay": ("part", ACT), "fit": ("part", ACT),
    "gone": ("part", ACT), "tag": ("number", LOOK), "routes": ("", LOOK), "route": ("route", BOTH),
    "copy-route": ("route", ACT),
}  # fmt: skip
NUMBERED = {name: row for name, row in ADDRESSES.items() if row[0]}
NOBODYS = 10**9


def test_every_address_is_in_the_table() -> None:
    """A new page cannot be forgotten by the tests below."""
    assert {pattern.name for pattern in urlpatterns} == set(ADDRESSES)


def ask(client: Client, name: str, number: int | None, method: str) -> int:
    """The status that an address answers."""
    address = reverse(f"pieces:{name}", args=[] if number is None else [number])
    return int(getattr(client, method)(address).status_code)


@pytest.mark.parametrize("name", NUMBERED)
def test_unknown_number_is_not_found(client: Client, by: By, name: str) -> None:
    """A number that nobody has is a page in plain words with the status 404."""
    methods = {LOOK: ["get"], ACT: ["post"], BOTH: ["get", "post"]}[ADDRESSES[name][1]]
    assert [ask(client, name, NOBODYS, method) for method in methods] == [404] * len(methods)


@pytest.mark.parametrize("name", NUMBERED)
def test_another_shops_row_is_not_found(client: Client, by: By, stranger: By, name: str) -> None:
    """What belongs to another shop is neither shown nor changed: 404, as if it were not there."""
    tray = furnish(stranger)
    piece = dresser(stranger)
    position = piece.positions.first()
    assert position is not None
    part = off(stranger, position, tray)
    route = Route.objects.filter(shop=stranger.shop).first()
    assert route is not None
    numbers = {"piece": piece.pk, "position": position.pk, "part": part.pk, "number": part.number, "route": route.pk}
    whose, takes = ADDRESSES[name]
    before = state_of_the_book()
    methods = {LOOK: ["get"], ACT: ["post"], BOTH: ["get", "post"]}[takes]
    assert [ask(client, name, numbers[whose], method) for method in methods] == [404] * len(methods)
    assert state_of_the_book() == before


@pytest.mark.parametrize("name", ADDRESSES)
def test_wrong_method_is_refused(client: Client, by: By, name: str) -> None:
    """A page answers only the methods it is for."""
    whose, takes = ADDRESSES[name]
    number = NOBODYS if whose else None
    wrong = {LOOK: ["post", "put", "delete"], ACT: ["get", "put", "delete"], BOTH: ["put", "delete"]}[takes]
    assert [ask(client, name, number, method) for method in wrong] == [405] * len(wrong)
