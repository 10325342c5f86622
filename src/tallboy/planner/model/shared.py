"""What steps share as constraints: hands, the air of a place, and what there is only so much of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from tallboy.planner.model.parts import PlanModel, end_of, start_of
from tallboy.planner.model.solver import Domain, IntervalVar
from tallboy.planner.model.steps import only_if, wait_after
from tallboy.planner.slots.grid import Grid, Holding, Task, WaitTable


def add_hands(model: PlanModel) -> None:
    """Nobody is at two steps at once."""
    cp, grid = model.cp, model.grid
    jobs: dict[int, list[tuple[IntervalVar, int]]] = {}
    for ways in model.work.values():
        for way, interval in ways:
            for team, hands in way.crew:
                jobs.setdefault(team, []).append((interval, hands))
    for a, b, team, hands in grid.busy:
        jobs.setdefault(team, []).append((cp.new_fixed_size_interval_var(a, b - a, "begun"), hands))
    for team, work in jobs.items():
        _add_capacity(model, work, len(grid.teams[team].people))


def _add_capacity(model: PlanModel, jobs: Sequence[tuple[IntervalVar, int]], capacity: int) -> None:
    """Jobs that together never take more than there is."""
    if capacity == 1:
        model.cp.add_no_overlap([interval for interval, amount in jobs if amount])
    else:
        model.cp.add_cumulative([interval for interval, _ in jobs], [amount for _, amount in jobs], capacity)


def add_layers(model: PlanModel) -> None:
    """No step that shuns a layer is done while another holds it."""
    grid = model.grid
    after = _followers(grid)
    for layer in range(len(grid.layers)):
        holders = [(task, holding) for task in grid.tasks for holding in task.holds if holding.of == layer]
        shunners = [task for task in grid.tasks if layer in task.shuns]
        _add_layer_of_facts(model, layer, holders, shunners)
        open_holders = [(task, holding) for task, holding in holders if task.index in model.start]
        _add_exclusion(model, open_holders, [task for task in shunners if task.index in model.start], after)


def _add_layer_of_facts(
    model: PlanModel, layer: int, holders: Sequence[tuple[Task, Holding]], shunners: Sequence[Task]
) -> None:
    """What shuns waits for what is held by steps that are done or have begun, and the other way round."""
    freed = max((_freed(task, layer) for task, _ in holders if task.fact is not None), default=0)
    settled = max((task.fact.last for task in shunners if task.fact is not None), default=0)
    for tasks, after in ((shunners, freed), ([task for task, _ in holders], settled)):
        for task in tasks:
            if task.index in model.start and after > model.grid.first_slot:
                later = model.cp.add(model.start[task.index] >= after)
                only_if(later, [model.present[task.index]] if task.index in model.present else [])


def _freed(task: Task, layer: int) -> int:
    """The slot from which a step that is done or has begun holds the layer no more."""
    assert task.fact is not None
    return max(until for holding, until in zip(task.holds, task.fact.holds, strict=True) if holding.of == layer)


def _add_exclusion(
    model: PlanModel, holders: Sequence[tuple[Task, Holding]], shunners: Sequence[Task], after: Sequence[int]
) -> None:
    """As room on a shelf: what holds takes one board, what shuns takes all of them.

    Steps that shun and can never be done at the same time share a shelf; any other has a shelf of its own.
    """
    if not holders or not shunners:
        return
    holding = {task.index for task, _ in holders}
    for group in _never_together(model.grid, shunners, holding, after):
        own = group[0].index if len(group) == 1 else None
        spans = [held_interval(model, task, keeps) for task, keeps in holders if task.index != own]
        work = [interval for task in group for _, interval in model.work[task.index]]
        if spans:
            demands = [1] * len(spans) + [len(spans)] * len(work)
            model.cp.add_cumulative(spans + work, demands, len(spans))


def _never_together(grid: Grid, tasks: Sequence[Task], alone: set[int], after: Sequence[int]) -> list[list[Task]]:
    """Groups of steps of which no two can be done at once: one follows the other, or there is only one pair of hands."""
    single = sum(len(team.people) for team in grid.teams) == 1
    groups: list[list[Task]] = []
    for task in tasks:
        fitting = (
            group
            for group in groups
            if group[0].index not in alone and all(_in_turn(one, task, after, single=single) for one in group)
        )
        group = None if task.index in alone else next(fitting, None)
        if group is None:
            groups.append([task])
        else:
            group.append(task)
    return groups


def _in_turn(one: Task, other: Task, after: Sequence[int], *, single: bool) -> bool:
    if single and one.step.hands and other.step.hands:
        return True
    return bool(after[one.index] >> other.index & 1 or after[other.index] >> one.index & 1)


def _followers(grid: Grid) -> list[int]:
    """For each step, as bits, all steps that follow it."""
    after = [0] * len(grid.tasks)
    for i in reversed(grid.order):
        for lag in grid.out[i]:
            after[i] |= 1 << lag.then | after[lag.then]
    return after


def add_rooms(model: PlanModel) -> None:
    """Never more of anything in use than there is; what is done or has begun takes no more than that."""
    for room, amount in enumerate(model.grid.rooms):
        users = [
            (task, holding)
            for task in model.grid.tasks
            for holding in task.uses
            if holding.of == room and holding.amount
        ]
        jobs = [
            (held_interval(model, task, holding), holding.amount)
            for task, holding in users
            if task.index in model.start
        ]
        if jobs:
            _add_capacity(model, [*jobs, *_taken_by_facts(model, room, users)], amount)


def _taken_by_facts(
    model: PlanModel, room: int, users: Sequence[tuple[Task, Holding]]
) -> Iterator[tuple[IntervalVar, int]]:
    """What steps that are done or have begun still use of a resource."""
    first, most = model.grid.first_slot, model.grid.rooms[room]
    taken = [
        (until, holding.amount)
        for task in {task.index: task for task, _ in users if task.fact is not None}.values()
        for holding, until in zip(task.uses, task.fact.uses if task.fact else (), strict=True)
        if holding.of == room and until > first
    ]
    edges = sorted({first, *(until for until, _ in taken)})
    for a, b in pairwise(edges):
        amount = min(most, sum(used for until, used in taken if until >= b))
        yield model.cp.new_fixed_size_interval_var(a, b - a, "taken"), amount


def held_interval(model: PlanModel, task: Task, holding: Holding) -> IntervalVar:
    """From the start of a step until what it holds or uses is free again."""
    i, table = task.index, holding.hold
    if (i, table) not in model.held:
        model.held[i, table] = _held_interval(model, task, table)
    return model.held[i, table]


def _held_interval(model: PlanModel, task: Task, table: WaitTable) -> IntervalVar:
    cp, i, name = model.cp, task.index, f"held {task.step.key}"
    present = model.present.get(i)
    if len(table.slots) == 1 and i not in model.closed:
        size = task.slots + table.slots[0]
        if present is None:
            return cp.new_fixed_size_interval_var(model.start[i], size, name)
        return cp.new_optional_fixed_size_interval_var(model.start[i], size, present, name)
    far = Domain(0, model.grid.horizon + table.longest + task.slots)
    free = model.number(far, f"free {i}", lambda board: end_of(board, task) + table.at(end_of(board, task)))
    length = model.number(
        far, f"held {i}", lambda board: end_of(board, task) + table.at(end_of(board, task)) - start_of(board, task)
    )
    cp.add(free == model.end[i] + wait_after(model, i, table))
    if present is None:
        return cp.new_interval_var(model.start[i], length, free, name)
    return cp.new_optional_interval_var(model.start[i], length, free, present, name)
