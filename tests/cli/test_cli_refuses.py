"""What a command cannot do it says in plain words, with the exit code for it, and the book stays as it was."""

from __future__ import annotations

import json
import socket
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.cli.conftest import Contents, Tallboy, contents, run_python

TROLLEY = """
[piece]
name = "Tea trolley"
kind = "trolley"
width = "600 mm"
height = "700 mm"
depth = "400 mm"

[front]
ready = "trolley"
"""
SWAPPED = """time;temperature °C;humidity %
2026-03-12 09:00;62;17,5
2026-03-12 09:30;61;17,8
2026-03-12 10:00;60;18,1
"""


@pytest.fixture
def as_before(book: Path) -> Iterator[Contents]:
    """The book before a command; afterwards it must be the same, row by row and file by file."""
    before = contents(book)
    yield before
    assert contents(book) == before


def _file(folder: Path, text: str, name: str = "piece.toml") -> Path:
    file = folder / name
    file.write_text(text, encoding="utf-8")
    return file


@pytest.mark.usefixtures("as_before")
@pytest.mark.parametrize(
    ("slip", "says"),
    [
        (('"Tea trolley"', '"Tea trolley'), ["piece.toml, line 3", "this is not TOML"]),
        (('"trolley"', '"boat"'), ["'boat'", "trolley"]),
        (('"600 mm"', '"-600 mm"'), ["-600"]),
        (('"600 mm"', '"3 3/5/8 in"'), ["3 3/5/8 in"]),
        (("[piece]", "promise = 2020-02-29\n[piece]"), ["The promise is 2020-02-29, which is past.", "or later"]),
    ],
    ids=["broken TOML", "unknown kind", "negative size", "two fractions", "promise in the past"],
)
def test_a_piece_file_with_a_slip_takes_nothing_in(
    tallboy: Tallboy, tmp_path: Path, slip: tuple[str, str], says: list[str]
) -> None:
    """Code 2; the message names what is wrong and what would be right."""
    assert slip[0] in TROLLEY
    done = tallboy("take-in", _file(tmp_path, TROLLEY.replace(*slip)))
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith("tallboy: ")
    assert [text for text in says if text not in done.err] == []
    assert "Traceback" not in done.err


@pytest.mark.usefixtures("as_before")
def test_a_piece_file_that_is_not_there(tallboy: Tallboy, tmp_path: Path) -> None:
    """Code 3, and which file."""
    done = tallboy("take-in", tmp_path / "nothing.toml")
    assert (done.code, done.out) == (3, "")
    assert done.err == f"tallboy: There is no file {tmp_path / 'nothing.toml'}.\n"


@pytest.mark.usefixtures("as_before")
def test_a_loggers_file_with_swapped_columns(tallboy: Tallboy, tmp_path: Path) -> None:
    """Code 2; it is noticed, said, and asked about; not one reading is taken in."""
    done = tallboy("air", "import", _file(tmp_path, SWAPPED, "logger.csv"))
    assert (done.code, done.out) == (2, "")
    assert "they look swapped, so nothing was taken in" in done.err


@pytest.mark.usefixtures("as_before")
def test_a_port_that_is_taken(tallboy: Tallboy) -> None:
    """Code 5, which port, and what to do about it."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        done = tallboy("open", "--no-browser", "--port", port)
    assert (done.code, done.out) == (5, "")
    assert f"Port {port} on this machine cannot be used" in done.err
    assert "Name another with --port." in done.err


@pytest.mark.usefixtures("as_before")
@pytest.mark.parametrize("below", ["", "book"], ids=["a file", "below a file, where nobody can write"])
def test_a_book_that_cannot_be_one(tallboy: Tallboy, tmp_path: Path, below: str) -> None:
    """Code 5; the file that was named by mistake is left alone."""
    file = _file(tmp_path, "my notes", "notes.txt")
    done = tallboy("today", "--book", file / below)
    assert (done.code, done.out) == (5, "")
    assert f"The book's folder {file / below} cannot be used" in done.err
    assert "Name another with --book DIR" in done.err
    assert file.read_text(encoding="utf-8") == "my notes"


def test_a_book_without_a_shop_says_how_to_begin(tmp_path: Path) -> None:
    """Code 3, and the two ways to go on."""
    done = run_python("-m", "tallboy", "today", book=tmp_path / "new")
    assert (done.code, done.out) == (3, "")
    assert (
        done.err
        == "tallboy: This book has no shop in it yet.\nRun `tallboy open` and give it a name, or `tallboy demo`.\n"
    )


def test_the_same_file_without_the_slip_is_taken_in_and_the_book_holds(
    tallboy: Tallboy, book: Path, tmp_path: Path
) -> None:
    """So that none of the refusals above is for another reason; and `check` finds every rule kept."""
    done = tallboy("take-in", _file(tmp_path, TROLLEY), "--json")
    assert (done.code, done.err) == (0, "")
    assert json.loads(done.out)["name"] == "Tea trolley"
    checked = tallboy("check", "--json")
    assert (checked.code, checked.err) == (0, "")
    results = json.loads(checked.out)
    assert results
    assert all(result["holds"] for result in results)
    assert (
        sum("'Tea trolley'" in row for row in contents(book).database if row.startswith('INSERT INTO "pieces_piece"'))
        == 1
    )
