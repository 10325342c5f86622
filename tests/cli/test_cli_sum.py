"""`tallboy sum` and `tallboy checks`: without a book, in words and as JSON, and plain lines for what is wrong."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from tests.cli.conftest import Said, clean_environment, run_python

ADDED_A_WOOD = """
import argparse
from tallboy.cli.start import open_book
by = open_book(argparse.Namespace(book=None))
from tallboy.desk.actions import add_row
add_row(by, "woods", "quay elm", {"gravity_12": 0.6, "softwood": False}, "my own measurement")
"""
ASKED = ("sum", "dew-point", "celsius=20", "humidity=50 %")


def test_a_sum_needs_no_book(tmp_path: Path) -> None:
    """Nothing is made where the book would be; the answer has its unit, its working and its source."""
    book = tmp_path / "none"
    done = run_python("-m", "tallboy", *ASKED, book=book)
    assert done.code == 0, done.err
    assert "9.27 °C" in done.out
    assert "Working" in done.out
    assert "ASHRAE" in done.out
    assert not book.exists()


def test_a_sum_as_json() -> None:
    """Value, unit, low, high, source; full precision."""
    done = run_python("-m", "tallboy", *ASKED, "--json")
    told = json.loads(done.out)
    first = told["results"][0]
    assert set(first) == {"name", "label", "value", "unit", "low", "high"}
    assert first["value"] == pytest.approx(9.27, abs=0.1)
    assert told["sources"][0]["title"]


def test_the_list_and_what_one_asks_for() -> None:
    """Every sum with its question; the inputs of one with an example that can be typed."""
    listed = run_python("-m", "tallboy", "sum")
    assert "dew-point" in listed.out
    asked = run_python("-m", "tallboy", "sum", "dew-point", "--ask")
    assert "tallboy sum dew-point" in asked.out
    assert {row["name"] for row in json.loads(run_python("-m", "tallboy", "sum", "--json").out)} >= {"dew-point"}
    assert json.loads(run_python("-m", "tallboy", "sum", "dew-point", "--ask", "--json").out)["inputs"]


@pytest.mark.parametrize(
    ("typed", "code", "words"),
    [
        (("sum", "dew-pint"), 3, "dew-point"),
        (("sum", "dew-point", "20"), 2, "KEY=VALUE"),
        (("sum", "dew-point", "celsius=20", "celsius=21"), 2, "twice"),
        (("sum", "dew-point", "celsius=20", "humidity=500"), 2, "humidity"),
        (("sum", "dew-point", "celsius=20", "moist=5", "humidity=50"), 2, "moist"),
        (("checks", "airs"), 3, "air"),
    ],
)
def test_what_is_wrong_is_one_plain_line(typed: tuple[str, ...], code: int, words: str) -> None:
    """What, and what would be accepted."""
    done = run_python("-m", "tallboy", *typed)
    assert done.code == code
    assert words in done.err
    assert "Traceback" not in done.err
    assert done.out == ""


def test_own_rows_of_a_book_are_looked_up(book: Path) -> None:
    """With --book the shop's own rows count; without it they are not known, whatever book the settings name."""
    asked = ("sum", "wood-weight", "wood=quay elm", "length=1 m", "width=100 mm", "thickness=20 mm", "moisture=12")
    added = run_python("-c", ADDED_A_WOOD, book=book)
    assert added == Said(0, "", "")
    done = run_python("-m", "tallboy", *asked, "--book", str(book))
    assert done.code == 0, done.err
    assert "quay elm" in done.out
    assert run_python("-m", "tallboy", *asked, book=book).code == 3


def test_no_book_is_begun_to_look_a_row_up(tmp_path: Path) -> None:
    """A folder that was mistyped is told, and stays away."""
    done = run_python("-m", "tallboy", *ASKED, "--book", str(tmp_path / "none"))
    assert done.code == 3
    assert "There is no book in" in done.err
    assert not (tmp_path / "none").exists()


def test_checks_of_a_family() -> None:
    """All of them, what was expected and got, and the counts; as JSON the same."""
    done = run_python("-m", "tallboy", "checks", "air")
    assert done.code == 0, done.out
    assert "air.dew_point" in done.out
    assert "By source" in done.out
    told = json.loads(run_python("-m", "tallboy", "checks", "air", "--json").out)
    assert all(one["holds"] for one in told)
    assert {"expected", "tolerance", "got", "difference", "source", "how"} <= set(told[0])


def test_only_what_does_not_hold(tmp_path: Path) -> None:
    """--short leaves the counts; a data file that is no text in the reference folder is not there."""
    done = run_python("-m", "tallboy", "checks", "--short", TALLBOY_REFERENCE=str(tmp_path))
    assert done.code == 0, done.out
    assert "DOES NOT HOLD" not in done.out
    assert "checks:" in done.out


@pytest.mark.parametrize(
    ("damaged", "says"),
    [
        (b"\x9f\x00 no numbers", "is damaged"), (b"", "is damaged"), (b"3\n1 2 3\n4 5\n", "is damaged"), (b"9\n1 2 3\n4 5 6\n7 8 6\n", "is damaged"),
        (b"3\n1 2 nan\n4 5 inf\n1 2 3\n", "is damaged"),
    ],
)  # fmt: skip
def test_a_damaged_data_file_is_named(tmp_path: Path, damaged: bytes, says: str) -> None:
    """No text, empty, cut off, other than its count, not finite: one plain line with the file's name."""
    (tmp_path / "circles").mkdir()
    (tmp_path / "circles" / "cir2d1.ds").write_bytes(damaged)
    done = run_python("-m", "tallboy", "checks", "wheel", TALLBOY_REFERENCE=str(tmp_path))
    assert done.code == 2
    assert "circles/cir2d1.ds" in done.err
    assert says in done.err


@pytest.mark.parametrize("named", ["nowhere/at/all", __file__, "~no-such-person/data"])
def test_a_reference_folder_that_is_none_is_told(named: str) -> None:
    """A path that leads nowhere, to a file, to nobody's home."""
    done = run_python("-m", "tallboy", "checks", "air", TALLBOY_REFERENCE=named)
    assert done.code == 2
    assert "TALLBOY_REFERENCE names no folder" in done.err


@pytest.mark.parametrize("typed", [ASKED, (*ASKED, "--json"), ("checks", "air", "--short")])
def test_no_terminal_to_speak_to(typed: tuple[str, ...]) -> None:
    """With its output closed a command ends well, and in silence."""
    words = " ".join(f"'{word}'" for word in (sys.executable, "-m", "tallboy", *typed))
    done = subprocess.run(["sh", "-c", f"{words} >&-"], env=clean_environment(), capture_output=True, check=False)
    assert (done.returncode, done.stderr) == (0, b"")
