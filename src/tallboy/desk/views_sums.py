"""The pages of the sums: all of them, and one with its inputs and its answer."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from tallboy.book.pages import shop_of
from tallboy.desk.answering import Asking, asking, shown
from tallboy.desk.rows import rows_of
from tallboy.desk.sum_form import SumForm, example_of, told, typed_in
from tallboy.tables.rows import Rows, table, tables_with_columns
from tallboy.workings import known
from tallboy.workings.kinds import Working
from tallboy.workings.looked_for import LOOKED_FOR

MOST_WORDS = 8


@require_safe
def sums(request: HttpRequest) -> HttpResponse:
    """All sums by family, or those in which the words looked for are found."""
    words = request.GET.get("find", "")[:200].casefold().split()[:MOST_WORDS]
    rows = rows_of(shop_of(request)) if words else Rows()
    found = [one for one in known.all_workings().values() if not words or _has(_told(one, rows), words)]
    families = [
        {"key": key, "name": name, "sums": [one for one in found if one.family == key]}
        for key, name in known.FAMILIES.items()
    ]
    context = {
        "families": [family for family in families if family["sums"]],
        "find": request.GET.get("find", "")[:200],
        "count": len(found),
    }
    return render(request, "desk/sums.html", context)


def _told(one: Working, rows: Rows) -> str:
    """All that a sum says of itself and of what can be chosen in it, and what else it is looked for by."""
    parts = [one.name, one.title, one.asks, known.FAMILIES[one.family], LOOKED_FOR.get(one.name, "")]
    for asked in one.inputs:
        parts += [asked.label, asked.help, *(words for _key, words in asked.choices)]
        parts += [str(row["key"]) for row in rows.of(asked.table)] if asked.table else []
    return " ".join(parts).casefold()


def _has(told: str, words: list[str]) -> bool:
    return all(word in told for word in words)


@require_safe
def one_sum(request: HttpRequest, name: str) -> HttpResponse:
    """One sum: its inputs, and its answer once they are filled in. The address carries the inputs."""
    wanted = known.working(name)
    shop = shop_of(request)
    rows = rows_of(shop)
    came = asking(wanted, typed_in(wanted, request.GET), rows, shop.units)
    return render(request, "desk/sum.html", _context(wanted, came, rows, shop.units))


def _context(wanted: Working, came: Asking, rows: Rows, system: str) -> dict[str, Any]:
    return {
        "sum": wanted,
        "form": SumForm(wanted, came.typed, came.wrong, rows, system),
        "came": came,
        "shown": None if came.answer is None else shown(came.answer, system),
        "told": told(wanted, came.typed, system),
        "example": f"?{urlencode(example_of(wanted, system))}",
        "tables": [table(name) for name in tables_with_columns() if name in {asked.table for asked in wanted.inputs}],
        "crumbs": [{"name": _("Sums"), "url": reverse("desk:sums")}],
    }
