"""What must stay in order for a plan to hold: which steps have to let which go first, and for how long.

Besides the links of the problem itself these are steps that share hands or a resource. As long as every step comes after those it comes
after here, and keeps away from what it shuns (tallboy.planner.slots.layers), the order of the plan is kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from tallboy.planner.network import Plan, Problem, Step
from tallboy.planner.slots.grid import NO_WAIT, WaitTable
from tallboy.planner.slots.layers import Layers


@dataclass(frozen=True)
class Arc:
    """`then` starts no earlier than `wait` after the end of `first`."""

    first: str
    then: str
    wait: WaitTable


@dataclass(frozen=True)
class _Use:
    """What a step keeps of something, from its start until `hold` after its end."""

    step: str
    amount: int
    hold: WaitTable


def steps_of(problem: Problem, plan: Plan) -> dict[str, Step]:
    """Every planned step by its key. A scuff that the plan added counts under the key that the plan gives it."""
    steps = {step.key: step for step in problem.steps if step.key in plan.steps}
    scuffs = {(link.first, link.then): link.scuff for link in problem.links}
    for one in plan.scuffed:
        scuff = scuffs.get((one.first, one.step))
        if scuff is not None and one.scuff in plan.steps:
            steps[one.scuff] = replace(scuff, key=one.scuff)
    return steps


def arcs(problem: Problem, plan: Plan, held: Layers) -> list[Arc]:
    """The links of a plan, and the ways that hands and resources go from step to step in it.

    Parameters: problem; plan, made for it; held, the layers of the problem, which know its waits in slots.
    Returns: one arc for each pair of steps of which the first must go first, both in the plan.
    Source: definition, the list of rules in docs/planner.md.
    """
    steps = steps_of(problem, plan)
    return [*_links(problem, plan, held), *_hands(problem, plan, steps), *_resources(problem, plan, steps, held)]


def _links(problem: Problem, plan: Plan, held: Layers) -> Iterator[Arc]:
    scuffed = {(one.first, one.step): one.scuff for one in plan.scuffed}
    for link in problem.links:
        if link.first not in plan.steps or link.then not in plan.steps:
            continue
        wait = held.table(link.least)
        yield Arc(link.first, link.then, wait)
        scuff = scuffed.get((link.first, link.then))
        if scuff is not None:
            yield Arc(link.first, scuff, wait)
            yield Arc(scuff, link.then, NO_WAIT)


def _hands(problem: Problem, plan: Plan, steps: Mapping[str, Step]) -> Iterator[Arc]:
    """Each pair of hands goes from one step to its next."""
    named = [planned for planned in plan.steps.values() if planned.people]
    for key in sorted({person for planned in named for person in planned.people}):
        of_person = sorted((row for row in named if key in row.people), key=lambda row: row.start)
        for first, then in pairwise(of_person):
            yield Arc(first.key, then.key, NO_WAIT)
    unnamed = (row for row in plan.steps.values() if not row.people and not row.done and steps[row.key].hands)
    uses = [_Use(row.key, steps[row.key].hands, NO_WAIT) for row in unnamed]
    yield from _passed_on(plan, uses, len(problem.people) or problem.hands)


def _resources(problem: Problem, plan: Plan, steps: Mapping[str, Step], held: Layers) -> Iterator[Arc]:
    """What one step gives free the next one takes."""
    for resource in problem.resources:
        uses = [
            _Use(key, use.amount, held.table(use.hold))
            for key, step in steps.items()
            for use in step.uses
            if use.of == resource.key
        ]
        yield from _passed_on(plan, uses, resource.amount)


def _passed_on(plan: Plan, uses: Iterable[_Use], amount: int) -> Iterator[Arc]:
    """Lots of something handed from step to step in the order of the plan, those that are free the longest first."""
    lots: list[tuple[_Use | None, int]] = [(None, amount)]
    for use in sorted(uses, key=lambda one: plan.steps[one.step].start):
        wanted, kept = use.amount, []
        for last, size in lots:
            taken = min(size, wanted)
            wanted -= taken
            if taken and last is not None:
                yield Arc(last.step, use.step, last.hold)
            if size > taken:
                kept.append((last, size - taken))
        lots = [*kept, (use, use.amount - wanted)]
        lots.sort(key=lambda lot: _free_at(plan, lot[0]))


def _free_at(plan: Plan, use: _Use | None) -> float:
    """When what a step keeps is free again, for putting lots in order."""
    if use is None:
        return float("-inf")
    return plan.steps[use.step].end.timestamp() + 60 * max(use.hold.slots)
