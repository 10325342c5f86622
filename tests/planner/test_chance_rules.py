"""Rules of the plan as the futures keep them: what is held back on purpose, what goes with which wait, what is sat out."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest
from tests.planner.chance_made import HOUR, NOW, finish, shop, step

from tallboy.planner.chance.course import course_of
from tallboy.planner.chance.walk import Walk
from tallboy.planner.network import ByHour, Fixed, Link, Plan, Problem, Resource, Use
from tallboy.planner.solve import solve


def walked(problem: Problem, plan: Plan, seed: int = 1) -> dict[str, np.ndarray]:
    """Starts of every step in two hundred futures, in minutes from now."""
    course = course_of(problem, plan)
    draws = np.random.default_rng(seed).standard_normal((len(course.columns), 200))
    walk = Walk(course, draws).all()
    starts = {act.key: np.broadcast_to(start, 200) for act, start in zip(course.acts, walk.starts, strict=True)}
    ends = {f"{act.key} ends": np.broadcast_to(end, 200) for act, end in zip(course.acts, walk.ends, strict=True)}
    return starts | ends


def test_a_coat_is_not_laid_earlier_into_a_longer_wait() -> None:
    """Where the plan lets a coat wait for an hour after which it dries quicker, no future lays it before that hour."""
    wait = ByHour(NOW, (900,) + (60,) * 200)
    problem = shop(step("coat", 30), step("fit", 10), links=[Link("coat", "fit", "drying", wait)])
    plan = solve(problem, seconds=1.0)
    assert plan.steps["coat"].start > NOW
    assert finish(problem, 50, plan=plan).max() == (plan.steps["fit"].end - NOW) / timedelta(minutes=1)


def test_a_coat_is_not_laid_earlier_where_its_window_would_close() -> None:
    """The plan holds the first coat back until the second can follow in time; so does every future."""
    link = Link("one", "two", "drying", Fixed(60), 180)
    later = step("two", 30, not_before=NOW + timedelta(hours=10))
    problem = shop(step("one", 30, 10), later, links=[link])
    plan = solve(problem, seconds=1.0)
    starts = walked(problem, plan)
    assert plan.steps["one"].start > NOW
    assert (starts["one"] == (plan.steps["one"].start - NOW) / timedelta(minutes=1)).all()


def test_how_long_vapour_may_burn_does_not_vary() -> None:
    """However quick a coat dries, flame keeps away for the whole time after it."""
    coat = step("coat", 30, solvent=True, fumes=Fixed(120))
    links = [Link("coat", "fit", "drying", Fixed(600), spread=0.6), Link("coat", "burn")]
    problem = shop(coat, step("burn", 20, ignition=True), step("fit", 10), links=links)
    starts = walked(problem, solve(problem, seconds=1.0))
    assert (starts["burn"] == 30 + 120).all()
    assert starts["fit"].std() > 0


def test_what_a_step_holds_goes_with_the_link_that_has_the_same_wait() -> None:
    """Of two waits after one step the clamps are kept for as long as the one of the same length really lasts."""
    glue = step("glue", 30, uses=(Use("clamps", 1, Fixed(60)),))
    other = step("other", 30, piece="stool", uses=(Use("clamps", 1),))
    links = [
        Link("glue", "fit", "clamps", Fixed(60), spread=0.2),
        Link("glue", "wax", "drying", Fixed(900), spread=0.6),
        Link("glue", "other"),
    ]
    problem = shop(
        glue,
        other,
        step("fit", 10),
        step("wax", 10),
        links=links,
        resources=(Resource("clamps", "Clamps", 1),),
        hands=2,
    )
    starts = walked(problem, solve(problem, seconds=1.0))
    assert starts["other"].std() > 0
    assert starts["other"] == pytest.approx(starts["fit"])


def test_dust_keeps_away_as_long_as_the_coat_really_is_wet() -> None:
    """A coat that dries slower keeps dust away for longer, by the same factor as the next coat."""
    coat = step("coat", 30, wet=Fixed(120))
    links = [Link("coat", "fit", "drying", Fixed(600), spread=0.5), Link("coat", "sand")]
    problem = shop(coat, step("sand", 20, dusty=True), step("fit", 10), links=links)
    starts = walked(problem, solve(problem, seconds=1.0))
    assert (starts["sand"] - 30) / 120 == pytest.approx((starts["fit"] - 30) / 600)


def test_stretches_shorter_than_a_chunk_are_sat_out() -> None:
    """What is left of a split step when the hours end is not begun in a quarter of an hour between two breaks."""
    day = timedelta(days=1)
    hours = ((8, 12), (12.5, 12.75), (14, 17))
    open_hours = tuple(
        (NOW + k * day + timedelta(hours=a - 8), NOW + k * day + timedelta(hours=b - 8))
        for k in range(30)
        for a, b in hours
    )
    values = finish(shop(step("rub", 200, 60, split=True, least_chunk=60), working=open_hours), 2000)
    assert (values > 4 * HOUR).any()
    assert not ((values > 4 * HOUR) & (values <= 6 * HOUR)).any()


def test_clamps_are_waited_for_in_the_planned_order() -> None:
    """The second to take the only clamps waits for the first to give them back, however long that takes."""
    first = step("first", 60, 30, uses=(Use("clamps", 1, Fixed(60)),))
    second = step("second", 60, 30, piece="stool", uses=(Use("clamps"),), not_before=NOW + timedelta(hours=1))
    problem = shop(first, second, resources=(Resource("clamps", "Clamps", 1),), hands=2)
    starts = walked(problem, solve(problem, seconds=1.0))
    assert starts["second"] == pytest.approx(np.maximum(starts["first ends"] + 60, 60))
