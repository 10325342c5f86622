"""The checker finds dust on wet coats, people in vapour, flames beside it, and coats laid in the wrong air."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from bench.shared.shops import working_hours
from tests.planner.planner_made import Case, at, case, changed, cut, plan_at, rules_broken

from tallboy.planner.network import ByHour, Fixed, Place, Problem, Step

HOURS = working_hours(at(0), 2)
COAT = Step("coat", "slope", "Brush on a coat", 60, wet=Fixed(120))
SAW = Step("saw", "stand", "Saw", 60, dusty=True)
STRIP = Step("strip", "slope", "Strip with solvent", 60, solvent=True, fumes=Fixed(90))
WAX = Step("wax", "stand", "Wax", 60)
BURN = Step("burn", "stand", "Burn in shellac", 60, ignition=True)
ROOMS = (Place("bench", room="shop"), Place("far bench", room="shop"), Place("yard", fresh_air=True))
AIRY = (Place("bench", room="shop", fresh_air=True), *ROOMS[1:])


def shop(*steps: Step, **more: Any) -> Problem:
    """Two pairs of hands at two benches in one room, and a yard."""
    problem = Problem(at(8), steps, (), (), HOURS, hands=2, places=ROOMS)
    return replace(problem, **more)


def _after(rule: str, problem: Problem, first: str, then: str, good: float, bad: float) -> Case:
    """The first step at nine, the other at a good or a bad hour."""
    return case(rule, problem, {first: at(9), then: at(good)}, {first: at(9), then: at(bad)})


COLD_NIGHT = ByHour(at(8), (60, 60, 240, 240))
BEFORE_AND_AFTER_LUNCH = ((at(11.5), at(12)), (at(13), at(13.5)))
SPANS = ((at(9), at(11)), (at(13), at(16)))
FIT = replace(COAT, fit=SPANS, fit_minutes=60)
CASES: dict[str, Case] = {
    "sawing by a wet coat": _after("no dust on wet", shop(COAT, SAW), "coat", "saw", 13, 11),
    "sawing while a coat is laid": _after("no dust on wet", shop(COAT, SAW), "coat", "saw", 8, 8.5),
    "coat that stays wet longer at this hour": _after(
        "no dust on wet", shop(replace(COAT, wet=COLD_NIGHT), SAW), "coat", "saw", 14, 13
    ),
    "waxing in vapour": _after("nobody in vapour", shop(STRIP, WAX), "strip", "wax", 10, 9.5),
    "waxing at the far bench": _after(
        "nobody in vapour", shop(STRIP, replace(WAX, place="far bench")), "strip", "wax", 8, 8.5
    ),
    "both with solvent": _after(
        "nobody in vapour", shop(STRIP, replace(STRIP, key="wash", piece="stand")), "strip", "wash", 10, 9
    ),
    "flame while solvent is used": _after("no flame by vapour", shop(STRIP, BURN, places=AIRY), "strip", "burn", 8, 9),
    "flame before the vapour has gone": _after("no flame by vapour", shop(STRIP, BURN), "strip", "burn", 13, 11),
    "flame at the far bench": _after(
        "no flame by vapour", shop(STRIP, replace(BURN, place="far bench")), "strip", "burn", 13, 10
    ),
    "flame in vapour that hangs longer at this hour": _after(
        "no flame by vapour", shop(replace(STRIP, fumes=COLD_NIGHT), BURN), "strip", "burn", 14, 13
    ),
    "flame while a solvent without lasting vapour is used": _after(
        "no flame by vapour", shop(replace(STRIP, fumes=None), BURN, places=AIRY), "strip", "burn", 10, 9
    ),
    "flame by a coat that gives off vapour": _after(
        "no flame by vapour", shop(replace(COAT, fumes=Fixed(60)), BURN), "coat", "burn", 11, 10
    ),
    "coat before it is warm": case("air fits", shop(FIT), {"coat": at(9)}, {"coat": at(8)}),
    "coat that is not cured before it cools": case("air fits", shop(FIT), {"coat": at(14)}, {"coat": at(14.5)}),
}


@pytest.mark.parametrize("name", CASES)
def test_this_rule_alone_is_broken(name: str) -> None:
    """The plan beside it passes."""
    found = CASES[name]
    assert rules_broken(found.problem, found.good) == set()
    assert rules_broken(found.problem, found.bad) == {found.rule}


def test_vapour_of_either_stretch_of_a_split_step_drives_others_out() -> None:
    """Before and after lunch alike."""
    problem = shop(replace(STRIP, split=True, fumes=None), replace(WAX, minutes=30))
    for hour, broken in ((11.25, {"nobody in vapour"}), (13, {"nobody in vapour"}), (10, set())):
        plan = plan_at(problem, {"strip": at(11.5), "wax": at(hour)}, {"strip": ("1",), "wax": ("2",)})
        plan = cut(problem, plan, "strip", *BEFORE_AND_AFTER_LUNCH)
        assert rules_broken(problem, plan) == broken


def test_dust_of_either_stretch_of_a_split_step_spoils_a_coat() -> None:
    """A coat laid after lunch is spoilt by what is sawn on after lunch; one that dried before is not."""
    problem = shop(replace(COAT, wet=Fixed(30)), replace(SAW, split=True))
    for hour, broken in ((13, {"no dust on wet"}), (10, set()), (14, set())):
        plan = plan_at(problem, {"saw": at(11.5), "coat": at(hour)}, {"saw": ("1",), "coat": ("2",)})
        assert rules_broken(problem, cut(problem, plan, "saw", *BEFORE_AND_AFTER_LUNCH)) == broken


def test_fresh_air_leads_vapour_away_but_fire_is_kept_out() -> None:
    """By an open window others may work beside a solvent; flames may not."""
    problem = shop(STRIP, WAX, places=AIRY)
    assert rules_broken(problem, plan_at(problem, {"strip": at(9), "wax": at(9)})) == set()
    yard = shop(replace(STRIP, place="yard"), replace(WAX, place="yard"))
    assert rules_broken(yard, plan_at(yard, {"strip": at(9), "wax": at(9)})) == set()
    flame = shop(replace(STRIP, place="yard"), replace(BURN, place="yard"))
    assert rules_broken(flame, plan_at(flame, {"strip": at(9), "burn": at(9)})) == {"no flame by vapour"}


def test_what_keeps_nobody_busy_may_go_on_in_vapour() -> None:
    """A soak that runs by itself breathes nothing."""
    problem = shop(STRIP, replace(WAX, hands=0))
    assert rules_broken(problem, plan_at(problem, {"strip": at(9), "wax": at(9)})) == set()


@pytest.mark.parametrize("other", [WAX, BURN])
def test_another_room_is_another_air(other: Step) -> None:
    """A place of which nothing is said is a room of its own, even if it is called like a room."""
    problem = shop(STRIP, replace(other, place="shop"))
    assert rules_broken(problem, plan_at(problem, {"strip": at(9), other.key: at(9)})) == set()


def test_dust_in_another_place_does_no_harm() -> None:
    """Dust is kept from the place of the coat, not from the room."""
    problem = shop(COAT, replace(SAW, place="far bench"))
    assert rules_broken(problem, plan_at(problem, {"coat": at(9), "saw": at(9)})) == set()


@pytest.mark.parametrize(("step", "other"), [(COAT, SAW), (STRIP, WAX), (STRIP, BURN)])
def test_two_facts_are_nobodys_fault(step: Step, other: Step) -> None:
    """What has been begun side by side is taken as it is."""
    begun = (replace(step, started=at(8)), replace(other, started=at(8)))
    problem = shop(*begun, now=at(8.5))
    plan = plan_at(problem, {step.key: at(8), other.key: at(8)})
    plan = changed(changed(plan, step.key, running=True), other.key, running=True)
    assert rules_broken(problem, plan) == set()


@pytest.mark.parametrize(("step", "other", "rule"), [
    (COAT, SAW, "no dust on wet"), (STRIP, WAX, "nobody in vapour"), (STRIP, BURN, "no flame by vapour"),
])  # fmt: skip
def test_what_has_begun_binds_what_is_planned(step: Step, other: Step, rule: str) -> None:
    """A fact is no excuse to plan something beside it."""
    problem = shop(replace(step, started=at(8)), other, now=at(8.5), places=AIRY if other.ignition else ROOMS)
    for hour, broken in ((8.5, {rule}), (13, set())):
        plan = changed(plan_at(problem, {step.key: at(8), other.key: at(hour)}), step.key, running=True)
        assert rules_broken(problem, plan) == broken


def test_touching_spans_of_fit_air_are_one() -> None:
    """Air that suits until eleven and from eleven on suits all the time."""
    problem = shop(replace(FIT, fit=((at(9), at(10)), (at(10), at(12)))))
    assert rules_broken(problem, plan_at(problem, {"coat": at(9)})) == set()
