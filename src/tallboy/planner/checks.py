"""Is the problem one that can be planned at all? Each check raises BadInput that names the step and what would be accepted."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from tallboy.errors import BadInput
from tallboy.planner.network import ByHour, Fixed, Link, Problem, Step, Wait


def check(problem: Problem) -> tuple[str, ...]:
    """Check everything that needs no calendar; return the step keys, each after all the steps it follows."""
    _check_frame(problem)
    for step in problem.steps:
        _check_step(step, problem)
    steps = {step.key: step for step in problem.steps}
    if len(steps) < len(problem.steps):
        twice = sorted({a.key for a in problem.steps if sum(b.key == a.key for b in problem.steps) > 1})
        raise BadInput(f"Step {twice[0]} is given twice.", "Every step needs a key of its own.")
    for link in problem.links:
        _check_link(link, steps)
    _check_promises(problem)
    return _order(problem, steps)


def _check_frame(problem: Problem) -> None:
    if problem.hands < 1:
        raise BadInput(f"The shop has {problem.hands} hands.", "At least 1 is needed to plan.")
    if not 1 <= problem.slot_minutes <= 60:
        raise BadInput(f"A slot of {problem.slot_minutes} minutes cannot be used.", "1 to 60 minutes is accepted.")
    times = [problem.now, *(time for span in problem.working for time in span), *problem.previous.values()]
    _check_aware(times, "The working hours, now and the previous plan")
    for start, end in problem.working:
        if start >= end:
            raise BadInput(
                f"The working hours from {start} to {end} end before they begin.", "The end must come after the start."
            )


def _check_step(step: Step, problem: Problem) -> None:
    _check_numbers(step, problem)
    times = [time for time in (step.not_before, step.started, *(step.done or ())) if time is not None]
    _check_aware(times, f'The times of "{step.title}"')
    if step.wet is not None:
        _check_wait(step.wet, step.title)
    if step.done is None and step.started is not None and step.started > problem.now:
        raise BadInput(f'"{step.title}" is said to have begun in the future.', "A step begins now or in the past.")
    if step.done is not None and not step.done[0] <= step.done[1] <= problem.now:
        raise BadInput(
            f'"{step.title}" is said to be done from {step.done[0]} to {step.done[1]}.', "It must end by now."
        )


def _check_numbers(step: Step, problem: Problem) -> None:
    if step.minutes < 1 or step.least_chunk < 1:
        raise BadInput(
            f'"{step.title}" takes {step.minutes} minutes.', "Hands-on time and least chunk are at least 1 minute."
        )
    if step.hands < 0 or (step.hands > problem.hands and step.done is None):
        raise BadInput(f'"{step.title}" needs {step.hands} hands.', f"There are {problem.hands} in the shop.")


def _check_link(link: Link, steps: dict[str, Step]) -> None:
    for key in (link.first, link.then):
        if key not in steps:
            raise BadInput(f"A link names the step {key}, which is not in the problem.", "Both its steps must be.")
    first, then = steps[link.first], steps[link.then]
    _check_wait(link.least, then.title)
    shortest = link.least.minutes if isinstance(link.least, Fixed) else min(link.least.minutes)
    free = first.done is None and first.started is None and then.done is None and then.started is None
    if link.most is not None and shortest > link.most and free:
        raise BadInput(
            f'"{then.title}" must wait {shortest} minutes after "{first.title}" but follow it within {link.most} minutes.',
            "The latest time must not come before the earliest.",
        )


def _check_wait(wait: Wait, title: str) -> None:
    minutes = wait.minutes if isinstance(wait, ByHour) else (wait.minutes,)
    if not minutes or min(minutes) < 0:
        raise BadInput(f'The wait at "{title}" is empty or negative.', "A wait is 0 minutes or more for every hour.")
    if isinstance(wait, ByHour):
        _check_aware([wait.start], f'The waits at "{title}"')


def _check_aware(times: Iterable[datetime], where: str) -> None:
    if any(time.tzinfo is None for time in times):
        raise BadInput(f"{where} must say their time zone.", "Aware times are accepted.")


def _check_promises(problem: Problem) -> None:
    pieces = {step.piece for step in problem.steps}
    for promise in problem.promises:
        if promise.piece not in pieces:
            raise BadInput(f"The promise for {promise.piece} has no steps to keep it with.", "Give it at least one.")
        if promise.weight < 1:
            raise BadInput(
                f"The promise for {promise.piece} has the weight {promise.weight}.", "1 or more is accepted."
            )
        _check_aware([promise.by], f"The promise for {promise.piece}")
    if len({promise.piece for promise in problem.promises}) < len(problem.promises):
        raise BadInput("A piece has two promises.", "Give each piece one date.")


def _order(problem: Problem, steps: dict[str, Step]) -> tuple[str, ...]:
    """Every key after those it follows; the order of the problem otherwise."""
    before: dict[str, set[str]] = {key: set() for key in steps}
    for link in problem.links:
        before[link.then].add(link.first)
    order: list[str] = []
    left = list(steps)
    while left:
        ready = [key for key in left if before[key].isdisjoint(left)]
        if not ready:
            raise _circle(left, before, steps)
        order += ready
        left = [key for key in left if key not in ready]
    return tuple(order)


def _circle(left: list[str], before: dict[str, set[str]], steps: dict[str, Step]) -> BadInput:
    """The error that names one circle: walk backwards until a step comes round again."""
    path = [left[0]]
    while path.count(path[-1]) < 2:
        path.append(min(before[path[-1]] & set(left)))
    circle = path[path.index(path[-1]) :][::-1]
    names = ", then ".join(f'"{steps[key].title}"' for key in circle)
    return BadInput(f"These steps wait for each other in a circle: {names}.", "One of the links must go.")
