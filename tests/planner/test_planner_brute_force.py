"""On tiny problems with waits that depend on the hour, no plan found by trying all is better than the planner's.

The trial of all starts uses only the independent checker, which shares no code with the planner.
"""

from __future__ import annotations

from datetime import timedelta
from itertools import product

import numpy as np
import pytest
from bench.shared.shops import MONDAY, working_hours
from tests.planner.planner_made import plan_at

from tallboy.planner.network import ByHour, Fixed, Link, Plan, Problem, Promise, Step
from tallboy.planner.rules import broken_rules
from tallboy.planner.solve import solve

EIGHT = MONDAY + timedelta(hours=8)
SLOT = timedelta(minutes=60)


def tiny_shop(seed: int) -> Problem:
    """Two coats with a wait by the hour, and a dusty step of another piece; three days in slots of an hour."""
    random = np.random.default_rng(seed)
    waits = ByHour(
        MONDAY + timedelta(hours=int(random.integers(0, 9))), tuple(int(w) * 60 for w in random.integers(1, 30, 40))
    )
    wet: Fixed | ByHour = (
        Fixed(120) if seed % 2 else ByHour(MONDAY, tuple(int(w) * 60 for w in random.integers(1, 12, 48)))
    )
    steps = (
        Step("one", "slope", "First coat", 60, wet=wet),
        Step("two", "slope", "Second coat", int(random.integers(1, 3)) * 60),
        Step("saw", "stand", "Saw", int(random.integers(1, 4)) * 60, dusty=True),
    )
    most = int(random.integers(20, 40)) * 60 if random.random() < 0.5 else None
    by = EIGHT + timedelta(hours=int(random.integers(2, 60)))
    promises = (Promise("stand", by, 2), Promise("slope", by + timedelta(hours=3)))
    return Problem(
        EIGHT, steps, (Link("one", "two", "drying", waits, most),), promises, working_hours(MONDAY, 3), slot_minutes=60
    )


def judged(problem: Problem, plan: Plan) -> tuple[float, float]:
    """Weighted minutes late, then minutes to the finish of both pieces."""
    weights = {promise.piece: promise.weight for promise in problem.promises}
    late = sum(kept.late_minutes * weights[kept.piece] for kept in plan.promises)
    finish = sum((kept.finish - problem.now).total_seconds() / 60 for kept in plan.promises)
    return late, finish


def best_of_all(problem: Problem) -> tuple[float, float]:
    """The best judgement over every choice of starts within hours that breaks no rule."""
    slots = [EIGHT + k * SLOT for k in range(3 * 24) if (8 + k) % 24 in (8, 9, 10, 11, 13, 14, 15, 16)]
    plans = (
        plan_at(problem, dict(zip(("one", "two", "saw"), starts, strict=True))) for starts in product(slots, repeat=3)
    )
    ranked = sorted(((judged(problem, plan), i, plan) for i, plan in enumerate(plans)), key=lambda row: row[:2])
    return next(worth for worth, _, plan in ranked if not broken_rules(problem, plan))


@pytest.mark.parametrize("seed", range(12))
def test_nothing_beats_the_planner(seed: int) -> None:
    """The planner's plan is proven best, and is as good as the best of all."""
    problem = tiny_shop(seed)
    plan = solve(problem, seconds=20)
    assert plan.status == "optimal"
    assert broken_rules(problem, plan) == ()
    assert judged(problem, plan) == best_of_all(problem)
