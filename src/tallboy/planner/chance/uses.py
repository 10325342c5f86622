"""Who takes what another has given back, in the order in which a plan uses what there is only so much of."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from tallboy.planner.chance.hours import minute_of
from tallboy.planner.network import Plan, Resource, Step
from tallboy.planner.slots.build import until
from tallboy.planner.slots.grid import Clock

What = tuple[str, int]
"""A step's key and the number of one of its uses."""


@dataclass
class Given:
    """So much of a resource, free in the plan from `since` on: never used yet, or given back by `by`."""

    since: float
    amount: int
    by: What | None = None


@dataclass
class Uses:
    """For each step the uses of others that must be over before it starts (`before`)."""

    clock: Clock
    slot: int
    order: Sequence[Step]
    plan: Plan
    resources: Iterable[Resource]
    before: dict[str, list[What]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        free = {resource.key: [Given(-math.inf, resource.amount)] for resource in self.resources}
        for step in self.order:
            self.before[step.key] = []
            for number, use in enumerate(step.uses):
                self._take(free[use.of], step, number)

    def _take(self, free: list[Given], step: Step, number: int) -> None:
        """Take it from those who gave it back first. Facts take what they take: what there was not they never give back."""
        planned = self.plan.steps[step.key]
        begins = minute_of(self.clock, planned.start)
        left = step.uses[number].amount
        for given in sorted(free, key=lambda one: one.since):
            if given.since > begins and (planned.done or planned.running):
                break
            taken = min(left, given.amount)
            left -= taken
            given.amount -= taken
            if taken and given.by is not None:
                self.before[step.key].append(given.by)
        back = until(step.uses[number].hold, planned.end, self.clock) * self.slot
        free.append(Given(float(back), step.uses[number].amount - left, (step.key, number)))
