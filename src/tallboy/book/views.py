"""The shop at a glance, its settings, the journal, and its photographs."""

from __future__ import annotations

from pathlib import Path

from django.conf import settings
from django.contrib import messages
from django.core.paginator import Paginator
from django.http import FileResponse, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from tallboy.book import actions, photos, queries
from tallboy.book.forms import SettingsForm
from tallboy.book.holidays import countries
from tallboy.book.pages import shop_of, succeeds, who
from tallboy.book.views_hours import shop_crumbs
from tallboy.errors import NotFound

ON_A_PAGE = 50
A_YEAR = 365 * 24 * 3600


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
        "days": [day for day in queries.free_days(by.shop, by.at) if not day.worked][:3],
        "country": countries().get(by.shop.country, ""),
        "places": queries.places(by.shop),
        "people": queries.people(by.shop),
        "means": queries.means(by.shop),
    }
    return render(request, "book/shop.html", context)


@require_safe
def journal(request: HttpRequest) -> HttpResponse:
    """Who did what and when, the newest first."""
    rows = queries.journal_rows(shop_of(request))
    page = Paginator(rows, ON_A_PAGE).get_page(request.GET.get("page"))
    return render(request, "book/journal.html", {"page": page, "crumbs": shop_crumbs()})


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
