"""Tables by rows and columns: what each column holds, and the shop's own rows beside the printed ones.

A table that takes own rows says what its columns are (`[[columns]]` in its file): the same words make the form, read what was
typed, and check the rows that lie here.
"""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache, cached_property
from typing import Any, TypeVar

from tallboy.errors import BadFile, BadInput, NotFound, OutOfRange
from tallboy.tables.load import NAMES, load

Row = Mapping[str, Any]
Word = TypeVar("Word", bound=StrEnum)
EVIDENCE = ("read", "transcription", "computed", "memory", "common practice")
YES, NO = frozenset({"yes", "true", "on", "1"}), frozenset({"no", "false", "off", "0"})
MOST_NAMED = 24
"""So many rows are named where one is not found."""
OWN = "own"
"""Evidence of a row that the shop added."""


@dataclass(frozen=True)
class Column:
    """One column: its name in the file, its words for people, its unit, and what may stand in it.

    `words` are the only ones that a column of text or keys takes; `among` names a table whose keys are. With neither it takes any.
    """

    name: str
    label: str
    unit: str = ""
    kind: str = "number"
    low: float = -math.inf
    high: float = math.inf
    needed: bool = False
    words: tuple[str, ...] = ()
    among: str = ""

    @property
    def accepted(self) -> tuple[str, ...]:
        """The only words that it takes; none where it takes any."""
        return tuple(row["key"] for row in load(self.among)[self.among]) if self.among else self.words


@dataclass(frozen=True)
class Table:
    """One table: its title, where its rows come from, its columns and its rows in their order."""

    name: str
    title: str
    evidence: str
    words: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]

    @cached_property
    def keys(self) -> frozenset[str]:
        """The names of its rows, without regard to case."""
        return frozenset(str(row["key"]).casefold() for row in self.rows)

    @cached_property
    def spellings(self) -> Mapping[str, Mapping[str, str]]:
        """The words of each column of text or keys as its rows spell them, by the word without regard to case."""
        return {column.name: self._words(column) for column in self.columns if column.kind in ("text", "keys")}

    def _words(self, column: Column) -> dict[str, str]:
        printed = [row[column.name] for row in self.rows if column.name in row]
        words = [word for there in printed for word in (there if isinstance(there, list) else [there])]
        return {word.casefold(): word for word in words}


@dataclass(frozen=True)
class Rows:
    """The rows that a sum may look up: those of the tables, and the shop's own after them."""

    own: Mapping[str, tuple[Row, ...]] = field(default_factory=dict)

    def of(self, name: str) -> tuple[Row, ...]:
        """All rows of a table."""
        return (*table(name).rows, *self.own.get(name, ()))

    def row(self, name: str, key: str) -> Row:
        """The row with this key; what people type is matched without regard to case, and by what else they call it."""
        wanted = key.strip().casefold()
        rows = {str(row["key"]).casefold(): row for row in reversed(self.of(name))}
        called = {} if wanted in rows else _called(name, wanted)
        means = [str(one).casefold() for one in called.get("means", ())]
        found = rows.get(means[0] if len(means) == 1 else wanted)
        if found is not None:
            return found
        raise NotFound(
            f"There is no “{key}” in the table {name}.", str(called.get("says", "")) or self._near(name, wanted)
        )

    def _near(self, name: str, wanted: str) -> str:
        """Rows that are called so, or whose name has the word in it; all of them where there is none."""
        keys = [str(row["key"]) for row in self.of(name)]
        near = [key for key in keys if wanted and wanted in key.casefold()]
        near += [key for key in _called(name, wanted).get("means", ()) if key not in near]
        shown = near or keys
        more = f" and {len(shown) - MOST_NAMED} more" if len(shown) > MOST_NAMED else ""
        return f"There are: {', '.join(shown[:MOST_NAMED])}{more}."


def _called(name: str, wanted: str) -> Row:
    """What a name stands for in a table, beside its keys; nothing where nobody calls a row so."""
    rows: list[Row] = load("called")["called"]
    return next((row for row in rows if row["table"] == name and wanted in row["names"]), {})


def same(one: str, other: str) -> bool:
    """Whether two names are the same but for capital letters."""
    return one.casefold() == other.casefold()


PRINTED = Rows()
"""The rows of the tables alone, without any shop's own."""


def word_of(kind: type[Word], row: Row, column: str) -> Word:
    """A word that must be one of a few, from a row that a shop may have written; BadInput names those there are."""
    try:
        return kind(str(row[column]).strip().casefold())
    except ValueError:
        raise BadInput(
            f"{row['key']}: its {column} cannot be “{str(row[column])[:40]}”.", f"It must be one of: {', '.join(kind)}."
        ) from None


@cache
def table(name: str) -> Table:
    """A table with its columns; NotFound for another name."""
    data = load(name)
    about = data.get("about", {})
    try:
        columns = tuple(Column(**{**row, "words": tuple(row.get("words", ()))}) for row in data.get("columns", ()))
    except TypeError as error:
        raise BadFile(f"The table {name}.toml does not say what its columns are: {error}.") from None
    rows = tuple(row for row in data.get(name, ()))
    return Table(
        name,
        str(about.get("title", name)),
        str(about.get("evidence", "")),
        str(about.get("columns", "")),
        columns,
        rows,
    )


@cache
def tables_with_columns() -> tuple[str, ...]:
    """The tables that say what their columns are: those that can be shown and added to."""
    return tuple(name for name in NAMES if "columns" in load(name))


def checked_row(of: Table, values: Mapping[str, Any], taken: frozenset[str] = frozenset()) -> dict[str, Any]:
    """One row as it may stand in the table, from values of the right type or as text; BadInput says which column is wrong.

    `taken` are keys that other rows have. Columns that the table does not know are refused, but for those that tell the source
    and the evidence of others.
    """
    known = {column.name for column in of.columns} | {"key", "source", "evidence", "note"}
    unknown = sorted(name for name in set(values) - known if not name.endswith(("_source", "_evidence")))
    if unknown:
        raise BadInput(f"{of.title} has no column “{unknown[0]}”.", f"It has: {', '.join(c.name for c in of.columns)}.")
    key = " ".join(plain_text("The name", str(values.get("key", ""))).split())
    if not any(map(str.isalnum, key)) or len(key) > 80:
        raise BadInput(f"A row of {of.title} needs a name.", "One to eighty letters.")
    if key.casefold() in of.keys | {name.casefold() for name in taken}:
        raise BadInput(f"There is a row “{key}” in {of.title} already.", "Give yours another name.")
    row: dict[str, Any] = {"key": key}
    for column in of.columns:
        value = cell(column, values.get(column.name))
        if value is not None:
            row[column.name] = _spelled(of, column, value)
    return row


def _spelled(of: Table, column: Column, value: object) -> object:
    """Words as the printed rows of this column spell them, so that a capital letter hides no row from a sum."""
    known = of.spellings.get(column.name, {})
    if isinstance(value, list):
        return [known.get(str(word).casefold(), word) for word in value]
    return known.get(value.casefold(), value) if isinstance(value, str) else value


def cell(column: Column, value: object) -> object:
    """What may stand in this column, from text or a value; None when it is left empty and need not be filled."""
    if value is None or (isinstance(value, str) and not value.strip()):
        if column.needed:
            raise BadInput(f"{column.label} is missing.", f"It takes {_takes(column)}.")
        return None
    if column.kind == "number":
        return _number(column, value)
    if column.kind == "flag":
        return value if isinstance(value, bool) else _flag(column, str(value))
    if column.kind == "keys":
        words = value if isinstance(value, list) else str(value).split(",")
        return [_word(column, word) for word in map(str, words) if word.strip()]
    return _word(column, str(value))


def plain_text(what: str, text: str) -> str:
    """The text itself, once it has been seen to hold no signs that steer a machine: no database keeps them all."""
    if any(unicodedata.category(sign) in ("Cc", "Cs") and not sign.isspace() for sign in text):
        raise BadInput(f"{what} holds a sign that is no text.", "Type it anew.")
    return text


def _flag(column: Column, text: str) -> bool:
    word = text.strip().casefold()
    if word not in YES | NO:
        raise BadInput(f"{column.label}: “{text[:40]}” is neither yes nor no.", f"It takes {_takes(column)}.")
    return word in YES


def _word(column: Column, text: str) -> str:
    """A word that the column takes, in its own spelling."""
    accepted = {word.casefold(): word for word in column.accepted}
    word = plain_text(column.label, text).strip()
    if accepted and word.casefold() not in accepted:
        raise BadInput(f"{column.label}: “{word[:40]}” is not known here.", f"It takes {_takes(column)}.")
    return accepted.get(word.casefold(), word)


def _number(column: Column, value: object) -> float:
    text = str(value).strip().replace("\u2212", "-")
    try:
        number = float(text.replace(",", ".", 1) if text.count(",") == 1 and "." not in text else text)
    except ValueError:
        raise BadInput(f"{column.label}: “{text[:40]}” is no number.", f"It takes {_takes(column)}.") from None
    if not (column.low <= number <= column.high and math.isfinite(number)):
        raise OutOfRange(column.label, f"{number:g}", f"{column.low:g}", f"{column.high:g}", column.unit)
    return number


def _takes(column: Column) -> str:
    if column.accepted:
        return f"{'any' if column.kind == 'keys' else 'one'} of: {', '.join(column.accepted)}"
    if column.kind != "number":
        return {"flag": "yes or no", "keys": "words with commas between"}.get(column.kind, "words")
    unit = f" {column.unit}" if column.unit else ""
    if math.isinf(column.low) or math.isinf(column.high):
        return f"a number{unit}"
    return f"a number from {column.low:g} to {column.high:g}{unit}"
