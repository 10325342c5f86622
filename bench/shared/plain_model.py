"""The same problem put to the solver as it is: all rules, no first plan, no hints, no parts worked out anew."""

from __future__ import annotations

from dataclasses import dataclass

from tallboy.planner.model.solver import Search, run
from tallboy.planner.model.whole import plan_model
from tallboy.planner.network import Problem
from tallboy.planner.slots.build import build


@dataclass(frozen=True)
class Baseline:
    """What another way found in the time: the cost [min] of its plan, None when it found none, and what it proved."""

    cost: float | None
    bound: float
    seconds: float


def plain(problem: Problem, *, seconds: float, workers: int) -> Baseline:
    """Weighted lateness plus finishing times from now [min], made small in one go by the solver's own means."""
    grid = build(problem)
    model = plan_model(grid, {lag for lag in grid.lags if lag.scuff is not None})
    model.cp.minimize(sum(model.late) + sum(model.finish))
    outcome = run(model.cp, Search(seconds, workers))
    now = len(model.finish) * grid.first_slot
    cost = grid.clock.minutes(outcome.objective - now) if outcome.values else None
    return Baseline(cost, grid.clock.minutes(max(0.0, outcome.bound - now)), outcome.seconds)
