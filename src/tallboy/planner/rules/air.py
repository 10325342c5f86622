"""Rules about what is in the air: dust, vapour, fire, cold and damp. One rule is one function; its first line says it in words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tallboy.planner.rules.reading import Finding, Placed, Reading, holds, stretches, wait_after


def no_dust_on_wet(reading: Reading) -> Iterator[Finding]:
    """Nothing dusty is done in a place while a coat there is being laid or is still wet."""
    dusty: dict[str, list[Placed]] = {}
    for placed in reading.placed.values():
        if placed.step.dusty:
            dusty.setdefault(placed.step.place, []).append(placed)
    for coat in reading.placed.values():
        if coat.step.wet is None:
            continue
        dry = coat.end + wait_after(coat.step.wet, coat.end)
        for _, other in reading.pairs([coat], dusty.get(coat.step.place, ())):
            if other.at_work_during(coat.start, dry):
                yield f"{other.key} raises dust while {coat.key} is wet.", (coat.key, other.key)


def nobody_in_vapour(reading: Reading) -> Iterator[Finding]:
    """While an open solvent is used in a place without fresh air, nobody does another step in the same room."""
    at_work = _by_room(reading, (placed for placed in reading.placed.values() if placed.step.hands))
    for placed in reading.placed.values():
        if not placed.step.solvent or reading.place_of(placed).fresh_air:
            continue
        for _, other in reading.pairs([placed], at_work.get(reading.room_of(placed), ())):
            if any(other.at_work_during(a, b) for a, b in placed.blocks):
                yield f"{other.key} is done in the vapour of {placed.key}.", (placed.key, other.key)


def no_flame_by_vapour(reading: Reading) -> Iterator[Finding]:
    """From the start of a step that leaves vapour which can burn until it has gone, there is no flame in the same room."""
    flames = _by_room(reading, (placed for placed in reading.placed.values() if placed.step.ignition))
    for placed in reading.placed.values():
        fumes = placed.step.fumes
        if not placed.step.solvent and fumes is None:
            continue
        gone = placed.end + (0 if fumes is None else wait_after(fumes, placed.end))
        for _, flame in reading.pairs([placed], flames.get(reading.room_of(placed), ())):
            if flame.at_work_during(placed.start, gone):
                yield f"{flame.key} makes flame or sparks in the vapour of {placed.key}.", (placed.key, flame.key)


def _by_room(reading: Reading, some: Iterable[Placed]) -> dict[tuple[str, str], list[Placed]]:
    """Steps by the air they are done in."""
    rooms: dict[tuple[str, str], list[Placed]] = {}
    for placed in some:
        rooms.setdefault(reading.room_of(placed), []).append(placed)
    return rooms


def air_fits(reading: Reading) -> Iterator[Finding]:
    """A step that asks something of the air has it from its start until as long after its end as it asks."""
    for placed in reading.open:
        fit = placed.step.fit
        if fit is not None and not holds(stretches(fit), placed.start, placed.end + placed.step.fit_minutes):
            yield f"{placed.key} is done when the air does not suit it.", (placed.key,)
