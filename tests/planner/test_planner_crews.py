"""Who does a step: crews put together from people with their own hours, skills and places."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from tallboy.errors import BadInput
from tallboy.planner.network import Link, Person, Place, Planned, Problem, Span, Step
from tallboy.planner.rules.broken import broken_rules
from tallboy.planner.slots.build import build
from tallboy.planner.solve import first_plan, solve

MONDAY = datetime.fromisoformat("2031-03-24T08:00+00:00")
DAY = timedelta(days=1)
STRIP = Step("strip", "dresser", "Strip the top", 120)
GILD = Step("gild", "frame", "Gild the frame", 60, skill="gilding")
TURN = Step("turn", "dresser", "Turn the carcass", 30, hands=2)


def hours(first: int, last: int, days: int = 5) -> tuple[Span, ...]:
    """From one hour to another on each of some days."""
    return tuple(
        (MONDAY + k * DAY + timedelta(hours=first - 8), MONDAY + k * DAY + timedelta(hours=last - 8))
        for k in range(days)
    )


EARLY = Person("a", "Early", hours(8, 12))
LATE = Person("b", "Late", hours(10, 17), frozenset({"gilding"}))


def shop(*steps: Step, people: tuple[Person, ...] = (EARLY, LATE), places: tuple[Place, ...] = ()) -> Problem:
    """Steps without links in a shop of two whose hours overlap from ten to twelve."""
    return Problem(MONDAY, steps, (), (), hours(8, 17), people=people, places=places)


def placed(problem: Problem, key: str) -> Planned:
    """Where solving puts a step; the plan keeps every rule."""
    plan = solve(problem, seconds=2)
    assert broken_rules(problem, plan) == ()
    assert plan.status == "optimal"
    return plan.steps[key]


def at(hour: float, day: int = 0) -> datetime:
    """An hour of one of the days."""
    return MONDAY + day * DAY + timedelta(hours=hour - 8)


def test_a_step_goes_to_who_is_at_work() -> None:
    """At eight only one of the two is there."""
    found = placed(shop(STRIP), "strip")
    assert (found.start, found.people) == (at(8), ("a",))


def test_a_skilled_step_waits_for_who_knows_how() -> None:
    """The gilder comes at ten; the other is there from eight and cannot."""
    found = placed(shop(GILD), "gild")
    assert (found.start, found.people) == (at(10), ("b",))
    assert found.reason.rule == "hours"
    assert "Those who can do it" in found.reason.text


def test_a_step_for_two_needs_both_at_once() -> None:
    """Their common hours begin at ten."""
    found = placed(shop(TURN), "turn")
    assert found.start == at(10)
    assert sorted(found.people) == ["a", "b"]


def test_one_of_two_who_knows_how_is_enough() -> None:
    """The helper only holds."""
    found = placed(shop(replace(GILD, hands=2)), "gild")
    assert sorted(found.people) == ["a", "b"]


def test_a_step_named_for_one_person_is_left_to_them() -> None:
    """Even when another is free sooner."""
    found = placed(shop(replace(STRIP, people=("b",))), "strip")
    assert (found.start, found.people) == (at(10), ("b",))


def test_two_steps_go_side_by_side_to_two_people() -> None:
    """From ten on both work; neither is at two things."""
    problem = shop(replace(STRIP, not_before=at(10)), replace(STRIP, key="sand", not_before=at(10)))
    plan = solve(problem, seconds=2)
    assert {plan.steps[key].start for key in ("strip", "sand")} == {at(10)}
    assert {plan.steps[key].people for key in ("strip", "sand")} == {("a",), ("b",)}


def test_a_split_step_is_cut_where_its_crew_goes_home() -> None:
    """Four hours from ten: two before the early one goes, two on the next morning that both are there."""
    found = placed(shop(replace(TURN, minutes=240, split=True)), "turn")
    assert found.blocks == ((at(10), at(12)), (at(10, 1), at(12, 1)))


def test_a_place_has_hours_of_its_own() -> None:
    """The yard may be used in the afternoon only."""
    yard = Place("yard", "Yard", hours(13, 16))
    found = placed(shop(replace(STRIP, place="yard"), places=(yard,)), "strip")
    assert (found.start, found.people) == (at(13), ("b",))


def test_a_place_without_a_row_is_always_open() -> None:
    """Nothing said of a place means that nothing is special about it."""
    assert placed(shop(replace(STRIP, place="cellar")), "strip").start == at(8)


def test_who_has_begun_a_step_is_busy_with_it() -> None:
    """The early one is at a step since eight; the next goes to the other, when they come."""
    running = replace(STRIP, key="sand", started=at(8), minutes=200, people=("a",))
    problem = replace(shop(running, STRIP), now=at(8.5))
    assert placed(problem, "strip").people == ("b",)
    assert placed(problem, "sand").people == ("a",)


def test_people_alike_are_one_team() -> None:
    """Four who work the same hours make one way to do a step, not four."""
    people = tuple(Person(str(k), hours=hours(8, 17)) for k in range(4))
    grid = build(shop(STRIP, TURN, people=people))
    assert [len(team.people) for team in grid.teams] == [4]
    assert [len(task.ways) for task in grid.tasks] == [1, 1]


def test_hands_alike_need_no_names() -> None:
    """Without people the shop has so many hands, called 1, 2, …"""
    problem = replace(shop(TURN, people=()), hands=2)
    assert placed(problem, "turn").people == ("1", "2")


def test_of_two_who_could_the_one_in_the_place_stays_there() -> None:
    """Nobody crosses the yard for nothing."""
    steps = [
        Step("a1", "x", "A", 60, place="bench"),
        Step("b1", "y", "B", 60, place="yard"),
        Step("a2", "x", "A", 60, place="bench"),
        Step("b2", "y", "B", 60, place="yard"),
    ]
    links = (Link("a1", "a2"), Link("b1", "b2"))
    problem = Problem(MONDAY, tuple(steps), links, (), hours(8, 17), hands=2)
    plan = solve(problem, seconds=2)
    assert plan.place_changes == 0
    assert broken_rules(problem, plan) == ()


@pytest.mark.parametrize(
    ("step", "words"),
    [
        (replace(GILD, skill="caning"), "knows caning"),
        (replace(TURN, hands=3), "3 hands"),
        (replace(TURN, people=("a",)), "2 hands"),
        (replace(STRIP, people=("z",)), "1 hands"),
    ],
)
def test_what_nobody_can_do_is_refused_by_name(step: Step, words: str) -> None:
    """Before anything is planned, and saying which step it is."""
    with pytest.raises(BadInput, match=words) as caught:
        first_plan(shop(step))
    assert step.title in str(caught.value)


def test_people_who_never_meet_are_told() -> None:
    """Two hands are there, but never at the same time for as long as it takes."""
    with pytest.raises(BadInput, match="nowhere at work together"):
        first_plan(shop(replace(TURN, minutes=150)))
