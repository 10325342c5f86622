"""The `tallboy` command as a process of its own, on a book of its own."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import pytest

FOUND_A_SHOP = """
import argparse
from tallboy.cli.start import open_tables
open_tables(argparse.Namespace(book=None))
from django.utils import timezone
from tallboy.drawers.today.opening import open_shop
open_shop(name="Quay Bench", person="Ines", at=timezone.now(), timezone="Europe/Lisbon")
"""


@dataclass(frozen=True)
class Said:
    """What a command ended with and said."""

    code: int
    out: str
    err: str


Tallboy = Callable[..., Said]


def clean_environment(book: Path | None = None) -> dict[str, str]:
    """The environment with no setting of tallboy but the book's folder."""
    ours = ("TALLBOY_", "DJANGO_", "DATABASE_")
    environ = {name: value for name, value in os.environ.items() if not name.startswith(ours)}
    return environ if book is None else environ | {"TALLBOY_BOOK": str(book)}


def run_python(*arguments: str, book: Path | None = None, **more: str) -> Said:
    """Run this Python with a clean environment: no setting of tallboy but the book's folder and those given."""
    environ = clean_environment(book) | more
    done = subprocess.run(
        [sys.executable, *arguments],
        env=environ,
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=120,
        check=False,
    )
    return Said(done.returncode, done.stdout, done.stderr)


@pytest.fixture(scope="package")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a book with one shop in it."""
    folder = tmp_path_factory.mktemp("cli") / "book"
    done = run_python("-c", FOUND_A_SHOP, book=folder)
    assert done == Said(0, "", "")
    return folder


@pytest.fixture
def tallboy(book: Path) -> Tallboy:
    """Run a command on that book."""
    return lambda *arguments: run_python("-m", "tallboy", *map(str, arguments), book=book)


@dataclass(frozen=True)
class Contents:
    """All that a book holds: its database as SQL, and its photographs."""

    database: tuple[str, ...]
    photos: tuple[str, ...]


def contents(book: Path) -> Contents:
    """Read the book behind the program's back."""
    with closing(sqlite3.connect(book / "book.sqlite3")) as database:
        rows = tuple(database.iterdump())
    files = [file for file in (book / "photos").rglob("*") if file.is_file()]
    return Contents(rows, tuple(sorted(str(file.relative_to(book)) for file in files)))
