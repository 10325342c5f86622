"""Many futures walked through at once: every act of the course in its order, each as early as the order allows.

A row of numbers stands for a moment in all futures. The same draws give the same futures wherever they are worked out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.random import SeedSequence
from numpy.typing import NDArray
from scipy.special import log_ndtr, ndtri_exp

from tallboy.planner.chance.hours import NEVER, Minutes
from tallboy.planner.chance.parts import FINE, Act, After, Closing, Course, Draws

CHUNK = 1000
"""Futures worked out in one go, on whatever machine: their draws hang on the seed and on the number of the chunk alone."""


class Walk:
    """Futures on their way: `starts` and `ends` by act as far as they have come, `missed` by window."""

    def __init__(self, course: Course, draws: Draws | None) -> None:
        """`draws` None: the one future in which everything takes as long as planned."""
        self.course = course
        self.draws = draws
        self.starts: list[Minutes] = []
        self.ends: list[Minutes] = []
        self.missed: dict[int, NDArray[np.bool_]] = {}
        self._marks: list[Minutes | None] = [None] * course.marks

    def all(self) -> Walk:
        """Walk to the end."""
        for act in self.course.acts:
            self.go(act)
        return self

    def go(self, act: Act) -> None:
        """One act: when it starts and ends, and what follows from that."""
        start, end = self.times(act)
        self.starts.append(start)
        self.ends.append(end)
        for after in act.tells:
            over, before = self.over(after, end), self._marks[after.into]
            self._marks[after.into] = over if before is None else np.maximum(before, over)

    def times(self, act: Act) -> tuple[Minutes, Minutes]:
        """Start and end of the next act."""
        if act.ended is not None:
            return np.array([act.begun or 0.0]), np.array([act.ended])
        if act.begun is not None:
            return np.array([act.begun]), self._end(act, np.array([act.earliest]), self._left(act))
        ready = np.array([act.earliest])
        for mark in act.reads:
            found = self._marks[mark]
            if found is not None:
                ready = np.maximum(ready, found)
        assert act.starts is not None
        start = act.starts.first(ready)
        return start, self._end(act, start, self._minutes(act, start))

    def _end(self, act: Act, start: Minutes, minutes: Minutes) -> Minutes:
        return np.asarray(start + minutes) if act.hours is None else act.hours.end_of(start, minutes)

    def _minutes(self, act: Act, start: Minutes) -> Minutes:
        """Hands-on minutes of an act that is still to begin, with what a missed window adds."""
        minutes = np.array([act.minutes])
        if self.draws is not None and act.sigma:
            minutes = minutes * np.exp(act.sigma * self.draws[act.column] - act.sigma**2 / 2)
        for closing in act.closings:
            late = start > self._closes(closing) + FINE
            self.missed[closing.number] = late
            minutes = minutes + closing.scuff * late
        return minutes

    def _left(self, act: Act) -> Minutes:
        """What is left of an act that has begun: of all lengths it might have, those longer than what was worked."""
        if self.draws is None or not act.sigma:
            return np.array([act.minutes])
        middle = np.log(act.label) - act.sigma**2 / 2
        z = self.draws[act.column]
        if act.spent > 0:
            gone = (np.log(act.spent) - middle) / act.sigma
            # In logarithms: far beyond what was expected so little is left that it could not be written otherwise.
            z = -ndtri_exp(log_ndtr(-z) + log_ndtr(-gone))
        return np.asarray(np.maximum(np.exp(middle + act.sigma * z) - act.spent, 0.0))

    def _closes(self, closing: Closing) -> Minutes:
        end = self.ends[closing.first]
        times = self._times(closing.column, closing.spread)
        return end + np.maximum(closing.most.at(end) * np.minimum(times, 1.0), closing.least.at(end) * times)

    def over(self, after: After, end: Minutes) -> Minutes:
        """When a wait that begins at `end` is over."""
        if after.wait is not None:
            end = end + after.wait.at(end) * self._times(after.column, after.spread)
        return np.ceil(end / after.whole - FINE) * after.whole if after.whole else end

    def _times(self, column: int, spread: float) -> Minutes:
        """What waits are multiplied by."""
        if self.draws is None or not spread:
            return np.ones(1)
        return np.asarray(np.exp(spread * self.draws[column]))


@dataclass(frozen=True)
class Chunk:
    """So many futures, and the seed of their draws."""

    futures: int
    seed: SeedSequence


@dataclass(frozen=True, eq=False)
class Sample:
    """What became of some futures: starts and ends by act, finishes by piece [min], which windows were missed, and the draws."""

    starts: NDArray[np.float32]
    ends: NDArray[np.float32]
    finish: Minutes
    missed: NDArray[np.bool_]
    draws: NDArray[np.float32]


def chunks_of(futures: int, seed: int) -> list[Chunk]:
    """The futures in chunks, each with its own seed, however many machines share them."""
    sizes = [CHUNK] * (futures // CHUNK) + ([futures % CHUNK] if futures % CHUNK else [])
    return [Chunk(size, child) for size, child in zip(sizes, SeedSequence(seed).spawn(len(sizes)), strict=True)]


def run_chunk(course: Course, chunk: Chunk) -> Sample:
    """Work out the futures of one chunk."""
    draws = np.random.default_rng(chunk.seed).standard_normal((len(course.columns), chunk.futures))
    walk = Walk(course, draws).all()
    starts, ends = _filled(walk.starts, chunk.futures), _filled(walk.ends, chunk.futures)
    missed = np.zeros((len(course.windows), chunk.futures), dtype=np.bool_)
    for number, late in walk.missed.items():
        missed[number] = late
    finish = finishes(course, ends)
    return Sample(starts.astype(np.float32), ends.astype(np.float32), finish, missed, draws.astype(np.float32))


def _filled(rows: Sequence[Minutes], futures: int) -> Minutes:
    filled = np.empty((len(rows), futures))
    for k, row in enumerate(rows):
        filled[k] = row
    return np.minimum(filled, NEVER)


def finishes(course: Course, ends: Minutes) -> Minutes:
    """When the last act of each piece ends, one row a piece."""
    found = np.full((len(course.pieces), ends.shape[1]), -np.inf)
    rows = {piece: k for k, piece in enumerate(course.pieces)}
    for act, end in zip(course.acts, ends, strict=True):
        k = rows[act.piece]
        np.maximum(found[k], end, out=found[k])
    return found
