"""The pages of the published checks: how many hold, and one family in full."""

from __future__ import annotations

from django.conf import settings
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from tallboy.desk import checking
from tallboy.errors import NotFound

A_PAGE = 60


def _crumbs() -> list[dict[str, str]]:
    return [
        {"name": _("Sums"), "url": reverse("desk:sums")},
        {"name": _("Published checks"), "url": reverse("desk:checks")},
    ]


@require_safe
def checks(request: HttpRequest) -> HttpResponse:
    """How many checks there are and what came of them, by family and by how their values were obtained."""
    found = checking.all_outcomes(settings.REFERENCE)
    context = {
        "total": len(found),
        "families": checking.by_family(found),
        "hows": checking.by_how(found),
        "failing": checking.groups(one for one in found if one.holds is False),
        "without_data": sum(one.holds is None for one in found),
        "crumbs": _crumbs()[:1],
    }
    return render(request, "desk/checks.html", context)


@require_safe
def of_family(request: HttpRequest, family: str) -> HttpResponse:
    """The checks of one family, each with what its source says and what the sum gives."""
    found = checking.of_family(settings.REFERENCE, family)
    if not found:
        raise NotFound(_("There are no checks of “%(family)s”.") % {"family": family})
    page = Paginator(found, A_PAGE).get_page(request.GET.get("page"))
    context = {
        "family": checking.name_of(family),
        "page": page,
        "groups": checking.groups(page),
        "crumbs": _crumbs(),
    }
    return render(request, "desk/checks_of.html", context)
