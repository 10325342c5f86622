"""When the database is busy, full or away, every page says so in plain words and with the right code."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.db import InterfaceError, OperationalError
from django.test import Client

from tallboy.book import actions, queries
from tallboy.book.doing import By
from tallboy.book.models import Journal
from tallboy.web.middleware import POLICY

SAID = 'connection to server at "10.1.2.3", user "keeper" failed'


@pytest.fixture
def client(by: By, client_at: Callable[[By], Client]) -> Client:
    return client_at(by)


def raises(error: Exception) -> Callable[..., object]:
    """A function that only raises this."""

    def function(*_args: object, **_kwargs: object) -> object:
        raise error

    return function


@pytest.mark.parametrize("error", [OperationalError(SAID), InterfaceError(SAID)])
@pytest.mark.parametrize("place", ["before the page", "while the page is made"])
def test_a_page_of_a_book_that_does_not_answer(
    client: Client, monkeypatch: pytest.MonkeyPatch, error: Exception, place: str
) -> None:
    """Code 503 and what to do; what the database said is for the log alone."""
    monkeypatch.setattr(queries, "person_for" if place == "before the page" else "week", raises(error))
    answer = client.get("/shop/")
    text = answer.content.decode()
    assert answer.status_code == 503
    assert answer.headers["Content-Security-Policy"] == POLICY
    assert "The book cannot be reached just now" in text
    assert "keeper" not in text
    assert "Traceback" not in text


def test_a_change_that_finds_the_book_busy(client: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing of it is kept."""
    rows = Journal.objects.count()
    monkeypatch.setattr(actions, "add_place", raises(OperationalError("database is locked")))
    answer = client.post("/shop/places/", {"name": "loft", "kind": "bench"})
    assert answer.status_code == 503
    assert "Nothing of this was kept" in answer.content.decode()
    assert Journal.objects.count() == rows
