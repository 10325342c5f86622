"""The checker finds who is where he cannot be, and what there is not enough of; plans that keep these rules pass."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from bench.shared.shops import working_hours
from tests.planner.planner_made import Case, at, case, changed, cut, plan_at, rules_broken

from tallboy.planner.network import ByHour, Fixed, Person, Place, Plan, Problem, Resource, Step, Use

HOURS = working_hours(at(0), 2)
ANNA = Person("anna", skills=frozenset({"veneer"}))
BEN = Person("ben", hours=((at(8), at(10)), (at(11), at(15)), (at(8, 1), at(12, 1))))
LAY = Step("lay", "slope", "Lay the veneer", 60, skill="veneer")
LIFT = Step("lift", "dresser", "Lift the top on", 60, hands=2)
RUB = Step("rub", "stand", "Rub down", 60)
CARVE = Step("carve", "stand", "Carve", 150, split=True)
GLUE = Step("glue", "slope", "Glue up", 60, uses=(Use("clamps", 3, Fixed(120)),))
GLUE_TOO = replace(GLUE, key="glue too", piece="stand", uses=(Use("clamps", 2, Fixed(30)),))
CLAMPS = Resource("clamps", "Clamps", 4)


def shop(*steps: Step, **more: Any) -> Problem:
    """Anna, who is there all day, and Ben, who is not."""
    return replace(Problem(at(8), steps, (), (), HOURS, people=(ANNA, BEN)), **more)


def by(problem: Problem, key: str, *crew: str) -> Plan:
    """The only step at eight, by this crew."""
    return plan_at(problem, {key: at(8)}, {key: crew})


def _crew(rule: str, step: Step, good: tuple[str, ...], bad: tuple[str, ...], **more: Any) -> Case:
    problem = shop(step, **more)
    return Case(rule, problem, by(problem, step.key, *good), by(problem, step.key, *bad))


def _cut(rule: str, problem: Problem, good: tuple[float, ...], bad: tuple[float, ...]) -> Case:
    """Carving in two stretches, by Ben."""
    base = plan_at(problem, {"carve": at(8)}, {"carve": ("ben",)})
    plans = [cut(problem, base, "carve", (at(a), at(b)), (at(c), at(d))) for a, b, c, d in (good, bad)]
    return Case(rule, problem, *plans)


def _twice(good: str, bad: str) -> Case:
    """Anna carves in the yard, which is closed for an hour; somebody rubs down in it."""
    yard = Place("yard", hours=((at(9), at(10)), (at(11), at(15))))
    problem = shop(replace(CARVE, place="yard"), RUB, places=(yard,), people=(ANNA, Person("carl")))
    starts = {"carve": at(9), "rub": at(10)}
    plans = [plan_at(problem, starts, {"carve": ("anna",), "rub": (who,)}) for who in (good, bad)]
    plans = [cut(problem, plan, "carve", (at(9), at(10)), (at(11), at(12)), (at(13), at(13.5))) for plan in plans]
    return Case("nobody in two steps", problem, *plans)


def _begun(rule: str, step: Step, good: tuple[str, ...], bad: tuple[str, ...], rub: tuple[float, float]) -> Case:
    """A step that Ben, or nobody knows who, began at eight; it is nine now."""
    problem = shop(replace(step, started=at(8), minutes=120), RUB, now=at(9))
    plans = [
        changed(plan_at(problem, {step.key: at(8), "rub": at(hour)}, {step.key: crew}), step.key, running=True)
        for crew, hour in zip((good, bad), rub, strict=True)
    ]
    return Case(rule, problem, *plans)


def _by_hour(good: float, bad: float) -> Case:
    """Clamps that hold for longer when the glue sets late in the day."""
    hold = ByHour(at(8), (60, 60, 240))
    one = replace(GLUE, uses=(Use("clamps", 3, hold),))
    problem = shop(one, GLUE_TOO, resources=(CLAMPS,))
    return Case(
        "resources enough", problem, *(plan_at(problem, {"glue": at(9), "glue too": at(h)}) for h in (good, bad))
    )


def _over_full(good: float, bad: float) -> Case:
    """Two glued pieces hold more clamps than there are; a third one comes when enough of them are free."""
    facts = tuple(replace(GLUE, key=f"was {k}", done=(at(8), at(9))) for k in (1, 2))
    problem = shop(*facts, GLUE_TOO, resources=(CLAMPS,), now=at(9))
    plans = [plan_at(problem, {"was 1": at(8), "was 2": at(8), "glue too": at(hour)}) for hour in (good, bad)]
    plans = [changed(changed(plan, "was 1", done=True), "was 2", done=True) for plan in plans]
    return Case("resources enough", problem, *plans)


def _yard(good: tuple[float, ...], bad: tuple[float, ...]) -> Case:
    """Carving before and after lunch in a yard that closes early, by Anna."""
    yard = Place("yard", hours=((at(9), at(13.5)),))
    problem = shop(replace(CARVE, place="yard", minutes=90), places=(yard,))
    base = plan_at(problem, {"carve": at(9)}, {"carve": ("anna",)})
    plans = [cut(problem, base, "carve", (at(a), at(b)), (at(c), at(d))) for a, b, c, d in (good, bad)]
    return Case("place open", problem, *plans)


def _goes_on(good: float, bad: float) -> Case:
    """Ben is at what he has begun until ten; another step of his comes after."""
    problem = shop(replace(RUB, key="begun", people=("ben",), started=at(8), minutes=120), RUB, now=at(9))
    crews = {"begun": ("ben",), "rub": ("ben",)}
    plans = [plan_at(problem, {"begun": at(8), "rub": at(hour)}, crews) for hour in (good, bad)]
    return Case("nobody in two steps", problem, *(changed(plan, "begun", running=True) for plan in plans))


YARD = Place("yard", hours=((at(9), at(11)),))
CASES: dict[str, Case] = {
    "one person for a lift by two": _crew("crew in number", LIFT, ("anna", "ben"), ("anna",)),
    "the same person twice": _crew("crew in number", LIFT, ("ben", "anna"), ("anna", "anna")),
    "three people for a lift by two": _crew(
        "crew in number", LIFT, ("anna", "ben"), ("anna", "ben", "carl"), people=(ANNA, BEN, Person("carl"))
    ),
    "somebody nobody knows": _crew("crew in number", RUB, ("ben",), ("carl",)),
    "a pair of hands too many": _crew("crew in number", RUB, ("2",), ("3",), people=(), hands=2),
    "somebody at what does itself": _crew("crew in number", replace(RUB, hands=0), (), ("ben",)),
    "nobody knows how": _crew("crew knows how", LAY, ("anna",), ("ben",)),
    "nobody of two knows how": _crew(
        "crew knows how", replace(LAY, hands=2), ("anna", "ben"), ("ben", "carl"), people=(ANNA, BEN, Person("carl"))
    ),
    "somebody who may not": _crew("only those who may", replace(RUB, people=("anna",)), ("anna",), ("ben",)),
    "one of two may not": _crew(
        "only those who may",
        replace(LIFT, people=("anna", "carl")),
        ("anna", "carl"),
        ("anna", "ben"),
        people=(ANNA, BEN, Person("carl")),
    ),
    "after Ben has gone": case("within hours", shop(replace(RUB, people=("ben",))), {"rub": at(14)}, {"rub": at(15)}),
    "before Ben comes back": case("within hours", shop(replace(LIFT, minutes=45)), {"lift": at(11)}, {"lift": at(9.5)}),
    "what does itself, over lunch": case(
        "within hours", shop(replace(RUB, hands=0)), {"rub": at(11)}, {"rub": at(11.5)}
    ),
    "before the yard opens": case(
        "place open", shop(replace(RUB, place="yard"), places=(YARD,)), {"rub": at(9)}, {"rub": at(8)}
    ),
    "cut before Ben goes": _cut("cut where hours end", shop(CARVE), (8.5, 10, 11, 12), (8, 9, 11, 12.5)),
    "going on after Ben has come": _cut("cut where hours end", shop(CARVE), (9, 10, 11, 12.5), (9, 10, 12, 13.5)),
    "a stretch left out": _cut(
        "cut where hours end",
        shop(CARVE, people=(replace(BEN, hours=((at(8), at(9)), (at(10), at(10.25)), (at(13), at(17)))),)),
        (8, 9, 13, 14.5),
        (8, 9, 14, 15.5),
    ),
    "cut before the yard closes": _cut(
        "cut where hours end",
        shop(replace(CARVE, place="yard"), places=(replace(YARD, hours=((at(9), at(9.5)), (at(11), at(15)))),)),
        (9, 9.5, 11, 13),
        (9, 9.5, 12, 14),
    ),
    "cut before the quiet hour": _cut(
        "cut where hours end",
        shop(replace(CARVE, noisy=True), quiet=((at(9), at(11)),)),
        (8, 9, 11, 12.5),
        (8, 8.5, 11, 13),
    ),
    "carving and rubbing down": _twice("carl", "anna"),
    "the rest of carving after the yard has closed": _yard((11, 12, 13, 13.5), (11.5, 12, 13, 14)),
    "at another step while one is under way": _goes_on(11, 9),
    "others go on": _begun(
        "who began goes on", replace(RUB, key="begun", people=("ben",)), ("ben",), ("anna",), (11, 11)
    ),
    "three at work where two are": _begun("hands enough", replace(LIFT, key="begun"), (), (), (10, 9)),
    "too many clamps at once": case(
        "resources enough",
        shop(GLUE, GLUE_TOO, resources=(CLAMPS,)),
        {"glue": at(8), "glue too": at(11)},
        {"glue": at(8), "glue too": at(9)},
    ),
    "clamps still held in the evening": _by_hour(14, 13),
    "more than all clamps are held": _over_full(11, 10),
}


@pytest.mark.parametrize("name", CASES)
def test_this_rule_alone_is_broken(name: str) -> None:
    """The plan beside it passes."""
    found = CASES[name]
    assert rules_broken(found.problem, found.good) == set()
    assert rules_broken(found.problem, found.bad) == {found.rule}


def test_a_stretch_too_short_for_a_chunk_is_sat_out() -> None:
    """A quarter of an hour between two absences is no time to carve for at least half an hour; half an hour would be."""
    hours = ((at(8), at(9)), (at(10), at(10.25)), (at(13), at(17)))
    problem = shop(CARVE, people=(replace(BEN, hours=hours),))
    plan = cut(problem, by(problem, "carve", "ben"), "carve", (at(8), at(9)), (at(13), at(14.5)))
    assert rules_broken(problem, plan) == set()
    longer = replace(problem, people=(replace(BEN, hours=(hours[0], (at(10), at(10.5)), hours[2])),))
    assert rules_broken(longer, plan) == {"cut where hours end"}


def test_the_last_clamp_may_be_taken() -> None:
    """Three and one are four, which is all there are."""
    one = replace(GLUE_TOO, uses=(Use("clamps", 1, Fixed(60)),))
    problem = shop(GLUE, one, resources=(CLAMPS,))
    assert rules_broken(problem, plan_at(problem, {"glue": at(8), "glue too": at(8)})) == set()


def test_two_facts_are_nobodys_fault() -> None:
    """Two steps that one person began at once are taken as they are."""
    begun = tuple(replace(RUB, key=key, started=at(8), people=("anna",)) for key in ("a", "b"))
    problem = shop(*begun, now=at(8.5))
    plan = plan_at(problem, {"a": at(8), "b": at(8)}, {"a": ("anna",), "b": ("anna",)})
    plan = changed(changed(plan, "a", running=True), "b", running=True)
    assert rules_broken(problem, plan) == set()


def test_a_step_without_hands_needs_no_skill() -> None:
    """What happens by itself, like a coat that dries, is done by nobody, so that nobody has to know how."""
    problem = shop(replace(RUB, hands=0, skill="veneer"))
    assert rules_broken(problem, plan_at(problem, {RUB.key: at(8)}, {RUB.key: ()})) == set()
