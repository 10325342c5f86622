"""What the Today page, the day sheet and `tallboy today` show: one source for all three."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

from django.utils.translation import gettext as _

from tallboy.book.models import Shop
from tallboy.book.queries import working_stretches
from tallboy.drawers.pieces.models import Step, Wait
from tallboy.drawers.shelf import labels
from tallboy.drawers.today import queries
from tallboy.drawers.today.gather import UNTIL_IT_WARMS, Edge, Waits, bridged
from tallboy.drawers.today.models import Plan, PlannedPromise, PlannedStep
from tallboy.drawers.today.strip import Bar, Frame, Lane, draw
from tallboy.errors import NeverDries
from tallboy.sums.drying import Estimate

STRIP_DAYS = 7
METAL = ("metal",)
SOAKING = ("soak",)


@dataclass(frozen=True)
class Waiting:
    """Something that dries, soaks or sets: what for, until when, how sure that is, and until when the window is open."""

    step: Step
    kind: str
    opens: datetime
    spread_minutes: int
    closes: datetime | None = None
    working: tuple[str, ...] = ()
    source: str = ""
    trouble: str = ""

    @property
    def verb(self) -> str:
        return {"drying": _("drying"), "clamps": _("in clamps"), "soak": _("soaking"), "cure": _("curing")}.get(
            self.kind, _("waiting")
        )


@dataclass(frozen=True)
class Day:
    """One day's work: the single next step, the rest in order, what waits, and what is promised."""

    shop: Shop
    now: datetime
    plan: Plan | None
    stale: bool
    next: PlannedStep | None
    running: list[Step]
    today: list[PlannedStep]
    later: list[tuple[date, list[PlannedStep]]]
    waiting: list[Waiting]
    rows: list[PlannedStep] = field(default_factory=list)
    promises: list[PlannedPromise] = field(default_factory=list)

    @property
    def free_from(self) -> datetime | None:
        """When the hands are free for good today."""
        return max((row.end for row in self.today), default=None)


def day_of(shop: Shop, now: datetime) -> Day:
    """The day as the plan in force sees it."""
    plan = queries.current_plan(shop)
    rows = _planned(plan)
    running = [row.step for row in rows if row.step.state == Step.State.RUNNING]
    to_do = [row for row in rows if row.step.state == Step.State.TO_DO]
    today = now.astimezone(shop.tz).date()
    by_day = _by_day(to_do, shop)
    return Day(
        shop=shop,
        now=now,
        plan=plan,
        stale=plan is not None and queries.is_stale(plan),
        next=next(iter(to_do), None),
        running=running,
        today=[row for day, of_day in by_day for row in of_day if day <= today],
        later=[(day, of_day) for day, of_day in by_day if today < day < today + timedelta(days=STRIP_DAYS)],
        waiting=waiting(shop, now),
        rows=rows,
        promises=list(PlannedPromise.objects.filter(plan=plan).select_related("piece")) if plan else [],
    )


def _planned(plan: Plan | None) -> list[PlannedStep]:
    if plan is None:
        return []
    return list(
        PlannedStep.objects.filter(plan=plan, step__state__in=[Step.State.TO_DO, Step.State.RUNNING])
        .select_related("step__piece", "step__place", "step__product")
        .order_by("start", "id")
    )


def _by_day(rows: Iterable[PlannedStep], shop: Shop) -> list[tuple[date, list[PlannedStep]]]:
    days: dict[date, list[PlannedStep]] = {}
    for row in rows:
        days.setdefault(row.start.astimezone(shop.tz).date(), []).append(row)
    return sorted(days.items())


def waiting(shop: Shop, now: datetime) -> list[Waiting]:
    """What was laid, glued or put to soak and is not ready yet, or is ready for a next step still to do."""
    steps = list(Step.objects.filter(shop=shop, piece__handed_over_at__isnull=True).select_related("piece", "product"))
    by_pk = {step.pk: step for step in steps}
    edges = bridged(steps, Wait.objects.filter(shop=shop, first__piece__handed_over_at__isnull=True))
    asked = [edge for edge in edges if _is_waiting(edge, by_pk)]
    if not asked:
        return []
    waits = Waits(shop, now, steps)
    latest: dict[int, Waiting] = {}
    for edge in asked:
        found = _waiting(by_pk[edge.first], edge, waits)
        if found.opens > now and (edge.first not in latest or latest[edge.first].opens < found.opens):
            latest[edge.first] = found
    return sorted(latest.values(), key=lambda row: row.opens)


def _is_waiting(edge: Edge, steps: dict[int, Step]) -> bool:
    first, then = steps.get(edge.first), steps.get(edge.then)
    if first is None or then is None or not (edge.from_label or edge.least):
        return False
    return first.state == Step.State.DONE and then.state == Step.State.TO_DO


def _waiting(first: Step, edge: Edge, waits: Waits) -> Waiting:
    assert first.ended_at is not None
    try:
        estimate = _estimate(first, edge, waits) if edge.from_label else None
    except NeverDries as error:
        far = first.ended_at + timedelta(minutes=UNTIL_IT_WARMS)
        return Waiting(first, edge.kind, opens=far, spread_minutes=0, trouble=str(error))
    minutes = max(edge.least, round(estimate.minutes)) if estimate else edge.least
    closes = labels.closes_after(first.product, first.coating) if edge.from_label == "recoat" else edge.most
    return Waiting(
        step=first,
        kind=edge.kind,
        opens=first.ended_at + timedelta(minutes=minutes),
        spread_minutes=round((estimate.high - estimate.low) / 2) if estimate else 0,
        closes=None if closes is None else first.ended_at + timedelta(minutes=closes),
        working=estimate.working if estimate else (),
        source=estimate.source if estimate else "",
    )


def _estimate(first: Step, edge: Edge, waits: Waits) -> Estimate | None:
    assert first.ended_at is not None
    return labels.dry_after(first.product, first.coating, edge.from_label, first.ended_at, waits.air)


def strip(day: Day) -> str:
    """The coming week as SVG."""
    frame = _frame(day)
    lanes = _lanes(day)
    if not lanes:
        return ""
    return draw(frame, lanes, day.now, _("Plan of the week, the same as the list below it"), _("due"))


def _frame(day: Day) -> Frame:
    stretches = working_stretches(day.shop, day.now - timedelta(hours=12), STRIP_DAYS * 2)
    today = day.now.astimezone(day.shop.tz).date()
    open_days = {opens.date() for opens, _closes in stretches} | {today}
    days = tuple(sorted(d for d in open_days if d >= today)[: STRIP_DAYS - 1])
    opens = min((start.timetz().replace(tzinfo=None) for start, _end in stretches), default=time(8))
    closes = max((end.timetz().replace(tzinfo=None) for _start, end in stretches), default=time(17))
    return Frame(days, min(opens, time(8)), closes, day.shop.tz)


def _lanes(day: Day) -> list[Lane]:
    bars: dict[int, list[Bar]] = {}
    pieces = {}
    for row in day.rows:
        pieces[row.step.piece_id] = row.step.piece
        kind = "metal" if row.step.does in METAL else "hands"
        for start, end in row.blocks:
            bar = Bar(datetime.fromisoformat(start), datetime.fromisoformat(end), kind, row.step.title)
            bars.setdefault(row.step.piece_id, []).append(bar)
    for wait in day.waiting:
        pieces[wait.step.piece_id] = wait.step.piece
        kind = "soaking" if wait.kind in SOAKING else "drying"
        bars.setdefault(wait.step.piece_id, []).append(Bar(day.now, wait.opens, kind, wait.step.title))
    for piece_pk, bar in _planned_waits(day):
        bars[piece_pk].append(bar)
    ordered = sorted(pieces.values(), key=lambda piece: min(bar.start for bar in bars[piece.pk]))
    return [Lane(piece.name, tuple(bars[piece.pk]), piece.promise) for piece in ordered]


def _planned_waits(day: Day) -> list[tuple[int, Bar]]:
    """Hatched bars from the end of each planned coat, glue-up or soak to its planned follower."""
    planned = {row.step_id: row for row in day.rows}
    found = []
    rows = Wait.objects.filter(first__in=planned, then__in=planned).exclude(kind="order")
    for wait in rows:
        first, then = planned[wait.first_id], planned[wait.then_id]
        if then.start > first.end:
            kind = "soaking" if wait.kind in SOAKING else "drying"
            found.append((first.step.piece_id, Bar(first.end, then.start, kind, first.step.title)))
    return found
