"""Take-down, parts and put-back."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from tallboy.book.doing import By
from tallboy.book.pages import done_or_told, shop_of, tried, who
from tallboy.book.queries import journal
from tallboy.drawers.pieces import queries
from tallboy.drawers.pieces.actions import hardware as act
from tallboy.drawers.pieces.actions.piece import add_photo
from tallboy.drawers.pieces.actions.piece import hand_over as hand_over_action
from tallboy.drawers.pieces.drawing import elevation_svg
from tallboy.drawers.pieces.forms import HandOverForm, PartForm, ReasonForm, SpotForm, TakeOffForm
from tallboy.drawers.pieces.models import Part, Piece, PiecePhoto, Position
from tallboy.drawers.pieces.views.shared import chosen_spot, crumbs, label_sheets, leaves, photo_upload
from tallboy.drawers.pieces.whereabouts import Whereabouts

STAND_INS = 60
MOST_LINKS = 40
# How put_back.html names the box for the reason of a position's code or a part's label.
REASON = "reason:"


@require_safe
def take_down(request: HttpRequest, pk: int) -> HttpResponse:
    """The positions of a piece, to tap one after the other."""
    piece = queries.piece(shop_of(request), pk)
    lines = queries.position_lines(piece)
    context = {
        "piece": piece,
        "lines": lines,
        "left": [row for row in lines if row.state == "on"],
        "drawing": elevation_svg(piece, lines, links=True),
        "leaves": leaves(piece, "take-down"),
        "crumbs": crumbs(),
    }
    return render(request, "pieces/take_down.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def position(request: HttpRequest, pk: int) -> HttpResponse:
    """One position: say what came off. Once it is off, its part's page takes over."""
    row = queries.position(shop_of(request), pk)
    part = row.came_off.first()
    if part is not None and request.method != "POST":
        return redirect("pieces:part", part.pk)
    if request.method == "POST":
        form = TakeOffForm(request.POST, request.FILES, shop=shop_of(request))
        if form.is_valid() and (taken := tried(form, lambda: _take_off(request, row, form.cleaned_data))):
            messages.success(request, _("%(part)s is written down.") % {"part": taken})
            return redirect(_next_position(row))
    else:
        form = TakeOffForm.expecting(row, shop_of(request), request.session.get("last_spot", ""))
    return render(request, "pieces/position.html", _position_context(row, form))


def _position_context(row: Position, form: TakeOffForm) -> dict[str, Any]:
    return {
        "position": row,
        "piece": row.piece,
        "form": form,
        "faults": list(row.faults.all()),
        "photos": list(row.photos.select_related("photo")),
        "crumbs": crumbs(row.piece),
    }


def _take_off(request: HttpRequest, row: Position, cleaned: dict[str, Any]) -> Part:
    by = who(request)
    sent = photo_upload(request)
    with transaction.atomic():
        spot = chosen_spot(by, cleaned)
        part = act.take_off(by, row, spot=spot, **_part_fields(cleaned))
        if sent is not None:
            _keep_photo(by, part, sent)
    request.session["last_spot"] = str(spot.pk)
    return part


def _part_fields(cleaned: dict[str, Any]) -> dict[str, Any]:
    return {name: cleaned[name] for name in ("kind", "name", "metal", "screws", "condition", "decision")}


def _keep_photo(by: By, part: Part, sent: tuple[bytes, str]) -> None:
    assert part.piece is not None
    purpose = PiecePhoto.Purpose.TAKE_DOWN
    add_photo(by, part.piece, *sent, purpose=purpose, position=part.home, part=part)


def _next_position(row: Position) -> str:
    """On to the next position that is still on the piece; back to the list when there is none."""
    lines = queries.position_lines(row.piece)
    left = [line.position for line in lines if line.state == "on"]
    after = next((position for position in left if position.number > row.number), left[0] if left else None)
    if after is None:
        return reverse("pieces:take-down", args=[row.piece_id])
    return reverse("pieces:position", args=[after.pk])


@require_POST
def missing(request: HttpRequest, pk: int) -> HttpResponse:
    """Nothing was on this position when the piece came in."""
    row = queries.position(shop_of(request), pk)
    if done_or_told(request, lambda: act.note_missing(who(request), row)) is not None:
        messages.success(request, _("Nothing was on %(position)s: noted.") % {"position": row.name})
    return redirect(_next_position(row))


@require_http_methods(["GET", "HEAD", "POST"])
def leave_empty(request: HttpRequest, pk: int) -> HttpResponse:
    """A position stays empty, with the reason."""
    row = queries.position(shop_of(request), pk)
    form = ReasonForm(request.POST or None)
    if (
        form.is_valid()
        and tried(form, lambda: act.leave_empty(who(request), row, form.cleaned_data["reason"])) is not None
    ):
        return redirect("pieces:put-back", row.piece_id)
    context = {
        "form": form,
        "title": _("Leave %(position)s empty") % {"position": row.name},
        "button": _("Leave it empty"),
        "crumbs": crumbs(row.piece),
    }
    return render(request, "one_form.html", context)


@require_safe
def part(request: HttpRequest, pk: int) -> HttpResponse:
    """One part: what it is, where it is, its history."""
    row = queries.part(shop_of(request), pk)
    where = Whereabouts.of(row)
    context = {
        "part": row,
        "piece": row.piece,
        "where": where,
        "moves": list(row.moves.select_related("owner")),
        "journal": journal(row.shop, "pieces.part", row.pk, limit=20),
        "photos": list(row.photos.select_related("photo")),
        "spot_form": SpotForm(shop=row.shop),
        "form": PartForm(initial={name: getattr(row, name) for name in PartForm.base_fields} | {"kind": row.kind}),
        "gone_form": ReasonForm(prefix="gone"),
        "fits": _fits(row),
        **label_sheets(request),
        "crumbs": crumbs(row.piece),
    }
    return render(request, "pieces/part.html", context)


def _fits(row: Part) -> Position | None:
    """The part's own position, when it could go back on it now."""
    home = row.home
    if home is None or row.at_position_id is not None or row.is_gone or not home.piece.in_the_shop:
        return None
    return None if Part.objects.filter(at_position=home).exists() else home


@require_POST
def describe(request: HttpRequest, pk: int) -> HttpResponse:
    """Change what is written of a part."""
    row = queries.part(shop_of(request), pk)
    form = PartForm(request.POST)
    if form.is_valid():
        done_or_told(request, lambda: act.describe_part(who(request), row, **_part_fields(form.cleaned_data)))
    else:
        messages.error(request, _first_error(form))
    return redirect("pieces:part", pk)


def _first_error(form: PartForm | SpotForm | ReasonForm) -> str:
    name, errors = next(iter(form.errors.items()))
    label = form.fields[name].label if name in form.fields else ""
    return f"{label}: {errors[0]}" if label else str(errors[0])


@require_POST
def lay(request: HttpRequest, pk: int) -> HttpResponse:
    """Lay a part somewhere else."""
    row = queries.part(shop_of(request), pk)
    form = SpotForm(request.POST, shop=shop_of(request))
    if form.is_valid():
        done_or_told(request, lambda: _lay(who(request), row, form.cleaned_data))
    else:
        messages.error(request, _first_error(form))
    return redirect("pieces:part", pk)


def _lay(by: By, row: Part, cleaned: dict[str, Any]) -> Part:
    """A new tray stays out of the book when the part may not be laid in it."""
    with transaction.atomic():
        return act.lay(by, row, chosen_spot(by, cleaned))


@require_POST
def fit(request: HttpRequest, pk: int) -> HttpResponse:
    """Fit a part on a position: its own, unless the form names another."""
    row = queries.part(shop_of(request), pk)
    wanted = request.POST.get("position", "")
    home = queries.position(row.shop, int(wanted)) if wanted.isdecimal() else row.home
    if home is None:
        messages.error(request, _("This part came off no piece; choose the position on the piece's put-back list."))
        return redirect("pieces:part", pk)
    if done_or_told(request, lambda: act.put_on(who(request), row, home)):
        messages.success(request, _("%(part)s is fitted on %(position)s.") % {"part": row, "position": home.name})
    return redirect("pieces:put-back", home.piece_id)


@require_POST
def gone(request: HttpRequest, pk: int) -> HttpResponse:
    """A part has left the shop."""
    row = queries.part(shop_of(request), pk)
    form = ReasonForm(request.POST, prefix="gone")
    if form.is_valid():
        done_or_told(request, lambda: act.part_gone(who(request), row, form.cleaned_data["reason"]))
    else:
        messages.error(request, _first_error(form))
    return redirect("pieces:part", pk)


@require_safe
def by_number(request: HttpRequest, number: int) -> HttpResponse:
    """What a tag's code leads to."""
    return redirect("pieces:part", queries.part_numbered(shop_of(request), number).pk)


@require_http_methods(["GET", "HEAD"])
def stand_in(request: HttpRequest, pk: int) -> HttpResponse:
    """Kept parts of the kind a position wants, to fit one of them."""
    row = queries.position(shop_of(request), pk)
    parts = list(queries.stand_ins(row)[:STAND_INS])
    context = {"position": row, "piece": row.piece, "parts": parts, "crumbs": crumbs(row.piece)}
    return render(request, "pieces/stand_in.html", context)


@require_safe
def put_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Every position and where its part is; what stands between the piece and its hand-over."""
    piece = queries.piece(shop_of(request), pk)
    return render(request, "pieces/put_back.html", _put_back_context(piece, HandOverForm()))


def _put_back_context(piece: Piece, form: HandOverForm) -> dict[str, Any]:
    lines = queries.position_lines(piece)
    return {
        "piece": piece,
        "lines": lines,
        "unaccounted": [row for row in lines if not row.accounted],
        "loose": list(queries.loose_parts(piece)),
        # On a very full drawing no circle is as wide as a finger; the list beside it is, and the page stays light.
        "drawing": elevation_svg(piece, lines, links=len(lines) <= MOST_LINKS),
        "form": form,
        "leaves": leaves(piece, "put-back"),
        "crumbs": crumbs(),
    }


@require_POST
def hand_over(request: HttpRequest, pk: int) -> HttpResponse:
    """Hand the piece over, with the reasons typed beside what is not accounted for."""
    piece = queries.piece(shop_of(request), pk)
    form = HandOverForm(request.POST)
    reasons = {key.removeprefix(REASON): str(value) for key, value in request.POST.items() if key.startswith(REASON)}
    if form.is_valid():
        note = form.cleaned_data["note"]
        if tried(form, lambda: hand_over_action(who(request), piece, note=note, reasons=reasons)):
            messages.success(request, _("%(piece)s is handed over.") % {"piece": piece.name})
            return redirect("pieces:piece", pk)
    return render(request, "pieces/put_back.html", _put_back_context(piece, form), status=409)
