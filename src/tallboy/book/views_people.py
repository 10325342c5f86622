"""The pages of people: who belongs to the shop, what they can do, their hours and their days off."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from tallboy.book import actions, queries
from tallboy.book.forms import DayOffForm
from tallboy.book.forms_calendar import PersonForm
from tallboy.book.models import Person
from tallboy.book.pages import shop_of, succeeds, who
from tallboy.book.views_hours import give_days_off, hours_of, shop_crumbs


@require_http_methods(["GET", "HEAD", "POST"])
def people(request: HttpRequest) -> HttpResponse:
    """Who belongs to the shop, and a form to add somebody."""
    by = who(request)
    form = PersonForm(request.POST or None, known=queries.skills(by.shop))
    if form.is_valid() and succeeds(form, lambda: actions.add_person(by, **form.said())):
        return redirect("book:people")
    everybody = queries.people(by.shop)
    context = {
        "form": form,
        "people": everybody,
        "unnamed": max(0, by.shop.hands - sum(person.works for person in everybody)),
        "crumbs": shop_crumbs(),
    }
    return render(request, "book/people.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def person(request: HttpRequest, pk: int) -> HttpResponse:
    """One person: name, skills, and the ways to their hours and days off."""
    by, known = who(request), queries.skills(shop_of(request))
    one = queries.person(by.shop, pk)
    form = PersonForm(request.POST, known=known) if request.method == "POST" else PersonForm.of(one, known)
    if form.is_valid() and succeeds(form, lambda: actions.change_person(by, pk, **form.said())):
        messages.success(request, _("That is kept."))
        return redirect("book:people")
    context = {
        "form": form,
        "person": one,
        "own_hours": queries.hours(by.shop, one) != [],
        "week": queries.week(by.shop, one),
        "days_off": queries.days_off(by.shop, by.at, one)[:3],
        "crumbs": _crumbs(),
    }
    return render(request, "book/person.html", context)


def _crumbs(one: Person | None = None) -> list[dict[str, str]]:
    crumbs = [*shop_crumbs(), {"name": _("People"), "url": reverse("book:people")}]
    if one is not None:
        crumbs.append({"name": one.name, "url": reverse("book:person", args=[one.pk])})
    return crumbs


@require_http_methods(["GET", "HEAD", "POST"])
def person_hours(request: HttpRequest, pk: int) -> HttpResponse:
    """The working week of one person."""
    one = queries.person(shop_of(request), pk)
    return hours_of(request, one, _crumbs(one), reverse("book:person", args=[pk]))


@require_http_methods(["GET", "HEAD", "POST"])
def person_days_off(request: HttpRequest, pk: int) -> HttpResponse:
    """Days on which one person does not work: those to come, and a form to add more."""
    by = who(request)
    one = queries.person(by.shop, pk)
    form = DayOffForm(request.POST or None)
    if form.is_valid() and succeeds(form, lambda: give_days_off(by, form.cleaned_data, one)):
        return redirect("book:person-days-off", pk)
    context = {
        "form": form,
        "person": one,
        "days": [queries.FreeDay(row.day, row.reason, row.pk) for row in queries.days_off(by.shop, by.at, one)],
        "crumbs": _crumbs(one),
    }
    return render(request, "book/days_off.html", context)


@require_POST
def remove_persons_day_off(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """The person works on that day after all."""
    actions.remove_day_off(who(request), row)
    return redirect("book:person-days-off", pk)
