"""The whole problem as constraints, with what is to be made small."""

from __future__ import annotations

from tallboy.planner.model.parts import Guess, PlanModel
from tallboy.planner.model.shared import add_hands, add_layers, add_rooms
from tallboy.planner.model.solver import Domain
from tallboy.planner.model.steps import add_lag, add_step
from tallboy.planner.search.greedy import finishes
from tallboy.planner.slots.grid import Grid, Lag


def plan_model(grid: Grid, lost: set[Lag]) -> PlanModel:
    """All rules of docs/planner.md as constraints. Windows in `lost` may be missed: at a price that is paid first, or by a scuff."""
    model = PlanModel(grid)
    for lag in grid.lags:
        if lag.scuff is not None and lag in lost:
            model.missed[lag] = model.yes_or_no(_is_missed(lag))
            model.present[lag.scuff] = model.missed[lag]
    for task in grid.tasks:
        if task.fact is None and (not grid.is_scuff(task.index) or task.index in model.present):
            add_step(model, task)
    add_hands(model)
    for lag in grid.lags:
        if lag.then in model.start and (lag.ready is not None or lag.first in model.start):
            add_lag(model, lag, lost)
    add_layers(model)
    add_rooms(model)
    _add_promises(model)
    _add_changes(model)
    return model


def _is_missed(lag: Lag) -> Guess:
    return lambda board: lag in board.dropped


def _add_promises(model: PlanModel) -> None:
    """When each piece is finished, and how late that is."""
    cp, grid = model.cp, model.grid
    for piece in sorted({task.step.piece for task in grid.open_tasks}):
        finish = model.number(Domain(grid.first_slot, grid.horizon), f"finish {piece}", _finish_of(piece))
        for task in grid.tasks[: grid.scuffs]:
            if task.step.piece == piece:
                cp.add(finish >= (model.end[task.index] if task.fact is None else min(task.fact.last, grid.horizon)))
        model.finish.append(finish)
        if piece in grid.due:
            by, weight = grid.due[piece]
            most = Domain(0, max(0, grid.horizon - by))
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
        if i in model.start and any(way.starts.gap(slot) is not None for way in model.grid.tasks[i].ways):
            changed = model.yes_or_no(_is_changed(i, slot))
            model.cp.add(model.start[i] == slot).only_enforce_if(~changed)
            model.changed.append(changed)


def _is_changed(task: int, slot: int) -> Guess:
    return lambda board: board.start.get(task, slot) != slot
