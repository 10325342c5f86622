"""The pages of the Ledger drawer: hours by piece, person and week; one piece by step; correcting a clock."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from tallboy.book.models import Shop
from tallboy.book.pages import shop_of, tried, who
from tallboy.drawers.ledger import actions, queries
from tallboy.drawers.ledger.forms import CorrectionForm
from tallboy.drawers.ledger.hours import money
from tallboy.drawers.ledger.table import clock_csv
from tallboy.drawers.pieces import queries as pieces
from tallboy.drawers.pieces.models import Piece

PIECES_A_PAGE = 25
ENTRIES_A_PAGE = 25


def crumbs(piece: Piece | None = None) -> list[dict[str, str]]:
    """Where a page of this drawer is."""
    rows = [{"name": _("Ledger"), "url": reverse("ledger:ledger")}]
    if piece is not None:
        rows.append({"name": f"{piece.number} {piece.name}", "url": reverse("ledger:piece", args=[piece.pk])})
    return rows


def working(hours: queries.Hours, shop: Shop) -> dict[str, Any]:
    """What hours come to at the shop's rate, with how that is worked out."""
    return {
        "value": money(hours.money, shop),
        "label": _("how this is worked out"),
        "inputs": [
            {"name": _("Hours"), "value": hours.words},
            {"name": _("Rate an hour"), "value": money(shop.rate, shop)},
        ],
        "formula": _(
            "amount = hours × rate, to the second, rounded once to the currency's smallest unit; a half goes to the even side"
        ),
        "source": _(
            "the clock; a clock still running counts up to now. Each amount is rounded by itself, so a list may differ "
            "from its sum by a few of the smallest units."
        ),
    }


@require_safe
def ledger(request: HttpRequest) -> HttpResponse:
    """Hours from the clock, by week, by person and by piece, at the shop's rate."""
    by = who(request)
    page = Paginator(queries.pieces_worked_on(by.shop), PIECES_A_PAGE).get_page(request.GET.get("page"))
    lately = queries.lately(by.shop, by.at)
    context = {
        "this_week": queries.this_week(by.shop, by.at),
        "lately": lately,
        "working": working(lately.total, by.shop),
        "page": page,
        "pieces": queries.by_piece(by.shop, list(page), by.at),
        "forgotten": queries.forgotten(by.shop, by.at),
    }
    return render(request, "ledger/ledger.html", context)


@require_safe
def piece(request: HttpRequest, pk: int) -> HttpResponse:
    """The hours of one piece: each step's estimate beside what the clock says."""
    by = who(request)
    row = pieces.piece(by.shop, pk)
    hours = queries.by_piece(by.shop, [row], by.at)[0]
    page = Paginator(queries.piece_entries(row), ENTRIES_A_PAGE).get_page(request.GET.get("page"))
    steps = queries.by_step(row, by.at)
    context: dict[str, Any] = {
        "piece": row,
        "hours": hours,
        "steps": steps,
        "asked": "; ".join(step.asked for step in steps if step.asked),
        "page": page,
        "working": working(hours, by.shop),
        "crumbs": crumbs(),
    }
    return render(request, "ledger/piece.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def correct(request: HttpRequest, pk: int) -> HttpResponse:
    """Write the true times of a stretch of work."""
    by = who(request)
    entry = queries.entry(by.shop, pk)
    form = CorrectionForm(request.POST) if request.method == "POST" else CorrectionForm.of(entry, by.shop)
    if form.is_valid() and tried(form, lambda: actions.correct_clock(by, entry, **form.cleaned_data)) is not None:
        messages.success(request, _("Corrected. The journal keeps what the clock said."))
        return redirect("ledger:piece", entry.step.piece_id)
    context = {"form": form, "entry": entry, "crumbs": crumbs(entry.step.piece)}
    return render(request, "ledger/correct.html", context)


@require_safe
def clock(request: HttpRequest) -> HttpResponse:
    """Every clock entry as a table for a spreadsheet."""
    shop = shop_of(request)
    data = clock_csv(shop, queries.all_entries(shop).iterator(chunk_size=2000))
    disposition = {"Content-Disposition": 'attachment; filename="clock.csv"'}
    return HttpResponse(data, content_type="text/csv; charset=utf-8", headers=disposition)
