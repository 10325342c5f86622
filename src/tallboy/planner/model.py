"""The door to the solver (OR-Tools CP-SAT), and the planner's model behind it. No other file imports the solver."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from ortools.sat.python import cp_model
from ortools.sat.python.cp_model import CpModel, IntervalVar, IntVar, LinearExpr

from tallboy.planner.board import Board
from tallboy.planner.grid import Grid, Lag, Task, WaitTable

Verdict = Literal["optimal", "good", "no plan", "unknown"]
MISSED_WINDOW = 10**9  # the price of a missed window [slots of lateness]: dearer than any lateness
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
    """How to search: at most `seconds` [s] of wall clock, with `workers` threads, from `seed`."""

    seconds: float
    workers: int = 1
    seed: int = 1

    def within(self, seconds: float) -> Search:
        """The same search with other time."""
        return replace(self, seconds=seconds)


def run(cp: CpModel, search: Search) -> Outcome:
    """Solve. The same model and seed with 1 worker give the same answer whenever the search ends before its time."""
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = max(search.seconds, 0.05)
    solver.parameters.num_workers = search.workers
    solver.parameters.random_seed = search.seed
    verdict = _VERDICTS.get(solver.solve(cp), "unknown")
    if verdict not in ("optimal", "good"):
        return Outcome(verdict, 0.0, 0.0, solver.wall_time)
    values = tuple(solver.response_proto.solution)
    return Outcome(verdict, solver.objective_value, solver.best_objective_bound, solver.wall_time, values)


@dataclass
class PlanModel:
    """The problem as constraints. `start` and `end` by task; `late`, `finish` and `changed` are what can be minimised."""

    grid: Grid
    cp: CpModel = field(default_factory=CpModel)
    start: dict[int, IntVar] = field(default_factory=dict)
    end: dict[int, LinearExpr] = field(default_factory=dict)
    waits: dict[tuple[int, WaitTable], IntVar] = field(default_factory=dict)
    late: list[LinearExpr] = field(default_factory=list)
    finish: list[IntVar] = field(default_factory=list)
    changed: list[IntVar] = field(default_factory=list)


def plan_model(grid: Grid, lost: set[Lag]) -> PlanModel:
    """All rules of docs/planner.md as constraints. Windows in `lost` may be missed, at a price that is paid first."""
    model = PlanModel(grid)
    intervals = {task.index: _add_step(model, task) for task in grid.open_tasks}
    _add_hands(model, intervals)
    for lag in grid.lags:
        _add_lag(model, lag, lost)
    _add_dust(model)
    _add_promises(model)
    _add_changes(model)
    return model


def _add_step(model: PlanModel, task: Task) -> IntervalVar:
    """Within working hours, not in the past, not before its own date."""
    cp, name = model.cp, task.step.key
    lowest = max(
        model.grid.first_slot, task.not_before or 0, *(lag.ready or 0 for lag in model.grid.into[task.index]), 0
    )
    windows = [(max(w.lo, lowest), w.hi, w.gap) for w in task.windows if w.hi >= lowest]
    domain = cp_model.Domain.from_intervals([[lo, hi] for lo, hi, _ in windows])
    start = model.start[task.index] = cp.new_int_var_from_domain(domain, f"start {name}")
    if all(gap == 0 for _, _, gap in windows):
        model.end[task.index] = start + task.slots
        return cp.new_fixed_size_interval_var(start, task.slots, name)
    gap_var = cp.new_int_var(0, model.grid.horizon, f"closed {name}")
    chosen = []
    for lo, hi, gap in windows:
        here = cp.new_bool_var("")
        cp.add_linear_constraint(start, lo, hi).only_enforce_if(here)
        cp.add(gap_var == gap).only_enforce_if(here)
        chosen.append(here)
    cp.add_exactly_one(chosen)
    end = cp.new_int_var(0, model.grid.horizon, f"end {name}")
    cp.add(end == start + gap_var + task.slots)
    model.end[task.index] = end
    return cp.new_interval_var(start, gap_var + task.slots, end, name)


def _add_hands(model: PlanModel, intervals: dict[int, IntervalVar]) -> None:
    """Never more hands at work than there are."""
    cp, grid = model.cp, model.grid
    jobs = [(intervals[task.index], task.step.hands) for task in grid.open_tasks if task.step.hands]
    jobs += [(cp.new_fixed_size_interval_var(a, b - a, "begun"), hands) for a, b, hands in grid.busy]
    if grid.problem.hands == 1:
        cp.add_no_overlap([interval for interval, _ in jobs])
    else:
        cp.add_cumulative([interval for interval, _ in jobs], [hands for _, hands in jobs], grid.problem.hands)


def _add_lag(model: PlanModel, lag: Lag, lost: set[Lag]) -> None:
    """A step starts after the wait is over and before the window has closed."""
    cp, start = model.cp, model.start[lag.then]
    if lag.ready is not None:
        cp.add(start >= lag.ready)
        if lag.last is not None:
            _add_last(model, start, lag.last, lag in lost)
        return
    end = model.end[lag.first]
    cp.add(start >= end + _wait(model, lag.first, lag.wait))
    cp.add(start >= end + min(lag.wait.slots))
    if lag.most is not None and lag not in lost:
        cp.add(start <= end + lag.most)


def _add_last(model: PlanModel, start: IntVar, last: int, lost: bool) -> None:
    """A latest slot; one that the first plan lost may be missed again."""
    if not lost:
        model.cp.add(start <= last)
        return
    missed = model.cp.new_bool_var("")
    model.cp.add(start <= last).only_enforce_if(~missed)
    model.late.append(missed * MISSED_WINDOW)


def _wait(model: PlanModel, first: int, table: WaitTable) -> IntVar | int:
    """The wait after task `first`, by the hour in which it ends."""
    if len(table.slots) == 1:
        return table.slots[0]
    if (first, table) not in model.waits:
        model.waits[first, table] = _wait_by_hour(model, first, table)
    return model.waits[first, table]


def _wait_by_hour(model: PlanModel, first: int, table: WaitTable) -> IntVar:
    cp = model.cp
    wait = cp.new_int_var_from_domain(cp_model.Domain.from_values(sorted(set(table.slots))), "wait")
    chosen = []
    for value, domain in _ends_by_wait(model.grid.tasks[first], table).items():
        here = cp.new_bool_var("")
        cp.add_linear_expression_in_domain(model.end[first], domain).only_enforce_if(here)
        cp.add(wait == value).only_enforce_if(here)
        chosen.append(here)
    cp.add_exactly_one(chosen)
    return wait


def _ends_by_wait(task: Task, table: WaitTable) -> dict[int, cp_model.Domain]:
    """For each length of the wait, the ends within working hours after which it holds."""
    parts: dict[int, list[list[int]]] = {}
    for window in task.windows:
        end, last = window.lo + task.slots + window.gap, window.hi + task.slots + window.gap
        while end <= last:
            until = min(last, (table.next_break(end) or last + 1) - 1)
            parts.setdefault(table.at(end), []).append([end, until])
            end = until + 1
    return {value: cp_model.Domain.from_intervals(intervals) for value, intervals in sorted(parts.items())}


def _add_dust(model: PlanModel) -> None:
    """Nothing dusty where a coat is being laid or is still wet."""
    after = _followers(model.grid)
    wet_tasks = [task for task in model.grid.tasks if task.wet is not None]
    dusty_tasks = [task for task in model.grid.tasks if task.step.dusty]
    for wet in wet_tasks:
        for dusty in dusty_tasks:
            if wet.index != dusty.index and wet.step.place == dusty.step.place:
                _add_dust_pair(model, wet, dusty, after)


def _add_dust_pair(model: PlanModel, wet: Task, dusty: Task, after: Sequence[frozenset[int]]) -> None:
    cp = model.cp
    if wet.fact is not None and dusty.fact is None:
        cp.add(model.start[dusty.index] >= wet.fact.dry)
    elif dusty.fact is not None and wet.fact is None:
        cp.add(model.start[wet.index] >= dusty.fact.last)
    elif dusty.fact is None and wet.wet is not None and wet.index not in after[dusty.index]:
        is_dry = cp.add(model.start[dusty.index] >= model.end[wet.index] + _wait(model, wet.index, wet.wet))
        if dusty.index not in after[wet.index]:
            dust_first = cp.new_bool_var("")
            is_dry.only_enforce_if(~dust_first)
            cp.add(model.start[wet.index] >= model.end[dusty.index]).only_enforce_if(dust_first)


def _followers(grid: Grid) -> list[frozenset[int]]:
    """For each task, all tasks that come after it by links."""
    after: list[frozenset[int]] = [frozenset()] * len(grid.tasks)
    for i in reversed(grid.order):
        nexts = {lag.then for lag in grid.lags if lag.first == i}
        after[i] = frozenset(nexts).union(*(after[j] for j in nexts))
    return after


def _add_promises(model: PlanModel) -> None:
    """When each piece is finished, and how late that is."""
    cp, grid = model.cp, model.grid
    for piece in sorted({task.step.piece for task in grid.open_tasks}):
        finish = cp.new_int_var(grid.first_slot, grid.horizon, f"finish {piece}")
        for task in grid.tasks:
            if task.step.piece == piece:
                cp.add(finish >= (model.end[task.index] if task.fact is None else min(task.fact.last, grid.horizon)))
        model.finish.append(finish)
        if piece in grid.due:
            by, weight = grid.due[piece]
            late = cp.new_int_var(0, max(0, grid.horizon - by), f"late {piece}")
            cp.add(late >= finish - by)
            model.late.append(late * weight)


def _add_changes(model: PlanModel) -> None:
    """Which steps start at another time than in the plan people saw."""
    for i, slot in model.grid.previous.items():
        if i in model.start and model.grid.tasks[i].gap(slot) is not None:
            changed = model.cp.new_bool_var("")
            model.cp.add(model.start[i] == slot).only_enforce_if(~changed)
            model.changed.append(changed)


def hint(model: PlanModel, board: Board) -> None:
    """Tell the solver the plan we have."""
    model.cp.clear_hints()  # type: ignore[no-untyped-call]  # the solver ships this one without types
    for i, start in model.start.items():
        model.cp.add_hint(start, board.start[i])
