"""Hours as rows of numbers, so that many futures are asked at once: the next start that is allowed, the end of what is cut.

All times are minutes from the clock's origin. Past the last working hours that are known the last known week goes on.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from tallboy.planner.network import Person, Place, Problem, Span, Step
from tallboy.planner.slots.grid import Clock, Slots, Window

Minutes = NDArray[np.float64]

NEVER = 1e9
"""Stands for "not within all hours that are known" [min]; some 1900 years."""
MORE_WEEKS = 13
"""So many weeks are added behind the last working hours; own choice, a quarter of a year."""
WEEK = timedelta(days=7)
MINUTE = timedelta(minutes=1)


def minute_of(clock: Clock, time: datetime) -> float:
    """Minutes from the clock's origin."""
    return (time.astimezone(UTC) - clock.origin) / MINUTE


@dataclass(frozen=True, eq=False)
class Starts:
    """The starts that are allowed: from each `lo` to its `hi`, in rising order; behind the last a `lo` that is NEVER."""

    lo: Minutes
    hi: Minutes

    def first(self, after: Minutes) -> Minutes:
        """The first allowed start at or after each moment."""
        return np.maximum(after, self.lo[np.searchsorted(self.hi, after)])


def starts_in(windows: Iterable[Window], slot: int) -> Starts:
    """The starts of a step in minutes."""
    rows = [(window.lo, window.hi) for window in windows]
    edges = np.array(rows, dtype=np.float64).reshape(-1, 2) * slot
    return Starts(np.append(edges[:, 0], NEVER), edges[:, 1].copy())


@dataclass(frozen=True, eq=False)
class Stretches:
    """Hours end to end: the stretch k runs from `start[k]` to `end[k]` and has `before[k]` working minutes before it."""

    start: Minutes
    end: Minutes
    before: Minutes

    def end_of(self, start: Minutes, minutes: Minutes) -> Minutes:
        """When work of so many minutes is over that begins at `start` and stops where the hours end."""
        at = np.searchsorted(self.end, start, side="right")
        work = self.before[at] + np.maximum(start - self.start[at], 0.0) + minutes
        last = np.searchsorted(self.before[1:], work)
        # From NEVER on nothing more is reckoned, so that no future comes back from there.
        return np.minimum(self.start[last] + (work - self.before[last]), NEVER)

    def holds(self, moment: float) -> bool:
        """Whether a moment lies within the hours."""
        return bool(np.any((self.start[:-1] <= moment) & (moment < self.end)))


def stretches(edges: Iterable[tuple[float, float]]) -> Stretches:
    """Hours given as pairs of minutes, in order and without overlap."""
    rows = np.array(list(edges), dtype=np.float64).reshape(-1, 2)
    before = np.concatenate([[0.0], np.cumsum(rows[:, 1] - rows[:, 0])])
    return Stretches(np.append(rows[:, 0], NEVER), rows[:, 1].copy(), before)


def cut_hours(spans: Iterable[Slots], slot: int, chunk: int) -> Stretches:
    """The hours in which a step that may be split is worked on: those that hold at least a chunk [slots]."""
    return stretches((a * slot, b * slot) for a, b in spans if b - a >= chunk)


def prolonged(problem: Problem) -> Problem:
    """The same problem with its last week of hours, quiet and fit air gone on with, for futures that run late."""
    if not problem.working:
        return problem
    last = max(end.astimezone(UTC) for _, end in problem.working)

    def more(spans: tuple[Span, ...] | None) -> tuple[Span, ...] | None:
        return None if spans is None else (*spans, *_again(spans, last))

    def person(one: Person) -> Person:
        return replace(one, hours=more(one.hours))

    def place(one: Place) -> Place:
        return replace(one, hours=more(one.hours))

    def step(one: Step) -> Step:
        return one if one.fit is None else replace(one, fit=more(one.fit))

    return replace(
        problem,
        working=(*problem.working, *_again(problem.working, last)),
        quiet=(*problem.quiet, *_again(problem.quiet, last)),
        people=tuple(person(one) for one in problem.people),
        places=tuple(place(one) for one in problem.places),
        steps=tuple(step(one) for one in problem.steps),
    )


def _again(spans: tuple[Span, ...], last: datetime) -> Iterable[Span]:
    """What lies in the week before `last`, week after week behind it."""
    since = last - WEEK
    week = [(max(a.astimezone(UTC), since), min(b.astimezone(UTC), last)) for a, b in spans]
    week = [(a, b) for a, b in week if a < b]
    for k in range(1, MORE_WEEKS + 1):
        yield from ((a + k * WEEK, b + k * WEEK) for a, b in week)
