"""The bins, what lies in them, and every kept part."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.core.paginator import Page, Paginator
from django.db import transaction
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from tallboy.book.pages import done_or_told, shop_of, tried, who, whole_number
from tallboy.drawers.bins import actions as act
from tallboy.drawers.bins import queries
from tallboy.drawers.bins.forms import BinForm, FindForm, KeepForm, PlaceForm, chosen_place
from tallboy.drawers.bins.models import Bin
from tallboy.drawers.pieces import queries as pieces
from tallboy.drawers.pieces.actions.hardware import keep_part, lay, part_gone
from tallboy.drawers.pieces.forms import ReasonForm
from tallboy.drawers.pieces.models import Part

A_PAGE = 40


def crumbs(of: Bin | None = None) -> list[dict[str, str]]:
    """Where a page is: the drawer, then the bin."""
    rows = [{"name": _("Bins"), "url": reverse("bins:bins")}]
    if of is not None:
        rows.append({"name": of.spot.name, "url": reverse("bins:bin", args=[of.pk])})
    return rows


def _page(request: HttpRequest, parts: QuerySet[Part]) -> Page[Part]:
    return Paginator(queries.told(parts), A_PAGE).get_page(request.GET.get("page"))


@require_safe
def bins(request: HttpRequest) -> HttpResponse:
    """The bins and how many parts lie in each."""
    shop = shop_of(request)
    page = Paginator(queries.bins_of(shop), A_PAGE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "lines": queries.bin_lines(list(page)),
        "kept": queries.kept_parts(shop).count(),
        "form": FindForm(),
    }
    return render(request, "bins/bins.html", context)


@require_safe
def one_bin(request: HttpRequest, pk: int) -> HttpResponse:
    """One bin and its parts."""
    row = queries.one_bin(shop_of(request), pk)
    page = _page(request, Part.objects.filter(at_spot=row.spot))
    return render(request, "bins/bin.html", {"bin": row, "page": page, "crumbs": crumbs()})


@require_safe
def parts(request: HttpRequest) -> HttpResponse:
    """Every kept part, found by words and kind."""
    form = FindForm(request.GET)
    asked = form.cleaned_data if form.is_valid() else {"words": "", "kind": ""}
    found = queries.matching(queries.kept_parts(shop_of(request)), asked["words"], asked["kind"])
    filters = urlencode({name: value for name, value in asked.items() if value})
    context = {
        "form": form,
        "filtered": bool(filters),
        "page": _page(request, found),
        "query": f"{filters}&" if filters else "",
        "crumbs": crumbs(),
    }
    return render(request, "bins/parts.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def add(request: HttpRequest) -> HttpResponse:
    """Add a bin."""
    form = BinForm(request.POST or None)
    if form.is_valid() and (made := tried(form, lambda: act.add_bin(who(request), **form.cleaned_data))):
        messages.success(request, _("Added %(bin)s.") % {"bin": made})
        return redirect("bins:bin", made.pk)
    return _one_form(request, form, _("Add a bin"), _("Add it"))


def _one_form(request: HttpRequest, form: Any, title: str, button: str, of: Bin | None = None) -> HttpResponse:
    context = {"form": form, "title": title, "button": button, "crumbs": crumbs(of)}
    return render(request, "one_form.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def keep(request: HttpRequest) -> HttpResponse:
    """Write down a part that came from no piece in the book."""
    shop = shop_of(request)
    form = KeepForm(request.POST or None, shop=shop, initial={"place": request.GET.get("place", "")})
    if form.is_valid() and (kept := tried(form, lambda: _keep(request, form))):
        messages.success(request, _("%(part)s is kept in %(place)s.") % {"part": kept, "place": kept.at_spot})
        return redirect(_back_to(kept))
    return _one_form(request, form, _("Keep a part"), _("Keep it"))


def _keep(request: HttpRequest, form: KeepForm) -> Part:
    by = who(request)
    fields = {name: form.cleaned_data[name] for name in ("kind", "name", "metal", "screws", "condition")}
    with transaction.atomic():
        return keep_part(by, spot=chosen_place(by, form), **fields)


def _bin_of(part: Part) -> Bin | None:
    """The bin that a part lies in, if it lies in one."""
    return Bin.objects.filter(spot=part.at_spot_id).select_related("spot").first() if part.at_spot_id else None


def _back_to(part: Part, before: Bin | None = None) -> str:
    """The bin a part was taken from, or lies in, or else the list of kept parts."""
    bin_page = before or _bin_of(part)
    return reverse("bins:bin", args=[bin_page.pk]) if bin_page else reverse("bins:parts")


@require_http_methods(["GET", "HEAD", "POST"])
def move(request: HttpRequest, pk: int) -> HttpResponse:
    """Move a part to another bin, a tray or the bench."""
    row = pieces.part(shop_of(request), pk)
    before = _bin_of(row)
    form = PlaceForm(request.POST or None, shop=row.shop, without=row.at_spot)
    if form.is_valid() and (moved := tried(form, lambda: _move(request, row, form))):
        messages.success(request, _("%(part)s lies in %(place)s.") % {"part": moved, "place": moved.at_spot})
        return redirect(_back_to(moved, before))
    return _one_form(request, form, _("Move %(part)s") % {"part": row}, _("Move it there"), before)


def _move(request: HttpRequest, row: Part, form: PlaceForm) -> Part:
    by = who(request)
    with transaction.atomic():
        return lay(by, row, chosen_place(by, form))


@require_http_methods(["GET", "HEAD", "POST"])
def gone(request: HttpRequest, pk: int) -> HttpResponse:
    """A kept part has left the shop, with the reason."""
    row = pieces.part(shop_of(request), pk)
    before = _bin_of(row)
    form = ReasonForm(request.POST or None)
    if form.is_valid() and (left := tried(form, lambda: part_gone(who(request), row, form.cleaned_data["reason"]))):
        messages.success(request, _("%(part)s is written down as gone.") % {"part": left})
        return redirect(_back_to(left, before))
    return _one_form(request, form, _("%(part)s has left the shop") % {"part": row}, _("It is gone"), before)


@require_POST
def retire(request: HttpRequest, pk: int) -> HttpResponse:
    """Keep a part for another piece: in the bin that was chosen, or in the one for kept parts."""
    row = pieces.part(shop_of(request), pk)
    wanted = request.POST.get("bin", "")
    number = whole_number(wanted)
    if wanted and number is None:
        messages.error(request, _("Choose a bin from the list."))
        return redirect("pieces:part", pk)
    chosen = None if number is None else queries.one_bin(row.shop, number)
    if kept := done_or_told(request, lambda: act.retire(who(request), row, chosen)):
        messages.success(request, _("%(part)s is kept in %(place)s.") % {"part": kept, "place": kept.at_spot})
    return redirect("pieces:part", pk)
