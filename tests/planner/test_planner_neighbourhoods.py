"""Parts of a plan worked out anew: what stays, what moves, and that every plan on the way keeps every rule."""

from __future__ import annotations

import numpy as np
import pytest
from bench.shared.shops import a_full_shop, a_shop
from tests.planner.planner_made import at
from tests.planner.test_planner_bounds import shop

from tallboy.planner.model.solver import Search
from tallboy.planner.network import Fixed, Link, Plan, Problem, Promise, Step
from tallboy.planner.rules.broken import broken_rules
from tallboy.planner.search.answer import plan_of
from tallboy.planner.search.bounds import priced
from tallboy.planner.search.greedy import best_greedy, cost
from tallboy.planner.search.improve import shift_left
from tallboy.planner.search.neighbourhoods import Neighbours, search_more
from tallboy.planner.search.reinsert import Market
from tallboy.planner.search.stopwatch import Stopwatch
from tallboy.planner.search.stretches import a_stretch, anew
from tallboy.planner.search.watch import Best, Watch
from tallboy.planner.slots.board import Board
from tallboy.planner.slots.build import blocked_in, build
from tallboy.planner.slots.grid import Grid


def first(problem: Problem) -> tuple[Grid, Board]:
    """The grid and the greedy planner's board."""
    grid = build(problem)
    board = best_greedy(grid, seed=1, drop=True)
    assert board is not None
    return grid, board


def told(problem: Problem, board: Board) -> Plan:
    """The board as a plan."""
    return plan_of(Best(board), "good", problem, blocked_in(problem))


def market(grid: Grid, board: Board) -> Market:
    """The shop with the prices of a few rounds."""
    found = priced(grid, float(sum(cost(board)[1:3])), rounds=20)
    return Market(found.shop, found.prices)


@pytest.mark.parametrize("seed", range(10))
def test_every_plan_on_the_way_keeps_every_rule(seed: int) -> None:
    """Pieces put back, stretches solved and orders shaken, on shops that use everything the planner knows."""
    problem = a_full_shop(seed)
    grid, board = first(problem)
    found = priced(grid, float(sum(cost(board)[1:3])), rounds=10)
    neighbours = Neighbours(found, Search(6000.0), Stopwatch())
    for way in neighbours.ways * 3:
        board = way(board) or board
        assert broken_rules(problem, told(problem, board)) == ()


@pytest.mark.parametrize("seed", [1, 4])
def test_search_makes_a_busy_shop_better(seed: int) -> None:
    """Eight pieces and two pairs of hands: better than the greedy plan in some seconds, valid, and above the bound."""
    problem = a_shop(seed, pieces=8, steps=12, hands=2)
    _, board = first(problem)
    best = Best(board)
    search_more(best, Search(4.0), Watch())
    assert cost(best.board) < cost(board)
    assert 0 < best.cost_bound <= sum(cost(best.board)[1:3])
    assert broken_rules(problem, told(problem, best.board)) == ()
    assert best.seconds > 0


def test_search_ends_when_the_bound_is_met() -> None:
    """Pieces that are not in each other's way are done as early as can be: proven at once."""
    _, board = first(shop(Step("a", "slope", "A", 120), Step("b", "stand", "B", 180), hands=2))
    best = Best(board)
    search_more(best, Search(6000.0), Watch())
    assert best.proven
    assert best.seconds < 30


def test_search_stops_when_told_to() -> None:
    """The listener says no at the first telling: the plan is the one there was."""
    problem = a_shop(1, pieces=4, steps=12)
    _, board = first(problem)
    best = Best(board)
    search_more(best, Search(6000.0), Watch(lambda best, seconds: False))
    assert cost(best.board) == cost(board)
    assert best.seconds < 30


def test_pieces_are_put_back_where_they_do_best_in_turn() -> None:
    """The long piece had gone first: 3 + 4 h. Put back in the other order, the short one is let through: 1 + 4 h."""
    grid = build(shop(Step("long", "stand", "Long", 180), Step("short", "slope", "Short", 60)))
    board = Board(grid)
    board.place(grid.tasks[0], grid.first_slot)
    board.place(grid.tasks[1], grid.first_slot + 3)
    assert cost(board) == (0, 0, 3 + 4, 0)
    found = market(grid, board)
    names = [piece.piece for piece in found.shop.pieces]
    new = found.put_back(board, [names.index("slope"), names.index("stand")], 0, 0.0, 0.0)
    assert new is not None
    assert cost(new) == (0, 0, 1 + 4, 0)
    assert cost(board) == (0, 0, 3 + 4, 0), "the board it began from stays as it was"


def test_only_what_starts_late_enough_is_put_back() -> None:
    """With the last start of all as the limit only what starts then can move, and there is nothing better for it."""
    problem = a_shop(3, pieces=3, steps=8)
    grid, board = first(problem)
    shift_left(board)
    moved = market(grid, board).put_back(board, [0, 1, 2], max(board.start.values()), 1.0, 0.5)
    assert moved is not None
    assert cost(moved) <= cost(board)


def test_a_stretch_is_what_follows_from_some_step_on() -> None:
    """So many steps in the order of their starts; what lies before stays, and only what is still in the way counts."""
    _, board = first(a_shop(2, pieces=4, steps=10))
    stretch = a_stretch(board, np.random.default_rng(5), 12)
    assert stretch.before
    assert all(stretch.begin <= board.start[i] < stretch.end for i in stretch.free)
    assert all(board.start[i] < stretch.begin for i in stretch.before)
    assert set(stretch.beside) <= set(stretch.before)
    assert all(board.end[i] > stretch.begin or board.held_until(board.grid.tasks[i]) for i in stretch.beside)


def test_a_stretch_leaves_what_stands_before_it() -> None:
    """Whatever stretch was taken, some first steps are where they were, and all steps are on the board."""
    _, board = first(a_shop(2, pieces=6, steps=20))
    for seed in range(3):
        new = anew(board, np.random.default_rng(seed), Search(5.0, effort=0.5))
        assert new is not None
        assert set(new.start) == set(board.start)


def test_the_same_seed_makes_the_same_plans() -> None:
    """With one worker and time enough, one step of the search is the same every time."""
    problem = a_shop(2, pieces=3, steps=8)
    grid, board = first(problem)
    found = priced(grid, float(sum(cost(board)[1:3])), rounds=10)
    runs = []
    for _ in range(2):
        neighbours = Neighbours(found, Search(6000.0), Stopwatch())
        now = board
        for _ in range(6):
            now = neighbours.another(now) or now
        runs.append(now.start)
    assert runs[0] == runs[1]


def test_several_workers_solve_several_stretches_at_once() -> None:
    """Two stretches side by side: the plan that comes of them is whole and keeps every rule."""
    problem = a_full_shop(2)
    grid, board = first(problem)
    found = priced(grid, float(sum(cost(board)[1:3])), rounds=5)
    new = Neighbours(found, Search(6000.0, workers=2), Stopwatch()).ways[1](board)
    assert new is not None
    assert broken_rules(problem, told(problem, new)) == ()


def test_windows_lost_before_now_stay_lost() -> None:
    """A coat laid too long ago has missed its window for good: every new plan still says so."""
    coat = Step("coat", "slope", "Coat", 60, started=at(8 - 72), done=(at(8 - 72), at(9 - 72)))
    problem = shop(
        coat,
        Step("rub", "slope", "Rub down", 60),
        Step("saw", "stand", "Saw", 60),
        links=(Link("coat", "rub", least=Fixed(60), most=120),),
        promises=(Promise("slope", at(12)),),
    )
    grid, board = first(problem)
    assert len(board.dropped) == 1
    found = priced(grid, float(sum(cost(board)[1:3])), rounds=5)
    neighbours = Neighbours(found, Search(6000.0), Stopwatch())
    for way in neighbours.ways:
        new = way(board)
        assert new is not None
        assert broken_rules(problem, told(problem, new)) == ()
        assert len(told(problem, new).missed_windows) == 1
