"""Plans of hundreds of random shops keep every rule, by the independent checker: first plans, solved ones, and new ones later on."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from bench.shared.shops import a_full_shop, a_shop, later, working_hours
from tests.planner.planner_made import at, rules_broken

from tallboy.planner.mend import mend
from tallboy.planner.network import Fixed, Link, Plan, Problem, Step
from tallboy.planner.solve import first_plan, solve


def full_shop(seed: int) -> Problem:
    """A small shop with everything in it."""
    return a_full_shop(seed, pieces=1 + seed % 3, steps=3 + seed % 4)


def cost_of(problem: Problem, plan: Plan) -> float:
    """Weighted lateness and the finishing times of the pieces with steps still planned, counted from the first slot [min]."""
    weights = {promise.piece: promise.weight for promise in problem.promises}
    steps = [step for step in problem.steps if step.key in plan.steps]
    open_pieces = {step.piece for step in steps if not (step.done or step.started)}
    slot = timedelta(minutes=problem.slot_minutes)
    first = (problem.now + (at(0) - problem.now) % slot).astimezone(UTC)
    ends = {piece: max(_end(plan, step) for step in steps if step.piece == piece) for piece in open_pieces}
    late = sum(kept.late_minutes * weights[kept.piece] for kept in plan.promises if kept.piece in open_pieces)
    return late + sum((end - first) / timedelta(minutes=1) for end in ends.values())


def _end(plan: Plan, step: Step) -> datetime:
    return plan.steps[step.key].end.astimezone(UTC)


@pytest.mark.parametrize("block", range(20))
def test_first_plans_of_full_shops_keep_every_rule(block: int) -> None:
    """Four hundred shops; of every fourth one the solver's plan too, which is told at its true cost."""
    for seed in range(block * 20, block * 20 + 20):
        problem = full_shop(seed)
        first = first_plan(problem)
        assert rules_broken(problem, first) == set(), seed
        if seed % 4 == 0:
            best = solve(problem, seconds=0.2)
            assert rules_broken(problem, best) == set(), seed
            assert len(best.missed_windows) <= len(first.missed_windows), seed
            assert best.cost == pytest.approx(cost_of(problem, best)), seed
            assert best.bound <= best.cost


@pytest.mark.parametrize("block", range(6))
def test_first_plans_of_plain_shops_keep_every_rule(block: int) -> None:
    """A hundred and twenty shops with one to three pairs of hands alike."""
    for seed in range(block * 20, block * 20 + 20):
        problem = a_shop(seed, pieces=1 + seed % 3, steps=4 + seed % 5, hands=1 + seed % 3, days=28)
        assert rules_broken(problem, first_plan(problem)) == set(), seed


@pytest.mark.parametrize("block", range(6))
def test_new_plans_of_full_shops_keep_every_rule(block: int) -> None:
    """Sixty shops, a day and four days on: some steps took longer, some are under way, some scuffs are done.

    Planned anew and mended.
    """
    for seed in range(block * 10, block * 10 + 10):
        problem = full_shop(seed)
        plan = first_plan(problem)
        slipped = tuple(step.key for step in problem.steps[seed % 4 :: 4])
        for days in (1, 4):
            again = later(problem, plan, problem.now + timedelta(days=days, hours=3, minutes=7), slipped, 95)
            assert rules_broken(again, first_plan(again)) == set(), (seed, days)
            assert rules_broken(again, mend(again, seconds=0.1)) == set(), (seed, days)


def test_a_scuff_that_people_saw_is_planned_again() -> None:
    """The first coat is done and the plan people saw rubbed it down: the new plan comes whole, with the scuff or without."""
    scuff = Step("scuff", "slope", "Scuff", 30, dusty=True)
    steps = (Step("one", "slope", "First coat", 60, done=(at(8), at(9))), Step("two", "slope", "Second coat", 60))
    problem = Problem(
        at(9),
        steps,
        (Link("one", "two", "drying", Fixed(60), 120, scuff=scuff),),
        (),
        working_hours(at(0), 2),
        previous={"scuff": at(13), "two": at(14)},
    )
    for plan in (first_plan(problem), solve(problem)):
        assert rules_broken(problem, plan) == set()
        assert "two" in plan.steps


def test_quiet_hours_that_begin_and_end_within_a_slot() -> None:
    """Quiet until 8:32 leaves nothing of the slot from half past eight to a noisy step."""
    minutes = timedelta(minutes=1)
    steps = (Step("saw", "stand", "Saw", 60, noisy=True), Step("plane", "stand", "Plane", 60, noisy=True))
    quiet = ((at(8), at(8.5) + 2 * minutes), (at(10) - 3 * minutes, at(11)))
    problem = Problem(at(8), steps, (), (), working_hours(at(0), 1), quiet=quiet)
    for plan in (first_plan(problem), solve(problem)):
        assert rules_broken(problem, plan) == set()
        assert min(planned.start for planned in plan.steps.values()) == at(8.5) + 5 * minutes


@pytest.mark.parametrize("slot", [1, 7, 10, 30])
def test_plans_in_other_slots_keep_every_rule(slot: int) -> None:
    """Hours and quiet that do not fall on slots, and a now with seconds."""
    for seed in range(8):
        problem = full_shop(seed)
        problem = replace(problem, slot_minutes=slot, now=problem.now + timedelta(seconds=17))
        assert rules_broken(problem, first_plan(problem)) == set(), seed
