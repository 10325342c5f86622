"""A plan as the rule checker reads it: every step with its times in minutes, and the calendars.

Minutes count from the beginning of the year 2000, UTC. Nothing here is shared with the planner: only the outward types.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache

from tallboy.planner.network import Fixed, Link, Place, Plan, Planned, Problem, Scuffed, Span, Step, Wait

_EPOCH = datetime(2000, 1, 1, tzinfo=UTC)
Stretch = tuple[float, float]
Finding = tuple[str, tuple[str, ...]]


def minute(time: datetime) -> float:
    """A moment in minutes."""
    return (time.astimezone(UTC) - _EPOCH).total_seconds() / 60


def wait_after(wait: Wait, end: float) -> int:
    """The wait [min] after a step that ends at minute `end`."""
    if isinstance(wait, Fixed):
        return wait.minutes
    hour = int((end - minute(wait.start)) // 60)
    if hour < 0:
        return wait.minutes[0]
    return wait.minutes[hour] if hour < len(wait.minutes) else wait.minutes[-1]


def is_fact(step: Step) -> bool:
    """Whether the step is done or has begun."""
    return step.done is not None or step.started is not None


@dataclass(frozen=True)
class Placed:
    """A step, where the plan has it, and the same in minutes."""

    step: Step
    planned: Planned
    start: float
    end: float
    blocks: tuple[Stretch, ...]

    @property
    def key(self) -> str:
        """The key of the step."""
        return self.step.key

    @property
    def fact(self) -> bool:
        """Whether it is done or has begun: its times are nobody's choice."""
        return is_fact(self.step)

    def at_work_during(self, start: float, end: float) -> bool:
        """Whether hands are on it at some moment between two minutes."""
        return self.start < end and start < self.end and any(a < end and start < b for a, b in self.blocks)


@dataclass(frozen=True)
class Reading:
    """A problem and its plan: `placed` by key, `links` those that still ask something, `now` in minutes."""

    problem: Problem
    plan: Plan
    placed: dict[str, Placed]
    links: tuple[Link, ...]
    places: dict[str, Place]
    now: float

    def place_of(self, placed: Placed) -> Place:
        """What is said about a step's place; nothing in particular when it is not among the problem's places."""
        return self.places.get(placed.step.place) or Place(placed.step.place)

    def room_of(self, placed: Placed) -> tuple[str, str]:
        """The air around a step: that of the room its place is in, or of the place alone."""
        place = self.place_of(placed)
        return ("room", place.room) if place.room else ("place", place.key)

    @property
    def open(self) -> Iterator[Placed]:
        """Steps that are neither done nor begun."""
        return (placed for placed in self.placed.values() if not placed.fact)

    def pairs(self, first: Iterable[Placed], other: Iterable[Placed]) -> Iterator[tuple[Placed, Placed]]:
        """Every one of `first` with every one of `other`, but not with itself, and not two facts: those cannot be helped."""
        others = list(other)
        return ((a, b) for a in first for b in others if a.key != b.key and not (a.fact and b.fact))


def read(problem: Problem, plan: Plan) -> Reading:
    """The plan in minutes. Every step must be in it that should be."""
    steps = [step for step in problem.steps if step.key in plan.steps]
    steps += [link.scuff for told in plan.scuffed for link in scuffed_links(problem, told) if link.scuff is not None]
    placed = {step.key: _placed(step, plan.steps[step.key]) for step in steps}
    asking = tuple(link for link in problem.links if link.then in placed and not placed[link.then].fact)
    places = {place.key: place for place in problem.places}
    return Reading(problem, plan, placed, asking, places, minute(problem.now))


def scuffed_links(problem: Problem, told: Scuffed) -> list[Link]:
    """The link whose window the plan says it makes good, or none."""
    return [
        link
        for link in problem.links
        if (link.first, link.then) == (told.first, told.step)
        and link.scuff is not None
        and link.scuff.key == told.scuff
    ]


def _placed(step: Step, planned: Planned) -> Placed:
    blocks = tuple((minute(a), minute(b)) for a, b in planned.blocks)
    return Placed(step, planned, minute(planned.start), minute(planned.end), blocks)


@lru_cache(maxsize=256)  # the same few calendars are asked for at every step
def stretches(spans: tuple[Span, ...]) -> tuple[Stretch, ...]:
    """Spans of time in minutes and in order, those that touch or overlap made one."""
    found: list[Stretch] = []
    for start, end in sorted((minute(a), minute(b)) for a, b in spans):
        if found and start <= found[-1][1]:
            found[-1] = (found[-1][0], max(end, found[-1][1]))
        else:
            found.append((start, end))
    return tuple(found)


def in_both(one: tuple[Stretch, ...], other: tuple[Stretch, ...]) -> tuple[Stretch, ...]:
    """The time that lies in both calendars."""
    parts: list[Stretch] = []
    k = 0
    for start, end in one:
        while k < len(other) and other[k][1] <= start:
            k += 1
        for a, b in other[k:]:
            if a >= end:
                break
            parts.append((max(start, a), min(end, b)))
    return tuple(parts)


def without(hours: tuple[Stretch, ...], taken: tuple[Stretch, ...]) -> tuple[Stretch, ...]:
    """The time in `hours` that is not in `taken`."""
    for c, d in taken:
        cut = [[(a, min(b, c)), (max(a, d), b)] if a < d and c < b else [(a, b)] for a, b in hours]
        hours = tuple((a, b) for parts in cut for a, b in parts if a < b)
    return hours


def crew_hours(reading: Reading, placed: Placed) -> tuple[Stretch, ...]:
    """When everybody of the step's crew is at work; the shop's hours for a step that keeps nobody busy."""
    own = {person.key: person.hours for person in reading.problem.people}
    shop = stretches(reading.problem.working)
    hours = None
    for key in placed.planned.people:
        spans = own.get(key)
        theirs = shop if spans is None else stretches(spans)
        hours = theirs if hours is None else in_both(hours, theirs)
    return shop if hours is None else hours


def place_hours(reading: Reading, placed: Placed) -> tuple[Stretch, ...] | None:
    """When the step's place can be used; None: always."""
    hours = reading.place_of(placed).hours
    return None if hours is None else stretches(hours)


def common_hours(reading: Reading, placed: Placed) -> tuple[Stretch, ...]:
    """When the step can be worked on: crew at work, place open, and no quiet asked for if it is noisy."""
    hours = crew_hours(reading, placed)
    if (place := place_hours(reading, placed)) is not None:
        hours = in_both(hours, place)
    return without(hours, stretches(reading.problem.quiet)) if placed.step.noisy else hours


def holds(hours: tuple[Stretch, ...], start: float, end: float) -> bool:
    """Whether one stretch of `hours` holds all the time between two minutes."""
    return any(a <= start and end <= b for a, b in hours)
