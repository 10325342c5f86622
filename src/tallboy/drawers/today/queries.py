"""Questions about the plan and the day."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.db.models import Count, Q, QuerySet
from django.utils.translation import gettext as _

from tallboy.book.models import Journal, Place, Shop
from tallboy.drawers.pieces.models import Piece, Step
from tallboy.drawers.today.models import Plan, PlannedPromise, PlannedStep

# What happened since a plan was made that the plan does not know of. Names that actions give their journal rows. After slips
# only work went another way than planned, so that the plan before can be mended. A finger that finds a coat dry is none: what waited
# for the coat shall go on at once, where mending would leave it where people saw it.
SLIPS = frozenset({"change minutes", "start step", "finish step", "not now", "skip step", "take up again"})
UPSETS = SLIPS | frozenset(
    {
        "import readings", "add reading", "take back reading", "take back file", "set hours", "add day off",
        "remove day off", "work on holiday", "keep holiday", "set holidays", "set quiet hours", "set evenings",
        "add person", "change person", "add place", "change place", "add means", "change means", "remove means",
        "change shop", "change product", "edit piece", "record lead test", "hand over", "lay out", "add step",
        "change needs", "expect", "arrived", "change expected", "call off", "touch coat", "take back touch",
    }
)  # fmt: skip


def line(shop: Shop, now: datetime) -> str:
    """One line for the chest: steps left to do, and how many have begun."""
    counts = Step.objects.filter(shop=shop, piece__handed_over_at__isnull=True).aggregate(
        to_do=Count("pk", filter=Q(state=Step.State.TO_DO)), begun=Count("pk", filter=Q(state=Step.State.RUNNING))
    )
    if counts["begun"]:
        return _("%(to_do)s to do · %(begun)s begun") % counts
    return _("%(to_do)s to do") % counts


def current_plan(shop: Shop) -> Plan | None:
    """The plan in force."""
    return Plan.objects.filter(shop=shop).first()


def promises_of(plan: Plan) -> QuerySet[PlannedPromise]:
    """What becomes of each promise by a plan, with its piece."""
    return PlannedPromise.objects.filter(plan=plan).select_related("piece__shop")


def planned_starts(shop: Shop) -> dict[str, datetime]:
    """Start of each step in the plan people already saw, by the step's key in the planner."""
    plan = current_plan(shop)
    if plan is None:
        return {}
    return {str(pk): start for pk, start in PlannedStep.objects.filter(plan=plan).values_list("step_id", "start")}


def is_stale(plan: Plan) -> bool:
    """Whether something happened since this plan that it does not know of."""
    return upset_since(plan.shop_id, plan.seen_journal)


def upset_since(shop: int, seen: int) -> bool:
    """Whether something that upsets plans is in the journal after this row, in the shop with this number."""
    return Journal.objects.filter(shop=shop, id__gt=seen, action__in=UPSETS).exists()


def newest_journal(shop: Shop) -> int:
    """The number of the shop's newest journal row, 0 when there is none."""
    return Journal.objects.filter(shop=shop).values_list("id", flat=True).first() or 0


def only_slipped(shop: Shop) -> bool:
    """Whether there is a plan, and since then work went another way than planned, and nothing else."""
    plan = current_plan(shop)
    if plan is None:
        return False
    rows = Journal.objects.filter(shop=shop, id__gt=plan.seen_journal, action__in=UPSETS)
    happened = set(rows.values_list("action", flat=True))
    return bool(happened) and happened <= SLIPS


def share_pieces(steps: Sequence[Step]) -> None:
    """Give steps their pieces and places, each read once: joined to hundreds of steps they would be read hundreds of times."""
    pieces = Piece.objects.in_bulk({step.piece_id for step in steps})
    places = Place.objects.in_bulk({step.place_id for step in steps if step.place_id is not None})
    for step in steps:
        step.piece = pieces[step.piece_id]
        step.place = places[step.place_id] if step.place_id is not None else None
