"""How far ahead to plan: as far as the work may reach, and not much further, for every day of it costs the planner time."""

from __future__ import annotations

from datetime import timedelta
from graphlib import CycleError, TopologicalSorter

from tallboy.book.stretches import total
from tallboy.planner import network

LEAST_DAYS = 120
MOST_DAYS = 4 * 365
SPARE_DAYS = 14
# Not every minute of a day can be filled: what is left at its end is often too short for the next step.
FILLED = 2 / 3
MINUTE = timedelta(minutes=1)
A_DAY = timedelta(days=1)


def days_for(problem: network.Problem) -> int:
    """How many days the steps of a problem may need; its `working` hours and people's are taken as a sample of what comes.

    Formula: days until all is delivered and allowed + the longest chain of waits + the time for which the scarcest resource is
    held + all hands-on time, one step after the other, in 2/3 of the hours of whoever works most + 14 to spare.

    Parameters: problem, with hours [datetime] over some weeks at least.
    Returns: days [d], 120 to 1460.
    Validity: steps that find hours long enough for them; a step that only somebody with few hours may do can take longer.
    Source: own derivation.
    """
    waits = (_longest_chain(problem) + _longest_held(problem)) * MINUTE
    days = _days_until_all_may_begin(problem) + waits / A_DAY + _days_of_work(problem) + SPARE_DAYS
    return round(min(max(LEAST_DAYS, days), MOST_DAYS))


def _days_until_all_may_begin(problem: network.Problem) -> float:
    moments = [one.at for step in problem.steps for one in step.awaits]
    moments += [step.not_before for step in problem.steps if step.not_before is not None]
    return (max([problem.now, *moments]) - problem.now) / A_DAY


def _longest(wait: network.Wait) -> int:
    """The longest that a wait may be [min]."""
    return wait.minutes if isinstance(wait, network.Fixed) else max(wait.minutes)


def _longest_chain(problem: network.Problem) -> int:
    """The longest sum of waits [min] along steps that follow each other; 0 where they go in a circle, which the planner tells."""
    into: dict[str, list[network.Link]] = {step.key: [] for step in problem.steps}
    for link in problem.links:
        into[link.then].append(link)
    try:
        order = list(
            TopologicalSorter({key: [link.first for link in links] for key, links in into.items()}).static_order()
        )
    except CycleError:
        return 0
    until: dict[str, int] = {}
    for key in order:
        until[key] = max((until[link.first] + _longest(link.least) for link in into[key]), default=0)
    return max(until.values(), default=0)


def _longest_held(problem: network.Problem) -> int:
    """The time [min] that steps hold a resource one after the other, as many at once as fit; of the scarcest one."""
    held = {resource.key: 0 for resource in problem.resources}
    for step in problem.steps:
        for use in step.uses:
            if use.of in held:
                held[use.of] += use.amount * _longest(use.hold)
    amounts = {resource.key: max(1, resource.amount) for resource in problem.resources}
    return max((minutes // amounts[key] for key, minutes in held.items()), default=0)


def _days_of_work(problem: network.Problem) -> float:
    """The days that all hands-on time still to do takes one step after the other; 0 where nobody works at all."""
    minutes = sum(step.minutes for step in problem.steps if step.done is None)
    hours = [problem.working, *(person.hours for person in problem.people if person.hours is not None)]
    a_day = max(_a_day(spans, problem) for spans in hours)
    return minutes / (a_day * FILLED) if a_day else 0.0


def _a_day(spans: tuple[network.Span, ...], problem: network.Problem) -> float:
    """The minutes of work on a day, Sundays and days off counted in [min/d]."""
    if not spans:
        return 0.0
    days = max(1.0, (spans[-1][1] - problem.now) / A_DAY)
    return total(spans) / MINUTE / days
