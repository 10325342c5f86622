"""The pages of hours and days: the working week, days off, holidays, noise and evenings."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.dateparse import parse_date
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from tallboy.book import actions, queries
from tallboy.book.doing import By
from tallboy.book.forms import DayOffForm, HoursForm
from tallboy.book.forms_calendar import HolidaysForm, NoiseForm
from tallboy.book.models import Person, Place
from tallboy.book.pages import done_or_told, succeeds, who
from tallboy.errors import NotFound

Crumbs = list[dict[str, str]]


def shop_crumbs() -> Crumbs:
    """The way back from a page of the shop."""
    return [{"name": _("The shop"), "url": reverse("book:shop")}]


@require_http_methods(["GET", "HEAD", "POST"])
def hours(request: HttpRequest) -> HttpResponse:
    """The working week of the shop."""
    return hours_of(request, None, shop_crumbs(), reverse("book:shop"))


def hours_of(request: HttpRequest, of: Person | Place | None, crumbs: Crumbs, then: str) -> HttpResponse:
    """The working week of the shop, a person or a place. Who has none of their own is shown the shop's to begin with."""
    by = who(request)
    own = queries.hours(by.shop, of)
    if of is not None and "as_the_shop" in request.POST:
        actions.set_hours(by, [], of)
        return redirect(then)
    form = HoursForm(request.POST or None, hours=own or queries.hours(by.shop))
    if form.is_valid() and succeeds(form, lambda: actions.set_hours(by, form.hours(), of)):
        messages.success(request, _("The working hours are kept."))
        return redirect(then)
    context = {
        "form": form,
        "person": of if isinstance(of, Person) else None,
        "place": of if isinstance(of, Place) else None,
        "own": bool(own),
        "crumbs": crumbs,
    }
    return render(request, "book/hours.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def days_off(request: HttpRequest) -> HttpResponse:
    """Days on which nobody works: those to come with the public holidays, and a form to add more."""
    by = who(request)
    form = DayOffForm(request.POST or None)
    if form.is_valid() and succeeds(form, lambda: give_days_off(by, form.cleaned_data)):
        return redirect("book:days-off")
    context = {"form": form, "days": queries.free_days(by.shop, by.at), "crumbs": shop_crumbs()}
    return render(request, "book/days_off.html", context)


def give_days_off(by: By, cleaned: dict[str, Any], person: Person | None = None) -> None:
    """What was typed into a `DayOffForm`, done: a day or a run of days, of everybody or of one person."""
    first, last, reason = cleaned["day"], cleaned["until"], cleaned["reason"]
    if last is None:
        actions.add_day_off(by, first, reason, person)
    else:
        actions.add_days_off(by, first, last, reason, person)


@require_POST
def remove_day_off(request: HttpRequest, pk: int) -> HttpResponse:
    """That day is worked after all."""
    actions.remove_day_off(who(request), pk)
    return redirect("book:days-off")


@require_POST
def work_on_holiday(request: HttpRequest, day: str) -> HttpResponse:
    """That public holiday is worked after all."""
    done_or_told(request, lambda: actions.work_on_holiday(who(request), _date(day)))
    return redirect("book:days-off")


@require_POST
def keep_holiday(request: HttpRequest, day: str) -> HttpResponse:
    """That public holiday is a day off again."""
    done_or_told(request, lambda: actions.keep_holiday(who(request), _date(day)))
    return redirect("book:days-off")


def _date(text: str) -> date:
    try:
        found = parse_date(text)
    except ValueError:
        found = None
    if found is None:
        raise NotFound(_("There is no such day."))
    return found


@require_http_methods(["GET", "HEAD", "POST"])
def holidays(request: HttpRequest) -> HttpResponse:
    """Whose public holidays there are, and whether nobody works on them."""
    by = who(request)
    form = HolidaysForm(request.POST, shop=by.shop) if request.method == "POST" else HolidaysForm.of(by.shop)
    if form.is_valid() and succeeds(form, lambda: actions.set_holidays(by, **form.said())):
        messages.success(request, _("That is kept."))
        return redirect("book:holidays")
    days = [day for day in queries.free_days(by.shop, by.at) if day.holiday]
    return render(request, "book/holidays.html", {"form": form, "days": days, "crumbs": shop_crumbs()})


@require_http_methods(["GET", "HEAD", "POST"])
def noise(request: HttpRequest) -> HttpResponse:
    """When it may be noisy, and whether days end early."""
    by = who(request)
    form = NoiseForm(request.POST) if request.method == "POST" else NoiseForm.of(by.shop)
    if form.is_valid() and succeeds(form, lambda: _keep_noise(by, form.cleaned_data)):
        messages.success(request, _("That is kept."))
        return redirect("book:shop")
    context = {"form": form, "title": _("Noise and evenings"), "button": _("Keep it"), "crumbs": shop_crumbs()}
    return render(request, "one_form.html", context)


def _keep_noise(by: By, cleaned: dict[str, Any]) -> None:
    shop = by.shop
    if (cleaned["noise_from"], cleaned["noise_until"]) != (shop.noise_from, shop.noise_until):
        actions.set_quiet_hours(by, cleaned["noise_from"], cleaned["noise_until"])
    if cleaned["leave_early"] != shop.leave_early:
        actions.set_evenings(by, cleaned["leave_early"])
