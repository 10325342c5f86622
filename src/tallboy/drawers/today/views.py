"""Today: the single next step, the day, the week; the plan worked out anew; the day sheet."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from tallboy.book.doing import By
from tallboy.book.pages import done_or_told, pdf_answer, shop_of, who
from tallboy.drawers.air import queries as air
from tallboy.drawers.pieces import queries as pieces
from tallboy.drawers.pieces import words
from tallboy.drawers.pieces.deliveries import expected
from tallboy.drawers.pieces.lead import is_lead_test
from tallboy.drawers.today import papers, queries
from tallboy.drawers.today.actions import late_words, replan, told_late
from tallboy.drawers.today.day import Day, day_of
from tallboy.drawers.today.people import at_work, people_names, person_name, told_names
from tallboy.drawers.today.show.week import strip
from tallboy.drawers.today.standing import standing
from tallboy.drawers.today.sure.chances import lines
from tallboy.drawers.today.telling import rows_of
from tallboy.errors import TallboyError

A_PAGE = 60
# What holds a step where it is and cannot be seen from the order of the day: these reasons stand on Today.
TELLING = ("wait", "dust", "window", "not before")

MOST_TOLD = 4
# So many rows of what dries or soaks are shown on Today, the first to be ready first.
MOST_WAITING = 6
# So many promises are shown on Today, the least sure ones first.
MOST_SURE = 5
MOST_OTHERS = 5
# So many pieces without steps are named on Today.
MOST_WITHOUT_STEPS = 3
# So many sentences about promises, and about what was bent, are shown on Today; the plan has them all.
MOST_CAUTIONS = 4


@require_safe
def today(request: HttpRequest) -> HttpResponse:
    """One thing first: the next step, why it is this one, its caution; then the day and the week."""
    by = who(request)
    if not pieces.in_the_shop(by.shop).exists():
        return render(request, "today/empty.html")
    day = day_of(by.shop, by.at)
    sure = lines(day.plan, day.promises)
    late, warnings = list(told_late(day.promises)), day.plan.warnings if day.plan else []
    context = {
        "day": day,
        **_first(day, by),
        "waiting": day.waiting[:MOST_WAITING],
        "more_waiting": len(day.waiting[MOST_WAITING:]),
        "strip": strip(day),
        "telling": TELLING,
        "late": late[:MOST_CAUTIONS],
        "warnings": warnings[:MOST_CAUTIONS],
        "more_cautions": len(late[MOST_CAUTIONS:]) + len(warnings[MOST_CAUTIONS:]),
        "sure": sure[:MOST_SURE],
        "more_sure": len(sure[MOST_SURE:]),
        "air_now": air.now_rows(by.shop, by.at),
        "expected": expected(by.shop, by.at),
        **_without_steps(by),
    }
    return render(request, "today/today.html", context)


def _without_steps(by: By) -> dict[str, object]:
    """Pieces in the shop whose steps nobody has laid out: nothing of them is planned. The longest there first."""
    rows = list(pieces.in_the_shop(by.shop).filter(steps__isnull=True).order_by("id"))
    return {"without_steps": rows[:MOST_WITHOUT_STEPS], "more_without_steps": len(rows[MOST_WITHOUT_STEPS:])}


def _first(day: Day, by: By) -> dict[str, object]:
    """The one thing first, what else lies begun, and what comes next for the others where several people work."""
    key = str(by.person.pk)
    step = day.at_hand(by.person.name, key)
    names = people_names(by.shop)
    others = [one for one in at_work(day.rows, names) if one != key][:MOST_OTHERS]
    return {
        "others": [(person_name(one, names), row) for one in others if (row := day.next_of(one)) is not None],
        "step": step,
        "planned": next((row for row in day.rows if step is not None and row.step_id == step.pk), None),
        "ticking": step is not None and step.pk in day.clocks,
        "ends_with_result": step is not None and is_lead_test(step) and step.piece.lead_unknown,
        "also": [(row, day.clocks.get(row.pk, [])) for row in day.running if step is None or row.pk != step.pk],
        "cautions": words.cautions(step.cautions) if step is not None else [],
    }


@require_safe
def plan(request: HttpRequest) -> HttpResponse:
    """The whole plan, each step with why it is not earlier."""
    shop = shop_of(request)
    current, names = queries.current_plan(shop), people_names(shop)
    page = Paginator(rows_of(current), A_PAGE).get_page(request.GET.get("page")) if current else None
    context = {
        "plan": current,
        "page": page,
        "rows": [(row, told_names(row.people, names)) for row in page or ()],
        "late": late_words(current) if current else [],
        "stale": current is not None and queries.is_stale(current),
        "standing": standing(current, who(request)) if current else None,
        "sure": lines(current, queries.promises_of(current)) if current else [],
    }
    return render(request, "today/plan.html", context)


@require_POST
def plan_again(request: HttpRequest) -> HttpResponse:
    """Work the plan out anew."""
    plan_and_tell(request, who(request), afresh=True)
    return redirect(_next(request))


def _next(request: HttpRequest) -> str:
    target = request.POST.get("next", "")
    own = target.startswith("/") and url_has_allowed_host_and_scheme(target, allowed_hosts=None)
    return target if own else "/"


def plan_and_tell(request: HttpRequest, by: By, *, afresh: bool = False) -> None:
    """Replan after something has happened. What has become late or bent by it is told on the next page.

    Today and the plan show what is late anyway, so nothing is told twice there.
    """
    before = queries.current_plan(by.shop)
    known = {*before.warnings, *late_words(before)} if before else set()
    try:
        made = replan(by, afresh=afresh)
    except TallboyError as error:
        messages.warning(request, _("There is no new plan: %(why)s The plan before stays.") % {"why": error})
        return
    if not _shown_anyway(request):
        _tell(request, [line for line in (*made.warnings, *late_words(made)) if line not in known])


def _tell(request: HttpRequest, lines: list[str]) -> None:
    """The first few lines and how many more there are: messages travel in a cookie, which holds four kilobytes."""
    for line in lines[:MOST_TOLD]:
        messages.warning(request, line)
    if len(lines) > MOST_TOLD:
        more = {"count": len(lines) - MOST_TOLD}
        messages.warning(request, _("And %(count)s more; the plan tells them all.") % more)


def _shown_anyway(request: HttpRequest) -> bool:
    return request.POST.get("from") == "today" or "next" in request.POST


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
    return pdf_answer(papers.day_sheet(by.shop, by.at), "day-sheet")
