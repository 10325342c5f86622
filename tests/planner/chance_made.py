"""Helpers of the tests of chances: shops simple enough to have closed forms, and the distributions of their steps."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
from scipy import stats

from tallboy.planner.chance.chances import chances
from tallboy.planner.chance.told import Chances
from tallboy.planner.network import Link, Plan, Problem, Promise, Span, Step
from tallboy.planner.solve import first_plan

NOW = datetime(2031, 3, 3, 8, tzinfo=UTC)
AT_ANY_HOUR: tuple[Span, ...] = ((NOW, NOW + timedelta(days=400)),)
MANY = 40_000
HOUR = 60
Times = Any
"""A distribution of SciPy with its parameters set."""


def shop(*steps: Step, links: Iterable[Link] = (), by: datetime | None = None, hands: int = 1, **more: Any) -> Problem:
    """One piece that is worked on day and night."""
    promises = (Promise("slope", by),) if by else ()
    problem = Problem(NOW, steps, tuple(links), promises, AT_ANY_HOUR, hands)
    return replace(problem, **more)


def step(key: str, minutes: int, spread: float = 0.0, **more: Any) -> Step:
    return replace(Step(key, "slope", key.title(), minutes, spread=spread), **more)


def found(problem: Problem, futures: int = MANY, seed: int = 1, plan: Plan | None = None) -> Chances:
    """The chances of a plan, by default of the first one."""
    return chances(problem, plan or first_plan(problem), futures=futures, seed=seed)


def finish(problem: Problem, futures: int = MANY, seed: int = 1, plan: Plan | None = None) -> np.ndarray:
    """Minutes from now to the finish in every future, sorted."""
    return found(problem, futures, seed, plan).pieces["slope"].finish.minutes


def lognormal(mean: float, sd: float) -> Times:
    """SciPy's lognormal with this mean and standard deviation."""
    sigma = math.sqrt(math.log(1 + (sd / mean) ** 2))
    return stats.lognorm(sigma, scale=mean * math.exp(-(sigma**2) / 2))
