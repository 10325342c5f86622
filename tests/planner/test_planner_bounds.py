"""No plan beats a bound: tiny shops tried out in full, sums done by hand, and richer shops against the planner's own plans."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from bench.shared.shops import a_full_shop, a_shop, working_hours
from tests.planner.planner_brute import best_of_all
from tests.planner.planner_made import at
from tests.planner.test_planner_brute_force import KINDS, Random, tiny_shop

from tallboy.planner.network import ByHour, Fixed, Link, Person, Problem, Promise, Step
from tallboy.planner.search.bounds import Ascent, alone, priced
from tallboy.planner.search.greedy import best_greedy, cost
from tallboy.planner.slots.build import build

HOURS = working_hours(at(0), 3)


def shop(*steps: Step, links: tuple[Link, ...] = (), promises: tuple[Promise, ...] = (), hands: int = 1) -> Problem:
    """From Monday at eight, in slots of an hour."""
    return Problem(at(8), steps, links, promises, HOURS, hands, slot_minutes=60)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: str(kind.__name__))
@pytest.mark.parametrize("seed", range(6))
def test_no_plan_of_all_costs_less_than_the_bounds(kind: Callable[[Random], Problem], seed: int) -> None:
    """The best of all plans, found by trying everything, costs no less than any bound says."""
    problem = tiny_shop(kind, seed)
    missed, late, finish = best_of_all(problem)
    grid = build(problem)
    bound = priced(grid, late + finish, rounds=60)
    assert alone(grid) <= late + finish
    assert alone(grid) <= bound.cost <= late + finish
    if missed == late == 0:
        assert priced(grid, finish, on_time=True, rounds=60).cost <= finish


@pytest.mark.parametrize("seed", range(12))
def test_rich_shops_have_no_plan_below_the_bound(seed: int) -> None:
    """People, places, resources, air, scuffs: the greedy planner's plan costs no less than the bound."""
    grid = build(a_full_shop(seed))
    board = best_greedy(grid, seed=1, drop=True)
    assert board is not None
    _, late, finish, _ = cost(board)
    assert 0 < alone(grid) <= priced(grid, late + finish, rounds=40).cost <= late + finish


def test_one_piece_alone_is_bounded_exactly() -> None:
    """An hour of work, a wait of five hours for an end before ten o'clock and of one hour from then on, an hour of work.

    At eight it would be done at three in the afternoon; begun at nine, it goes on at eleven and is done at twelve: 4 h.
    """
    waits = ByHour(at(8), (300, 300, 60))
    problem = shop(
        Step("coat", "slope", "Coat", 60),
        Step("rub", "slope", "Rub down", 60),
        links=(Link("coat", "rub", least=waits),),
    )
    assert alone(build(problem)) == 4


def test_without_time_for_a_round_nothing_is_below_nothing() -> None:
    """A busy machine leaves no time: the bound is 0, which always holds, and the search goes on with it."""
    problem = shop(Step("a", "slope", "A", 120), Step("b", "stand", "B", 120))
    assert priced(build(problem), 100.0, seconds=0.0).cost == 0.0


def test_two_pieces_share_one_pair_of_hands() -> None:
    """Two pieces of two hours each cannot both be done at ten: alone 2 + 2 h, in truth 2 + 4 h; hands for hire see it."""
    grid = build(shop(Step("a", "slope", "A", 120), Step("b", "stand", "B", 120)))
    assert alone(grid) == 4
    assert 5 <= priced(grid, 6, rounds=200).cost <= 6
    with_two = build(shop(Step("a", "slope", "A", 120), Step("b", "stand", "B", 120), hands=2))
    assert priced(with_two, 4, rounds=200).cost == 4


def test_branches_that_run_together_are_both_counted() -> None:
    """A drawer dries overnight while the carcase is mended: fitting waits for the slower one, 24 h after eight on Monday."""
    problem = shop(
        Step("drawer", "chest", "Glue the drawer", 60),
        Step("carcase", "chest", "Mend the carcase", 180),
        Step("fit", "chest", "Fit the drawer", 60),
        links=(Link("drawer", "fit", "clamps", Fixed(23 * 60)), Link("carcase", "fit")),
    )
    assert alone(build(problem)) == 25


def test_lateness_counts_by_its_weight_and_plans_on_time_are_bounded_apart() -> None:
    """Two hours of work promised within one: an hour late, three times, and two to the finish; on time there is no plan."""
    problem = shop(Step("a", "slope", "A", 120), promises=(Promise("slope", at(9), 3),))
    assert alone(build(problem)) == 5
    assert priced(build(problem), 5, on_time=True, rounds=5).cost == float("inf")


def test_hours_of_people_who_are_away_are_for_nobody() -> None:
    """One comes in at one o'clock: three hours for two, begun when both are there, end at four. That is 8 h."""
    problem = replace(
        shop(Step("a", "slope", "A", 180, hands=2)),
        people=(Person("one"), Person("two", hours=((at(13), at(17)),))),
    )
    assert alone(build(problem)) == 8


def test_what_has_begun_is_in_the_way() -> None:
    """The only pair of hands is busy till eleven: the other piece is not done before noon, by price though not alone."""
    begun = Step("a", "slope", "A", 180, started=at(8))
    grid = build(shop(begun, Step("b", "stand", "B", 60), Step("c", "slope", "C", 60), links=(Link("a", "c"),)))
    assert alone(grid) == 4 + 1
    assert priced(grid, 4 + 5 + 1, rounds=100).cost >= 4 + 4


def test_prices_turn_back_when_they_gain_nothing() -> None:
    """After rounds without gain the ascent goes on from its best prices with shorter steps, and ends at last."""
    ascent = Ascent(10.0, np.zeros(3))
    assert ascent.learn(4.0, np.ones(3), {})
    rounds = 0
    while ascent.goes_on and rounds < 1000:
        assert not ascent.learn(3.0, np.ones(3), {})
        rounds += 1
    assert rounds < 1000
    assert ascent.best == 4.0


def test_a_listener_may_end_the_search_for_prices() -> None:
    """It is told each better bound, and the search ends when it says so."""
    told: list[float] = []

    def enough(bound: float) -> bool:
        told.append(bound)
        return len(told) < 3

    found = priced(build(a_shop(2, pieces=6, steps=12)), 12000, goes_on=enough)
    assert len(told) == 3
    assert told == sorted(told)
    assert found.cost == told[-1]


def test_what_each_piece_would_do_is_told() -> None:
    """At the best prices every open step has a start within its hours."""
    grid = build(a_shop(1, pieces=3, steps=8))
    found = priced(grid, 20000, rounds=30)
    assert set(found.starts) == {task.index for task in grid.open_tasks}
    for i, start in found.starts.items():
        assert any(way.starts.gap(start) is not None for way in grid.tasks[i].ways)


def test_going_on_lays_the_pieces_out_once() -> None:
    """Going on from what was found before takes the same pieces and proves no less."""
    grid = build(a_shop(2, pieces=4, steps=8))
    before = priced(grid, 8000, rounds=20)
    after = priced(grid, 8000, rounds=20, begin=before)
    assert after.shop is before.shop
    assert after.cost >= before.cost
