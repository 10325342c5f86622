"""Quantities in other units: a length in every form, with the trade sizes it could be taken for; volume, mass, temperature, time."""

from __future__ import annotations

from tallboy.sums.unit_words import GRAMS_PER_POUND, ML_PER_IMPERIAL_GALLON, ML_PER_US_GALLON, MM_PER_INCH
from tallboy.sums.units import (
    IMPERIAL,
    format_length,
    format_mass,
    format_minutes,
    format_temperature,
    format_volume,
    parse_length,
)
from tallboy.tables.rows import Row
from tallboy.workings.kinds import Answer, Asked, Given, Got, Grid, Working

CONFUSED_MM = 1.6
"""Trade sizes closer than this are taken for one another: a sixteenth of an inch."""
FITS_MM = 0.3
"""A pull goes on its old holes when they are no farther out than this; common practice, no source."""


def _length(given: Given) -> Answer:
    mm, parts = given.number("length"), int(given.choice("parts"))
    nearest = format_length(mm, IMPERIAL, parts)
    left = mm - parse_length(nearest)
    near = [row for row in given.table("spacings") if abs(row["mm"] - mm) <= CONFUSED_MM]
    return Answer(
        results=(
            Got("mm", "Millimetres", _whole(round(mm, 4)), digits=6),
            Got("inches", "Inches", mm / MM_PER_INCH, "", digits=5),
            Got("fraction", f"Nearest 1/{parts} in", nearest),
            Got("left", "The length less that fraction", left, "mm"),
            Got("feet", "Feet and inches", _feet(mm, parts)),
        ),
        working=(
            f"inches = mm / 25.4 = {mm:g} / 25.4 = {mm / MM_PER_INCH:.4f}",
            f"nearest 1/{parts} in = {nearest} = {mm - left:.3f} mm",
            f"left over = {mm:g} - {mm - left:.3f} = {left:.3f} mm",
        ),
        sources=("scipy-constants", *sorted({str(row["source"]) for row in near})),
        says=" ".join([f"{round(mm, 2):g} mm is {nearest}{_about(left)}.", *_confusions(mm, near)]),
        limits=("Two holes drilled by hand are seldom truer than a quarter of a millimetre: measure edge to edge.",),
        table=_grid(mm, near),
    )


def _whole(value: float) -> float:
    """A whole number as such, so that it is shown without decimals."""
    return int(value) if value.is_integer() else value


def _about(left: float) -> str:
    return "" if abs(left) < 0.005 else f" and {abs(left):.2f} mm {'more' if left > 0 else 'less'}"


def _feet(mm: float, parts: int) -> str:
    feet, rest = divmod(mm, 12 * MM_PER_INCH)
    inches = format_length(rest, IMPERIAL, parts)
    if inches == "12 in":
        feet, inches = feet + 1, "0 in"
    return f"{feet:.0f} ft {inches}" if feet else inches


def _confusions(mm: float, near: list[Row]) -> list[str]:
    """A sentence for each trade size that lies near: it is that size, or it is not and by how much."""
    return [_confusion(mm, row) for row in near]


def _confusion(mm: float, row: Row) -> str:
    apart = abs(mm - row["mm"])
    if apart < 0.01:
        return f"As a hole spacing it is the {row['key']} one."
    words = f"the {row['key']} spacing is {apart:.2f} mm {'less' if row['mm'] < mm else 'more'}"
    fits = (
        "near enough for old holes" if apart <= FITS_MM else "not the same: a pull of the one does not go on the other"
    )
    return f"{words[0].upper()}{words[1:]}, {fits}."


def _grid(mm: float, near: list[Row]) -> Grid | None:
    if not near:
        return None
    rows = tuple((str(row["key"]), f"{row['mm']:g} mm", f"{row['mm'] - mm:+.2f} mm") for row in near)
    return Grid(("Trade spacing", "It is", "Against yours"), rows, "Hole spacings within a sixteenth of an inch.")


def _volume(given: Given) -> Answer:
    ml = given.number("volume")
    us, imp = ml / (ML_PER_US_GALLON / 4), ml / (ML_PER_IMPERIAL_GALLON / 4)
    return Answer(
        results=(
            Got("ml", "Millilitres", _whole(ml), "ml", digits=5),
            Got("us_qt", "US quarts", us, "US qt", digits=4),
            Got("us_pt", "US pints", us * 2, "US pt", digits=4),
            Got("us_gal", "US gallons", us / 4, "US gal", digits=4),
            Got("us_fl_oz", "US fluid ounces", us * 32, "US fl oz", digits=4),
            Got("imp_qt", "Imperial quarts", imp, "imp qt", digits=4),
            Got("imp_pt", "Imperial pints", imp * 2, "imp pt", digits=4),
            Got("imp_gal", "Imperial gallons", imp / 4, "imp gal", digits=4),
            Got("imp_fl_oz", "Imperial fluid ounces", imp * 40, "imp fl oz", digits=4),
        ),
        working=(
            f"US quarts = ml / 946.353 = {ml:g} / 946.353 = {us:.4f}; 32 fluid ounces each",
            f"imperial quarts = ml / 1136.52 = {ml:g} / 1136.52 = {imp:.4f}; 40 fluid ounces each",
        ),
        sources=("scipy-constants",),
        says=f"{format_volume(ml)} is {format_volume(ml, IMPERIAL)} or {format_volume(ml, IMPERIAL, 'imp')}. "
        "An imperial quart is a fifth more than a US one, an imperial fluid ounce a twenty-fifth less.",
    )


def _mass(given: Given) -> Answer:
    grams = given.number("mass")
    pounds = grams / GRAMS_PER_POUND
    return Answer(
        results=(
            Got("g", "Grams", _whole(grams), "g", digits=5),
            Got("oz", "Ounces", pounds * 16, "oz", digits=4),
            Got("lb", "Pounds", pounds, "lb", digits=4),
        ),
        working=(f"pounds = g / 453.59237 = {grams:g} / 453.59237 = {pounds:.4f}; 16 ounces each",),
        sources=("scipy-constants",),
        says=f"{format_mass(grams)} is {format_mass(grams, IMPERIAL)}.",
    )


def _temperature(given: Given) -> Answer:
    celsius = given.number("temperature")
    fahrenheit = celsius * 9 / 5 + 32
    return Answer(
        results=(
            Got("celsius", "Celsius", f"{celsius:.1f} °C"),
            Got("fahrenheit", "Fahrenheit", f"{fahrenheit:.1f} °F"),
        ),
        working=(f"°F = °C · 9/5 + 32 = {celsius:g} · 9/5 + 32 = {fahrenheit:.2f}",),
        sources=("scipy-constants",),
        says=f"{format_temperature(celsius)} is {format_temperature(celsius, IMPERIAL)}.",
    )


def _span(given: Given) -> Answer:
    minutes = given.number("span")
    return Answer(
        results=(
            Got("minutes", "Minutes", _whole(minutes), "min", digits=6),
            Got("hours", "Hours", minutes / 60, "h", digits=4),
            Got("days", "Days of 24 hours", minutes / 1440, "days", digits=4),
        ),
        working=(f"hours = min / 60 = {minutes:g} / 60 = {minutes / 60:.4f}",),
        sources=("definition",),
        says=f"{minutes:g} minutes are {format_minutes(minutes)}.",
    )


SUMS = (
    Working(
        "length", "units", "A length in every form", "What is this length in the other system, and what could it be taken for?",
        (
            Asked("length", "Length", "mm", 0, 100_000),
            Asked("parts", "Parts of an inch", kind="choice", default="16", choices=tuple((str(n), f"1/{n} in") for n in (8, 16, 32, 64))),
        ),
        _length, {"length": "96 mm", "parts": "16"},
    ),
    Working(
        "volume", "units", "A volume in every measure", "How much is this in US and in imperial measures?",
        (Asked("volume", "Volume", "ml", 0, 1_000_000),), _volume, {"volume": "2.5 l"},
    ),
    Working(
        "mass", "units", "A mass in both systems", "How much is this in ounces and pounds?",
        (Asked("mass", "Mass", "g", 0, 10_000_000),), _mass, {"mass": "2 lb 3 oz"},
    ),
    Working(
        "temperature", "units", "A temperature on both scales", "What is this on the other scale?",
        (Asked("temperature", "Temperature", "°C", -100, 1500),), _temperature, {"temperature": "65 °F"},
    ),
    Working(
        "time-span", "units", "A span of time", "How long is this in hours and in days?",
        (Asked("span", "Span of time", "min", 0, 5_270_400),), _span, {"span": "1 day 4 h"},
    ),
)  # fmt: skip
