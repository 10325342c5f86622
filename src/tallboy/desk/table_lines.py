"""A table's rows in words: each value with its unit, where it comes from and how that was seen."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _

from tallboy.desk.models import OwnRow
from tallboy.desk.rows import OwnLine
from tallboy.tables.rows import OWN, Column, Row, Table
from tallboy.workings.telling import rounded, source_line

FEW_COLUMNS = 6
"""A table of so many columns stands as one on a wide page; one with more is shown row by row."""


@dataclass(frozen=True)
class TableLine:
    """One row: its name, its values in the order of the columns ("" where it has none), and its evidence."""

    key: str
    values: tuple[tuple[str, str], ...]
    sources: tuple[str, ...]
    evidence: str
    note: str
    told: str
    own: OwnRow | None = None
    remark: str = ""


def headings(of: Table) -> list[str]:
    """What stands above the values: label and unit."""
    return [_heading(column) for column in _shown(of)]


def line_of(of: Table, row: Row) -> TableLine:
    """A printed row."""
    keys = dict.fromkeys(str(row[name]) for name in row if name == "source" or name.endswith("_source"))
    return _line(of, row, tuple(source_line(key) for key in keys), str(row.get("evidence", "")))


def own_line_of(of: Table, own: OwnLine) -> TableLine:
    """A row of the shop's own."""
    row = own.row or {"key": own.kept.key, "note": own.kept.note, **own.kept.values}
    return _line(of, row, (own.kept.source,), OWN, own.kept, own.remark)


def _line(
    of: Table, row: Row, sources: tuple[str, ...], evidence: str, own: OwnRow | None = None, remark: str = ""
) -> TableLine:
    values = tuple((_heading(column), value_words(column, row.get(column.name))) for column in _shown(of))
    note = str(row.get("note", ""))
    told = " ".join([str(row["key"]), *(text for _heading, text in values), note, *sources]).casefold()
    return TableLine(str(row["key"]), values, sources, evidence, note, told, own, remark)


def _shown(of: Table) -> list[Column]:
    """The columns but for those that only say where another comes from."""
    return [column for column in of.columns if not column.name.endswith(("_source", "_evidence"))]


def _heading(column: Column) -> str:
    return f"{column.label}, {column.unit}" if column.unit else column.label


def value_words(column: Column, value: object) -> str:
    """A value as the table shows it; "" where the row has none."""
    if value is None or value == "":
        return ""
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, list):
        return ", ".join(map(str, value))
    return rounded(value, 6) if isinstance(value, int | float) else str(value)
