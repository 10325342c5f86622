"""The air in a closed jar, as it is asked at the bench."""

from __future__ import annotations

import numpy as np

from tallboy.sums.flammable import head_space
from tallboy.sums.vapour import Liquid, milligrams_per_m3, parts_per_million, relative_density
from tallboy.workings import vapour_words as words
from tallboy.workings.kinds import Answer, Curve, Given, Got, Plot, Working
from tallboy.workings.telling import rounded, said


def _closed_jar(given: Given) -> Answer:
    liquid, celsius = words.liquid_of(given), given.number("celsius")
    low, likely, high = (parts_per_million(p) / 1e4 for p in words.pressures(liquid, celsius))
    word = "does not burn" if liquid.incombustible else _worst_word(liquid, low, high)
    grams = milligrams_per_m3(likely * 1e4, liquid.molar_mass, celsius) / 1000
    return Answer(
        results=(
            Got("head_space", "The air in the closed jar", word),
            Got("vapour", "Vapour in it", likely, "%", low, high),
            Got("ppm", "the same", likely * 1e4, "ppm"),
            Got("grams", "the same", grams, "g/m³"),
            _limit("lower", "Lower limit of burning", liquid.lower),
            _limit("upper", "Upper limit of burning", liquid.upper),
            Got(
                "heavier",
                "Saturated air beside clean air",
                relative_density(liquid.molar_mass, likely * 1e4),
                "times as heavy",
            ),
        ),
        working=(
            f"Vapour pressure at {celsius:g} °C = {words.pressures(liquid, celsius)[1]:.0f} Pa; / 101325 Pa = {rounded(likely)} % (spread {liquid.spread:g} %)",
            words.lower_words(liquid),
            f"Beside clean air: (y * {liquid.molar_mass:g} + (1 - y) * 28.96) / 28.96 = {relative_density(liquid.molar_mass, likely * 1e4):.2f}",
        ),
        sources=words.sources_of([given.row("liquid")], "ideal-gas"),
        cautions=words.cautions_of([given.row("liquid")]),
        says=_head_says(given, liquid, word),
        limits=(
            words.FIRST,
            "A closed jar at rest: with a warm spot, a rag or a spray it is otherwise.",
            words.IN_THE_SUN,
            *words.notes_on(liquid, given.row("liquid")),
        ),
        plots=_head_plot(liquid),
    )


def _limit(name: str, label: str, percent: float | None) -> Got:
    return Got(name, label, words.UNKNOWN) if percent is None else Got(name, label, percent, "%")


def _worst_word(liquid: Liquid, low: float, high: float) -> str:
    """What holds over the whole spread; where its ends differ, it can catch fire."""
    ends = {head_space(min(y, 100.0), liquid.lower, liquid.upper) for y in (low, high)}
    return ends.pop() if len(ends) == 1 else "can catch fire"


def _head_says(given: Given, liquid: Liquid, word: str) -> str:
    warm = said(given, given.number("celsius"), "°C", None)
    if word == "unknown":
        return f"Whether the air above {liquid.name} in a closed jar can catch fire is not known here; treat it as if it could."
    if word == "too rich":
        return f"At {warm} the air above {liquid.name} in a closed jar is too rich to burn; on opening, the cloud at its mouth passes through all that burns."
    if word == "too lean":
        return f"At {warm} the air above {liquid.name} is too lean to burn; warmer, as a mist or on a rag it is not."
    return f"At {warm} the air above {liquid.name} in a closed jar {word}."


def _head_plot(liquid: Liquid) -> tuple[Plot, ...]:
    """Vapour over temperature with the limits of burning, as far as the pressure is known."""
    law = liquid.pressure
    if law is None:
        return ()
    x = [float(c) for c in np.linspace(max(law.low, 0.0), min(law.high, 40.0), 41)]
    held = [(c, words.pressures(liquid, c)[1]) for c in x if liquid.boiling is None or c < liquid.boiling - 3]
    curves = [
        Curve(
            "vapour in the head-space", tuple(c for c, _p in held), tuple(parts_per_million(p) / 1e4 for _c, p in held)
        )
    ]
    for label, value in (("lower limit of burning", liquid.lower), ("upper limit of burning", liquid.upper)):
        if value is not None:
            curves.append(Curve(label, (held[0][0], held[-1][0]), (value, value), dashed=True))
    says = f"The warmer, the more vapour of {liquid.name}; between the two limits it burns."
    return (Plot("Vapour above the liquid", "Temperature", "°C", "Vapour", "%", tuple(curves), says=says),)


SUMS = (
    Working(
        name="head-space",
        family="vapour",
        title="Air in a closed jar",
        asks="Can the air above this liquid in a closed jar catch fire?",
        inputs=(words.LIQUID, words.CELSIUS),
        work=_closed_jar,
        example={"liquid": "toluene", "celsius": "20 °C"},
    ),
)
