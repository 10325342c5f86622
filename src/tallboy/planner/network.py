"""The planner's outward types: what is asked (Problem) and what is answered (Plan).

Build a `Problem` from steps, links, promises and working hours, hand it to `tallboy.planner.solve.solve`, read the `Plan`.
Every time is an aware datetime, every length of time is in minutes. The rules themselves are listed in docs/planner.md.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Literal

Span = tuple[datetime, datetime]
Status = Literal["optimal", "good", "first"]


@dataclass(frozen=True)
class Fixed:
    """A wait that is the same whenever it begins [min]."""

    minutes: int


@dataclass(frozen=True)
class ByHour:
    """A wait that depends on the hour at which the step before it ends.

    `minutes[k]` [min] holds for an end from `start` + k hours up to `start` + (k+1) hours. Before `start` the first value
    holds, past the end of the table the last.
    """

    start: datetime
    minutes: tuple[int, ...]


Wait = Fixed | ByHour


@dataclass(frozen=True)
class Step:
    """One thing to do.

    `minutes` hands-on time [min]; `hands` people busy with it; `split` it may be cut where the working hours are, into
    chunks of at least `least_chunk` [min]; `wet` how long after its end its place is wet; `started` when it was really begun;
    `done` when it was really begun and ended.
    """

    key: str
    piece: str
    title: str
    minutes: int
    hands: int = 1
    place: str = "bench"
    dusty: bool = False
    split: bool = False
    least_chunk: int = 30
    wet: Wait | None = None
    not_before: datetime | None = None
    started: datetime | None = None
    done: Span | None = None
    dust_free_note: str = ""


@dataclass(frozen=True)
class Link:
    """`then` starts at least `least` and at most `most` minutes after `first` has ended.

    `kind` is "order", "drying", "clamps", "soak", "cure" or a word of your own; `text` replaces the planner's words for the
    wait, e.g. "Waits for the knotting on the sides to dry" (the time is added).
    """

    first: str
    then: str
    kind: str = "order"
    least: Wait = Fixed(0)
    most: int | None = None
    text: str = ""


@dataclass(frozen=True)
class Promise:
    """The date given for a piece. Lateness counts `weight` times."""

    piece: str
    by: datetime
    weight: int = 1


@dataclass(frozen=True)
class Problem:
    """All that a plan depends on. `working` holds the open hours through the horizon, `previous` the starts people saw."""

    now: datetime
    steps: tuple[Step, ...]
    links: tuple[Link, ...]
    promises: tuple[Promise, ...]
    working: tuple[Span, ...]
    hands: int = 1
    previous: Mapping[str, datetime] = field(default_factory=dict)
    slot_minutes: int = 5


@dataclass(frozen=True)
class Reason:
    """Why a step is not earlier.

    `rule` is one of wait, hands, hours, dust, not before, order, begun, now, window, done. `also` names further rules that
    would hold the step in place even if `rule` did not; it is nearly always empty.
    """

    rule: str
    text: str
    until: datetime | None = None
    because: tuple[str, ...] = ()
    also: tuple[str, ...] = ()


@dataclass(frozen=True)
class Planned:
    """When a step happens: from `start` to `end`, hands-on in `blocks`."""

    key: str
    start: datetime
    end: datetime
    blocks: tuple[Span, ...]
    reason: Reason
    done: bool = False
    running: bool = False


@dataclass(frozen=True)
class Kept:
    """What becomes of a promise; `late_minutes` is 0 when it is kept."""

    piece: str
    by: datetime
    finish: datetime
    late_minutes: int


@dataclass(frozen=True)
class MissedWindow:
    """A latest time that could not be met any more: `step` comes later after `first` than it should."""

    step: str
    text: str
    first: str


@dataclass(frozen=True)
class Plan:
    """The answer.

    `cost` [min] is weighted lateness plus the finishing times of all pieces counted from now; `bound` [min] is proven: no plan
    costs less; `gap` = (cost - bound) / cost. `seconds` is what the solver used, `made_at` the `now` of the problem.
    """

    status: Status
    steps: dict[str, Planned]
    promises: tuple[Kept, ...]
    bound: float
    gap: float
    seconds: float
    made_at: datetime
    missed_windows: tuple[MissedWindow, ...] = ()
    cost: float = 0.0
