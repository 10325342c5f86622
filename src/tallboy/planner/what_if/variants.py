"""What if: changes to a problem as data. Each has a plain name, says what it asks of people, and makes the changed problem.

Overtime, OpenDays, Helper, PutFirst, OtherWaits (a faster product, warmer air), WithoutPiece, MorePieces, LaterPromise, and Together
for several at once. None of them touches what is done or has begun.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from typing import Protocol

from tallboy.planner.network import Link, Person, Problem, Promise, Span, Step
from tallboy.planner.what_if.days import DAY, Spans, at, by_day, day_words, length, listed, usual_day

HELPER = "helper"
FIRST_OF_ALL = 1000


@dataclass(frozen=True, order=True)
class Trouble:
    """What a change asks of people; the smaller, the less: promises given up, hours of work added [h], things to buy or heat."""

    given_up: int = 0
    hours: float = 0.0
    things: int = 0

    def __add__(self, other: Trouble) -> Trouble:
        return Trouble(self.given_up + other.given_up, self.hours + other.hours, self.things + other.things)


class Change(Protocol):
    """A change to a problem. `kind` is the same word for changes that differ only in how much."""

    @property
    def kind(self) -> str: ...

    @property
    def name(self) -> str: ...

    def on(self, problem: Problem) -> Problem:
        """The problem with this change."""
        ...

    def trouble(self, problem: Problem) -> Trouble:
        """What it asks."""
        ...


@dataclass(frozen=True)
class Overtime:
    """Every open day, up to `until` if that is given, goes on for `hours` [h] in the evening, for all who work that day; never past
    midnight."""

    hours: float
    until: datetime | None = None
    kind: str = "overtime"

    @property
    def name(self) -> str:
        until = f" until {day_words(self.until)}" if self.until else ""
        return f"{self.hours:g} h of overtime every working day{until}"

    def on(self, problem: Problem) -> Problem:
        return _other_hours(problem, lambda spans: self._stretched(spans, problem))

    def trouble(self, problem: Problem) -> Trouble:
        return Trouble(hours=_hours_of(self.on(problem)) - _hours_of(problem))

    def _stretched(self, spans: Spans, problem: Problem) -> Spans:
        last_day = self.until.astimezone(problem.now.tzinfo).date() if self.until else date.max
        stretched: list[Span] = []
        for day, of_day in by_day(spans, problem.now.tzinfo).items():
            opens, closes = of_day.pop()
            midnight = datetime.combine(day + DAY, time(), tzinfo=problem.now.tzinfo)
            later = min(closes + timedelta(hours=self.hours), midnight) if day <= last_day else closes
            stretched += [*of_day, (opens, max(closes, later))]
        return tuple(stretched)


@dataclass(frozen=True)
class OpenDays:
    """Work on these days, which are closed, with everybody's usual hours."""

    days: tuple[date, ...]
    called: str = ""
    kind: str = "another day"

    @property
    def name(self) -> str:
        return self.called or f"work on {listed([day_words(day) for day in self.days])}"

    def on(self, problem: Problem) -> Problem:
        return _other_hours(problem, lambda spans: self._with_days(spans, problem))

    def trouble(self, problem: Problem) -> Trouble:
        return Trouble(hours=_hours_of(self.on(problem)) - _hours_of(problem))

    def _with_days(self, spans: Spans, problem: Problem) -> Spans:
        zone = problem.now.tzinfo
        usual = usual_day(spans, problem)
        there = set(by_day(spans, zone))
        more = [at(day, part, zone) for day in self.days if day not in there for part in usual]
        still = [(max(opens, problem.now), closes) for opens, closes in more if closes > problem.now]
        return tuple(sorted((*spans, *still), key=lambda span: span[0].timestamp()))


@dataclass(frozen=True)
class Helper:
    """One more pair of hands, or `count` of them, with the shop's hours and these skills. `until` is how long they stay."""

    count: int = 1
    skills: frozenset[str] = frozenset()
    until: datetime | None = None
    kind: str = "a helper"

    @property
    def name(self) -> str:
        who = "a helper" if self.count == 1 else f"{self.count} helpers"
        return who if self.until is None else f"{who} until {day_words(self.until)}"

    def on(self, problem: Problem) -> Problem:
        if not problem.people and self.until is None:
            return replace(problem, hands=problem.hands + self.count)
        here = problem.people or tuple(Person(str(k + 1)) for k in range(problem.hands))
        fresh = tuple(Person(key, "a helper", self._hours(problem), self.skills) for key in self._keys(here))
        return replace(problem, people=(*here, *fresh), hands=max(problem.hands, len(here)) + self.count)

    def trouble(self, problem: Problem) -> Trouble:
        hours = problem.working if self.until is None else self._hours(problem) or ()
        return Trouble(hours=self.count * length(hours))

    def _hours(self, problem: Problem) -> Spans | None:
        if self.until is None:
            return None
        return tuple((a, min(b, self.until)) for a, b in problem.working if a < self.until)

    def _keys(self, here: Iterable[Person]) -> list[str]:
        taken = {person.key for person in here}
        keys = (f"{HELPER} {k}" for k in range(1, len(taken) + self.count + 1))
        return [key for key in keys if key not in taken][: self.count]


@dataclass(frozen=True)
class PutFirst:
    """The promise of one piece goes before all others."""

    piece: str
    called: str = ""
    kind: str = "put first"

    @property
    def name(self) -> str:
        return f"{self.called or self.piece} before everything else"

    def on(self, problem: Problem) -> Problem:
        weight = FIRST_OF_ALL * max((promise.weight for promise in problem.promises), default=1)
        promises = (replace(p, weight=weight) if p.piece == self.piece else p for p in problem.promises)
        return replace(problem, promises=tuple(promises))

    def trouble(self, problem: Problem) -> Trouble:
        return Trouble()


@dataclass(frozen=True, eq=False)
class OtherWaits:
    """Other waits, windows, wet times, vapour times, deliveries and fit air, taken from another problem of the same shop.

    For another can or warmer air, whose waits the caller has worked out. Steps and links that `other` does not have stay.
    """

    called: str
    other: Problem
    kind: str = "other waits"

    @property
    def name(self) -> str:
        return self.called

    def on(self, problem: Problem) -> Problem:
        steps = {step.key: step for step in self.other.steps}
        links = {(link.first, link.then): link for link in self.other.links}
        return replace(
            problem,
            steps=tuple(_same_air(step, steps.get(step.key, step)) for step in problem.steps),
            links=tuple(_same_wait(link, links.get((link.first, link.then), link)) for link in problem.links),
        )

    def trouble(self, problem: Problem) -> Trouble:
        return Trouble(things=1)


@dataclass(frozen=True)
class WithoutPiece:
    """Nothing more is done to a piece, and its promise is given up. What is done or has begun of it stays."""

    piece: str
    called: str = ""
    kind: str = "without a piece"

    @property
    def name(self) -> str:
        return f"without {self.called or self.piece}"

    def on(self, problem: Problem) -> Problem:
        stays = [s for s in problem.steps if s.piece != self.piece or s.done is not None or s.started is not None]
        keys = {step.key for step in stays}
        return replace(
            problem,
            steps=tuple(stays),
            links=tuple(link for link in problem.links if {link.first, link.then} <= keys),
            promises=tuple(promise for promise in problem.promises if promise.piece != self.piece),
        )

    def trouble(self, problem: Problem) -> Trouble:
        return Trouble(given_up=sum(promise.piece == self.piece for promise in problem.promises))


@dataclass(frozen=True)
class MorePieces:
    """Further steps with their links and promises: a piece that is not in the shop yet."""

    called: str
    steps: tuple[Step, ...]
    links: tuple[Link, ...] = ()
    promises: tuple[Promise, ...] = ()
    kind: str = "more pieces"

    @property
    def name(self) -> str:
        return f"with {self.called}"

    def on(self, problem: Problem) -> Problem:
        return replace(
            problem,
            steps=(*problem.steps, *self.steps),
            links=(*problem.links, *self.links),
            promises=(*problem.promises, *self.promises),
        )

    def trouble(self, problem: Problem) -> Trouble:
        return Trouble(hours=sum(step.minutes * step.hands for step in self.steps) / 60)


@dataclass(frozen=True)
class LaterPromise:
    """Another date for a piece that is promised."""

    piece: str
    by: datetime
    called: str = ""
    kind: str = "later promise"

    @property
    def name(self) -> str:
        return f"{self.called or self.piece} promised for {day_words(self.by)}"

    def on(self, problem: Problem) -> Problem:
        promises = (replace(p, by=self.by) if p.piece == self.piece else p for p in problem.promises)
        return replace(problem, promises=tuple(promises))

    def trouble(self, problem: Problem) -> Trouble:
        return Trouble(given_up=1)


@dataclass(frozen=True, eq=False)
class Together:
    """Several changes, one after another."""

    changes: tuple[Change, ...]
    kind: str = "together"

    @property
    def name(self) -> str:
        return " and ".join(change.name for change in self.changes)

    def on(self, problem: Problem) -> Problem:
        for change in self.changes:
            problem = change.on(problem)
        return problem

    def trouble(self, problem: Problem) -> Trouble:
        total = Trouble()
        for change in self.changes:
            total += change.trouble(problem)
            problem = change.on(problem)
        return total


def _other_hours(problem: Problem, change: Callable[[Spans], Spans]) -> Problem:
    """The problem with the shop's hours changed, and everybody's own hours in the same way."""
    people = tuple(
        person if person.hours is None else replace(person, hours=change(person.hours)) for person in problem.people
    )
    return replace(problem, working=change(problem.working), people=people)


def _hours_of(problem: Problem) -> float:
    """Hours of work that all pairs of hands together offer [h]."""
    if not problem.people:
        return problem.hands * length(problem.working)
    return sum(length(problem.working if p.hours is None else p.hours) for p in problem.people)


def _same_air(step: Step, other: Step) -> Step:
    return replace(
        step,
        wet=other.wet,
        fumes=other.fumes,
        fit=other.fit,
        fit_minutes=other.fit_minutes,
        fit_text=other.fit_text,
        uses=other.uses,
        awaits=other.awaits,
    )


def _same_wait(link: Link, other: Link) -> Link:
    return replace(
        link, least=other.least, most=other.most, scuff=other.scuff, spread=other.spread, shared=other.shared
    )
