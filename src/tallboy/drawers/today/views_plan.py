"""The plan to look at: the month, one day, a piece's path, and why a step is then."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from tallboy.book.pages import shop_of, who
from tallboy.drawers.pieces import queries
from tallboy.drawers.pieces import words as piece_words
from tallboy.drawers.pieces.views.shared import crumbs, leaves
from tallboy.drawers.today.people import told_names
from tallboy.drawers.today.queries import is_stale
from tallboy.drawers.today.show import day_page as plan_day
from tallboy.drawers.today.show import month as months
from tallboy.drawers.today.show import path_draw
from tallboy.drawers.today.show.path import path_of
from tallboy.drawers.today.show.period import Period
from tallboy.drawers.today.show.rule_words import rule_word
from tallboy.drawers.today.show.why import Reasons, room_left
from tallboy.drawers.today.sure.chances import line_for
from tallboy.errors import NotFound

A_PAGE = 20
# On a day with more work than this the reasons are left to their own pages.
MOST_REASONS = 60
A_DAY = timedelta(days=1)
# No plan reaches further, and nothing was done before.
FIRST_YEAR, LAST_YEAR = 1990, 2200


@require_safe
def month(request: HttpRequest) -> HttpResponse:
    """Five weeks from this one on, or the weeks of a month: a row a piece, and day by day in words."""
    by = who(request)
    asked = _month(request.GET.get("from", ""))
    today = by.at.astimezone(by.shop.tz).date()
    first, last = months.month_of(asked) if asked else months.weeks_from(today)
    period = Period(by.shop, by.at, first, last)
    page = Paginator(months.rows_of(period), A_PAGE).get_page(request.GET.get("page"))
    shown = asked or (today.replace(day=1))
    context = {
        "period": period,
        "asked": asked,
        "page": page,
        "query": f"from={asked:%Y-%m}&" if asked else "",
        "drawing": months.draw(period, list(page), _("now")) if page else "",
        "lines": months.day_lines(period),
        "today": today,
        "earlier": (shown - A_DAY).replace(day=1),
        "later": (shown.replace(day=28) + timedelta(days=4)).replace(day=1),
        "stale": period.plan is not None and is_stale(period.plan),
        "crumbs": _crumbs(),
    }
    return render(request, "today/month.html", context)


def _month(text: str) -> date | None:
    """YYYY-MM as the first of that month; None where nothing was asked. Raises NotFound for what is no month."""
    return _date(f"{text}-01") if text else None


def _date(text: str) -> date:
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise NotFound(
            _("There is no such day."), _("A day is written like 2026-03-12, a month like 2026-03.")
        ) from None
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise NotFound(_("There is nothing of that year in this book."))
    return day


def _crumbs() -> list[dict[str, str]]:
    return [
        {"name": _("Today"), "url": reverse("today:today")},
        {"name": _("The plan"), "url": reverse("today:plan")},
    ]


@require_safe
def day(request: HttpRequest, day: str) -> HttpResponse:
    """One day: its blocks person by person, what dries, what must not be missed."""
    by = who(request)
    chosen = _date(day)
    of = plan_day.PlanDay(Period(by.shop, by.at, chosen, chosen))
    hands = of.hands()
    label = _("The hours of the day; the same stands below as lists")
    context = {
        "of": of,
        "period": of.period,
        "day": chosen,
        "hands": hands,
        "brief": len(of.period.work) > MOST_REASONS,
        "drawing": plan_day.draw(of, hands, label, _("now")) if hands or of.rests else "",
        "before": chosen - A_DAY,
        "after": chosen + A_DAY,
        "is_today": chosen == by.at.astimezone(by.shop.tz).date(),
        "stale": of.period.plan is not None and is_stale(of.period.plan),
        "crumbs": [*_crumbs(), {"name": _("The month"), "url": f"{reverse('today:plan-month')}?from={chosen:%Y-%m}"}],
    }
    return render(request, "today/plan_day.html", context)


@require_safe
def path(request: HttpRequest, pk: int) -> HttpResponse:
    """A piece's path through the plan."""
    piece = queries.piece(shop_of(request), pk)
    reasons = Reasons(piece.shop, who(request).at, piece)
    found = path_of(reasons, queries.steps_of(piece))
    promise = None if reasons.plan is None else reasons.plan.promises.filter(piece=piece).first()
    context = {
        "piece": piece,
        "path": found,
        "drawing": path_draw.draw(found.threads, _("after")) if found.nodes else "",
        "promise": promise,
        "sure": line_for(piece),
        "stale": reasons.plan is not None and is_stale(reasons.plan),
        "leaves": leaves(piece, "steps"),
        "crumbs": crumbs(),
    }
    return render(request, "today/path.html", context)


@require_safe
def why(request: HttpRequest, pk: int) -> HttpResponse:
    """Why a step is then and not earlier, what follows it, and how much room it has."""
    step = queries.step(shop_of(request), pk)
    reasons = Reasons(step.shop, who(request).at, step.piece)
    row = reasons.row(str(pk))
    chain = reasons.told(reasons.chain(str(pk)))
    context: dict[str, Any] = {
        "step": step,
        "piece": step.piece,
        "row": row,
        "rule": rule_word(row.rule) if row else "",
        "chain": chain,
        "followers": reasons.followers(str(pk)),
        "working": reasons.working(chain),
        "room": room_left(row) if row else None,
        "who": told_names(row.people, reasons.names) if row else "",
        "blocked": _blocked(reasons, pk),
        "cautions": piece_words.cautions(step.cautions),
        "stale": reasons.plan is not None and is_stale(reasons.plan),
        "crumbs": crumbs(step.piece),
    }
    return render(request, "today/why.html", context)


def _blocked(reasons: Reasons, pk: int) -> str:
    """Why the step is not planned at all yet; "" when it is."""
    rows = reasons.plan.blocked if reasons.plan else []
    return next((text for key, text in rows if key == str(pk)), "")
