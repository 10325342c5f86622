"""The shop's own pages: settings, hours, days off, places, people, the journal, and its photographs."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.core.paginator import Paginator
from django.http import FileResponse, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from tallboy.book import actions, photos, queries
from tallboy.book.forms import DayOffForm, HoursForm, PlaceForm, SettingsForm
from tallboy.book.pages import shop_of, succeeds, who
from tallboy.errors import NotFound

ON_A_PAGE = 50
A_YEAR = 365 * 24 * 3600


def _crumbs() -> list[dict[str, str]]:
    return [{"name": _("The shop"), "url": reverse("book:shop")}]


@require_http_methods(["GET", "HEAD", "POST"])
def shop(request: HttpRequest) -> HttpResponse:
    """The shop at a glance, and its settings."""
    by = who(request)
    form = SettingsForm(request.POST) if request.method == "POST" else SettingsForm.of(by.shop)
    if form.is_valid() and succeeds(form, lambda: actions.change_shop(by, **form.cleaned_data)):
        messages.success(request, _("The shop's settings are kept."))
        return redirect("book:shop")
    context = {
        "form": form,
        "week": queries.week(by.shop),
        "days_off": queries.days_off(by.shop, by.at)[:3],
        "places": queries.places(by.shop),
        "people": queries.people(by.shop),
    }
    return render(request, "book/shop.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def hours(request: HttpRequest) -> HttpResponse:
    """The working week."""
    by = who(request)
    form = HoursForm(request.POST or None, hours=queries.hours(by.shop))
    if form.is_valid() and succeeds(form, lambda: actions.set_hours(by, form.hours())):
        messages.success(request, _("The working hours are kept."))
        return redirect("book:shop")
    return render(request, "book/hours.html", {"form": form, "crumbs": _crumbs()})


@require_http_methods(["GET", "HEAD", "POST"])
def days_off(request: HttpRequest) -> HttpResponse:
    """Days on which nobody works: those to come, and a form to add more."""
    by = who(request)
    form = DayOffForm(request.POST or None)
    if form.is_valid() and succeeds(form, lambda: _add_days_off(request, form.cleaned_data)):
        return redirect("book:days-off")
    context = {"form": form, "days_off": queries.days_off(by.shop, by.at), "crumbs": _crumbs()}
    return render(request, "book/days_off.html", context)


def _add_days_off(request: HttpRequest, cleaned: dict[str, Any]) -> None:
    first = cleaned["day"]
    by, last = who(request), cleaned["until"]
    if last is None:
        actions.add_day_off(by, first, cleaned["reason"])
    else:
        actions.add_days_off(by, first, last, cleaned["reason"])


@require_POST
def remove_day_off(request: HttpRequest, pk: int) -> HttpResponse:
    """That day is worked after all."""
    actions.remove_day_off(who(request), pk)
    return redirect("book:days-off")


@require_http_methods(["GET", "HEAD", "POST"])
def places(request: HttpRequest) -> HttpResponse:
    """Where work is done, and a form to add a place."""
    by = who(request)
    form = PlaceForm(request.POST or None)
    if form.is_valid() and succeeds(form, lambda: actions.add_place(by, **form.cleaned_data)):
        return redirect("book:places")
    return render(request, "book/places.html", {"form": form, "places": queries.places(by.shop), "crumbs": _crumbs()})


@require_safe
def journal(request: HttpRequest) -> HttpResponse:
    """Who did what and when, the newest first."""
    rows = queries.journal_rows(shop_of(request))
    page = Paginator(rows, ON_A_PAGE).get_page(request.GET.get("page"))
    return render(request, "book/journal.html", {"page": page, "crumbs": _crumbs()})


@require_safe
def photo(request: HttpRequest, digest: str) -> HttpResponseBase:
    """A photograph of this shop, whole."""
    kept = queries.photo(shop_of(request), digest)
    return _jpeg(settings.BOOK.photo(kept.digest))


@require_safe
def thumbnail(request: HttpRequest, digest: str, side: int) -> HttpResponseBase:
    """A photograph of this shop, made smaller."""
    kept = queries.photo(shop_of(request), digest)
    if side not in photos.THUMBNAILS:
        raise NotFound(_("Photographs are not kept in that size."))
    return _jpeg(photos.thumbnail(settings.BOOK, kept.digest, side))


def _jpeg(file: Path) -> HttpResponseBase:
    """The bytes of a photograph. They never change under one digest, so the browser may keep them; nobody between may."""
    try:
        response = FileResponse(file.open("rb"), content_type="image/jpeg")
    except OSError:
        raise NotFound(_("The file of this photograph is missing from the book's folder.")) from None
    response.headers["X-Content-Type-Options"] = "nosniff"
    response.headers["Cache-Control"] = f"private, max-age={A_YEAR}, immutable"
    return response
