"""How much later a step may begin: before anything after it has to move, and before a promise suffers.

The order of the plan is kept: every step still comes after those it comes after now, with the same people, and a window closes when it
closes now. A solver may find more room by changing the order; this much there is for certain.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from tallboy.planner.network import ByHour, Link, Plan, Planned, Problem, Span, Step
from tallboy.planner.slots.grid import Clock, WaitTable, Window, clock_of, wait_minutes, wait_table
from tallboy.planner.slots.layers import Layers
from tallboy.planner.slots.ways import Spans, common, shut_slots, slot_spans, suited, windows_in, without
from tallboy.planner.why.arcs import Arc, arcs, steps_of

NEVER = 1 << 40


@dataclass(frozen=True)
class Room:
    """Latest starts of a step; None where there is no such limit.

    Begun by `free_until`, nothing that is planned after it has to move. Begun by `spare_until`, what comes after it can follow late
    enough that no promise is finished later than planned and than promised. `window_closes` is when the window behind it
    closes; neither of the others is later.
    """

    free_until: datetime | None
    spare_until: datetime | None
    window_closes: datetime | None


NO_LIMIT = Room(None, None, None)


def rooms(problem: Problem, plan: Plan) -> dict[str, Room]:
    """The room of every step that is neither done nor begun.

    Goes through the plan backwards: a step must end early enough for each that has to come after it, once where that one is planned
    (free), once where that one may be at the latest (spare).

    Parameters: problem; plan, made for it and keeping its rules.
    Returns: latest starts by the key of the step. They lie on slots, within the hours of the step's people and place, in air that
    suits it.
    Source: own derivation, the backward pass of the critical path method with calendars; see docs/planner.md.
    """
    return _Backwards(problem, plan).rooms()


class _Backwards:
    """One backward pass over a plan."""

    def __init__(self, problem: Problem, plan: Plan) -> None:
        self.problem, self.plan, self.clock = problem, plan, clock_of(problem)
        self.steps = steps_of(problem, plan)
        self.starts = _Starts(problem, self.clock)
        self.layers = Layers(problem, self.clock, list(self.steps.values()))
        self.out: dict[str, list[Arc]] = {}
        for arc in arcs(problem, plan, self.layers):
            self.out.setdefault(arc.first, []).append(arc)
        self.closes = _window_ends(problem, plan, self.clock)
        self.narrowing = _narrowing(problem, plan, self.clock)
        self.due = _due(problem, plan, self.clock)

    def rooms(self) -> dict[str, Room]:
        """Every step after all that come after it."""
        free, spare = _Seen(), _Seen()
        found = {}
        for planned in sorted(self.plan.steps.values(), key=lambda one: one.start, reverse=True):
            if planned.done or planned.running or planned.key not in self.steps:
                continue
            freely = self._latest(planned, free)
            at_most = self._latest(planned, spare)
            free.add(self.steps[planned.key], self.clock.floor(planned.start), self.layers)
            spare.add(self.steps[planned.key], at_most, self.layers)
            closes = self.closes.get(planned.key)
            found[planned.key] = Room(self._time(freely), self._time(at_most), self._time(closes))
        return found

    def _time(self, slot: int | None) -> datetime | None:
        return None if slot is None or slot >= NEVER else self.clock.time(slot)

    def _latest(self, planned: Planned, seen: _Seen) -> int:
        """The latest start, with those after it at the slots that were seen."""
        end = min(self._last_end(planned, seen), self._last_end_by_layers(planned, seen))
        start = self.closes.get(planned.key, NEVER)
        if end >= NEVER and start >= NEVER:
            return NEVER
        latest = self.starts.latest(self.steps[planned.key], planned.people, end, start)
        return max(self.clock.floor(planned.start), latest)

    def _last_end(self, planned: Planned, seen: _Seen) -> int:
        """Up to which slot the step may end for its promise and for those that follow it."""
        end = self.clock.ceil(planned.end)
        latest = max(end, self.due.get(self.steps[planned.key].piece, NEVER))
        for arc in self.out.get(planned.key, ()):
            latest = min(latest, _last_end(end, arc.wait, seen.starts.get(arc.then, NEVER)))
        for then, most in self.narrowing.get(planned.key, ()):
            latest = min(latest, _still_open(end, most, seen.starts.get(then, 0)))
        return latest

    def _last_end_by_layers(self, planned: Planned, seen: _Seen) -> int:
        """Up to which slot the step may end for what comes after it in the same air and dust."""
        end, latest = self.clock.ceil(planned.end), NEVER
        for held in self.layers.holds(self.steps[planned.key]):
            latest = min(latest, _last_end(end, held.hold, seen.shunning.get(held.of, NEVER)))
        for layer in self.layers.shuns(self.steps[planned.key]):
            latest = min(latest, seen.holding.get(layer, NEVER))
        return max(end, latest)


class _Seen:
    """Where the steps already gone through start, and the first of those that hold or shun each layer."""

    def __init__(self) -> None:
        self.starts: dict[str, int] = {}
        self.holding: dict[int, int] = {}
        self.shunning: dict[int, int] = {}

    def add(self, step: Step, start: int, layers: Layers) -> None:
        """A step starts at that slot."""
        self.starts[step.key] = start
        for held in layers.holds(step):
            self.holding[held.of] = min(start, self.holding.get(held.of, NEVER))
        for layer in layers.shuns(step):
            self.shunning[layer] = min(start, self.shunning.get(layer, NEVER))


class _Starts:
    """The starts that people, place, quiet and air leave a step. What many steps share is worked out once."""

    def __init__(self, problem: Problem, clock: Clock) -> None:
        self.clock, self.first = clock, clock.ceil(problem.now)
        self.people = {person.key: person for person in problem.people}
        self.places = {place.key: place for place in problem.places}
        self.working = slot_spans(problem.working, clock, self.first)
        self.quiet = shut_slots(problem.quiet, clock, self.first)
        self._hours: dict[tuple[tuple[str, ...], str, bool], Spans] = {}
        self._windows: dict[tuple[object, ...], tuple[Window, ...]] = {}
        self._fit: dict[int, Spans] = {}

    def latest(self, step: Step, crew: Sequence[str], end: int, start: int) -> int:
        """The latest start from which the step ends by `end` and starts by `start`; -1 when there is none."""
        slots = self.clock.length(step.minutes)
        windows = self._of(step, tuple(crew), slots)
        best = lowest = -1
        for window in reversed(windows[: bisect_right(windows, min(end, start), key=lambda one: one.lo)]):
            if window.hi < lowest:
                break
            latest = min(window.hi, end - slots - window.gap, start)
            if latest >= window.lo and latest > best:
                best, lowest = latest, window.lo
        return best

    def _of(self, step: Step, crew: tuple[str, ...], slots: int) -> tuple[Window, ...]:
        chunk = min(self.clock.length(step.least_chunk), slots) if step.split else 0
        after = self.clock.length(step.fit_minutes) if step.fit is not None else 0
        key = (crew, step.place, step.noisy, slots, chunk, id(step.fit), after)
        if key not in self._windows:
            windows = windows_in(self._hours_of(crew, step.place, step.noisy), slots, chunk, step.split)
            self._windows[key] = windows if step.fit is None else suited(windows, slots, self._fit_air(step.fit), after)
        return self._windows[key]

    def _fit_air(self, fit: tuple[Span, ...]) -> Spans:
        if id(fit) not in self._fit:
            self._fit[id(fit)] = slot_spans(fit, self.clock, self.first)
        return self._fit[id(fit)]

    def _hours_of(self, crew: tuple[str, ...], place: str, noisy: bool) -> Spans:
        key = (crew, place, noisy)
        if key not in self._hours:
            people = [self.people[one].hours for one in crew if one in self.people]
            found = self.places[place].hours if place in self.places else None
            spans = (
                self.working if None in people or not people else slot_spans(people[0] or (), self.clock, self.first)
            )
            for hours in (*people, found):
                spans = spans if hours is None else common(spans, slot_spans(hours, self.clock, self.first))
            self._hours[key] = without(spans, self.quiet) if noisy else spans
        return self._hours[key]


def _last_end(end: int, wait: WaitTable, start: int) -> int:
    """The latest end from which, and from every end since the planned one, the wait is over by slot `start`."""
    while True:
        slots, change = wait.at(end), wait.next_break(end)
        if end + slots > start:
            return end - 1
        if change is None or start - slots < change:
            return start - slots
        end = change


def _still_open(end: int, most: WaitTable, start: int) -> int:
    """The latest end from which, and from every end since the planned one, the window is still open at slot `start`."""
    while end + most.at(end) >= start:
        change = most.next_break(end)
        if change is None:
            return NEVER
        end = change
    return end - 1


def _window_ends(problem: Problem, plan: Plan, clock: Clock) -> dict[str, int]:
    """By which slot a step must start, so that no window behind it closes."""
    ends: dict[str, int] = {}
    for link in _windows(problem, plan):
        end = plan.steps[link.first].end
        closes = clock.floor(end.astimezone(UTC) + timedelta(minutes=_most(link, end)))
        ends[link.then] = min(closes, ends.get(link.then, closes))
    return ends


def _most(link: Link, end: datetime) -> int:
    """How long [min] after `end` the window of a link stays open."""
    assert link.most is not None
    return link.most if isinstance(link.most, int) else wait_minutes(link.most, end)


def _narrowing(problem: Problem, plan: Plan, clock: Clock) -> dict[str, list[tuple[str, WaitTable]]]:
    """For each step, the windows after it whose length depends on the hour at which it ends."""
    found: dict[str, list[tuple[str, WaitTable]]] = {}
    for link in _windows(problem, plan):
        if isinstance(link.most, ByHour) and not plan.steps[link.first].done:
            found.setdefault(link.first, []).append((link.then, wait_table(link.most, clock, latest=True)))
    return found


def _windows(problem: Problem, plan: Plan) -> Iterator[Link]:
    """Links with a latest time that the plan keeps: neither missed nor made good."""
    given_up = {(missed.first, missed.step) for missed in plan.missed_windows}
    given_up |= {(one.first, one.step) for one in plan.scuffed}
    for link in problem.links:
        planned = link.first in plan.steps and link.then in plan.steps
        if planned and link.most is not None and (link.first, link.then) not in given_up:
            yield link


def _due(problem: Problem, plan: Plan, clock: Clock) -> dict[str, int]:
    """Up to which slot the steps of a promised piece may end: as promised, or where the plan is late already, as planned."""
    finish = {kept.piece: kept.finish for kept in plan.promises}
    return {
        promise.piece: max(clock.floor(promise.by), clock.ceil(finish[promise.piece]))
        for promise in problem.promises
        if promise.piece in finish
    }
