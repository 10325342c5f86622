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
class Person:
    """One pair of hands: when it works (`hours`; None: whenever the shop is open) and what it can do that not everybody can."""

    key: str
    name: str = ""
    hours: tuple[Span, ...] | None = None
    skills: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Place:
    """Where work is done: its own `hours` (None: whenever there are hands) and the air it shares.

    Places with the same `room` breathe the same air (empty: the place is a room of its own); with `fresh_air` vapour is led
    away, so that others may work beside an open solvent. Vapour that burns is kept from flames there all the same.
    """

    key: str
    name: str = ""
    hours: tuple[Span, ...] | None = None
    room: str = ""
    fresh_air: bool = False


@dataclass(frozen=True)
class Resource:
    """Something there is only so much of: clamps, seats at a bench, room on the rack [dm²], a vessel. `amount` 1 or more."""

    key: str
    name: str
    amount: int


@dataclass(frozen=True)
class Use:
    """How much of a resource a step takes, from its start until `hold` after its end."""

    of: str
    amount: int = 1
    hold: Wait = Fixed(0)


@dataclass(frozen=True)
class Delivery:
    """Something bought that a step needs, and when it is expected."""

    what: str
    at: datetime


@dataclass(frozen=True)
class Step:
    """One thing to do.

    Time: `minutes` hands-on time [min]; `split` it may be cut where the working hours are, into chunks of at least
    `least_chunk` [min]; `not_before` its earliest start; `awaits` what must have been delivered first; `started` when it was
    really begun; `done` when it was really begun and ended.
    Hands: `hands` people busy with it, 0 or more; `skill` what at least one of them must know; `people` the keys of those who
    alone may do it (of a step that has begun: who is at it); empty: anybody.
    Place: `place`; `uses` what else it takes.
    Air: `dusty` it raises dust; `wet` how long after its end dust spoils it; `noisy` not in quiet hours; `solvent` it is done
    with an open solvent; `fumes` how long after its end its vapour can still catch fire; `ignition` flame, heat or sparks;
    `fit` the spans of time in which the air suits it (None: always), in which it must lie from its start until
    `fit_minutes` [min] after its end, and `fit_text` what it asks of the air.
    `blocked` says why it must not be planned at all yet; what follows it is not planned either.
    `spread` [min] is one standard deviation of its hands-on time (tallboy.planner.chance.chances).
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
    skill: str = ""
    people: tuple[str, ...] = ()
    uses: tuple[Use, ...] = ()
    awaits: tuple[Delivery, ...] = ()
    noisy: bool = False
    solvent: bool = False
    fumes: Wait | None = None
    ignition: bool = False
    fit: tuple[Span, ...] | None = None
    fit_minutes: int = 0
    fit_text: str = ""
    blocked: str = ""
    spread: float = 0.0


@dataclass(frozen=True)
class Link:
    """`then` starts at least `least` and at most `most` after `first` has ended.

    `kind` is "order", "drying", "clamps", "soak", "cure" or a word of your own; `text` replaces the planner's words for the
    wait, e.g. "Waits for the knotting on the sides to dry" (the time is added). `most` may depend on the hour like any wait.
    `scuff` is the step to add when `most` cannot be kept: it comes after `first` and its `least` wait, and before `then`; without
    it a window that can be kept is kept, whatever it costs.
    `spread` is one standard deviation of the natural logarithm of the wait [1], 0 for a wait that is certain; waits with the
    same `shared` word are long or short together (one can, one air).
    """

    first: str
    then: str
    kind: str = "order"
    least: Wait = Fixed(0)
    most: int | ByHour | None = None
    text: str = ""
    scuff: Step | None = None
    spread: float = 0.0
    shared: str = ""


@dataclass(frozen=True)
class Promise:
    """The date given for a piece. Lateness counts `weight` times."""

    piece: str
    by: datetime
    weight: int = 1


@dataclass(frozen=True)
class Problem:
    """All that a plan depends on.

    `working` holds the shop's open hours through the horizon; `people` who works in it: without any, there are `hands` pairs of
    hands alike that work whenever the shop is open. `places` needs to name only places about which there is something to
    say. `quiet` are the spans without noise, `previous` the starts people saw. With `leave_early` days end early where nothing
    is lost by it.
    """

    now: datetime
    steps: tuple[Step, ...]
    links: tuple[Link, ...]
    promises: tuple[Promise, ...]
    working: tuple[Span, ...]
    hands: int = 1
    previous: Mapping[str, datetime] = field(default_factory=dict)
    slot_minutes: int = 5
    people: tuple[Person, ...] = ()
    places: tuple[Place, ...] = ()
    resources: tuple[Resource, ...] = ()
    quiet: tuple[Span, ...] = ()
    leave_early: bool = False


@dataclass(frozen=True)
class Reason:
    """Why a step is not earlier.

    `rule` is one of wait, order, hands, hours, quiet, air, delivery, not before, room, dust, vapour, fire, window, kept, begun,
    done, now (docs/planner.md says what each means). `also` names further rules that
    would hold the step in place even if `rule` did not; it is nearly always empty.
    """

    rule: str
    text: str
    until: datetime | None = None
    because: tuple[str, ...] = ()
    also: tuple[str, ...] = ()


@dataclass(frozen=True)
class Planned:
    """When a step happens: from `start` to `end`, hands-on in `blocks`, by `people` (their keys)."""

    key: str
    start: datetime
    end: datetime
    blocks: tuple[Span, ...]
    reason: Reason
    done: bool = False
    running: bool = False
    people: tuple[str, ...] = ()


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
class Scuffed:
    """A window that the plan misses and makes good: the added step `scuff` (its key) is planned between `first` and `step`."""

    first: str
    step: str
    scuff: str
    text: str


@dataclass(frozen=True)
class Blocked:
    """A step that is not planned, and why: blocked itself, or it follows one that is."""

    step: str
    text: str


@dataclass(frozen=True)
class Plan:
    """The answer. `steps` holds every step of the problem that is not in `blocked`, and the scuffs of `scuffed`.

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
    scuffed: tuple[Scuffed, ...] = ()
    blocked: tuple[Blocked, ...] = ()
    place_changes: int = 0
