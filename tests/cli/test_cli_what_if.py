"""`tallboy what-if`: both plans are said, nothing is changed, and a question that cannot be asked is refused in plain words."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.cli.conftest import FOUND_A_SHOP, Said, Tallboy, contents, run_python

LAY_OUT = """
import argparse, datetime
from tallboy.cli.start import open_book
by = open_book(argparse.Namespace(book=None))
from tests.drawers.today.today_made import chair, step
piece = chair(by, "Hall chair", promise=by.at.astimezone(by.shop.tz).date() + datetime.timedelta(days=40))
for hour in range(30):
    step(piece, f"Mend {hour}", 60)
print(piece.number)
"""


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A book of its own, for a piece is taken in."""
    folder = tmp_path_factory.mktemp("what-if") / "book"
    assert run_python("-c", FOUND_A_SHOP, book=folder) == Said(0, "", "")
    return folder


@pytest.fixture(scope="module")
def number(book: Path) -> str:
    """The number of a piece with thirty hours of work on it."""
    root = str(Path(__file__).resolve().parents[2])
    done = run_python("-c", LAY_OUT, book=book, PYTHONPATH=root)
    assert done.code == 0, done.err
    return done.out.strip()


def test_both_plans_are_said(tallboy: Tallboy, number: str) -> None:
    """Each piece with its promise, now and then, and what is gained; and a word that it is only a question."""
    done = tallboy("what-if", "--hands", "1", "--seconds", "0.3")
    assert done.code == 0, done.err
    lines = done.out.splitlines()
    assert lines[0] == "If: a helper"
    assert any(line.startswith("Hall chair") and "earlier" in line for line in lines)
    assert lines[-1] == "Only a question: nothing is changed by it."
    head, row = (next(line for line in lines if line.startswith(name)) for name in ("piece", "Hall chair"))
    starts = [head.index(word) for word in ("promised", "as it is", "then")]
    assert all(row[at - 2 : at] == "  " and row[at] != " " for at in starts)


def test_as_json_for_a_script(tallboy: Tallboy, number: str) -> None:
    """Numbers, days and times as data; overtime is worked in."""
    done = tallboy("what-if", "--overtime", "2", "--saturdays", "--json", "--seconds", "0.3")
    assert done.code == 0, done.err
    told = json.loads(done.out)
    (piece,) = told["pieces"]
    assert (piece["piece"], piece["name"]) == (number, "Hall chair")
    assert piece["days_gained"] >= 1
    assert told["added_minutes"] > 0
    assert told["now"]["hands_on_minutes"] == told["then"]["hands_on_minutes"] == 1800


def test_a_piece_is_named_by_its_number(tallboy: Tallboy, number: str) -> None:
    """One more like it takes the hands as well; left out, nothing is planned of it."""
    more = json.loads(tallboy("what-if", "--like", number, "--json", "--seconds", "0.3").out)
    assert [piece["name"] for piece in more["pieces"]] == ["Hall chair", "The new piece"]
    left_out = json.loads(tallboy("what-if", "--without", number, "--json", "--seconds", "0.3").out)
    assert [piece["finish_then"] for piece in left_out["pieces"]] == [None]


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        ((), 2, "Nothing was asked"),
        (("--warm", "90 °C"), 2, "between 5 and 35"),
        (("--day", "2020-01-04"), 2, "That day is past"),
        (("--without", "no such"), 3, "no piece with the number"),
        (("--like", "9"), 3, "looks like 2026-002"),
        (("--hands", "9"), 2, "invalid choice"),
    ],
)
def test_what_cannot_be_asked(tallboy: Tallboy, number: str, words: tuple[str, ...], code: int, said: str) -> None:
    """Plain words, the exit code for it, and nothing on the way out."""
    done = tallboy("what-if", *words)
    assert (done.code, done.out) == (code, "")
    assert said in done.err
    assert "Traceback" not in done.err


def test_the_book_stays_as_it_was(tallboy: Tallboy, book: Path, number: str) -> None:
    """Not a row, not a journal line, not a file."""
    before = contents(book)
    done = tallboy("what-if", "--warm", "20 °C", "--first", number, "--another-day", "1", "--seconds", "0.3")
    assert done.code == 0, done.err
    assert contents(book) == before
