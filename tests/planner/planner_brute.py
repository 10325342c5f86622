"""The best plan of a tiny shop by trying everything; shares no code with the planner or with the rule checker.

Time is counted in whole slots from the Monday of the tests; every time of the problem must fall on one. Steps are placed one
after another, each at every start and with every crew, as long as no rule is broken and the best so far can still be beaten.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import cached_property
from itertools import combinations

from bench.shared.shops import MONDAY
from tests.planner.planner_made import WHY, told

from tallboy.planner.network import ByHour, Link, MissedWindow, Plan, Planned, Problem, Scuffed, Span, Step, Wait

FAR = 10**6
Worth = tuple[int, int, int]  # windows missed, weighted lateness, finishing times [slots]


def is_open(step: Step) -> bool:
    """Whether it is still to be planned."""
    return step.done is None and step.started is None


@dataclass(frozen=True)
class Put:
    """A step on the trial plan: at work in `at_work`, its people kept from `start` to `end`."""

    step: Step
    start: int
    end: int
    crew: frozenset[str]
    at_work: frozenset[int]

    def over(self, wait: int) -> range:
        """The slots from its start until `wait` after its end."""
        return range(self.start, self.end + wait)


@dataclass
class Trial:
    """The search through all plans of one problem."""

    problem: Problem
    best: Worth | None = None
    tried: int = 0

    def __post_init__(self) -> None:
        self.put: dict[str, Put] = {}
        self.plan: dict[str, Put] = {}
        self.missed = 0
        facts = [step for step in self.problem.steps if not is_open(step)]
        for step in facts:
            start, end = (self.slot(time) for time in self.happened(step))
            self.put[step.key] = Put(step, start, end, frozenset(step.people), frozenset(range(start, end)))
        self.queue: list[Step | Link] = []
        left = [step for step in self.problem.steps if is_open(step)]
        while left:
            keys = {step.key for step in left}
            ready = next(s for s in left if not any(k.then == s.key and k.first in keys for k in self.problem.links))
            left.remove(ready)
            self.queue += [
                ready,
                *(link for link in self.problem.links if link.then == ready.key and link.most is not None),
            ]

    def happened(self, step: Step) -> Span:
        """From when to when a step really is done; one that has begun goes on until its time is over, without a break."""
        if step.done is not None:
            return step.done
        assert step.started is not None
        return step.started, step.started + timedelta(minutes=step.minutes)

    def slot(self, time: datetime) -> int:
        """The slot that begins at `time`."""
        slots, rest = divmod(time - MONDAY, timedelta(minutes=self.problem.slot_minutes))
        assert not rest, "tiny shops keep to whole slots"
        return slots

    def length(self, minutes: int) -> int:
        """Slots that `minutes` fill."""
        return -(-minutes // self.problem.slot_minutes)

    def wait(self, wait: Wait, end: int) -> int:
        """The wait in slots after an end at slot `end`."""
        if not isinstance(wait, ByHour):
            return self.length(wait.minutes)
        hour = (MONDAY + end * timedelta(minutes=self.problem.slot_minutes) - wait.start) // timedelta(hours=1)
        return self.length(wait.minutes[min(max(hour, 0), len(wait.minutes) - 1)])

    def slots(self, spans: tuple[Span, ...]) -> frozenset[int]:
        """All slots within spans."""
        return frozenset(k for a, b in spans for k in range(self.slot(a), self.slot(b)))

    @cached_property
    def people(self) -> dict[str, tuple[frozenset[int], frozenset[str]]]:
        """When each is at work, and what he knows."""
        shop = self.slots(self.problem.working)
        if not self.problem.people:
            return {str(k + 1): (shop, frozenset()) for k in range(self.problem.hands)}
        return {p.key: (shop if p.hours is None else self.slots(p.hours), p.skills) for p in self.problem.people}

    def crews(self, step: Step) -> Iterator[frozenset[str]]:
        """Everybody who could do the step together."""
        for crew in combinations(self.people, step.hands):
            knows = not step.skill or any(step.skill in self.people[key][1] for key in crew)
            if knows and (not step.people or set(crew) <= set(step.people)):
                yield frozenset(crew)

    def hours(self, step: Step, crew: frozenset[str]) -> frozenset[int]:
        """The slots in which this crew can work on the step."""
        hours = (
            frozenset.intersection(*(self.people[key][0] for key in crew)) if crew else self.slots(self.problem.working)
        )
        for place in self.problem.places:
            if place.key == step.place and place.hours is not None:
                hours &= self.slots(place.hours)
        return hours - self.slots(self.problem.quiet) if step.noisy else hours

    def ways(self, step: Step) -> list[Put]:
        """Every start and crew that the step's own rules allow, the earliest end first."""
        earliest = [self.slot(self.problem.now), *(self.slot(delivery.at) for delivery in step.awaits)]
        earliest += [self.slot(step.not_before)] if step.not_before else []
        found = []
        for crew in self.crews(step):
            hours = self.hours(step, crew)
            for start in sorted(hours):
                at_work = self.stretch(step, hours, start)
                if at_work and start >= max(earliest):
                    found.append(Put(step, start, max(at_work) + 1, crew, at_work))
        return sorted(
            (put for put in found if self.fits_air(put)), key=lambda put: (put.end, put.start, sorted(put.crew))
        )

    def stretch(self, step: Step, hours: frozenset[int], start: int) -> frozenset[int]:
        """The slots at work from `start`; none when it cannot be done from there."""
        needs = self.length(step.minutes)
        chunk = min(self.length(step.least_chunk), needs)
        at_work: list[int] = []
        while len(at_work) < needs and start <= max(hours):
            run = next(k for k in range(start, max(hours) + 2) if k not in hours) - start
            take = min(run, needs - len(at_work))
            if (at_work and run < chunk) or not run:
                start += max(run, 1)
                continue
            if take < chunk or (len(at_work) + take < needs and not step.split):
                return frozenset()
            at_work += range(start, start + take)
            start += take
        return frozenset(at_work) if len(at_work) == needs else frozenset()

    def fits_air(self, put: Put) -> bool:
        """Whether one span of fit air holds the step and its time after."""
        if put.step.fit is None:
            return True
        last = put.end + self.length(put.step.fit_minutes)
        return any(self.slot(a) <= put.start and last <= self.slot(b) for a, b in put.step.fit)

    def room(self, step: Step) -> tuple[str, str]:
        """The air around a step."""
        rooms = {place.key: place.room for place in self.problem.places}
        return ("room", rooms[step.place]) if rooms.get(step.place) else ("place", step.place)

    def clash(self, a: Put, b: Put) -> bool:
        """Whether two steps cannot both be where they are; asked both ways round."""
        if a.crew & b.crew and a.start < b.end and b.start < a.end:
            return True
        wet = self.wait(a.step.wet, a.end) if a.step.wet else 0
        if a.step.wet and b.step.dusty and a.step.place == b.step.place and b.at_work & set(a.over(wet)):
            return True
        if self.room(a.step) != self.room(b.step):
            return False
        airy = any(place.key == a.step.place and place.fresh_air for place in self.problem.places)
        if a.step.solvent and not airy and b.step.hands and a.at_work & b.at_work:
            return True
        fumes = self.wait(a.step.fumes, a.end) if a.step.fumes else 0
        vapour = a.step.solvent or a.step.fumes is not None
        return vapour and b.step.ignition and bool(b.at_work & set(a.over(fumes)))

    def too_much(self, new: Put) -> bool:
        """Whether there is too little of something at some moment."""
        puts = [*self.put.values(), new]
        for resource in self.problem.resources:
            held: dict[int, int] = {}
            for put in puts:
                for use in put.step.uses:
                    for slot in put.over(self.wait(use.hold, put.end)) if use.of == resource.key else ():
                        held[slot] = held.get(slot, 0) + use.amount
            if max(held.values(), default=0) > resource.amount:
                return True
        return False

    def may(self, new: Put) -> bool:
        """Whether the step can be put there, beside all that is there already."""
        for link in self.problem.links:
            if link.then == new.step.key and link.first in self.put:
                first = self.put[link.first]
                if new.start < first.end + self.wait(link.least, first.end):
                    return False
        return not any(self.clash(new, put) or self.clash(put, new) for put in self.put.values()) and not self.too_much(
            new
        )

    def worth(self, k: int) -> Worth:
        """What the steps put so far cost at least, with each of the k-th and following ended as early as it could be."""
        ends = [(put.step.piece, put.end) for put in self.put.values()]
        ends += [(step.piece, self.earliest_end(step)) for step in self.queue[k:] if isinstance(step, Step)]
        last: dict[str, int] = {}
        for piece, end in ends:
            last[piece] = max(end, last.get(piece, end))
        late = sum(
            promise.weight * max(0, last[promise.piece] - self.slot(promise.by)) for promise in self.problem.promises
        )
        now = self.slot(self.problem.now)
        return self.missed, late, sum(last[piece] - now for piece in self.open_pieces)

    @cached_property
    def open_pieces(self) -> set[str]:
        """Pieces with steps still to do."""
        return {step.piece for step in self.problem.steps if is_open(step)}

    def earliest_end(self, step: Step) -> int:
        """The earliest end of a step after those it follows, as far as they are put."""
        ready = 0
        for link in self.problem.links:
            if link.then == step.key and link.first in self.put:
                end = self.put[link.first].end
                ready = max(ready, end + self.wait(link.least, end))
        return next((put.end for put in self.ways_of[step.key] if put.start >= ready), FAR)

    def run(self, k: int = 0) -> Worth | None:
        """Try everything from the k-th of the queue on; the best there is."""
        self.tried += 1
        worth = self.worth(k)
        if self.best is not None and worth >= self.best:
            return self.best
        if k == len(self.queue):
            self.best = worth
            self.plan = dict(self.put)
        elif isinstance(step := self.queue[k], Step):
            for put in self.ways_of[step.key]:
                self.try_at(put, k)
        else:
            self.window(step, k)
        return self.best

    @cached_property
    def ways_of(self) -> dict[str, list[Put]]:
        """The ways of every step and scuff."""
        steps = [step for step in self.problem.steps if is_open(step)]
        steps += [link.scuff for link in self.problem.links if link.scuff is not None]
        return {step.key: self.ways(step) for step in steps}

    def try_at(self, put: Put, k: int) -> None:
        """Put a step, try the rest of the queue, take it away."""
        if self.may(put):
            self.put[put.step.key] = put
            self.run(k + 1)
            del self.put[put.step.key]

    def in_time(self, link: Link) -> bool:
        """Whether the second step begins before its window closes."""
        end = self.put[link.first].end
        if isinstance(link.most, int):
            return self.put[link.then].start <= end + link.most // self.problem.slot_minutes
        return link.most is None or self.put[link.then].start <= end + self.wait(link.most, end)

    def order_kept(self, link: Link) -> bool:
        """Whether the second step waits for the first, and a scuff, if there is one, lies between."""
        first, then = self.put[link.first], self.put[link.then]
        ready = first.end + self.wait(link.least, first.end)
        scuff = None if link.scuff is None else self.put.get(link.scuff.key)
        return ready <= then.start if scuff is None else ready <= scuff.start and scuff.end <= then.start

    def window(self, link: Link, k: int) -> None:
        """Go on if the window is kept; if it is not, with a scuff, or with one missed window more where that may be."""
        first, then = self.put[link.first], self.put[link.then]
        if self.in_time(link):
            self.run(k + 1)
        elif link.scuff is not None:
            for put in self.ways_of[link.scuff.key]:
                if first.end + self.wait(link.least, first.end) <= put.start and put.end <= then.start:
                    self.try_at(put, k)
        elif not is_open(first.step):
            self.missed += 1
            self.run(k + 1)
            self.missed -= 1


def best_of_all(problem: Problem) -> Worth:
    """The least windows missed, weighted lateness and finishing times [slots] that any plan has."""
    best = Trial(problem).run()
    assert best is not None, "a tiny shop has a plan"
    return best


def as_plan(problem: Problem, puts: Mapping[str, Put]) -> Plan:
    """Steps put on a trial plan as the planner would tell them."""
    slot = timedelta(minutes=problem.slot_minutes)
    steps = {}
    for key, put in puts.items():
        edges = sorted(
            {k for k in put.at_work if k - 1 not in put.at_work}
            | {k + 1 for k in put.at_work if k + 1 not in put.at_work}
        )
        blocks = tuple((MONDAY + a * slot, MONDAY + b * slot) for a, b in zip(edges[::2], edges[1::2], strict=True))
        done = put.step.done is not None
        steps[key] = Planned(
            key,
            blocks[0][0],
            blocks[-1][1],
            blocks,
            WHY,
            done=done,
            running=not done and not is_open(put.step),
            people=tuple(sorted(put.crew)),
        )
    plan = Plan("first", steps, (), 0, 0, 0, problem.now)
    trial = Trial(problem)
    trial.put = dict(puts)
    late = [link for link in problem.links if not trial.in_time(link)]
    return told(
        problem,
        replace(
            plan,
            scuffed=tuple(Scuffed(link.first, link.then, link.scuff.key, "Late.") for link in late if link.scuff),
            missed_windows=tuple(MissedWindow(link.then, "Late.", link.first) for link in late if not link.scuff),
        ),
    )


def worth_of(problem: Problem, plan: Plan) -> Worth:
    """The same of a plan."""
    slot = timedelta(minutes=problem.slot_minutes)
    ends: dict[str, datetime] = {}
    for step in problem.steps:
        ends[step.piece] = max(plan.steps[step.key].end, ends.get(step.piece, plan.steps[step.key].end))
    late = sum(promise.weight * max(0, (ends[promise.piece] - promise.by) // slot) for promise in problem.promises)
    pieces = {step.piece for step in problem.steps if is_open(step)}
    return len(plan.missed_windows), late, sum((ends[piece] - problem.now) // slot for piece in pieces)
