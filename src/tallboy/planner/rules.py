"""An independent check of a plan against the rules, in plain dates and minutes.

It shares no code with the planner: only the outward types. One rule is one function; its first line is the rule in words.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from tallboy.planner.network import ByHour, Fixed, Link, Plan, Planned, Problem, Span, Step


@dataclass(frozen=True)
class Broken:
    """A rule that the plan breaks: its name, what is wrong, and the steps it concerns."""

    rule: str
    text: str
    steps: tuple[str, ...]


Finding = tuple[str, tuple[str, ...]]
Check = Callable[[Problem, Plan], Iterator[Finding]]


def broken_rules(problem: Problem, plan: Plan) -> tuple[Broken, ...]:
    """Every rule that the plan breaks; empty for a plan that keeps them all.

    Parameters: problem; plan, made for it.
    Returns: one entry for each breach.
    Source: definition, the list of rules in docs/planner.md.
    """
    if missing := tuple(_missing(problem, plan)):
        return missing
    return tuple(
        Broken(check.__name__.replace("_", " "), text, steps)
        for check in CHECKS
        for text, steps in check(problem, plan)
    )


def _missing(problem: Problem, plan: Plan) -> Iterator[Broken]:
    keys = {step.key for step in problem.steps}
    for key in sorted(keys ^ set(plan.steps)):
        yield Broken("every step planned", f"{key} is in the problem or in the plan, not in both.", (key,))


def _minutes(start: datetime, end: datetime) -> float:
    return (end.astimezone(UTC) - start.astimezone(UTC)).total_seconds() / 60


def _is_fact(step: Step) -> bool:
    return step.done is not None or step.started is not None


def _planned(problem: Problem, plan: Plan) -> Iterator[tuple[Step, Planned]]:
    """Steps that are neither done nor begun, with where the plan puts them."""
    return ((step, plan.steps[step.key]) for step in problem.steps if not _is_fact(step))


def _hours(problem: Problem) -> list[Span]:
    """Working hours in order, those that touch made one."""
    hours: list[Span] = []
    for start, end in sorted(problem.working, key=lambda span: span[0].astimezone(UTC)):
        if hours and _minutes(hours[-1][1], start) <= 0:
            hours[-1] = (hours[-1][0], max(hours[-1][1], end, key=lambda time: time.astimezone(UTC)))
        else:
            hours.append((start, end))
    return hours


def _wait(wait: Fixed | ByHour, end: datetime) -> int:
    """The wait [min] after a step that ends at `end`."""
    if isinstance(wait, Fixed):
        return wait.minutes
    hour = int(_minutes(wait.start, end) // 60)
    if hour < 0:
        return wait.minutes[0]
    return wait.minutes[hour] if hour < len(wait.minutes) else wait.minutes[-1]


def what_is_done_stays(problem: Problem, plan: Plan) -> Iterator[Finding]:
    """What is done keeps the times at which it really happened; what has begun keeps its start."""
    for step in problem.steps:
        planned = plan.steps[step.key]
        if step.done is not None and (planned.start, planned.end) != step.done:
            yield f"{step.key} is not where it was really done.", (step.key,)
        if step.done is None and step.started is not None and planned.start != step.started:
            yield f"{step.key} does not start when it was really begun.", (step.key,)
        if (planned.done, planned.running) != (step.done is not None, step.done is None and step.started is not None):
            yield f"{step.key} is marked wrongly as done or running.", (step.key,)


def nothing_in_the_past(problem: Problem, plan: Plan) -> Iterator[Finding]:
    """Nothing is planned before now, and what is running ends after now."""
    for step in problem.steps:
        planned = plan.steps[step.key]
        time = planned.end if planned.running else planned.start
        if step.done is None and _minutes(problem.now, time) < 0:
            yield f"{step.key} lies in the past.", (step.key,)


def time_enough(problem: Problem, plan: Plan) -> Iterator[Finding]:
    """The hands-on stretches of a step add up to its time, rounded up to whole slots, and run from its start to its end."""
    for step, planned in _planned(problem, plan):
        worked = sum(_minutes(a, b) for a, b in planned.blocks)
        if not step.minutes <= worked < step.minutes + problem.slot_minutes:
            yield f"{step.key} gets {worked:.0f} of {step.minutes} minutes.", (step.key,)
        if (planned.blocks[0][0], planned.blocks[-1][1]) != (planned.start, planned.end):
            yield f"{step.key} does not run from its first to its last stretch.", (step.key,)
        gaps = zip(planned.blocks, planned.blocks[1:], strict=False)
        if any(_minutes(a, b) <= 0 for a, b in planned.blocks) or any(_minutes(a[1], b[0]) <= 0 for a, b in gaps):
            yield f"{step.key} has stretches out of order.", (step.key,)


def within_hours(problem: Problem, plan: Plan) -> Iterator[Finding]:
    """Every hands-on stretch lies within working hours."""
    hours = _hours(problem)
    for step, planned in _planned(problem, plan):
        for start, end in planned.blocks:
            if not any(_minutes(a, start) >= 0 and _minutes(end, b) >= 0 for a, b in hours):
                yield f"{step.key} is worked on from {start} to {end}, outside working hours.", (step.key,)


def in_one_stretch(problem: Problem, plan: Plan) -> Iterator[Finding]:
    """A step that may not be split is done in one stretch; the chunks of one that may be are not too short."""
    for step, planned in _planned(problem, plan):
        if not step.split and len(planned.blocks) != 1:
            yield f"{step.key} is split and may not be.", (step.key,)
        least = min(step.least_chunk, step.minutes)
        if any(_minutes(a, b) < least for a, b in planned.blocks):
            yield f"{step.key} has a chunk shorter than {least} minutes.", (step.key,)


def not_before_its_date(problem: Problem, plan: Plan) -> Iterator[Finding]:
    """A step does not start before its own earliest date."""
    for step, planned in _planned(problem, plan):
        if step.not_before is not None and _minutes(step.not_before, planned.start) < 0:
            yield f"{step.key} starts before {step.not_before}.", (step.key,)


def _links(problem: Problem, plan: Plan) -> Iterator[tuple[Link, Planned, Planned]]:
    """Links to steps still to be planned."""
    facts = {step.key for step in problem.steps if _is_fact(step)}
    return ((link, plan.steps[link.first], plan.steps[link.then]) for link in problem.links if link.then not in facts)


def waits_kept(problem: Problem, plan: Plan) -> Iterator[Finding]:
    """A step starts only after each step it follows has ended and the wait of that hour is over."""
    for link, first, then in _links(problem, plan):
        wait = _wait(link.least, first.end)
        if _minutes(first.end, then.start) < wait:
            yield f"{then.key} starts less than {wait} minutes after {first.key}.", (first.key, then.key)


def windows_kept(problem: Problem, plan: Plan) -> Iterator[Finding]:
    """A step starts before the window of the step it follows has closed, unless the plan says that it could not."""
    told = {(missed.first, missed.step) for missed in plan.missed_windows}
    for link, first, then in _links(problem, plan):
        late = link.most is not None and _minutes(first.end, then.start) > link.most
        if late and (first.key, then.key) not in told:
            yield f"{then.key} starts more than {link.most} minutes after {first.key}.", (first.key, then.key)


def hands_enough(problem: Problem, plan: Plan) -> Iterator[Finding]:
    """At no moment are more hands at work than there are (what has begun by itself is taken as it is)."""
    hands = {step.key: step.hands for step in problem.steps}
    busy = [
        (max(a, problem.now, key=lambda time: time.astimezone(UTC)), b, planned)
        for planned in plan.steps.values()
        if not planned.done
        for a, b in planned.blocks
    ]
    for moment, end, planned in busy:
        if planned.running or _minutes(moment, end) <= 0:
            continue
        for time in {a for a, _, _ in busy if _minutes(moment, a) >= 0 and _minutes(a, end) > 0}:
            at_work = [other.key for a, b, other in busy if _minutes(a, time) >= 0 and _minutes(time, b) > 0]
            if sum(hands[key] for key in at_work) > problem.hands and hands[planned.key]:
                yield f"Too many hands at {time}.", tuple(at_work)


def no_dust_on_wet(problem: Problem, plan: Plan) -> Iterator[Finding]:
    """Nothing dusty is done in a place while a coat there is being laid or is still wet."""
    for wet in problem.steps:
        if wet.wet is None:
            continue
        coat = plan.steps[wet.key]
        dry = coat.end.astimezone(UTC) + timedelta(minutes=_wait(wet.wet, coat.end))
        for dusty in problem.steps:
            if (
                not dusty.dusty
                or dusty.place != wet.place
                or dusty.key == wet.key
                or (_is_fact(wet) and _is_fact(dusty))
            ):
                continue
            blocks = plan.steps[dusty.key].blocks
            if any(_minutes(a, dry) > 0 and _minutes(coat.start, b) > 0 for a, b in blocks):
                yield f"{dusty.key} raises dust while {wet.key} is wet.", (wet.key, dusty.key)


def promises_told(problem: Problem, plan: Plan) -> Iterator[Finding]:
    """For every promise the plan says when the piece is finished and by how many minutes that is late."""
    told = {kept.piece: kept for kept in plan.promises}
    for promise in problem.promises:
        ends = [plan.steps[step.key].end.astimezone(UTC) for step in problem.steps if step.piece == promise.piece]
        late = max(0.0, _minutes(promise.by, max(ends)))
        kept = told.get(promise.piece)
        if kept is None or _minutes(kept.finish, max(ends)) != 0 or not late <= kept.late_minutes < late + 1:
            yield f"The promise for {promise.piece} is told wrongly.", (promise.piece,)


def every_step_has_its_reason(problem: Problem, plan: Plan) -> Iterator[Finding]:
    """Every step says why it is not earlier."""
    for step in problem.steps:
        if not plan.steps[step.key].reason.text:
            yield f"{step.key} does not say why it is not earlier.", (step.key,)


CHECKS: tuple[Check, ...] = (
    what_is_done_stays,
    nothing_in_the_past,
    time_enough,
    within_hours,
    in_one_stretch,
    not_before_its_date,
    waits_kept,
    windows_kept,
    hands_enough,
    no_dust_on_wet,
    promises_told,
    every_step_has_its_reason,
)
