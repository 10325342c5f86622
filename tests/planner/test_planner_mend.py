"""After a slip: what can stay stays, what must move moves, and what is gained by moving is weighed against it."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from bench.shared.shops import a_full_shop, a_shop, later, untouched
from tests.planner.planner_made import at
from tests.planner.test_planner_bounds import shop

from tallboy.planner.as_seen import as_seen
from tallboy.planner.mend import MOVE, judged, mend, starts
from tallboy.planner.network import Fixed, Link, Plan, Problem, Promise, Step
from tallboy.planner.rules.broken import broken_rules
from tallboy.planner.search.greedy import keep
from tallboy.planner.slots.board import Board
from tallboy.planner.slots.build import build
from tallboy.planner.solve import first_plan, solve


def slipped(problem: Problem, plan: Plan, hours: float, minutes: int) -> tuple[Problem, str]:
    """The shop some hours on, the step begun last having taken some minutes longer; and that step."""
    now = problem.now + timedelta(hours=hours)
    last = max((one for one in plan.steps.values() if one.start < now), key=lambda one: one.start).key
    return later(problem, plan, now, (last,), minutes), last


def moved(problem: Problem, plan: Plan) -> set[str]:
    """Steps that are not where people saw them."""
    return {key for key, start in problem.previous.items() if key in plan.steps and plan.steps[key].start != start}


@pytest.mark.parametrize("seed", range(8))
def test_mended_plans_keep_every_rule_and_tell_how_good_they_are(seed: int) -> None:
    """Shops that use everything the planner knows, after half an hour's slip on the second day."""
    problem = a_full_shop(seed)
    plan = solve(problem, seconds=0.5)
    again, _ = slipped(problem, plan, 26, 30)
    new = mend(again, seconds=0.4)
    assert broken_rules(again, new) == ()
    assert new.status in ("good", "optimal")
    assert 0 <= new.bound <= new.cost
    assert new.gap == pytest.approx((new.cost - new.bound) / new.cost if new.cost else 0.0)


def test_nothing_moves_when_nothing_has_slipped() -> None:
    """At a later hour with all as planned, the plan stays as it was, also where a step could be earlier."""
    problem = a_shop(3, pieces=3, steps=8, hands=2)
    plan = solve(problem, seconds=0.5)
    again = later(problem, plan, problem.now + timedelta(hours=20))
    assert moved(again, mend(again)) == set()


@pytest.mark.parametrize("seed", range(3))
def test_the_plan_as_seen_stays_as_it_was(seed: int) -> None:
    """Nothing moves while all can stay, and every rule is kept; where a step cannot stay, it is mended."""
    problem = a_full_shop(seed)
    plan = solve(problem, seconds=0.3)
    again = replace(problem, previous={key: one.start for key, one in plan.steps.items()})
    seen = as_seen(again)
    assert broken_rules(again, seen) == ()
    assert moved(again, seen) == set()
    after, _ = slipped(problem, plan, 26, 30)
    assert broken_rules(after, as_seen(after, seconds=0.2)) == ()


def test_the_step_that_lost_its_place_goes_into_a_gap() -> None:
    """An hour's slip takes the place of one step: it goes to the free hour of the afternoon, the others stay."""
    steps = (
        Step("strip", "slope", "Strip", 120, started=at(8)),
        Step("glue", "stand", "Glue", 60),
        Step("wax", "stool", "Wax", 60),
    )
    seen = {"strip": at(8), "glue": at(9), "wax": at(10)}
    problem = replace(shop(*steps), now=at(9), previous=seen)
    new = mend(problem)
    assert moved(problem, new) == {"glue"}
    assert new.steps["wax"].start == at(10)
    assert new.steps["glue"].start == at(11)


def test_a_promise_that_can_be_kept_moves_a_step() -> None:
    """The same, but the piece that lost its place is promised for eleven: the other one gives way."""
    steps = (
        Step("strip", "slope", "Strip", 120, started=at(8)),
        Step("glue", "stand", "Glue", 60),
        Step("wax", "stool", "Wax", 60),
    )
    seen = {"strip": at(8), "glue": at(9), "wax": at(10)}
    problem = replace(shop(*steps, promises=(Promise("stand", at(11)),)), now=at(9), previous=seen)
    new = mend(problem)
    assert new.promises[0].late_minutes == 0
    assert new.steps["glue"].start == at(10)
    assert new.steps["wax"].start == at(11)


def test_a_step_moves_where_enough_is_gained() -> None:
    """What people saw wastes a day that the new plan need not waste, once the step has to be looked at again."""
    steps = (Step("strip", "slope", "Strip", 120, started=at(8)), Step("glue", "stand", "Glue", 60))
    far = replace(
        shop(*steps, Step("wax", "stand", "Wax", 60), links=(Link("glue", "wax", least=Fixed(60)),)),
        now=at(9),
        previous={"strip": at(8), "glue": at(9), "wax": at(15, 2)},
    )
    new = mend(far)
    assert moved(far, new) == {"glue", "wax"}
    assert new.steps["wax"].start < at(17)


@pytest.mark.parametrize(("start", "price"), [(at(8), 0), (at(9), MOVE // 60)])
def test_a_changed_start_has_its_price(start: datetime, price: int) -> None:
    """Judged in slots of an hour: the finish, and MOVE minutes more if the step is not where it was."""
    problem = replace(shop(Step("a", "slope", "A", 60)), previous={"a": at(8)})
    grid = build(problem)
    board = Board(grid)
    board.place(grid.tasks[0], grid.clock.ceil(start))
    finish = int((start - at(8)).total_seconds() // 3600) + 1
    assert judged(board) == (0, 0, finish + price)


def test_without_a_plan_seen_before_the_shop_is_planned_anew() -> None:
    """There is nothing to stay for: the plan is that of the solver."""
    problem = a_shop(2, pieces=2, steps=6)
    assert mend(problem, seconds=5).steps == solve(problem, seconds=5).steps


def test_with_hands_to_spare_most_steps_stay() -> None:
    """Eight shops of three pieces and two pairs of hands: eight in ten of the steps that do not follow the slip stay."""
    stayed = count = 0
    for seed in range(8):
        problem = a_shop(seed, pieces=3, steps=10, hands=2)
        plan = solve(problem, seconds=0.5)
        again, last = slipped(problem, plan, 52, 60)
        new = mend(again)
        rest = untouched(again, last)
        count += len(rest)
        stayed += sum(new.steps[key].start == plan.steps[key].start for key in rest)
    assert stayed >= 0.8 * count


def test_pieces_give_way_where_nothing_fits_in_beside_the_others() -> None:
    """A full shop in which what an hour's slip displaced finds no room while all others stay: some stay, the plan is whole."""
    problem = a_shop(58, pieces=4, steps=14, hands=1, days=21)
    again, _ = slipped(problem, first_plan(problem), 52, 60)
    grid = build(again)
    assert keep(grid) is None
    board = starts(grid)[0]
    assert {task.index for task in grid.open_tasks} <= set(board.start)
    assert any(board.start[i] == start for i, start in grid.previous.items() if grid.tasks[i].fact is None)
    assert broken_rules(again, mend(again)) == ()
