"""What a shop's course of work is made of when many futures run along it at once."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from tallboy.planner.chance.hours import Minutes, Starts, Stretches
from tallboy.planner.slots.grid import Clock

FINE = 1e-6
"""A moment so little after a whole slot [min] counts as on it: what is left of a sum of fractions."""


@dataclass(frozen=True, eq=False)
class Table:
    """A wait [min] by the hour in which the step before it ends; one entry for a wait that is always the same."""

    start: float
    minutes: Minutes

    def at(self, end: Minutes) -> Minutes:
        """The wait after each end."""
        if len(self.minutes) == 1:
            return self.minutes
        hour = ((end - self.start) // 60).astype(np.intp)
        return self.minutes[np.clip(hour, 0, len(self.minutes) - 1)]


@dataclass(frozen=True)
class Column:
    """One thing that is drawn anew in every future: how long a step's work takes, or how long waits of one word are.

    `steps` are the keys of the step, or of those after which the waits begin; `spread` the standard deviation of ln(factor), of
    waits the greatest.
    """

    kind: Literal["work", "wait"]
    name: str
    steps: tuple[str, ...]
    spread: float


@dataclass(frozen=True, eq=False)
class After:
    """What becomes free, dry or ready when an act has ended and a wait is over: it is marked in `into`.

    The wait is multiplied by exp(spread z) of `column`. After something begun or done the moment is on a whole slot (`whole`, its
    length in minutes, else 0), as the planner has it. `until` is the moment by which the plan needs it.
    """

    into: int
    wait: Table | None = None
    column: int = -1
    spread: float = 0.0
    whole: float = 0.0
    until: float = np.inf


@dataclass(frozen=True, eq=False)
class Closing:
    """The window that the act `first` opens and that closes `most` after its end; too late, `scuff` minutes of work are added.

    In a future in which the coat dries quicker the window closes sooner, never later; never before the wait `least` is over.
    """

    number: int
    first: int
    most: Table
    least: Table
    scuff: float
    column: int
    spread: float


@dataclass(frozen=True, eq=False)
class Act:
    """One step of the plan on its course.

    `begun` and `ended` are facts; `earliest` is when it may begin at all, of a step that runs when it goes on; `minutes` what it
    takes, of a step that runs what the plan has left of it, and then `label` is all its minutes and `spent` what was worked of
    them; `sigma` the standard deviation of ln(minutes), drawn in `column`. It begins when all it `reads` is over, within `starts`;
    `hours` when it stops where the hours end. `tells` is what follows from its end.
    """

    key: str
    piece: str
    begun: float | None = None
    ended: float | None = None
    earliest: float = 0.0
    minutes: float = 0.0
    label: float = 0.0
    spent: float = 0.0
    sigma: float = 0.0
    column: int = -1
    reads: tuple[int, ...] = ()
    starts: Starts | None = None
    hours: Stretches | None = None
    tells: tuple[After, ...] = ()
    closings: tuple[Closing, ...] = ()


@dataclass(frozen=True)
class Window:
    """A window that may be missed: the steps before and after it, whether it can be made good, and that it is."""

    first: str
    then: str
    scuff: str


@dataclass(frozen=True, eq=False)
class Course:
    """The plan as an order of work: acts in the order in which the plan begins them, and what is drawn for them.

    `marks` is how many moments they tell each other. `clock` turns minutes back into times.
    """

    acts: tuple[Act, ...]
    columns: tuple[Column, ...]
    windows: tuple[Window, ...]
    marks: int
    clock: Clock
    pieces: tuple[str, ...] = field(default=())


Draws = NDArray[np.float64]
"""Standard normal draws, one row a column of the course, one column a future."""
