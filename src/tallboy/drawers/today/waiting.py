"""What dries, sets or soaks just now: what was done, and something still to do waits for it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from tallboy.book.models import Shop
from tallboy.drawers.pieces.models import Step, Wait
from tallboy.drawers.today.gathering.gather import Edge, bridged
from tallboy.drawers.today.gathering.waits import UNTIL_IT_WARMS, Waits, may_be_felt
from tallboy.errors import NeverDries
from tallboy.sums.drying import Estimate

OPEN_ENDS = (Step.State.TO_DO, Step.State.SKIPPED)
SHUT_ENDS = (Step.State.DONE, Step.State.SKIPPED)
OPENS_TO = 5
# A coat that should be dry stays on Today until the next morning, for a finger to say so.
ASK_FOR = timedelta(hours=16)


@dataclass(frozen=True)
class Waiting:
    """Something that dries, soaks or sets: what for, until when, how sure that is, and until when the window is open.

    `ready` when it is over and only the window still matters, `ask` when it should be dry and no finger has said so yet. `stage` is
    what a finger can tell of: touch, recoat or cure; "" where it can tell nothing.
    """

    step: Step
    kind: str
    opens: datetime
    spread_minutes: int
    closes: datetime | None = None
    working: tuple[str, ...] = ()
    source: str = ""
    trouble: str = ""
    ready: bool = False
    stage: str = ""
    ask: bool = False

    @property
    def verb(self) -> str:
        if self.ready:
            return _("ready for the next coat")
        if self.ask:
            return _("should be dry: touch it")
        return {"drying": _("drying"), "clamps": _("in clamps"), "soak": _("soaking"), "cure": _("curing")}.get(
            self.kind, _("waiting")
        )


def waiting(shop: Shop, now: datetime) -> list[Waiting]:
    """What was laid, glued or put to soak and is not ready yet, or has a window that is open and will close.

    One row a step, the longest wait after it; the first to be ready first.
    """
    waits = list(_asked(shop))
    steps = {step.pk: step for wait in waits for step in (wait.first, wait.then)}
    edges = [edge for edge in bridged(steps.values(), waits) if _is_waiting(edge, steps)]
    if not edges:
        return []
    air = Waits(shop, now, [steps[edge.first] for edge in edges])
    found: dict[int, Waiting] = {}
    for key in dict.fromkeys(_same(edge, steps) for edge in edges):
        if _long_over(steps[key.first], key, air, now):
            continue
        row = _waiting(steps[key.first], key, air, now)
        if (row.opens > now or row.ready or row.ask) and (key.first not in found or found[key.first].opens < row.opens):
            found[key.first] = row
    return sorted(found.values(), key=lambda row: row.opens)


def _asked(shop: Shop) -> QuerySet[Wait]:
    """Waits that begin at something done (or skipped, to be bridged over) and end at something not done."""
    rows = Wait.objects.filter(
        shop=shop, first__piece__handed_over_at__isnull=True, first__state__in=SHUT_ENDS, then__state__in=OPEN_ENDS
    )
    return rows.select_related("first__piece", "first__product", "then")


def _is_waiting(edge: Edge, steps: dict[int, Step]) -> bool:
    if not (edge.from_label or edge.least):
        return False
    return steps[edge.first].state == Step.State.DONE and steps[edge.then].state == Step.State.TO_DO


def _same(edge: Edge, steps: dict[int, Step]) -> Edge:
    """Waits of the same step that ask the same are worked out once, whatever comes after them."""
    coat = edge.from_label == "recoat" and steps[edge.then].does == "coat"
    return Edge(edge.first, edge.then if coat else 0, edge.kind, edge.least, edge.most, edge.from_label, "")


def _long_over(first: Step, edge: Edge, air: Waits, now: datetime) -> bool:
    """Whether even the worst of the hour is past and no window is open: no need to work it out to the minute."""
    assert first.ended_at is not None
    dry = air.dry_at(first, edge.from_label) if edge.from_label else None
    closes = _closes(first, edge, air)
    opens = max(first.ended_at + timedelta(minutes=edge.least), dry or first.ended_at)
    asked_until = opens + ASK_FOR if _asked_of(first, edge, air) else opens
    return asked_until <= now and (closes is None or closes <= now)


def _asked_of(first: Step, edge: Edge, air: Waits) -> str:
    """The stage of drying that a finger is asked about, "" when it can tell nothing, or has told already."""
    if edge.kind != "drying" or not edge.from_label or not may_be_felt(first):
        return ""
    return "" if air.felt_dry(first, edge.from_label) else edge.from_label


def _waiting(first: Step, edge: Edge, air: Waits, now: datetime) -> Waiting:
    assert first.ended_at is not None
    try:
        estimate = air.estimate(first, edge.from_label) if edge.from_label else None
    except NeverDries as error:
        far = first.ended_at + timedelta(minutes=UNTIL_IT_WARMS)
        stage = _asked_of(first, edge, air)
        return Waiting(first, edge.kind, opens=far, spread_minutes=0, trouble=str(error), stage=stage)
    minutes = max(edge.least, _up(estimate.minutes, OPENS_TO)) if estimate else edge.least
    opens = first.ended_at + timedelta(minutes=minutes)
    closes, stage = _closes(first, edge, air), _asked_of(first, edge, air)
    return Waiting(
        step=first,
        kind=edge.kind,
        opens=opens,
        spread_minutes=_spread(estimate) if estimate else 0,
        closes=closes,
        working=estimate.working if estimate else (),
        source=estimate.source if estimate else "",
        ready=closes is not None and opens <= now < closes,
        stage=stage,
        ask=bool(stage) and opens <= now < opens + ASK_FOR,
    )


def _up(minutes: float, step: int) -> int:
    """Up to the next whole step, as the plan does."""
    return math.ceil(minutes / step - 1e-6) * step


def _spread(estimate: Estimate) -> int:
    """Half of the spread, no finer than it is known: to five minutes, above two hours to the hour."""
    half = (estimate.high - estimate.low) / 2
    return _up(half, OPENS_TO if half < 120 else 60)


def _closes(first: Step, edge: Edge, air: Waits) -> datetime | None:
    assert first.ended_at is not None
    most = air.window(first) if edge.from_label == "recoat" and edge.then else edge.most
    return None if most is None else first.ended_at + timedelta(minutes=most)
