"""Who does what, for a plan that names nobody: people alike, told apart by when they are free."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime

from tallboy.planner.network import Plan, Problem, Step
from tallboy.planner.slots.ways import people_of

Crew = tuple[str, ...]


def crews(problem: Problem, plan: Plan, steps: Mapping[str, Step]) -> dict[str, Crew]:
    """The keys of the people at each planned step: the plan's own, or where it names nobody those who were free last.

    Whoever was free last is taken, so that the others stay free for what runs late.
    """
    free = {person.key: datetime.min.replace(tzinfo=UTC) for person in people_of(problem)}
    found: dict[str, Crew] = {}
    for planned in sorted(plan.steps.values(), key=lambda one: one.start.astimezone(UTC)):
        step = steps[planned.key]
        named = tuple(
            key for key in (planned.people or step.people if planned.running else planned.people) if key in free
        )
        crew = named if planned.done or len(named) >= step.hands else _free_last(free, planned.start, step.hands)
        found[planned.key] = crew
        if not planned.done:
            free |= dict.fromkeys(crew, planned.end.astimezone(UTC))
    return found


def _free_last(free: Mapping[str, datetime], start: datetime, hands: int) -> Crew:
    begins = start.astimezone(UTC)
    ready = sorted((key for key in free if free[key] <= begins), key=lambda key: free[key], reverse=True)
    busy = sorted((key for key in free if free[key] > begins), key=lambda key: free[key])
    return tuple([*ready, *busy][:hands])
