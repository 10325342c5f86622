"""What if, and what would save a promise: questions to the plan. Nothing is stored, so both only answer to being looked at."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from tallboy.book.pages import who, whole_number
from tallboy.drawers.pieces import words
from tallboy.drawers.today.what_if.answer import Answer, answer
from tallboy.drawers.today.what_if.form import WhatIfForm
from tallboy.drawers.today.what_if.rescued import capital, saved
from tallboy.drawers.today.what_if.strip import strips
from tallboy.errors import TallboyError

MOST_MOVES = 14
WARM_CAUTIONS = ("open-flame",)


@require_safe
def what_if(request: HttpRequest) -> HttpResponse:
    """Two plans side by side: the shop as it is, and as it is asked in the address."""
    by = who(request)
    form = WhatIfForm(request.GET or None, shop=by.shop, now=by.at)
    found: Answer | None = None
    if form.is_valid():
        question = form.question()
        found = answer(by.shop, by.at, question, settings.PLAN_SECONDS) if question.asks else None
    context = {
        "form": form,
        "answer": found,
        "nothing_asked": form.is_bound and form.is_valid() and found is None,
        **(_shown(found) if found else {}),
        "cautions": warm_cautions() if found and form.cleaned_data["celsius"] is not None else [],
    }
    return render(request, "today/what_if.html", context)


def _shown(found: Answer) -> dict[str, object]:
    """What the page shows of an answer."""
    names = {row.key: row.name for row in found.pieces}
    return {
        "asked": [capital(change) for change in found.changes],
        "strips": strips(found, names),
        "moves": found.moves[:MOST_MOVES],
        "more_moves": len(found.moves[MOST_MOVES:]),
    }


def warm_cautions() -> list[dict[str, str]]:
    """What to mind where a shop is heated."""
    heating = {
        "title": _("Heating"),
        "text": _(
            "Never leave a heater alone or on overnight unless it is a fixed one made for that: keep it a metre from wood, rags, dust and "
            "finishes. No glowing or burning heater in a room with solvent, its vapour or a fresh coat; a burner without a flue also gives "
            "off water, and gas that kills. Have old flues and cables looked at by somebody licensed. Local rules come first."
        ),
    }
    return [heating, *words.cautions(list(WARM_CAUTIONS))]


@require_safe
def rescue(request: HttpRequest) -> HttpResponse:
    """A promise that the plan misses: by how much, and what would save it."""
    by = who(request)
    pk = whole_number(request.GET.get("piece", ""))
    context: dict[str, object] = {}
    try:
        found = saved(by.shop, by.at, pk, settings.PLAN_SECONDS)
        context["saved"] = found
        context["cautions"] = warm_cautions() if any(row.warm for row in found.savers) else []
    except TallboyError as error:
        context["why_not"] = str(error)
    return render(request, "today/rescue.html", context)
