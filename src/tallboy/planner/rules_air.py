"""Rules about what is in the air: dust, vapour, fire, cold and damp. One rule is one function; its first line says it in words."""

from __future__ import annotations

from collections.abc import Iterator

from tallboy.planner.rules_reading import Finding, Placed, Reading, holds, place_of, room_of, stretches, wait_after


def no_dust_on_wet(reading: Reading) -> Iterator[Finding]:
    """Nothing dusty is done in a place while a coat there is being laid or is still wet."""
    coats = [placed for placed in reading.placed.values() if placed.step.wet is not None]
    dusty = [placed for placed in reading.placed.values() if placed.step.dusty]
    for coat, other in reading.pairs(coats, dusty):
        wet = coat.step.wet
        if wet is None or coat.step.place != other.step.place:
            continue
        if other.at_work_during(coat.start, coat.end + wait_after(wet, coat.end)):
            yield f"{other.key} raises dust while {coat.key} is wet.", (coat.key, other.key)


def nobody_in_vapour(reading: Reading) -> Iterator[Finding]:
    """While an open solvent is used in a place without fresh air, nobody does another step in the same room."""
    at_work = [placed for placed in reading.placed.values() if placed.step.hands]
    solvent = [placed for placed in reading.placed.values() if placed.step.solvent]
    closed = [placed for placed in solvent if not place_of(reading.problem, placed.step.place).fresh_air]
    for placed, other in reading.pairs(closed, at_work):
        if _same_room(reading, placed, other) and any(other.at_work_during(a, b) for a, b in placed.blocks):
            yield f"{other.key} is done in the vapour of {placed.key}.", (placed.key, other.key)


def no_flame_by_vapour(reading: Reading) -> Iterator[Finding]:
    """From the start of a step that leaves vapour which can burn until it has gone, there is no flame in the same room."""
    flames = [placed for placed in reading.placed.values() if placed.step.ignition]
    vapour = [placed for placed in reading.placed.values() if placed.step.solvent or placed.step.fumes is not None]
    for placed, flame in reading.pairs(vapour, flames):
        fumes = placed.step.fumes
        gone = placed.end + (0 if fumes is None else wait_after(fumes, placed.end))
        if _same_room(reading, placed, flame) and flame.at_work_during(placed.start, gone):
            yield f"{flame.key} makes flame or sparks in the vapour of {placed.key}.", (placed.key, flame.key)


def _same_room(reading: Reading, one: Placed, other: Placed) -> bool:
    return room_of(reading.problem, one.step.place) == room_of(reading.problem, other.step.place)


def air_fits(reading: Reading) -> Iterator[Finding]:
    """A step that asks something of the air has it from its start until as long after its end as it asks."""
    for placed in reading.open:
        fit = placed.step.fit
        if fit is not None and not holds(stretches(fit), placed.start, placed.end + placed.step.fit_minutes):
            yield f"{placed.key} is done when the air does not suit it.", (placed.key,)
