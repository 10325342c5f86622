"""Taking a piece in, drawing its front, putting points on a photograph."""

from __future__ import annotations

from itertools import count
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_safe

from tallboy.book.fields import offer
from tallboy.book.pages import done_or_told, shop_of, tried, who
from tallboy.drawers.pieces import queries, words
from tallboy.drawers.pieces.actions import intake as act
from tallboy.drawers.pieces.drawing import elevation_svg
from tallboy.drawers.pieces.forms import PhotoForm
from tallboy.drawers.pieces.front_form import FrontForm, RowForms, front_from_forms, is_simple, rows_of
from tallboy.drawers.pieces.intake_form import TakeInForm, takein_from_form
from tallboy.drawers.pieces.models import Piece
from tallboy.drawers.pieces.takein import takein_of
from tallboy.drawers.pieces.views.shared import crumbs, leaves, needed_photo, photo_uploads
from tallboy.errors import BadFile, BadInput
from tallboy.front.piecefile import LARGEST_FILE, piece_file, read_piece_file
from tallboy.front.shape import front_from_dict


class PieceFileForm(forms.Form):
    """A piece file and the photographs it names."""

    file = forms.FileField(label=gettext_lazy("Piece file"), widget=forms.FileInput(attrs={"accept": ".toml"}))
    photos = forms.FileField(
        label=gettext_lazy("Photographs it names"), required=False, widget=forms.FileInput(attrs={"accept": "image/*"})
    )


@require_http_methods(["GET", "HEAD", "POST"])
def take_in(request: HttpRequest) -> HttpResponse:
    """The take-in form."""
    shop = shop_of(request)
    form = TakeInForm(request.POST or None, request.FILES or None, shop=shop)
    if form.is_valid() and (piece := tried(form, lambda: _take_in(request, form))):
        messages.success(request, _("%(piece)s is taken in.") % {"piece": piece})
        return _onwards(form.cleaned_data["route"], piece)
    return render(request, "pieces/take_in.html", {"form": form, "crumbs": crumbs()})


def _take_in(request: HttpRequest, form: TakeInForm) -> Piece:
    sent = photo_uploads(request, "photos")
    takein, files = takein_from_form(form.cleaned_data, sent)
    return act.take_in(who(request), takein, files)


def _onwards(route: str, piece: Piece) -> HttpResponse:
    """On to the points of a free drawing, to the cans of the chosen route, or to the piece."""
    if piece.front is None:
        return redirect("pieces:points", piece.pk)
    if route:
        return redirect(reverse("today:lay-out", args=[piece.pk], query={"route": route}))
    return redirect("pieces:piece", piece.pk)


@require_http_methods(["GET", "HEAD", "POST"])
def take_in_file(request: HttpRequest) -> HttpResponse:
    """Take a piece in from a piece file."""
    form = PieceFileForm(request.POST or None, request.FILES or None)
    if form.is_valid() and (piece := tried(form, lambda: _take_in_file(request, form))):
        messages.success(request, _("%(piece)s is taken in.") % {"piece": piece})
        return redirect("pieces:piece", piece.pk)
    return render(request, "pieces/take_in_file.html", {"form": form, "crumbs": crumbs()})


def _take_in_file(request: HttpRequest, form: PieceFileForm) -> Piece:
    file = form.cleaned_data["file"]
    if file.size is not None and file.size > LARGEST_FILE:
        raise BadFile(
            _("%(name)s is too large for a piece file.") % {"name": file.name},
            _("It is a short text of at most 1 MB; photographs are chosen beside it."),
        )
    try:
        text = file.read().decode("utf-8")
    except UnicodeDecodeError:
        raise BadFile(_("%(name)s is not a text in UTF-8.") % {"name": file.name}, _("Save it as UTF-8.")) from None
    takein = read_piece_file(text, name=file.name or "piece.toml")
    # A browser sends bare file names; a piece file may name folders.
    by_name = {name: data for data, name in photo_uploads(request, "photos")}
    named = [photo.file for photo in takein.photos] + ([takein.free.photo] if takein.free else [])
    files = {name: by_name[name.rsplit("/", 1)[-1]] for name in named if name.rsplit("/", 1)[-1] in by_name}
    return act.take_in(who(request), takein, files)


@require_safe
def piece_file_view(request: HttpRequest, pk: int) -> HttpResponse:
    """The piece written out as a piece file."""
    piece = queries.piece(shop_of(request), pk)
    text = piece_file(takein_of(piece))
    disposition = f'attachment; filename="{piece.number}.toml"'
    return HttpResponse(
        text, content_type="application/toml; charset=utf-8", headers={"Content-Disposition": disposition}
    )


@require_http_methods(["GET", "HEAD", "POST"])
def front(request: HttpRequest, pk: int) -> HttpResponse:
    """Change the rows, doors, drawers and fittings of a front."""
    piece = queries.piece(shop_of(request), pk)
    if piece.front is None:
        return redirect("pieces:points", pk)
    shop = piece.shop
    before = front_from_dict(piece.front)
    if request.method == "POST":
        form = FrontForm(request.POST, shop=shop)
        rows = RowForms(request.POST, prefix="row", form_kwargs={"shop": shop})
        if form.is_valid() and rows.is_valid():
            wanted = tried(form, lambda: front_from_forms(before, form, rows))
            if wanted is not None and tried(form, lambda: act.draw_front(who(request), piece, wanted)) is not None:
                return redirect("pieces:piece", pk)
    else:
        form = FrontForm(initial=FrontForm.showing(before, shop), shop=shop)
        rows = RowForms(initial=rows_of(before, shop), prefix="row", form_kwargs={"shop": shop})
    context = {
        "piece": piece,
        "form": form,
        "rows": rows,
        "simple": is_simple(before),
        "drawing": elevation_svg(piece, queries.position_lines(piece), links=False),
        "leaves": leaves(piece, "piece"),
        "crumbs": crumbs(piece),
    }
    return render(request, "pieces/front.html", context)


class PointForm(forms.Form):
    """One point on the photograph."""

    kind = forms.ChoiceField(label=gettext_lazy("What sits there"))
    name = forms.CharField(
        label=gettext_lazy("Its place"),
        max_length=120,
        required=False,
        help_text=gettext_lazy("Like lid, left hinge. Left empty it is numbered: hinge 1."),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer(self, "kind", words.part_kind_choices())


@require_http_methods(["GET", "HEAD", "POST"])
def points(request: HttpRequest, pk: int) -> HttpResponse:
    """The free drawing: choose the photograph, then tap where a part sits, after naming it."""
    piece = queries.piece(shop_of(request), pk)
    tapped = _tapped_width(request)
    form = PointForm(request.POST if tapped else None)
    if request.method == "POST" and not tapped:
        if done_or_told(request, lambda: _choose_photo(request, piece)) is not None:
            return redirect("pieces:points", pk)
    elif form.is_valid() and tried(form, lambda: _add_point(request, piece, form, tapped)) is not None:
        return redirect("pieces:points", pk)
    lines = queries.position_lines(piece)
    context = {
        "piece": piece,
        "form": form,
        "lines": lines,
        "drawing": elevation_svg(piece, lines, links=False),
        "tap_widths": TAP_WIDTHS,
        "photo_form": PhotoForm(),
        "crumbs": crumbs(piece),
    }
    return render(request, "pieces/points.html", context)


# How wide the photograph to tap on is shown, on a phone and on a desk, in CSS pixels: pieces.css says the same. A tap
# comes as pixels of the picture as it is shown, so its width must be known here.
TAP_WIDTHS = (320, 680)


def _tapped_width(request: HttpRequest) -> int:
    """The width of the photograph that was tapped; 0 when none was."""
    return next((width for width in TAP_WIDTHS if f"tap{width}.x" in request.POST), 0)


def _choose_photo(request: HttpRequest, piece: Piece) -> Piece:
    return act.set_free_photo(who(request), piece, *needed_photo(request))


def _add_point(request: HttpRequest, piece: Piece, form: PointForm, width: int) -> Any:
    photo = piece.free_photo
    if photo is None:
        raise BadInput(_("There is no photograph to put a point on."), _("Choose one first."))
    try:
        x, y = int(request.POST[f"tap{width}.x"]), int(request.POST[f"tap{width}.y"])
    except (KeyError, ValueError):
        raise BadInput(_("That tap had no place."), _("Tap on the photograph.")) from None
    height = width * photo.height / photo.width
    shares = (x / width, y / height)
    kind = form.cleaned_data["kind"]
    return act.add_point(who(request), piece, *shares, form.cleaned_data["name"] or _numbered(piece, kind), kind)


def _numbered(piece: Piece, kind: str) -> str:
    """The first free name of a point that was given none: "hook 1", "hook 2"."""
    taken = set(piece.positions.values_list("name", flat=True))
    return next(name for name in (f"{kind} {number}" for number in count(1)) if name not in taken)
