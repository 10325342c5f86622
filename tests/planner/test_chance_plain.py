"""Futures worked out at once against the same futures worked out one by one in plain Python, on random shops of every kind."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from bench.shared.plain_futures import PlainFuture, PlainShop
from bench.shared.shops import a_full_shop, a_shop, later

from tallboy.planner.chance.course import course_of
from tallboy.planner.chance.parts import Course
from tallboy.planner.chance.walk import Walk
from tallboy.planner.network import Plan, Problem
from tallboy.planner.solve import first_plan

FUTURES = 3
WITHIN = 0.001  # minutes; both reckon in floating point


def unsure(problem: Problem, seed: int) -> Problem:
    """The same shop with spreads: of most steps, of most waits that dry, some of them long or short together."""
    random = np.random.default_rng((seed, 7))
    words = ("", "", "can 1", "can 2")
    return replace(
        problem,
        steps=tuple(replace(one, spread=one.minutes * float(random.choice((0, 0.3, 0.6)))) for one in problem.steps),
        links=tuple(
            replace(one, spread=float(random.choice((0, 0.2, 0.5))), shared=str(random.choice(words)))
            if one.kind == "drying"
            else one
            for one in problem.links
        ),
    )


def one_by_one(shop: PlainShop, course: Course, draws: np.ndarray) -> PlainFuture:
    """The plain future with the draws of one future of the course."""
    work = {column.steps[0]: float(z) for column, z in zip(course.columns, draws, strict=True) if column.kind == "work"}
    waits: dict[int, float] = {}
    alone = [k for k, column in enumerate(course.columns) if column.kind == "wait" and not column.name]
    words = {column.name: k for k, column in enumerate(course.columns) if column.kind == "wait" and column.name}
    for number, link in enumerate(shop.links):
        if link.spread:
            waits[number] = float(draws[words[link.shared] if link.shared else alone.pop(0)])
    return PlainFuture(shop, work, waits).all()


def compare(problem: Problem, plan: Plan, seed: int) -> int:
    """Starts, ends and missed windows of a few futures, both ways; how many windows were missed."""
    course = course_of(problem, plan)
    draws = np.random.default_rng(seed).standard_normal((len(course.columns), FUTURES))
    walk = Walk(course, draws).all()
    shop = PlainShop(problem, plan)
    count = 0
    for future in range(FUTURES):
        plain = one_by_one(shop, course, draws[:, future])
        count += len(plain.missed)
        for act, start, end in zip(course.acts, walk.starts, walk.ends, strict=True):
            got = (float(start[future % len(start)]), float(end[future % len(end)]))
            assert got == pytest.approx((plain.start[act.key], plain.end[act.key]), abs=WITHIN), act.key
        missed = {
            (course.windows[k].first, course.windows[k].then)
            for k, late in walk.missed.items()
            if late[future % len(late)]
        }
        assert missed == plain.missed
    return count


@pytest.mark.parametrize("seed", range(12))
def test_same_futures_as_one_by_one(seed: int) -> None:
    """With the same draws the vectorised walk and the plain simulator agree on every start, end and missed window."""
    problem = unsure(a_shop(seed, pieces=3, steps=9, hands=1 + seed % 2), seed)
    compare(problem, first_plan(problem), seed)


@pytest.mark.parametrize("seed", range(40))
def test_same_futures_in_full_shops(seed: int) -> None:
    """The same with crews, places, rooms, resources, air, quiet hours, scuffs, deliveries, blocked steps and facts."""
    problem = unsure(a_full_shop(seed, pieces=3, steps=7), seed)
    compare(problem, first_plan(problem), seed)


@pytest.mark.parametrize("seed", range(12))
def test_same_futures_in_the_middle_of_the_work(seed: int) -> None:
    """The same in a shop on its third day, with steps that have begun and take longer than thought."""
    problem = unsure(a_shop(seed, pieces=3, steps=9, hands=1 + seed % 2), seed)
    plan = first_plan(problem)
    now = problem.now + timedelta(days=1 + seed % 3, hours=seed % 5, minutes=7 * seed % 11)
    slipped = [key for key, planned in plan.steps.items() if planned.start < now]
    again = replace(later(problem, plan, now, slipped[-2:], 35), previous={})
    compare(again, first_plan(again), seed)


def test_windows_are_missed_in_some_futures() -> None:
    """The shops above do miss windows, so that the agreement is about them too."""
    shops = [unsure(a_full_shop(seed, pieces=3, steps=7), seed) for seed in range(10)]
    assert any(compare(problem, first_plan(problem), seed) for seed, problem in enumerate(shops))


@pytest.mark.parametrize("seed", range(40))
def test_without_spread_the_future_is_the_plan_moved_left(seed: int) -> None:
    """With zero spreads nothing starts later than planned, and no window is missed that the plan keeps."""
    problem = replace(a_full_shop(seed), previous={}) if seed % 2 else a_shop(seed, pieces=3, steps=12)
    plan = first_plan(problem)
    walk = Walk(course_of(problem, plan), None).all()
    for act, start, end in zip(walk.course.acts, walk.starts, walk.ends, strict=True):
        planned = plan.steps[act.key]
        begins = walk.course.clock.origin + timedelta(minutes=float(start[0]))
        ends = walk.course.clock.origin + timedelta(minutes=float(end[0]))
        assert begins <= planned.start
        assert ends <= planned.end
    assert not any(late.any() for late in walk.missed.values())


@pytest.mark.parametrize("seed", range(15))
def test_without_spread_a_plan_that_is_left_already_is_the_future(seed: int) -> None:
    """The planner moves every step to the left itself: in plain shops the future without spread is its plan to the minute."""
    problem = a_shop(seed, pieces=3, steps=12, hands=1 + seed % 2)
    plan = first_plan(problem)
    walk = Walk(course_of(problem, plan), None).all()
    starts = {
        act.key: walk.course.clock.origin + timedelta(minutes=float(start[0]))
        for act, start in zip(walk.course.acts, walk.starts, strict=True)
    }
    assert starts == {key: planned.start for key, planned in plan.steps.items()}
