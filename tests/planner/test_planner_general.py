"""Published scheduling problems are solved to their known optimum.

Instances and optima: see instances/README.md of the reference data. Job shops: Muth & Thompson 1963 (FT06 = 55), Lawrence 1984
(LA01 = 666, LA02 = 655). Projects: Kolisch & Sprecher 1996, optima of Demeulemeester & Herroelen 1995. Projects with longest
lags: Schwindt's generator, optima as published with the sets and confirmed by a second, plain model. The harder ones are
in bench/planner.py.
"""

from __future__ import annotations

import pytest
from bench.shared.instances import KNOWN as OPTIMA
from tests.reference import reference

from tallboy.errors import BadFile, BadInput
from tallboy.planner.general import READERS, Activity, GeneralProblem, Lag, read_jss, read_sch, read_sm, solve_general

# The optima that the bench compares with, but for the one that takes long.
KNOWN = {path: best for path, best in OPTIMA.items() if best is not None and path != "jobshop/la16.jss"}


def read(path: str) -> GeneralProblem:
    file = reference(f"instances/{path}")
    return READERS[file.suffix](file.read_text(encoding="utf-8"))


def keeps_all(problem: GeneralProblem, starts: dict[str, int], makespan: int) -> bool:
    """The starts keep every lag and capacity, and the last activity ends at the makespan."""
    lags = all(starts[lag.then] >= starts[lag.first] + lag.least for lag in problem.lags)
    moments = set(starts.values())
    room = all(
        sum(a.demands[r] for a in problem.activities if starts[a.key] <= t < starts[a.key] + a.duration) <= capacity
        for t in moments
        for r, capacity in enumerate(problem.capacities)
    )
    return lags and room and makespan == max(starts[a.key] + a.duration for a in problem.activities)


@pytest.mark.parametrize("path", KNOWN)
def test_published_optimum(path: str) -> None:
    """The plan is proven shortest, is as short as published, and keeps all lags and capacities."""
    problem = read(path)
    plan = solve_general(problem, seconds=60)
    assert (plan.status, plan.makespan, plan.bound) == ("optimal", KNOWN[path], KNOWN[path])
    assert keeps_all(problem, plan.starts, KNOWN[path])


@pytest.mark.parametrize("path", ["lags/j20-psp1.sch", "lags/j30-psp2.sch"])
def test_published_without_plan(path: str) -> None:
    """Two published projects with longest lags have no plan, and that is proven."""
    plan = solve_general(read(path), seconds=60)
    assert (plan.status, plan.makespan, plan.starts) == ("no plan", None, {})


def test_negative_lag_is_a_longest_distance() -> None:
    """The second activity must start at most 3 after the first though a resource keeps it busy elsewhere first."""
    activities = (Activity("a", 2, (1,)), Activity("b", 2, (1,)), Activity("c", 9, (1,)))
    plan = solve_general(GeneralProblem(activities, (Lag("a", "b", 2), Lag("b", "a", -3)), (1,)))
    assert plan.makespan == 13
    assert 2 <= plan.starts["b"] - plan.starts["a"] <= 3


def test_demand_above_capacity_has_no_plan() -> None:
    """Asking for two of one is proven impossible."""
    assert solve_general(GeneralProblem((Activity("a", 2, (2,)),), (), (1,))).status == "no plan"


@pytest.mark.parametrize(
    ("reader", "text"),
    [
        (read_jss, ""),
        (read_jss, "2 2\n0 1 1 2\n"),
        (read_jss, "1 2\n0 1 5 2\n"),
        (read_jss, "1 1\n0 x\n"),
        (read_sm, "PRECEDENCE RELATIONS:\n 1 1 0\n"),
        (read_sch, "1 1 0 0\n0 1 1 1 [0]\n"),
        (read_sch, "0 1\n0 1 1 1\n1 1 0\n0 1 0 0\n1 1 0 0\n1\n"),
    ],
)
def test_broken_file_is_refused(reader: object, text: str) -> None:
    """A file that ends early or holds something else gets a plain message."""
    assert callable(reader)
    with pytest.raises(BadFile):
        reader(text)


@pytest.mark.parametrize(
    "problem",
    [
        GeneralProblem((Activity("a", 1), Activity("a", 1)), (), ()),
        GeneralProblem((Activity("a", -1),), (), ()),
        GeneralProblem((Activity("a", 1, (1,)),), (), ()),
        GeneralProblem((Activity("a", 1),), (Lag("a", "b", 0),), ()),
    ],
)
def test_bad_general_problem_is_refused(problem: GeneralProblem) -> None:
    """Doubled keys, negative durations, unknown resources and activities are refused."""
    with pytest.raises(BadInput):
        solve_general(problem)
