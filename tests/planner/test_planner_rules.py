"""The independent checker finds each kind of breach; a valid plan passes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest
from bench.shared.shops import MONDAY, working_hours
from tests.planner.planner_made import WHY, plan_at

from tallboy.planner.network import ByHour, Fixed, Link, Plan, Planned, Problem, Promise, Step
from tallboy.planner.rules import CHECKS, broken_rules

EIGHT = MONDAY + timedelta(hours=8)
NINE, TEN, ONE, TWO = (EIGHT + timedelta(hours=h) for h in (1, 2, 5, 6))

STEPS = (
    Step("coat", "slope", "Coat", 60, wet=Fixed(60)),
    Step("rub", "slope", "Rub down", 30, dusty=True, not_before=NINE),
    Step("carve", "stand", "Carve", 90, split=True, least_chunk=30),
    Step("clean", "stand", "Clean", 30, done=(EIGHT - timedelta(hours=1), EIGHT - timedelta(minutes=30))),
)
LINKS = (Link("coat", "rub", "drying", ByHour(MONDAY, (600,) * 9 + (120,) * 9), 300),)
PROMISES = (Promise("slope", EIGHT + timedelta(hours=1)),)
PROBLEM = Problem(EIGHT, STEPS, LINKS, PROMISES, working_hours(MONDAY, 1))


def valid() -> Plan:
    """Coat at eight, carve before and after lunch, rub down in between."""
    late = EIGHT + timedelta(hours=3, minutes=30)
    plan = plan_at(PROBLEM, {"coat": EIGHT, "rub": EIGHT + timedelta(hours=3), "carve": late, "clean": EIGHT})
    carve = Planned("carve", late, TWO, ((late, late + timedelta(minutes=30)), (ONE, TWO)), WHY)
    done = STEPS[3].done
    assert done is not None
    clean = Planned("clean", *done, (done,), WHY, done=True)
    return replace(plan, steps={**plan.steps, "carve": carve, "clean": clean})


def _shifted(key: str, hours: float) -> Callable[[Plan], Plan]:
    def change(plan: Plan) -> Plan:
        by = timedelta(hours=hours)
        old = plan.steps[key]
        new = replace(
            old, start=old.start + by, end=old.end + by, blocks=tuple((a + by, b + by) for a, b in old.blocks)
        )
        return replace(plan, steps={**plan.steps, key: new})

    return change


def _with(key: str, **changes: object) -> Callable[[Plan], Plan]:
    return lambda plan: replace(plan, steps={**plan.steps, key: replace(plan.steps[key], **changes)})  # type: ignore[arg-type]  # any field


BREACHES: dict[str, tuple[Callable[[Plan], Plan], str]] = {
    "done step moved": (_shifted("clean", 1), "what is done stays"),
    "done step not marked": (_with("clean", done=False), "what is done stays"),
    "in the past": (_shifted("coat", -0.5), "nothing in the past"),
    "too short": (_with("rub", blocks=((TEN, TEN + timedelta(minutes=20)),)), "time enough"),
    "stretch outside its span": (_with("coat", end=TEN), "time enough"),
    "over lunch": (_shifted("rub", 1.2), "within hours"),
    "split though it may not be": (
        _with("rub", blocks=((TEN, TEN + timedelta(minutes=15)), (ONE, ONE + timedelta(minutes=15)))),
        "in one stretch",
    ),
    "chunk too short": (
        _with("carve", blocks=((ONE, ONE + timedelta(minutes=20)), (TWO, TWO + timedelta(minutes=70)))),
        "in one stretch",
    ),
    "before its date": (_shifted("rub", -2.5), "not before its date"),
    "wait cut short": (_shifted("rub", -0.5), "waits kept"),
    "after the window": (_shifted("rub", 5.5), "windows kept"),
    "two at once": (_shifted("carve", -0.25), "hands enough"),
    "dust on wet": (_shifted("rub", -1.5), "no dust on wet"),
    "promise told wrongly": (lambda plan: replace(plan, promises=()), "promises told"),
    "no reason": (_with("rub", reason=replace(WHY, text="")), "every step has its reason"),
    "step forgotten": (lambda plan: replace(plan, steps={"coat": plan.steps["coat"]}), "every step planned"),
}


def test_valid_plan_passes() -> None:
    """A plan made by hand that keeps all rules is found to keep them."""
    assert broken_rules(PROBLEM, valid()) == ()


@pytest.mark.parametrize("name", BREACHES)
def test_breach_is_found(name: str) -> None:
    """Each kind of breach is found under the name of its rule."""
    change, rule = BREACHES[name]
    assert rule in {broken.rule for broken in broken_rules(PROBLEM, change(valid()))}


def test_every_check_has_its_breach() -> None:
    """No check goes without a plan that breaks it, and each says its rule in words."""
    rules = {rule for _, rule in BREACHES.values()}
    assert {check.__name__.replace("_", " ") for check in CHECKS} <= rules
    assert all((check.__doc__ or "").strip() for check in CHECKS)
