"""What must not meet in the air of a place or room, and what there is only so much of: layers and resources of a problem."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from tallboy.planner.network import Fixed, Place, Problem, Step, Wait
from tallboy.planner.slots.grid import Clock, Holding, Layer, WaitTable, wait_table
from tallboy.planner.slots.ways import people_of


@dataclass
class Layers:
    """The layers that matter in a problem, by number, and which of them each step holds or shuns.

    A layer counts only where some step holds it and another shuns it.
    """

    problem: Problem
    clock: Clock
    steps: Sequence[Step]
    found: list[Layer] = field(default_factory=list)
    _numbers: dict[Layer, int] = field(default_factory=dict)
    _tables: dict[int, WaitTable] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._places = {place.key: place for place in self.problem.places}
        self._alone = len(people_of(self.problem)) == 1
        held = {layer for step in self.steps for layer, _ in self._held(step)}
        shunned = {layer for step in self.steps for layer in self._shunned(step)}
        self.found = sorted(held & shunned, key=lambda layer: (layer.rule, layer.where))
        self._numbers = {layer: number for number, layer in enumerate(self.found)}

    def holds(self, step: Step) -> tuple[Holding, ...]:
        """The layers a step holds, and until how long after its end."""
        return tuple(Holding(number, self.table(wait)) for number, wait in self.held(step))

    def held(self, step: Step) -> tuple[tuple[int, Wait], ...]:
        """The same with the waits as they were asked for."""
        return tuple(
            (self._numbers[layer], wait or Fixed(0)) for layer, wait in self._held(step) if layer in self._numbers
        )

    def shuns(self, step: Step) -> tuple[int, ...]:
        """The layers while any other step holds which this one is not done."""
        return tuple(self._numbers[layer] for layer in self._shunned(step) if layer in self._numbers)

    def uses(self, step: Step) -> tuple[Holding, ...]:
        """The resources a step takes; several uses of the same one stay apart."""
        numbers = {resource.key: number for number, resource in enumerate(self.problem.resources)}
        return tuple(Holding(numbers[use.of], self.table(use.hold), use.amount) for use in step.uses)

    def table(self, wait: Wait) -> WaitTable:
        """A wait in slots; the same wait given twice is worked out once."""
        if isinstance(wait, Fixed):
            return wait_table(wait, self.clock)
        if id(wait) not in self._tables:
            self._tables[id(wait)] = wait_table(wait, self.clock)
        return self._tables[id(wait)]

    def _held(self, step: Step) -> Iterable[tuple[Layer, Wait | None]]:
        if step.wet is not None:
            yield Layer("dust", step.place), step.wet
        if step.solvent and not self._place(step).fresh_air and (step.hands == 0 or not self._alone):
            yield Layer("vapour", self._room(step)), None
        if step.solvent or step.fumes is not None:
            yield Layer("fire", self._room(step)), step.fumes

    def _shunned(self, step: Step) -> Iterable[Layer]:
        if step.dusty:
            yield Layer("dust", step.place)
        if step.hands:
            yield Layer("vapour", self._room(step))
        if step.ignition:
            yield Layer("fire", self._room(step))

    def _place(self, step: Step) -> Place:
        return self._places.get(step.place) or Place(step.place)

    def _room(self, step: Step) -> str:
        """A place without a room is one of its own; its name must not meet a room's by chance."""
        place = self._place(step)
        return f"room {place.room}" if place.room else f"place {place.key}"
