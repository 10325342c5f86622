"""The weeks of two plans drawn over the same days, so that the eye can compare them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime, time, timedelta

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from tallboy.drawers.pieces.models import Step
from tallboy.drawers.today.show.strip import Bar, Frame, Lane, draw
from tallboy.drawers.today.show.week import METAL, MOST_LANES, USUAL_HOURS, rest_kind
from tallboy.drawers.today.what_if.answer import Answer, Side, planned_steps
from tallboy.planner import network
from tallboy.planner.slots.grid import wait_minutes

WIDE_DAYS, NARROW_DAYS, NARROW_COLUMN = 6, 4, 94.0


def strips(answer: Answer, names: Mapping[str, str]) -> dict[str, dict[str, str]]:
    """Both weeks, each once for a wide page and once for a phone: `[side][size]` is SVG; empty where there is no plan."""
    sides = {"now": (answer.now, _("The week as it is")), "then": (answer.then, _("The week as it is asked"))}
    metal = _metal(answer)
    frames = {"wide": _frame(answer, WIDE_DAYS), "narrow": _frame(answer, NARROW_DAYS, NARROW_COLUMN)}
    return {
        key: {size: _drawn(side, frame, names, metal, label) for size, frame in frames.items()}
        for key, (side, label) in sides.items()
    }


def _metal(answer: Answer) -> set[str]:
    """The keys of steps whose hands are at metal."""
    keys = [int(step.key) for step in answer.then.problem.steps if step.key.isdecimal()]
    known = Step.objects.filter(pk__in=keys, does__in=METAL).values_list("pk", flat=True)
    new = [step.pk for step in answer.new.steps if step.does in METAL] if answer.new else []
    return {str(pk) for pk in (*known, *new)}


def _frame(answer: Answer, count: int, column: float | None = None) -> Frame:
    """The next days on which either plan has work, today first; each as long as the longest of them."""
    now = answer.now.problem.now
    zone = now.tzinfo
    assert zone is not None
    spans = [
        (a.astimezone(zone), b.astimezone(zone))
        for side in (answer.now, answer.then)
        for a, b in _hours(side.problem)
        if a <= now + timedelta(days=21)
    ]
    days = sorted({now.date()} | {opens.date() for opens, _closes in spans})[:count]
    shown = [span for span in spans if span[0].date() in days]
    opens = min((span[0].time() for span in shown), default=USUAL_HOURS[0])
    closes = max((_closing(*span) for span in shown), default=USUAL_HOURS[1])
    day_names = tuple(str(date_format(day, "D j M" if column is None else "D j")) for day in days)
    frame = Frame(tuple(days), opens, max(closes, time(opens.hour, 59)), zone, day_names)
    return frame if column is None else Frame(frame.days, opens, frame.closes, zone, day_names, column)


def _hours(problem: network.Problem) -> list[network.Span]:
    return [*problem.working, *(span for person in problem.people for span in person.hours or ())]


def _closing(opens: datetime, closes: datetime) -> time:
    return closes.time() if closes.date() == opens.date() else time(23, 59)


def _drawn(side: Side, frame: Frame, names: Mapping[str, str], metal: set[str], label: str) -> str:
    if side.plan is None:
        return ""
    lanes = _lanes(side.problem, side.plan, frame, names, metal)
    return draw(frame, lanes, side.problem.now, label, {"due": _("due"), "now": _("now")}) if lanes else ""


def _lanes(
    problem: network.Problem, plan: network.Plan, frame: Frame, names: Mapping[str, str], metal: set[str]
) -> list[Lane]:
    """A row for each piece with something to draw, those that are worked on first at the top."""
    due = {promise.piece: promise.by.date() for promise in problem.promises}
    bars: dict[str, list[Bar]] = {}
    for piece, bar in [*_worked(problem, plan, metal), *_resting(problem, plan)]:
        if bar.end > problem.now and frame.shows(bar.start, bar.end):
            bars.setdefault(piece, []).append(bar)
    ordered = sorted(bars, key=lambda piece: (min(bar.start for bar in bars[piece]), piece))
    return [Lane(names.get(key, key), tuple(bars[key]), _shown(due.get(key), frame)) for key in ordered[:MOST_LANES]]


def _shown(due: date | None, frame: Frame) -> date | None:
    return due if due in frame.days else None


def _worked(problem: network.Problem, plan: network.Plan, metal: set[str]) -> Iterable[tuple[str, Bar]]:
    for step in planned_steps(problem, plan):
        kind = "metal" if step.key in metal else "hands"
        yield from ((step.piece, Bar(start, end, kind)) for start, end in plan.steps[step.key].blocks)


def _resting(problem: network.Problem, plan: network.Plan) -> Iterable[tuple[str, Bar]]:
    """The longest wait after each step."""
    piece = {step.key: step.piece for step in problem.steps}
    rests: dict[str, Bar] = {}
    for link in problem.links:
        if link.first not in plan.steps:
            continue
        end = plan.steps[link.first].end
        over = end + timedelta(minutes=wait_minutes(link.least, end))
        if over > end and (link.first not in rests or rests[link.first].end < over):
            rests[link.first] = Bar(end, over, rest_kind(link.kind))
    return ((piece[key], bar) for key, bar in rests.items())
