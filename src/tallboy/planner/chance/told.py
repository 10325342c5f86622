"""What many futures have in common: chances, dates that are safe, spreads, and what drives them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri
from scipy.stats import rankdata

from tallboy.planner.chance.hours import NEVER, Minutes, minute_of
from tallboy.planner.chance.parts import Course
from tallboy.planner.chance.walk import Sample
from tallboy.planner.network import Plan, Problem
from tallboy.planner.slots.grid import Clock
from tallboy.sums.ranges import within

Matrix = NDArray[np.floating]

SAFE = 0.8
EARLY, MIDDLE, LATE = 0.1, 0.5, 0.9
MOST_DRIVERS = 3
LEAST_SHARE = 0.01
"""A driver that explains less than a hundredth of a spread is not named; own choice."""


@dataclass(frozen=True)
class Spread:
    """A moment in all futures: one of ten has it by `early`, half by `middle`, nine of ten by `late`; None when never."""

    early: datetime | None
    middle: datetime | None
    late: datetime | None


@dataclass(frozen=True)
class StepChance:
    """When a step starts and ends."""

    key: str
    start: Spread
    end: Spread


@dataclass(frozen=True, eq=False)
class Finish:
    """When a piece is finished: `minutes` of all futures from the clock's origin, sorted."""

    minutes: Minutes
    clock: Clock

    def quantile(self, share: float) -> datetime | None:
        """The first moment by which this share of futures [0 to 1] has it finished; None when no moment is known."""
        within("A share of futures", share, 0, 1)
        rank = max(0, math.ceil(share * len(self.minutes) - 1e-9) - 1)
        return _time(self.clock, float(self.minutes[rank]))

    def chance(self, by: datetime) -> float:
        """The share of futures [0 to 1] in which it is finished by then."""
        kept = np.searchsorted(self.minutes, minute_of(self.clock, by), side="right")
        return float(kept) / len(self.minutes)

    @property
    def mean(self) -> datetime | None:
        """The mean over all futures; None when some never finish."""
        return None if self.minutes[-1] >= NEVER else _time(self.clock, float(self.minutes.mean()))

    @property
    def spread(self) -> float:
        """The standard deviation over all futures [min]."""
        return float(self.minutes.std())


@dataclass(frozen=True)
class Driver:
    """What makes a piece early or late: the work of a step, or the waits after `steps` (of one word: `name` is the word).

    `share` [0 to 1] is how much of the spread of the finish goes with it, the square of a rank correlation; `spread` the standard
    deviation of ln(time).
    """

    kind: Literal["work", "wait"]
    name: str
    steps: tuple[str, ...]
    share: float
    spread: float


@dataclass(frozen=True)
class PieceChance:
    """When a piece is finished, and what its finish hangs on most."""

    piece: str
    finish: Finish
    drivers: tuple[Driver, ...]


@dataclass(frozen=True)
class PromiseChance:
    """How sure a promise is: `chance` [0 to 1] with its standard error `error`; the date that is `safe` at 80 %; the mean."""

    piece: str
    by: datetime
    chance: float
    error: float
    safe: datetime | None
    mean: datetime | None


@dataclass(frozen=True)
class WindowChance:
    """How often [0 to 1] the window between two steps is missed, and the scuff that then makes it good ("" when none does)."""

    first: str
    then: str
    scuff: str
    missed: float


@dataclass(frozen=True)
class Chances:
    """What so many futures say. `beyond` [0 to 1] is the share in which something is not finished within all known hours."""

    futures: int
    seed: int
    promises: tuple[PromiseChance, ...]
    pieces: dict[str, PieceChance]
    steps: dict[str, StepChance]
    windows: tuple[WindowChance, ...]
    beyond: float


def told(problem: Problem, plan: Plan, course: Course, samples: Sequence[Sample], seed: int) -> Chances:
    """Sum up the futures of all chunks."""
    finish = np.concatenate([sample.finish for sample in samples], axis=1)
    draws = np.concatenate([sample.draws for sample in samples], axis=1)
    missed = np.concatenate([sample.missed for sample in samples], axis=1)
    pieces = _pieces(course, finish, draws)
    return Chances(
        futures=finish.shape[1],
        seed=seed,
        promises=tuple(
            _promise(pieces[one.piece].finish, one.piece, one.by) for one in problem.promises if one.piece in pieces
        ),
        pieces=pieces,
        steps=_steps(course, samples),
        windows=tuple(
            WindowChance(window.first, window.then, window.scuff, float(late.mean()))
            for window, late in zip(course.windows, missed, strict=True)
        ),
        beyond=float((finish >= NEVER).any(axis=0).mean()) if len(finish) else 0.0,
    )


def _time(clock: Clock, minutes: float) -> datetime | None:
    """A moment to the whole minute after it, in the time zone of the problem's now."""
    if minutes >= NEVER:
        return None
    whole = math.ceil(minutes - 1e-3)
    return (clock.origin + timedelta(minutes=whole)).astimezone(clock.tz_like.tzinfo)


def _promise(finish: Finish, piece: str, by: datetime) -> PromiseChance:
    chance = finish.chance(by)
    error = math.sqrt(chance * (1 - chance) / len(finish.minutes))
    return PromiseChance(piece, by, chance, error, finish.quantile(SAFE), finish.mean)


def _steps(course: Course, samples: Sequence[Sample]) -> dict[str, StepChance]:
    starts = _spreads(course, [sample.starts for sample in samples])
    ends = _spreads(course, [sample.ends for sample in samples])
    return {act.key: StepChance(act.key, start, end) for act, start, end in zip(course.acts, starts, ends, strict=True)}


def _spreads(course: Course, rows: Sequence[Matrix]) -> list[Spread]:
    """The spreads of moments, one row an act."""
    values = np.concatenate(rows, axis=1)
    ranks = [max(0, math.ceil(share * values.shape[1] - 1e-9) - 1) for share in (EARLY, MIDDLE, LATE)]
    values.sort(axis=1)
    return [Spread(*(_time(course.clock, float(row[rank])) for rank in ranks)) for row in values]


def _pieces(course: Course, finish: Minutes, draws: Matrix) -> dict[str, PieceChance]:
    shares = _shares(finish, draws)
    return {
        piece: PieceChance(piece, Finish(np.sort(row), course.clock), _drivers(course, share))
        for piece, row, share in zip(course.pieces, finish, shares, strict=True)
    }


def _shares(finish: Minutes, draws: Matrix) -> Matrix:
    """For each piece and column how much of the spread of the finish goes with the draw; 0 where more of it means earlier.

    The square of the correlation between the draws, which are standard normal, and the normal scores of the finish's ranks.
    """
    scores = np.array([_scores(row) for row in finish], dtype=draws.dtype).reshape(finish.shape)
    spread = draws.std(axis=1) * finish.shape[1]
    found: Matrix = np.maximum(scores @ draws.T / np.where(spread > 0, spread, np.inf), 0.0) ** 2
    return found


def _scores(values: Minutes) -> Minutes:
    """Normal scores of ranks, with mean 0 and standard deviation 1; all 0 for what never varies."""
    scores = np.asarray(ndtri((rankdata(values) - 0.5) / len(values)))
    size = float(scores.std())
    return scores / size if size > 0 else np.zeros_like(scores)


def _drivers(course: Course, shares: Matrix) -> tuple[Driver, ...]:
    best = np.argsort(-shares, kind="stable")[:MOST_DRIVERS]
    return tuple(
        Driver(column.kind, column.name, column.steps, float(shares[k]), column.spread)
        for k in best
        if shares[k] >= LEAST_SHARE
        for column in (course.columns[k],)
    )
