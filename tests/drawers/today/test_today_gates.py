"""Every address of Today and of steps: what it answers, and that nothing of another shop is shown or changed."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from django.test import Client
from tests.drawers.pieces.pieces_made import state_of_the_book
from tests.drawers.today.pages_made import address
from tests.drawers.today.today_made import chair, step

from tallboy.book.doing import By
from tallboy.drawers.pieces.actions.deliveries import expect
from tallboy.drawers.pieces.models import Piece
from tallboy.drawers.today.run.runs import begin_run
from tallboy.drawers.today.urls import urlpatterns

LOOK, ACT, BOTH = "get", "post", "both"


# Address by address: whose number it takes, and which methods it answers.
ADDRESSES = {
    "today": ("", LOOK), "plan": ("", LOOK), "plan-again": ("", ACT), "day-sheet": ("", LOOK),
    "lead-test": ("piece", BOTH), "steps": ("piece", LOOK), "lay-out": ("piece", BOTH), "add-step": ("piece", BOTH),
    "step": ("step", LOOK), "start": ("step", ACT), "pause": ("step", ACT), "done": ("step", ACT),
    "not-now": ("step", ACT), "skip": ("step", ACT), "again": ("step", ACT), "minutes": ("step", ACT),
    "note": ("step", ACT), "photo": ("step", ACT), "touch": ("step", ACT),
    "plan-improve": ("", ACT), "plan-run": ("run", LOOK), "plan-run-stop": ("run", ACT), "plan-ics": ("", LOOK),
    "what-if": ("", LOOK), "rescue": ("", LOOK), "sure": ("", LOOK),
    "plan-month": ("", LOOK), "plan-day": ("day", LOOK), "why": ("step", LOOK), "path": ("piece", LOOK),
    "needs": ("step", BOTH), "deliveries": ("", LOOK), "expect": ("", BOTH), "expected-on": ("delivery", BOTH),
    "came": ("delivery", ACT), "call-off": ("delivery", ACT),
}  # fmt: skip


NUMBERED = {name: row for name, row in ADDRESSES.items() if row[0] not in ("", "day")}


NOBODYS = 10**9


A_DAY = "2026-03-12"


BEYOND_ANY_DATABASE = 10**30


OpenAt = Callable[[By], Client]


@pytest.fixture(autouse=True)
def quick(settings: Any) -> None:
    settings.PLAN_SECONDS = 0.3


def ask(client: Client, name: str, number: int | str | None, method: str) -> int:
    """The status that an address answers."""
    return int(getattr(client, method)(address(name, *([] if number is None else [number]))).status_code)


def numbers_of(by: By, piece: Piece) -> dict[str, int | str | None]:
    """A number of each kind that an address can take, all of one shop."""
    sand = step(piece, "Sand")
    coming = expect(by, "Sanding belts", date(2026, 3, 17), step=sand)
    run = begin_run(by, 5)
    return {"": None, "piece": piece.pk, "step": sand.pk, "run": run.pk, "day": A_DAY, "delivery": coming.pk}


def test_every_address_is_in_the_table() -> None:
    """A new page cannot be forgotten by the tests below."""
    assert {pattern.name for pattern in urlpatterns} == set(ADDRESSES)


@pytest.mark.parametrize("number", [NOBODYS, BEYOND_ANY_DATABASE])
@pytest.mark.parametrize("name", NUMBERED)
def test_unknown_number_is_not_found(client: Client, by: By, name: str, number: int) -> None:
    """A number that nobody has is a page in plain words with the status 404."""
    methods = {LOOK: ["get"], ACT: ["post"], BOTH: ["get", "post"]}[ADDRESSES[name][1]]
    assert [ask(client, name, number, method) for method in methods] == [404] * len(methods)


@pytest.mark.parametrize("name", NUMBERED)
def test_another_shops_row_is_not_found(client_at: OpenAt, by: By, stranger: By, name: str) -> None:
    """What belongs to another shop is neither shown nor changed: 404, as if it were not there."""
    piece = chair(stranger)
    number = numbers_of(stranger, piece)[ADDRESSES[name][0]]
    before = state_of_the_book()
    methods = {LOOK: ["get"], ACT: ["post"], BOTH: ["get", "post"]}[ADDRESSES[name][1]]
    assert [ask(client_at(by), name, number, method) for method in methods] == [404] * len(methods)
    assert state_of_the_book() == before


@pytest.mark.parametrize("name", [name for name, row in ADDRESSES.items() if row[1] != BOTH])
def test_wrong_method_is_refused(client_at: OpenAt, by: By, name: str) -> None:
    """Nothing changes by following a link; nothing that is only shown takes a form."""
    piece = chair(by)
    number = numbers_of(by, piece)[ADDRESSES[name][0]]
    wrong = "get" if ADDRESSES[name][1] == ACT else "post"
    assert ask(client_at(by), name, number, wrong) == 405
