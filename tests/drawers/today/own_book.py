"""Programs that run as processes of their own on a book of their own: no test's transaction is around what they do."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import psycopg


@contextmanager
def own_database(name: str) -> Iterator[dict[str, str]]:
    """A fresh database of the kind that the tests run on: a file in the book's folder, or one on the same server."""
    server = os.environ.get("TALLBOY_TEST_DATABASE_URL")
    if server is None:
        yield {}
        return
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
        yield {"DATABASE_URL": urlsplit(server)._replace(path=f"/{name}").geturl()}
        connection.execute(f"DROP DATABASE {name} WITH (FORCE)")


def run_program(program: str, book: Path, database: dict[str, str]) -> subprocess.CompletedProcess[str]:
    """Run a program on that book, with no other setting."""
    environ = {key: value for key, value in os.environ.items() if not key.startswith(("TALLBOY_", "DATABASE_"))}
    return subprocess.run(
        [sys.executable, "-c", program],
        env={**environ, "TALLBOY_BOOK": str(book), **database},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )


def told(done: subprocess.CompletedProcess[str]) -> dict[str, Any]:
    """What a program that went well has told: its last line, as JSON."""
    assert (done.returncode, done.stderr) == (0, "")
    found: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return found
