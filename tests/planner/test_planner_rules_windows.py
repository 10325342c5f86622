"""The checker finds windows missed without a word, scuffs that are none, and blocked steps that are planned."""

from __future__ import annotations

from dataclasses import replace

import pytest
from bench.shared.shops import working_hours
from tests.planner.planner_made import Case, at, changed, plan_at, rules_broken, told

from tallboy.planner.network import Blocked, ByHour, Fixed, Link, MissedWindow, Plan, Problem, Promise, Scuffed, Step

COAT = Step("one", "slope", "First coat", 60)
NEXT = Step("two", "slope", "Second coat", 60)
SCUFF = Step("scuff", "slope", "Scuff with a grey pad", 30, dusty=True)
WINDOW = Link("one", "two", "drying", Fixed(60), 180)
SCUFFABLE = replace(WINDOW, scuff=SCUFF)
BY_HOUR = replace(WINDOW, most=ByHour(at(8), (180, 120, 600)))


def shop(link: Link, *more: Step, done: bool = False) -> Problem:
    """Two coats; the first one can have been laid from eight to nine, and it is nine then."""
    first = replace(COAT, done=(at(8), at(9))) if done else COAT
    return Problem(at(9) if done else at(8), (first, NEXT, *more), (link,), (), working_hours(at(0), 3))


def laid(problem: Problem, two: float, scuff: float | None = None, missed: bool = False, **more: float) -> Plan:
    """First coat at eight, second at `two`, rubbed down at `scuff`; what else there is in the shop at its hour."""
    starts = {"one": at(8), "two": at(two)} | {key: at(hour) for key, hour in more.items()}
    scuffs = tuple(link.scuff for link in problem.links if link.scuff is not None and scuff is not None)
    starts |= {step.key: at(scuff or 0) for step in scuffs}
    made = plan_at(replace(problem, steps=(*problem.steps, *scuffs)), starts)
    made = changed(made, "one", done=problem.steps[0].done is not None)
    told_scuffs = tuple(Scuffed("one", "two", step.key, "Rub down first.") for step in scuffs)
    told_missed = (MissedWindow("two", "The window has closed.", "one"),) if missed else ()
    return told(problem, replace(made, scuffed=told_scuffs, missed_windows=told_missed))


WET = Step("wet", "stand", "Another coat", 60, wet=Fixed(60))
OPEN, RUBBED, PAST, BY_THE_HOUR = shop(WINDOW), shop(SCUFFABLE), shop(WINDOW, done=True), shop(BY_HOUR)
BESIDE = shop(SCUFFABLE, WET)
SKILLED = shop(replace(WINDOW, scuff=replace(SCUFF, skill="finish")))
CASES: dict[str, Case] = {
    "after the window": Case("windows kept", OPEN, laid(OPEN, 11), laid(OPEN, 13)),
    "after the window of that hour": Case("windows kept", BY_THE_HOUR, laid(BY_THE_HOUR, 11), laid(BY_THE_HOUR, 13)),
    "told, though it could be scuffed": Case(
        "windows kept", RUBBED, laid(RUBBED, 13.5, 13), laid(RUBBED, 13.5, missed=True)
    ),
    "closed and not told": Case("windows kept", PAST, laid(PAST, 13, missed=True), laid(PAST, 13)),
    "told and not missed": Case("what is told was missed", OPEN, laid(OPEN, 11), laid(OPEN, 11, missed=True)),
    "scuffed and not missed": Case("what is told was missed", RUBBED, laid(RUBBED, 13.5, 13), laid(RUBBED, 11, 10)),
    "scuffed before the coat is dry": Case("scuffs between", RUBBED, laid(RUBBED, 14, 10), laid(RUBBED, 14, 9.5)),
    "scuffed after the next coat": Case("scuffs between", RUBBED, laid(RUBBED, 14, 13.5), laid(RUBBED, 14, 15)),
    "scuffed over lunch": Case("within hours", RUBBED, laid(RUBBED, 14, 13.5), laid(RUBBED, 14, 12)),
    "scuffed beside a wet coat": Case(
        "no dust on wet", BESIDE, laid(BESIDE, 16, 15, wet=13), laid(BESIDE, 16, 14.5, wet=13)
    ),
    "scuffed by somebody who does not know how": Case(
        "crew knows how", SKILLED, laid(SKILLED, 11), laid(SKILLED, 14, 13.5)
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_this_rule_alone_is_broken(name: str) -> None:
    """The plan beside it passes."""
    found = CASES[name]
    assert rules_broken(found.problem, found.good) == set()
    assert rules_broken(found.problem, found.bad) == {found.rule}


def test_window_between_two_steps_to_come_may_be_told_as_missed() -> None:
    """When no plan keeps every window, the plan says which one it misses."""
    assert rules_broken(OPEN, laid(OPEN, 13, missed=True)) == set()


def test_window_of_what_has_been_done_can_be_scuffed() -> None:
    """The first coat is a fact; its scuff waits as long as the second coat would."""
    problem = shop(SCUFFABLE, done=True)
    assert rules_broken(problem, laid(problem, 13.5, 13)) == set()
    assert rules_broken(problem, laid(problem, 13.5, 9.5)) == {"scuffs between"}
    assert rules_broken(problem, laid(problem, 13.5)) == {"windows kept"}


def test_scuff_must_be_the_scuff_of_that_link() -> None:
    """Neither a step of no link, nor one that nobody asked for, may be added."""
    plan = laid(RUBBED, 14, 13.5)
    assert rules_broken(RUBBED, replace(plan, scuffed=())) == {"every step planned"}
    assert rules_broken(OPEN, plan) == {"scuff of a link", "every step planned"}
    other = replace(plan.scuffed[0], step="one", first="two")
    assert "scuff of a link" in rules_broken(RUBBED, replace(plan, scuffed=(other,)))


TEST = Step("test", "dresser", "Test for lead", 30)
SAND = Step("sand", "dresser", "Sand", 60, blocked="No dry sanding before the lead test is written down.")
PAINT = Step("paint", "dresser", "Paint", 60)
BLOCKED = Problem(
    at(8),
    (TEST, SAND, PAINT),
    (Link("test", "sand"), Link("sand", "paint")),
    (Promise("dresser", at(17)),),
    working_hours(at(0), 2),
)


def test_what_is_blocked_and_what_follows_it_is_told_and_not_planned() -> None:
    """The promise is told as far as the planned steps go."""
    plan = plan_at(BLOCKED, {"test": at(8)})
    both = (Blocked("sand", "No dry sanding."), Blocked("paint", "After sanding."))
    assert rules_broken(BLOCKED, replace(plan, blocked=both)) == set()
    assert plan.promises[0].finish == at(8.5)
    assert rules_broken(BLOCKED, replace(plan, blocked=both[:1])) == {"blocked steps told"}
    assert rules_broken(BLOCKED, replace(plan, blocked=(*both, Blocked("test", "Why?")))) == {"blocked steps told"}
    all_planned = plan_at(BLOCKED, {"test": at(8), "sand": at(9), "paint": at(10)})
    assert rules_broken(BLOCKED, replace(all_planned, blocked=both)) == {"every step planned"}


def test_what_has_begun_is_planned_though_it_is_blocked() -> None:
    """A fact is a fact: sanding goes on in the plan, and what follows it is planned."""
    begun = replace(BLOCKED, steps=(replace(TEST, done=(at(7), at(7.5))), replace(SAND, started=at(8)), PAINT))
    plan = plan_at(begun, {"test": at(7), "sand": at(8), "paint": at(9)})
    plan = told(begun, changed(changed(plan, "test", end=at(7.5), done=True), "sand", running=True))
    assert rules_broken(begun, plan) == set()


def test_a_piece_of_which_nothing_can_be_planned_has_no_finish() -> None:
    """Its promise needs not be told."""
    problem = replace(BLOCKED, steps=(SAND, PAINT), links=(Link("sand", "paint"),))
    plan = replace(plan_at(problem, {}), blocked=(Blocked("sand", "Blocked."), Blocked("paint", "Blocked.")))
    assert rules_broken(problem, plan) == set()
