"""Last touches: fewer changes of place, days that end early, and nothing lost by either."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from bench.shared.shops import a_full_shop

from tallboy.planner.network import Link, Plan, Problem, Step
from tallboy.planner.rules.broken import broken_rules
from tallboy.planner.search.crew import place_changes
from tallboy.planner.search.greedy import best_greedy, cost
from tallboy.planner.search.improve import shift_left
from tallboy.planner.search.polish import polish
from tallboy.planner.slots.build import build
from tallboy.planner.solve import solve

EIGHT = datetime.fromisoformat("2031-03-24T08:00+00:00")
DAY = timedelta(days=1)
OPEN = tuple((EIGHT + k * DAY, EIGHT + k * DAY + timedelta(hours=4)) for k in range(3))


def shop(*steps: Step, links: tuple[Link, ...] = (), leave_early: bool = False) -> Problem:
    """Three mornings, one pair of hands."""
    return Problem(EIGHT, steps, links, (), OPEN, leave_early=leave_early)


def solved(problem: Problem) -> Plan:
    """The best plan; it keeps every rule by the independent check."""
    plan = solve(problem, seconds=2)
    assert broken_rules(problem, plan) == ()
    return plan


def test_work_in_one_place_is_done_together() -> None:
    """Two steps at the bench and two in the yard, in any order: one walk, not three."""
    steps = [Step(f"s{k}", "dresser", f"Step {k}", 60, place=("bench", "yard")[k % 2]) for k in range(4)]
    assert solved(shop(*steps)).place_changes == 1


def test_walks_are_saved_only_where_nothing_is_lost() -> None:
    """The trolley is finished an hour sooner by a walk more, so it is walked."""
    steps = (
        Step("a", "dresser", "A", 60, place="bench"),
        Step("b", "trolley", "B", 60, place="yard"),
        Step("c", "dresser", "C", 60, place="bench"),
    )
    plan = solved(shop(*steps, links=(Link("a", "c"),)))
    assert plan.cost == 60 + 180
    assert plan.place_changes == 1


@pytest.mark.parametrize("seed", range(12))
def test_polish_keeps_the_aims_before_it(seed: int) -> None:
    """Of any shop: cost as it was, never more changes of place, and every rule kept."""
    problem = replace(a_full_shop(seed), leave_early=bool(seed % 2))
    grid = build(problem)
    board = best_greedy(grid, seed=1)
    assert board is not None
    shift_left(board)
    before, walks = cost(board), place_changes(board)
    polish(board, 60)
    assert cost(board) <= before
    if not problem.leave_early:
        assert place_changes(board) <= walks
    assert broken_rules(problem, solve(problem, seconds=0.3)) == ()


def test_days_end_early_where_nothing_is_lost_by_it() -> None:
    """A second piece has until Wednesday anyway: what it waits for is not squeezed into the end of Monday."""
    steps = (
        Step("long", "dresser", "Long", 180),
        Step("short", "trolley", "Short", 60),
        Step("late", "trolley", "Late", 60, not_before=EIGHT + 2 * DAY),
    )
    links = (Link("short", "late"),)
    usual = solved(shop(*steps, links=links))
    early = solved(shop(*steps, links=links, leave_early=True))
    assert usual.cost == early.cost
    assert usual.steps["short"].end == EIGHT + timedelta(hours=4)
    assert early.steps["long"].end == EIGHT + timedelta(hours=3)
    assert early.steps["short"].start > EIGHT + timedelta(hours=12)
    assert early.steps["short"].reason.rule == "kept"
    assert "ends sooner" in early.steps["short"].reason.text
