"""Read and write what people type: "3 3/4 in", "96 mm", "1 US qt", "65 °F", "1 h 30".

Inside the program there is one unit for each quantity (mm, °C, ml, g, min, %); these functions stand at its edges.
What is written for people is in `written`, and named here too.
A bare number is read only when the caller names its unit; what could mean two things is asked, never guessed.
"""

from __future__ import annotations

import re

from tallboy.errors import BadUnit, OutOfRange
from tallboy.sums.numerals import LONGEST, Kind, Term, quoted, signed_terms, total
from tallboy.sums.unit_words import FAHRENHEIT, INCH_WORDS, LENGTH, MASS, PERCENT, SPAN, TEMPERATURE, US, VOLUME
from tallboy.sums.written import (
    IMPERIAL,
    METRIC,
    format_area,
    format_length,
    format_mass,
    format_minutes,
    format_percent,
    format_temperature,
    format_volume,
)

__all__ = [
    "IMPERIAL",
    "METRIC",
    "format_area",
    "format_length",
    "format_mass",
    "format_minutes",
    "format_percent",
    "format_temperature",
    "format_volume",
    "parse_length",
    "parse_mass",
    "parse_minutes",
    "parse_percent",
    "parse_temperature",
    "parse_volume",
]

_CLOCK = re.compile(r"([0-9]{1,3}):([0-5][0-9])")


def parse_length(text: str, default: str | None = None) -> float:
    """Length typed by a person.

    Takes whole numbers, decimals with point or comma, fractions, and feet with inches. One system at a time.

    Parameters
    ----------
    text : [text] such as "3 3/4 in", "3¾\\"", "96 mm", "9,6cm", "1' 2 1/2\\""
    default : [text] unit of a bare number, "mm" or "in"; None asks for the unit

    Returns
    -------
    [mm] length, 0 to 100 000

    Raises
    ------
    BadUnit when it cannot be read or has no unit; OutOfRange when it is negative or longer than 100 m.

    Source
    ------
    Inch of 25.4 mm: international yard and pound agreement, 1959 (exact).
    """
    return _amount(text, LENGTH, default, 100_000.0, "mm")


def parse_volume(text: str, default: str | None = None, default_system: str | None = None) -> float:
    """Volume typed by a person; US and imperial measures are kept apart.

    Parameters
    ----------
    text : [text] such as "750 ml", "2.5 l", "1 US qt", "1 imp pt"
    default : [text] unit of a bare number, such as "ml"; None asks
    default_system : [text] "us" or "imp" for a plain "qt", "pt", "gal", "fl oz"; None asks

    Returns
    -------
    [ml] volume, 0 to 1 000 000

    Raises
    ------
    BadUnit when it cannot be read, has no unit or could be US or imperial; OutOfRange when negative or over 1000 l.

    Source
    ------
    US gallon of 231 cubic inches (NIST Handbook 44, appendix C); imperial gallon of 4.54609 l (UK Weights and Measures Act 1985).
    Both exact; from memory.
    """
    if len(text) > LONGEST:
        raise VOLUME.unreadable(text)
    minus, terms = signed_terms(_system_names(text), VOLUME)
    named = [Term(term.number, _with_system(term.word, text, default_system)) for term in terms]
    return _within(_sign(minus, total(named, text, VOLUME, default)), VOLUME, 1_000_000.0, "ml")


def parse_mass(text: str, default: str | None = None) -> float:
    """Mass typed by a person.

    Parameters
    ----------
    text : [text] such as "250 g", "1.2 kg", "2 lb 3 oz"
    default : [text] unit of a bare number, such as "g"; None asks

    Returns
    -------
    [g] mass, 0 to 10 000 000

    Raises
    ------
    BadUnit when it cannot be read or has no unit; OutOfRange when negative or over 10 t.

    Source
    ------
    Pound of 453.59237 g: international yard and pound agreement, 1959 (exact).
    """
    return _amount(text, MASS, default, 10_000_000.0, "g")


def parse_minutes(text: str, default: str | None = None) -> float:
    """Span of time typed by a person. A day is 24 hours.

    Parameters
    ----------
    text : [text] such as "90 min", "2 h", "1 h 30", "1:30" (hours and minutes), "3 days", "2 weeks", "45s"
    default : [text] unit of a bare number, such as "min"; None asks

    Returns
    -------
    [min] span, 0 to 5 270 400 (ten years)

    Raises
    ------
    BadUnit when it cannot be read or has no unit; OutOfRange when negative or over ten years.

    Source
    ------
    definition
    """
    clock = _CLOCK.fullmatch(text.strip())
    if clock:
        return float(int(clock[1]) * 60 + int(clock[2]))
    return _amount(text, SPAN, default, 5_270_400.0, "min")


def parse_temperature(text: str, default: str | None = None) -> float:
    """Temperature typed by a person.

    Formula: °C = (°F - 32) * 5 / 9

    Parameters
    ----------
    text : [text] such as "65 °F", "18.5 C", "-3 °C"
    default : [text] unit of a bare number, "°C" or "°F"; None asks

    Returns
    -------
    [°C] temperature, -100 to 1500

    Raises
    ------
    BadUnit when it cannot be read or has no unit; OutOfRange outside the range.

    Source
    ------
    definition
    """
    minus, terms = signed_terms(text, TEMPERATURE)
    if len(terms) != 1:
        raise TEMPERATURE.unreadable(text)
    unit = (default or "").lower() or None
    degrees = _sign(minus, total(terms, text, TEMPERATURE, unit))
    celsius = (degrees - 32) * 5 / 9 if (terms[0].word or unit) in FAHRENHEIT else degrees
    return _within(celsius, TEMPERATURE, 1500.0, "°C", low=-100.0)


def parse_percent(text: str) -> float:
    """Percentage typed by a person; the sign may be left out.

    Parameters
    ----------
    text : [text] such as "62 %", "62", "62,5"

    Returns
    -------
    [%] 0 to 100

    Raises
    ------
    BadUnit when it cannot be read; OutOfRange outside 0 to 100.

    Source
    ------
    definition
    """
    return _amount(text, PERCENT, "%", 100.0, "%")


def _amount(text: str, kind: Kind, default: str | None, high: float, unit: str) -> float:
    """A quantity that cannot be negative, in the kind's base unit."""
    minus, terms = signed_terms(text, kind)
    words = {term.word for term in terms if term.word}
    if words & INCH_WORDS and words - INCH_WORDS:
        raise kind.unreadable(text)
    return _within(_sign(minus, total(terms, text, kind, default)), kind, high, unit)


def _within(value: float, kind: Kind, high: float, unit: str, low: float = 0.0) -> float:
    if not low <= value <= high:
        name = kind.name.split(" ", 1)[1]
        raise OutOfRange(name.capitalize(), f"{value:g}", f"{low:g}", f"{high:g}", unit)
    # "-0" is nothing, and nobody should read a minus before it again.
    return value + 0.0


def _sign(minus: bool, value: float) -> float:
    return -value if minus else value


def _system_names(text: str) -> str:
    """The spellings of the two systems made one: US and imp."""
    line = re.sub(r"\bu\.\s?s\.?", "us ", text.lower())
    return re.sub(r"\b(?:imperial|imp\.?|uk|british)(?![a-z])", "imp", line)


def _with_system(word: str, text: str, system: str | None) -> str:
    if f"us {word}" not in US:
        return word
    if system is None:
        raise BadUnit(f"{quoted(text)} could be US or imperial.", f"Write US {word} or imp {word}.")
    return f"{system.lower()} {word}"
