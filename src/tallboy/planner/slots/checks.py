"""Is the problem one that can be planned at all? Each check raises BadInput that names the step and what would be accepted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import datetime

from tallboy.errors import BadInput
from tallboy.planner.network import ByHour, Fixed, Link, Problem, Step, Wait
from tallboy.planner.slots.ways import people_of

# Far beyond any shop; the board and the solver count in whole numbers that must not overflow.
MOST_PEOPLE = 200
MOST_AMOUNT = 1_000_000
MOST_WEIGHT = 1_000_000
LONGEST_WAIT = 10 * 366 * 24 * 60
FIRST_YEAR, LAST_YEAR = 1900, 2500
MOST_SPREAD = 10.0


def check(problem: Problem) -> tuple[str, ...]:
    """Check everything that needs no calendar; return the step keys, each after all the steps it follows."""
    _check_frame(problem)
    for step in problem.steps:
        _check_step(step, problem)
    steps = {step.key: step for step in problem.steps}
    scuffs = [link.scuff for link in problem.links if link.scuff is not None]
    for scuff in scuffs:
        _check_scuff(scuff, problem)
    _check_once("Step", [*(step.key for step in problem.steps), *(scuff.key for scuff in scuffs)])
    for link in problem.links:
        _check_link(link, steps)
    _check_promises(problem)
    return _order(problem, steps)


def _check_once(what: str, keys: list[str]) -> None:
    twice = sorted(key for key, times in Counter(keys).items() if times > 1)
    if twice:
        raise BadInput(f"{what} {twice[0]} is given twice.", "Once each is accepted.")


def _check_frame(problem: Problem) -> None:
    if problem.hands < 1 and not problem.people:
        raise BadInput(f"The shop has {problem.hands} hands.", "At least 1 is needed to plan.")
    if len(problem.people) > MOST_PEOPLE or (problem.hands > MOST_PEOPLE and not problem.people):
        raise BadInput(
            f"The shop has {len(problem.people) or problem.hands} hands.", f"{MOST_PEOPLE} or fewer are accepted."
        )
    if not 1 <= problem.slot_minutes <= 60:
        raise BadInput(f"A slot of {problem.slot_minutes} minutes cannot be used.", "1 to 60 minutes is accepted.")
    _check_once("Person", [person.key for person in problem.people])
    _check_once("Place", [place.key for place in problem.places])
    _check_once("Resource", [resource.key for resource in problem.resources])
    for resource in problem.resources:
        if not 0 <= resource.amount <= MOST_AMOUNT:
            raise BadInput(f"There are {resource.amount} of {resource.name}.", f"From 0 to {MOST_AMOUNT} are accepted.")
    hours = [problem.working, problem.quiet]
    hours += [person.hours for person in problem.people if person.hours is not None]
    hours += [place.hours for place in problem.places if place.hours is not None]
    spans = [span for each in dict.fromkeys(hours) for span in each]
    times = [problem.now, *(time for span in spans for time in span), *problem.previous.values()]
    _check_dates(times, "The working hours, now and the previous plan")
    for start, end in spans:
        if start >= end:
            raise BadInput(
                f"The working hours from {start} to {end} end before they begin.", "The end must come after the start."
            )


def _check_step(step: Step, problem: Problem) -> None:
    _check_numbers(step)
    times = [time for time in (step.not_before, step.started, *(step.done or ())) if time is not None]
    times += [one.at for one in step.awaits]
    times += [time for span in step.fit or () for time in span]
    _check_dates(times, f'The times of "{step.title}"')
    for wait in (step.wet, step.fumes, *(use.hold for use in step.uses)):
        if wait is not None:
            _check_wait(wait, step.title)
    _check_needs(step, problem)
    if step.done is None and step.started is not None and step.started > problem.now:
        raise BadInput(f'"{step.title}" is said to have begun in the future.', "A step begins now or in the past.")
    if step.done is not None and not step.done[0] <= step.done[1] <= problem.now:
        raise BadInput(
            f'"{step.title}" is said to be done from {step.done[0]} to {step.done[1]}.', "It must end by now."
        )


def _check_scuff(scuff: Step, problem: Problem) -> None:
    """A scuff is what the plan may add; one that has begun is a step of the problem, and its window is made good."""
    _check_step(scuff, problem)
    if scuff.started is not None or scuff.done is not None:
        raise BadInput(
            f'"{scuff.title}" is to be added where a window is missed, and has begun already.',
            "Give it as a step, with links to the steps it lies between, and its window taken away.",
        )


def _check_numbers(step: Step) -> None:
    if step.minutes < 1 or step.least_chunk < 1:
        raise BadInput(
            f'"{step.title}" takes {step.minutes} minutes.', "Hands-on time and least chunk are at least 1 minute."
        )
    if step.hands < 0 or step.fit_minutes < 0:
        raise BadInput(f'"{step.title}" has a negative number of hands or minutes.', "0 or more is accepted.")
    if max(step.minutes, step.least_chunk, step.fit_minutes) > LONGEST_WAIT:
        raise BadInput(f'"{step.title}" is said to take years.', "Up to ten years are accepted.")
    if not 0 <= step.spread <= LONGEST_WAIT:
        raise BadInput(f'The time of "{step.title}" is spread by {step.spread:g} minutes.', "0 or more is accepted.")


def _check_needs(step: Step, problem: Problem) -> None:
    """What an open step asks of people and resources can be had at all."""
    rooms = {resource.key: resource for resource in problem.resources}
    for use in step.uses:
        if use.of not in rooms or not 0 <= use.amount <= MOST_AMOUNT:
            raise BadInput(f'"{step.title}" uses {use.amount} of {use.of}.', f"Known are {', '.join(rooms) or 'none'}.")
    if step.done is not None or step.started is not None or step.blocked:
        return
    asked: dict[str, int] = {}
    for use in step.uses:
        asked[use.of] = asked.get(use.of, 0) + use.amount
        if asked[use.of] > rooms[use.of].amount:
            room = rooms[use.of]
            raise BadInput(f'"{step.title}" needs {asked[use.of]} of {room.name}.', f"There are {room.amount}.")
    able = [person for person in people_of(problem) if not step.people or person.key in step.people]
    if step.hands > len(able):
        raise BadInput(f'"{step.title}" needs {step.hands} hands.', f"There are {len(able)} in the shop.")
    if step.skill and step.hands and not any(step.skill in person.skills for person in able):
        raise BadInput(
            f'"{step.title}" needs somebody who knows {step.skill}; nobody who may do it does.',
            "Say so of one of the people, or let others do the step.",
        )


def _check_link(link: Link, steps: dict[str, Step]) -> None:
    for key in (link.first, link.then):
        if key not in steps:
            raise BadInput(f"A link names the step {key}, which is not in the problem.", "Both its steps must be.")
    first, then = steps[link.first], steps[link.then]
    _check_wait(link.least, then.title)
    if isinstance(link.most, ByHour):
        _check_wait(link.most, then.title)
    if not 0 <= link.spread <= MOST_SPREAD:
        raise BadInput(
            f'The wait at "{then.title}" has the spread {link.spread:g}.', f"From 0 to {MOST_SPREAD:g} is accepted."
        )
    shortest = link.least.minutes if isinstance(link.least, Fixed) else min(link.least.minutes)
    free = first.done is None and first.started is None and then.done is None and then.started is None
    longest = max(link.most.minutes) if isinstance(link.most, ByHour) else link.most
    if longest is not None and shortest > longest and free and link.scuff is None:
        raise BadInput(
            f'"{then.title}" must wait {shortest} minutes after "{first.title}" but follow it within {longest} minutes.',
            "The latest time must not come before the earliest.",
        )


def _check_wait(wait: Wait, title: str) -> None:
    minutes = wait.minutes if isinstance(wait, ByHour) else (wait.minutes,)
    if not minutes or min(minutes) < 0:
        raise BadInput(f'The wait at "{title}" is empty or negative.', "A wait is 0 minutes or more for every hour.")
    if max(minutes) > LONGEST_WAIT:
        raise BadInput(f'The wait at "{title}" is {max(minutes)} minutes long.', "Up to ten years are accepted.")
    if isinstance(wait, ByHour):
        _check_dates([wait.start], f'The waits at "{title}"')


def _check_dates(times: Sequence[datetime], where: str) -> None:
    if any(time.tzinfo is None for time in times):
        raise BadInput(f"{where} must say their time zone.", "Aware times are accepted.")
    far = next((time for time in times if not FIRST_YEAR <= time.year <= LAST_YEAR), None)
    if far is not None:
        raise BadInput(f"{where} name the year {far.year}.", f"Years from {FIRST_YEAR} to {LAST_YEAR} are accepted.")


def _check_promises(problem: Problem) -> None:
    pieces = {step.piece for step in problem.steps}
    for promise in problem.promises:
        if promise.piece not in pieces:
            raise BadInput(f"The promise for {promise.piece} has no steps to keep it with.", "Give it at least one.")
        if not 1 <= promise.weight <= MOST_WEIGHT:
            raise BadInput(
                f"The promise for {promise.piece} has the weight {promise.weight}.",
                f"From 1 to {MOST_WEIGHT} is accepted.",
            )
        _check_dates([promise.by], f"The dates promised for {promise.piece}")
    if len({promise.piece for promise in problem.promises}) < len(problem.promises):
        raise BadInput("A piece has two promises.", "Give each piece one date.")


def _order(problem: Problem, steps: dict[str, Step]) -> tuple[str, ...]:
    """Every key after those it follows; the order of the problem otherwise."""
    before: dict[str, set[str]] = {key: set() for key in steps}
    after: dict[str, set[str]] = {key: set() for key in steps}
    for link in problem.links:
        before[link.then].add(link.first)
        after[link.first].add(link.then)
    missing = {key: len(firsts) for key, firsts in before.items()}
    place = {key: number for number, key in enumerate(steps)}
    order = [key for key, count in missing.items() if not count]
    for key in order:
        for then in sorted(after[key], key=place.__getitem__):
            missing[then] -= 1
            if not missing[then]:
                order.append(then)
    if len(order) < len(steps):
        raise _circle([key for key in steps if missing[key]], before, steps)
    return tuple(order)


def _circle(left: list[str], before: dict[str, set[str]], steps: dict[str, Step]) -> BadInput:
    """The error that names one circle: walk backwards until a step comes round again."""
    path = [left[0]]
    while path.count(path[-1]) < 2:
        path.append(min(before[path[-1]] & set(left)))
    circle = path[path.index(path[-1]) :][::-1]
    names = ", then ".join(f'"{steps[key].title}"' for key in circle)
    return BadInput(f"These steps wait for each other in a circle: {names}.", "One of the links must go.")
