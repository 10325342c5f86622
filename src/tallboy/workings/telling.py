"""An answer in words and as data: figures with their units and spread, rounded as far as they are known."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from decimal import Decimal

from tallboy.sums import units
from tallboy.sums.doors import STANDARD_GRAVITY
from tallboy.sums.unit_words import (
    GRAMS_PER_POUND,
    M2_L_PER_FT2_GALLON,
    M2_PER_FT2,
    MM_PER_INCH,
    NEWTON_PER_LBF,
    UM_PER_MIL,
)
from tallboy.tables import load
from tallboy.tables.rows import Row
from tallboy.workings.asking import as_data
from tallboy.workings.kinds import Answer, Figure, Given, Got, Lead, Working

_MINUS = re.compile(r"(?<![\w.)\]°²³%])-(?=\.?\d)")

IMPERIAL_SIZES = {
    "K": (1.8, "°F"),
    "m²": (1 / M2_PER_FT2, "ft²"),
    "m²/l": (1 / M2_L_PER_FT2_GALLON, "ft²/gal"),
    "kg": (1000 / GRAMS_PER_POUND, "lb"),
    "kg/m³": (1000 / GRAMS_PER_POUND * (0.012 * MM_PER_INCH) ** 3, "lb/ft³"),
    "N": (1 / NEWTON_PER_LBF, "lbf"),
    "µm": (1 / UM_PER_MIL, "mil"),
}
"""How many of the other sign one of ours is. Litres and grams stay: shops in inches buy and weigh by them too."""

NOTHING_MM = 1e-5
SMALL_MM = 1.0
"""Below it a fraction of an inch is too coarse, and decimals are shown."""
COARSE_MM = 0.8
"""A spread as wide as this leaves fractions of an inch their meaning: half a sixteenth."""
MOST_PLACES = 9
FINE_DIGITS, FINE_TO_MM = 4, 100.0
"""So many digits are only known of what was measured finely; below this size they are shown as decimals of an inch."""


def figure(got: Got, system: str = units.METRIC) -> str:
    """A result with its unit and, where it has one, its spread: "9.3 °C (8.4 to 10.2)"."""
    return " ".join(filter(None, value_and_spread(got, system)))


def value_and_spread(got: Got, system: str = units.METRIC) -> tuple[str, str]:
    """A result with its unit, and its spread or ""; no finer than the spread lets it be known."""
    ends = [end for end in (got.low, got.high) if end is not None]
    if not ends or isinstance(got.value, bool | str) or not math.isfinite(got.value):
        return amount(got.value, got.unit, got.digits, system), ""
    write, sign = _alike(got, ends, system)
    text = f"{write(float(got.value))} {sign}".strip()
    low, high = ("" if end is None else write(end) for end in (got.low, got.high))
    if low and high:
        return text, f"({low} to {high})"
    return text, f"(at least {low})" if low else f"(at most {high})"


def _alike(got: Got, ends: list[float], system: str) -> tuple[Callable[[float], str], str]:
    """How a result and the ends of its spread are written, all three alike, and the unit behind them."""
    value = float(got.value)
    if _in_hours(got.unit, got.digits, max(map(abs, (value, *ends)))):
        return span, ""
    scale, shift, sign = _sized(got.unit, max(map(abs, (value, *ends)))) or spoken_unit(got.unit, system)
    apart = min((gap for end in ends if (gap := abs(end - value)) > 0), default=0.0)
    if sign == "in" and apart >= COARSE_MM:
        return lambda mm: _inches(mm, 3).removesuffix(" in"), sign
    if isinstance(got.value, Decimal):
        places = -int(got.value.as_tuple().exponent)
        return lambda number: _fixed(number, places), sign
    known = _places_known(apart * scale)
    return lambda number: _fixed(number * scale + shift, min(known, _places(number * scale + shift, got.digits))), sign


def _places_known(apart: float) -> int:
    """Decimals that mean something where the ends of a spread lie so far off: one digit of it, two where that begins with 1 or 2."""
    if not apart:
        return MOST_PLACES
    power = math.floor(math.log10(apart))
    return (1 if apart / 10.0**power < 3 else 0) - power


def _places(number: float, digits: int) -> int:
    """Decimals that so many significant digits are."""
    return digits - 1 - math.floor(math.log10(abs(number))) if number else MOST_PLACES


def _fixed(number: float, places: int) -> str:
    """A number to so many decimals; below none to tens, hundreds and so on."""
    text = f"{round(number, places) + 0.0:,.{min(max(places, 0), MOST_PLACES)}f}"
    return text.replace(",", "\u202f").replace("-", "\u2212")


def amount(value: Figure, unit: str, digits: int = 3, system: str = units.METRIC) -> str:
    """A value with its unit, as the shop speaks."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str) or not math.isfinite(value):
        return str(value)
    if isinstance(value, Decimal):
        return f"{value:,} {unit}".strip().replace(",", "\u202f")
    if _in_hours(unit, digits, abs(value)):
        return span(value)
    scale, shift, sign = _sized(unit, abs(value)) or spoken_unit(unit, system)
    if sign == "in":
        return _inches(value, digits)
    return f"{rounded(value * scale + shift, digits)} {sign}".strip()


def bare(value: Figure, unit: str, digits: int = 3, system: str = units.METRIC) -> str:
    """The same without its unit."""
    return amount(value, unit, digits, system).removesuffix(spoken_unit(unit, system)[2]).strip()


def spoken_unit(unit: str, system: str) -> tuple[float, float, str]:
    """By what a value is multiplied, what is added then, and the sign behind it, as the shop speaks."""
    if system == units.IMPERIAL:
        if unit == "mm":
            return 1 / MM_PER_INCH, 0, "in"
        if unit == "°C":
            return 1.8, 32, "°F"
        if unit in IMPERIAL_SIZES:
            return IMPERIAL_SIZES[unit][0], 0, IMPERIAL_SIZES[unit][1]
    return 1, 0, "°C" if unit == "K" else unit


def _sized(unit: str, largest: float) -> tuple[float, float, str] | None:
    """Litres that are less than one as millilitres."""
    return (1000, 0, "ml") if unit == "l" and 0 < largest < 1 else None


def _in_hours(unit: str, digits: int, minutes: float) -> bool:
    """Whether minutes are told in hours and minutes: from an hour on, where they are not asked for to the last digit."""
    return unit == "min" and digits <= 3 and minutes >= 60


def span(minutes: float) -> str:
    """A span of time, no finer than it is known: to five minutes from two hours on, to the hour from a day on."""
    step = 1 if minutes < 120 else 5 if minutes < 1440 else 60
    return units.format_minutes(round(minutes / step) * step)


def _inches(mm: float, digits: int) -> str:
    """A length as a fraction, the finer the smaller it is; as decimals where it is tiny or finely measured."""
    if abs(mm) < NOTHING_MM:
        return "0 in"
    if abs(mm) < SMALL_MM or (digits >= FINE_DIGITS and abs(mm) < FINE_TO_MM):
        return f"{rounded(mm / MM_PER_INCH, digits)} in"
    parts = 64 if abs(mm) < 50 else 32 if abs(mm) < 300 else 16
    return units.format_length(mm, units.IMPERIAL, parts).replace("-", "\u2212")


def about(given: Given, value: float, unit: str, digits: int = 2) -> str:
    """An estimate in a sentence, as the shop speaks, to so many significant digits."""
    return amount(value, unit, digits, given.system)


def hung(given: Given, newtons: float) -> str:
    """A force as what would hang there, to be added to it; nothing in pounds of force, which say it themselves."""
    if given.system == units.IMPERIAL:
        return ""
    return f", as {about(given, newtons / STANDARD_GRAVITY, 'kg')} would hang"


def said(given: Given, value: float, unit: str, places: int | None = 1) -> str:
    """A figure in a sentence, as the shop speaks: so many decimals of our unit (None: as it was typed), or the imperial one."""
    if given.system == units.IMPERIAL and (unit in ("mm", "°C") or unit in IMPERIAL_SIZES):
        return amount(value, unit, 3 if unit == "°C" else 2, given.system)
    text = f"{value:g}" if places is None else f"{value:.{places}f}"
    return f"{text} {'°C' if unit == 'K' else unit}".replace("-", "\u2212")


def rounded(value: float, digits: int = 3) -> str:
    """A number to so many significant digits, without an exponent between a millionth and a milliard."""
    if isinstance(value, int) or value == 0:
        return f"{int(value):,}".replace(",", "\u202f").replace("-", "\u2212")
    if not 1e-6 <= abs(value) < 1e9:
        return f"{value:.{digits}g}"
    places = digits - 1 - math.floor(math.log10(abs(value)))
    text = f"{round(value, places):,.{max(places, 0)}f}"
    return text.replace(",", "\u202f").replace("-", "\u2212")


def listed(words: Sequence[str]) -> str:
    """Words in a sentence: "darker, redder and bluer"."""
    return " and ".join(part for part in (", ".join(words[:-1]), words[-1]) if part) if words else ""


def typeset(line: str) -> str:
    """A line of a working with the signs that people write for minus and times."""
    return _MINUS.sub("\u2212", line.replace(" * ", " \u00d7 ").replace(" - ", " \u2212 "))


def source(key: str) -> Row:
    """The row of the table of sources; a row with only its key where a shop's own row names another source."""
    for row in load("sources")["sources"]:
        if row["key"] == key:
            found: Row = row
            return found
    return {"key": key, "title": key, "edition": "", "part": "", "evidence": "", "note": ""}


def source_line(key: str) -> str:
    """A source in one line: title, edition, part, and how it was seen."""
    row = source(key)
    return ", ".join(str(row[name]) for name in ("title", "edition", "part") if row.get(name)) + (
        f" ({row['evidence']})" if row.get("evidence") else ""
    )


def caution(key: str) -> Row:
    """The row of the table of cautions."""
    found: Row = next(row for row in load("cautions")["cautions"] if row["key"] == key)
    return found


def lines(working: Working, answer: Answer, system: str = units.METRIC) -> list[str]:
    """All of it for a terminal."""
    width = max((len(got.label) for got in answer.results), default=0)
    out = [working.title, *_some("", [answer.says] if answer.says else [])]
    out += ["", *(f"  {got.label:{width}}  {figure(got, system)}" for got in answer.results)]
    if answer.table:
        out += ["", *_table(answer.table.headings, answer.table.rows)]
    out += _some("Working" if system == units.METRIC else "Working, in mm, kg and °C", map(typeset, answer.working))
    out += _some("What it cannot know", answer.limits)
    out += _some("Go on with", (_command(lead) for lead in answer.leads))
    out += _some("Cautions", (f"{caution(key)['title']}: {caution(key)['text']}" for key in answer.cautions))
    out += _some("Sources", (source_line(key) for key in answer.sources))
    return out


def _command(lead: Lead) -> str:
    typed = (f'{name}="{text}"' if " " in text else f"{name}={text}" for name, text in lead.typed.items())
    return " ".join(("tallboy sum", lead.name, *typed))


def _some(heading: str, texts: Iterable[str]) -> list[str]:
    found = list(texts)
    if not found:
        return []
    return ["", *([heading] if heading else []), *(f"  {text}" for text in found)]


def _table(headings: tuple[str, ...], rows: tuple[tuple[str, ...], ...]) -> list[str]:
    widths = [max(len(row[i]) for row in (headings, *rows)) for i in range(len(headings))]
    return [
        "  " + "  ".join(f"{text:{width}}" for text, width in zip(row, widths, strict=True)).rstrip()
        for row in (headings, *(tuple(map(typeset, row)) for row in rows))
    ]


def data(working: Working, given: Given, answer: Answer) -> dict[str, object]:
    """All of it for JSON: inside units, full precision, sources in full."""
    return {
        "sum": working.name,
        "title": working.title,
        "given": {asked.name: _given(given.values.get(asked.name)) for asked in working.inputs},
        "says": answer.says,
        "results": [
            {
                "name": got.name,
                "label": got.label,
                "value": as_data(got.value),
                "unit": got.unit,
                "low": got.low,
                "high": got.high,
            }
            for got in answer.results
        ],
        "table": None
        if answer.table is None
        else {"headings": list(answer.table.headings), "rows": [list(row) for row in answer.table.rows]},
        "working": list(answer.working),
        "limits": list(answer.limits),
        "leads": [{"sum": lead.name, "given": dict(lead.typed)} for lead in answer.leads],
        "cautions": [
            {"key": key, "title": caution(key)["title"], "text": caution(key)["text"]} for key in answer.cautions
        ],
        "sources": [
            {name: source(key).get(name, "") for name in ("key", "title", "edition", "part", "evidence")}
            for key in answer.sources
        ],
    }


def _given(value: object) -> object:
    if isinstance(value, Mapping):
        return value["key"]
    if isinstance(value, tuple):
        return [_given(part) for part in value]
    return value
