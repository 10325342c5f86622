"""The papers of a piece."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from tallboy.book.pages import done_or_told, pdf_answer, shop_of, who, whole_number
from tallboy.drawers.pieces import papers as make
from tallboy.drawers.pieces import queries
from tallboy.drawers.pieces.actions.hardware import mark_tags_printed
from tallboy.drawers.pieces.views.shared import crumbs, label_sheets, leaves


@require_safe
def papers(request: HttpRequest, pk: int) -> HttpResponse:
    """Which papers there are."""
    piece = queries.piece(shop_of(request), pk)
    parts = make.parts_to_tag(piece)
    context = {
        "piece": piece,
        "parts": parts,
        "without_tag": [part for part in parts if part.tag_printed_at is None],
        **label_sheets(request),
        "leaves": leaves(piece, "papers"),
        "crumbs": crumbs(),
    }
    return render(request, "pieces/papers.html", context)


@require_POST
def tags(request: HttpRequest, pk: int) -> HttpResponse:
    """Tags of the chosen parts, of those without a tag yet, or of all loose parts; they count as printed from now on."""
    by = who(request)
    piece = queries.piece(by.shop, pk)
    parts = make.parts_to_tag(piece)
    if request.POST.get("which") == "new":
        parts = [part for part in parts if part.tag_printed_at is None]
    elif (wanted := whole_number(request.POST.get("part", ""))) is not None:
        parts = [part for part in parts if part.pk == wanted]
    if not parts:
        messages.warning(request, _("There is no tag to print: nothing is off the piece, or every tag is printed."))
        return redirect("pieces:papers", pk)
    first = whole_number(request.POST.get("first", ""))
    sheet = request.POST.get("sheet", "")
    pdf = done_or_told(request, lambda: make.tags(parts, sheet, by.at, 1 if first is None else first))
    if pdf is None:
        return redirect("pieces:papers", pk)
    mark_tags_printed(by, parts)
    request.session["sheet"] = sheet
    return pdf_answer(pdf, f"tags-{piece.number}")


@require_safe
def take_down(request: HttpRequest, pk: int) -> HttpResponse:
    """The take-down record."""
    by = who(request)
    piece = queries.piece(by.shop, pk)
    return pdf_answer(make.take_down_record(piece, by.at), f"take-down-{piece.number}")


@require_safe
def put_back(request: HttpRequest, pk: int) -> HttpResponse:
    """The put-back list."""
    by = who(request)
    piece = queries.piece(by.shop, pk)
    return pdf_answer(make.put_back_list(piece, by.at), f"put-back-{piece.number}")
