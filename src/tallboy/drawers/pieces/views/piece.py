"""The list of pieces and the page of one piece."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from tallboy.book.pages import done_or_told, shop_of, tried, who, whole_number
from tallboy.book.queries import journal
from tallboy.drawers.air.queries import latest
from tallboy.drawers.pieces import queries, words
from tallboy.drawers.pieces.actions import piece as act
from tallboy.drawers.pieces.deliveries import expected
from tallboy.drawers.pieces.drawing import drawing_alone, elevation_svg
from tallboy.drawers.pieces.forms import FaultForm, NoteForm, PhotoForm, SpotTestForm
from tallboy.drawers.pieces.intake_form import EditForm
from tallboy.drawers.pieces.models import Fault, Part, Piece, PiecePhoto, Position
from tallboy.drawers.pieces.views.shared import crumbs, leaves, needed_photo
from tallboy.errors import NotFound

A_PAGE = 30


@require_safe
def pieces(request: HttpRequest) -> HttpResponse:
    """The pieces in the shop."""
    rows = queries.with_counts(queries.in_the_shop(shop_of(request)))
    page = Paginator(rows, A_PAGE).get_page(request.GET.get("page"))
    gone = queries.handed_over(shop_of(request)).count()
    return render(request, "pieces/pieces.html", {"page": page, "gone": gone})


@require_safe
def handed_over(request: HttpRequest) -> HttpResponse:
    """The pieces that have gone home."""
    page = Paginator(queries.handed_over(shop_of(request)), A_PAGE).get_page(request.GET.get("page"))
    return render(request, "pieces/handed_over.html", {"page": page, "crumbs": crumbs()})


@require_safe
def piece(request: HttpRequest, pk: int) -> HttpResponse:
    """One piece: its drawing, positions, faults, tests, photographs and notes."""
    return render(request, "pieces/piece.html", _context(request, pk))


def _context(request: HttpRequest, pk: int) -> dict[str, Any]:
    row = queries.piece(shop_of(request), pk)
    lines = queries.position_lines(row)
    return {
        "piece": row,
        "lines": lines,
        "drawing": elevation_svg(row, lines, links=True),
        "parts_words": queries.parts_words(lines),
        "still_on": any(line.state == "on" for line in lines),
        "faults": queries.faults_of(row),
        "tests": list(row.spot_tests.all()),
        "photos": list(row.photos.select_related("photo", "position")),
        "note_form": NoteForm(),
        "notes": list(row.notes.select_related("owner")[:30]),
        "surfaces": queries.surfaces_of(row),
        "reading": latest(row.shop, who(request).at),
        "journal": journal(row.shop, "pieces.piece", row.pk, limit=15),
        "lead": words.cautions(["lead"])[0] if row.lead_unknown or row.lead_test == Piece.Lead.FOUND else None,
        "expected": expected(row.shop, who(request).at, piece=row) if row.in_the_shop else [],
        "leaves": leaves(row, "piece"),
        "crumbs": crumbs(),
    }


@require_safe
def elevation(request: HttpRequest, pk: int) -> HttpResponse:
    """The drawing alone, true to scale, to save or print."""
    row = queries.piece(shop_of(request), pk)
    svg = drawing_alone(row, queries.position_lines(row))
    if not svg:
        raise NotFound(_("There is no drawing of this piece yet."))
    return HttpResponse(svg, content_type="image/svg+xml")


@require_http_methods(["GET", "HEAD", "POST"])
def edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Change what is written of a piece."""
    row = queries.piece(shop_of(request), pk)
    form = EditForm(request.POST or None, initial={name: getattr(row, name) for name in EditForm.base_fields})
    if form.is_valid() and tried(form, lambda: act.edit_piece(who(request), row, **form.cleaned_data)) is not None:
        return redirect("pieces:piece", pk)
    context = {"form": form, "title": _("Change what is written"), "button": _("Keep"), "crumbs": crumbs(row)}
    return render(request, "one_form.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def add_fault(request: HttpRequest, pk: int) -> HttpResponse:
    """Write down a fault."""
    row = queries.piece(shop_of(request), pk)
    place = row.positions.filter(pk=_asked(request, "position")).first()
    form = FaultForm(request.POST or None, initial={"where": place.name if place else ""})
    if form.is_valid() and tried(form, lambda: _add_fault(request, row, form, place)) is not None:
        messages.success(request, _("Written down. Lay the steps out again to add its repair."))
        return redirect("pieces:piece", pk)
    context = {"form": form, "title": _("A fault found"), "button": _("Write it down"), "crumbs": crumbs(row)}
    return render(request, "one_form.html", context)


def _add_fault(request: HttpRequest, row: Piece, form: FaultForm, place: Position | None) -> Fault:
    return act.add_fault(who(request), row, **form.cleaned_data, position=place)


def _asked(request: HttpRequest, name: str) -> int:
    """The number of a position or part that the address names; 0, which is nobody's, when it names none."""
    return whole_number(request.GET.get(name, "")) or 0


@require_http_methods(["GET", "HEAD", "POST"])
def add_spot_test(request: HttpRequest, pk: int) -> HttpResponse:
    """Write down a spot test."""
    row = queries.piece(shop_of(request), pk)
    form = SpotTestForm(request.POST or None)
    if form.is_valid() and tried(form, lambda: act.add_spot_test(who(request), row, **form.cleaned_data)) is not None:
        return redirect("pieces:piece", pk)
    context = {
        "form": form,
        "title": _("A spot test"),
        "button": _("Write it down"),
        "crumbs": crumbs(row),
        "cautions": words.cautions(["solvent-vapour"]),
    }
    return render(request, "one_form.html", context)


@require_POST
def add_note(request: HttpRequest, pk: int) -> HttpResponse:
    """Write a remark on a piece."""
    row = queries.piece(shop_of(request), pk)
    form = NoteForm(request.POST)
    if form.is_valid():
        done_or_told(request, lambda: act.add_note(who(request), row, form.cleaned_data["text"]))
    else:
        messages.error(request, _("The note is empty. Write a word."))
    return redirect("pieces:piece", pk)


@require_http_methods(["GET", "HEAD", "POST"])
def add_photo(request: HttpRequest, pk: int) -> HttpResponse:
    """Keep a photograph of a piece, or of the part that the address names."""
    row = queries.piece(shop_of(request), pk)
    part = row.parts.filter(pk=_asked(request, "part")).first()
    form = PhotoForm(request.POST or None, request.FILES or None, initial={"purpose": "during"})
    if form.is_valid() and tried(form, lambda: _add_photo(request, row, form, part)) is not None:
        return redirect("pieces:part", part.pk) if part else redirect("pieces:piece", pk)
    context = {
        "form": form,
        "title": _("A photograph of the %(piece)s") % {"piece": part.name if part else row.name},
        "button": _("Keep it"),
        "crumbs": crumbs(row),
    }
    return render(request, "one_form.html", context)


def _add_photo(request: HttpRequest, row: Piece, form: PhotoForm, part: Part | None) -> PiecePhoto:
    cleaned = form.cleaned_data
    return act.add_photo(
        who(request),
        row,
        *needed_photo(request),
        purpose=cleaned["purpose"],
        caption=cleaned["caption"],
        part=part,
        position=part.home if part else None,
    )
