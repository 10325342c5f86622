"""A shop's own rows beside the printed ones: which there are, and how sums see them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from django.db.models import Count
from django.utils.translation import gettext as _

from tallboy.book.models import Shop
from tallboy.desk.models import OwnRow
from tallboy.errors import NotFound, TallboyError
from tallboy.tables.rows import OWN, Row, Rows, Table, checked_row, table, tables_with_columns
from tallboy.tables.usable import check_usable


@dataclass(frozen=True)
class OwnLine:
    """An own row on its table's page: as sums see it (None when it no longer fits its table), and what there is to say of it."""

    kept: OwnRow
    row: Row | None
    remark: str


def own_row(shop: Shop, pk: int) -> OwnRow:
    """The shop's own row, or NotFound."""
    found = OwnRow.objects.filter(shop=shop, pk=pk).select_related("owner").first()
    if found is None:
        raise NotFound(_("There is no such row in this book."))
    return found


def rows_of(shop: Shop) -> Rows:
    """All rows that the shop's sums may look up. Own rows that no longer fit their table are left out."""
    found: dict[str, list[Row]] = defaultdict(list)
    known = tables_with_columns()
    for kept in OwnRow.objects.filter(shop=shop, table__in=known):
        line = own_line(table(kept.table), kept)
        if line.row is not None:
            found[kept.table].append(line.row)
    return Rows({name: tuple(rows) for name, rows in found.items()})


def own_lines(shop: Shop, of: Table) -> list[OwnLine]:
    """The shop's own rows of one table, with what there is to say of each."""
    return [own_line(of, kept) for kept in OwnRow.objects.filter(shop=shop, table=of.name).select_related("owner")]


def own_counts(shop: Shop) -> Mapping[str, int]:
    """How many own rows the shop has, by table."""
    counts = OwnRow.objects.filter(shop=shop).order_by().values("table").annotate(rows=Count("pk"))
    return dict(counts.values_list("table", "rows"))


def own_line(of: Table, kept: OwnRow) -> OwnLine:
    """One own row as sums see it. A name that an update has since given to a printed row gets "(own)" behind it."""
    name, remark = kept.key, ""
    if kept.key.casefold() in of.keys:
        name = _("%(name)s (own)") % {"name": kept.key}
        remark = _("The table has since got a row of this name. Yours stays, as “%(name)s”.") % {"name": name}
    try:
        row = checked_row(of, {**kept.values, "key": name})
        check_usable(of.name, row)
    except TallboyError as error:
        return OwnLine(kept, None, _("It no longer fits this table, and no sum uses it: %(why)s") % {"why": error})
    return OwnLine(kept, {**row, "source": kept.source, "evidence": OWN, "note": kept.note}, remark)


def without_a_table(shop: Shop) -> list[OwnRow]:
    """Own rows of tables that are no longer here."""
    return list(OwnRow.objects.filter(shop=shop).exclude(table__in=tables_with_columns()).select_related("owner"))
