"""Fixtures for every test: a book in a temporary folder, a shop on a quay, and who acts in it."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

# Before Django reads its settings: tests never touch anybody's own book.
_FOLDER = tempfile.mkdtemp(prefix="tallboy-test-")
os.environ["TALLBOY_BOOK"] = _FOLDER
if "TALLBOY_TEST_DATABASE_URL" in os.environ:
    os.environ["DATABASE_URL"] = os.environ["TALLBOY_TEST_DATABASE_URL"]
else:
    os.environ.pop("DATABASE_URL", None)

LISBON = ZoneInfo("Europe/Lisbon")
MORNING = datetime(2026, 3, 12, 9, 0, tzinfo=LISBON)


@pytest.fixture()
def by(db: None) -> object:
    """Who acts: the first person of a fresh shop on the quay, on a Thursday morning in March."""
    from tallboy.book.actions import found_shop

    return found_shop("Quay Bench", "Ines", MORNING, timezone="Europe/Lisbon")


@pytest.fixture()
def stranger(db: None) -> object:
    """Who acts in another shop of the same database."""
    from tallboy.book.actions import found_shop

    return found_shop("Hill Bench", "Rui", MORNING, timezone="Europe/Lisbon")


@pytest.fixture()
def book_folder() -> Iterator[Path]:
    """The folder of the book that the tests share."""
    yield Path(_FOLDER)
