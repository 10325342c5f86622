"""The lead test of a piece: what it said decides which steps can go on, so that it is planned anew."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from tallboy.book.pages import shop_of, tried, who
from tallboy.drawers.pieces import queries, words
from tallboy.drawers.pieces.actions.piece import record_lead_test
from tallboy.drawers.pieces.forms import LeadTestForm
from tallboy.drawers.pieces.models import Piece, Step
from tallboy.drawers.pieces.views.shared import crumbs
from tallboy.drawers.today.views import plan_and_tell


@require_http_methods(["GET", "HEAD", "POST"])
def lead_test(request: HttpRequest, pk: int) -> HttpResponse:
    """Record what the lead test said, and plan anew."""
    row = queries.piece(shop_of(request), pk)
    form = LeadTestForm(request.POST or None)
    if form.is_valid():
        tested = tried(form, lambda: record_lead_test(who(request), row, form.cleaned_data["result"]))
        if tested is not None:
            plan_and_tell(request, who(request))
            return _tested(request, tested)
    context = {
        "form": form,
        "title": _("Lead test of the old paint"),
        "button": _("Record it"),
        "crumbs": crumbs(row),
        "cautions": words.cautions(["lead"]),
    }
    return render(request, "one_form.html", context)


def _tested(request: HttpRequest, row: Piece) -> HttpResponse:
    """Say what was written down, and lead to the step of the test while that is still to be done."""
    messages.success(request, _("Written down: %(said)s.") % {"said": row.get_lead_test_display()})
    step = queries.steps_of(row).filter(does="test", state__in=[Step.State.TO_DO, Step.State.RUNNING]).first()
    return redirect("today:step", step.pk) if step else redirect("pieces:piece", row.pk)
