"""`tallboy sum` and `tallboy checks`: without a book, in words and as JSON, and plain lines for what is wrong."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.cli.conftest import Tallboy, run_python

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


def test_own_rows_of_a_book_are_looked_up(tallboy: Tallboy) -> None:
    """With --book the shop's own rows count; a book without any changes nothing."""
    done = tallboy(*ASKED)
    assert done.code == 0, done.err


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
