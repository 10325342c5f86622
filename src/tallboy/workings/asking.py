"""From what was typed to what a sum works with, and from there to its answer.

A quantity may carry its own unit ("65 °F", "3/4 in", "1 US qt"); a bare number has the unit that the input names, or the
imperial one where the shop works in inches and °F. Everything that is wrong is found at once, by the input's name.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from typing import cast

from tallboy.errors import BadInput, BadUnit, OutOfRange, TallboyError
from tallboy.sums import units
from tallboy.sums.unit_words import M2_L_PER_FT2_GALLON, M2_PER_FT2, NEWTON_PER_LBF, UM_PER_MIL
from tallboy.tables.rows import Rows
from tallboy.workings.kinds import Answer, Asked, Figure, Given, Working

YES = {"yes", "y", "true", "on", "1"}
NO = {"no", "n", "false", "off", "0"}
LONGEST = 20_000
MOST_ITEMS = 5_000
_PLAIN = re.compile(r"([+-]?[0-9]*[.,]?[0-9]+(?:[eE][+-]?[0-9]+)?)\s*(.*)")


def ask(working: Working, typed: Mapping[str, str], rows: Rows | None = None, system: str = units.METRIC) -> Answer:
    """The answer to what was typed; BadInput tells everything that is wrong at once."""
    given, wrong = read(working, typed, rows, system)
    if wrong:
        raise together(wrong)
    return working.work(given)


def read(
    working: Working, typed: Mapping[str, str], rows: Rows | None = None, system: str = units.METRIC
) -> tuple[Given, dict[str, TallboyError]]:
    """What was typed as values, and what is wrong by the input's name ("" for an input that the sum does not have)."""
    lookup = rows or Rows()
    values: dict[str, object] = {}
    wrong: dict[str, TallboyError] = {}
    for name in sorted(set(typed) - {asked.name for asked in working.inputs}):
        known = ", ".join(asked.name for asked in working.inputs)
        wrong[""] = BadInput(f"{working.title} does not ask for “{name[:40]}”.", f"It asks for: {known}.")
    for asked in working.inputs:
        try:
            values[asked.name] = _value(asked, typed.get(asked.name, ""), lookup, system)
        except TallboyError as error:
            wrong[asked.name] = error
    return Given(values, lookup, system), wrong


def bare_unit(asked: Asked, system: str = units.METRIC) -> str:
    """The unit that a bare number has."""
    return bare_sign(asked.unit, system)


def bare_sign(unit: str, system: str = units.METRIC) -> str:
    """The unit that a bare number has where the inside unit is this one."""
    return _BARE_IMPERIAL.get(unit, unit) if system == units.IMPERIAL else unit


def default_text(asked: Asked) -> str:
    """What stands in the input before anything is typed, with its unit; "" when there is nothing."""
    if asked.default is None or isinstance(asked.default, str):
        return asked.default or ""
    return f"{asked.default:g} {asked.unit}".strip()


_BARE_IMPERIAL = {"mm": "in", "°C": "°F", "K": "°F"}


def together(wrong: Mapping[str, TallboyError]) -> TallboyError:
    """All that is wrong as one error, each by its input's name."""
    if len(wrong) == 1:
        ((name, error),) = wrong.items()
        error.message = f"{name}: {error.message}" if name else error.message
        return error
    return BadInput(" ".join(f"{name or 'input'}: {error}" for name, error in wrong.items()))


def _value(asked: Asked, typed: str, rows: Rows, system: str) -> object:
    if len(typed) > LONGEST:
        raise BadInput(f"{asked.label} is too long to be read.", f"At most {LONGEST} letters.")
    given = typed.strip()
    text = given or default_text(asked)
    if not text and asked.kind == "flag":
        return False
    if not text:
        if asked.needed:
            raise BadInput(f"{asked.label} is missing.", takes(asked, system))
        return None
    # A default is written with its own unit, or has none: it means the same in every shop.
    return _READERS[asked.kind](asked, text, rows, system if given else units.METRIC)


def _number(asked: Asked, text: str, _rows: Rows, system: str) -> float:
    return _in_range(asked, quantity(text, asked.unit, asked.label, system))


def _whole(asked: Asked, text: str, rows: Rows, system: str) -> int:
    number = _number(asked, text, rows, system)
    if number != int(number):
        raise BadInput(f"{asked.label} is {number:g}.", "It must be a whole number.")
    return int(number)


def _choice(asked: Asked, text: str, _rows: Rows, _system: str) -> str:
    for key, words in asked.choices:
        if text.casefold() in (key.casefold(), words.casefold()):
            return key
    raise BadInput(
        f"{asked.label} cannot be “{text[:40]}”.", f"It must be one of: {', '.join(key for key, _ in asked.choices)}."
    )


def _row(asked: Asked, text: str, rows: Rows, _system: str) -> object:
    return rows.row(asked.table, text)


def _row_list(asked: Asked, text: str, rows: Rows, _system: str) -> object:
    words = listed(text)
    _few(asked, words)
    return tuple(rows.row(asked.table, word) for word in dict.fromkeys(words))


def listed(text: str) -> list[str]:
    """The names of a list, with semicolons, commas or new lines between them."""
    return [word.strip() for word in re.split(r"[;,\n]", text) if word.strip()]


def _numbers(asked: Asked, text: str, _rows: Rows, system: str) -> tuple[float, ...]:
    items = _items(asked, text)
    if len(items) == 1 and not asked.unit:
        items = items[0].split()
    return tuple(_in_range(asked, quantity(item, asked.unit, asked.label, system)) for item in items)


def _pairs(asked: Asked, text: str, _rows: Rows, system: str) -> tuple[tuple[float, ...], ...]:
    return tuple(_pair(asked, item, system) for item in _items(asked, text))


def _pair(asked: Asked, item: str, system: str) -> tuple[float, ...]:
    parts = item.split("=") if "=" in item else item.split()
    if len(parts) != len(asked.units):
        raise BadInput(f"{asked.label}: “{item[:40]}” has {len(parts)} parts.", takes(asked, system))
    return tuple(
        quantity(part.strip(), unit, asked.label, system) for part, unit in zip(parts, asked.units, strict=True)
    )


def _flag(asked: Asked, text: str, _rows: Rows, _system: str) -> bool:
    if text.casefold() in YES | NO:
        return text.casefold() in YES
    raise BadInput(f"{asked.label} cannot be “{text[:40]}”.", "It must be yes or no.")


def _text(_asked: Asked, text: str, _rows: Rows, _system: str) -> str:
    return text


_READERS: dict[str, Callable[[Asked, str, Rows, str], object]] = {
    "number": _number,
    "whole": _whole,
    "choice": _choice,
    "row": _row,
    "row list": _row_list,
    "numbers": _numbers,
    "pairs": _pairs,
    "flag": _flag,
    "text": _text,
}


def quantity(text: str, unit: str, label: str, system: str = units.METRIC) -> float:
    """A quantity in the inside unit from text that may carry another unit of the same kind.

    Parameters: text as typed; unit is the inside one; label names it in errors; system says what a bare number means.
    BadUnit when it cannot be read.
    """
    if unit not in _SPOKEN:
        return _unsigned(_plain(text, unit, label))
    read_it, size = _SPOKEN[unit]
    return _unsigned(read_it(text, bare_sign(unit, system)) / size)


def _unsigned(number: float) -> float:
    """The number; 0 for -0, so that no working speaks of that."""
    return number or 0.0


def _percent(text: str, _bare: str) -> float:
    return units.parse_percent(text)


def _apart(text: str, bare: str) -> float:
    """A difference of temperatures [K], typed in K, °C or °F."""
    found = _PLAIN.fullmatch(text.strip().replace("\u2212", "-"))
    sign = (found[2].strip() or bare) if found else ""
    if found is None or sign not in _DEGREES:
        raise BadUnit(f"“{text[:40]}” cannot be read as a difference of temperatures.", "Write it like 2 °C or 4 °F.")
    return float(found[1].replace(",", ".")) * _DEGREES[sign]


_DEGREES = {"K": 1.0, "°C": 1.0, "C": 1.0, "°F": 5 / 9, "F": 5 / 9}

_SPOKEN: dict[str, tuple[Callable[[str, str], float], float]] = {
    "mm": (units.parse_length, 1.0),
    "m": (units.parse_length, 1000.0),
    "°C": (units.parse_temperature, 1.0),
    "ml": (units.parse_volume, 1.0),
    "l": (units.parse_volume, 1000.0),
    "g": (units.parse_mass, 1.0),
    "kg": (units.parse_mass, 1000.0),
    "min": (units.parse_minutes, 1.0),
    "h": (units.parse_minutes, 60.0),
    "%": (_percent, 1.0),
    "K": (_apart, 1.0),
}
"""Units that people write in several ways: who reads them, and how much larger ours is than what is read."""


_SIZES: Mapping[str, Mapping[str, float]] = {
    "m²": {"ft²": M2_PER_FT2, "sq ft": M2_PER_FT2},
    "m²/l": {"ft²/gal": M2_L_PER_FT2_GALLON, "sq ft/gal": M2_L_PER_FT2_GALLON},
    "µm": {"mil": UM_PER_MIL, "mils": UM_PER_MIL},
    "N": {"lbf": NEWTON_PER_LBF},
}
"""Other words that plain numbers may carry, and how many of our unit one of each is."""


def _plain(text: str, unit: str, label: str) -> float:
    found = _PLAIN.fullmatch(text.strip().replace("\u2212", "-"))
    sizes = {"": 1.0, unit: 1.0, **_SIZES.get(unit, {})}
    if found is None or found[2].strip() not in sizes:
        raise BadInput(f"{label}: “{text[:40]}” cannot be read.", f"It takes a number{f' in {unit}' if unit else ''}.")
    return float(found[1].replace(",", ".")) * sizes[found[2].strip()]


def _items(asked: Asked, text: str) -> list[str]:
    items = [item.strip() for item in re.split(r"[;\n]", text) if item.strip()]
    _few(asked, items)
    return items


def _few(asked: Asked, items: list[str]) -> None:
    if len(items) > MOST_ITEMS:
        raise OutOfRange(asked.label, f"{len(items)} items", 1, MOST_ITEMS, "items")


def _in_range(asked: Asked, value: float) -> float:
    low = -math.inf if asked.low is None else asked.low
    high = math.inf if asked.high is None else asked.high
    if not (low <= value <= high and math.isfinite(value)):
        raise OutOfRange(asked.label, f"{value:g}", f"{low:g}", f"{high:g}", asked.unit)
    return value


def takes(asked: Asked, system: str = units.METRIC) -> str:
    """What the input would accept, for a hint."""
    if asked.kind == "choice":
        return f"One of: {', '.join(key for key, _ in asked.choices)}."
    if asked.kind in ("row", "row list"):
        return f"A name from the table {asked.table}."
    if asked.kind == "pairs":
        return f"Items with semicolons between, each {' = '.join(unit or 'number' for unit in asked.units)}."
    if asked.kind == "numbers":
        return f"Numbers with semicolons between{f', in {asked.unit}' if asked.unit else ''}."
    if asked.kind in ("flag", "text"):
        return "Yes or no." if asked.kind == "flag" else "Words."
    number = "A whole number" if asked.kind == "whole" else "A number"
    return f"{number}{f' in {bare_unit(asked, system)}' if asked.unit else ''}{_between(asked)}."


def _between(asked: Asked) -> str:
    if asked.low is None or asked.high is None:
        return ""
    return f", {_plainly(asked.low)} to {_plainly(asked.high)}{f' {asked.unit}' if asked.unit else ''}"


def _plainly(number: float) -> str:
    """A number as people write it: no exponent where it is whole."""
    return f"{number:.0f}" if number == int(number) else f"{number:g}"


def otherwise(asked: Asked) -> str:
    """What is taken when nothing is typed, as a sentence to add."""
    if default_text(asked):
        return f" Otherwise {default_text(asked)}."
    return "" if asked.needed or asked.kind == "flag" else " May be left out."


def described(asked: Asked) -> dict[str, object]:
    """An input for JSON."""
    return {
        "name": asked.name,
        "label": asked.label,
        "kind": asked.kind,
        "unit": asked.unit,
        "low": asked.low,
        "high": asked.high,
        "default": asked.default,
        "choices": [key for key, _ in asked.choices],
        "table": asked.table,
        "needed": asked.needed,
        "takes": takes(asked),
    }


def as_data(figure: Figure) -> float | int | str | bool:
    """A figure for JSON: exact decimals as text, everything else as it is."""
    return figure if isinstance(figure, bool | int | str | float) else str(cast(object, figure))
