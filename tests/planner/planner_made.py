"""Helpers of the planner's tests: plans made by hand, to be judged by the independent checker."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from itertools import combinations, pairwise
from typing import Any

from bench.shared.shops import MONDAY

from tallboy.planner.network import Kept, Person, Plan, Planned, Problem, Reason, Span, Step
from tallboy.planner.rules.broken import broken_rules

WHY = Reason("now", "Made by hand.")
Starts = Mapping[str, datetime]
Crews = Mapping[str, tuple[str, ...]]
Crew = tuple[Person, ...]


@dataclass(frozen=True)
class Case:
    """A problem with a plan that keeps every rule, and one that breaks `rule` and no other."""

    rule: str
    problem: Problem
    good: Plan
    bad: Plan


def at(hour: float, day: int = 0) -> datetime:
    """An hour of the Monday on which the tests begin, or of a day after it."""
    return MONDAY + timedelta(days=day, hours=hour)


def rules_broken(problem: Problem, plan: Plan) -> set[str]:
    """The names of the rules that a plan breaks."""
    return {broken.rule for broken in broken_rules(problem, plan)}


def case(rule: str, problem: Problem, good: Starts, bad: Starts) -> Case:
    """A case of which each plan is given by when its steps start."""
    return Case(rule, problem, plan_at(problem, good), plan_at(problem, bad))


def cut(problem: Problem, plan: Plan, key: str, *blocks: Span) -> Plan:
    """The plan with one step done in several stretches."""
    old = plan.steps[key]
    new = replace(old, start=blocks[0][0], end=blocks[-1][1], blocks=blocks)
    return told(problem, replace(plan, steps={**plan.steps, key: new}))


def changed(plan: Plan, key: str, **changes: Any) -> Plan:
    """The plan with something else said about one step."""
    return replace(plan, steps={**plan.steps, key: replace(plan.steps[key], **changes)})


def plan_at(problem: Problem, starts: Starts, people: Crews | None = None) -> Plan:
    """The plan with every step in one stretch from its start, done by whoever is free then; times in whole slots."""
    plan = Plan("first", {}, (), 0, 0, 0, problem.now)
    for step in sorted((step for step in problem.steps if step.key in starts), key=lambda step: starts[step.key]):
        slots = -(-step.minutes // problem.slot_minutes)
        start = starts[step.key]
        block = (start, start + timedelta(minutes=slots * problem.slot_minutes))
        crew = people[step.key] if people and step.key in people else a_crew(problem, plan, step, block)
        planned = Planned(step.key, *block, (block,), WHY, people=crew)
        plan = replace(plan, steps={**plan.steps, step.key: planned})
    return told(problem, plan)


def told(problem: Problem, plan: Plan) -> Plan:
    """The plan with what becomes of its promises, and its changes of place, worked out anew."""
    kept = []
    for promise in problem.promises:
        ends = [
            plan.steps[step.key].end for step in problem.steps if step.piece == promise.piece and step.key in plan.steps
        ]
        if ends:
            finish = max(ends, key=lambda time: time.astimezone(UTC))
            late = max(0, -int((promise.by.astimezone(UTC) - finish.astimezone(UTC)) // timedelta(minutes=1)))
            kept.append(Kept(promise.piece, promise.by, finish, late))
    return replace(plan, promises=tuple(kept), place_changes=place_changes(problem, plan))


def place_changes(problem: Problem, plan: Plan) -> int:
    """How often somebody's next step is in another place."""
    places = {key: step.place for key, step in every_step(problem).items()}
    changes = 0
    for person in shop_people(problem):
        walk = [p for p in plan.steps.values() if person.key in p.people and not p.done]
        walk.sort(key=lambda planned: planned.start)
        changes += sum(places[a.key] != places[b.key] for a, b in pairwise(walk))
    return changes


def every_step(problem: Problem) -> dict[str, Step]:
    """The steps and scuffs of a problem by key."""
    steps = [*problem.steps, *(link.scuff for link in problem.links if link.scuff is not None)]
    return {step.key: step for step in steps}


def shop_people(problem: Problem) -> tuple[Person, ...]:
    """Who works in the shop: the people named, or as many pairs of hands."""
    return problem.people or tuple(Person(str(k + 1)) for k in range(problem.hands))


def a_crew(problem: Problem, plan: Plan, step: Step, block: Span) -> tuple[str, ...]:
    """The first people who can do the step in that time and are free; if there are none, the first who come near to it."""
    busy = {
        key
        for p in plan.steps.values()
        if p.key != step.key and p.start < block[1] and block[0] < p.end
        for key in p.people
    }
    crews = list(combinations(shop_people(problem), step.hands))
    for fits in (_suits(step), _works(problem, block), lambda crew: not busy & {person.key for person in crew}):
        crews = [crew for crew in crews if fits(crew)] or crews
    return tuple(person.key for person in crews[0]) if crews else ()


def _suits(step: Step) -> Callable[[Crew], bool]:
    """Whether a crew knows how and may do the step."""
    return lambda crew: (
        (not step.skill or any(step.skill in person.skills for person in crew))
        and (not step.people or all(person.key in step.people for person in crew))
    )


def _works(problem: Problem, block: Span) -> Callable[[Crew], bool]:
    """Whether everybody of a crew is at work all the time."""
    return lambda crew: all(
        any(a <= block[0] and block[1] <= b for a, b in (problem.working if person.hours is None else person.hours))
        for person in crew
    )


def moved(problem: Problem, plan: Plan, key: str, start: datetime) -> Plan:
    """The plan with one step, done in one stretch, put to another start, and done by whoever is free then."""
    old = plan.steps[key]
    block = (start, start + (old.end - old.start))
    crew = a_crew(problem, plan, every_step(problem)[key], block)
    new = replace(old, start=block[0], end=block[1], blocks=(block,), people=crew)
    return told(problem, replace(plan, steps={**plan.steps, key: new}))
