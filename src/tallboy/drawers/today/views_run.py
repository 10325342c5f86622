"""Improving the plan while people go on working, and the plan as a calendar."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.cache import patch_vary_headers
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from tallboy.book.models import Person
from tallboy.book.pages import done_or_told, shop_of, who, whole_number
from tallboy.drawers.today import feed
from tallboy.drawers.today.run import bar as run_bar
from tallboy.drawers.today.run import running, runs
from tallboy.drawers.today.run import words as run_words
from tallboy.errors import NotFound


@require_POST
def improve(request: HttpRequest) -> HttpResponse:
    """Begin a run that improves the plan; where one goes on already, lead to it."""
    by = who(request)
    typed = request.POST.get("seconds", "")
    seconds = settings.PLAN_LONG_SECONDS if not typed else float(whole_number(typed) or 0)
    begun = done_or_told(request, lambda: running.start(by, seconds))
    run = begun or runs.newest_run(by.shop)
    return redirect("today:plan-run", run.pk) if run is not None else redirect("today:plan")


@require_safe
def run(request: HttpRequest, pk: int) -> HttpResponse:
    """How far a run is. The page asks again every second, or the browser loads it anew where there is no script."""
    by = who(request)
    row = runs.as_it_is(runs.run_of(by.shop, pk), by.at)
    context = {
        "run": row,
        "goes_on": row.state == runs.RUNNING,
        "elapsed": min(row.seconds, max(0.0, ((row.ended_at or by.at) - row.begun_at).total_seconds())),
        "lines": run_words.lines(row.progress),
        "bar": run_bar.draw(row.progress),
    }
    part = getattr(request, "htmx", None) and not request.headers.get("HX-Boosted")
    answer = render(request, "today/run_now.html" if part else "today/run.html", context)
    patch_vary_headers(answer, ["HX-Request"])
    return answer


@require_POST
def stop(request: HttpRequest, pk: int) -> HttpResponse:
    """Stop a run; it keeps the best plan so far. A second tap changes nothing."""
    by = who(request)
    row = runs.run_of(by.shop, pk)
    if row.state == runs.RUNNING and not row.stop_asked:
        done_or_told(request, lambda: runs.ask_to_stop(by, row))
    return redirect("today:plan-run", pk)


@require_safe
def plan_ics(request: HttpRequest) -> HttpResponse:
    """The plan as a calendar to subscribe to, of the shop that the address names."""
    token = request.GET.get("shop")
    shop = feed.shop_named(token) if token is not None else shop_of(request)
    asked = request.GET.get("person")
    person = None
    if asked is not None:
        person = Person.objects.filter(shop=shop, pk=whole_number(asked) or 0).first()
        if person is None:
            raise NotFound(_("Nobody of that number works in this shop."))
    headers = {"Content-Disposition": 'inline; filename="plan.ics"', "Cache-Control": "private, no-cache"}
    return HttpResponse(feed.calendar_of(shop, person), content_type="text/calendar; charset=utf-8", headers=headers)
