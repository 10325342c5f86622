"""Every table that says what its columns are: rows whole, within range, with a source that resolves; and rows of one's own."""

from __future__ import annotations

import importlib
from pathlib import Path
from typing import Any

import pytest

from tallboy.errors import BadFile, BadInput, NotFound, OutOfRange
from tallboy.tables import load
from tallboy.tables.rows import EVIDENCE, Column, Row, Rows, Table, checked_row, table, tables_with_columns

NAMES = tables_with_columns()
SOURCES = {row["key"] for row in load("sources")["sources"]}
ALWAYS = {"key", "source", "evidence", "note"}
TOOL = Table(
    "tools",
    "Tools",
    "",
    "",
    (Column("size", "Size", "mm", low=1, high=9, needed=True), Column("lid", "Lid", kind="flag")),
    ({"key": "awl"},),
)


def test_tables_are_found() -> None:
    """A walk that finds nothing would prove nothing."""
    assert {"woods", "liquids", "residues", "metals", "screws"} <= set(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_rows_are_whole(name: str) -> None:
    """Only columns that are named, values within their ranges, keys once, a source and its evidence in every row."""
    found = table(name)
    assert found.rows
    assert found.evidence
    assert len({row["key"] for row in found.rows}) == len(found.rows)
    empty = Table(name, found.title, "", "", found.columns, ())
    for row in found.rows:
        checked_row(empty, row)
        assert row["source"] in SOURCES
        assert row["evidence"] in EVIDENCE


@pytest.mark.parametrize("name", NAMES)
def test_sources_of_single_columns(name: str) -> None:
    """`x_source` names a source and stands beside the column it speaks of."""
    found = table(name)
    for row in found.rows:
        for column, value in row.items():
            if column.endswith("_source"):
                assert value in SOURCES, (row["key"], column)
            if column.endswith("_evidence"):
                assert value in EVIDENCE, (row["key"], column)


def test_an_own_row_is_read_from_text() -> None:
    """Numbers as typed, with comma or point; flags by yes and no; an empty column is left out."""
    assert checked_row(TOOL, {"key": "bradawl", "size": "2,5", "lid": "yes"}) == {
        "key": "bradawl",
        "size": 2.5,
        "lid": True,
    }
    assert checked_row(TOOL, {"key": "bradawl", "size": 3}) == {"key": "bradawl", "size": 3.0}


@pytest.mark.parametrize(
    ("values", "error"),
    [
        ({"key": "", "size": "2"}, BadInput), ({"key": "x" * 81, "size": "2"}, BadInput), ({"key": "AWL", "size": "2"}, BadInput),
        ({"key": "gimlet", "size": "2"}, BadInput), ({"key": "saw"}, BadInput), ({"key": "saw", "size": "ten"}, BadInput),
        ({"key": "saw", "size": "10"}, OutOfRange), ({"key": "saw", "size": "nan"}, OutOfRange), ({"key": "saw", "size": "2", "teeth": "9"}, BadInput),
    ],
)  # fmt: skip
def test_an_own_row_that_cannot_be(values: dict[str, Any], error: type[BadInput]) -> None:
    """No name, a name too long or taken, a column missing, no number, out of range, a column unknown."""
    with pytest.raises(error):
        checked_row(TOOL, values, taken=frozenset({"gimlet"}))


def test_own_rows_stand_beside_the_printed_ones() -> None:
    """Looked up alike; without case; the near names are told when there is none."""
    own: Row = {"key": "quay elm", "note": "weighed on the bench"}
    rows = Rows({"woods": (own,)})
    assert rows.row("woods", "Quay Elm") == own
    assert rows.of("woods")[-1] == own
    with pytest.raises(NotFound, match="quay elm"):
        rows.row("woods", "quay")


NAMED = Table(
    "pots",
    "Pots",
    "",
    "",
    (
        Column("level", "Level", kind="text", words=("leave out", "take care")),
        Column("cautions", "Cautions", kind="keys", among="cautions"),
        Column("group", "Group", kind="text"),
    ),
    ({"key": "glue pot", "group": "hide glue joints"},),
)


def test_a_word_is_spelled_as_the_table_spells_it() -> None:
    """A capital letter hides no row from a sum: closed words, keys of another table, and words that printed rows have."""
    typed = {
        "key": "ink pot",
        "level": " Leave OUT",
        "cautions": "Open-Flame, solvent-vapour",
        "group": "Hide glue joints",
    }
    assert checked_row(NAMED, typed) == {
        "key": "ink pot", "level": "leave out", "cautions": ["open-flame", "solvent-vapour"], "group": "hide glue joints",
    }  # fmt: skip
    assert checked_row(NAMED, {"key": "ink pot", "group": "Gum"}) == {"key": "ink pot", "group": "Gum"}


@pytest.mark.parametrize(
    ("values", "told"),
    [({"level": "always"}, "one of: leave out, take care"), ({"cautions": ["ghosts"]}, "any of: .*open-flame")],
)
def test_a_word_that_no_sum_would_understand_is_refused(values: dict[str, Any], told: str) -> None:
    """With those there are."""
    with pytest.raises(BadInput, match=told):
        checked_row(NAMED, {"key": "ink pot", **values})


def test_columns_of_cautions_take_only_those_there_are() -> None:
    """Wherever a row names cautions, a sum shows them."""
    found = [column for name in NAMES for column in table(name).columns if column.name == "cautions"]
    assert len(found) >= 2
    assert all(column.among == "cautions" for column in found)


@pytest.mark.parametrize("damaged", [b"[about", b"\xff\xfe", b'[[woods]]\nkey = "elm"\nkey = "oak"\n'])
def test_a_damaged_table_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, damaged: bytes) -> None:
    """As after a copy that was cut off: no TOML, no text, the same name twice; or no file at all."""
    loading = importlib.import_module("tallboy.tables.load")
    monkeypatch.setattr(loading, "files", lambda _package: tmp_path)
    with pytest.raises(BadFile, match=r"woods\.toml cannot be read"):
        load.__wrapped__("woods")
    (tmp_path / "woods.toml").write_bytes(damaged)
    with pytest.raises(BadFile, match=r"woods\.toml cannot be read"):
        load.__wrapped__("woods")


def test_a_table_with_strange_columns_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """A word that no column knows, or a column without a name."""
    for column in ({"name": "a", "label": "A", "colour": "red"}, {"label": "A"}):
        monkeypatch.setattr("tallboy.tables.rows.load", lambda _name, column=column: {"columns": [column]})
        with pytest.raises(BadFile, match=r"woods\.toml does not say"):
            table.__wrapped__("woods")
