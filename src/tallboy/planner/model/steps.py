"""Steps as constraints: where each may start, who does it, what it waits for."""

from __future__ import annotations

from collections.abc import Sequence

from tallboy.planner.model.parts import MISSED_WINDOW, Guess, PlanModel, closed_in, end_of, start_of
from tallboy.planner.model.solver import Constraint, Domain, IntervalVar, IntVar
from tallboy.planner.slots.grid import Lag, Task, WaitTable, Way

Windows = Sequence[tuple[int, int, int]]


def add_step(model: PlanModel, task: Task) -> None:
    """Within the hours of one of its crews, in fit air, not in the past, not before its own dates."""
    lowest = max(model.grid.first_slot, task.earliest, *(lag.ready or 0 for lag in model.grid.into[task.index]), 0)
    ways = [(way, [(max(w.lo, lowest), w.hi, w.gap) for w in way.starts if w.hi >= lowest]) for way in task.ways]
    ways = [(way, windows) for way, windows in ways if windows]
    if not ways:
        model.cp.add_bool_or([])  # no hours are left after its earliest time: no plan
        ways = [(way, [(w.lo, w.hi, w.gap) for w in way.windows]) for way in task.ways]
    intervals = [[lo, hi] for _, windows in ways for lo, hi, _ in windows]
    domain = Domain.from_intervals(intervals)
    name = task.step.key
    model.start[task.index] = model.number(domain, f"start {name}", lambda board: start_of(board, task))
    _add_end(model, task, sorted({gap for _, windows in ways for _, _, gap in windows}))
    if len(ways) == 1 and task.index not in model.present:
        model.work[task.index] = [(ways[0][0], _only_way(model, task, ways[0][1]))]
    else:
        model.work[task.index] = [(way, _one_way(model, task, way, windows)) for way, windows in ways]
        chosen = [model.chosen[task.index, way] for way, _ in ways]
        model.cp.add(sum(chosen) == model.present.get(task.index, 1))


def _add_end(model: PlanModel, task: Task, gaps: list[int]) -> None:
    """When the step ends: its time later or, if it may be split, as much later as it sits through closed hours."""
    i = task.index
    if gaps == [0]:
        model.end[i] = model.start[i] + task.slots
        return
    closed = model.number(Domain.from_values(gaps), f"closed {i}", lambda board: closed_in(board, task))
    model.closed[i] = closed
    until = Domain(0, model.grid.horizon)
    end = model.number(until, f"end {i}", lambda board: end_of(board, task))
    model.cp.add(end == model.start[i] + closed + task.slots)
    model.end[i] = end


def _only_way(model: PlanModel, task: Task, windows: Windows) -> IntervalVar:
    """The stretch of a step that only one crew can do: its windows are the start's own domain."""
    start, name = model.start[task.index], task.step.key
    if task.index not in model.closed:
        return model.cp.new_fixed_size_interval_var(start, task.slots, name)
    closed = model.closed[task.index]
    model.cp.add_exactly_one(_add_window(model, task, closed, window) for window in windows)
    return model.cp.new_interval_var(start, closed + task.slots, model.end[task.index], name)


def _one_way(model: PlanModel, task: Task, way: Way, windows: Windows) -> IntervalVar:
    """The stretch of a step if this crew does it."""
    cp, start, name = model.cp, model.start[task.index], task.step.key
    here = model.yes_or_no(lambda board: board.way.get(task.index) is way)
    model.chosen[task.index, way] = here
    domain = Domain.from_intervals([[lo, hi] for lo, hi, _ in windows])
    cp.add_linear_expression_in_domain(start, domain).only_enforce_if(here)
    if task.index not in model.closed:
        return cp.new_optional_fixed_size_interval_var(start, task.slots, here, name)
    closed = model.closed[task.index]
    within = [_add_window(model, task, closed, window, way) for window in windows]
    cp.add(sum(within) == here)
    return cp.new_optional_interval_var(start, closed + task.slots, model.end[task.index], here, name)


def _add_window(
    model: PlanModel, task: Task, closed: IntVar, window: tuple[int, int, int], way: Way | None = None
) -> IntVar:
    """Whether a step that may be split starts in this window, with the closed time that goes with it."""
    lo, hi, gap = window
    i = task.index
    here = model.yes_or_no(
        lambda board: (
            i in board.start
            and (way is None or board.way[i] is way)
            and lo <= board.start[i] <= hi
            and closed_in(board, task) == gap
        )
    )
    model.cp.add_linear_constraint(model.start[i], lo, hi).only_enforce_if(here)
    model.cp.add(closed == gap).only_enforce_if(here)
    return here


def add_lag(model: PlanModel, lag: Lag, lost: set[Lag]) -> None:
    """A step starts after the wait is over and before the window has closed."""
    cp, start = model.cp, model.start[lag.then]
    if lag.ready is not None:
        cp.add(start >= lag.ready)
        if lag.last is not None:
            _add_last(model, lag, lag.last, lag in lost)
        return
    end = model.end[lag.first]
    present = [model.present[i] for i in (lag.first, lag.then) if i in model.present]
    only_if(cp.add(start >= end + wait_after(model, lag.first, lag.wait)), present)
    only_if(cp.add(start >= end + lag.wait.shortest), present)
    if lag.most is not None and (lag not in lost or lag.scuff is not None):
        kept = cp.add(start <= end + wait_after(model, lag.first, lag.most))
        if lag in model.missed:
            kept.only_enforce_if(~model.missed[lag])


def only_if(constraint: Constraint, present: Sequence[IntVar]) -> None:
    if present:
        constraint.only_enforce_if(*present)


def _add_last(model: PlanModel, lag: Lag, last: int, lost: bool) -> None:
    """A latest slot; one that the first plan lost may be missed again, at a price where no scuff makes it good."""
    start = model.start[lag.then]
    if not lost:
        model.cp.add(start <= last)
        return
    missed = model.missed.get(lag)
    if missed is None:
        missed = model.yes_or_no(lambda board: board.start[lag.then] > last)
        model.late.append(missed * MISSED_WINDOW)
    model.cp.add(start <= last).only_enforce_if(~missed)


def wait_after(model: PlanModel, first: int, table: WaitTable) -> IntVar | int:
    """The wait after task `first`, by the hour in which it ends."""
    if len(table.slots) == 1:
        return table.slots[0]
    if (first, table) not in model.waits:
        model.waits[first, table] = _wait_by_hour(model, first, table)
    return model.waits[first, table]


def _wait_by_hour(model: PlanModel, first: int, table: WaitTable) -> IntVar:
    cp = model.cp
    task = model.grid.tasks[first]
    ends = _ends_by_wait(task, table)
    wait = model.number(Domain.from_values(list(ends)), "wait", lambda board: table.at(end_of(board, task)))
    chosen = {value: model.yes_or_no(_is_wait(task, table, value)) for value in ends}
    for value, here in chosen.items():
        cp.add_linear_expression_in_domain(model.end[first], ends[value]).only_enforce_if(here)
        cp.add(wait == value).only_enforce_if(here)
    cp.add_exactly_one(chosen.values())
    return wait


def _is_wait(task: Task, table: WaitTable, value: int) -> Guess:
    return lambda board: table.at(end_of(board, task)) == value


def _ends_by_wait(task: Task, table: WaitTable) -> dict[int, Domain]:
    """For each length of the wait, the ends within working hours after which it holds."""
    parts: dict[int, list[list[int]]] = {}
    for window in {(w.lo, w.hi, w.gap): w for way in task.ways for w in way.windows}.values():
        end, last = window.lo + task.slots + window.gap, window.hi + task.slots + window.gap
        while end <= last:
            until = min(last, (table.next_break(end) or last + 1) - 1)
            parts.setdefault(table.at(end), []).append([end, until])
            end = until + 1
    return {value: Domain.from_intervals(intervals) for value, intervals in sorted(parts.items())}
