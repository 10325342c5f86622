"""What the bench holds the planner against: other ways to the same optimum, and the drawing of the growth.

The general scheduling library pyjobshop (MIT, from the package index) states the same plainer shops in its own words; where both
prove a plan best, both must cost the same.
"""

from __future__ import annotations

import pytest
from bench.shared.growth import Grown, drawing
from bench.shared.library import library, library_general, plainer
from bench.shared.plain_model import plain
from bench.shared.shops import a_shop
from tests.drawings import parsed

from tallboy.planner.general import Activity, GeneralProblem, Lag, solve_general
from tallboy.planner.rules.broken import broken_rules
from tallboy.planner.solve import solve


@pytest.mark.parametrize("seed", range(6))
def test_the_library_finds_the_same_best_cost(seed: int) -> None:
    """Three pieces of six steps and two pairs of hands, proven best by the planner and by the library."""
    shop = plainer(a_shop(seed, pieces=3, steps=6, hands=2))
    ours, theirs = solve(shop, seconds=20), library(shop, seconds=20, workers=1)
    assert broken_rules(shop, ours) == ()
    assert ours.status == "optimal"
    late = sum(kept.late_minutes for kept in ours.promises)
    if late == 0:
        assert theirs.cost == theirs.bound == ours.cost
    assert theirs.cost is not None
    assert theirs.bound <= ours.cost


@pytest.mark.parametrize("seed", range(4))
def test_the_plain_model_says_the_same(seed: int) -> None:
    """All rules put to the solver as they are: no plan costs less, and without lateness the best costs the same."""
    shop = a_shop(seed, pieces=2, steps=7)
    ours, other = solve(shop, seconds=20), plain(shop, seconds=20, workers=1)
    assert other.cost is not None
    assert other.bound <= ours.cost
    if ours.status == "optimal" and not any(kept.late_minutes for kept in ours.promises):
        assert other.cost == ours.cost


def test_general_problems_end_alike() -> None:
    """Two activities on one machine and one that follows: 3 + 2 + 4 by both."""
    problem = GeneralProblem(
        (Activity("a", 3, (1,)), Activity("b", 2, (1,)), Activity("c", 4, (0,))),
        (Lag("a", "c", 3), Lag("b", "c", 2)),
        (1,),
    )
    status, makespan, _ = library_general(problem, seconds=10, workers=1)
    assert (status, makespan) == ("Optimal", 9)
    assert solve_general(problem).makespan == 9


def test_growth_is_drawn_to_scale() -> None:
    """Two lines with a point for each size: the slowest first plan at the top, a gap of a half in the middle."""
    root = parsed(drawing([Grown(4, 1.0, 0.0), Grown(8, 2.0, 0.5)]))
    lines = [line.attrib["points"].split() for line in root.iter("{http://www.w3.org/2000/svg}polyline")]
    assert lines == [["320.0,180.0", "580.0,60.0"], ["320.0,300.0", "580.0,180.0"]]
    words = {text.text for text in root.iter("{http://www.w3.org/2000/svg}text")}
    assert {"4", "8"} <= words
