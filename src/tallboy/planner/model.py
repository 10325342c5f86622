"""The door to the solver (OR-Tools CP-SAT), and the planner's model behind it. No other file imports the solver."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from ortools.sat.python import cp_model
from ortools.sat.python.cp_model import CpModel, IntervalVar, IntVar, LinearExpr

from tallboy.planner.board import Board
from tallboy.planner.greedy import finishes
from tallboy.planner.grid import Grid, Lag, Task, WaitTable

Verdict = Literal["optimal", "good", "no plan", "unknown"]
__all__ = [
    "MISSED_WINDOW",
    "CpModel",
    "IntVar",
    "IntervalVar",
    "Outcome",
    "PlanModel",
    "Search",
    "hint",
    "plan_model",
    "run",
]

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


def run(cp: CpModel, search: Search, *, prepare: bool = True) -> Outcome:
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
    solver.parameters.num_workers = search.workers
    solver.parameters.random_seed = search.seed
    verdict = _VERDICTS.get(solver.solve(cp), "unknown")
    if verdict not in ("optimal", "good"):
        return Outcome(verdict, 0.0, 0.0, solver.wall_time)
    values = tuple(solver.response_proto.solution)
    return Outcome(verdict, solver.objective_value, solver.best_objective_bound, solver.wall_time, values)


Guess = Callable[[Board], int]


@dataclass
class PlanModel:
    """The problem as constraints. `start`, `end` and the stretch of `work` by task; `late`, `finish` and `changed` are what can be minimised."""

    grid: Grid
    cp: CpModel = field(default_factory=CpModel)
    start: dict[int, IntVar] = field(default_factory=dict)
    end: dict[int, LinearExpr] = field(default_factory=dict)
    work: dict[int, IntervalVar] = field(default_factory=dict)
    waits: dict[tuple[int, WaitTable], IntVar] = field(default_factory=dict)
    late: list[LinearExpr] = field(default_factory=list)
    finish: list[IntVar] = field(default_factory=list)
    changed: list[IntVar] = field(default_factory=list)
    guesses: list[tuple[IntVar, Guess]] = field(default_factory=list)

    def yes_or_no(self, guess: Guess) -> IntVar:
        """A new variable that is 0 or 1; `guess` reads its value from a plan we have."""
        return self.number(cp_model.Domain(0, 1), "", guess)

    def number(self, domain: cp_model.Domain, name: str, guess: Guess) -> IntVar:
        """A new variable within `domain`; `guess` reads its value from a plan we have."""
        variable = self.cp.new_int_var_from_domain(domain, name)
        self.guesses.append((variable, guess))
        return variable


def plan_model(grid: Grid, lost: set[Lag]) -> PlanModel:
    """All rules of docs/planner.md as constraints. Windows in `lost` may be missed, at a price that is paid first."""
    model = PlanModel(grid)
    model.work = {task.index: _add_step(model, task) for task in grid.open_tasks}
    _add_hands(model, model.work)
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
    if not windows:
        cp.add_bool_or([])  # no hours are left after its earliest time: no plan
        windows = [(w.lo, w.hi, w.gap) for w in task.windows]
    domain = cp_model.Domain.from_intervals([[lo, hi] for lo, hi, _ in windows])
    start = model.start[task.index] = model.number(domain, f"start {name}", lambda board: board.start[task.index])
    if all(gap == 0 for _, _, gap in windows):
        model.end[task.index] = start + task.slots
        return cp.new_fixed_size_interval_var(start, task.slots, name)
    gaps = cp_model.Domain.from_values(sorted({gap for _, _, gap in windows}))
    closed = model.number(gaps, f"closed {name}", lambda board: _closed(board, task))
    cp.add_exactly_one(_add_window(model, task, closed, window) for window in windows)
    until = cp_model.Domain(0, model.grid.horizon)
    end = model.end[task.index] = model.number(until, f"end {name}", lambda board: board.end[task.index])
    return cp.new_interval_var(start, closed + task.slots, end, name)


def _add_window(model: PlanModel, task: Task, closed: IntVar, window: tuple[int, int, int]) -> IntVar:
    """Whether a step that may be split starts in this window, with the closed time that goes with it."""
    lo, hi, gap = window
    here = model.yes_or_no(lambda board: lo <= board.start[task.index] <= hi and _closed(board, task) == gap)
    model.cp.add_linear_constraint(model.start[task.index], lo, hi).only_enforce_if(here)
    model.cp.add(closed == gap).only_enforce_if(here)
    return here


def _closed(board: Board, task: Task) -> int:
    return board.end[task.index] - board.start[task.index] - task.slots


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
            _add_last(model, lag.then, lag.last, lag in lost)
        return
    end = model.end[lag.first]
    cp.add(start >= end + _wait(model, lag.first, lag.wait))
    cp.add(start >= end + min(lag.wait.slots))
    if lag.most is not None and lag not in lost:
        cp.add(start <= end + lag.most)


def _add_last(model: PlanModel, then: int, last: int, lost: bool) -> None:
    """A latest slot; one that the first plan lost may be missed again."""
    start = model.start[then]
    if not lost:
        model.cp.add(start <= last)
        return
    missed = model.yes_or_no(lambda board: board.start[then] > last)
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
    ends = _ends_by_wait(model.grid.tasks[first], table)
    wait = model.number(cp_model.Domain.from_values(list(ends)), "wait", lambda board: table.at(board.end[first]))
    chosen = {value: model.yes_or_no(_is_wait(first, table, value)) for value in ends}
    for value, here in chosen.items():
        cp.add_linear_expression_in_domain(model.end[first], ends[value]).only_enforce_if(here)
        cp.add(wait == value).only_enforce_if(here)
    cp.add_exactly_one(chosen.values())
    return wait


def _is_wait(first: int, table: WaitTable, value: int) -> Guess:
    return lambda board: table.at(board.end[first]) == value


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
    tasks = model.grid.tasks
    for place in sorted({task.step.place for task in tasks if task.step.dusty}):
        here = [task for task in tasks if task.step.place == place]
        wet = [task for task in here if task.wet is not None]
        dusty = [task for task in here if task.step.dusty]
        _add_dust_of_facts(model, wet, dusty)
        _add_exclusion(
            model, [task for task in wet if task.fact is None], [task for task in dusty if task.fact is None]
        )


def _add_dust_of_facts(model: PlanModel, wet: Sequence[Task], dusty: Sequence[Task]) -> None:
    """Dust waits for coats that are laid, and coats wait for dusty work that has begun."""
    dry = max((task.fact.dry for task in wet if task.fact is not None), default=0)
    settled = max((task.fact.last for task in dusty if task.fact is not None), default=0)
    for tasks, after in ((dusty, dry), (wet, settled)):
        for task in tasks:
            if task.fact is None:
                model.cp.add(model.start[task.index] >= after)


def _add_exclusion(model: PlanModel, wet: Sequence[Task], dusty: Sequence[Task]) -> None:
    """As room on a shelf: a wet coat takes one board, a dusty step all of them.

    With one pair of hands all dusty steps share the shelf, as two of them never meet; otherwise each has a shelf of its own.
    """
    if not wet or not dusty:
        return
    together = model.grid.problem.hands == 1 and all(task.wet is None and task.step.hands for task in dusty)
    wet_spans = {task.index: _wet_interval(model, task) for task in wet}
    for group in [list(dusty)] if together else [[task] for task in dusty]:
        spans = [span for i, span in wet_spans.items() if i != group[0].index]
        dust_spans = [model.work[task.index] for task in group]
        if spans:
            demands = [1] * len(spans) + [len(spans)] * len(group)
            model.cp.add_cumulative(spans + dust_spans, demands, len(spans))


def _wet_interval(model: PlanModel, task: Task) -> IntervalVar:
    """From the start of a coat until its place is dry."""
    i, table = task.index, task.wet or WaitTable((0,), (0,))
    far = cp_model.Domain(0, model.grid.horizon + max(table.slots))
    dry = model.number(far, f"dry {task.step.key}", lambda board: board.dry[i])
    length = model.number(far, f"wet {task.step.key}", lambda board: board.dry[i] - board.start[i])
    model.cp.add(dry == model.end[i] + _wait(model, i, table))
    return model.cp.new_interval_var(model.start[i], length, dry, f"wet {task.step.key}")


def _add_promises(model: PlanModel) -> None:
    """When each piece is finished, and how late that is."""
    cp, grid = model.cp, model.grid
    for piece in sorted({task.step.piece for task in grid.open_tasks}):
        finish = model.number(cp_model.Domain(grid.first_slot, grid.horizon), f"finish {piece}", _finish_of(piece))
        for task in grid.tasks:
            if task.step.piece == piece:
                cp.add(finish >= (model.end[task.index] if task.fact is None else min(task.fact.last, grid.horizon)))
        model.finish.append(finish)
        if piece in grid.due:
            by, weight = grid.due[piece]
            most = cp_model.Domain(0, max(0, grid.horizon - by))
            late = model.number(most, f"late {piece}", _late_of(piece, by))
            cp.add(late >= finish - by)
            model.late.append(late * weight)


def _finish_of(piece: str) -> Guess:
    return lambda board: finishes(board)[piece]


def _late_of(piece: str, by: int) -> Guess:
    return lambda board: max(0, finishes(board)[piece] - by)


def _add_changes(model: PlanModel) -> None:
    """Which steps start at another time than in the plan people saw."""
    for i, slot in model.grid.previous.items():
        if i in model.start and model.grid.tasks[i].gap(slot) is not None:
            changed = model.yes_or_no(_is_changed(i, slot))
            model.cp.add(model.start[i] == slot).only_enforce_if(~changed)
            model.changed.append(changed)


def _is_changed(task: int, slot: int) -> Guess:
    return lambda board: board.start[task] != slot


def hint(model: PlanModel, board: Board) -> None:
    """Tell the solver the plan we have."""
    model.cp.clear_hints()  # type: ignore[no-untyped-call]  # the solver ships this one without types
    for variable, guess in model.guesses:
        model.cp.add_hint(variable, int(guess(board)))
