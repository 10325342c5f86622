"""The air as it is asked about at the bench: dew, whether a surface may be coated, how much water the air holds, two thermometers."""

from __future__ import annotations

from functools import partial

import numpy as np

from tallboy.sums import air, hygrometer
from tallboy.sums.air_series import MEASURED_SPREAD
from tallboy.sums.ranges import within
from tallboy.sums.spreads import carried_spread
from tallboy.workings.kinds import Answer, Asked, Curve, Given, Got, Lead, Mark, Plot, Working
from tallboy.workings.telling import said

RULE_WORDS: dict[air.Rule, str] = {
    "3 degC": "3 °C above the dew point",
    "5 degF": "5 °F (2.8 °C) above the dew point",
}
RULE_SOURCES: dict[air.Rule, str] = {"3 degC": "paint-inspection-note", "5 degF": "ufc-3-190-06"}
BULB_SPREAD = 0.2
"""[°C] of a thermometer read by eye; common practice, no source."""

_CELSIUS = Asked("celsius", "Air temperature", "°C", -40, 60)
_WARM = Asked("celsius", "Air temperature", "°C", 0, 60)
_HUMIDITY = Asked("humidity", "Relative humidity", "%", 1, 100)
_SPREADS = (
    Asked("celsius_spread", "The thermometer is good to", "K", 0, 5, default=MEASURED_SPREAD[0]),
    Asked("humidity_spread", "The hygrometer is good to", "%", 0, 20, default=MEASURED_SPREAD[1]),
)
_PRESSURE = Asked(
    "pressure", "Pressure of the air", "Pa", 60_000, 110_000, default=hygrometer.STANDARD_PRESSURE, help="101 325 Pa at sea level."
)  # fmt: skip


def _seen(given: Given) -> tuple[float, float]:
    return given.number("celsius"), given.number("humidity")


def _sure(given: Given) -> tuple[float, float]:
    return given.number("celsius_spread"), given.number("humidity_spread")


def _dew_point(given: Given) -> Answer:
    t, h = _seen(given)
    dew = air.dew_point(t, h)
    spread = carried_spread(air.dew_point, (t, h), _sure(given))
    pressure = air.saturation_pressure(t)
    name = "frost point" if dew < 0 else "dew point"
    return Answer(
        results=(
            Got("dew", f"{name[0].upper()}{name[1:]}", dew, "°C", dew - spread, dew + spread),
            Got("margin", "The air is above it by", t - dew, "K", max(0.0, t - dew - spread), t - dew + spread),
        ),
        working=(
            f"saturation pressure at {t:g} °C = {pressure:.1f} Pa",
            f"vapour pressure = {h:g} / 100 · {pressure:.1f} = {h / 100 * pressure:.1f} Pa",
            f"{name} = where that pressure saturates the air = {dew:.2f} °C",
            f"spread = what {_sure(given)[0]:g} °C and {_sure(given)[1]:g} % do to it, as squares = {spread:.2f} °C",
        ),
        sources=("ashrae-fundamentals",),
        says=f"Whatever is colder than {said(given, dew, '°C')} (give or take {said(given, spread, 'K')}) gets wet in this air.",
        limits=("The air at the surface: it can be damper than in the middle of the room.",),
        plots=(_dew_plot(given, dew),),
        leads=(Lead("may-coat", {"celsius": f"{t:g} °C", "humidity": f"{h:g} %"}),),
    )


def _dew_plot(given: Given, dew: float) -> Plot:
    t, h = _seen(given)
    air_now, there = f"air of {said(given, t, '°C', None)}", said(given, dew, "°C")
    humid = np.linspace(5, 100, 60)
    points = air.dew_point(np.full(60, t), humid)
    return Plot(
        "Dew point over humidity", "relative humidity", "%", "dew point", "°C",
        (Curve(air_now, tuple(humid.tolist()), tuple(points.tolist())),),
        (Mark(h, dew, there),),
        f"In {air_now} the dew point rises to the air's own temperature at 100 %; at {h:g} % it is {there}.",
    )  # fmt: skip


def _may_coat(given: Given) -> Answer:
    t, h = _seen(given)
    surface, rule = given.number("surface"), _rule(given)
    needed = air.COATING_RULES[rule]
    margin = air.surface_margin(surface, t, h)
    sure_t, sure_h = _sure(given)
    spread = carried_spread(air.surface_margin, (surface, t, h), (sure_t, sure_t, sure_h))
    allowed = air.may_coat(surface, t, h, rule)
    most = _most_humidity(surface, t, needed)
    return Answer(
        results=(
            Got("may", "A coat may go on", allowed),
            Got("margin", "The surface is above the dew point by", margin, "K", margin - spread, margin + spread),
            Got("needed", "It must be", needed, "K"),
            Got("dew", "Dew point", air.dew_point(t, h), "°C"),
            Got("most", "Highest humidity that lets it", most, "%"),
        ),
        working=(
            f"dew point of {t:g} °C and {h:g} % = {air.dew_point(t, h):.2f} °C",
            f"margin = surface - dew point = {surface:g} - {air.dew_point(t, h):.2f} = {margin:.2f} °C",
            f"rule: at least {needed:.2f} °C, so {'yes' if allowed else 'no'}",
            f"highest humidity = 100 · ps(surface - {needed:.2f} °C) / ps(air) = {most:.0f} %",
        ),
        sources=("ashrae-fundamentals", RULE_SOURCES[rule]),
        says=_coat_words(given, margin, needed, spread),
        limits=(
            "It tells of dew only: the can's own limits of temperature and humidity come first.",
            "Measure the surface itself, with a contact thermometer: stone, metal and a piece just brought in are colder than the air.",
        ),
        plots=(_margin_plot(given, needed, margin),),
    )


def _rule(given: Given) -> air.Rule:
    return "5 degF" if given.choice("rule") == "5 degF" else "3 degC"


def _most_humidity(surface: float, t: float, needed: float) -> float:
    """Humidity at which the dew point is just so far below the surface; 100 at the most."""
    within("Surface temperature", surface - needed, -40, 100, "°C")
    return min(100.0, 100 * air.saturation_pressure(surface - needed) / air.saturation_pressure(t))


def _coat_words(given: Given, margin: float, needed: float, spread: float) -> str:
    close = " It is close: measure again at the surface before you lay it." if abs(margin - needed) < spread else ""
    apart, least = said(given, abs(margin), "K"), said(given, needed, "K")
    if margin >= needed - 1e-9:
        return f"As far as dew goes a coat may go on: the surface is {apart} above the dew point, and {least} will do.{close}"
    if margin < 0:
        return f"Lay no coat: dew is forming, the surface is {apart} below the dew point.{close}"
    return f"Lay no coat: the surface is only {apart} above the dew point and must be {least} above it.{close}"


def _margin_plot(given: Given, needed: float, margin: float) -> Plot:
    surface, (t, h) = given.number("surface"), _seen(given)
    humid = np.linspace(20, 100, 60)
    margins = surface - air.dew_point(np.full(60, t), humid)
    return Plot(
        "Surface above dew over humidity", "relative humidity", "%", "surface above dew point", "K",
        (
            Curve("surface above dew point", tuple(humid.tolist()), tuple(margins.tolist())),
            Curve("what the rule asks for", (20.0, 100.0), (needed, needed), dashed=True),
        ),
        (Mark(h, margin, "now"),),
        f"The damper the air, the less is left; at {h:g} % it is {said(given, margin, 'K')}, and {said(given, needed, 'K')} is asked for.",
    )  # fmt: skip


def _water(given: Given) -> Answer:
    t, h = _seen(given)
    other = given.number("other_celsius")
    grams = air.absolute_humidity(t, h)
    spread = carried_spread(air.absolute_humidity, (t, h), _sure(given))
    deficit = air.vapour_pressure_deficit(t, h)
    there = 100 * air.vapour_pressure(t, h) / air.saturation_pressure(other)
    return Answer(
        results=(
            Got("grams", "Water in a cubic metre", grams, "g/m³", max(0.0, grams - spread), grams + spread),
            Got("ratio", "Water for each kilogram of dry air", hygrometer.humidity_ratio(t, h), "g/kg"),
            Got("pressure", "Vapour pressure", air.vapour_pressure(t, h), "Pa", digits=4),
            Got("deficit", "What it could still take up", deficit, "Pa", digits=4),
            Got("there", f"The same air at {other:g} °C", min(there, 100.0), "%"),
        ),
        working=(
            f"vapour pressure = {h:g} / 100 · {air.saturation_pressure(t):.1f} = {air.vapour_pressure(t, h):.1f} Pa",
            f"water = 1000 · {air.vapour_pressure(t, h):.1f} / (461.52 · {t + 273.15:.2f}) = {grams:.2f} g/m³",
            f"deficit = {air.saturation_pressure(t):.1f} - {air.vapour_pressure(t, h):.1f} = {deficit:.1f} Pa",
            f"at {other:g} °C = 100 · {air.vapour_pressure(t, h):.1f} / {air.saturation_pressure(other):.1f} = {there:.1f} %",
        ),
        sources=("ashrae-fundamentals", "definition"),
        says=_other_words(given, other, there),
        limits=("Pressure of the air at sea level. Nothing is added to the air or taken out when it is warmed.",),
        plots=(_warmed_plot(given, t, h),),
    )


def _other_words(given: Given, other: float, there: float) -> str:
    if there >= 100:
        return f"Brought to {said(given, other, '°C', None)} this air is full: water settles out of it."
    return f"Brought to {said(given, other, '°C', None)}, with no water added, this air is at {there:.0f} %."


def _warmed_plot(given: Given, t: float, h: float) -> Plot:
    temperatures = np.linspace(max(-20.0, air.dew_point(t, h)), max(35.0, t), 60)
    humid = np.minimum(100.0, 100 * air.vapour_pressure(t, h) / air.saturation_pressure(temperatures))
    return Plot(
        "The same air warmed and cooled", "temperature", "°C", "relative humidity", "%",
        (Curve("", tuple(temperatures.tolist()), tuple(humid.tolist())),),
        (Mark(t, h, "now"),),
        f"Air of {said(given, t, '°C', None)} and {h:g} % is drier when it is warmed and full at its dew point.",
    )  # fmt: skip


def _two_thermometers(given: Given) -> Answer:
    dry, wet, pressure = given.number("dry"), given.number("wet"), given.number("pressure")
    formula = partial(hygrometer.humidity_from_wet_bulb, pressure=pressure)
    humidity = formula(dry, wet)
    spread = carried_spread(formula, (dry, wet), (given.number("spread"),) * 2)
    dew = air.dew_point(dry, within("Relative humidity", humidity, 0.1, 100, "%"))
    return Answer(
        results=(
            Got("humidity", "Relative humidity", humidity, "%", max(0.0, humidity - spread), min(100.0, humidity + spread)),
            Got("dew", "Dew point", dew, "°C"),
            Got("ratio", "Water for each kilogram of dry air", hygrometer.humidity_ratio(dry, humidity, pressure), "g/kg"),
        ),
        working=(
            f"saturation pressure at the wet thermometer, {wet:g} °C = {air.saturation_pressure(wet):.1f} Pa",
            f"W = ((2501 - 2.326 tw) Ws - 1.006 (t - tw)) / (2501 + 1.86 t - 4.186 tw) = "
            f"{hygrometer.humidity_ratio(dry, humidity, pressure):.2f} g/kg",
            f"RH = 100 W P / ((0.621945 + W) ps(t)) = {humidity:.1f} %",
            f"spread = what {given.number('spread'):g} °C on each thermometer does = {spread:.1f} %",
        ),
        sources=("ashrae-fundamentals",),
        says=f"The air is at {humidity:.0f} % (give or take {spread:.0f}); it wets whatever is colder than {said(given, dew, '°C')}.",
        limits=("The wick wet with clean water and the air moving past it: whirl until the wet thermometer falls no more.",),
    )  # fmt: skip


def _wet_bulb(given: Given) -> Answer:
    t, h = _seen(given)
    formula = partial(hygrometer.wet_bulb, pressure=given.number("pressure"))
    wet = formula(t, h)
    spread = carried_spread(formula, (t, h), _sure(given))
    return Answer(
        results=(
            Got("wet", "Wet thermometer", wet, "°C", wet - spread, wet + spread),
            Got("below", "Below the dry one by", t - wet, "K"),
        ),
        working=(
            f"wet bulb = the tw at which two thermometers of {t:g} °C and tw give {h:g} % = {wet:.2f} °C",
            f"the other way: {t:g} °C and {wet:.2f} °C give {h:g} %",
        ),
        sources=("ashrae-fundamentals",),
        says=f"A wet thermometer shows {said(given, wet, '°C')} here, {said(given, t - wet, 'K')} below the dry one; a wet waterborne coat gets as cool.",
        limits=("A coat of solvent cools otherwise: this is water.",),
    )


SUMS = (
    Working(
        "dew-point", "air", "Dew point", "At what temperature does this air wet a surface?",
        (_CELSIUS, _HUMIDITY, *_SPREADS), _dew_point, {"celsius": "20 °C", "humidity": "65 %"},
    ),
    Working(
        "may-coat", "air", "May a coat go on", "Is this surface far enough above the dew point to be coated?",
        (
            Asked("surface", "Temperature of the surface", "°C", -30, 90),
            _CELSIUS, _HUMIDITY,
            Asked("rule", "Rule", kind="choice", default="3 degC", choices=tuple(RULE_WORDS.items())),
            *_SPREADS,
        ),
        _may_coat, {"surface": "13 °C", "celsius": "16 °C", "humidity": "71 %", "rule": "3 degC"},
    ),
    Working(
        "water-in-air", "air", "Water in the air", "How much water does this air hold, and how damp is it when it is warmed or cooled?",
        (
            _CELSIUS, _HUMIDITY,
            Asked("other_celsius", "Brought to", "°C", -40, 60, default=20.0, help="Warming the room dries its air."),
            *_SPREADS,
        ),
        _water, {"celsius": "8 °C", "humidity": "85 %", "other_celsius": "20 °C"},
    ),
    Working(
        "hygrometer", "air", "Humidity from two thermometers", "How damp is the air by a dry and a wet thermometer?",
        (
            Asked("dry", "Dry thermometer", "°C", 0, 60), Asked("wet", "Wet thermometer", "°C", 0, 60), _PRESSURE,
            Asked("spread", "Each thermometer is good to", "K", 0, 3, default=BULB_SPREAD),
        ),
        _two_thermometers, {"dry": "21 °C", "wet": "17 °C"},
    ),
    Working(
        "wet-bulb", "air", "Wet thermometer", "What would a wet thermometer show in this air?",
        (_WARM, _HUMIDITY, _PRESSURE, *_SPREADS), _wet_bulb, {"celsius": "20 °C", "humidity": "50 %"},
    ),
)  # fmt: skip
