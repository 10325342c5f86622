"""The vessels, their slots, and what goes in and out of them."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from tallboy.book.pages import shop_of, tried, who
from tallboy.drawers.bins.forms import PlaceForm, chosen_place
from tallboy.drawers.pieces import queries as pieces
from tallboy.drawers.pieces import words
from tallboy.drawers.pieces.models import Part
from tallboy.drawers.soaks import actions as act
from tallboy.drawers.soaks import queries
from tallboy.drawers.soaks.forms import PutInForm, VesselForm
from tallboy.drawers.soaks.models import Slot, Vessel

A_PAGE = 40


def crumbs(of: Vessel | None = None) -> list[dict[str, str]]:
    """Where a page is: the drawer, then the vessel."""
    rows = [{"name": _("Soaks"), "url": reverse("soaks:soaks")}]
    if of is not None:
        rows.append({"name": of.name, "url": reverse("soaks:vessel", args=[of.pk])})
    return rows


def _cautions() -> list[dict[str, str]]:
    return words.cautions(["solvent-vapour"])


@require_safe
def soaks(request: HttpRequest) -> HttpResponse:
    """The vessels and how full each is."""
    page = Paginator(queries.vessels_of(shop_of(request)), A_PAGE).get_page(request.GET.get("page"))
    return render(request, "soaks/soaks.html", {"page": page, "cautions": _cautions()})


@require_http_methods(["GET", "HEAD", "POST"])
def add(request: HttpRequest) -> HttpResponse:
    """Add a vessel."""
    form = VesselForm(request.POST or None)
    if form.is_valid() and (made := tried(form, lambda: act.add_vessel(who(request), **form.cleaned_data))):
        messages.success(request, _("Added %(vessel)s.") % {"vessel": made})
        return redirect("soaks:vessel", made.pk)
    context = {"form": form, "title": _("Add a vessel"), "button": _("Add it"), "crumbs": crumbs()}
    return render(request, "one_form.html", context)


@require_safe
def vessel(request: HttpRequest, pk: int) -> HttpResponse:
    """One vessel, its slots drawn as places to tap."""
    row = queries.vessel(shop_of(request), pk)
    lines = queries.slot_lines(row)
    context = {
        "vessel": row,
        "lines": lines,
        "full": sum(line.part is not None for line in lines),
        "cautions": _cautions(),
        "crumbs": crumbs(),
    }
    return render(request, "soaks/vessel.html", context)


@require_safe
def slot(request: HttpRequest, pk: int) -> HttpResponse:
    """One slot: what is in it and where that goes next, or what may go in."""
    row = queries.slot(shop_of(request), pk)
    return _slot_page(request, row)


def _slot_page(request: HttpRequest, row: Slot, form: PutInForm | PlaceForm | None = None) -> HttpResponse:
    part = queries.part_in(row)
    inside = _empty_of(row) if part is None else _holding(row, part)
    context: dict[str, Any] = {
        "slot": row,
        "part": part,
        "cautions": _cautions(),
        "crumbs": crumbs(row.vessel),
        **inside,
    }
    context["page"] = Paginator(context["waiting"], A_PAGE).get_page(request.GET.get("page"))
    if form is not None:
        context["form"] = form
    return render(request, "soaks/slot.html", context)


def _empty_of(row: Slot) -> dict[str, Any]:
    return {"form": PutInForm(), "waiting": queries.waiting_parts(row.shop)}


def _holding(row: Slot, part: Part) -> dict[str, Any]:
    form = PlaceForm(shop=row.shop, initial={"place": queries.place_before(part)})
    return {"form": form, "since": queries.since(part), "waiting": Part.objects.none()}


@require_POST
def put_in(request: HttpRequest, pk: int) -> HttpResponse:
    """Put a part in a slot, by the number on its tag."""
    row = queries.slot(shop_of(request), pk)
    form = PutInForm(request.POST)
    if form.is_valid() and (part := tried(form, lambda: _put_in(request, row, form.cleaned_data["part"]))):
        messages.success(request, _("%(part)s is in %(slot)s.") % {"part": part, "slot": row})
        return redirect("soaks:vessel", row.vessel_id)
    return _slot_page(request, row, form)


def _put_in(request: HttpRequest, row: Slot, number: int) -> Part:
    return act.soak(who(request), pieces.part_numbered(row.shop, number), row)


@require_POST
def empty(request: HttpRequest, pk: int) -> HttpResponse:
    """Take out what is in a slot and lay it in a named place."""
    row = queries.slot(shop_of(request), pk)
    form = PlaceForm(request.POST, shop=row.shop)
    if form.is_valid() and (part := tried(form, lambda: _empty(request, row, form))):
        messages.success(request, _("%(part)s lies in %(place)s.") % {"part": part, "place": part.at_spot})
        return redirect("soaks:vessel", row.vessel_id)
    return _slot_page(request, row, form)


def _empty(request: HttpRequest, row: Slot, form: PlaceForm) -> Part:
    by = who(request)
    with transaction.atomic():
        return act.empty_slot(by, row, chosen_place(by, form))
