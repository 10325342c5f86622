"""One call from problem to plan."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from tallboy.errors import NoPlan
from tallboy.planner.model.solver import Search
from tallboy.planner.network import Blocked, Plan, Problem, Status
from tallboy.planner.search.answer import bound_of, gap_of, plan_of
from tallboy.planner.search.greedy import best_greedy, cost
from tallboy.planner.search.improve import any_plan, improve
from tallboy.planner.search.neighbourhoods import BOUND_SHARE, bounded, search_more
from tallboy.planner.search.watch import Best, Progress, Told, Watch
from tallboy.planner.slots.board import Board
from tallboy.planner.slots.build import blocked_in, build
from tallboy.planner.slots.grid import Grid
from tallboy.planner.why.conflict import explain

BIG_SHOP = 200  # steps still to plan from which on the plan is improved part by part


def solve(
    problem: Problem,
    *,
    seconds: float = 2.0,
    workers: int = 1,
    seed: int = 1,
    watch: Told | None = None,
) -> Plan:
    """Work out the best plan that can be found in the time.

    The greedy planner gives a valid plan at once; the solver then improves it: promises by weight, then the finishing times
    of all pieces, then the fewest changes against the plan people saw. It never comes back empty.

    Parameters: problem; seconds [s] wall clock the solver may use, above 0; workers [1] threads, 1 or more; seed; watch, told the
    progress a few times a second, ends the search by answering False: the best plan so far is then returned.
    Returns: the plan; its status is "optimal" when lateness and finishing times are proven best, "good" when the solver
    worked on it, "first" when it is the greedy planner's.
    Raises: BadInput for what cannot be used; NoPlan, with the rules and steps in conflict, when no plan keeps all rules.
    Validity: with 1 worker the same problem and seed give the same plan whenever the solver ends before its time.
    Source: own derivation, see docs/planner.md.
    """
    grid = build(problem)
    blocked = blocked_in(problem)
    search = Search(seconds, workers, seed)
    board, used = _begin(grid, search, problem)
    best = Best(board, seconds=used)
    if not grid.open_tasks:
        best.proven = True
    elif used < seconds:
        looking = Watch(None if watch is None else _telling(watch, problem, blocked))
        if looking.goes_on(best):
            _improve(best, search.within(seconds - used), looking)
    return plan_of(best, "optimal" if best.proven else "good", problem, blocked)


def _improve(best: Best, search: Search, watch: Watch) -> None:
    """The whole plan at once by the solver or, in a big shop, part by part; then how good a plan can be at best."""
    if len(best.board.grid.open_tasks) > BIG_SHOP:
        search_more(best, search, watch)
        return
    improve(best, search.within(search.seconds * (1 - BOUND_SHARE)), watch)
    if not best.proven and not watch.stopped:
        bounded(best, search.seconds * BOUND_SHARE, watch)


def _begin(grid: Grid, search: Search, problem: Problem) -> tuple[Board, float]:
    """A first board, and the seconds the solver took where the greedy planner found none."""
    board = best_greedy(grid, seed=search.seed, shuffles=_shuffles(grid))
    if board is not None:
        return board, 0.0
    outcome, board = any_plan(grid, search)
    if outcome.verdict == "no plan":
        raise explain(problem, search.within(max(2.0, search.seconds)))
    return board or _fallback(grid, search.seed), outcome.seconds


def _telling(watch: Told, problem: Problem, blocked: tuple[Blocked, ...]) -> Callable[[Best, float], bool]:
    """The best so far in the words of a listener."""

    def tell(best: Best, seconds: float) -> bool:
        status: Status = "optimal" if best.proven else "good"
        board, clock = best.board, best.board.grid.clock
        missed, late, finish, _ = cost(board)
        bound = bound_of(best, late + finish)
        still = replace(best)
        progress = Progress(
            status=status,
            cost=clock.minutes(late + finish),
            bound=clock.minutes(bound),
            gap=gap_of(late + finish, bound),
            missed=missed,
            late=clock.minutes(late),
            seconds=seconds,
            plan=lambda: plan_of(still, status, problem, blocked),
        )
        return watch(progress)

    return tell


def first_plan(problem: Problem, *, seed: int = 1) -> Plan:
    """The greedy planner's plan alone, without the solver.

    Parameters: problem; seed.
    Returns: a plan with status "first"; windows it could not keep are in `missed_windows`.
    Raises: BadInput as `solve`; NoPlan when the steps do not fit into the working hours given.
    Source: own derivation, see docs/planner.md.
    """
    grid = build(problem)
    board = best_greedy(grid, seed=seed, shuffles=_shuffles(grid)) or _fallback(grid, seed)
    return plan_of(Best(board), "first", problem, blocked_in(problem))


def _shuffles(grid: Grid) -> int:
    """Fewer shuffled orders for bigger shops, so that the first plan stays quick."""
    return min(12, 1500 // (len(grid.tasks) + 1))


def _fallback(grid: Grid, seed: int) -> Board:
    """A plan that gives up windows it cannot keep, for when none was found in time that keeps them all."""
    board = best_greedy(grid, seed=seed, drop=True)
    if board is None:
        raise NoPlan(
            "The steps do not fit into the working hours given.",
            "Give working hours further ahead, or more of them.",
            rules=("hours",),
            steps=tuple(task.step.key for task in grid.open_tasks),
        )
    return board
