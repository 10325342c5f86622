"""Looking on while a plan is improved: what is told, how it is stopped, and that nothing is lost by either."""

from __future__ import annotations

import threading

from bench.shared.shops import a_full_shop, a_shop

from tallboy.planner.rules.broken import broken_rules
from tallboy.planner.search.watch import Progress
from tallboy.planner.solve import first_plan, solve

SHOP = a_shop(3, pieces=3, steps=12)


def test_progress_only_gets_better() -> None:
    """Weighted lateness and then cost never rise, bounds never fall, and the last told is no better than the answer."""
    told: list[Progress] = []

    def watch(progress: Progress) -> bool:
        told.append(progress)
        return True

    plan = solve(SHOP, seconds=5, watch=watch)
    worth = [(progress.missed, progress.late, progress.cost) for progress in told]
    assert worth == sorted(worth, reverse=True)
    assert all(progress.bound <= progress.cost and 0 <= progress.gap <= 1 for progress in told)
    assert [progress.seconds for progress in told] == sorted(progress.seconds for progress in told)
    assert plan.cost <= told[-1].cost
    assert plan.status == "optimal"


def test_the_watcher_is_told_in_the_thread_that_asked() -> None:
    """So that it may use what belongs to that thread, like the connection to a database."""
    threads = set()

    def watch(progress: Progress) -> bool:
        threads.add(threading.get_ident())
        return True

    solve(SHOP, seconds=1, watch=watch)
    assert threads == {threading.get_ident()}


def test_stopping_at_once_gives_a_plan_all_the_same() -> None:
    """The greedy planner's, and it keeps every rule."""
    plan = solve(SHOP, seconds=60, watch=lambda progress: False)
    assert plan.seconds < 5
    assert broken_rules(SHOP, plan) == ()
    assert plan.cost <= first_plan(SHOP).cost


def test_stopping_in_the_middle_keeps_the_best_so_far() -> None:
    """The answer is no worse than the last that was told."""
    shop = a_shop(5, pieces=4, steps=25)
    last: list[Progress] = []

    def watch(progress: Progress) -> bool:
        last[:] = [progress]
        return progress.seconds < 0.6

    plan = solve(shop, seconds=60, watch=watch)
    weights = {promise.piece: promise.weight for promise in shop.promises}
    late = sum(kept.late_minutes * weights[kept.piece] for kept in plan.promises)
    assert (late, plan.cost) <= (last[0].late + 5 * sum(weights.values()), last[0].cost)
    assert broken_rules(shop, plan) == ()


def test_a_plan_can_be_made_of_any_progress() -> None:
    """And asking for it disturbs neither the search nor a later one."""
    shop = a_full_shop(2)
    plans = []

    def watch(progress: Progress) -> bool:
        plans.append(progress.plan())
        return True

    best = solve(shop, seconds=1, watch=watch)
    assert plans
    assert all(broken_rules(shop, plan) == () for plan in [*plans, best])


def test_looking_on_changes_nothing() -> None:
    """Where the proof ends in time, the same plan comes out with and without somebody who looks on."""
    alone, watched = solve(SHOP, seconds=20), solve(SHOP, seconds=20, watch=lambda progress: True)
    assert alone.status == watched.status == "optimal"
    assert alone.cost == watched.cost
