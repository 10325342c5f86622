"""Vapour from a wet coat, as it is asked at the bench."""

from __future__ import annotations

import numpy as np

from tallboy.errors import BadInput
from tallboy.sums.evaporation import Rate, coat_solvent
from tallboy.sums.room_air import Source, coat_source, concentration, released
from tallboy.sums.vapour import Liquid
from tallboy.workings import vapour_words as words
from tallboy.workings.kinds import Answer, Asked, Curve, Given, Got, Plot, Working
from tallboy.workings.telling import rounded
from tallboy.workings.vapour_words import Room

POINTS = 241
DAY_HOURS = 8.0
LIMITS = (
    words.FIRST,
    "All solvent is taken as this one liquid, leaving in the shape told; the ends of the highest are for half and for double the time to dry.",
    "The open can, the brush and the rags come on top, and while you brush you lean over the coat.",
    *words.ROOM_LIMITS,
)


def _coat_vapour(given: Given) -> Answer:
    liquid, celsius, room = words.liquid_of(given), given.number("celsius"), words.room_of(given)
    limit, short = words.limit_of(given, liquid), words.short_limit_of(given, liquid)
    dry, grams = given.number("dry"), _grams(given, liquid)
    minutes = np.linspace(0, max(3 * dry, 240.0), POINTS)
    likely, quick, slow = (_air(grams, time, minutes, liquid, celsius, room) for time in (dry, dry / 2, 2 * dry))
    peak = Rate(max(slow), max(likely), max(quick))
    source = coat_source(grams, dry)
    mean = _average(source, liquid, celsius, room)
    average = Rate(mean, mean, mean)
    return Answer(
        results=(
            Got("solvent", "Solvent in the wet coat", grams, "g"),
            words.spread("peak", "Highest in the room", peak, "ppm"),
            Got("peak_at", "reached after", float(minutes[likely.index(peak.likely)]), "min", digits=2),
            Got("average", "Average over an 8-hour day from the coat on", mean, "ppm"),
            words.shares("limit_share", "Share of the limit for 8 hours", average, limit.ppm if limit else None),
            words.shares(
                "short_share", "Highest beside the limit for a short time", peak, short.ppm if short else None
            ),
            words.shares("burning_share", "Highest beside the lower limit of burning", peak, words.lower_ppm(liquid)),
        ),
        working=(*_lines(given, liquid, grams, source, room), *words.limit_lines(limit, short, liquid)),
        sources=words.sources_of([given.row("liquid")], *words.SOURCES, "common-practice"),
        cautions=words.cautions_of([given.row("liquid")]),
        says=f"The coat gives off {rounded(grams, 2)} g of {liquid.name}; the room comes to about {words.told(peak, 'ppm')}. {words.against(average, limit)}{words.beyond(peak, short, liquid, celsius)}",
        limits=(*LIMITS, *words.notes_on(liquid, given.row("liquid"))),
        plots=(_plot(liquid, minutes, likely, slow, quick),),
    )


def _grams(given: Given, liquid: Liquid) -> float:
    if liquid.density is None:
        raise BadInput(
            f"The density of {liquid.name} is not known here.", "Take the liquid that makes up most of the thinner."
        )
    return coat_solvent(given.number("area"), given.number("wet"), given.number("solvent"), liquid.density)


def _air(grams: float, dry: float, minutes: np.ndarray, liquid: Liquid, celsius: float, room: Room) -> list[float]:
    """The room's air [ppm] at these times."""
    source = coat_source(grams, max(1.0, dry))
    held = np.asarray(concentration(minutes, [source], room.volume, room.fresh_air, room.mixing))
    return [words.in_air(float(mg), liquid, celsius) for mg in held]


def _average(source: Source, liquid: Liquid, celsius: float, room: Room) -> float:
    """Average over eight hours [ppm], from what was carried off."""
    day = DAY_HOURS * 60
    end = float(concentration(day, [source], room.volume, room.fresh_air, room.mixing))
    carried_off = max(0.0, 1000 * released(source, day) - end * room.volume)
    mean = carried_off * room.mixing / (room.fresh_air * DAY_HOURS)
    return words.in_air(mean, liquid, celsius)


def _lines(given: Given, liquid: Liquid, grams: float, source: Source, room: Room) -> tuple[str, ...]:
    area, wet, share, dry = (given.number(name) for name in ("area", "wet", "solvent", "dry"))
    return (
        f"Solvent = area * wet coat * share * density = {area:g} m² * {wet:g} µm * {share:g} % * {liquid.density:g} kg/m³ = {rounded(grams)} g",
        f"It leaves as e^(-t/τ), 95 % by the time it is dry to the touch: τ = {dry:g} min / ln 20 = {rounded(source.decay_minutes)} min; at first {rounded(source.grams_per_hour)} g/h",
        f"Fresh air {rounded(room.fresh_air)} m³/h, divided by the mixing factor {room.mixing:g}",
        "Room: V dC/dt = G(t) - Q C / K; the day's average from what was carried off",
    )


def _plot(liquid: Liquid, minutes: np.ndarray, likely: list[float], slow: list[float], quick: list[float]) -> Plot:
    hours = tuple(float(m) / 60 for m in minutes)
    curves = (
        Curve("dry as told", hours, tuple(likely)),
        Curve("in half the time", hours, tuple(quick), dashed=True),
        Curve("in double the time", hours, tuple(slow), dashed=True),
    )
    says = f"It rises to {rounded(max(likely), 2)} ppm and falls as the coat dries and fresh air comes in."
    return Plot(f"{liquid.name.capitalize()} from the coat", "Time", "h", "Vapour", "ppm", curves, says=says)


SUMS = (
    Working(
        name="coat-vapour",
        family="vapour",
        title="Vapour from a wet coat",
        asks="What does the room's air come to while this coat dries?",
        inputs=(
            words.LIQUID,
            words.CELSIUS,
            Asked("area", "Area coated", "m²", 0.01, 200, 2.0),
            Asked("wet", "Wet coat", "µm", 1, 2000, 100.0),
            Asked("solvent", "Solvent in it, by volume", "%", 0, 100, 60.0),
            Asked("dry", "Dry to the touch after", "min", 2, 10_000, 30.0),
            words.ROOM,
            words.CHANGES,
            words.MIXING,
            words.LIST,
        ),
        work=_coat_vapour,
        example={
            "liquid": "ethanol",
            "area": "2",
            "wet": "100",
            "solvent": "80 %",
            "dry": "20 min",
            "room": "40",
            "changes": "1",
        },
    ),
)
