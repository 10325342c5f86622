"""The problem in whole slots, as the greedy planner and the solver read it.

Slot 0 holds `now`; a time in the past has a negative slot. A step that takes `slots` starts at slot s and ends at slot
s + slots + gap, where `gap` is the closed time it sits through (always 0 unless it may be split).
All arithmetic on times is done in UTC, so that a night with a change of the clock keeps its true length.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from tallboy.planner.network import ByHour, Link, Problem, Span, Step, Wait

HOUR = timedelta(hours=1)


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


@dataclass(frozen=True)
class WaitTable:
    """A wait in slots by the slot in which the step before it ends: `slots[k]` holds from `breaks[k]` on."""

    breaks: tuple[int, ...]
    slots: tuple[int, ...]

    def at(self, end: int) -> int:
        """The wait after an end at slot `end`."""
        return self.slots[max(0, bisect_right(self.breaks, end) - 1)]

    def next_break(self, end: int) -> int | None:
        """The first slot after `end` where another wait holds."""
        k = bisect_right(self.breaks, end)
        return self.breaks[k] if k < len(self.breaks) else None


def wait_table(wait: Wait, clock: Clock) -> WaitTable:
    """`wait` in slots, with equal neighbours merged."""
    if not isinstance(wait, ByHour):
        return WaitTable((0,), (clock.length(wait.minutes),))
    breaks: list[int] = []
    slots: list[int] = []
    for hour, minutes in enumerate(wait.minutes):
        length = clock.length(minutes)
        if not slots or slots[-1] != length:
            breaks.append(clock.ceil(wait.start.astimezone(UTC) + hour * HOUR))
            slots.append(length)
    return WaitTable(tuple(breaks), tuple(slots))


@dataclass(frozen=True)
class Window:
    """Starts from `lo` to `hi` are within hours, and sit through `gap` slots of closed time."""

    lo: int
    hi: int
    gap: int


@dataclass(frozen=True)
class Fact:
    """A step that is done or has begun: its times stand. `dry` is the slot from which its place is dry again."""

    start: datetime
    end: datetime
    blocks: tuple[Span, ...]
    running: bool
    first: int
    last: int
    dry: int


@dataclass(frozen=True)
class Task:
    """A step in slots. `not_before` is its earliest slot, `windows` its starts within working hours in rising order."""

    step: Step
    index: int
    slots: int
    not_before: int | None
    wet: WaitTable | None
    windows: tuple[Window, ...]
    fact: Fact | None

    def gap(self, start: int) -> int | None:
        """Closed time inside the step if it starts at `start`; None when that start is outside working hours."""
        k = bisect_right(self.windows, start, key=lambda window: window.lo) - 1
        for window in self.windows[max(0, k - 1) : k + 1]:
            if window.lo <= start <= window.hi:
                return window.gap
        return None


@dataclass(frozen=True)
class Lag:
    """A link whose second step is still to be planned.

    `ready` and `last` are set when the first step is done or has begun: `then` starts at slot `ready` at the earliest and,
    if the link has a latest time, at slot `last` at the latest.
    """

    link: Link
    first: int
    then: int
    wait: WaitTable
    most: int | None
    ready: int | None = None
    last: int | None = None


@dataclass(frozen=True)
class Grid:
    """The checked, frozen problem in slots. `order` names every step after all it follows."""

    problem: Problem
    clock: Clock
    first_slot: int
    horizon: int
    spans: tuple[tuple[int, int], ...]
    tasks: tuple[Task, ...]
    lags: tuple[Lag, ...]
    into: tuple[tuple[Lag, ...], ...]
    out: tuple[tuple[Lag, ...], ...]
    order: tuple[int, ...]
    busy: tuple[tuple[int, int, int], ...]
    due: Mapping[str, tuple[int, int]]
    previous: Mapping[int, int]

    @property
    def open_tasks(self) -> tuple[Task, ...]:
        """The steps that are still to be planned."""
        return tuple(task for task in self.tasks if task.fact is None)
