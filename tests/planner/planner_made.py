"""Helpers of the planner's tests: plans made by hand, to be judged by the independent checker."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from tallboy.planner.network import Kept, Plan, Planned, Problem, Reason

WHY = Reason("now", "Made by hand.")


def plan_at(problem: Problem, starts: dict[str, datetime]) -> Plan:
    """The plan with every step in one stretch from its start; times in whole slots."""
    steps = {}
    for step in problem.steps:
        slots = -(-step.minutes // problem.slot_minutes)
        start = starts[step.key]
        end = start + timedelta(minutes=slots * problem.slot_minutes)
        steps[step.key] = Planned(step.key, start, end, ((start, end),), WHY)
    return with_promises(problem, Plan("first", steps, (), 0, 0, 0, problem.now))


def with_promises(problem: Problem, plan: Plan) -> Plan:
    """The plan with what becomes of its promises worked out anew."""
    kept = []
    for promise in problem.promises:
        finish = max(plan.steps[step.key].end for step in problem.steps if step.piece == promise.piece)
        late = max(0, -int((promise.by.astimezone(UTC) - finish.astimezone(UTC)) // timedelta(minutes=1)))
        kept.append(Kept(promise.piece, promise.by, finish, late))
    return replace(plan, promises=tuple(kept))


def moved(problem: Problem, plan: Plan, key: str, start: datetime) -> Plan:
    """The plan with one step, done in one stretch, put to another start."""
    old = plan.steps[key]
    new = replace(old, start=start, end=start + (old.end - old.start), blocks=((start, start + (old.end - old.start)),))
    return with_promises(problem, replace(plan, steps={**plan.steps, key: new}))
