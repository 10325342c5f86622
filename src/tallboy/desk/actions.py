"""Changes to the tables: a row of the shop's own added, changed, taken back. The printed rows are never touched."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _

from tallboy.book.doing import By, action
from tallboy.desk.models import OwnRow
from tallboy.errors import BadInput, NotFound
from tallboy.tables.rows import Table, checked_row, plain_text, table, tables_with_columns
from tallboy.tables.usable import check_usable

LONGEST = 300
PARTS_A_LIST = ";,\n\r"
"""What stands between names in a list; no name may hold it."""


@action
def add_row(by: By, of: str, key: str, values: Mapping[str, Any], source: str, note: str = "") -> OwnRow:
    """A row of the shop's own in the table `of`: its name, its values by column, where they come from."""
    found = _table(of)
    row = OwnRow(**by.kept(), table=found.name, added_at=by.at)
    _fill(by, found, row, key, values, source, note)
    row.save()
    by.record("add row", row, _("Added “%(row)s” to the table %(table)s.") % _told(row, found), **_whole(row))
    return row


@action
def change_row(by: By, row: OwnRow, key: str, values: Mapping[str, Any], source: str, note: str = "") -> OwnRow:
    """The same row with other values; what it said before stays in the journal."""
    kept, found = _own(by, row), _table(row.table)
    before = _whole(kept)
    _fill(by, found, kept, key, values, source, note)
    kept.save()
    by.record("change row", kept, _("Changed “%(row)s” in the table %(table)s.") % _told(kept, found), before=before)
    return kept


@action
def take_row_back(by: By, row: OwnRow) -> None:
    """The row is taken out of the table; what it said stays in the journal."""
    kept = _own(by, row)
    told = {"row": kept.key, "table": kept.table}
    by.record("take row back", kept, _("Took “%(row)s” out of the table %(table)s.") % told, **_whole(kept))
    kept.delete()


def _table(name: str) -> Table:
    if name not in tables_with_columns():
        raise NotFound(
            _("There is no table “%(name)s” that takes rows.") % {"name": name}, ", ".join(tables_with_columns())
        )
    return table(name)


def _own(by: By, row: OwnRow) -> OwnRow:
    found = OwnRow.objects.select_for_update().filter(pk=row.pk, shop=by.shop).first()
    if found is None:
        raise NotFound(_("There is no such row in this book."))
    return found


def _fill(by: By, of: Table, row: OwnRow, key: str, values: Mapping[str, Any], source: str, note: str) -> None:
    """Put what was given into the row, once all of it has been seen to fit the table."""
    others = OwnRow.objects.filter(shop=by.shop, table=of.name).exclude(pk=row.pk)
    checked = checked_row(of, {**values, "key": key}, frozenset(others.values_list("key", flat=True)))
    check_usable(of.name, checked)
    row.key = checked.pop("key")
    if set(row.key) & set(PARTS_A_LIST):
        raise BadInput(
            _("The name “%(name)s” holds a comma or a semicolon.") % {"name": row.key}, _("Write it without.")
        )
    row.values = checked
    row.source, row.note = plain_text(_("The source"), source.strip()), plain_text(_("The note"), note.strip())
    _check_words(row)


def _check_words(row: OwnRow) -> None:
    if not row.source:
        raise BadInput(
            _("The row says nothing of its source."),
            _("Write where the values come from; “my own measurement” is fine."),
        )
    texts = [row.source, row.note, *(str(value) for value in row.values.values())]
    if max(map(len, texts)) > LONGEST:
        raise BadInput(
            _("Something in this row is too long."), _("At most %(most)d letters in each place.") % {"most": LONGEST}
        )


def _whole(row: OwnRow) -> dict[str, Any]:
    """All that a row says, for the journal."""
    return {"table": row.table, "key": row.key, "values": row.values, "source": row.source, "note": row.note}


def _told(row: OwnRow, of: Table) -> dict[str, str]:
    return {"row": row.key, "table": of.title}
