"""What a step needs, and what is on its way to the shop."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from tallboy.book.pages import shop_of, succeeds, who, whole_number
from tallboy.drawers.pieces import queries
from tallboy.drawers.pieces.actions import deliveries as act
from tallboy.drawers.pieces.actions.needs import change_needs
from tallboy.drawers.pieces.deliveries import expected, one_delivery
from tallboy.drawers.pieces.models import Delivery, Step
from tallboy.drawers.pieces.views.shared import crumbs
from tallboy.drawers.today.forms_needs import ArrivedForm, DayForm, ExpectForm, NeedsForm, day_shown
from tallboy.drawers.today.views import act_and_plan, plan_and_tell


@require_http_methods(["GET", "HEAD", "POST"])
def needs(request: HttpRequest, pk: int) -> HttpResponse:
    """Where a step is done, by whom, with what, and what it does to the air."""
    row = queries.step(shop_of(request), pk)
    by = who(request)
    form = NeedsForm(request.POST or None, shop=by.shop, initial=NeedsForm.shown(row))
    if form.is_valid() and succeeds(form, lambda: change_needs(by, row, **form.columns())):
        plan_and_tell(request, by)
        return redirect("today:step", pk)
    context = {
        "form": form,
        "title": _("What “%(step)s” needs") % {"step": row.title},
        "button": _("Keep it"),
        "crumbs": crumbs(row.piece),
    }
    return render(request, "one_form.html", context)


@require_safe
def deliveries(request: HttpRequest) -> HttpResponse:
    """What is on its way, and what waits for it."""
    by = who(request)
    rows = [{"row": row, "form": ArrivedForm(auto_id=f"came-{row.delivery.pk}-%s")} for row in expected(by.shop, by.at)]
    return render(request, "today/deliveries.html", {"rows": rows})


@require_http_methods(["GET", "HEAD", "POST"])
def expect(request: HttpRequest) -> HttpResponse:
    """Write down what is on its way: for a can of the shelf, or for the step that the address names."""
    by = who(request)
    step = _step_named(request)
    form = ExpectForm(request.POST or None, shop=by.shop, step=step, initial={"product": request.GET.get("product")})
    if form.is_valid() and succeeds(form, lambda: _expect(request, form, step)):
        plan_and_tell(request, by)
        return redirect("today:step", step.pk) if step is not None else redirect("today:deliveries")
    title = _("On its way for “%(step)s”") % {"step": step.title} if step is not None else _("Something is on its way")
    context = {
        "form": form,
        "title": title,
        "button": _("Write it down"),
        "crumbs": crumbs(step.piece if step else None),
    }
    return render(request, "one_form.html", context)


def _step_named(request: HttpRequest) -> Step | None:
    pk = whole_number(request.GET.get("step") or "")
    return None if pk is None else queries.step(shop_of(request), pk)


def _expect(request: HttpRequest, form: ExpectForm, step: Step | None) -> Delivery:
    cleaned = form.cleaned_data
    return act.expect(who(request), cleaned["what"], cleaned["expected"], product=form.can(), step=step)


@require_http_methods(["GET", "HEAD", "POST"])
def expected_on(request: HttpRequest, pk: int) -> HttpResponse:
    """It comes on another day."""
    by = who(request)
    row = one_delivery(by.shop, pk)
    form = DayForm(request.POST or None, initial=day_shown(row.expected))
    if form.is_valid() and succeeds(form, lambda: act.change_expected(by, row, form.cleaned_data["expected"])):
        plan_and_tell(request, by)
        return redirect("today:deliveries")
    title = _("When “%(what)s” is expected") % {"what": row.what}
    return render(request, "one_form.html", {"form": form, "title": title, "button": _("Keep it"), "crumbs": crumbs()})


@require_POST
def came(request: HttpRequest, pk: int) -> HttpResponse:
    """It has come."""
    by = who(request)
    row = one_delivery(by.shop, pk)
    form = ArrivedForm(request.POST)
    if not form.is_valid():
        return render(
            request,
            "one_form.html",
            {"form": form, "title": row.what, "button": _("It has come"), "crumbs": crumbs()},
            status=400,
        )
    act_and_plan(request, lambda: act.arrived(by, row, ml=form.cleaned_data["came"]))
    return redirect("today:deliveries")


@require_POST
def call_off(request: HttpRequest, pk: int) -> HttpResponse:
    """It will not come after all."""
    by = who(request)
    row = one_delivery(by.shop, pk)
    act_and_plan(request, lambda: _called_off(request, row))
    return redirect("today:deliveries")


def _called_off(request: HttpRequest, row: Delivery) -> Delivery:
    act.call_off(who(request), row)
    return row
