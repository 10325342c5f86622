"""Rules about people and things there are only so many of. One rule is one function; its first line says it in words."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from tallboy.planner.network import Problem, Resource
from tallboy.planner.rules.reading import Finding, Placed, Reading, wait_after


def people_of(problem: Problem) -> dict[str, frozenset[str]]:
    """The keys of those who work in the shop, with what they know; unnamed pairs of hands are called "1", "2" and so on."""
    if problem.people:
        return {person.key: person.skills for person in problem.people}
    return {str(k + 1): frozenset() for k in range(problem.hands)}


def crew_in_number(reading: Reading) -> Iterator[Finding]:
    """A step is done by as many people as it needs, all different and all of the shop."""
    known = people_of(reading.problem)
    for placed in reading.open:
        crew = placed.planned.people
        if len(crew) != placed.step.hands or len(set(crew)) < len(crew) or not known.keys() >= set(crew):
            yield (
                f"{placed.key} needs {placed.step.hands} people and is given {', '.join(crew) or 'none'}.",
                (placed.key,),
            )


def crew_knows_how(reading: Reading) -> Iterator[Finding]:
    """At least one of those who do a step has the skill it needs; a step without hands needs none."""
    known = people_of(reading.problem)
    for placed in reading.open:
        skill = placed.step.skill
        if skill and placed.step.hands and not any(skill in known.get(key, ()) for key in placed.planned.people):
            yield f"{placed.key} needs somebody with the skill {skill}.", (placed.key,)


def only_those_who_may(reading: Reading) -> Iterator[Finding]:
    """A step that not everybody may do is done only by those who may."""
    for placed in reading.open:
        if placed.step.people and not set(placed.planned.people) <= set(placed.step.people):
            yield f"{placed.key} is done by somebody who may not.", (placed.key,)


def who_began_goes_on(reading: Reading) -> Iterator[Finding]:
    """What has begun is done by those who are at it, when it is said who they are."""
    known = people_of(reading.problem)
    for placed in reading.placed.values():
        who = [key for key in placed.step.people if key in known]
        if placed.planned.running and len(who) == placed.step.hands and set(who) != set(placed.planned.people):
            yield f"{placed.key} was begun by others.", (placed.key,)


def nobody_in_two_steps(reading: Reading) -> Iterator[Finding]:
    """Nobody is in two steps at once: a step keeps its people from its start to its end."""
    still = [placed for placed in reading.placed.values() if not placed.planned.done]
    still.sort(key=lambda placed: placed.start)
    for k, one in enumerate(still):
        for other in islice(still, k + 1, None):
            if other.start >= one.end:
                break
            if min(one.end, other.end) <= reading.now or (one.fact and other.fact):
                continue
            if both := set(one.planned.people) & set(other.planned.people):
                yield f"{min(both)} is in {one.key} and {other.key} at once.", (one.key, other.key)


def hands_enough(reading: Reading) -> Iterator[Finding]:
    """At no moment are more hands at work than there are, counting those at steps of which nobody said who does them."""
    most = len(people_of(reading.problem))
    still = [placed for placed in reading.placed.values() if not placed.planned.done and placed.step.hands]
    if all(len(placed.planned.people) >= placed.step.hands for placed in still):
        return  # then it is enough that nobody is in two steps at once
    for placed in still:
        if placed.fact:
            continue
        for time in {other.start for other in still if placed.start <= other.start < placed.end} | {placed.start}:
            at_work = [other for other in still if max(other.start, reading.now) <= time < other.end]
            if sum(other.step.hands for other in at_work) > most:
                yield f"Too many hands while {placed.key} is done.", tuple(other.key for other in at_work)


def resources_enough(reading: Reading) -> Iterator[Finding]:
    """What is planned takes only what there is: of each thing, from a step's start until its hold after the end is over."""
    for resource in reading.problem.resources:
        taken = list(_taken(reading, resource))
        for placed, start, end, amount in taken:
            if placed.fact or not amount:
                continue
            for time in {a for _, a, _, _ in taken if start <= a < end} | {start}:
                if sum(n for _, a, b, n in taken if a <= time < b) > resource.amount:
                    yield f"Too much of {resource.name} is taken while {placed.key} has it.", (placed.key,)
                    break


def _taken(reading: Reading, resource: Resource) -> Iterator[tuple[Placed, float, float, int]]:
    """Who takes how much of a resource, and between which minutes."""
    for placed in reading.placed.values():
        for use in placed.step.uses:
            if use.of == resource.key:
                yield placed, placed.start, placed.end + wait_after(use.hold, placed.end), use.amount
