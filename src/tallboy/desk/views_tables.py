"""The pages of the tables: all of them, one with its rows, and the shop's own rows."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from tallboy.book.pages import shop_of, succeeds, who
from tallboy.desk import actions
from tallboy.desk.row_form import RowForm, initial_of
from tallboy.desk.rows import own_counts, own_lines, own_row, without_a_table
from tallboy.desk.table_lines import (
    FEW_COLUMNS,
    columns_of,
    heading,
    line_of,
    matching,
    meanings,
    numbered,
    own_line_of,
)
from tallboy.errors import NotFound
from tallboy.tables.rows import Table, table, tables_with_columns

CELLS_A_PAGE = 320
LEAST_ROWS = 6
"""A page of a table holds about so many values, so that it stays light however many columns there are."""
MOST_WORDS = 8
LONGEST_SEARCH = 200


def _crumbs(of: Table | None = None) -> list[dict[str, str]]:
    rows = [{"name": _("Sums"), "url": reverse("desk:sums")}, {"name": _("Tables"), "url": reverse("desk:tables")}]
    return rows if of is None else [*rows, {"name": of.title, "url": reverse("desk:table", args=[of.name])}]


def _table(name: str) -> Table:
    if name not in tables_with_columns():
        raise NotFound(_("There is no table “%(name)s” here.") % {"name": name})
    return table(name)


@require_safe
def tables(request: HttpRequest) -> HttpResponse:
    """All tables that can be looked up and added to."""
    shop = shop_of(request)
    own = own_counts(shop)
    rows = [{"table": table(name), "own": own.get(name, 0)} for name in tables_with_columns()]
    context = {"tables": rows, "left": without_a_table(shop), "crumbs": _crumbs()[:1]}
    return render(request, "desk/tables.html", context)


@require_safe
def one_table(request: HttpRequest, name: str) -> HttpResponse:
    """One table: the shop's own rows first, then the printed ones, or those in which the words looked for are found."""
    of = _table(name)
    find = request.GET.get("find", "")[:LONGEST_SEARCH]
    own = (own_line_of(of, one) for one in own_lines(shop_of(request), of))
    lines = matching([*own, *(line_of(of, row) for row in of.rows)], find.casefold().split()[:MOST_WORDS])
    columns = columns_of(of)
    page = Paginator(lines, max(LEAST_ROWS, CELLS_A_PAGE // len(columns))).get_page(request.GET.get("page"))
    rows, sources = numbered(list(page))
    context = {
        "table": of,
        "headings": [heading(column) for column in columns] if len(columns) <= FEW_COLUMNS else [],
        "page": page,
        "rows": rows,
        "sources": sources,
        "find": find,
        "meanings": meanings(of),
        "query": f"{urlencode({'find': find})}&" if find else "",
        "crumbs": _crumbs()[:2],
    }
    return render(request, "desk/table.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def add(request: HttpRequest, name: str) -> HttpResponse:
    """A row of the shop's own."""
    of = _table(name)
    form = RowForm(request.POST or None, of=of)
    if form.is_valid() and succeeds(form, lambda: actions.add_row(who(request), of.name, **form.given())):
        messages.success(request, _("The row stands in the table, and the sums use it."))
        return redirect("desk:table", of.name)
    context = {"form": form, "title": _("A row of your own"), "button": _("Add it"), "crumbs": _crumbs(of)}
    return render(request, "desk/row.html", context | {"table": of, "meanings": meanings(of)})


@require_http_methods(["GET", "HEAD", "POST"])
def change(request: HttpRequest, pk: int) -> HttpResponse:
    """Correct an own row, or take it back."""
    row = own_row(shop_of(request), pk)
    of = _table(row.table)
    form = RowForm(request.POST or None, of=of, initial=initial_of(row))
    if form.is_valid() and succeeds(form, lambda: actions.change_row(who(request), row, **form.given())):
        messages.success(request, _("The row is kept as it stands now."))
        return redirect("desk:table", of.name)
    context: dict[str, Any] = {"form": form, "title": row.key, "button": _("Keep"), "crumbs": _crumbs(of)}
    return render(request, "desk/row.html", context | {"table": of, "row": row, "meanings": meanings(of)})


@require_POST
def take_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Take an own row out again."""
    row = own_row(shop_of(request), pk)
    actions.take_row_back(who(request), row)
    messages.success(request, _("Taken out. The journal keeps what it said."))
    return redirect("desk:table", row.table) if row.table in tables_with_columns() else redirect("desk:tables")
