"""What holds of the rule checker for every plan: nothing can be moved against its reason, and only what matters matters."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from datetime import UTC, datetime, timedelta
from itertools import combinations
from typing import Any

from bench.shared.shops import a_full_shop
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.planner.planner_made import every_step, rules_broken, shop_people, told

from tallboy.planner.network import Plan, Problem
from tallboy.planner.solve import first_plan

quick = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True)
shops = st.builds(
    lambda seed, pieces, steps: a_full_shop(seed, pieces=pieces, steps=steps),
    st.integers(0, 10**6),
    st.integers(1, 3),
    st.integers(3, 5),
)
LOOSE = ("kept", "done", "begun", "now")
"""Reasons of steps that may well begin earlier by the rules, or that nobody can move."""


def shifted(problem: Problem, plan: Plan, key: str, slots: int, people: tuple[str, ...] | None = None) -> Plan:
    """The plan with one step, in one stretch or in several, moved by whole slots and done by these people."""
    by = timedelta(minutes=slots * problem.slot_minutes)
    old = plan.steps[key]
    blocks = tuple((_later(a, by), _later(b, by)) for a, b in old.blocks)
    who = old.people if people is None else people
    new = replace(old, start=blocks[0][0], end=blocks[-1][1], blocks=blocks, people=who)
    return told(problem, replace(plan, steps={**plan.steps, key: new}))


def _later(time: datetime, by: timedelta) -> datetime:
    return (time.astimezone(UTC) + by).astimezone(time.tzinfo)


@quick
@given(shops)
def test_no_step_could_be_one_slot_earlier(problem: Problem) -> None:
    """Whoever does it: where a reason says that a step cannot be earlier, some rule is broken if it is."""
    plan = first_plan(problem)
    steps = every_step(problem)
    for key, planned in plan.steps.items():
        if planned.reason.rule in LOOSE or len(planned.blocks) > 1:
            continue
        for crew in combinations([person.key for person in shop_people(problem)], steps[key].hands):
            assert rules_broken(problem, shifted(problem, plan, key, -1, crew)), (key, crew, planned.reason)


@quick
@given(shops, st.data())
def test_a_step_moved_into_the_past_or_beyond_all_hours_is_found(problem: Problem, data: st.DataObject) -> None:
    """There is no work before now, nor after the last hours of the shop and its people."""
    plan = first_plan(problem)
    still = [key for key, planned in plan.steps.items() if not (planned.done or planned.running)]
    if not still:
        return
    key = data.draw(st.sampled_from(still))
    assert "nothing in the past" in rules_broken(problem, shifted(problem, plan, key, -12 * 24 * 90))
    assert "within hours" in rules_broken(problem, shifted(problem, plan, key, 12 * 24 * 90))


def disturbed(problem: Problem, data: st.DataObject) -> Plan:
    """A plan in which two steps have been moved, and done by others."""
    plan = first_plan(problem)
    people = [person.key for person in shop_people(problem)]
    still = [key for key, planned in plan.steps.items() if not (planned.done or planned.running)]
    for key in data.draw(st.lists(st.sampled_from(still), max_size=2)) if still else ():
        slots = data.draw(st.integers(-60, 60))
        crew = data.draw(st.permutations(people))[: len(plan.steps[key].people)]
        plan = shifted(problem, plan, key, slots, tuple(crew))
    return plan


def every_time(value: Any, change: Callable[[datetime], datetime]) -> Any:
    """A problem or plan with every time in it changed."""
    if isinstance(value, datetime):
        return change(value)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{each.name: every_time(getattr(value, each.name), change) for each in fields(value)})
    if isinstance(value, tuple):
        return tuple(every_time(each, change) for each in value)
    return {key: every_time(each, change) for key, each in value.items()} if isinstance(value, dict) else value


@quick
@given(shops, st.integers(-400, 400), st.data())
def test_the_same_breaches_in_another_week(problem: Problem, slots: int, data: st.DataObject) -> None:
    """Only times between times matter: problem and plan moved together break the same rules, whatever the zone."""
    plan = disturbed(problem, data)
    by = timedelta(minutes=slots * problem.slot_minutes)
    moved_problem, moved_plan = (every_time(value, lambda time: time.astimezone(UTC) + by) for value in (problem, plan))
    assert rules_broken(moved_problem, moved_plan) == rules_broken(problem, plan)


FREED: dict[str, dict[str, object]] = {
    "no dust on wet": {"dusty": False},
    "no flame by vapour": {"ignition": False},
    "air fits": {"fit": None},
    "resources enough": {"uses": ()},
    "crew knows how": {"skill": ""},
    "only those who may": {"people": ()},
    "what it awaits has come": {"awaits": ()},
}


@quick
@given(shops, st.sampled_from(sorted(FREED)), st.data())
def test_a_rule_taken_away_is_no_longer_broken_and_breaks_no_other(
    problem: Problem, rule: str, data: st.DataObject
) -> None:
    """What steps no longer ask for cannot be wanting; all else is judged as before."""
    plan = disturbed(problem, data)
    change: dict[str, Any] = FREED[rule]
    links = tuple(
        link if link.scuff is None else replace(link, scuff=replace(link.scuff, **change)) for link in problem.links
    )
    freed = replace(problem, steps=tuple(replace(step, **change) for step in problem.steps), links=links)
    assert rules_broken(freed, plan) == rules_broken(problem, plan) - {rule}
