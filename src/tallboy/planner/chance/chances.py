"""How sure the dates of a plan are: many futures of the shop, and what they have in common.

The model. In every future the shop works through the plan in the plan's order: each person does his steps one after another as
planned, what several steps take in turn they take in the planned turn, and what dust, vapour and fire keep apart stays in the planned
order. Within that order every step is begun as early as it can be, never before now, in the hours of its crew and place, without
noise in quiet hours, when the air suits it and what it awaits has come. A step that the plan holds back on purpose (a window
would close, a wait would grow) is begun no earlier than planned. What is done stands.

What varies. Hands-on time is lognormal with the step's minutes as mean and its `spread` as standard deviation; of a step that
has begun, the distribution of those that take longer than what was worked so far. A wait is that of the hour in which the step
before it really ends, times exp(spread z) with z standard normal: the planned wait is the middle one. Waits with the same `shared`
word have the same z. How long a coat keeps its place free of dust, and a step what it uses, goes with the link out of the step. How
long vapour may catch fire does not vary. Everything else is independent.

What people do about it. Whether a step still fits into the hours, or into fit air, is judged by its planned length, for nobody knows
how long it will take. One that may be split stops where the hours end and goes on when they begin again; any other is finished
when it takes longer, past the hours if need be. A window that closes before the next step begins adds the minutes of its scuff to that
step. Nobody changes the order, though a real shop would plan again: the chances are those of this plan if it is only followed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from tallboy.planner.chance.course import course_of
from tallboy.planner.chance.parts import Course
from tallboy.planner.chance.told import Chances, told
from tallboy.planner.chance.walk import Chunk, Sample, chunks_of, run_chunk
from tallboy.planner.network import Plan, Problem
from tallboy.sums.ranges import within

MOST_FUTURES = 200_000

Each = Callable[[Callable[[Course, Chunk], Sample], Course, list[Chunk]], Iterable[Sample]]
"""Works out every chunk, in order: here one after another, or on other machines."""


def here(work: Callable[[Course, Chunk], Sample], course: Course, chunks: list[Chunk]) -> Iterable[Sample]:
    """Every chunk one after another, on this machine."""
    return (work(course, chunk) for chunk in chunks)


def chances(problem: Problem, plan: Plan, *, futures: int = 10_000, seed: int = 1, each: Each = here) -> Chances:
    """How sure the dates of a plan are.

    Formula: share of futures that end by the promise; its standard error sqrt(p (1 - p) / futures); quantiles of the sorted
    finishes; drivers: square of the rank correlation of each draw with the finish of a piece.

    Parameters
    ----------
    problem : [Problem] what the plan was made for
    plan : [Plan] a plan that keeps its rules
    futures : [1] how many futures are worked out, 1 to 200 000
    seed : [1] 0 or more; the same seed gives the same futures, here or on other machines
    each : [callable] how the chunks are worked out; by default one after another

    Returns
    -------
    [Chances] chances of the promises, spreads of steps and pieces, what drives them, which windows are missed

    Raises
    ------
    OutOfRange outside the ranges; BadInput for a plan that was not made for the problem.

    Validity
    --------
    Lognormal and independent spreads, a plan that is followed without being worked out anew. With zero spreads every future is the
    plan with every step moved as early as its order allows. Past the last working hours known their last week goes on for a quarter of
    a year; what would end later counts as never finished.

    Source
    ------
    own derivation (Monte Carlo on the partial order of the plan), see docs/planner.md; checked against closed forms, numerical
    integration and a plain simulator in tests/planner/test_chance*.py
    """
    within("The number of futures", futures, 1, MOST_FUTURES)
    within("The seed", seed, 0, 2**63 - 1)
    course = course_of(problem, plan)
    samples: list[Any] = list(each(run_chunk, course, chunks_of(int(futures), int(seed))))
    return told(problem, plan, course, samples, int(seed))
