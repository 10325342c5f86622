"""One future after another in plain Python: what `tallboy.planner.chance.chances` is held against, for its numbers and for its speed.

It goes by the rules in words (docs/planner.md, "How sure"), step by step and minute by minute, with lists and dates, and shares
no code with the planner. Slow on purpose.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from math import ceil, exp, floor, log, sqrt
from statistics import NormalDist

from tallboy.planner.network import ByHour, Fixed, Link, Plan, Problem, Span, Step, Wait

Stretch = tuple[float, float]
WEEKS = 13


@dataclass
class PlainShop:
    """A plan to be followed. Times are minutes from a whole slot at or before now."""

    problem: Problem
    plan: Plan
    floors: dict[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        slot = self.problem.slot_minutes
        now = self.problem.now.astimezone(UTC)
        whole = int((now - datetime(2000, 1, 1, tzinfo=UTC)).total_seconds() // 60 // slot) * slot
        self.origin = datetime(2000, 1, 1, tzinfo=UTC) + timedelta(minutes=whole)
        self.slot = slot
        self.now = self.up(self.minute(now))
        scuffs = {link.scuff.key: link.scuff for link in self.problem.links if link.scuff is not None}
        steps = {**scuffs, **{step.key: step for step in self.problem.steps}}
        self.steps = {key: steps[key] for key in self.plan.steps}
        self.order = sorted(steps, key=lambda key: list(steps).index(key))
        self.order = sorted((key for key in self.order if key in self.steps), key=self._turn)
        self.links = list(self._links())
        self.crews = self._crews()
        self.takes = self._takes()
        self.open = {key: self._hours(step) for key, step in self.steps.items() if not self.fact(key)}
        self.fit = {key: self.spans(step.fit) for key, step in self.steps.items() if step.fit is not None}
        as_planned = PlainFuture(self, {}, {})
        for key in self.order:
            as_planned.go(key)
            self._hold_back(key, as_planned)

    def _turn(self, key: str) -> tuple[bool, float]:
        planned = self.plan.steps[key]
        return (not self.fact(key), self.minute(planned.start))

    def minute(self, time: datetime) -> float:
        return (time.astimezone(UTC) - self.origin).total_seconds() / 60

    def up(self, minutes: float) -> float:
        """The whole slot at or after."""
        return ceil(minutes / self.slot - 1e-6) * self.slot

    def fact(self, key: str) -> bool:
        return self.plan.steps[key].done or self.plan.steps[key].running

    def _links(self) -> Iterator[Link]:
        scuffed = {(one.first, one.step) for one in self.plan.scuffed}
        for link in self.problem.links:
            if link.first not in self.steps or link.then not in self.steps or self.fact(link.then):
                continue
            if link.scuff is None or (link.first, link.then) not in scuffed:
                yield link
            else:
                yield Link(link.first, link.scuff.key, link.kind, link.least, None, "", None, link.spread, link.shared)
                yield Link(link.scuff.key, link.then)

    def _crews(self) -> dict[str, tuple[str, ...]]:
        """Who does what; where the plan names nobody, whoever was free last."""
        keys = [person.key for person in self.problem.people] or [str(k + 1) for k in range(self.problem.hands)]
        free = dict.fromkeys(keys, float("-inf"))
        found: dict[str, tuple[str, ...]] = {}
        for key in sorted(self.plan.steps, key=lambda key: self.minute(self.plan.steps[key].start)):
            planned, hands = self.plan.steps[key], self.steps[key].hands
            named = planned.people or (self.steps[key].people if planned.running else ())
            crew = tuple(one for one in named if one in free)
            if not planned.done and len(crew) < hands:
                begins = self.minute(planned.start)
                ready = sorted((one for one in keys if free[one] <= begins), key=lambda one: -free[one])
                crew = tuple([*ready, *sorted((o for o in keys if free[o] > begins), key=lambda o: free[o])][:hands])
            found[key] = crew
            if not planned.done:
                free |= dict.fromkeys(crew, self.minute(planned.end))
        return found

    def _takes(self) -> dict[str, list[tuple[str, int]]]:
        """Of each step the uses of others that must be given back before it."""
        found: dict[str, list[tuple[str, int]]] = {key: [] for key in self.order}
        for resource in self.problem.resources:
            free: list[list[object]] = [[float("-inf"), resource.amount, None]]
            for key in self.order:
                for number, use in enumerate(self.steps[key].uses):
                    if use.of != resource.key:
                        continue
                    left = use.amount
                    for row in sorted(free, key=lambda row: float(str(row[0]))):
                        since, there = float(str(row[0])), int(str(row[1]))
                        if self.fact(key) and since > self.minute(self.plan.steps[key].start):
                            break
                        taken = min(left, there)
                        left, row[1] = left - taken, there - taken
                        if taken and isinstance(row[2], tuple):
                            found[key].append(row[2])
                    end = self.minute(self.plan.steps[key].end)
                    free.append([self.up(end + self.wait(use.hold, end, key)), use.amount - left, (key, number)])
        return found

    def wait(self, wait: Wait, end: float, first: str) -> float:
        """A wait that begins at `end`: in whole slots, after a fact as it is."""
        minutes = wait.minutes if isinstance(wait, Fixed) else self.by_hour(wait, end)
        return float(minutes) if self.fact(first) else float(-(-minutes // self.slot) * self.slot)

    def by_hour(self, wait: ByHour, end: float) -> int:
        hour = floor((end - self.minute(wait.start)) / 60)
        return wait.minutes[min(max(hour, 0), len(wait.minutes) - 1)]

    def over(self, wait: Wait, end: float, first: str, times: float) -> float:
        """When a wait is over; after a fact on a whole slot."""
        over = end + self.wait(wait, end, first) * times
        return self.up(over) if self.fact(first) else over

    def spans(self, hours: tuple[Span, ...]) -> list[Stretch]:
        """Hours from now on in whole slots, the last week before the end of the shop's hours repeated behind them."""
        last = max(self.minute(end) for _, end in self.problem.working)
        rows = [(self.minute(a), self.minute(b)) for a, b in hours]
        week = [(max(a, last - 10080), min(b, last)) for a, b in rows if b > last - 10080 and a < last]
        rows += [(a + k * 10080, b + k * 10080) for k in range(1, WEEKS + 1) for a, b in week]
        found: list[Stretch] = []
        for a, b in sorted(rows):
            if found and a <= found[-1][1]:
                found[-1] = (found[-1][0], max(found[-1][1], b))
            else:
                found.append((a, b))
        slotted = [(max(self.up(a), self.now), floor(b / self.slot + 1e-6) * self.slot) for a, b in found]
        return [(a, b) for a, b in slotted if a < b]

    def _hours(self, step: Step) -> list[Stretch]:
        """The hours in which a step can be worked on."""
        people = {person.key: person.hours for person in self.problem.people}
        sets = [self.spans(people.get(key) or self.problem.working) for key in self.crews[step.key]]
        sets = sets or [self.spans(self.problem.working)]
        sets += [self.spans(p.hours) for p in self.problem.places if p.key == step.place and p.hours is not None]
        quiet = self.spans(self.problem.quiet) if step.noisy else []
        edges = sorted({edge for spans in [*sets, quiet] for span in spans for edge in span})
        found: list[Stretch] = []
        for a, b in itertools.pairwise(edges):
            inside = all(any(c <= a and b <= d for c, d in spans) for spans in sets)
            if inside and not any(c <= a and b <= d for c, d in quiet):
                if found and found[-1][1] == a:
                    found[-1] = (found[-1][0], b)
                else:
                    found.append((a, b))
        return found

    def room(self, step: Step) -> str:
        place = next((place for place in self.problem.places if place.key == step.place), None)
        return f"room {place.room}" if place is not None and place.room else f"place {step.place}"

    def closed_in(self, step: Step) -> bool:
        return step.solvent and not any(p.key == step.place and p.fresh_air for p in self.problem.places)

    def _hold_back(self, key: str, future: PlainFuture) -> None:
        """A step is kept until its planned start where an earlier one would close a window or make something late."""
        planned = self.plan.steps[key]
        early = future.start[key] < self.minute(planned.start)
        if not self.fact(key) and early and self._harmful(key, future.end[key], self.minute(planned.end)):
            self.floors[key] = self.minute(planned.start)
            future.go(key)

    def _harmful(self, key: str, end: float, planned: float) -> bool:
        step = self.steps[key]
        for link in (one for one in self.links if one.first == key):
            then = self.minute(self.plan.steps[link.then].start)
            if self.over(link.least, end, key, 1) > then:
                return True
            if self.open_window(link) and self.closes(link, end, 1) < then:
                return True
        waits = [step.wet, step.fumes, *(use.hold for use in step.uses)]
        return any(w is not None and self.over(w, end, key, 1) > self.over(w, planned, key, 1) for w in waits)

    def open_window(self, link: Link) -> bool:
        given_up = {(one.first, one.step) for one in self.plan.missed_windows}
        given_up |= {(one.first, one.step) for one in self.plan.scuffed}
        return link.most is not None and (link.first, link.then) not in given_up

    def closes(self, link: Link, end: float, times: float) -> float:
        most = link.most if isinstance(link.most, int) else self.by_hour(link.most, end) if link.most else 0
        whole = most if self.fact(link.first) else most // self.slot * self.slot
        return end + max(whole * min(times, 1), self.wait(link.least, end, link.first) * times)


@dataclass
class PlainFuture:
    """One future: `work` says how each step's time is drawn, `waits` how each link's, as standard normal numbers."""

    shop: PlainShop
    work: Mapping[str, float]
    waits: Mapping[int, float]
    start: dict[str, float] = field(default_factory=dict)
    end: dict[str, float] = field(default_factory=dict)
    missed: set[tuple[str, str]] = field(default_factory=set)

    def all(self) -> PlainFuture:
        for key in self.shop.order:
            self.go(key)
        return self

    def go(self, key: str) -> None:
        """The next step."""
        shop, step, planned = self.shop, self.shop.steps[key], self.shop.plan.steps[key]
        if planned.done:
            self.start[key], self.end[key] = shop.minute(planned.start), shop.minute(planned.end)
        elif planned.running:
            self._running(step)
        else:
            hours = shop.open[key]
            start = self._first(step, hours, max([self._earliest(step), *self._before(step)]))
            self.start[key] = start
            self.end[key] = self._end(step, hours, start, self._minutes(step, start))

    def _earliest(self, step: Step) -> float:
        dates = [one.at for one in step.awaits] + ([step.not_before] if step.not_before else [])
        return max(
            [self.shop.now, self.shop.floors.get(step.key, 0), *(self.shop.up(self.shop.minute(d)) for d in dates)]
        )

    def times(self, link: Link) -> float:
        number = next(k for k, one in enumerate(self.shop.links) if one is link)
        return exp(link.spread * self.waits.get(number, 0.0))

    def own_times(self, step: Step, wait: Wait) -> float:
        """How long or short a step's own wait is: as the link out of it with the same wait, else with the most spread."""
        best: Link | None = None
        for link in (one for one in self.shop.links if one.first == step.key):
            rank = (link.spread > 0, link.least == wait, link.spread)
            if best is None or rank > (best.spread > 0, best.least == wait, best.spread):
                best = link
        return self.times(best) if best is not None else 1.0

    def gone(self, key: str) -> float:
        return self.shop.up(self.end[key]) if self.shop.fact(key) else self.end[key]

    def _before(self, step: Step) -> Iterator[float]:
        """When all is over that the step must wait for."""
        shop = self.shop
        for link in shop.links:
            if link.then == step.key:
                yield shop.over(link.least, self.end[link.first], link.first, self.times(link))
        for key, number in shop.takes[step.key]:
            hold = shop.steps[key].uses[number].hold
            yield shop.over(hold, self.end[key], key, self.own_times(shop.steps[key], hold))
        for key in self.end:
            yield from self._apart(step, shop.steps[key])

    def _apart(self, step: Step, other: Step) -> Iterator[float]:
        """What keeps a step from being done together with one that the plan begins before it."""
        shop, end = self.shop, self.end[other.key]
        if set(shop.crews[step.key]) & set(shop.crews[other.key]):
            yield self.gone(other.key)
        if step.place == other.place and step.dusty and other.wet is not None:
            yield shop.over(other.wet, end, other.key, self.own_times(other, other.wet))
        if step.place == other.place and step.wet is not None and other.dusty:
            yield self.gone(other.key)
        if shop.room(step) == shop.room(other):
            vapour = (shop.closed_in(other) and step.hands) or (shop.closed_in(step) and other.hands)
            if vapour or ((step.solvent or step.fumes is not None) and other.ignition):
                yield self.gone(other.key)
            if step.ignition and (other.solvent or other.fumes is not None):
                yield shop.over(other.fumes or Fixed(0), end, other.key, 1.0)

    def _minutes(self, step: Step, start: float) -> float:
        minutes = float(-(-step.minutes // self.shop.slot) * self.shop.slot)
        if step.spread and step.key in self.work:
            sigma = sqrt(log(1 + (step.spread / step.minutes) ** 2))
            minutes *= exp(sigma * self.work[step.key] - sigma**2 / 2)
        for link in self.shop.links:
            if link.then == step.key and self.shop.open_window(link):
                late = start > self.shop.closes(link, self.end[link.first], self.times(link)) + 1e-6
                self.missed |= {(link.first, link.then)} if late else set()
                minutes += -(-link.scuff.minutes // self.shop.slot) * self.shop.slot if late and link.scuff else 0
        return minutes

    def _first(self, step: Step, hours: list[Stretch], ready: float) -> float:
        """The first moment, then the first whole slot, from which the planned length fits."""
        slot = self.shop.slot
        if self._fits(step, hours, ready):
            return ready
        moment = ceil(ready / slot) * slot
        while not self._fits(step, hours, moment):
            moment += slot
        return float(moment)

    def _fits(self, step: Step, hours: list[Stretch], start: float) -> bool:
        length = -(-step.minutes // self.shop.slot) * self.shop.slot
        chunk = min(-(-step.least_chunk // self.shop.slot) * self.shop.slot, length)
        inside = next(((a, b) for a, b in hours if a <= start <= b), None)
        if inside is None:
            return False
        end = start + length
        if end > inside[1]:
            first = inside[1] - start
            if not step.split or first < chunk:
                return False
            end, last = self._carried(hours, inside[1], length - first, chunk)
            if last < chunk:
                return False
        fit = self.shop.fit.get(step.key)
        after = -(-step.fit_minutes // self.shop.slot) * self.shop.slot
        return fit is None or any(a <= start and end + after <= b for a, b in fit)

    def _carried(self, hours: list[Stretch], since: float, rest: float, chunk: float) -> tuple[float, float]:
        """When the rest of a step that was cut is done, in stretches of at least a chunk, and how long its last part is."""
        for a, b in hours:
            if a < since or b - a < chunk:
                continue
            if rest <= b - a:
                return a + rest, rest
            rest -= b - a
        return float("inf"), rest

    def _end(self, step: Step, hours: list[Stretch], start: float, minutes: float) -> float:
        chunk = min(-(-step.least_chunk // self.shop.slot), -(-step.minutes // self.shop.slot)) * self.shop.slot
        inside = next(b for a, b in hours if a <= start <= b)
        if not step.split or start + minutes <= inside:
            return start + minutes
        return self._carried(hours, inside, minutes - (inside - start), chunk)[0]

    def _running(self, step: Step) -> None:
        """What has begun goes on; of all lengths it might have those longer than what was worked."""
        shop, planned = self.shop, self.shop.plan.steps[step.key]
        now = shop.minute(shop.problem.now)
        blocks = [(shop.minute(a), shop.minute(b)) for a, b in planned.blocks]
        begin = min(max(a, shop.now) for a, b in blocks if b > shop.now)
        rest = sum(b - max(a, shop.now) for a, b in blocks if b > shop.now)
        if step.spread and step.key in self.work:
            rest = self._left(step, sum(max(0.0, min(b, now) - a) for a, b in blocks))
        self.start[step.key] = blocks[0][0]
        stretches = sorted((shop.minute(a), shop.minute(b)) for a, b in shop.problem.working)
        hours = [(a, b) for a, b in stretches if b > begin]
        if not step.split or not hours or hours[0][0] > begin:
            self.end[step.key] = begin + rest
            return
        for a, b in hours:
            begin = max(a, begin)
            if rest <= b - begin:
                break
            rest -= b - begin
        self.end[step.key] = begin + rest

    def _left(self, step: Step, spent: float) -> float:
        sigma = sqrt(log(1 + (step.spread / step.minutes) ** 2))
        middle = log(step.minutes) - sigma**2 / 2
        normal = NormalDist()
        longer = 1.0 if spent <= 0 else 1 - normal.cdf((log(spent) - middle) / sigma)
        z = normal.inv_cdf(1 - (1 - normal.cdf(self.work[step.key])) * longer)
        return max(exp(middle + sigma * z) - spent, 0.0)
