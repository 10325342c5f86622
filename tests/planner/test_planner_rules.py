"""The independent checker finds each kind of breach and nothing else; a valid plan passes."""

from __future__ import annotations

import ast
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from bench.shared.shops import working_hours
from tests.planner import test_planner_rules_air, test_planner_rules_hands, test_planner_rules_windows
from tests.planner.planner_made import WHY, at, changed, cut, plan_at, rules_broken

from tallboy.planner.network import ByHour, Delivery, Fixed, Link, Plan, Problem, Promise, Step
from tallboy.planner.rules import broken as rules
from tallboy.planner.rules.broken import CHECKS

PARTS = (test_planner_rules_air, test_planner_rules_hands, test_planner_rules_windows)
STEPS = (
    Step("coat", "slope", "Coat", 60, wet=Fixed(60)),
    Step(
        "rub",
        "slope",
        "Rub down",
        30,
        least_chunk=15,
        dusty=True,
        not_before=at(9),
        noisy=True,
        awaits=(Delivery("Paper", at(10)),),
    ),
    Step("carve", "stand", "Carve", 90, split=True, least_chunk=30),
    Step("clean", "stand", "Clean", 30, done=(at(7), at(7.5))),
)
LINKS = (Link("coat", "rub", "drying", ByHour(at(0), (600,) * 9 + (100,) * 9), 300),)
PROBLEM = Problem(
    at(8), STEPS, LINKS, (Promise("slope", at(9)),), working_hours(at(0), 2), 2, quiet=((at(16), at(17)),)
)


def valid() -> Plan:
    """Coat at eight, rub down at eleven, carve before and after lunch; the second pair of hands is idle."""
    plan = plan_at(PROBLEM, {"coat": at(8), "rub": at(11), "carve": at(11.5), "clean": at(7)})
    plan = changed(plan, "clean", done=True, people=())
    return cut(PROBLEM, plan, "carve", (at(11.5), at(12)), (at(13), at(14)))


Change = Callable[[Plan], Plan]


def _moved(key: str, *blocks: tuple[float, float]) -> Change:
    return lambda plan: cut(PROBLEM, plan, key, *((at(a), at(b)) for a, b in blocks))


def _with(key: str, **changes: Any) -> Change:
    return lambda plan: changed(plan, key, **changes)


def _without(key: str) -> Change:
    return lambda plan: replace(plan, steps={k: v for k, v in plan.steps.items() if k != key})


def _promise(**changes: Any) -> Change:
    return lambda plan: replace(plan, promises=(replace(plan.promises[0], **changes),))


BREACHES: dict[str, tuple[Change, str]] = {
    "done step moved": (_moved("clean", (7, 7.25)), "what is done stays"),
    "done step not marked": (_with("clean", done=False), "what is done stays"),
    "open step marked": (_with("carve", running=True), "what is done stays"),
    "between two slots": (_moved("rub", (11 - 1 / 60, 11.5 - 1 / 60)), "on whole slots"),
    "too short": (_moved("rub", (11, 11 + 25 / 60)), "time enough"),
    "too long": (_moved("coat", (8, 9 + 5 / 60)), "time enough"),
    "stretch outside its span": (_with("carve", end=at(14.5)), "time enough"),
    "two stretches that touch": (_moved("carve", (13, 13.5), (13.5, 14.5)), "time enough"),
    "over lunch": (_moved("carve", (11.5, 12.25), (13, 13.75)), "within hours"),
    "split though it may not be": (
        lambda plan: _moved("rub", (11.75, 12), (13, 13.25))(_moved("carve", (14, 15.5))(plan)),
        "in one stretch",
    ),
    "chunk too short": (_moved("carve", (11.75, 12), (13, 14.25)), "in one stretch"),
    "stopped before lunch": (_moved("carve", (14, 14.5), (15, 16)), "cut where hours end"),
    "back late from lunch": (_moved("carve", (11.5, 12), (13.5, 14.5)), "cut where hours end"),
    "a little late from lunch": (_moved("carve", (11.5, 12), (13.25, 14.25)), "cut where hours end"),
    "a little early to lunch": (
        lambda plan: _with("carve", people=("2",))(_moved("carve", (11.25, 11.75), (13, 14))(plan)),
        "cut where hours end",
    ),
    "an afternoon left out": (_moved("carve", (11.5, 12), (32, 33)), "cut where hours end"),
    "wait cut short": (_moved("rub", (10.5, 11)), "waits kept"),
    "after the window": (_moved("rub", (14.5, 15)), "windows kept"),
    "two at once": (_moved("carve", (11, 12), (13, 13.5)), "nobody in two steps"),
    "promise not told": (lambda plan: replace(plan, promises=()), "promises told"),
    "wrong finish told": (_promise(finish=at(11)), "promises told"),
    "too little lateness told": (_promise(late_minutes=149), "promises told"),
    "too much lateness told": (_promise(late_minutes=151), "promises told"),
    "changes of place told wrongly": (lambda plan: replace(plan, place_changes=1), "place changes counted"),
    "no reason": (_with("rub", reason=replace(WHY, text="")), "every step has its reason"),
    "step forgotten": (_without("rub"), "every step planned"),
    "step invented": (lambda plan: replace(plan, steps={**plan.steps, "x": plan.steps["rub"]}), "every step planned"),
}


def test_valid_plan_passes() -> None:
    """A plan made by hand that keeps all rules is found to keep them."""
    assert rules_broken(PROBLEM, valid()) == set()


@pytest.mark.parametrize("name", BREACHES)
def test_breach_is_found(name: str) -> None:
    """Each kind of breach is found under the name of its rule, and no other rule with it."""
    change, rule = BREACHES[name]
    assert rules_broken(PROBLEM, change(valid())) == {rule}


LATER: dict[str, tuple[Problem, str]] = {
    "now it is later": (replace(PROBLEM, now=at(8.5)), "nothing in the past"),
    "its date": (replace(PROBLEM, steps=(STEPS[0], replace(STEPS[1], not_before=at(11.5)), *STEPS[2:])), "not before its date"),
    "its delivery": (
        replace(PROBLEM, steps=(STEPS[0], replace(STEPS[1], awaits=(Delivery("Paper", at(9)), Delivery("Wax", at(12)))), *STEPS[2:])),
        "what it awaits has come",
    ),
    "quiet": (replace(PROBLEM, quiet=((at(11.25), at(11.5)), (at(15), at(16)))), "quiet kept"),
}  # fmt: skip


@pytest.mark.parametrize("name", LATER)
def test_the_same_plan_does_not_do_for_another_problem(name: str) -> None:
    """What is right for one problem breaks one rule of another."""
    problem, rule = LATER[name]
    assert rules_broken(problem, valid()) == {rule}


def test_date_and_delivery_may_be_met_to_the_minute() -> None:
    """A step may begin just when it may, and just when what it needs comes."""
    rub = replace(STEPS[1], not_before=at(11), awaits=(Delivery("Paper", at(11)),))
    assert rules_broken(replace(PROBLEM, steps=(STEPS[0], rub, *STEPS[2:])), valid()) == set()


@pytest.mark.parametrize(("hour", "wait"), [(7, 30), (8, 30), (9, 90), (10, 90), (11, 90)])
def test_before_and_after_its_hours_a_wait_is_that_of_the_first_and_last(hour: int, wait: int) -> None:
    """A table of two hours from eight on, for a coat that ends before, in and after it."""
    steps = (replace(STEPS[0], wet=None), replace(STEPS[1], minutes=30, not_before=None, awaits=(), noisy=False))
    open_hours = ((at(5), at(17)),)
    link = Link("coat", "rub", "drying", ByHour(at(8), (30, 90)))
    problem = Problem(at(5), steps, (link,), (), open_hours)
    for late, broken in ((0, set()), (5, {"waits kept"})):
        starts = {"coat": at(hour - 1), "rub": at(hour) + timedelta(minutes=wait - late)}
        assert rules_broken(problem, plan_at(problem, starts)) == broken


def test_running_step_that_began_at_another_time() -> None:
    """What has begun began when it did."""
    problem = Problem(at(9), (replace(STEPS[0], started=at(8.5), wet=None),), (), (), working_hours(at(0), 1))
    for hour, broken in ((8.5, set()), (9, {"what is done stays"})):
        plan = changed(plan_at(problem, {"coat": at(hour)}), "coat", running=True)
        assert rules_broken(problem, plan) == broken


def test_running_step_that_ended_before_now() -> None:
    """What is still running cannot have ended."""
    step = replace(STEPS[0], started=at(8), wet=None)
    problem = Problem(at(10), (step,), (), (), working_hours(at(0), 1))
    plan = changed(plan_at(problem, {"coat": at(8)}), "coat", running=True)
    assert rules_broken(problem, plan) == {"nothing in the past"}
    longer = cut(problem, plan, "coat", (at(8), at(10) + timedelta(minutes=5)))
    assert rules_broken(problem, longer) == set()


def test_every_check_has_its_breach() -> None:
    """No check goes without a plan that breaks it alone, and each says its rule in words."""
    rules = {rule for _, rule in (*BREACHES.values(), *LATER.values())}
    rules |= {case.rule for part in PARTS for case in part.CASES.values()}
    assert {check.__name__.replace("_", " ") for check in CHECKS} <= rules
    assert all((check.__doc__ or "").strip() for check in CHECKS)


def test_a_night_with_a_change_of_the_clock_keeps_its_length() -> None:
    """From Saturday four to Sunday ten are seventeen hours of the clock's night that loses one, not eighteen."""
    steps = (replace(STEPS[0], wet=None), replace(STEPS[1], not_before=None, awaits=()))
    saturday, sunday = at(15, 5), at(9, 5) + timedelta(days=1)
    hours = working_hours(at(0, 5), 2, weekend=True)
    for wait, broken in ((17 * 60, set()), (17 * 60 + 1, {"waits kept"})):
        problem = Problem(saturday, steps, (Link("coat", "rub", "drying", Fixed(wait)),), (), hours)
        plan = plan_at(problem, {"coat": saturday, "rub": sunday + timedelta(hours=1)})
        assert rules_broken(problem, plan) == broken


def test_the_checker_shares_no_code_with_the_planner() -> None:
    """Of the planner it knows the outward types and its own files, nothing else."""
    files = sorted(Path(rules.__file__).parent.glob("*.py"))
    assert len(files) >= 6
    for file in files:
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("tallboy"):
                names = [node.module or ""] if node.module != "tallboy.planner" else [each.name for each in node.names]
                own = [name.removeprefix("tallboy.planner.") for name in names]
                assert all(name == "network" or name.split(".")[0] == "rules" for name in own), (file.name, own)
