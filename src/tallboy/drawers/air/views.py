"""The pages of the Air drawer: the air now and lately, readings by hand."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from tallboy.book.pages import succeeds, who
from tallboy.drawers.air import actions, days, queries
from tallboy.drawers.air.chart import LATELY, NARROW, WIDE, chart
from tallboy.drawers.air.forms import ReadingForm, ReasonForm
from tallboy.drawers.air.now import figures, verdict

A_PAGE = 12
AHEAD = timedelta(days=3)


def crumbs() -> list[dict[str, str]]:
    """Where a page of this drawer is."""
    return [{"name": _("Air"), "url": reverse("air:air")}]


@require_safe
def air(request: HttpRequest) -> HttpResponse:
    """The air now, the last three weeks and the next days, and the readings."""
    by = who(request)
    found = queries.current(by.shop, by.at)
    page = Paginator(queries.readings(by.shop), A_PAGE).get_page(request.GET.get("page"))
    context: dict[str, Any] = {"found": found, "page": page, "usual": queries.USUAL_AIR}
    if found is not None:
        context |= {
            "figures": figures(by.shop, found),
            "verdict": verdict(found, by.shop),
            "air_age": queries.ago(found),
            **_pictures(request),
        }
    return render(request, "air/air.html", context)


def _pictures(request: HttpRequest) -> dict[str, Any]:
    by = who(request)
    series = queries.series(by.shop, by.at - LATELY, by.at + AHEAD)
    return {
        "wide": chart(series, by.shop, by.at, WIDE),
        "narrow": chart(series, by.shop, by.at, NARROW),
        "days": days.by_day(series, by.shop, by.at),
        "cold_below": days.COLD_NIGHT,
        "cold_source": days.COLD_SOURCE,
    }


@require_http_methods(["GET", "HEAD", "POST"])
def add(request: HttpRequest) -> HttpResponse:
    """Write a reading down."""
    by = who(request)
    form = ReadingForm(request.POST or None, shop=by.shop, now=by.at)
    if form.is_valid() and succeeds(form, lambda: actions.add_reading(by, **form.cleaned_data)):
        messages.success(request, _("Written down."))
        return redirect("air:air")
    context = {"form": form, "title": _("Read the air"), "button": _("Write it down"), "crumbs": crumbs()}
    return render(request, "one_form.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def take_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a wrong reading back."""
    by = who(request)
    row = queries.reading(by.shop, pk)
    form = ReasonForm(request.POST or None)
    if form.is_valid() and succeeds(form, lambda: actions.take_back_reading(by, row, form.cleaned_data["reason"])):
        messages.success(request, _("Taken back. The journal keeps what it said."))
        return redirect("air:air")
    context = {"form": form, "reading": row, "crumbs": crumbs()}
    return render(request, "air/take_back.html", context)
