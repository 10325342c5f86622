"""How far a run that improves the plan is: measured, as plain data, and in people's words."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from tallboy.drawers.today.models import Plan, PlannedPromise, PlannedStep, PlanRun
from tallboy.errors import TallboyError
from tallboy.planner import network
from tallboy.planner.search.watch import Progress
from tallboy.sums.units import format_minutes

# A bound further away than this says nothing that anybody could go by.
KNOWN_LITTLE = 0.5


@dataclass(frozen=True)
class Measured:
    """What counts in a plan: windows missed, promises late and by how much, the sum of finishing times [min], open pieces."""

    missed: int
    late: int
    late_minutes: float
    finishing: float
    pieces: int


def measured(plan: network.Plan, problem: network.Problem) -> Measured:
    """A plan that the planner has just made for a problem."""
    late = [kept.late_minutes for kept in plan.promises if kept.late_minutes]
    pieces = {step.piece for step in problem.steps if step.key in plan.steps and not plan.steps[step.key].done}
    return Measured(len(plan.missed_windows), len(late), sum(late), plan.cost - sum(late), len(pieces))


def measured_kept(plan: Plan) -> Measured:
    """A plan that was kept."""
    late = list(PlannedPromise.objects.filter(plan=plan, late_minutes__gt=0).values_list("late_minutes", flat=True))
    pieces = PlannedStep.objects.filter(plan=plan).values("step__piece").distinct().count()
    return Measured(len(plan.missed), len(late), sum(late), (plan.cost or 0.0) - sum(late), pieces)


def progress(best: Measured, told: Progress | network.Plan, before: dict[str, Any]) -> dict[str, Any]:
    """How far a run is, as plain data: the best plan so far, what is proven of it, and the first plan of the run."""
    now = asdict(best)
    return {
        **now,
        "status": told.status,
        "cost": told.cost,
        "bound": told.bound,
        "gap": told.gap,
        "seconds": round(told.seconds, 1),
        "first": before.get("first", now),
    }


def how_good(status: str, gap: float | None) -> str:
    """How near a plan is to the best there could be."""
    if status == "optimal":
        return _("Proven: no plan is better.")
    if status == "first" or gap is None:
        return _("A first plan, not improved yet.")
    if gap > KNOWN_LITTLE:
        return _("How near it is to the best plan there could be is not proven yet.")
    percent = max(1, round(gap * 100))
    return _("No plan could be better by more than %(percent)s %%.") % {"percent": percent}


def lines(told: dict[str, Any]) -> list[str]:
    """How far a run is, in words: promises, finishing times, how near to the best."""
    if not told:
        return [_("The first plan is being made.")]
    return [_late(told), _sooner(told["first"]["finishing"] - told["finishing"]), how_good(told["status"], told["gap"])]


def _late(told: dict[str, Any]) -> str:
    now, first = told["late"], told["first"]["late"]
    if not now:
        text = _("Every promise is kept.")
    else:
        text = ngettext("%(count)s promise is late.", "%(count)s promises are late.", now) % {"count": now}
    if now == first:
        return text
    return text + " " + _("By the first plan it was %(count)s.") % {"count": first}


def _sooner(minutes: float) -> str:
    """What was gained in finishing times, all pieces together."""
    if abs(minutes) < 1:
        return _("All pieces together are finished as soon as by the first plan.")
    words = {"time": format_minutes(abs(minutes))}
    if minutes > 0:
        return _("All pieces together are finished %(time)s sooner than by the first plan.") % words
    return _("All pieces together are finished %(time)s later than by the first plan, for promises come first.") % words


def ended(state: str, told: dict[str, Any], *, happened: bool, stays: bool) -> str:
    """How a run ended, in words."""
    first = _("Stopped.") if state == PlanRun.State.STOPPED else _("Done.")
    if stays:
        return f"{first} " + _("No better plan was found than the one in force, which stays.")
    if happened:
        return f"{first} " + _("Something has happened meanwhile: the best plan was fitted to it and is kept.")
    return " ".join([first, _("The best plan is kept."), *lines(told)])


def failed(error: Exception) -> str:
    """Why a run came to nothing, in words."""
    if isinstance(error, TallboyError):
        return _("There is no new plan: %(why)s The plan before stays.") % {"why": error}
    return _("The program failed while it improved the plan. The plan before stays.")
