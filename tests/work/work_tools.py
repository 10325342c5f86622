"""What the tests of routes share: the ready tables, an invented dresser, and what to ask of a graph of steps."""

from __future__ import annotations

from graphlib import TopologicalSorter

from tallboy.tables import load
from tallboy.work.job import FaultItem, Job, PartItem, StepDraft, Surface, Unrolled, WaitDraft
from tallboy.work.kinds import kind_names
from tallboy.work.route import repairs_from_table, routes_from_table

ROUTES = routes_from_table(load("routes"))
REPAIRS = repairs_from_table(load("repairs"))


def dresser() -> Job:
    """A pine dresser: eight surfaces, thirteen parts, three faults; outside 3.3 m², inside and back 3.2 m²."""
    sizes = [
        ("top", "top", 0.6),
        ("left side", "sides", 0.5),
        ("right side", "sides", 0.5),
        ("frame", "front frame", 0.5),
        ("drawer fronts", "drawer fronts", 0.5),
        ("doors", "doors", 0.7),
        ("inside", "inside", 2.0),
        ("back", "back", 1.2),
    ]
    fittings = [("cup pull", "pull", "clean")] * 6 + [("door hinge", "hinge", "clean")] * 4
    fittings += [("knob", "knob", "replace"), ("lock", "lock", "repair"), ("escutcheon", "escutcheon", "keep")]
    return Job(
        surfaces=tuple(Surface(f"s{i}", *size) for i, size in enumerate(sizes)),
        parts=tuple(PartItem(f"p{i}", *fitting) for i, fitting in enumerate(fittings)),
        faults=(
            FaultItem("f1", "loose joint", "left rear leg", "Loose joint"),
            FaultItem("f2", "stripped screw hole", "left door, top hinge", "Stripped screw hole"),
            FaultItem("f3", "missing fitting", "right drawer", "Missing pull"),
        ),
        kind_names=kind_names(load("kinds")),
    )


DRESSER = dresser()


def before(plan: Unrolled) -> dict[str, set[str]]:
    """For each step the keys of all steps that must end before it starts; CycleError when they wait in a ring."""
    direct: dict[str, set[str]] = {step.key: set() for step in plan.steps}
    for wait in plan.waits:
        direct[wait.then].add(wait.first)
    reach: dict[str, set[str]] = {}
    for key in TopologicalSorter(direct).static_order():
        reach[key] = direct[key].union(*(reach[first] for first in direct[key]))
    return reach


def step(plan: Unrolled, key: str) -> StepDraft:
    """The step with that key."""
    return next(found for found in plan.steps if found.key == key)


def wait(plan: Unrolled, first: str, then: str) -> WaitDraft:
    """The one wait between two steps."""
    found = [w for w in plan.waits if (w.first, w.then) == (first, then)]
    assert len(found) == 1, f"{len(found)} waits from {first} to {then}"
    return found[0]
