"""How the plan in force stands: how good it is, what it leaves out and why, what it waits for, what it has added."""

from __future__ import annotations

from dataclasses import dataclass

from tallboy.book.doing import By
from tallboy.book.models import Person, Shop
from tallboy.drawers.pieces.deliveries import Expected, expected
from tallboy.drawers.pieces.lead import lead_stops
from tallboy.drawers.pieces.models import Step
from tallboy.drawers.today import feed
from tallboy.drawers.today.models import Plan, PlannedStep, PlanRun
from tallboy.drawers.today.run import runs
from tallboy.drawers.today.run import words as run_words


@dataclass(frozen=True)
class BlockedStep:
    """A step that is not planned, and why. `lead` when a lead test of its piece would let it go on."""

    step: Step
    why: str
    lead: bool


@dataclass(frozen=True)
class Calendar:
    """The address of a calendar, of everybody's work (no `person`) or of one person's."""

    address: str
    person: Person | None = None


@dataclass(frozen=True)
class Standing:
    """What a page says of a plan beside its steps. `run` is one that goes on just now."""

    how_good: str
    blocked: list[BlockedStep]
    awaited: list[Expected]
    scuffs: list[PlannedStep]
    calendars: list[Calendar]
    run: PlanRun | None


def standing(plan: Plan, by: By) -> Standing:
    """How the plan in force stands."""
    newest = runs.newest_run(by.shop)
    goes_on = newest is not None and runs.as_it_is(newest, by.at).state == runs.RUNNING
    return Standing(
        how_good=run_words.how_good(plan.status, plan.gap),
        blocked=_blocked(plan),
        awaited=expected(by.shop, by.at),
        scuffs=list(_scuffs(plan)),
        calendars=_calendars(by.shop),
        run=newest if goes_on else None,
    )


def _blocked(plan: Plan) -> list[BlockedStep]:
    """In the order of the pieces' own steps, which is the order in which they would be done."""
    why = {int(key): text for key, text in plan.blocked if key.isdecimal()}
    steps = Step.objects.filter(shop=plan.shop_id, pk__in=why).select_related("piece").order_by("piece_id", "order")
    return [BlockedStep(step, why[step.pk], lead_stops(step)) for step in steps if step.open]


def _scuffs(plan: Plan) -> list[PlannedStep]:
    rows = PlannedStep.objects.filter(plan=plan, step__window_of__isnull=False)
    return list(rows.select_related("step__piece", "step__window_of__first"))


def _calendars(shop: Shop) -> list[Calendar]:
    people = list(Person.objects.filter(shop=shop, works=True).order_by("id"))
    own = [Calendar(feed.address(shop, person), person) for person in people] if len(people) > 1 else []
    return [Calendar(feed.address(shop)), *own]
