"""The desk with two made-up sums beside the real ones."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest
from tests.desk.desk_made import EVERY_KIND, REFUSES

from tallboy.workings import known

if TYPE_CHECKING:
    from django.test import Client

    from tallboy.book.doing import By


@pytest.fixture
def client(by: By, client_at: Callable[[By], Client]) -> Client:
    """A browser with the shop's book open."""
    return client_at(by)


@pytest.fixture
def made_up(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two more sums."""
    real = known.all_workings()
    monkeypatch.setattr(known, "all_workings", lambda: {**real, EVERY_KIND.name: EVERY_KIND, REFUSES.name: REFUSES})
