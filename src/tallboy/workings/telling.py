"""An answer in words and as data: figures with their units and spread, rounded as far as they are known."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from decimal import Decimal

from tallboy.sums import units
from tallboy.tables import load
from tallboy.tables.rows import Row
from tallboy.workings.asking import as_data
from tallboy.workings.kinds import Answer, Figure, Given, Got, Working

IMPERIAL_SIZES = {"K": (1.8, "°F"), "m²": (10.763910417, "ft²"), "kg": (2.2046226218, "lb")}


def figure(got: Got, system: str = units.METRIC) -> str:
    """A result with its unit and, where it has one, its spread: "9.3 °C (8.9 to 9.7)"."""
    text = amount(got.value, got.unit, got.digits, system)
    if got.low is None and got.high is None:
        return text
    low = "" if got.low is None else bare(got.low, got.unit, got.digits, system)
    high = "" if got.high is None else bare(got.high, got.unit, got.digits, system)
    if low and high:
        return f"{text} ({low} to {high})"
    return f"{text} (at least {low})" if low else f"{text} (at most {high})"


def amount(value: Figure, unit: str, digits: int = 3, system: str = units.METRIC) -> str:
    """A value with its unit, as the shop speaks."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str) or not math.isfinite(value):
        return str(value)
    if isinstance(value, Decimal):
        return f"{value:,} {unit}".strip().replace(",", "\u202f")
    if system == units.IMPERIAL and unit in ("mm", "°C"):
        return (
            units.format_length(value, system) if unit == "mm" and abs(value) >= 3 else _imperial(value, unit, digits)
        )
    size, sign = (
        IMPERIAL_SIZES[unit]
        if system == units.IMPERIAL and unit in IMPERIAL_SIZES
        else (1, "°C" if unit == "K" else unit)
    )
    return f"{rounded(value * size, digits)} {sign}".strip()


def bare(value: Figure, unit: str, digits: int = 3, system: str = units.METRIC) -> str:
    """The same without its unit where that can be left out."""
    text = amount(value, unit, digits, system)
    return text.removesuffix(unit).removesuffix("°F").removesuffix("°C").strip() if unit else text


def _imperial(value: float, unit: str, digits: int) -> str:
    if unit == "°C":
        return f"{rounded(value * 1.8 + 32, digits)} °F"
    return f"{rounded(value / 25.4, digits)} in"


def rounded(value: float, digits: int = 3) -> str:
    """A number to so many significant digits, without an exponent between a millionth and a milliard."""
    if isinstance(value, int) or value == 0:
        return f"{value:,}".replace(",", "\u202f").replace("-", "\u2212")
    if not 1e-6 <= abs(value) < 1e9:
        return f"{value:.{digits}g}"
    places = digits - 1 - math.floor(math.log10(abs(value)))
    text = f"{round(value, places):,.{max(places, 0)}f}"
    return text.replace(",", "\u202f").replace("-", "\u2212")


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
    out += _some("Working", answer.working)
    out += _some("What it cannot know", answer.limits)
    out += _some("Cautions", (f"{caution(key)['title']}: {caution(key)['text']}" for key in answer.cautions))
    out += _some("Sources", (source_line(key) for key in answer.sources))
    return out


def _some(heading: str, texts: Iterable[str]) -> list[str]:
    found = list(texts)
    if not found:
        return []
    return ["", *([heading] if heading else []), *(f"  {text}" for text in found)]


def _table(headings: tuple[str, ...], rows: tuple[tuple[str, ...], ...]) -> list[str]:
    widths = [max(len(row[i]) for row in (headings, *rows)) for i in range(len(headings))]
    return [
        "  " + "  ".join(f"{text:{width}}" for text, width in zip(row, widths, strict=True)).rstrip()
        for row in (headings, *rows)
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
