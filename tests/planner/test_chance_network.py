"""A published project network with uncertain times, against its exact mean and distribution by numerical integration.

Network and three estimates of each task: "The Program Evaluation and Review Technique (PERT): Incorporating activity time variability
in a project schedule", PM Knowledge Center, pmknowledgecenter.be, table 1. Mean (a + 4m + b) / 6 and standard deviation
(b - a) / 6 of a task are PERT's. Here tasks are lognormal with these two, so what is expected is integrated with SciPy.
"""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest
from scipy import integrate, stats

from tallboy.planner.chance.chances import chances
from tallboy.planner.network import Link, Problem, Step
from tallboy.planner.solve import first_plan

UNIT = 120  # minutes to one unit of the table
TASKS = {
    "A": ((), (2, 5, 8)),
    "B": (("A",), (1, 2, 9)),
    "C": (("A",), (0.25, 0.5, 3.75)),
    "D": (("B",), (1, 1, 7)),
    "E": (("B", "C"), (1, 2, 9)),
    "F": (("D", "E"), (1, 3, 11)),
}
NOW = datetime(2031, 3, 3, 8, tzinfo=UTC)
FUTURES = 40_000


def mean(key: str) -> float:
    a, m, b = TASKS[key][1]
    return UNIT * (a + 4 * m + b) / 6


def deviation(key: str) -> float:
    a, _m, b = TASKS[key][1]
    return UNIT * (b - a) / 6


def network() -> Problem:
    """The project as a piece that three people work on day and night."""
    steps = tuple(Step(key, "project", key, round(mean(key)), spread=deviation(key)) for key in TASKS)
    links = tuple(Link(first, key) for key, (before, _times) in TASKS.items() for first in before)
    return Problem(NOW, steps, links, (), ((NOW, NOW + timedelta(days=400)),), hands=3)


def lognormal(key: str) -> Any:
    sigma = math.sqrt(math.log(1 + (deviation(key) / mean(key)) ** 2))
    return stats.lognorm(sigma, scale=mean(key) * math.exp(-(sigma**2) / 2))


def middle_done_by(x: float, grid: np.ndarray) -> float:
    """The chance that D and E are both done within x after A: both follow B, and E follows C too."""
    b, c, d, e = (lognormal(key) for key in "BCDE")
    late_c = integrate.cumulative_simpson(c.pdf(grid) * e.cdf(x - grid), x=grid, initial=0)
    e_done = c.cdf(grid) * e.cdf(x - grid) + (late_c[-1] - late_c)
    return float(integrate.simpson(b.pdf(grid) * d.cdf(x - grid) * e_done, x=grid))


def test_without_spread_the_network_takes_its_longest_path() -> None:
    """The means of A, B, E and F add up to 15 units, PERT's expected time of this project."""
    sure = replace(network(), steps=tuple(replace(step, spread=0.0) for step in network().steps))
    finish = chances(sure, first_plan(sure), futures=10).pieces["project"].finish
    assert finish.minutes == pytest.approx(15 * UNIT)
    assert mean("A") + mean("B") + mean("E") + mean("F") == pytest.approx(15 * UNIT)


def test_the_network_with_spread_is_as_integrated() -> None:
    """Mean as by numerical integration, above PERT's (which looks at one path only), and variance at least that of A and F."""
    grid = np.linspace(1e-6, 60 * UNIT, 6001)
    xs = np.linspace(0, 60 * UNIT, 601)
    middle = integrate.simpson([1 - middle_done_by(float(x), grid) for x in xs], x=xs)
    exact = mean("A") + float(middle) + mean("F")
    values = chances(network(), first_plan(network()), futures=FUTURES).pieces["project"].finish.minutes
    assert values.mean() == pytest.approx(exact, abs=4 * values.std() / math.sqrt(FUTURES))
    assert values.mean() > 15 * UNIT
    assert values.var() > deviation("A") ** 2 + deviation("F") ** 2


def test_the_middle_of_the_network_is_distributed_as_integrated() -> None:
    """Without the first task and the last what is left has the distribution that is integrated, at every tenth."""
    whole = network()
    part = replace(
        whole,
        steps=tuple(step for step in whole.steps if step.key in "BCDE"),
        links=tuple(link for link in whole.links if link.first in "BCDE" and link.then in "BCDE"),
    )
    values = chances(part, first_plan(part), futures=FUTURES).pieces["project"].finish.minutes
    grid = np.linspace(1e-6, 60 * UNIT, 6001)
    allowed = stats.kstwobign.ppf(0.999) / math.sqrt(FUTURES)
    for share in np.arange(1, 10) / 10:
        x = float(np.quantile(values, share))
        assert middle_done_by(x, grid) == pytest.approx(share, abs=allowed)
