"""An independent check of a plan against the rules, in plain dates and minutes.

It shares no code with the planner: only the outward types. One rule is one function; its first line is the rule in words. The
rules about time, hands and air stand in `rules_time.py`, `rules_hands.py` and `rules_air.py`, those about what the plan tells here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from tallboy.planner.network import Plan, Problem
from tallboy.planner.rules import air as rules_air
from tallboy.planner.rules import hands as rules_hands
from tallboy.planner.rules import time as rules_time
from tallboy.planner.rules.reading import Finding, Reading, is_fact, minute, read, scuffed_links


@dataclass(frozen=True)
class Broken:
    """A rule that the plan breaks: its name, what is wrong, and the steps it concerns."""

    rule: str
    text: str
    steps: tuple[str, ...]


Check = Callable[[Reading], Iterator[Finding]]


def broken_rules(problem: Problem, plan: Plan) -> tuple[Broken, ...]:
    """Every rule that the plan breaks; empty for a plan that keeps them all.

    Parameters: problem; plan, made for it.
    Returns: one entry for each breach; of a plan with steps missing or too many, those alone.
    Source: definition, the list of rules in docs/planner.md.
    """
    if missing := tuple(_missing(problem, plan)):
        return missing
    reading = read(problem, plan)
    return tuple(
        Broken(check.__name__.replace("_", " "), text, steps) for check in CHECKS for text, steps in check(reading)
    )


def _missing(problem: Problem, plan: Plan) -> Iterator[Broken]:
    """Every step is planned or blocked; what the plan adds is the scuff of a link."""
    blocked = _blocked(problem)
    added = {told.scuff for told in plan.scuffed if scuffed_links(problem, told)}
    for told in plan.scuffed:
        if told.scuff not in added:
            yield Broken("scuff of a link", f"{told.scuff} is the scuff of no link.", (told.scuff,))
    for key in sorted((({step.key for step in problem.steps} - blocked) | added) ^ set(plan.steps)):
        yield Broken("every step planned", f"{key} should be planned and is not, or the other way round.", (key,))
    for key in sorted(blocked ^ {told.step for told in plan.blocked}):
        yield Broken("blocked steps told", f"{key} is blocked and not told, or the other way round.", (key,))


def _blocked(problem: Problem) -> set[str]:
    """What must not be planned yet, and all that follows it. Facts are facts."""
    facts = {step.key for step in problem.steps if is_fact(step)}
    blocked = {step.key for step in problem.steps if step.blocked} - facts
    while more := {link.then for link in problem.links if link.first in blocked} - blocked - facts:
        blocked |= more
    return blocked


def promises_told(reading: Reading) -> Iterator[Finding]:
    """For every promise the plan says when the planned steps of the piece end and by how many minutes that is late."""
    told = {kept.piece: kept for kept in reading.plan.promises}
    for promise in reading.problem.promises:
        ends = [placed.end for placed in reading.placed.values() if placed.step.piece == promise.piece]
        if not ends:
            continue
        late = max(0.0, max(ends) - minute(promise.by))
        kept = told.get(promise.piece)
        if kept is None or minute(kept.finish) != max(ends) or not late <= kept.late_minutes < late + 1:
            yield f"The promise for {promise.piece} is told wrongly.", (promise.piece,)


def place_changes_counted(reading: Reading) -> Iterator[Finding]:
    """The plan says how often somebody goes from a step in one place to the next in another."""
    places: dict[str, list[tuple[float, str]]] = {}
    for placed in reading.placed.values():
        for person in () if placed.planned.done else placed.planned.people:
            places.setdefault(person, []).append((placed.start, placed.step.place))
    changes = 0
    for walk in places.values():
        order = [place for _, place in sorted(walk)]
        changes += sum(a != b for a, b in pairwise(order))
    if changes != reading.plan.place_changes:
        yield f"There are {changes} changes of place, {reading.plan.place_changes} are told.", ()


def every_step_has_its_reason(reading: Reading) -> Iterator[Finding]:
    """Every step says why it is not earlier."""
    for placed in reading.placed.values():
        if not placed.planned.reason.text:
            yield f"{placed.key} does not say why it is not earlier.", (placed.key,)


CHECKS: tuple[Check, ...] = (
    rules_time.what_is_done_stays,
    rules_time.nothing_in_the_past,
    rules_time.on_whole_slots,
    rules_time.time_enough,
    rules_time.within_hours,
    rules_time.place_open,
    rules_time.quiet_kept,
    rules_time.in_one_stretch,
    rules_time.cut_where_hours_end,
    rules_time.not_before_its_date,
    rules_time.what_it_awaits_has_come,
    rules_time.waits_kept,
    rules_time.windows_kept,
    rules_time.what_is_told_was_missed,
    rules_time.scuffs_between,
    rules_hands.crew_in_number,
    rules_hands.crew_knows_how,
    rules_hands.only_those_who_may,
    rules_hands.who_began_goes_on,
    rules_hands.nobody_in_two_steps,
    rules_hands.hands_enough,
    rules_hands.resources_enough,
    rules_air.no_dust_on_wet,
    rules_air.nobody_in_vapour,
    rules_air.no_flame_by_vapour,
    rules_air.air_fits,
    promises_told,
    place_changes_counted,
    every_step_has_its_reason,
)
