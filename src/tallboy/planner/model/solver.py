"""The door to the solver (OR-Tools CP-SAT). No other file imports it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from queue import SimpleQueue
from threading import Thread
from typing import Literal, Protocol

from ortools.sat.python import cp_model
from ortools.sat.python.cp_model import Constraint, CpModel, Domain, IntervalVar, IntVar, LinearExpr

__all__ = [
    "Constraint",
    "CpModel",
    "Domain",
    "IntVar",
    "IntervalVar",
    "LinearExpr",
    "Outcome",
    "Search",
    "Verdict",
    "run",
]

BEAT = 0.1  # [s] how often a watcher is asked
Verdict = Literal["optimal", "good", "no plan", "unknown"]

_VERDICTS: dict[cp_model.CpSolverStatus, Verdict] = {
    cp_model.OPTIMAL: "optimal",
    cp_model.FEASIBLE: "good",
    cp_model.INFEASIBLE: "no plan",
}


@dataclass(frozen=True)
class Outcome:
    """What the solver found: `values` by variable number when the verdict is optimal or good."""

    verdict: Verdict
    objective: float
    bound: float
    seconds: float
    values: tuple[int, ...] = ()

    def __getitem__(self, variable: IntVar) -> int:
        return self.values[variable.index]


@dataclass(frozen=True)
class Search:
    """How to search: at most `seconds` [s] of wall clock, with `workers` threads, from `seed`.

    `effort` is a second limit, in the solver's own count of work (about a second each): the same on any machine.
    """

    seconds: float
    workers: int = 1
    seed: int = 1
    effort: float | None = None

    def within(self, seconds: float) -> Search:
        """The same search with other time."""
        return replace(self, seconds=seconds)


class Watcher(Protocol):
    """Somebody who looks on while the solver works, always from the thread that called it."""

    def found(self, outcome: Outcome) -> None:
        """A better answer was found."""

    def proven(self, bound: float) -> None:
        """No answer costs less than this."""

    def goes_on(self) -> bool:
        """Asked a few times a second; False stops the solver, which keeps the best answer so far."""


def run(cp: CpModel, search: Search, *, prepare: bool = True, watcher: Watcher | None = None) -> Outcome:
    """Solve. The same model and seed with 1 worker give the same answer whenever the search ends before its time.

    Without `prepare` the solver begins at once: on calendars full of holes its preparations take about 2 s for 100 steps, and
    a model with a complete hint does not need them.
    """
    solver = cp_model.CpSolver()
    if not prepare:
        solver.parameters.cp_model_presolve = False
        solver.parameters.cp_model_probing_level = 0
        solver.parameters.symmetry_level = 0
        solver.parameters.linearization_level = 0
    solver.parameters.max_time_in_seconds = max(search.seconds, 0.05)
    if search.effort is not None:
        solver.parameters.max_deterministic_time = search.effort
    solver.parameters.num_workers = search.workers
    solver.parameters.random_seed = search.seed
    # Ctrl+C is the caller's; the solver's own way with it ends the whole program when it runs in a thread.
    solver.parameters.catch_sigint_signal = False
    status = solver.solve(cp) if watcher is None else _watched(solver, cp, watcher)
    verdict = _VERDICTS.get(status, "unknown")
    if verdict not in ("optimal", "good"):
        return Outcome(verdict, 0.0, 0.0, solver.wall_time)
    values = tuple(solver.response_proto.solution)
    return Outcome(verdict, solver.objective_value, solver.best_objective_bound, solver.wall_time, values)


class _Answers(cp_model.CpSolverSolutionCallback):
    """Puts every better answer into a queue."""

    def __init__(self, news: SimpleQueue[Outcome | float]) -> None:
        super().__init__()
        self.news = news

    def on_solution_callback(self) -> None:
        values = tuple(self.response_proto.solution)
        self.news.put(Outcome("good", self.objective_value, self.best_objective_bound, self.wall_time, values))


def _watched(solver: cp_model.CpSolver, cp: CpModel, watcher: Watcher) -> cp_model.CpSolverStatus:
    """Solve in a thread of its own while this one tells the watcher what is new."""
    news: SimpleQueue[Outcome | float] = SimpleQueue()
    solver.best_bound_callback = news.put
    ended: list[cp_model.CpSolverStatus] = []
    thread = Thread(target=lambda: ended.append(solver.solve(cp, _Answers(news))), daemon=True)
    thread.start()
    while thread.is_alive():
        thread.join(BEAT)
        _tell(news, watcher)
        if not watcher.goes_on():
            solver.stop_search()
    _tell(news, watcher)
    return ended[0]


def _tell(news: SimpleQueue[Outcome | float], watcher: Watcher) -> None:
    while not news.empty():
        new = news.get()
        if isinstance(new, Outcome):
            watcher.found(new)
        else:
            watcher.proven(new)
