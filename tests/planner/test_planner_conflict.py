"""Whatever rules are in conflict: they are named with the steps concerned, and without any one of them there is a plan."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Any

import pytest
from bench.shared.shops import MONDAY, a_shop, working_hours

from tallboy.errors import BadInput, NoPlan
from tallboy.planner.network import Delivery, Fixed, Link, Person, Place, Problem, Resource, Span, Step, Use
from tallboy.planner.solve import solve
from tallboy.planner.why.conflict import only, without
from tallboy.planner.why.relaxed import RULES, shortest_end

EIGHT = MONDAY + timedelta(hours=8)
WEEK = working_hours(MONDAY, 5)
DAYS = tuple(MONDAY + timedelta(days=k) for k in range(5))
ANA, RUI = Person("1", "Ana", skills=frozenset({"gilding"})), Person("2", "Rui")
AT_ONCE = (Link("hold", "x", "order", Fixed(0), 0), Link("hold", "y", "order", Fixed(0), 0))
SOON = (Link("x", "y", "order", Fixed(0), 60),)


def every_day(first: float, last: float) -> tuple[Span, ...]:
    return tuple((day + timedelta(hours=first), day + timedelta(hours=last)) for day in DAYS)


def shop(x: Step, y: Step, links: tuple[Link, ...] = SOON, **fields: Any) -> Problem:
    """Two steps x and y that must follow each other soon, or both at once after a third."""
    hold = (Step("hold", "stand", "Clear the bench", 60),) if links is AT_ONCE else ()
    return replace(Problem(EIGHT, (*hold, x, y), links, (), WEEK, 2), **fields)


def step(key: str, **fields: Any) -> Step:
    return replace(Step(key, "stand", f"Step {key}", 60), **fields)


@dataclass(frozen=True)
class Case:
    """A problem without a plan, the rules in conflict, and a few words that must be told."""

    problem: Problem
    rules: tuple[str, ...]
    words: str


CASES = {
    "only one person may do both": Case(
        shop(step("x", people=("1",)), step("y", people=("1",)), AT_ONCE, people=(ANA, RUI)), ("people", "window"), "only by Ana"
    ),
    "only one person has the skill for both": Case(
        shop(step("x", skill="gilding"), step("y", skill="gilding"), AT_ONCE, people=(ANA, RUI)), ("people", "window"), "only by Ana"
    ),
    "a place is open too early": Case(
        shop(step("x"), step("y", place="yard", minutes=30), places=(Place("yard", "the yard", every_day(8, 9)),)),
        ("place hours", "window", "hours"),
        "hours of their own for the yard",
    ),
    "noise is wanted only before the other is done": Case(
        shop(step("x"), step("y", noisy=True, minutes=30), quiet=every_day(9, 24)),
        ("quiet", "window", "hours"),
        "quiet hours, and “Step y” would make noise",
    ),
    "the air suits it only at night": Case(
        shop(step("x"), step("y", fit=every_day(1, 5), fit_text="15 °C or more")), ("air", "hours"), "“Step y” asks for 15 °C or more"
    ),
    "the can comes too late": Case(
        shop(step("x", awaits=(Delivery("shellac flakes", EIGHT + timedelta(days=12)),)), step("y"), ()),
        ("delivery", "hours"),
        "shellac flakes is expected on Sat 05 Apr 2031",
    ),
    "one vessel for both": Case(
        shop(
            step("x", uses=(Use("bath", 1, Fixed(600)),)),
            step("y", uses=(Use("bath"),)),
            resources=(Resource("bath", "the long bath", 1),),
        ),
        ("room", "window"),
        "only so much of the long bath (1)",
    ),
    "a solvent beside another's work": Case(
        shop(step("x", solvent=True), step("y"), AT_ONCE), ("vapour", "window"), "beside an open solvent"
    ),
    "a flame where vapour hangs": Case(
        shop(step("x", fumes=Fixed(600)), step("y", ignition=True)), ("fire", "window"), "vapour that burns"
    ),
    "dust where a coat is wet": Case(shop(step("x", wet=Fixed(300)), step("y", dusty=True)), ("dust", "window"), "dusty"),
    "too few hands": Case(shop(step("x"), step("y"), AT_ONCE, hands=1), ("hands", "window"), "hands (1)"),
    "a date after all hours": Case(
        shop(step("x", not_before=EIGHT + timedelta(days=15)), step("y"), ()), ("not before", "hours"), "earliest date"
    ),
}  # fmt: skip


def refused(problem: Problem) -> NoPlan:
    with pytest.raises(NoPlan) as caught:
        solve(problem)
    return caught.value


def has_a_plan(problem: Problem) -> bool:
    try:
        solve(problem, seconds=1)
    except (NoPlan, BadInput):
        return False
    return True


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_the_rules_in_conflict_are_named_in_plain_words(case: Case) -> None:
    """By name for a program, in a sentence for people."""
    error = refused(case.problem)
    assert error.rules == case.rules
    assert case.words in error.message
    assert error.hint


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_without_any_one_that_is_named_there_is_a_plan(case: Case) -> None:
    """All other rules given up, what is named still has no plan; without one rule of it, or one step of it, it has."""
    error = refused(case.problem)
    others = {rule.name for rule in RULES} - set(error.rules)
    small = without(only(case.problem, error.steps), others)
    assert not has_a_plan(small)
    assert all(has_a_plan(without(small, {rule})) for rule in error.rules)
    assert all(has_a_plan(only(small, [key for key in error.steps if key != left_out])) for left_out in error.steps)


def test_a_conflict_is_found_among_other_work() -> None:
    """Two steps that cannot be are named in a shop with twenty others."""
    case = CASES["a flame where vapour hangs"]
    others = a_shop(3, pieces=2, steps=10, hands=2)
    problem = replace(
        case.problem,
        steps=(*others.steps, *case.problem.steps),
        links=(*others.links, *case.problem.links),
        working=others.working,
    )
    error = refused(problem)
    assert set(error.steps) == {"x", "y"}
    assert error.rules == case.rules


def test_what_is_blocked_is_in_nobodys_way() -> None:
    """Two steps that contradict each other behind a blocked one are not planned, so there is a plan; and they are never named."""
    wait = Step("test", "stand", "Test for lead", 10, blocked="No dry sanding before the lead test.")
    conflict = CASES["one vessel for both"].problem
    behind = replace(conflict, steps=(wait, *conflict.steps), links=(*conflict.links, Link("test", "x")))
    assert {blocked.step for blocked in solve(behind).blocked} == {"test", "x", "y"}
    fire = CASES["a flame where vapour hangs"].problem
    renamed = tuple(replace(s, key=f"{s.key}2") for s in fire.steps)
    both = replace(
        behind, steps=(*behind.steps, *renamed), links=(*behind.links, Link("x2", "y2", "order", Fixed(0), 60))
    )
    assert set(refused(both).steps) == {"x2", "y2"}


def test_waits_beyond_the_hours_given_say_so() -> None:
    """Four coats that dry for three weeks each do not fit into a month: the date is told, and that hours further ahead would help."""
    steps = tuple(Step(f"coat{k}", "slope", f"Coat {k}", 60) for k in range(4))
    links = tuple(Link(f"coat{k}", f"coat{k + 1}", "drying", Fixed(21 * 24 * 60)) for k in range(3))
    problem = Problem(EIGHT, steps, links, (), working_hours(MONDAY, 28), 1)
    error = refused(problem)
    assert error.rules == ("wait", "hours")
    assert "could not be done before Mon 26 May 2031" in error.message
    assert error.hint.startswith("Give working hours further ahead, well beyond Mon 26 May 2031")
    assert has_a_plan(replace(problem, working=working_hours(MONDAY, 70)))


def test_waits_of_years_are_told_as_waits_and_hours() -> None:
    """Also a wait longer than a year is a matter of hours further ahead, not a contradiction."""
    steps = (Step("one", "slope", "Oil", 60), Step("two", "slope", "Wax", 60))
    problem = Problem(EIGHT, steps, (Link("one", "two", "cure", Fixed(600 * 24 * 60)),), (), WEEK, 1)
    assert refused(problem).rules == ("wait", "hours")


def test_shortest_end_counts_waits_dates_and_facts() -> None:
    """By hand: one hour, a wait of two, half an hour, but not before its date; what is done ends when it did."""
    steps = (
        Step("a", "p", "A", 60, done=(EIGHT - timedelta(hours=2), EIGHT - timedelta(hours=1))),
        Step("b", "p", "B", 30),
        Step("c", "p", "C", 30, not_before=EIGHT + timedelta(hours=5)),
    )
    links = (Link("a", "b", "drying", Fixed(120)), Link("b", "c"))
    problem = Problem(EIGHT, steps, links, (), WEEK)
    assert shortest_end(problem) == EIGHT + timedelta(hours=5, minutes=30)
    assert shortest_end(only(problem, ["a", "b"])) == EIGHT + timedelta(hours=1, minutes=30)
    assert shortest_end(only(problem, [])) == EIGHT
