"""The steps of a piece: laid out, looked at, worked through."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from tallboy.book.doing import By
from tallboy.book.pages import done_or_told, shop_of, succeeds, who, whole_number
from tallboy.drawers.pieces import queries, words
from tallboy.drawers.pieces.actions import layout, work
from tallboy.drawers.pieces.actions.piece import add_note, add_photo
from tallboy.drawers.pieces.deliveries import awaited_by, expected
from tallboy.drawers.pieces.forms import NoteForm, PhotoForm
from tallboy.drawers.pieces.lead import is_lead_test, lead_stops
from tallboy.drawers.pieces.models import Piece, PiecePhoto, Route, Step
from tallboy.drawers.pieces.views.shared import crumbs, leaves, needed_photo
from tallboy.drawers.today.felt import coat_felt, told_already, touch_coat
from tallboy.drawers.today.forms import (
    MORNING,
    AddStepForm,
    DoneForm,
    LayOutForm,
    MinutesForm,
    NotNowForm,
    RouteChoiceForm,
    SkipForm,
)
from tallboy.drawers.today.models import PlannedStep
from tallboy.drawers.today.sure.chances import line_for
from tallboy.drawers.today.views import act_and_plan, plan_and_tell
from tallboy.sums.units import format_minutes

SETTLED = (Step.State.DONE, Step.State.SKIPPED)


@require_safe
def steps(request: HttpRequest, pk: int) -> HttpResponse:
    """A piece's path: every step with its state, when it is planned and why not earlier."""
    piece = queries.piece(shop_of(request), pk)
    planned = {row.step_id: row for row in PlannedStep.objects.filter(shop=piece.shop, step__piece=piece)}
    of_piece = sorted(queries.steps_of(piece), key=lambda step: _in_time(step, planned.get(step.pk)))
    routes = queries.routes_of(piece.shop)
    route = next((row for row in routes if row.key == piece.route), None)
    context = {
        "piece": piece,
        "rows": [{"step": step, "planned": planned.get(step.pk)} for step in of_piece],
        "minutes_left": sum(step.minutes for step in of_piece if step.open),
        "sure": line_for(piece) if piece.in_the_shop else None,
        "finish": max((row.end for row in planned.values()), default=None),
        "route": route,
        "route_form": RouteChoiceForm(routes=routes, initial={"route": route.pk if route else None}),
        "leaves": leaves(piece, "steps"),
        "expected": expected(piece.shop, who(request).at, piece=piece) if piece.in_the_shop else [],
        "crumbs": crumbs(),
    }
    return render(request, "today/steps.html", context)


def _in_time(step: Step, planned: PlannedStep | None) -> tuple[int, float]:
    """The order in which things happen: done, begun, planned; then what has no time, and last what was skipped."""
    if step.state == Step.State.DONE and step.ended_at:
        return 0, step.ended_at.timestamp()
    if step.state == Step.State.SKIPPED:
        return 3, step.order
    return (1, planned.start.timestamp()) if planned else (2, step.order)


@require_http_methods(["GET", "HEAD", "POST"])
def lay_out(request: HttpRequest, pk: int) -> HttpResponse:
    """Choose cans and coats for a route, then unroll it over the piece and plan."""
    piece = queries.piece(shop_of(request), pk)
    chosen = whole_number(request.POST.get("route") or request.GET.get("route") or "")
    if chosen is None:
        messages.error(request, _("Choose a route first."))
        return redirect("today:steps", pk)
    route = queries.route(piece.shop, chosen)
    form = LayOutForm(request.POST or None, shop=piece.shop, route=route)
    if form.is_valid() and succeeds(form, lambda: _lay_out(request, piece, route, form)):
        plan_and_tell(request, who(request))
        return redirect("today:steps", pk)
    context = {"piece": piece, "route": route, "form": form, "crumbs": crumbs(piece)}
    return render(request, "today/lay_out.html", context)


def _lay_out(request: HttpRequest, piece: Piece, route: Route, form: LayOutForm) -> list[Step]:
    return layout.lay_out(
        who(request), piece, route, products=form.products(piece.shop), coats=form.coats(), options=form.options()
    )


@require_http_methods(["GET", "HEAD", "POST"])
def add(request: HttpRequest, pk: int) -> HttpResponse:
    """Add a step of one's own."""
    piece = queries.piece(shop_of(request), pk)
    form = AddStepForm(request.POST or None, piece=piece)
    if form.is_valid() and succeeds(form, lambda: _add(request, piece, form)):
        plan_and_tell(request, who(request))
        return redirect("today:steps", pk)
    context = {"form": form, "title": _("A step of your own"), "button": _("Add it"), "crumbs": crumbs(piece)}
    return render(request, "one_form.html", context)


def _add(request: HttpRequest, piece: Piece, form: AddStepForm) -> Step:
    cleaned = form.cleaned_data
    return work.add_step(
        who(request), piece, cleaned["title"], cleaned["minutes"],
        after=form.after_step(piece), does=cleaned["does"], dusty=cleaned["dusty"],
    )  # fmt: skip


@require_safe
def step(request: HttpRequest, pk: int) -> HttpResponse:
    """One step: what, why now, its cautions, what it needs, and what to do about it."""
    row = queries.step(shop_of(request), pk)
    return render(request, "today/step.html", _step_context(row, who(request)))


def _step_context(row: Step, by: By, **forms: Any) -> dict[str, Any]:
    return {
        "step": row,
        "piece": row.piece,
        "planned": PlannedStep.objects.filter(step=row).first(),
        "cautions": words.cautions(row.cautions),
        "lead_stops": row.open and lead_stops(row),
        "put_off": _told(row.not_before) if row.not_before and row.state == Step.State.TO_DO else "",
        "only": [person.name for person in row.people.order_by("name")],
        "coming": [one for one in expected(row.shop, by.at) if row.open and awaited_by(row, one.delivery)],
        "ends_with_result": row.open and is_lead_test(row) and row.piece.lead_unknown,
        "ticking": work.running_clock(by.person, row) is not None,
        "positions": list(row.positions.all()),
        "surfaces": list(row.surfaces.all()),
        "waits": list(row.waits_before.select_related("first").exclude(first__state__in=SETTLED)),
        "coat": coat_felt(row, by.at) if row.piece.in_the_shop else None,
        "clock": list(row.clock.select_related("person")),
        "photos": list(row.photos.select_related("photo")),
        "notes": list(row.notes.select_related("owner")),
        "done_form": DoneForm(),
        "not_now_form": NotNowForm(auto_id="not_now_%s"),
        "skip_form": SkipForm(auto_id="skip_%s"),
        "minutes_form": MinutesForm(initial={"minutes": format_minutes(row.minutes)}),
        "note_form": NoteForm(),
        "photo_form": PhotoForm(),
        "crumbs": crumbs(row.piece),
        **forms,
    }


def _again(request: HttpRequest, row: Step, **forms: Any) -> HttpResponse:
    """The step once more, with the form that could not be used and why."""
    return render(request, "today/step.html", _step_context(row, who(request), **forms), status=400)


def _after(request: HttpRequest, row: Step) -> HttpResponse:
    """Back to Today when the button stood there, else to the step."""
    if request.POST.get("from") == "today":
        return redirect("today:today")
    return redirect("today:step", row.pk)


@require_POST
def start(request: HttpRequest, pk: int) -> HttpResponse:
    """Start the clock. A second tap changes nothing."""
    row = queries.step(shop_of(request), pk)
    if work.running_clock(who(request).person, row) is None:
        act_and_plan(request, lambda: work.start_step(who(request), row))
    return _after(request, row)


@require_POST
def pause(request: HttpRequest, pk: int) -> HttpResponse:
    """Stop the clock; the step stays begun. A second tap changes nothing."""
    row = queries.step(shop_of(request), pk)
    if work.running_clock(who(request).person, row) is not None:
        done_or_told(request, lambda: work.pause_step(who(request), row))
    return _after(request, row)


@require_POST
def done(request: HttpRequest, pk: int) -> HttpResponse:
    """The step is done. A second tap changes nothing."""
    row = queries.step(shop_of(request), pk)
    if row.state == Step.State.DONE:
        return _after(request, row)
    form = DoneForm(request.POST)
    if not form.is_valid():
        return _again(request, row, done_form=form)
    if act_and_plan(request, lambda: work.finish_step(who(request), row, ml=form.cleaned_data["used"])):
        messages.success(request, _("Done: %(step)s.") % {"step": row.title})
        _tell_what_is_left(request, row)
    return _after(request, row)


def _tell_what_is_left(request: HttpRequest, row: Step) -> None:
    """After the take-down: what still sits on the piece. After the put-back: what is not on it yet."""
    states = {"take-down": ("on",), "put-back": ("off", "missing")}.get(row.does, ())
    left = sum(line.state in states for line in queries.position_lines(row.piece)) if states else 0
    if left and row.does == "take-down":
        told = ngettext(
            "%(left)s position still carries what it came with.",
            "%(left)s positions still carry what they came with.",
            left,
        )
        messages.info(request, told % {"left": left})
    elif left:
        told = ngettext("%(left)s position is still to be fitted.", "%(left)s positions are still to be fitted.", left)
        messages.info(request, told % {"left": left})


def _told(moment: datetime) -> str:
    """Until when a step is put off: the day alone where a day was chosen."""
    local = timezone.localtime(moment)
    return str(date_format(local, "D j M" if local.time() == MORNING else "D j M H:i"))


@require_POST
def not_now(request: HttpRequest, pk: int) -> HttpResponse:
    """Put the step off. From Today it is one tap: two hours."""
    row = queries.step(shop_of(request), pk)
    by = who(request)
    form = NotNowForm(request.POST if "until" in request.POST else {"until": "120"}, auto_id="not_now_%s")
    if not form.is_valid():
        return _again(request, row, not_now_form=form)
    until = form.until_moment(by.at, by.shop)
    if act_and_plan(request, lambda: work.not_now(by, row, until, form.cleaned_data["reason"])):
        messages.success(request, _("Put off until %(when)s: %(step)s.") % {"when": _told(until), "step": row.title})
    return _after(request, row)


@require_POST
def touch(request: HttpRequest, pk: int) -> HttpResponse:
    """What a finger found of the coat: dry enough, or not yet. A second tap changes nothing."""
    row = queries.step(shop_of(request), pk)
    by, dry = who(request), "dry" in request.POST
    stage = request.POST.get("dry" if dry else "wet", "")
    if told_already(by, row, stage, dry):
        return _after(request, row)
    if act_and_plan(request, lambda: touch_coat(by, row, stage, dry)):
        told = _("Written down: dry enough.") if dry else _("Written down: not dry enough yet.")
        mistake = _("If that was a mistake, take it back on the page of %(can)s.") % {
            "can": row.product.name if row.product else ""
        }
        messages.success(request, f"{told} {mistake}")
    return _after(request, row)


@require_POST
def skip(request: HttpRequest, pk: int) -> HttpResponse:
    """The step is not needed after all."""
    row = queries.step(shop_of(request), pk)
    form = SkipForm(request.POST, auto_id="skip_%s")
    if not form.is_valid():
        return _again(request, row, skip_form=form)
    act_and_plan(request, lambda: work.skip_step(who(request), row, form.cleaned_data["reason"]))
    return _after(request, row)


@require_POST
def again(request: HttpRequest, pk: int) -> HttpResponse:
    """A skipped step is wanted after all."""
    row = queries.step(shop_of(request), pk)
    act_and_plan(request, lambda: work.take_up_again(who(request), row))
    return _after(request, row)


@require_POST
def minutes(request: HttpRequest, pk: int) -> HttpResponse:
    """A better estimate of the hands-on time."""
    row = queries.step(shop_of(request), pk)
    form = MinutesForm(request.POST)
    if not form.is_valid():
        return _again(request, row, minutes_form=form)
    act_and_plan(request, lambda: work.change_minutes(who(request), row, form.cleaned_data["minutes"]))
    return _after(request, row)


@require_POST
def note(request: HttpRequest, pk: int) -> HttpResponse:
    """A remark on the step."""
    row = queries.step(shop_of(request), pk)
    form = NoteForm(request.POST)
    if not form.is_valid():
        return _again(request, row, note_form=form)
    done_or_told(request, lambda: add_note(who(request), row.piece, form.cleaned_data["text"], step=row))
    return _after(request, row)


@require_POST
def photo(request: HttpRequest, pk: int) -> HttpResponse:
    """A photograph of the work."""
    row = queries.step(shop_of(request), pk)
    done_or_told(request, lambda: _keep_photo(request, row))
    return _after(request, row)


def _keep_photo(request: HttpRequest, row: Step) -> PiecePhoto:
    return add_photo(who(request), row.piece, *needed_photo(request), purpose=PiecePhoto.Purpose.DURING, step=row)
