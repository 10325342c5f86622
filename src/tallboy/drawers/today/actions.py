"""Working the plan out anew and keeping it."""

from __future__ import annotations

from datetime import datetime

from django.conf import settings
from django.utils import timezone
from django.utils.translation import gettext as _

from tallboy.book.doing import By, action
from tallboy.book.models import Journal
from tallboy.drawers.pieces.models import Piece, Step
from tallboy.drawers.today.gather import gather
from tallboy.drawers.today.models import Plan, PlannedPromise, PlannedStep
from tallboy.planner import network
from tallboy.planner.solve import solve


def replan(by: By, *, seconds: float | None = None) -> Plan:
    """Work the plan out from what really happened so far, and keep it.

    The solving is outside the transaction, so that nobody waits for it. Raises NoPlan, naming the rules and steps in
    conflict; the plan that people already saw then stays.
    """
    seen = Journal.objects.filter(shop=by.shop).values_list("id", flat=True).first() or 0
    gathered = gather(by.shop, by.at)
    found = solve(gathered.problem, seconds=settings.PLAN_SECONDS if seconds is None else seconds)
    return keep_plan(by, found, seen, gathered.troubles)


@action
def keep_plan(by: By, found: network.Plan, seen: int, troubles: tuple[str, ...] = ()) -> Plan:
    """Store a plan in place of the one before it."""
    plan = Plan.objects.create(
        **by.kept(),
        made_at=by.at,
        status=found.status,
        gap=found.gap,
        seconds=found.seconds,
        seen_journal=seen,
        warnings=[*troubles, *(missed.text for missed in found.missed_windows)],
    )
    open_steps = set(Step.objects.filter(shop=by.shop, state__in=["to do", "running"]).values_list("pk", flat=True))
    PlannedStep.objects.bulk_create(
        _row(by, plan, planned) for planned in found.steps.values() if int(planned.key) in open_steps
    )
    PlannedPromise.objects.bulk_create(
        PlannedPromise(
            **by.kept(), plan=plan, piece_id=int(kept.piece), finish=kept.finish, late_minutes=kept.late_minutes
        )
        for kept in found.promises
    )
    Plan.objects.filter(shop=by.shop).exclude(pk=plan.pk).delete()
    late = [kept for kept in found.promises if kept.late_minutes]
    by.record("plan", plan, _summary(len(found.steps), late), late=[kept.piece for kept in late])
    return plan


def _row(by: By, plan: Plan, planned: network.Planned) -> PlannedStep:
    return PlannedStep(
        **by.kept(),
        plan=plan,
        step_id=int(planned.key),
        start=planned.start,
        end=planned.end,
        blocks=[[start.isoformat(), end.isoformat()] for start, end in planned.blocks],
        rule=planned.reason.rule,
        reason=planned.reason.text,
        until=planned.reason.until,
    )


def _summary(count: int, late: list[network.Kept]) -> str:
    text = _("Planned %(count)s steps.") % {"count": count}
    if late:
        text += " " + _("%(count)s promises cannot be kept.") % {"count": len(late)}
    return text


def late_words(plan: Plan) -> list[str]:
    """One plain sentence for each promise that this plan cannot keep: by how much, and when it would be finished."""
    rows = PlannedPromise.objects.filter(plan=plan, late_minutes__gt=0).select_related("piece")
    return [_late(row.piece, row.finish) for row in rows]


def _late(piece: Piece, finish: datetime) -> str:
    assert piece.promise is not None
    days = (finish.astimezone(piece.shop.tz).date() - piece.promise).days
    return _("%(piece)s cannot be ready on %(promise)s: it would be finished on %(finish)s, %(days)s days late.") % {
        "piece": piece.name,
        "promise": f"{piece.promise:%d.%m.%Y}",
        "finish": f"{timezone.localtime(finish, piece.shop.tz):%d.%m.%Y %H:%M}",
        "days": days,
    }
