"""Today: the single next step, the day, the week; the plan worked out anew; the day sheet."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from tallboy.book.doing import By
from tallboy.book.pages import done_or_told, shop_of, who
from tallboy.drawers.air import queries as air
from tallboy.drawers.pieces import queries as pieces
from tallboy.drawers.pieces import words
from tallboy.drawers.today import papers, queries
from tallboy.drawers.today.actions import late_words, replan
from tallboy.drawers.today.day import day_of, strip
from tallboy.drawers.today.telling import rows_of
from tallboy.errors import Refused


@require_safe
def today(request: HttpRequest) -> HttpResponse:
    """One thing first: the next step, why it is this one, its caution; then the day and the week."""
    by = who(request)
    if not pieces.in_the_shop(by.shop).exists():
        return render(request, "today/empty.html")
    day = day_of(by.shop, by.at)
    step = day.running[0] if day.running else day.next.step if day.next else None
    context = {
        "day": day,
        "step": step,
        "cautions": words.cautions(step.cautions) if step else [],
        "strip": strip(day),
        "late": late_words(day.plan) if day.plan else [],
        "air_now": air.now_rows(by.shop, by.at),
    }
    return render(request, "today/today.html", context)


@require_safe
def plan(request: HttpRequest) -> HttpResponse:
    """The whole plan, each step with why it is not earlier."""
    shop = shop_of(request)
    current = queries.current_plan(shop)
    context = {
        "plan": current,
        "rows": rows_of(current) if current else [],
        "late": late_words(current) if current else [],
        "stale": current is not None and queries.is_stale(current),
    }
    return render(request, "today/plan.html", context)


@require_POST
def plan_again(request: HttpRequest) -> HttpResponse:
    """Work the plan out anew."""
    plan_and_tell(request, who(request))
    return redirect(_next(request))


def _next(request: HttpRequest) -> str:
    target = request.POST.get("next", "")
    return target if url_has_allowed_host_and_scheme(target, allowed_hosts=None) else "/"


def plan_and_tell(request: HttpRequest, by: By) -> None:
    """Replan after something has happened; a missed promise or a missing plan is told on the next page."""
    try:
        made = replan(by)
    except Refused as error:
        messages.warning(request, _("There is no new plan: %(why)s The plan before stays.") % {"why": error})
        return
    for line in [*made.warnings, *late_words(made)]:
        messages.warning(request, line)


def act_and_plan(request: HttpRequest, act: Callable[[], object]) -> bool:
    """Do something to a step, then replan; False when it was refused, and the next page says why."""
    if done_or_told(request, act) is None:
        return False
    plan_and_tell(request, who(request))
    return True


@require_safe
def day_sheet(request: HttpRequest) -> HttpResponse:
    """Today's steps in order, on paper."""
    by = who(request)
    pdf = papers.day_sheet(by.shop, by.at)
    return HttpResponse(
        pdf, content_type="application/pdf", headers={"Content-Disposition": 'inline; filename="day-sheet.pdf"'}
    )
