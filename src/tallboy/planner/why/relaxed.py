"""Rules given up one at a time: for each its name, the problem without it, and what it asks in plain words."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

from tallboy.planner.network import ByHour, Fixed, Link, Person, Place, Problem, Step, Wait

_HORIZON = timedelta(days=400)
_FARTHEST = timedelta(days=36_525)


@dataclass(frozen=True)
class Rule:
    """A rule that can be given up: its name, the problem without it, and what it asks of this problem."""

    name: str
    without: Callable[[Problem], Problem]
    words: Callable[[Problem], str]


def _each(problem: Problem, change: Callable[[Step], Step]) -> Problem:
    return replace(problem, steps=tuple(change(step) for step in problem.steps))


def _enough_hands(problem: Problem) -> Problem:
    wanted = sum(step.hands for step in problem.steps) + 1
    if not problem.people:
        return replace(problem, hands=max(problem.hands, wanted))
    more = tuple(Person(f"more hands {k}") for k in range(wanted))
    return replace(problem, people=(*problem.people, *more), hands=max(problem.hands, wanted))


def _anybody(problem: Problem) -> Problem:
    return _each(problem, lambda step: replace(step, skill="", people=()) if step.started is None else step)


def _places_open(problem: Problem) -> Problem:
    return replace(problem, places=tuple(replace(place, hours=None) for place in problem.places))


def _any_air(problem: Problem) -> Problem:
    return _each(problem, lambda step: replace(step, fit=None, fit_minutes=0))


def _all_there(problem: Problem) -> Problem:
    return _each(problem, lambda step: replace(step, awaits=()))


def _room_enough(problem: Problem) -> Problem:
    return _each(problem, lambda step: replace(step, uses=()))


def _no_dust(problem: Problem) -> Problem:
    return _each(problem, lambda step: replace(step, dusty=False))


def _fresh_air(problem: Problem) -> Problem:
    """Every place with fresh air; as it is where nothing is done with an open solvent."""
    if not any(step.solvent for step in problem.steps):
        return problem
    known = {place.key for place in problem.places}
    others = sorted({step.place for step in problem.steps} - known)
    places = (*problem.places, *(Place(key) for key in others))
    return replace(problem, places=tuple(replace(place, fresh_air=True) for place in places))


def _no_flames(problem: Problem) -> Problem:
    return _each(problem, lambda step: replace(step, ignition=False))


def _no_dates(problem: Problem) -> Problem:
    return _each(problem, lambda step: replace(step, not_before=None))


def _no_waits(problem: Problem) -> Problem:
    return replace(problem, links=tuple(replace(link, least=Fixed(0)) for link in problem.links))


def _no_windows(problem: Problem) -> Problem:
    return replace(problem, links=tuple(replace(link, most=None, scuff=None) for link in problem.links))


def _open_all_hours(problem: Problem) -> Problem:
    """Open day and night for more than a year, and beyond the end of all waits; everybody works whenever it is open."""
    end = max(problem.now + _HORIZON, shortest_end(problem) + timedelta(days=30))
    people = tuple(replace(person, hours=None) for person in problem.people)
    return replace(problem, working=((problem.now, end),), people=people)


def shortest_end(problem: Problem) -> datetime:
    """The moment before which the steps cannot all be done, by their minutes, waits and dates alone: as if somebody were always there.

    Parameters: problem without circles.
    Returns: a lower bound, a hundred years from now at the most; now where there is nothing to do.
    Source: definition (longest path).
    """
    into: dict[str, list[Link]] = {step.key: [] for step in problem.steps}
    for link in problem.links:
        into[link.then].append(link)
    far = problem.now.astimezone(UTC) + _FARTHEST
    ends: dict[str, datetime] = {}
    while len(ends) < len(into):
        for step in problem.steps:
            if step.key not in ends and all(link.first in ends for link in into[step.key]):
                ready = [ends[link.first] + timedelta(minutes=_shortest(link.least)) for link in into[step.key]]
                ends[step.key] = min(_end_of(step, problem.now, ready), far)
    return max(ends.values(), default=problem.now).astimezone(problem.now.tzinfo)


def _end_of(step: Step, now: datetime, ready: Iterable[datetime]) -> datetime:
    if step.done is not None:
        return step.done[1].astimezone(UTC)
    dates = [step.not_before, *(delivery.at for delivery in step.awaits)]
    known = [now.astimezone(UTC), *(date.astimezone(UTC) for date in dates if date is not None)]
    start = step.started.astimezone(UTC) if step.started is not None else max([*known, *ready])
    return max(start + timedelta(minutes=step.minutes), now.astimezone(UTC))


def _shortest(wait: Wait) -> int:
    return min(wait.minutes) if isinstance(wait, ByHour) else wait.minutes


def _names(steps: Iterable[Step]) -> str:
    return ", ".join(f"“{step.title}”" for step in steps)


def _of(problem: Problem, which: Callable[[Step], object]) -> list[Step]:
    return [step for step in problem.steps if which(step)]


def _hands_words(problem: Problem) -> str:
    return f"there are only so many hands ({len(problem.people) or problem.hands})"


def _people_words(problem: Problem) -> str:
    steps = _of(problem, lambda step: step.skill or step.people)
    return "; ".join(f"“{step.title}” may be done only by {_who(step, problem.people)}" for step in steps)


def _who(step: Step, people: Sequence[Person]) -> str:
    able = [person for person in people if not step.people or person.key in step.people]
    if step.hands == 1:
        able = [person for person in able if not step.skill or step.skill in person.skills]
    who = " or ".join(person.name or person.key for person in able) or "nobody who is here"
    return f"{who}, one of them with skill in {step.skill}" if step.skill and step.hands > 1 else who


def _place_words(problem: Problem) -> str:
    here = {step.place for step in problem.steps}
    named = [place.name or place.key for place in problem.places if place.hours is not None and place.key in here]
    return f"there are hours of their own for {' and '.join(named)}"


def _quiet_words(problem: Problem) -> str:
    return f"there are quiet hours, and {_names(_of(problem, lambda step: step.noisy))} would make noise"


def _air_words(problem: Problem) -> str:
    steps = _of(problem, lambda step: step.fit is not None)
    told = [f"“{step.title}” asks for {step.fit_text or 'air that suits it'}" for step in steps]
    return "; ".join(told)


def _delivery_words(problem: Problem) -> str:
    awaited = {(delivery.what, delivery.at) for step in problem.steps for delivery in step.awaits}
    return " and ".join(f"{what} is expected on {at:%a %d %b %Y}" for what, at in sorted(awaited))


def _room_words(problem: Problem) -> str:
    used = {use.of for step in problem.steps for use in step.uses}
    there = [f"{row.name or row.key} ({row.amount})" for row in problem.resources if row.key in used]
    return f"there is only so much of {', '.join(there)}"


def _hours_words(problem: Problem) -> str:
    end = max((b for _, b in problem.working), default=problem.now)
    return f"there are only the working hours given, up to {end:%a %d %b %Y, %H:%M}"


RULES: tuple[Rule, ...] = (
    Rule("hands", _enough_hands, _hands_words),
    Rule("people", _anybody, _people_words),
    Rule("place hours", _places_open, _place_words),
    Rule("quiet", lambda problem: replace(problem, quiet=()), _quiet_words),
    Rule("air", _any_air, _air_words),
    Rule("delivery", _all_there, _delivery_words),
    Rule("room", _room_enough, _room_words),
    Rule("dust", _no_dust, lambda _: "nothing dusty is done where a coat is wet"),
    Rule("vapour", _fresh_air, lambda _: "nobody works beside an open solvent without fresh air"),
    Rule("fire", _no_flames, lambda _: "no flame, heat or sparks where there is vapour that burns"),
    Rule("not before", _no_dates, lambda _: "they have an earliest date"),
    Rule("wait", _no_waits, lambda _: "they must wait for each other"),
    Rule("window", _no_windows, lambda _: "they must follow each other within a set time"),
    Rule("hours", _open_all_hours, _hours_words),
)
"""In the order in which it is tried to do without them: what is named is most often one of the last."""
