"""How much later a step may begin: by the independent checker nothing else has to move; by the solver no promise suffers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from bench.shared.shops import MONDAY, a_full_shop, a_shop, cold_nights, working_hours
from tests.planner.planner_made import at, plan_at, rules_broken, told

from tallboy.planner.network import ByHour, Fixed, Link, Plan, Problem, Promise, Step
from tallboy.planner.rules.broken import broken_rules
from tallboy.planner.solve import first_plan, solve
from tallboy.planner.why.room import Room, rooms

SLOT = timedelta(minutes=5)
# What a start between two that are good may break: nobody is there, it is too loud then, or the air does not suit.
OWN = {"within hours", "in one stretch", "place open", "quiet kept", "air fits"}
LEAST = 100


def put(problem: Problem, plan: Plan, key: str, start: datetime) -> Plan:
    """The plan with one step, done in one stretch, begun at another time by the same people."""
    old = plan.steps[key]
    block = (start, start + (old.end - old.start))
    steps = {**plan.steps, key: replace(old, start=block[0], end=block[1], blocks=(block,))}
    return told(problem, replace(plan, steps=steps))


def later_promises(problem: Problem, before: Plan, after: Plan) -> list[str]:
    """The pieces that are finished later than they were planned and later than they are promised."""
    was = {kept.piece: kept.finish for kept in before.promises}
    return [kept.piece for kept in after.promises if kept.finish > max(was[kept.piece], kept.by)]


def whole_steps(problem: Problem, plan: Plan, found: dict[str, Room]) -> Iterator[tuple[str, Room]]:
    """The rooms of steps that are done in one go."""
    uncut = {step.key for step in problem.steps if not step.split}
    return ((key, room) for key, room in found.items() if key in uncut and len(plan.steps[key].blocks) == 1)


def shops() -> Iterator[tuple[Problem, Plan]]:
    for seed in range(24):
        problem = a_full_shop(seed)
        yield problem, first_plan(problem, seed=seed)
        problem = a_shop(seed, pieces=3, steps=8, hands=1 + seed % 3)
        yield problem, first_plan(problem, seed=seed)


def test_nothing_else_has_to_move() -> None:
    """In shops that use every rule, a step begun as late as it freely may breaks no rule and makes no promise later."""
    tried = 0
    for problem, plan in shops():
        assert broken_rules(problem, plan) == ()
        for key, room in whole_steps(problem, plan, rooms(problem, plan)):
            if room.free_until is None or room.free_until == plan.steps[key].start:
                continue
            tried += 1
            moved = put(problem, plan, key, room.free_until)
            assert broken_rules(problem, moved) == (), (key, room)
            assert later_promises(problem, plan, moved) == []
    assert tried > LEAST


def test_nor_at_any_time_before_that() -> None:
    """Between the planned and the latest start nothing stands in the way but the hours and the air of the step itself."""
    for problem, plan in list(shops())[::4]:
        for key, room in whole_steps(problem, plan, rooms(problem, plan)):
            start = plan.steps[key].start
            until = room.free_until or start
            for share in (0.25, 0.5, 0.9):
                between = start + int((until - start) * share / SLOT) * SLOT
                assert rules_broken(problem, put(problem, plan, key, between)) <= OWN, (key, between)


def test_begun_later_still_something_has_to_move() -> None:
    """Where waits do not depend on the hour, the next start that the hours allow breaks a rule or makes a promise later."""
    tried = 0
    for seed in range(12):
        problem = a_shop(seed, pieces=3, steps=7, hands=1 + seed % 2)
        links = tuple(replace(link, least=_shortest(link)) for link in problem.links)
        problem = replace(problem, links=links)
        plan = first_plan(problem)
        for key, room in whole_steps(problem, plan, rooms(problem, plan)):
            if room.free_until is None:
                continue
            later = _next_start(problem, plan, key, room.free_until)
            if later is None:
                continue
            tried += 1
            moved = put(problem, plan, key, later)
            assert broken_rules(problem, moved) or later_promises(problem, plan, moved), (seed, key)
    assert tried > LEAST


def _shortest(link: Link) -> Fixed:
    return Fixed(min(link.least.minutes)) if isinstance(link.least, ByHour) else link.least


def _next_start(problem: Problem, plan: Plan, key: str, start: datetime) -> datetime | None:
    """The first slot after a start from which the whole of the step lies in working hours."""
    length = plan.steps[key].end - plan.steps[key].start
    starts = (max(a, start + SLOT) for a, b in problem.working if max(a, start + SLOT) + length <= b)
    return min(starts, default=None)


def test_no_promise_suffers() -> None:
    """With a step not allowed before its latest start, the best plan keeps every promise as well as before."""
    tried = 0
    for seed in range(10):
        problem = a_shop(seed, pieces=2, steps=5, hands=1 + seed % 2, days=28)
        plan = solve(problem, seconds=2)
        found = rooms(problem, plan)
        spared = [key for key, room in found.items() if room.spare_until and room.spare_until > plan.steps[key].start]
        for key in spared[::4]:
            held = tuple(
                replace(step, not_before=found[key].spare_until) if step.key == key else step for step in problem.steps
            )
            again = solve(replace(problem, steps=held), seconds=2)
            assert _weighted(problem, again) <= _weighted(problem, plan), (seed, key)
            tried += 1
    assert tried > 10


def _weighted(problem: Problem, plan: Plan) -> int:
    weights = {promise.piece: promise.weight for promise in problem.promises}
    return sum(kept.late_minutes * weights[kept.piece] for kept in plan.promises)


def test_free_is_never_more_than_spare() -> None:
    """What delays nothing at all delays no promise either, and neither comes after the window has closed."""
    for problem, plan in shops():
        for key, room in rooms(problem, plan).items():
            start = plan.steps[key].start
            assert room.spare_until is None or (
                room.free_until is not None and start <= room.free_until <= room.spare_until
            )
            assert room.window_closes is None or start <= (room.free_until or start) <= room.window_closes


def test_a_morning_by_hand() -> None:
    """Sand 8:00-9:00, coat 9:00-9:30, two hours to dry, rub down 11:30; promised for noon on the same day."""
    steps = (Step("sand", "desk", "Sand", 60), Step("coat", "desk", "Coat", 30), Step("rub", "desk", "Rub down", 15))
    links = (Link("sand", "coat"), Link("coat", "rub", "drying", Fixed(120)))
    problem = Problem(at(8), steps, links, (Promise("desk", at(12)),), working_hours(MONDAY, 5, lunch=False))
    plan = plan_at(problem, {"sand": at(8), "coat": at(9), "rub": at(11.5)})
    found = rooms(problem, plan)
    assert found["rub"] == Room(at(11.75), at(11.75), None)
    assert found["coat"] == Room(at(9), at(9.25), None)
    assert found["sand"] == Room(at(8), at(8.25), None)


def test_no_promise_no_limit() -> None:
    """Without a promise a last step may wait for ever; one that others follow may not wait longer than they do."""
    steps = (Step("sand", "desk", "Sand", 60), Step("wax", "desk", "Wax", 30))
    problem = Problem(at(8), steps, (Link("sand", "wax"),), (), working_hours(MONDAY, 5))
    found = rooms(problem, plan_at(problem, {"sand": at(8), "wax": at(10)}))
    assert found["wax"] == Room(None, None, None)
    assert found["sand"] == Room(at(9), None, None)


def test_a_window_ends_all_room() -> None:
    """The second coat within six hours of the first: whatever is promised, not later; the first so that it still can follow in time."""
    steps = (Step("one", "desk", "Coat 1", 30), Step("two", "desk", "Coat 2", 30))
    links = (Link("one", "two", "drying", Fixed(60), 360),)
    problem = Problem(at(8), steps, links, (Promise("desk", at(17, 3)),), working_hours(MONDAY, 5, lunch=False))
    found = rooms(problem, plan_at(problem, {"one": at(8), "two": at(9.5)}))
    assert found["two"] == Room(at(14.5), at(14.5), at(14.5))
    assert found["one"] == Room(at(8), at(13), None)


@pytest.mark.parametrize(("dries", "until"), [(Fixed(120), 12.5), (cold_nights(MONDAY, 120, 600, 5), 8.5)])
def test_a_cold_evening_ends_the_room_sooner(dries: Fixed | ByHour, until: float) -> None:
    """A coat that would dry longer the later it is laid may not be laid as late."""
    steps = (Step("coat", "desk", "Coat", 30), Step("rub", "desk", "Rub down", 30))
    problem = Problem(at(8), steps, (Link("coat", "rub", "drying", dries),), (), working_hours(MONDAY, 5, lunch=False))
    found = rooms(problem, plan_at(problem, {"coat": at(8), "rub": at(15)}))
    latest = found["coat"].free_until
    assert latest is not None
    assert broken_rules(problem, put(problem, plan_at(problem, {"coat": at(8), "rub": at(15)}), "coat", latest)) == ()
    assert (latest == at(12.5)) == isinstance(dries, Fixed)
    assert latest >= at(until)
