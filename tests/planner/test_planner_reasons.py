"""Every step says why it is not earlier, and it is true: with the named rule out of the way it could be."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from bench.shared.shops import MONDAY, a_shop, working_hours
from tests.planner.planner_made import moved

from tallboy.planner.network import ByHour, Fixed, Link, Person, Plan, Problem, Reason, Step
from tallboy.planner.rules.broken import broken_rules
from tallboy.planner.solve import solve

EIGHT = MONDAY + timedelta(hours=8)


def _step(problem: Problem, key: str, **changes: Any) -> Problem:
    steps = tuple(replace(step, **changes) if step.key == key else step for step in problem.steps)
    return replace(problem, steps=steps)


def _no_link(problem: Problem, key: str, because: tuple[str, ...]) -> Problem:
    links = [link for link in problem.links if {link.first, link.then} != {key, because[0]}]
    return replace(problem, links=tuple(links))


WITHOUT: dict[str, Callable[[Problem, str, tuple[str, ...]], Problem]] = {
    "wait": _no_link,
    "order": _no_link,
    "window": _no_link,
    "hands": lambda problem, key, _: _step(problem, key, hands=0),
    "dust": lambda problem, key, _: _step(problem, key, dusty=False, wet=None),
    "not before": lambda problem, key, _: _step(problem, key, not_before=None),
    "hours": lambda problem, _, __: replace(problem, working=((MONDAY, MONDAY + timedelta(days=99)),)),
}


def could_be_earlier(problem: Problem, plan: Plan, key: str) -> bool:
    """Whether the step could start at an earlier slot with all else as planned, by the independent checker.

    Whoever is free may do it then, so only how many are busy is asked, not which of several people alike.
    """
    start = plan.steps[key].start
    slot = timedelta(minutes=problem.slot_minutes)
    while start - slot >= problem.now:
        start -= slot
        broken = broken_rules(problem, moved(problem, plan, key, start))
        if {rule.rule for rule in broken} <= {"nobody in two steps", "place changes counted"}:
            return True
    return False


@pytest.mark.parametrize("seed", range(14))
def test_removing_the_named_rule_lets_the_step_move(seed: int) -> None:
    """For every step of random shops; and no step could start one slot earlier with all rules in place."""
    problem = a_shop(seed, pieces=2, steps=5, hands=1 + seed % 2, days=14)
    problem = replace(problem, steps=tuple(replace(s, split=False, minutes=min(s.minutes, 200)) for s in problem.steps))
    plan = solve(problem, seconds=1)
    named = [key for key in plan.steps if plan.steps[key].reason.rule != "now"]
    assert named
    for key in named:
        why = plan.steps[key].reason
        earlier = moved(problem, plan, key, plan.steps[key].start - timedelta(minutes=5))
        assert broken_rules(problem, earlier), key
        if not why.also:
            freed = WITHOUT[why.rule](problem, key, why.because)
            assert could_be_earlier(freed, plan, key), (key, why)


def test_several_rules_are_named_only_where_one_does_not_do() -> None:
    """Over random shops, nearly every step is held by one rule alone, or by a link and the hands of the step before."""
    reasons = [
        planned.reason
        for seed in range(10)
        for planned in solve(a_shop(seed, pieces=3, steps=8), seconds=0.5).steps.values()
    ]
    assert all({why.rule, *why.also} <= set(WITHOUT) | {"now"} for why in reasons)
    assert sum(not why.also for why in reasons) / len(reasons) >= 0.6


def reason_of(key: str, *steps: Step, links: tuple[Link, ...] = ()) -> Reason:
    return solve(Problem(EIGHT, steps, links, (), working_hours(MONDAY, 4))).steps[key].reason


ONE = Step("one", "slope", "Knotting on the sides", 60)
TWO = Step("two", "slope", "First coat", 60)


def test_wait_in_words() -> None:
    """A drying wait names the coat and the time."""
    why = reason_of("two", ONE, TWO, links=(Link("one", "two", "drying", Fixed(80)),))
    assert why == Reason(
        "wait", "Waits for “Knotting on the sides” to dry: until 10:20.", EIGHT + timedelta(minutes=140), ("one",)
    )


def test_own_words_of_a_link_are_used() -> None:
    """A link's own text replaces the planner's words."""
    link = Link("one", "two", "drying", Fixed(80), text="Waits for the knotting on the sides to dry")
    assert reason_of("two", ONE, TWO, links=(link,)).text == "Waits for the knotting on the sides to dry: until 10:20."
    whole = replace(link, text="Knotting must be dry.")
    assert reason_of("two", ONE, TWO, links=(whole,)).text == "Knotting must be dry. That takes until 10:20."


def test_closed_shop_in_words() -> None:
    """A step that does not fit in before lunch says so."""
    why = reason_of("one", replace(ONE, not_before=EIGHT + timedelta(hours=3, minutes=30)))
    assert (why.rule, why.text) == ("hours", "Too long to finish before the shop closes; fits from 13:00.")


def in_the_morning(step: Step, until: int) -> Reason:
    """Why a step waits that was ready in the evening, in a shop of one who begins at eight and one who begins at nine."""
    hours = working_hours(MONDAY, 4)
    late = tuple((max(start, start.replace(hour=9)), end) for start, end in hours)
    problem = Problem(EIGHT, (step,), (), (), hours, people=(Person("ines"), Person("rui", hours=late)))
    return (
        solve(replace(problem, steps=(replace(step, not_before=EIGHT + timedelta(hours=until)),))).steps["one"].reason
    )


def test_one_who_comes_later_is_not_a_closed_shop() -> None:
    """Where the shop opens at eight and the second pair of hands comes at nine, the shop is not called closed until nine."""
    both = in_the_morning(replace(ONE, hands=2), until=10)
    assert (both.rule, both.text) == (
        "hours",
        "Those who can do it, or its place, are not free for it until Tue 25 Mar, 09:00.",
    )
    one = reason_of("two", ONE, TWO, links=(Link("one", "two", "drying", Fixed(9 * 60)),))
    assert (one.rule, one.text) == ("hours", "The shop is closed until Tue 25 Mar, 08:00.")


def test_not_before_on_another_day_names_the_day() -> None:
    """A time on another day is told with its day."""
    why = reason_of("one", replace(ONE, not_before=EIGHT + timedelta(days=1, hours=1)))
    assert why.text == "Not before Tue 25 Mar, 09:00."


def test_put_off_into_closed_hours_names_the_date_first() -> None:
    """A step put off until the shop is closed begins when it opens again: that it was put off holds it, the hours beside that."""
    why = reason_of("one", replace(ONE, not_before=EIGHT + timedelta(hours=12)))
    assert (why.rule, why.also, why.text) == ("not before", ("hours",), "Not before 20:00.")


def test_dust_in_words() -> None:
    """A dusty step held by a wet coat names the coat and gives its note."""
    coat = replace(ONE, wet=Fixed(90), dust_free_note="Dust-free after an hour and a half by the can.")
    why = reason_of("saw", coat, Step("saw", "stand", "Saw", 80, dusty=True), links=(Link("one", "saw"),))
    assert why.rule == "dust"
    assert (
        why.text
        == "No dust while “Knotting on the sides” is wet: until 10:30. Dust-free after an hour and a half by the can."
    )


def test_hands_in_words() -> None:
    """The steps that keep the hands busy are named."""
    why = reason_of("two", ONE, replace(TWO, piece="stand", minutes=120))
    assert why == Reason(
        "hands", "“Knotting on the sides” is in hand until 09:00.", EIGHT + timedelta(hours=1), ("one",)
    )


def test_order_done_and_begun_in_words() -> None:
    """Order, done and begun are told plainly."""
    done = replace(ONE, done=(EIGHT - timedelta(hours=1), EIGHT - timedelta(minutes=10)))
    assert reason_of("one", done).text == "Done: 07:50."
    assert reason_of("one", replace(ONE, started=EIGHT - timedelta(minutes=10))).text == "Begun: 07:50."
    assert reason_of("two", done, TWO, links=(Link("one", "two"),)).rule == "now"
    assert (
        "Comes after “Knotting on the sides”, done by" in reason_of("two", ONE, TWO, links=(Link("one", "two"),)).text
    )


def test_cold_hour_in_words() -> None:
    """A coat that would have to dry longer if laid earlier says so."""
    wait = ByHour(MONDAY, tuple(1500 if hour < 11 else 120 for hour in range(96)))
    why = reason_of("one", ONE, replace(TWO, minutes=30), links=(Link("one", "two", "drying", wait),))
    assert why.rule == "wait"
    assert why.because == ("two",)
    assert "would have to wait longer" in why.text
