"""A general scheduling problem: activities that need resources, and lags between their starts.

It is the planner's own core without calendars: a way to hold the solver against published problems, and to state any
problem of order, resources and shortest or longest distances in time. Times are whole numbers of any one unit.
The readers turn the text of three common file kinds into a problem; they open no files.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from tallboy.errors import BadFile, BadInput
from tallboy.planner.model.solver import CpModel, IntervalVar, IntVar, Search, run


@dataclass(frozen=True)
class Activity:
    """Something that takes `duration` [1] and, while it lasts, `demands[r]` [1] of each resource r."""

    key: str
    duration: int
    demands: tuple[int, ...] = ()


@dataclass(frozen=True)
class Lag:
    """`then` starts at least `least` [1] after the start of `first`. A negative least is a longest distance the other way:
    `first` starts at most -least after the start of `then`."""

    first: str
    then: str
    least: int


@dataclass(frozen=True)
class GeneralProblem:
    """Activities, lags between starts, and how much there is of each resource."""

    activities: tuple[Activity, ...]
    lags: tuple[Lag, ...]
    capacities: tuple[int, ...]


@dataclass(frozen=True)
class GeneralPlan:
    """The answer: `makespan` is None and `starts` empty when the status is "no plan" (proven) or "unknown" (out of time)."""

    status: Literal["optimal", "good", "no plan", "unknown"]
    makespan: int | None
    starts: dict[str, int]
    bound: int
    seconds: float


def solve_general(problem: GeneralProblem, *, seconds: float = 10.0, workers: int = 1, seed: int = 1) -> GeneralPlan:
    """Find the shortest plan.

    Formula: minimise max(start + duration) subject to start(then) ≥ start(first) + least and, at every moment, the demands
    of the activities under way not above the capacities.

    Parameters: problem; seconds [s] wall clock, above 0; workers [1] threads; seed.
    Returns: the plan; its bound is proven: no plan is shorter.
    Raises: BadInput for a lag between unknown activities, a negative duration or demand, or a demand without a resource.
    Validity: whole numbers; sums of durations and lags below 2^40.
    Source: own derivation; checked against published optima in tests/planner/test_planner_general.py.
    """
    _check(problem)
    cp = CpModel()
    start, end = _variables(problem, cp)
    for lag in problem.lags:
        cp.add(start[lag.then] >= start[lag.first] + lag.least)
    cp.minimize(end)
    outcome = run(cp, Search(seconds, workers, seed))
    bound = max(0, round(outcome.bound))
    if not outcome.values:
        verdict: Literal["no plan", "unknown"] = "no plan" if outcome.verdict == "no plan" else "unknown"
        return GeneralPlan(verdict, None, {}, bound, outcome.seconds)
    starts = {key: outcome[variable] for key, variable in start.items()}
    status: Literal["optimal", "good"] = "optimal" if outcome.verdict == "optimal" else "good"
    return GeneralPlan(status, outcome[end], starts, bound, outcome.seconds)


def _check(problem: GeneralProblem) -> None:
    keys = {activity.key for activity in problem.activities}
    if len(keys) < len(problem.activities):
        raise BadInput("Two activities have the same key.", "Each needs a key of its own.")
    for activity in problem.activities:
        if (
            activity.duration < 0
            or min(activity.demands, default=0) < 0
            or len(activity.demands) > len(problem.capacities)
        ):
            raise BadInput(
                f"Activity {activity.key} has a negative duration or demand, or asks for an unknown resource.",
                f"0 or more is accepted, for up to {len(problem.capacities)} resources.",
            )
    for lag in problem.lags:
        if not {lag.first, lag.then} <= keys:
            raise BadInput(
                f"A lag from {lag.first} to {lag.then} names an unknown activity.", "Both must be in the problem."
            )


def _variables(problem: GeneralProblem, cp: CpModel) -> tuple[dict[str, IntVar], IntVar]:
    """A start for each activity and the end of all, with every resource kept within its capacity."""
    horizon = sum(a.duration for a in problem.activities) + sum(max(0, lag.least) for lag in problem.lags)
    start = {a.key: cp.new_int_var(0, horizon, a.key) for a in problem.activities}
    end = cp.new_int_var(0, 2 * horizon, "end")
    spans = {a.key: cp.new_fixed_size_interval_var(start[a.key], a.duration, a.key) for a in problem.activities}
    for a in problem.activities:
        cp.add(end >= start[a.key] + a.duration)
    for r, capacity in enumerate(problem.capacities):
        users = [(spans[a.key], a.demands[r]) for a in problem.activities if len(a.demands) > r and a.demands[r]]
        _add_resource(cp, users, capacity)
    return start, end


def _add_resource(cp: CpModel, users: list[tuple[IntervalVar, int]], capacity: int) -> None:
    if capacity == 1:
        cp.add_no_overlap([span for span, demand in users if demand == 1])
        if any(demand > 1 for _, demand in users):
            cp.add_bool_or([])  # more is asked for than there is: no plan
    else:
        cp.add_cumulative([span for span, _ in users], [demand for _, demand in users], capacity)


def read_jss(text: str) -> GeneralProblem:
    """A job shop: one job a line, pairs of machine and duration; machines from 0.

    Parameters: text of the file; lines that begin with # are comments, the first other line is jobs and machines.
    Returns: one activity "job.operation" for each pair, one resource for each machine.
    Raises: BadFile when a number is missing or is no number.
    Source: the file kind's own layout, see docs/planner.md.
    """
    rows = _rows([line for line in text.splitlines() if line.strip() and not line.lstrip().startswith("#")])
    jobs, machines = _pair(rows[0])
    activities, lags = [], []
    for j, row in enumerate(_taken(rows, 1, jobs)):
        for k in range(machines):
            machine, duration = _pair(row[2 * k : 2 * k + 2])
            if not 0 <= machine < machines:
                raise BadFile(f"Job {j} names the machine {machine}.", f"There are {machines}, counted from 0.")
            demands = tuple(int(m == machine) for m in range(machines))
            activities.append(Activity(f"{j}.{k}", duration, demands))
            if k:
                lags.append(Lag(f"{j}.{k - 1}", f"{j}.{k}", activities[-2].duration))
    return GeneralProblem(tuple(activities), tuple(lags), (1,) * machines)


def read_sm(text: str) -> GeneralProblem:
    """A single-mode project with resources, in the layout of the project scheduling library.

    Parameters: text of the file.
    Returns: its jobs, each successor starting when the job has ended.
    Raises: BadFile when a section or a number is missing, or a job has several modes.
    Source: the file kind's own layout, see docs/planner.md.
    """
    after = {row[0]: (row[1], row[3 : 3 + row[2]]) for row in _section(text, "PRECEDENCE RELATIONS")}
    work = {row[0]: row[2:] for row in _section(text, "REQUESTS/DURATIONS")}
    capacities = _section(text, "RESOURCEAVAILABILITIES")
    if not capacities or after.keys() != work.keys() or any(modes != 1 for modes, _ in after.values()):
        raise BadFile("The project file lacks a section, or has jobs with several modes.", "Single-mode .sm is read.")
    activities = tuple(Activity(str(job), row[0], tuple(row[1:])) for job, row in work.items())
    lags = tuple(Lag(str(job), str(then), work[job][0]) for job, (_, thens) in after.items() for then in thens)
    return GeneralProblem(activities, lags, tuple(capacities[0]))


def read_sch(text: str) -> GeneralProblem:
    """A project with shortest and longest lags between starts.

    Parameters: text of the file: activities and resources; per activity id, modes, successors and `[lag]` for each; per
    activity id, mode, duration, demands; capacities.
    Returns: its activities, lags and capacities.
    Raises: BadFile when a line or a number is missing.
    Source: the file kind's own layout, see docs/planner.md.
    """
    rows = _rows([re.sub(r"[\[\]]", " ", line) for line in text.splitlines() if line.strip()])
    count = rows[0][0] + 2
    lags = []
    for row in _taken(rows, 1, count):
        n = row[2]
        if len(row) < 3 + 2 * n:
            raise BadFile(f"Activity {row[0]} lacks a lag for each of its {n} successors.", "As many were expected.")
        lags += [Lag(str(row[0]), str(then), least) for then, least in zip(row[3 : 3 + n], row[3 + n :], strict=True)]
    work = _taken(rows, 1 + count, count)
    activities = tuple(Activity(str(row[0]), row[2], tuple(row[3:])) for row in work)
    return GeneralProblem(activities, tuple(lags), tuple(_taken(rows, 1 + 2 * count, 1)[0]))


READERS: dict[str, Callable[[str], GeneralProblem]] = {".jss": read_jss, ".sm": read_sm, ".sch": read_sch}


def _rows(lines: list[str]) -> list[list[int]]:
    try:
        rows = [[int(word) for word in line.split()] for line in lines]
    except ValueError as error:
        raise BadFile(f"The file has something that is no whole number: {error}.", "Whole numbers are read.") from error
    if not rows:
        raise BadFile("The file is empty.", "Lines of whole numbers were expected.")
    return rows


def _taken(rows: list[list[int]], first: int, count: int) -> list[list[int]]:
    part = rows[first : first + count]
    if len(part) < count or any(len(row) < 1 for row in part):
        raise BadFile(f"The file ends after {len(rows)} lines.", f"{first + count} lines of numbers were expected.")
    return part


def _pair(row: list[int]) -> tuple[int, int]:
    if len(row) < 2:
        raise BadFile("A line of the file has too few numbers.", "Pairs of numbers were expected.")
    return row[0], row[1]


def _section(text: str, title: str) -> list[list[int]]:
    """The rows of numbers below a title, down to the next line of stars."""
    _, found, rest = text.partition(title)
    if not found:
        raise BadFile(f"The project file has no section {title}.", "A single-mode .sm file is read.")
    lines = rest.partition("****")[0].splitlines()
    return _rows([line for line in lines if re.fullmatch(r"[\s\d]+", line) and line.strip()])
