"""Fresh air for a source, how a room fills and how it clears, as it is asked at the bench."""

from __future__ import annotations

import numpy as np

from tallboy.sums.evaporation import Rate
from tallboy.sums.room_air import Source, concentration, minutes_to_clear, minutes_to_reach, steady_concentration
from tallboy.sums.vapour import Limit, Liquid, milligrams_per_m3
from tallboy.workings import vapour_words as words
from tallboy.workings.kinds import Answer, Asked, Curve, Given, Got, Plot, Working
from tallboy.workings.telling import rounded

POINTS = 121
GRAMS = Asked(
    "grams",
    "Leaves the liquid",
    "g",
    0.01,
    100_000,
    50.0,
    help="Grams in an hour; jar-vapour tells what a jar gives off.",
)
START = Asked("start", "In the air now", "ppm", 0, 900_000, 0.0)
TENTH, QUARTER = 0.1, 0.25


def _fresh_air(given: Given) -> Answer:
    liquid, celsius, row = words.liquid_of(given), given.number("celsius"), given.row("liquid")
    limit, grams = words.limit_of(given, liquid), given.number("grams")
    mixing, volume = given.number("mixing"), given.number("room")
    rate = Rate(grams, grams, grams)
    wanted = (
        ("limit", "for the limit of 8 hours", limit.ppm if limit else None),
        ("tenth", "for a tenth of the lower limit of burning", words.lower_ppm(liquid, TENTH)),
        ("quarter", "for a quarter of it, the most that is ever allowed", words.lower_ppm(liquid, QUARTER)),
    )
    airs = [
        words.fresh_air_got(name, f"Fresh air {label}", rate, ppm, liquid, celsius, mixing)
        for name, label, ppm in wanted
    ]
    return Answer(
        results=(*airs, _changes_got(airs[0], volume)),
        working=(
            *(_line(ppm, label, grams, mixing, liquid, celsius) for _name, label, ppm in wanted if ppm is not None),
            words.limit_words(limit, liquid),
            words.lower_words(liquid),
        ),
        sources=words.sources_of([row], *words.SOURCES, "osha-1910-106", "osha-1910-146"),
        cautions=words.cautions_of([row]),
        says=_air_says(airs[0], grams, liquid, limit, volume),
        limits=(
            words.FIRST,
            "A quarter of the lower limit is the ceiling for machines and rooms with nobody in the vapour (29 CFR 1910.106), a tenth is danger in a closed space (1910.146). Where people breathe it the limit in air comes first: it is far lower.",
            *words.ROOM_LIMITS,
            *words.notes_on(liquid, row),
        ),
    )


def _line(ppm: float, label: str, grams: float, mixing: float, liquid: Liquid, celsius: float) -> str:
    wanted = milligrams_per_m3(ppm, liquid.molar_mass, celsius)
    return (
        f"Q {label} = 1000 K G / C = 1000 * {mixing:g} * {grams:g} / {rounded(wanted, 4)} = "
        f"{rounded(1000 * mixing * grams / wanted)} m³/h, with {ppm:g} ppm = {rounded(wanted, 4)} mg/m³ at {celsius:g} °C"
    )


def _changes_got(air: Got, volume: float) -> Got:
    label = "that is, changes of this room's air"
    return (
        Got("changes", label, words.UNKNOWN)
        if isinstance(air.value, str)
        else Got("changes", label, float(air.value) / volume, "1/h")
    )


def _air_says(air: Got, grams: float, liquid: Liquid, limit: Limit | None, volume: float) -> str:
    if limit is None or isinstance(air.value, str):
        return f"How much fresh air {grams:g} g of {liquid.name} an hour needs for your health cannot be told: no limit is known here."
    changes = float(air.value) / volume
    return (
        f"{grams:g} g of {liquid.name} an hour needs {rounded(float(air.value), 2)} m³ of fresh air an hour to stay at {limit.ppm:g} ppm, "
        f"{rounded(changes, 2)} changes of this room's air."
    )


def _room_fills(given: Given) -> Answer:
    liquid, celsius, room = words.liquid_of(given), given.number("celsius"), words.room_of(given)
    limit, row, grams = words.limit_of(given, liquid), given.row("liquid"), given.number("grams")
    start = milligrams_per_m3(given.number("start"), liquid.molar_mass, celsius)
    steady = words.in_air(steady_concentration(grams, room.fresh_air, room.mixing), liquid, celsius)
    wanted = (
        ("limit", "Reaches the limit of 8 hours after", limit.ppm if limit else None),
        ("tenth", "Reaches a tenth of the lower limit of burning after", words.lower_ppm(liquid, TENTH)),
        ("quarter", "Reaches a quarter of it after", words.lower_ppm(liquid, QUARTER)),
    )
    times = [_time_got(given, name, label, ppm, start, liquid) for name, label, ppm in wanted]
    return Answer(
        results=(Got("steady", "Would settle at", steady, "ppm"), *times),
        working=(
            f"Would settle at 1000 K G / Q = 1000 * {room.mixing:g} * {grams:g} / {rounded(room.fresh_air)} mg/m³ = {rounded(steady)} ppm",
            f"t = -(K V / Q) ln((Cs - C) / (Cs - C0)), K V / Q = {rounded(60 * room.mixing * room.volume / room.fresh_air)} min, C0 = {given.number('start'):g} ppm",
            words.limit_words(limit, liquid),
            words.lower_words(liquid),
        ),
        sources=words.sources_of([row], "rehs-r", *words.SOURCES),
        cautions=words.cautions_of([row]),
        says=_fills_says(liquid, limit, times[0], steady),
        limits=(words.FIRST, "The limit of 8 hours is one for the day's average: to reach it is not yet to pass it.", *words.ROOM_LIMITS, *words.notes_on(liquid, row)),
        plots=(_filling(given, liquid, limit),),
    )  # fmt: skip


def _time_got(given: Given, name: str, label: str, ppm: float | None, start: float, liquid: Liquid) -> Got:
    """When a share is reached [min], or "never", or unknown."""
    if ppm is None:
        return Got(name, label, words.UNKNOWN)
    room, wanted = words.room_of(given), milligrams_per_m3(ppm, liquid.molar_mass, given.number("celsius"))
    minutes = minutes_to_reach(wanted, given.number("grams"), room.volume, room.fresh_air, room.mixing, start)
    return Got(name, label, "never, with this fresh air") if minutes is None else Got(name, label, minutes, "min")


def _fills_says(liquid: Liquid, limit: Limit | None, time: Got, steady: float) -> str:
    name, settles = liquid.name.capitalize(), f"it would settle at about {rounded(steady, 2)} ppm"
    if limit is None:
        return f"{name} has no known limit to hold this against; {settles}."
    if isinstance(time.value, str):
        return f"{name} does not reach the limit for 8 hours with this fresh air; {settles}."
    return f"{name} reaches the limit for 8 hours after about {_spoken(float(time.value))}; {settles}."


def _clears_says(now: float, wanted: float, minutes: float) -> str:
    if minutes <= 0:
        return f"The room is there already: {now:g} ppm is no more than the {wanted:g} that are wanted."
    return f"The room is down from {now:g} to {wanted:g} ppm after about {_spoken(minutes)}, if nothing gives off vapour any more."


def _spoken(minutes: float) -> str:
    """A time as long as is sensible: minutes, from two hours on hours."""
    return f"{rounded(minutes, 2)} minutes" if minutes < 120 else f"{rounded(minutes / 60, 2)} hours"


def _filling(given: Given, liquid: Liquid, limit: Limit | None) -> Plot:
    room, celsius = words.room_of(given), given.number("celsius")
    start = milligrams_per_m3(given.number("start"), liquid.molar_mass, celsius)
    minutes = np.linspace(0, min(1440.0, 240 * room.mixing * room.volume / room.fresh_air), POINTS)
    source = Source(given.number("grams"))
    held = np.asarray(concentration(minutes, [source], room.volume, room.fresh_air, room.mixing, start))
    ppm = tuple(words.in_air(float(mg), liquid, celsius) for mg in held)
    hours = tuple(float(m) / 60 for m in minutes)
    curves = [Curve("room air", hours, ppm)]
    if limit is not None:
        curves.append(Curve("limit for 8 hours", (hours[0], hours[-1]), (limit.ppm, limit.ppm), dashed=True))
    says = f"From {rounded(ppm[0], 2)} to {rounded(ppm[-1], 2)} ppm in {rounded(hours[-1], 2)} h."
    return Plot(f"{liquid.name.capitalize()} in the room", "Time", "h", "Vapour", "ppm", tuple(curves), says=says)


def _room_clears(given: Given) -> Answer:
    now, wanted, room = given.number("now"), given.number("wanted"), words.room_of(given)
    minutes = minutes_to_clear(now, wanted, room.volume, room.fresh_air, room.mixing)
    turn = 60 * room.mixing * room.volume / room.fresh_air
    return Answer(
        results=(
            Got("minutes", "Clear after", minutes, "min"),
            Got("renewals", "Room's air renewed meanwhile", minutes / 60 * room.fresh_air / room.volume, "times"),
        ),
        working=(
            f"t = K V / Q ln(C0 / C) = {room.mixing:g} * {room.volume:g} m³ / {rounded(room.fresh_air)} m³/h * ln({now:g} / {wanted:g}) = {rounded(minutes)} min",
        ),
        sources=words.SOURCES,
        cautions=("solvent-vapour", "open-flame"),
        says=_clears_says(now, wanted, minutes),
        limits=(
            words.FIRST,
            "Wet rags, a coat that dries and a puddle under things go on giving off vapour. Vapour at the floor and in a pit, a well or a drawer stays longer.",
            "If it may burn: switch nothing on or off in the vapour, open from outside, and go in when it has cleared.",
        ),
        plots=(_clearing(now, wanted, max(minutes, turn)  , room),),
    )  # fmt: skip


def _clearing(now: float, wanted: float, until: float, room: words.Room) -> Plot:
    minutes = np.linspace(0, min(1.3 * until, 1e6), POINTS)
    held = np.asarray(concentration(minutes, [], room.volume, room.fresh_air, room.mixing, now))
    x = tuple(float(m) for m in minutes)
    curves = (
        Curve("room air", x, tuple(float(c) for c in held)),
        Curve("wanted", (x[0], x[-1]), (wanted, wanted), dashed=True),
    )
    return Plot(
        "The room clears",
        "Time",
        "min",
        "Vapour",
        "ppm",
        curves,
        says=f"It falls from {now:g} ppm, by the same share every minute.",
    )


SUMS = (
    Working(
        name="fresh-air",
        family="vapour",
        title="Fresh air for a vapour",
        asks="How much fresh air does this much vapour need?",
        inputs=(words.LIQUID, words.CELSIUS, GRAMS, words.MIXING, words.ROOM, words.LIST),
        work=_fresh_air,
        example={"liquid": "acetone", "grams": "100 g", "mixing": "3", "room": "40"},
    ),
    Working(
        name="room-fills",
        family="vapour",
        title="How a room fills with vapour",
        asks="When does the room's air reach a limit?",
        inputs=(words.LIQUID, words.CELSIUS, GRAMS, START, words.ROOM, words.CHANGES, words.MIXING, words.LIST),
        work=_room_fills,
        example={"liquid": "toluene", "grams": "20 g", "room": "40", "changes": "1"},
    ),
    Working(
        name="room-clears",
        family="vapour",
        title="How a room clears",
        asks="How long must the room be aired?",
        inputs=(
            Asked("now", "In the air now", "ppm", 0, 1_000_000, 1000.0),
            Asked("wanted", "Wanted", "ppm", 0.001, 1_000_000, 100.0),
            words.ROOM,
            words.CHANGES,
            words.MIXING,
        ),
        work=_room_clears,
        example={"now": "1000", "wanted": "100", "room": "40", "changes": "2", "mixing": "1"},
    ),
)
