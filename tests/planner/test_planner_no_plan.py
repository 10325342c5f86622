"""A problem with no plan is refused with a smallest set of steps and rules in conflict."""

from __future__ import annotations

from datetime import timedelta

import pytest
from bench.shared.shops import MONDAY, a_shop, working_hours

from tallboy.errors import NoPlan
from tallboy.planner.network import Fixed, Link, Problem, Step
from tallboy.planner.slots.checks import LONGEST_WAIT
from tallboy.planner.solve import first_plan, solve
from tallboy.planner.why.relaxed import shortest_end

EIGHT = MONDAY + timedelta(hours=8)


def refused(problem: Problem) -> NoPlan:
    with pytest.raises(NoPlan) as caught:
        solve(problem)
    return caught.value


def test_window_and_wait_in_conflict_are_named_among_many_steps() -> None:
    """The second coat must follow within the hour, yet the grain filling between the two takes longer: only these are named."""
    shop = a_shop(1, pieces=2, steps=8)
    steps = tuple(
        Step(key, "slope", title, 30) for key, title in (("one", "First coat"), ("fill", "Filler"), ("two", "Top"))
    )
    links = (
        Link("one", "two", "drying", Fixed(10), 60),
        Link("one", "fill", "drying", Fixed(90)),
        Link("fill", "two"),
    )
    problem = Problem(shop.now, (*shop.steps, *steps), (*shop.links, *links), (), working_hours(MONDAY, 28))
    error = refused(problem)
    assert set(error.steps) == {"one", "fill", "two"}
    assert error.rules == ("wait", "window")
    assert "“First coat”, “Filler”, “Top”" in error.message


def test_date_after_the_hours_given_is_named() -> None:
    """A step that may begin only after the last working hours has no plan; date and hours are named."""
    step = Step("two", "slope", "Second coat", 30, not_before=EIGHT + timedelta(days=15))
    error = refused(Problem(EIGHT, (step,), (), (), working_hours(MONDAY, 5)))
    assert error.rules == ("not before", "hours")


def test_two_windows_with_one_pair_of_hands() -> None:
    """Two coats that must both follow at once need two pairs of hands; with two there is a plan."""
    steps = tuple(Step(f"{p}{k}", p, f"{p} {k}", 60) for p in ("slope", "stand") for k in (1, 2))
    steps += (Step("hold", "stand", "Clear the bench", 60),)
    links = (
        Link("slope1", "slope2", "soak", Fixed(60), 60),
        Link("stand1", "stand2", "soak", Fixed(60), 60),
        Link("hold", "slope2", "order", Fixed(0), 0),
        Link("hold", "stand2", "order", Fixed(0), 0),
    )
    problem = Problem(EIGHT, steps, links, (), working_hours(MONDAY, 3))
    error = refused(problem)
    assert "hands" in error.rules
    assert "window" in error.rules
    assert set(error.steps) == {"hold", "slope2", "stand2"}
    two = Problem(EIGHT, steps, links, (), working_hours(MONDAY, 3), hands=2)
    assert solve(two).missed_windows == ()


def test_dust_in_conflict_is_named() -> None:
    """A dusty step that must follow a coat while it is still wet in the same place cannot be planned."""
    steps = (
        Step("coat", "slope", "Lay the coat", 30, wet=Fixed(300)),
        Step("saw", "stand", "Saw the foot", 30, dusty=True),
    )
    problem = Problem(EIGHT, steps, (Link("coat", "saw", "order", Fixed(0), 60),), (), working_hours(MONDAY, 3))
    error = refused(problem)
    assert error.rules == ("dust", "window")
    assert set(error.steps) == {"coat", "saw"}


def test_too_few_hours_are_named() -> None:
    """Ten hours of work do not fit into one day of eight: hours and hands are named."""
    steps = tuple(Step(f"s{k}", "settle", f"Mend {k}", 120) for k in range(5))
    error = refused(Problem(EIGHT, steps, (), (), working_hours(MONDAY, 1)))
    assert error.rules == ("hands", "hours")
    assert len(error.steps) == 5
    assert "up to Mon 24 Mar 2031, 17:00" in error.message


def test_greedy_planner_gives_up_windows_rather_than_come_back_empty() -> None:
    """Without the solver a window that cannot be kept is told as missed."""
    steps = (
        Step("coat", "slope", "Lay the coat", 30, wet=Fixed(300)),
        Step("saw", "stand", "Saw the foot", 30, dusty=True),
    )
    plan = first_plan(
        Problem(EIGHT, steps, (Link("coat", "saw", "order", Fixed(0), 60),), (), working_hours(MONDAY, 3))
    )
    assert [missed.step for missed in plan.missed_windows] == ["saw"]


def test_greedy_planner_refuses_what_does_not_fit_the_hours() -> None:
    """Without the solver, too few hours are still refused and named."""
    steps = tuple(Step(f"s{k}", "settle", f"Mend {k}", 120) for k in range(5))
    with pytest.raises(NoPlan, match="working hours"):
        first_plan(Problem(EIGHT, steps, (), (), working_hours(MONDAY, 1)))


def test_a_chain_of_waits_beyond_the_calendar() -> None:
    """Nine hundred waits of ten years each end later than any calendar knows; the bound stays within it, and is one."""
    steps = tuple(Step(f"coat {k}", "slope", f"Coat {k}", 30) for k in range(900))
    links = tuple(Link(f"coat {k}", f"coat {k + 1}", "drying", Fixed(LONGEST_WAIT)) for k in range(899))
    found = shortest_end(Problem(EIGHT, steps, links, (), working_hours(MONDAY, 3)))
    assert EIGHT + timedelta(days=36_000) < found < EIGHT + timedelta(days=37_000)
