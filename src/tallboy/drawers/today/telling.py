"""The plan and the day in words and as plain data, for the command line."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db.models import QuerySet
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from tallboy.drawers.pieces.models import Piece
from tallboy.drawers.today.day import Day
from tallboy.drawers.today.models import Plan, PlannedPromise, PlannedStep
from tallboy.drawers.today.people import people_names, person_name
from tallboy.drawers.today.sure.chances import futures_of
from tallboy.drawers.today.sure.pages import Hangs, SurePage
from tallboy.drawers.today.waiting import Waiting
from tallboy.sums.units import format_minutes


def _when(moment: datetime) -> str:
    return str(date_format(timezone.localtime(moment), "D j M H:i"))


def _iso(moment: datetime) -> str:
    return timezone.localtime(moment).isoformat()


def rows_of(plan: Plan) -> QuerySet[PlannedStep]:
    """The planned steps in order, with their pieces."""
    return PlannedStep.objects.filter(plan=plan).select_related("step__piece", "step__place").order_by("start", "id")


def plan_data(plan: Plan) -> dict[str, Any]:
    """The plan as plain data: every step with start, end, hands-on minutes and why it is not earlier."""
    promises = PlannedPromise.objects.filter(plan=plan).select_related("piece")
    names = people_names(plan.shop)
    return {
        "made_at": _iso(plan.made_at),
        "status": plan.status,
        "cost_minutes": plan.cost,
        "bound_minutes": plan.bound,
        "gap": plan.gap,
        "seconds": plan.seconds,
        "place_changes": plan.place_changes,
        "warnings": plan.warnings,
        "blocked": [{"step": key, "why": text} for key, text in plan.blocked],
        "steps": [
            {**_step_data(row), "people": [person_name(key, names) for key in row.people]} for row in rows_of(plan)
        ],
        "promises": [
            {
                "piece": row.piece.number,
                "name": row.piece.name,
                "promised": row.piece.promise.isoformat() if row.piece.promise else None,
                "finish": _iso(row.finish),
                "late_minutes": row.late_minutes,
                "chance": row.chance,
                "safe_on": _iso(row.safe_on) if row.safe_on else None,
            }
            for row in promises
        ],
        "futures": futures_of(plan),
    }


def _step_data(row: PlannedStep) -> dict[str, Any]:
    return {
        "step": row.step_id,
        "piece": row.step.piece.number,
        "piece_name": row.step.piece.name,
        "title": row.step.title,
        "place": row.step.place.name if row.step.place else None,
        "start": _iso(row.start),
        "end": _iso(row.end),
        "blocks": [[_iso(start), _iso(end)] for start, end in row.spans()],
        "hands_on_minutes": row.step.minutes,
        "hands": row.step.hands,
        "rule": row.rule,
        "reason": row.reason,
    }


def chance_data(plan: Plan) -> dict[str, Any]:
    """How sure the plan is, as plain data: piece by piece when it is finished by which share of futures, and what drives that."""
    told = plan.chance.get("pieces", {})
    pieces = Piece.objects.filter(shop=plan.shop_id, pk__in=[int(key) for key in told]).order_by("pk")
    return {
        "futures": futures_of(plan),
        "seed": plan.chance.get("seed"),
        "beyond": plan.chance.get("beyond"),
        "pieces": [{"piece": piece.number, "name": piece.name, **told[str(piece.pk)]} for piece in pieces],
        "windows": [
            {"first": first, "then": then, "missed": missed, "sanded": sanded}
            for first, then, missed, sanded in plan.chance.get("windows", [])
        ],
    }


def chance_lines(plan: Plan) -> list[str]:
    """How sure the promises are, as lines to read: the least sure one first, each with what it hangs on most."""
    if not futures_of(plan):
        return [_("This plan was not followed through any futures.")]
    told = SurePage(plan)
    found: list[str] = []
    for row in told.of(told.pieces):
        words = row.line.words if row.line is not None else _("nothing is promised")
        found.append(f"{row.piece.name}: {words}")
        found += [_hangs_line(one) for one in row.hangs]
    found += [
        _("In %(share)s of the futures the window before “%(piece)s: %(step)s” is missed.")
        % {"share": row.share, "piece": row.step.piece.name, "step": row.step.title}
        for row in told.windows()
    ]
    return found or [_("Nothing to plan: no piece has steps laid out.")]


def _hangs_line(one: Hangs) -> str:
    """How much of the spread goes with one thing, and how unsure that is."""
    share = _("%(share)s of the spread") % {"share": f"{one.share:>5}"}
    return f"    {share}  {one.what} ({one.unsure})" if one.unsure else f"    {share}  {one.what}"


def plan_lines(plan: Plan) -> list[str]:
    """The plan as lines to read."""
    lines = [f"{_when(row.start)}  {row.step.minutes:4d} min  {row.step.piece.name}: {row.step.title}\n"
             f"{'':31}{row.reason}" for row in rows_of(plan)]  # fmt: skip
    return lines or [_("Nothing to plan: no piece has steps laid out.")]


def day_data(day: Day) -> dict[str, Any]:
    """The day as plain data."""
    return {
        "now": _iso(day.now),
        "plan_is_stale": day.stale,
        "begun": [{"step": step.pk, "piece": step.piece.number, "title": step.title} for step in day.running],
        "next": _step_data(day.next) if day.next else None,
        "today": [_step_data(turn.row) for turn in day.today],
        "waiting": [_waiting_data(row) for row in day.waiting],
    }


def _waiting_data(row: Waiting) -> dict[str, Any]:
    return {
        "step": row.step.pk,
        "piece": row.step.piece.number,
        "title": row.step.title,
        "kind": row.kind,
        "trouble": row.trouble,
        "opens": _iso(row.opens),
        "spread_minutes": row.spread_minutes,
        "closes": _iso(row.closes) if row.closes else None,
    }


def day_lines(day: Day) -> list[str]:
    """The day as lines to read."""
    if day.plan is None:
        return [_("There is no plan yet. Lay out the steps of a piece, then run `tallboy plan`.")]
    lines = [_("The plan is older than what has happened since: run `tallboy plan`.")] if day.stale else []
    lines += [_("Begun: %(piece)s: %(step)s") % {"piece": s.piece.name, "step": s.title} for s in day.running]
    if day.next is not None:
        lines.append(_("Next:  %(when)s  %(piece)s: %(step)s") % _words(day.next))
        lines.append(f"       {day.next.reason}")
    told = {step.pk for step in day.running} | ({day.next.step_id} if day.next else set())
    lines += [
        f"{_when(turn.start)}  {turn.row.step.piece.name}: {turn.row.step.title}"
        for turn in day.today
        if turn.row.step_id not in told
    ]
    lines += [_wait_line(row) for row in day.waiting]
    return lines or [_("Nothing to do today.")]


def _words(row: PlannedStep) -> dict[str, str]:
    return {"when": _when(row.start), "piece": row.step.piece.name, "step": row.step.title}


def _wait_line(row: Waiting) -> str:
    spread = f" ± {format_minutes(row.spread_minutes)}" if row.spread_minutes else ""
    until = _("not in this air") if row.trouble else f"{_when(row.opens)}{spread}"
    if row.closes:
        until += ", " + _("window closes %(when)s") % {"when": _when(row.closes)}
    return f"{row.verb}: {row.step.piece.name}: {row.step.title} → {until}"
