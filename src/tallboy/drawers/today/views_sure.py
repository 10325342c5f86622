"""How sure the dates are."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from tallboy.book.pages import shop_of
from tallboy.drawers.today import queries
from tallboy.drawers.today.sure.chances import futures_of
from tallboy.drawers.today.sure.pages import SurePage

A_PAGE = 8


@require_safe
def sure(request: HttpRequest) -> HttpResponse:
    """Every promise with its chance, its safe date and what it hangs on; then the pieces without a promise."""
    plan = queries.current_plan(shop_of(request))
    context: dict[str, object] = {
        "plan": plan,
        "stale": plan is not None and queries.is_stale(plan),
        "crumbs": [
            {"name": _("Today"), "url": reverse("today:today")},
            {"name": _("The plan"), "url": reverse("today:plan")},
        ],
    }
    if plan is not None and futures_of(plan):
        told = SurePage(plan)
        page = Paginator(told.pieces, A_PAGE).get_page(request.GET.get("page"))
        context |= {"told": told, "page": page, "rows": told.of(page), "windows": told.windows()}
    return render(request, "today/sure.html", context)
