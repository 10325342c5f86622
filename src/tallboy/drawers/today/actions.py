"""Working the plan out anew and keeping it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import UTC, datetime, timedelta

from django.conf import settings
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import ngettext

from tallboy.book.doing import By, action
from tallboy.book.models import Journal
from tallboy.drawers.pieces.models import Piece, Step
from tallboy.drawers.today.gather import Gathered, gather
from tallboy.drawers.today.models import Plan, PlannedPromise, PlannedStep
from tallboy.planner import network
from tallboy.planner.grid import wait_minutes
from tallboy.planner.solve import solve

Rest = tuple[str, datetime]


def replan(by: By, *, seconds: float | None = None) -> Plan:
    """Work the plan out from what really happened so far, and keep it.

    The solving is outside the transaction, so that nobody waits for it. Raises NoPlan, naming the rules and steps in
    conflict; the plan that people already saw then stays.
    """
    seen = Journal.objects.filter(shop=by.shop).values_list("id", flat=True).first() or 0
    gathered = gather(by.shop, by.at)
    found = solve(gathered.problem, seconds=settings.PLAN_SECONDS if seconds is None else seconds)
    return keep_plan(by, found, seen, gathered)


@action
def keep_plan(by: By, found: network.Plan, seen: int, gathered: Gathered) -> Plan:
    """Store a plan in place of the one before it."""
    plan = Plan.objects.create(
        **by.kept(),
        made_at=by.at,
        status=found.status,
        gap=found.gap,
        seconds=found.seconds,
        seen_journal=seen,
        warnings=[*gathered.troubles, *(missed.text for missed in found.missed_windows)],
        missed=[[missed.first, missed.step] for missed in found.missed_windows],
    )
    still = Step.objects.filter(shop=by.shop, state__in=["to do", "running"])
    piece_of = dict(still.values_list("pk", "piece__name"))
    rests = _rests(found, gathered.problem.links)
    rows = [
        _row(by, plan, planned, rests, piece_of[int(planned.key)])
        for planned in found.steps.values()
        if int(planned.key) in piece_of
    ]
    PlannedStep.objects.bulk_create(rows)
    PlannedPromise.objects.bulk_create(
        PlannedPromise(
            **by.kept(), plan=plan, piece_id=int(kept.piece), finish=kept.finish, late_minutes=kept.late_minutes
        )
        for kept in found.promises
    )
    Plan.objects.filter(shop=by.shop).exclude(pk=plan.pk).delete()
    late = [kept for kept in found.promises if kept.late_minutes]
    by.record("plan", plan, _summary(len(rows), len(late)), late=[kept.piece for kept in late])
    return plan


def _rests(found: network.Plan, links: Iterable[network.Link]) -> dict[str, Rest]:
    """For each step that something has to rest after: what kind of rest the longest is, and when it is over."""
    rests: dict[str, Rest] = {}
    for link in links:
        end = found.steps[link.first].end.astimezone(UTC)
        over = end + timedelta(minutes=wait_minutes(link.least, end))
        if over > end and (link.first not in rests or rests[link.first][1] < over):
            rests[link.first] = (link.kind, over)
    return rests


def _row(by: By, plan: Plan, planned: network.Planned, rests: dict[str, Rest], piece: str) -> PlannedStep:
    """One row of the plan. Its reason names other steps of the same piece without the piece, which stands beside it."""
    kind, over = rests.get(planned.key, ("", None))
    return PlannedStep(
        **by.kept(),
        plan=plan,
        step_id=int(planned.key),
        start=planned.start,
        end=planned.end,
        blocks=[[start.isoformat(), end.isoformat()] for start, end in planned.blocks],
        rule=planned.reason.rule,
        reason=planned.reason.text.replace(f"“{piece}: ", "“"),
        until=planned.reason.until,
        rests=kind,
        rests_until=over,
    )


def _summary(count: int, late: int) -> str:
    text = ngettext("Planned %(count)s step.", "Planned %(count)s steps.", count) % {"count": count}
    if late:
        text += " " + (
            ngettext("%(late)s promise cannot be kept.", "%(late)s promises cannot be kept.", late) % {"late": late}
        )
    return text


def late_words(plan: Plan) -> list[str]:
    """One plain sentence for each promise that this plan cannot keep: by how much, and when it would be finished."""
    return list(told_late(PlannedPromise.objects.filter(plan=plan).select_related("piece__shop")))


def told_late(promises: Iterable[PlannedPromise]) -> Iterator[str]:
    """The same for promises that are at hand already."""
    return (_late(row.piece, row.finish) for row in promises if row.late_minutes)


def _late(piece: Piece, finish: datetime) -> str:
    assert piece.promise is not None
    local = timezone.localtime(finish, piece.shop.tz)
    days = max(1, (local.date() - piece.promise).days)
    text = ngettext(
        "%(piece)s cannot be ready on %(promise)s: it would be finished on %(finish)s, %(days)s day late.",
        "%(piece)s cannot be ready on %(promise)s: it would be finished on %(finish)s, %(days)s days late.",
        days,
    )
    return text % {
        "piece": piece.name,
        "promise": date_format(piece.promise, "D j F"),
        "finish": date_format(local, "D j F, H:i"),
        "days": days,
    }
