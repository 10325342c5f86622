"""Questions about the plan and the day."""

from __future__ import annotations

from datetime import datetime

from django.db.models import Count, Q
from django.utils.translation import gettext as _

from tallboy.book.models import Journal, Shop
from tallboy.drawers.pieces.models import Step
from tallboy.drawers.today.models import Plan, PlannedStep

# What happened since a plan was made that the plan does not know of. Names that actions give their journal rows.
UPSETS = frozenset(
    {
        "import readings", "add reading", "take back reading", "take back file", "set hours", "add day off",
        "remove day off", "change shop", "change product", "edit piece", "hand over", "lay out", "add step",
        "change minutes", "start step", "finish step", "not now", "skip step", "take up again", "touch coat", "take back touch",
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


def planned_starts(shop: Shop) -> dict[str, datetime]:
    """Start of each step in the plan people already saw, by the step's key in the planner."""
    plan = current_plan(shop)
    if plan is None:
        return {}
    return {str(pk): start for pk, start in PlannedStep.objects.filter(plan=plan).values_list("step_id", "start")}


def is_stale(plan: Plan) -> bool:
    """Whether something happened since this plan that it does not know of."""
    return Journal.objects.filter(shop=plan.shop_id, id__gt=plan.seen_journal, action__in=UPSETS).exists()
