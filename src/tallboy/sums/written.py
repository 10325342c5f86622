"""Quantities as they are written for people: "3 3/4 in", "18.5 °C", "2.5 l", "2 lb 3 oz", "2 h 05". What is written can be read back."""

from __future__ import annotations

import math
from fractions import Fraction

from tallboy.errors import BadUnit, OutOfRange
from tallboy.sums.numerals import quoted
from tallboy.sums.unit_words import GRAMS_PER_POUND, M2_PER_FT2, ML_PER_IMPERIAL_GALLON, ML_PER_US_GALLON, MM_PER_INCH

METRIC, IMPERIAL = "metric", "imperial"


def format_length(mm: float, system: str = METRIC, denominator: int = 16) -> str:
    """Length as it is written for people: to 0.1 mm, or to the nearest fraction of an inch.

    Parameters
    ----------
    mm : [mm] any finite length; below zero it is written with a minus
    system : [text] "metric" or "imperial"
    denominator : [1] parts of an inch, 1 to 128

    Returns
    -------
    [text] such as "96.5 mm" or "3 3/4 in"

    Raises
    ------
    OutOfRange when it is no finite number or the denominator is out of range; BadUnit for an unknown system.

    Source
    ------
    Inch of 25.4 mm: international yard and pound agreement, 1959 (exact).
    """
    _finite("length", mm)
    if not 1 <= denominator <= 128:
        raise OutOfRange("denominator", denominator, 1, 128)
    if not _imperial(system):
        return f"{_short(mm, 1)} mm"
    inches = Fraction(round(abs(mm) / MM_PER_INCH * denominator), denominator)
    whole, rest = divmod(inches, 1)
    parts = [str(whole)] if whole or not rest else []
    sign = "-" if mm < 0 and inches else ""
    return f"{sign}{' '.join([*parts, str(rest)] if rest else parts)} in"


def format_temperature(celsius: float, system: str = METRIC) -> str:
    """Temperature as it is written for people, to a tenth.

    Formula: °F = °C * 9 / 5 + 32

    Parameters
    ----------
    celsius : [°C] any finite temperature
    system : [text] "metric" or "imperial"

    Returns
    -------
    [text] such as "18.5 °C" or "65.3 °F"

    Raises
    ------
    OutOfRange when it is no finite number; BadUnit for an unknown system.

    Source
    ------
    definition
    """
    _finite("temperature", celsius)
    return f"{_short(celsius * 9 / 5 + 32, 1)} °F" if _imperial(system) else f"{_short(celsius, 1)} °C"


def format_volume(ml: float, system: str = METRIC, measures: str = "us") -> str:
    """Volume as it is written for people; in the imperial system the measure says whose it is, US or imperial.

    Parameters
    ----------
    ml : [ml] any finite volume
    system : [text] "metric" or "imperial"
    measures : [text] "us" or "imp": whose quarts and fluid ounces, when they are not metric

    Returns
    -------
    [text] such as "750 ml", "2.5 l", "12.5 US fl oz", "1.06 US qt", "1.2 imp qt"

    Raises
    ------
    OutOfRange when it is no finite number; BadUnit for an unknown system or unknown measures.

    Source
    ------
    US gallon of 231 cubic inches, imperial gallon of 4.54609 l (both exact; from memory).
    """
    _finite("volume", ml)
    if not _imperial(system):
        return f"{_short(ml, 0)} ml" if round(abs(ml)) < 1000 else f"{_short(ml / 1000, 2)} l"
    name, gallon, ounces = _measures(measures)
    quarts = ml / (gallon / 4)
    if round(abs(quarts), 2) < 1:
        return f"{_short(quarts * ounces / 4, 1)} {name} fl oz"
    return f"{_short(quarts, 2)} {name} qt"


def format_mass(grams: float, system: str = METRIC) -> str:
    """Mass as it is written for people; `parse_mass` reads it back.

    Parameters
    ----------
    grams : [g] any finite mass
    system : [text] "metric" or "imperial"

    Returns
    -------
    [text] such as "12.5 g", "250 g", "1.2 kg", "8 oz", "2 lb 3.5 oz"

    Raises
    ------
    OutOfRange when it is no finite number; BadUnit for an unknown system.

    Source
    ------
    Pound of 453.59237 g: international yard and pound agreement, 1959 (exact).
    """
    _finite("mass", grams)
    if _imperial(system):
        return _pounds(grams)
    if round(abs(grams)) >= 1000:
        return f"{_short(grams / 1000, 2)} kg"
    return f"{_short(grams, 1 if round(abs(grams), 1) < 100 else 0)} g"


def format_percent(percent: float) -> str:
    """Percentage as it is written for people, to a tenth; `parse_percent` reads it back.

    Parameters
    ----------
    percent : [%] any finite number

    Returns
    -------
    [text] such as "62 %", "9.3 %"

    Raises
    ------
    OutOfRange when it is no finite number.

    Source
    ------
    definition
    """
    _finite("percentage", percent)
    return f"{_short(percent, 1)} %"


def format_minutes(minutes: float) -> str:
    """Span of time as it is written for people, to the minute; `parse_minutes` reads it back.

    Parameters
    ----------
    minutes : [min] any finite span

    Returns
    -------
    [text] such as "45 min", "2 h 05", "24 h", "3 days 4 h"

    Raises
    ------
    OutOfRange when it is no finite number.

    Source
    ------
    definition
    """
    _finite("span of time", minutes)
    whole = round(abs(minutes))
    days = whole // 1440 if whole >= 2880 else 0
    hours, rest = divmod(whole - days * 1440, 60)
    clock = f"{hours} h {rest:02d}" if hours and rest else f"{hours} h" if hours else f"{rest} min"
    parts = [f"{days} days"] * (days > 0) + [clock] * (days == 0 or hours + rest > 0)
    return ("-" if minutes < 0 and whole else "") + " ".join(parts)


def format_area(m2: float, system: str = METRIC) -> str:
    """Area as it is written for people.

    Parameters
    ----------
    m2 : [m²] any finite area
    system : [text] "metric" or "imperial"

    Returns
    -------
    [text] such as "1.25 m²" or "13.5 ft²"

    Raises
    ------
    OutOfRange when it is no finite number; BadUnit for an unknown system.

    Source
    ------
    Foot of 0.3048 m: international yard and pound agreement, 1959 (exact).
    """
    _finite("area", m2)
    return f"{_short(m2 / M2_PER_FT2, 1)} ft²" if _imperial(system) else f"{_short(m2, 2)} m²"


def _imperial(system: str) -> bool:
    if system not in (METRIC, IMPERIAL):
        raise BadUnit(f"{quoted(system)} is no system of units.", "It must be metric or imperial.")
    return system == IMPERIAL


def _measures(measures: str) -> tuple[str, float, int]:
    """Name, gallon [ml] and fluid ounces a gallon of one set of measures."""
    if measures == "us":
        return "US", ML_PER_US_GALLON, 128
    if measures == "imp":
        return "imp", ML_PER_IMPERIAL_GALLON, 160
    raise BadUnit(f"{quoted(measures)} names no measures.", "It must be us or imp.")


def _pounds(grams: float) -> str:
    """Pounds and ounces, to a tenth of an ounce."""
    tenths = round(abs(grams) / GRAMS_PER_POUND * 160)
    pounds, rest = divmod(tenths, 160)
    ounces = [f"{_short(rest / 10, 1)} oz"] if rest or not pounds else []
    return ("-" if grams < 0 and tenths else "") + " ".join([f"{pounds} lb"] * (pounds > 0) + ounces)


def _finite(name: str, value: float) -> None:
    if not math.isfinite(value):
        raise OutOfRange(name.capitalize(), value, "minus a great deal", "a great deal")


def _short(value: float, places: int) -> str:
    """At most so many decimals, no trailing zeros, no minus before a zero."""
    text = f"{value:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text
