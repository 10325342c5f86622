"""A table's rows in words: each value with its unit, where it comes from and how that was seen."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from tallboy.desk.models import OwnRow
from tallboy.desk.rows import OwnLine
from tallboy.tables.load import NAMES
from tallboy.tables.rows import Column, Row, Table, table
from tallboy.workings.telling import source

FEW_COLUMNS = 5
"""A table of up to so many columns stands as one on a wide page; one with more is shown row by row."""
_HEADS = re.compile(r"(?:^|(?<=[.;] ))([a-z0-9_]+(?:, [a-z0-9_]+)*): ")
"""The names of one or more columns before what they mean."""
_NAME = re.compile(r"\b[a-z]+_[a-z0-9_]+\b")
_TABLE = re.compile(r"\btable ([a-z_]+)\b")
SOURCE, EVIDENCE = "_source", "_evidence"
"""Endings of the entries that say where the columns of a like name come from, and how that was seen."""


@dataclass(frozen=True)
class Seen:
    """Where some columns of a row come from: which ("" for all that is not named), the source's key, how it was seen."""

    what: str
    source: str
    evidence: str


@dataclass(frozen=True)
class TableLine:
    """One row: its name, its values in the order of the columns ("" where it has none), and where they come from."""

    key: str
    cells: tuple[tuple[str, str], ...]
    seen: tuple[Seen, ...]
    note: str
    own: OwnRow | None = None
    remark: str = ""

    @property
    def told(self) -> str:
        """All that the row says, for looking it up."""
        own = self.own.source if self.own else ""
        return " ".join([self.key, *(text for _heading, text in self.cells), self.note, own]).casefold()

    @property
    def filled(self) -> list[tuple[str, str]]:
        """The values that are there."""
        return [(heading, text) for heading, text in self.cells if text]


@dataclass(frozen=True)
class Numbered:
    """A row on its page, and its sources by their number there."""

    line: TableLine
    seen: list[str]


def line_of(of: Table, row: Row) -> TableLine:
    """A printed row."""
    return TableLine(str(row["key"]), _cells(of, row), _seen(of, row), str(row.get("note", "")))


def own_line_of(of: Table, own: OwnLine) -> TableLine:
    """A row of the shop's own."""
    row = own.row or {"key": own.kept.key, **own.kept.values}
    return TableLine(str(row["key"]), _cells(of, row), (), own.kept.note, own.kept, own.remark)


def columns_of(of: Table) -> list[Column]:
    """The columns but for those that only say where another comes from."""
    return [column for column in of.columns if not column.name.endswith((SOURCE, EVIDENCE))]


def heading(column: Column) -> str:
    """What stands above or beside a value: label and unit."""
    return f"{column.label}, {column.unit}" if column.unit else column.label


def meanings(of: Table) -> list[tuple[str, str]]:
    """What the columns mean, by their labels; what is said of no column stands under ""."""
    labels = {"key": _("Name"), **{column.name: column.label for column in of.columns}}
    parts = _HEADS.split(_TABLE.sub(_table_words, of.words))
    heads = [" · ".join(labels.get(name, _sentence(name)) for name in names.split(", ")) for names in parts[1::2]]
    found = [("", parts[0]), *zip(heads, parts[2::2], strict=True)]
    return [
        (head, _sentence(_NAME.sub(lambda name: labels.get(name[0], name[0]), text))) for head, text in found if text
    ]


def _sentence(text: str) -> str:
    text = text.replace("_", " ").strip(" ;")
    return text[:1].upper() + text[1:]


def _table_words(found: re.Match[str]) -> str:
    name = found[1]
    return f"table “{table(name).title}”" if name in NAMES else found[0]


def numbered(lines: Sequence[TableLine]) -> tuple[list[Numbered], list[Row]]:
    """The rows with their sources by number, and those sources in that order."""
    keys = list(dict.fromkeys(seen.source for line in lines for seen in line.seen))
    place = {key: number for number, key in enumerate(keys, start=1)}
    rows = [Numbered(line, [_told(seen, place[seen.source]) for seen in line.seen]) for line in lines]
    return rows, [source(key) for key in keys]


def _told(seen: Seen, number: int) -> str:
    how = f"[{number}] {seen.evidence}".strip()
    return f"{seen.what}: {how}" if seen.what else how


def _seen(of: Table, row: Row) -> tuple[Seen, ...]:
    """Where the columns come from; those with one source and evidence together, the row's own source last."""
    labels = {column.name: column.label for column in of.columns}
    groups: dict[tuple[str, str], list[str]] = {}
    for name in row:
        if name.endswith(SOURCE):
            what = name.removesuffix(SOURCE)
            pair = (str(row[name]), str(row.get(what + EVIDENCE, row.get("evidence", ""))))
            groups.setdefault(pair, []).append(labels.get(what, _sentence(what)))
    rest = (str(row.get("source", "")), str(row.get("evidence", "")))
    found = [Seen(", ".join(what), *pair) for pair, what in groups.items() if pair != rest]
    return (*found, Seen(_("all else") if found else "", *rest))


def _cells(of: Table, row: Row) -> tuple[tuple[str, str], ...]:
    return tuple((heading(column), value_words(row.get(column.name))) for column in columns_of(of))


def value_words(value: object) -> str:
    """A value as the table shows it; "" where the row has none."""
    if value is None or value == "":
        return ""
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, list):
        return ", ".join(map(str, value))
    return f"{value:.10g}".replace("-", "\u2212") if isinstance(value, int | float) else str(value)


def matching(lines: Iterable[TableLine], words: Sequence[str]) -> list[TableLine]:
    """The rows in which every word is found."""
    return [line for line in lines if all(word in line.told for word in words)]
