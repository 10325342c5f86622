"""From a problem and its plan to the course of work that many futures run along.

What the plan puts one after another stays so: a person's steps, what takes what another gave back, what dust, vapour and fire
keep apart. A step that the plan holds back on purpose, so that a window stays open or a wait stays short, is held back until then.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

import numpy as np

from tallboy.errors import BadInput
from tallboy.planner.chance.hands import crews
from tallboy.planner.chance.held import held_back
from tallboy.planner.chance.hours import (
    Starts,
    Stretches,
    cut_hours,
    minute_of,
    prolonged,
    starts_in,
    stretches,
)
from tallboy.planner.chance.parts import Act, After, Closing, Column, Course, Table, Window
from tallboy.planner.chance.uses import Uses
from tallboy.planner.network import ByHour, Fixed, Link, Plan, Planned, Problem, Step, Wait
from tallboy.planner.slots.grid import Clock, clock_of
from tallboy.planner.slots.layers import Layers
from tallboy.planner.slots.ways import common, merged, people_of, shut_slots, slot_spans, suited, windows_in, without

Spans = tuple[tuple[int, int], ...]


def course_of(problem: Problem, plan: Plan) -> Course:
    """The course of work of a plan that was made for the problem. Raises BadInput for a plan of something else."""
    known = {step.key for step in problem.steps} | {link.scuff.key for link in problem.links if link.scuff is not None}
    planned = {*plan.steps, *(one.step for one in plan.blocked)}
    if stray := sorted((planned - known) | ({step.key for step in problem.steps} - planned)):
        raise BadInput(
            f"The plan is not one of this problem: {', '.join(stray[:3])} is in one of them only.",
            "Plan again, and ask about that plan.",
        )
    return held_back(_Maker(prolonged(problem), plan).course(), plan)


@dataclass
class _Maker:
    """Makes the acts of one plan, with what they share worked out once."""

    problem: Problem
    plan: Plan
    clock: Clock = field(init=False)
    columns: list[Column] = field(default_factory=list)
    windows: list[Window] = field(default_factory=list)
    _marks: dict[tuple[str, object], int] = field(default_factory=dict)
    _shared: dict[str, int] = field(default_factory=dict)
    _hours: dict[tuple[tuple[str, ...], str, bool], Spans] = field(default_factory=dict)
    _starts: dict[tuple[int, int, int], Starts] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.clock = clock_of(self.problem)
        self.slot = self.problem.slot_minutes
        self.now = self.clock.ceil(self.problem.now)
        self.links = tuple(_planned_links(self.problem, self.plan))
        self.into = _by_key((link.then, link) for link in self.links)
        self.out = _by_key((link.first, link) for link in self.links)
        scuffs = [link.scuff for link in self.problem.links if link.scuff is not None]
        self.steps = {step.key: step for step in (*scuffs, *self.problem.steps) if step.key in self.plan.steps}
        self.layers = Layers(self.problem, self.clock, tuple(self.steps.values()))
        self.crews = crews(self.problem, self.plan, self.steps)
        self.working = slot_spans(self.problem.working, self.clock, self.now)
        self.order = sorted(self.steps.values(), key=self._place_in_order)
        self.at = {step.key: k for k, step in enumerate(self.order)}
        self.waits = {id(link): self._wait_column(link) for link in self.links}
        self.uses = Uses(self.clock, self.slot, self.order, self.plan, self.problem.resources)

    def _place_in_order(self, step: Step) -> tuple[bool, float]:
        """What is done or has begun first, then as the plan begins it."""
        planned = self.plan.steps[step.key]
        return not (planned.done or planned.running), minute_of(self.clock, planned.start)

    def course(self) -> Course:
        """All acts in the order of the plan."""
        acts = tuple(self._act(step) for step in self.order)
        pieces = tuple(dict.fromkeys(step.piece for step in self.order))
        return Course(acts, tuple(self.columns), tuple(self.windows), len(self._marks), self.clock, pieces)

    def mark(self, kind: str, what: object) -> int:
        """The number of a moment that acts tell each other."""
        return self._marks.setdefault((kind, what), len(self._marks))

    def _act(self, step: Step) -> Act:
        planned = self.plan.steps[step.key]
        fact = planned.done or planned.running
        tells = tuple(self._tells(step, float(self.slot) if fact else 0.0))
        act = Act(step.key, step.piece, tells=tells)
        if planned.done:
            begun, ended = (minute_of(self.clock, time) for time in (planned.start, planned.end))
            return replace(act, begun=begun, ended=ended)
        sigma = math.sqrt(math.log1p((step.spread / step.minutes) ** 2))
        act = replace(act, label=float(step.minutes), sigma=sigma, column=self._work_column(step, sigma))
        return self._running(act, step, planned) if planned.running else self._coming(act, step)

    def _work_column(self, step: Step, sigma: float) -> int:
        """The draw of how long a step's work takes; without a spread none."""
        if not sigma:
            return -1
        self.columns.append(Column("work", step.title, (step.key,), sigma))
        return len(self.columns) - 1

    def _running(self, act: Act, step: Step, planned: Planned) -> Act:
        """A step that has begun goes on when the plan has it go on; what was worked of it counts."""
        ahead, now = self.now * self.slot, minute_of(self.clock, self.problem.now)
        blocks = [tuple(minute_of(self.clock, time) for time in block) for block in planned.blocks]
        begin = min(max(a, ahead) for a, b in blocks if b > ahead)
        hours = stretches((minute_of(self.clock, a), minute_of(self.clock, b)) for a, b in merged(self.problem.working))
        return replace(
            act,
            begun=blocks[0][0],
            earliest=begin,
            minutes=sum(b - max(a, ahead) for a, b in blocks if b > ahead),
            spent=sum(max(0.0, min(b, now) - a) for a, b in blocks),
            hours=hours if step.split and hours.holds(begin) else None,
        )

    def _coming(self, act: Act, step: Step) -> Act:
        """A step that is still to begin."""
        slots = self.clock.length(step.minutes)
        chunk = min(self.clock.length(step.least_chunk), slots)
        spans = self._common_hours(step)
        return replace(
            act,
            earliest=float(self.slot * max(self.now, *self._dates(step))),
            minutes=float(slots * self.slot),
            reads=tuple(dict.fromkeys(self._reads(step))),
            starts=self._starts_of(step, spans, slots, chunk),
            hours=self._cut(spans, chunk) if step.split else None,
            closings=tuple(self._closings(step)),
        )

    def _dates(self, step: Step) -> list[int]:
        """The slots before which its own date and its deliveries do not let it start."""
        times = [one.at for one in step.awaits] + ([step.not_before] if step.not_before else [])
        return [self.now, *(self.clock.ceil(time) for time in times)]

    def _common_hours(self, step: Step) -> Spans:
        """The hours of the crew that the plan gives a step, in its place, without quiet hours if it is noisy."""
        asked = (self.crews[step.key], step.place, step.noisy)
        if asked not in self._hours:
            spans = self._hours_of_all(self.crews[step.key])
            place = next((one for one in self.problem.places if one.key == step.place), None)
            if place is not None and place.hours is not None:
                spans = common(spans, slot_spans(place.hours, self.clock, self.now))
            quiet = shut_slots(self.problem.quiet, self.clock, self.now)
            self._hours[asked] = without(spans, quiet) if step.noisy else spans
        return self._hours[asked]

    def _hours_of_all(self, crew: tuple[str, ...]) -> Spans:
        own = {person.key: person.hours for person in people_of(self.problem)}
        found = [self.working if own[key] is None else slot_spans(own[key] or (), self.clock, self.now) for key in crew]
        spans = found[0] if found else self.working
        for other in found[1:]:
            spans = common(spans, other)
        return spans

    def _starts_of(self, step: Step, spans: Spans, slots: int, chunk: int) -> Starts:
        if step.fit is not None:
            fit = slot_spans(step.fit, self.clock, self.now)
            windows = windows_in(spans, slots, chunk, step.split)
            return starts_in(suited(windows, slots, fit, self.clock.length(step.fit_minutes)), self.slot)
        # By identity: hours are kept in `_hours`.
        asked = (id(spans), slots, chunk if step.split else 0)
        if asked not in self._starts:
            self._starts[asked] = starts_in(windows_in(spans, slots, chunk, step.split), self.slot)
        return self._starts[asked]

    def _cut(self, spans: Spans, chunk: int) -> Stretches:
        return cut_hours(spans, self.slot, chunk)

    def _reads(self, step: Step) -> Iterator[int]:
        """What must be over before a step starts."""
        yield from (self.mark("link", id(link)) for link in self.into.get(step.key, ()))
        yield from (self.mark("person", key) for key in self.crews[step.key])
        yield from (self.mark("held", layer) for layer in self.layers.shuns(step))
        yield from (self.mark("shunned", layer) for layer, _ in self.layers.held(step))
        yield from (self.mark("use", what) for what in self.uses.before[step.key])

    def _tells(self, step: Step, whole: float) -> Iterator[After]:
        """What follows from the end of a step."""
        yield from (After(self.mark("person", key), whole=whole) for key in self.crews[step.key])
        yield from (After(self.mark("shunned", layer), whole=whole) for layer in self.layers.shuns(step))
        for layer, wait in self.layers.held(step):
            dust = self.layers.found[layer].rule == "dust"
            yield self.after(step, self.mark("held", layer), wait, whole=whole, drawn=dust)
        for number, use in enumerate(step.uses):
            yield self.after(step, self.mark("use", (step.key, number)), use.hold, whole=whole)
        for link in self.out.get(step.key, ()):
            until = minute_of(self.clock, self.plan.steps[link.then].start)
            yield After(self.mark("link", id(link)), self.table(link.least, whole), *self.waits[id(link)], whole, until)

    def after(self, step: Step, into: int, wait: Wait, *, whole: float = 0.0, drawn: bool = True) -> After:
        """A wait of the step itself: long or short with the link out of it that has the same wait, else the least sure one."""
        out = self.out.get(step.key, ()) if drawn else ()
        like = max(out, key=lambda link: (link.spread > 0, link.least == wait, link.spread), default=None)
        return After(into, self.table(wait, whole), *(self.waits[id(like)] if like else (-1, 0.0)), whole)

    def table(self, wait: Wait, whole: float = 0.0, *, latest: bool = False) -> Table:
        """A wait in minutes, in whole slots like the plan's; after a fact its sum is."""
        start = minute_of(self.clock, wait.start) if isinstance(wait, ByHour) else 0.0
        minutes = np.array(wait.minutes if isinstance(wait, ByHour) else (wait.minutes,), dtype=np.float64)
        slots = np.floor(minutes / self.slot) if latest else np.ceil(minutes / self.slot)
        return Table(start, minutes if whole else slots * self.slot)

    def _wait_column(self, link: Link) -> tuple[int, float]:
        """Which draw makes a wait long or short, and by how much; waits of one word have one draw."""
        if link.spread <= 0:
            return -1, 0.0
        if not link.shared or link.shared not in self._shared:
            self.columns.append(Column("wait", link.shared, (), 0.0))
            self._shared[link.shared or f"\0{len(self.columns)}"] = len(self.columns) - 1
        number = self._shared[link.shared] if link.shared else len(self.columns) - 1
        old = self.columns[number]
        steps = tuple(dict.fromkeys((*old.steps, link.first)))
        self.columns[number] = replace(old, steps=steps, spread=max(old.spread, link.spread))
        return number, link.spread

    def _closings(self, step: Step) -> Iterator[Closing]:
        """The windows that a step may miss; not those that the plan has missed already, or makes good by itself."""
        given_up = {(one.first, one.step) for one in self.plan.missed_windows}
        given_up |= {(one.first, one.step) for one in self.plan.scuffed}
        for link in self.into.get(step.key, ()):
            if link.most is None or (link.first, link.then) in given_up:
                continue
            fact = self.plan.steps[link.first].done or self.plan.steps[link.first].running
            whole = float(self.slot) if fact else 0.0
            most = self.table(Fixed(link.most) if isinstance(link.most, int) else link.most, whole, latest=True)
            scuff = self.clock.length(link.scuff.minutes) * self.slot if link.scuff is not None else 0
            self.windows.append(Window(link.first, link.then, link.scuff.key if link.scuff else ""))
            least = self.table(link.least, whole)
            number = len(self.windows) - 1
            yield Closing(number, self.at[link.first], most, least, float(scuff), *self.waits[id(link)])


def _by_key(pairs: Iterable[tuple[str, Link]]) -> dict[str, list[Link]]:
    found: dict[str, list[Link]] = {}
    for key, link in pairs:
        found.setdefault(key, []).append(link)
    return found


def _planned_links(problem: Problem, plan: Plan) -> Iterable[Link]:
    """The links into steps still to begin; where a scuff is planned, to the scuff and on from there."""
    scuffs = {(one.first, one.step) for one in plan.scuffed}
    for link in problem.links:
        first, then = plan.steps.get(link.first), plan.steps.get(link.then)
        if first is None or then is None or then.done or then.running:
            continue
        if link.scuff is not None and (link.first, link.then) in scuffs:
            yield replace(link, then=link.scuff.key, most=None, scuff=None)
            yield Link(link.scuff.key, link.then)
        else:
            yield link
