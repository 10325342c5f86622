"""The problem in whole slots, as the greedy planner and the solver read it.

Slot 0 holds `now`; a time in the past has a negative slot. A step that takes `slots` starts at slot s and ends at slot
s + slots + gap, where `gap` is the closed time it sits through (always 0 unless it may be split).
All arithmetic on times is done in UTC, so that a night with a change of the clock keeps its true length.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import cached_property

from tallboy.planner.network import ByHour, Link, Problem, Span, Step, Wait

HOUR = timedelta(hours=1)
Slots = tuple[int, int]
"""From a slot up to, not including, another."""


@dataclass(frozen=True)
class Clock:
    """Turns times into slots and back."""

    origin: datetime
    slot: timedelta
    tz_like: datetime

    def floor(self, time: datetime) -> int:
        """The slot that holds `time`."""
        return (time.astimezone(UTC) - self.origin) // self.slot

    def ceil(self, time: datetime) -> int:
        """The first slot that begins at or after `time`."""
        return -((self.origin - time.astimezone(UTC)) // self.slot)

    def length(self, minutes: int) -> int:
        """Slots that `minutes` [min] fill, the last one perhaps in part."""
        return -(-timedelta(minutes=minutes) // self.slot)

    def time(self, slot: int) -> datetime:
        """When `slot` begins, in the time zone of the problem's now."""
        return (self.origin + slot * self.slot).astimezone(self.tz_like.tzinfo)

    def minutes(self, slots: float) -> float:
        """Length of `slots` [min]."""
        return slots * self.slot.total_seconds() / 60


def clock_of(problem: Problem) -> Clock:
    """The clock whose slot 0 holds the problem's now, on whole slots of the day."""
    slot = timedelta(minutes=problem.slot_minutes)
    epoch = datetime(2000, 1, 1, tzinfo=UTC)
    now = problem.now.astimezone(UTC)
    return Clock(epoch + ((now - epoch) // slot) * slot, slot, problem.now)


def wait_minutes(wait: Wait, end: datetime) -> int:
    """The wait [min] that follows a step which ends at `end`."""
    if not isinstance(wait, ByHour):
        return wait.minutes
    hour = (end.astimezone(UTC) - wait.start.astimezone(UTC)) // HOUR
    return wait.minutes[min(max(hour, 0), len(wait.minutes) - 1)]


@dataclass(frozen=True, eq=False)
class WaitTable:
    """A wait in slots by the slot in which the step before it ends: `slots[k]` holds from `breaks[k]` on."""

    breaks: tuple[int, ...]
    slots: tuple[int, ...]

    def at(self, end: int) -> int:
        """The wait after an end at slot `end`."""
        return self.slots[max(0, bisect_right(self.breaks, end) - 1)]

    @cached_property
    def shortest(self) -> int:
        """The shortest wait of all."""
        return min(self.slots)

    @cached_property
    def longest(self) -> int:
        """The longest wait of all."""
        return max(self.slots)

    def next_break(self, end: int) -> int | None:
        """The first slot after `end` where another wait holds."""
        k = bisect_right(self.breaks, end)
        return self.breaks[k] if k < len(self.breaks) else None


NO_WAIT = WaitTable((0,), (0,))


def wait_table(wait: Wait, clock: Clock, *, latest: bool = False) -> WaitTable:
    """`wait` in slots, with equal neighbours merged; rounded up, or down when it is a latest time."""
    if not isinstance(wait, ByHour):
        return WaitTable((0,), (_rounded(wait.minutes, clock, latest=latest),))
    breaks: list[int] = []
    slots: list[int] = []
    for hour, minutes in enumerate(wait.minutes):
        length = _rounded(minutes, clock, latest=latest)
        if not slots or slots[-1] != length:
            breaks.append(clock.ceil(wait.start.astimezone(UTC) + hour * HOUR))
            slots.append(length)
    return WaitTable(tuple(breaks), tuple(slots))


def _rounded(minutes: int, clock: Clock, *, latest: bool) -> int:
    return timedelta(minutes=minutes) // clock.slot if latest else clock.length(minutes)


@dataclass(frozen=True)
class Window:
    """Starts from `lo` to `hi` are within hours, and sit through `gap` slots of closed time."""

    lo: int
    hi: int
    gap: int


class Windows(tuple[Window, ...]):
    """Windows in rising order, quick to look into."""

    @cached_property
    def los(self) -> tuple[int, ...]:
        """The first start of each."""
        return tuple(window.lo for window in self)

    def gap(self, start: int) -> int | None:
        """Closed time inside a step that starts at `start`; None when that start is in none of the windows."""
        k = bisect_right(self.los, start)
        for window in self[max(0, k - 2) : k]:
            if window.lo <= start <= window.hi:
                return window.gap
        return None

    def after(self, start: int) -> int | None:
        """The first start of the next window that begins after `start`."""
        k = bisect_right(self.los, start)
        return self.los[k] if k < len(self) else None

    def before(self, start: int) -> int | None:
        """The last start before `start`; None when there is none."""
        k = bisect_left(self.los, start)
        return max((min(window.hi, start - 1) for window in self[max(0, k - 2) : k]), default=None)


@dataclass(frozen=True)
class Team:
    """People who may stand in for each other in every step: the same hours, the same skills."""

    people: tuple[str, ...]
    skills: frozenset[str]
    spans: tuple[Slots, ...]


@dataclass(frozen=True, eq=False)
class Way:
    """One crew that can do a step: how many of which teams, and the starts that their hours allow.

    `spans` are the crew's common hours in the step's place, `windows` the starts within them in rising order. A noisy step has
    `loud` too: the same without regard to quiet hours. `starts` are the windows in which the air suits it.
    """

    crew: tuple[tuple[int, int], ...]
    spans: tuple[Slots, ...]
    windows: Windows
    loud: Windows
    starts: Windows

    def gap(self, start: int) -> int:
        """Closed time inside the step if it starts at `start` (outside working hours: none)."""
        gap = self.windows.gap(start)
        if gap is None and self.loud is not self.windows:
            gap = self.loud.gap(start)
        return gap or 0


@dataclass(frozen=True)
class Holding:
    """A layer or a resource that a step keeps from its start until `hold` after its end; `amount` of it."""

    of: int
    hold: WaitTable
    amount: int = 1


@dataclass(frozen=True)
class Layer:
    """What must not meet: no step that shuns the layer is done while another holds it. `rule` is dust, vapour or fire."""

    rule: str
    where: str


@dataclass(frozen=True)
class Fact:
    """A step that is done or has begun: its times stand.

    `holds` and `uses` are the slots from which what it keeps is free again, in the order of the task's own.
    """

    start: datetime
    end: datetime
    blocks: tuple[Span, ...]
    running: bool
    first: int
    last: int
    holds: tuple[int, ...] = ()
    uses: tuple[int, ...] = ()


@dataclass(frozen=True, eq=False)
class Task:
    """A step in slots.

    `not_before` is its earliest slot by date, `delivered` by what it awaits; `fit` the spans in which the air suits it, in
    which it lies until `fit_after` slots after its end; `holds` and `shuns` its layers, `uses` its resources.
    """

    step: Step
    index: int
    slots: int
    not_before: int | None
    delivered: int | None
    ways: tuple[Way, ...]
    fit: tuple[Slots, ...] | None
    fit_after: int
    fact: Fact | None
    holds: tuple[Holding, ...] = ()
    shuns: tuple[int, ...] = ()
    uses: tuple[Holding, ...] = ()

    @property
    def earliest(self) -> int:
        """The slot before which neither its date nor its deliveries let it start; 0 when they say nothing."""
        return max(self.not_before or 0, self.delivered or 0)


@dataclass(frozen=True, eq=False)
class Lag:
    """A link whose second step is still to be planned.

    `ready` and `last` are set when the first step is done or has begun: `then` starts at slot `ready` at the earliest and,
    if the link has a latest time, at slot `last` at the latest. `scuff` is the task that makes good a missed window.
    """

    link: Link
    first: int
    then: int
    wait: WaitTable
    most: WaitTable | None
    ready: int | None = None
    last: int | None = None
    scuff: int | None = None


@dataclass(frozen=True, eq=False)
class Grid:
    """The checked, frozen problem in slots. `order` names every step after all it follows.

    `busy` are the hands that steps that have begun keep (from, to, team, how many), `begun` their crews.
    `tasks` are the steps of the problem and, behind them, from `scuffs` on, the scuffs of its links, which are planned only where a
    window is missed.
    """

    problem: Problem
    clock: Clock
    first_slot: int
    horizon: int
    spans: tuple[Slots, ...]
    teams: tuple[Team, ...]
    layers: tuple[Layer, ...]
    rooms: tuple[int, ...]
    tasks: tuple[Task, ...]
    scuffs: int
    lags: tuple[Lag, ...]
    into: tuple[tuple[Lag, ...], ...]
    out: tuple[tuple[Lag, ...], ...]
    order: tuple[int, ...]
    busy: tuple[tuple[int, int, int, int], ...]
    begun: Mapping[int, tuple[tuple[int, int], ...]]
    due: Mapping[str, tuple[int, int]]
    previous: Mapping[int, int]
    open_tasks: tuple[Task, ...] = field(default=())

    def is_scuff(self, index: int) -> bool:
        """Whether a task is planned only to make good a missed window."""
        return index >= self.scuffs

    @cached_property
    def scuffed(self) -> Mapping[int, Lag]:
        """The link whose missed window each scuff makes good."""
        return {lag.scuff: lag for lag in self.lags if lag.scuff is not None}

    @cached_property
    def holders(self) -> tuple[tuple[Task, ...], ...]:
        """The steps that hold each layer."""
        return tuple(
            tuple(task for task in self.tasks if any(holding.of == layer for holding in task.holds))
            for layer in range(len(self.layers))
        )

    @cached_property
    def shunners(self) -> tuple[tuple[Task, ...], ...]:
        """The steps that shun each layer."""
        return tuple(tuple(task for task in self.tasks if layer in task.shuns) for layer in range(len(self.layers)))

    @cached_property
    def users(self) -> tuple[tuple[Task, ...], ...]:
        """The steps that use each resource."""
        return tuple(
            tuple(task for task in self.tasks if any(holding.of == room and holding.amount for holding in task.uses))
            for room in range(len(self.rooms))
        )
