"""The pages of places and of what there is only so much of."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from tallboy.book import actions, queries
from tallboy.book.doing import By
from tallboy.book.forms import PlaceForm
from tallboy.book.forms_calendar import ClampsForm, PlaceAirForm, RackForm
from tallboy.book.models import Means, Place, Shop
from tallboy.book.pages import shop_of, succeeds, who
from tallboy.book.views_hours import Crumbs, hours_of, shop_crumbs


@require_http_methods(["GET", "HEAD", "POST"])
def places(request: HttpRequest) -> HttpResponse:
    """Where work is done, and a form to add a place."""
    by = who(request)
    form = PlaceForm(request.POST or None)
    if form.is_valid() and succeeds(form, lambda: actions.add_place(by, **form.cleaned_data)):
        return redirect("book:places")
    context = {"form": form, "places": queries.places(by.shop), "crumbs": shop_crumbs()}
    return render(request, "book/places.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def place(request: HttpRequest, pk: int) -> HttpResponse:
    """One place: its air, how much fits there, and the way to its hours."""
    by = who(request)
    one, rooms = queries.place(by.shop, pk), queries.rooms(by.shop)
    form = PlaceAirForm(request.POST, rooms=rooms) if request.method == "POST" else PlaceAirForm.of(one, rooms)
    if form.is_valid() and succeeds(form, lambda: actions.change_place(by, pk, **form.cleaned_data)):
        messages.success(request, _("That is kept."))
        return redirect("book:places")
    context = {
        "form": form,
        "place": one,
        "own_hours": queries.hours(by.shop, one) != [],
        "week": queries.week(by.shop, one),
        "crumbs": _place_crumbs(),
    }
    return render(request, "book/place.html", context)


def _place_crumbs(one: Place | None = None) -> Crumbs:
    crumbs = [*shop_crumbs(), {"name": _("Places"), "url": reverse("book:places")}]
    if one is not None:
        crumbs.append({"name": one.name, "url": reverse("book:place", args=[one.pk])})
    return crumbs


@require_http_methods(["GET", "HEAD", "POST"])
def place_hours(request: HttpRequest, pk: int) -> HttpResponse:
    """The hours in which a place can be used."""
    one = queries.place(shop_of(request), pk)
    return hours_of(request, one, _place_crumbs(one), reverse("book:place", args=[pk]))


@require_http_methods(["GET", "HEAD", "POST"])
def all_means(request: HttpRequest) -> HttpResponse:
    """What there is only so much of, and forms to add clamps or a rack."""
    by = who(request)
    sent = request.POST.get("kind") if request.method == "POST" else None
    clamps = ClampsForm(request.POST if sent == Means.Kind.CLAMPS else None, auto_id="clamps_%s")
    rack = RackForm(request.POST if sent == Means.Kind.RACK else None, auto_id="rack_%s", shop=by.shop)
    if _added(by, clamps) or _added(by, rack):
        return redirect("book:means")
    context = {"clamps": clamps, "rack": rack, "means": queries.means(by.shop), "crumbs": shop_crumbs()}
    return render(request, "book/means.html", context)


def _added(by: By, form: ClampsForm | RackForm) -> bool:
    kind = Means.Kind.RACK if isinstance(form, RackForm) else Means.Kind.CLAMPS
    return form.is_valid() and succeeds(
        form, lambda: actions.add_means(by, form.cleaned_data["name"], kind, _amount(form))
    )


def _amount(form: ClampsForm | RackForm) -> int:
    return form.amount if isinstance(form, RackForm) else form.cleaned_data["amount"]


@require_http_methods(["GET", "HEAD", "POST"])
def one_of_the_means(request: HttpRequest, pk: int) -> HttpResponse:
    """Some clamps or a rack: another name, another amount."""
    by = who(request)
    one = queries.one_of_the_means(by.shop, pk)
    form = _form_of(one, by.shop, request)
    if form.is_valid() and succeeds(
        form, lambda: actions.change_means(by, pk, form.cleaned_data["name"], _amount(form))
    ):
        return redirect("book:means")
    crumbs = [*shop_crumbs(), {"name": _("Clamps and racks"), "url": reverse("book:means")}]
    return render(request, "book/one_of_the_means.html", {"form": form, "one": one, "crumbs": crumbs})


def _form_of(one: Means, shop: Shop, request: HttpRequest) -> ClampsForm | RackForm:
    sent = request.method == "POST"
    if one.kind == Means.Kind.RACK:
        return RackForm(request.POST, shop=shop) if sent else RackForm.of(one, shop)
    return ClampsForm(request.POST) if sent else ClampsForm(initial={"name": one.name, "amount": one.amount})


@require_POST
def remove_means(request: HttpRequest, pk: int) -> HttpResponse:
    """They are not there any more."""
    actions.remove_means(who(request), pk)
    return redirect("book:means")
