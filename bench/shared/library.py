"""The same problems put to a general scheduling library (pyjobshop, MIT), which is needed by the bench only.

It knows jobs with due dates, shared resources with calendars, and fixed distances in time. It knows no waits by the hour, no air
that is kept, no latest times with a remedy: shops are made plainer first (`plainer`), for all that are compared.
"""

from __future__ import annotations

import time
from dataclasses import replace

import pyjobshop

from bench.shared.plain_model import Baseline
from tallboy.planner.general import GeneralProblem
from tallboy.planner.network import ByHour, Fixed, Link, Problem
from tallboy.planner.slots.build import build
from tallboy.planner.slots.grid import Grid


def plainer(problem: Problem) -> Problem:
    """The shop with what the library can say: fixed waits, no dust, no latest times, no cuts, promises of equal weight."""

    def fixed(link: Link) -> Link:
        least = Fixed(link.least.minutes[0]) if isinstance(link.least, ByHour) else link.least
        return replace(link, least=least, most=None)

    hours = max(step.minutes for step in problem.steps if not step.split)
    return replace(
        problem,
        steps=tuple(
            replace(step, dusty=False, wet=None, split=False, minutes=min(step.minutes, hours))
            for step in problem.steps
        ),
        links=tuple(fixed(link) for link in problem.links),
        promises=tuple(replace(promise, weight=1) for promise in problem.promises),
    )


def library(problem: Problem, *, seconds: float, workers: int) -> Baseline:
    """Lateness plus finishing times [min] of a plainer shop, by the library."""
    grid = build(problem)
    model = _shop_model(grid)
    begun = time.perf_counter()
    result = model.solve(time_limit=seconds, display=False, num_workers=workers)
    took = time.perf_counter() - begun
    found = result.status.value in ("Optimal", "Feasible")
    return Baseline(
        grid.clock.minutes(result.objective) if found else None, grid.clock.minutes(max(0.0, result.lower_bound)), took
    )


def _shop_model(grid: Grid) -> pyjobshop.Model:
    """Pieces as jobs, hands as a resource with breaks where the shop is closed."""
    model = pyjobshop.Model()
    closed = [(0, grid.spans[0][0])] if grid.spans[0][0] else []
    closed += [(a[1], b[0]) for a, b in zip(grid.spans, grid.spans[1:], strict=False)]
    hands = model.add_renewable(grid.problem.hands, breaks=closed)
    jobs = {
        piece: model.add_job(
            due_date=grid.due[piece][0] if piece in grid.due else grid.spans[-1][1], release_date=grid.first_slot
        )
        for piece in sorted({task.step.piece for task in grid.open_tasks})
    }
    tasks = {}
    for task in grid.open_tasks:
        earliest = max(grid.first_slot, task.earliest)
        tasks[task.index] = model.add_task(jobs[task.step.piece], earliest_start=earliest, latest_end=grid.spans[-1][1])
        model.add_mode(tasks[task.index], hands, task.slots, task.step.hands)
    for lag in grid.lags:
        model.add_end_before_start(tasks[lag.first], tasks[lag.then], lag.wait.shortest)
    model.set_objective(weight_total_flow_time=1, weight_total_tardiness=1)
    return model


def library_general(problem: GeneralProblem, *, seconds: float, workers: int) -> tuple[str, float, float]:
    """How a published problem ends with the library: its status, the makespan, and the seconds it took."""
    model = pyjobshop.Model()
    rooms = [model.add_renewable(capacity) for capacity in problem.capacities]
    tasks = {}
    for activity in problem.activities:
        tasks[activity.key] = model.add_task()
        used = [k for k, amount in enumerate(activity.demands) if amount]
        demands = [activity.demands[k] for k in used]
        model.add_mode(tasks[activity.key], [rooms[k] for k in used], activity.duration, demands)
    for lag in problem.lags:
        model.add_start_before_start(tasks[lag.first], tasks[lag.then], lag.least)
    begun = time.perf_counter()
    result = model.solve(time_limit=seconds, display=False, num_workers=workers)
    return result.status.value, float(result.objective), time.perf_counter() - begun
