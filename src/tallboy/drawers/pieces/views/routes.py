"""The shop's routes and repairs: looked at and edited."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from tallboy.book.pages import done_or_told, shop_of, tried, who
from tallboy.drawers.pieces import queries
from tallboy.drawers.pieces.actions import layout as act
from tallboy.drawers.pieces.models import Route
from tallboy.drawers.pieces.route_form import RouteForm, StepRows
from tallboy.drawers.pieces.views.shared import crumbs


@require_safe
def routes(request: HttpRequest) -> HttpResponse:
    """All routes and repairs of the shop."""
    shop = shop_of(request)
    context = {
        "routes": queries.routes_of(shop),
        "repairs": queries.routes_of(shop, Route.Kind.REPAIR),
        "crumbs": crumbs(),
    }
    return render(request, "pieces/routes.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def route(request: HttpRequest, pk: int) -> HttpResponse:
    """One route: its steps as rows that can be changed, taken out and added to."""
    row = queries.route(shop_of(request), pk)
    if request.method == "POST":
        form, rows = RouteForm(request.POST), StepRows(request.POST, prefix="step")
        if form.is_valid() and rows.is_valid() and tried(form, lambda: _change(request, row, form, rows)) is not None:
            return redirect("pieces:routes")
    else:
        form = RouteForm(initial={"name": row.name, "for_what": row.body.get("for_what", "")})
        rows = StepRows(initial=StepRows.rows_from(row.body["steps"]), prefix="step")
    return render(request, "pieces/route.html", {"route": row, "form": form, "rows": rows, "crumbs": _crumbs()})


def _change(request: HttpRequest, row: Route, form: RouteForm, rows: StepRows) -> Route:
    body: dict[str, Any] = {**row.body, "name": form.cleaned_data["name"], "steps": rows.steps(row.body["steps"])}
    if row.kind == Route.Kind.ROUTE:
        body["for_what"] = form.cleaned_data["for_what"]
    return act.change_route(who(request), row, body)


def _crumbs() -> list[dict[str, str]]:
    return [*crumbs(), {"name": _("Routes"), "url": reverse("pieces:routes")}]


@require_POST
def copy(request: HttpRequest, pk: int) -> HttpResponse:
    """A route of one's own that starts as a copy."""
    row = queries.route(shop_of(request), pk)
    count = len(queries.routes_of(row.shop))
    name = _("%(route)s, our own") % {"route": row.name}
    made = done_or_told(request, lambda: act.copy_route(who(request), row, f"{row.key}-own-{count}", name))
    return redirect("pieces:route", made.pk) if made else redirect("pieces:routes")
