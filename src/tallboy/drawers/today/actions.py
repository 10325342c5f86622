"""Working the plan out anew and keeping it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

from django.conf import settings
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import ngettext

from tallboy.book.doing import By, action
from tallboy.drawers.pieces.models import Step
from tallboy.drawers.today import queries
from tallboy.drawers.today.gathering.gather import Gathered, gather
from tallboy.drawers.today.gathering.scuffs import write_scuffs
from tallboy.drawers.today.models import Plan, PlannedPromise, PlannedStep
from tallboy.drawers.today.sure import chances
from tallboy.planner import network
from tallboy.planner.mend import mend
from tallboy.planner.slots.grid import wait_minutes
from tallboy.planner.solve import solve
from tallboy.planner.why.room import NO_LIMIT, Room, rooms

# How long a plan may be mended after a slip, so that the next page is there within a second.
SLIP_SECONDS = 0.4


def replan(by: By, *, seconds: float | None = None, afresh: bool = False) -> Plan:
    """Work the plan out from what really happened so far, and keep it.

    After a slip the plan that people saw is mended at once; with `afresh`, or when more than work has changed, all of it is
    worked out anew. The solving is outside the transaction, so that nobody waits for it. Raises NoPlan, naming the rules and
    steps in conflict; the plan that people already saw then stays.
    """
    seen = queries.newest_journal(by.shop)
    slipped = not afresh and seconds is None and queries.only_slipped(by.shop)
    gathered = gather(by.shop, by.at)
    if slipped:
        return keep_plan(by, mended(gathered.problem), seen, gathered, quick=True)
    found = solve(gathered.problem, seconds=settings.PLAN_SECONDS if seconds is None else seconds)
    return keep_plan(by, found, seen, gathered)


def mended(problem: network.Problem) -> network.Plan:
    """A plan after a slip, at once: what can stay where it was in `problem.previous` stays."""
    return mend(problem, seconds=min(SLIP_SECONDS, settings.PLAN_SECONDS))


def keep_plan(by: By, found: network.Plan, seen: int, gathered: Gathered, *, quick: bool = False) -> Plan:
    """Find out how sure a plan is, then store it. The futures are worked out outside the transaction."""
    return store_plan(by, found, seen, gathered, chances.how_sure(gathered.problem, found, quick=quick))


@action
def store_plan(by: By, found: network.Plan, seen: int, gathered: Gathered, sure: chances.Sure) -> Plan:
    """Store a plan and how sure it is in place of the one before it; what it adds becomes a step of the book."""
    keys, room = tuple(found.steps), rooms(gathered.problem, found)
    found = write_scuffs(by, found, gathered.problem)
    names = dict(zip(keys, found.steps, strict=True))
    plan = Plan.objects.create(
        **by.kept(),
        made_at=by.at,
        status=found.status,
        gap=found.gap,
        cost=found.cost,
        bound=found.bound,
        seconds=found.seconds,
        seen_journal=seen,
        place_changes=found.place_changes,
        warnings=[*gathered.troubles, *(missed.text for missed in found.missed_windows)],
        missed=[[missed.first, missed.step] for missed in found.missed_windows],
        blocked=[[blocked.step, blocked.text] for blocked in found.blocked],
        waits=waits_of(found, gathered.problem.links),
        chance=chances.kept(sure, names),
    )
    own = {names[key]: {**chances.for_step(sure, key), **_room(room.get(key, NO_LIMIT))} for key in keys}
    still = Step.objects.filter(shop=by.shop, state__in=["to do", "running"])
    piece_of = {str(pk): name for pk, name in still.values_list("pk", "piece__name")}
    rests = {wait["first"]: wait for wait in plan.waits if wait["longest"]}
    rows = [
        _row(by, plan, planned, rests.get(planned.key), piece_of[planned.key], own[planned.key])
        for planned in found.steps.values()
        if planned.key in piece_of
    ]
    PlannedStep.objects.bulk_create(rows)
    PlannedPromise.objects.bulk_create(
        PlannedPromise(
            **by.kept(),
            plan=plan,
            piece_id=int(kept.piece),
            finish=kept.finish,
            late_minutes=kept.late_minutes,
            **chances.for_promise(sure, kept.piece),
        )
        for kept in found.promises
    )
    Plan.objects.filter(shop=by.shop).exclude(pk=plan.pk).delete()
    late = [kept for kept in found.promises if kept.late_minutes]
    by.record("plan", plan, _summary(len(rows), len(late)), late=[kept.piece for kept in late])
    return plan


def waits_of(found: network.Plan, links: Iterable[network.Link]) -> list[dict[str, Any]]:
    """What rests by this plan, as plain data: after which step, before which, what kind, when it is over, when a window closes.

    `longest` marks the one among the waits after a step that lasts longest. Windows that the plan misses are left out.
    """
    lost = {(row.first, row.step) for row in found.missed_windows} | {(row.first, row.step) for row in found.scuffed}
    rows = [_wait(found, link) for link in links if link.first in found.steps and (link.first, link.then) not in lost]
    told = sorted((row for row in rows if row is not None), key=lambda row: str(row["opens"]))
    last = {row["first"]: row for row in told if row["rests"]}
    return [{**row, "longest": last.get(row["first"]) is row} for row in told]


def _wait(found: network.Plan, link: network.Link) -> dict[str, Any] | None:
    """One wait by the plan's times; None when it asks for no time and leaves any."""
    end = found.steps[link.first].end.astimezone(UTC)
    least = wait_minutes(link.least, end)
    if not least and link.most is None:
        return None
    return {
        "first": link.first,
        "then": link.then,
        "kind": link.kind,
        "rests": least > 0,
        "opens": (end + timedelta(minutes=least)).isoformat(),
        "closes": None if link.most is None else _closes(link.most, end).isoformat(),
    }


def _closes(most: int | network.ByHour, end: datetime) -> datetime:
    return end + timedelta(minutes=most if isinstance(most, int) else wait_minutes(most, end))


def _row(
    by: By, plan: Plan, planned: network.Planned, rest: dict[str, Any] | None, piece: str, dates: chances.Dates
) -> PlannedStep:
    """One row of the plan. Its reason names other steps of the same piece without the piece, which stands beside it."""
    return PlannedStep(
        **by.kept(),
        plan=plan,
        step_id=int(planned.key),
        start=planned.start,
        end=planned.end,
        blocks=[[start.isoformat(), end.isoformat()] for start, end in planned.blocks],
        people=list(planned.people),
        rule=planned.reason.rule,
        reason=planned.reason.text.replace(f"“{piece}: ", "“"),
        until=planned.reason.until,
        because=list(planned.reason.because),
        rests=rest["kind"] if rest else "",
        rests_until=datetime.fromisoformat(rest["opens"]) if rest else None,
        **dates,
    )


def _room(room: Room) -> chances.Dates:
    return {
        "free_until": room.free_until,
        "spare_until": room.spare_until,
        "window_closes": room.window_closes,
    }


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
    return (_late(row) for row in promises if row.late_minutes)


def _late(row: PlannedPromise) -> str:
    piece, days = row.piece, row.late_days
    assert piece.promise is not None
    local = timezone.localtime(row.finish, piece.shop.tz)
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
