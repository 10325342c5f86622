"""What a plan holds back on purpose, so that a window stays open or a wait stays short."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from tallboy.planner.chance.hours import minute_of
from tallboy.planner.chance.parts import Act, Closing, Course
from tallboy.planner.chance.walk import Walk
from tallboy.planner.network import Plan


def held_back(course: Course, plan: Plan) -> Course:
    """The course with every step held until its planned start that would do harm if it were begun as early as the order allows.

    Harm is: a window that the plan keeps would close, or what follows would come later than in the plan.
    """
    walk, acts, shuts = Walk(course, None), [], _shuts(course, plan)
    for number, act in enumerate(course.acts):
        planned = plan.steps[act.key]
        start, end = (minute_of(course.clock, time) for time in (planned.start, planned.end))
        late = act.begun is None and _harmful(walk, act, (start, end), shuts.get(number, ()))
        acts.append(replace(act, earliest=max(act.earliest, start)) if late else act)
        walk.go(acts[-1])
    return replace(course, acts=tuple(acts))


def _shuts(course: Course, plan: Plan) -> dict[int, list[tuple[Closing, float]]]:
    """The windows that open behind each act, and when the plan begins what must come before they close."""
    found: dict[int, list[tuple[Closing, float]]] = {}
    for act in course.acts:
        then = minute_of(course.clock, plan.steps[act.key].start)
        for closing in act.closings:
            found.setdefault(closing.first, []).append((closing, then))
    return found


def _harmful(walk: Walk, act: Act, planned: tuple[float, float], shuts: Sequence[tuple[Closing, float]]) -> bool:
    """Whether the act, begun at once, would make something after it late."""
    start, end = (float(row[0]) for row in walk.times(act))
    if start >= planned[0]:
        return False
    at, as_planned = np.array([end]), np.array([planned[1]])
    for after in act.tells:
        allowed = after.until if math.isfinite(after.until) else float(walk.over(after, as_planned)[0])
        if float(walk.over(after, at)[0]) > allowed:
            return True
    return any(
        end + max(float(closing.most.at(at)[0]), float(closing.least.at(at)[0])) < then for closing, then in shuts
    )
