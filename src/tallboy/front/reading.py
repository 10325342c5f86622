"""Reading a table that a person wrote, so that every complaint names the place, what was found and what would do."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from tallboy.errors import BadInput, BadUnit, OutOfRange
from tallboy.sums.units import parse_length

TEXT_LIMIT = 2000
SHOWN = 60


def listed(words: Iterable[str]) -> str:
    """Words for a sentence: "'left' or 'right'", "'a', 'b' or 'c'"."""
    quoted = [f"'{word}'" for word in words]
    if len(quoted) < 2:
        return "".join(quoted)
    return f"{', '.join(quoted[:-1])} or {quoted[-1]}"


def shown(value: object) -> str:
    """What was found, short enough for a message; texts in quotes, tables and lists by their kind."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f"'{value[:SHOWN]}…'" if len(value) > SHOWN else f"'{value}'"
    if isinstance(value, Mapping):
        return "a table"
    if isinstance(value, list | tuple):
        return "a list"
    if isinstance(value, int) and abs(value) >= 10**SHOWN:
        # Python refuses to write out a number of thousands of digits, which a few kilobytes of 0xfff… can hold.
        return "a number of very many digits"
    return str(value)[:SHOWN]


def near(word: str, options: Sequence[str]) -> str:
    """A hint for a word that is not known: the nearest one first, then all that would be accepted."""
    close = difflib.get_close_matches(word.lower().strip(), options, n=1)
    ask = f"Did you mean '{close[0]}'? " if close else ""
    return f"{ask}It must be {listed(options)}."


def _unprintable(sign: str) -> bool:
    """A sign that is no text: a control character other than a new line or a tab, or half of a pair."""
    code = ord(sign)
    return (code < 32 and sign not in "\n\t") or 127 <= code < 160 or 0xD800 <= code < 0xE000


class Table:
    """A mapping being read. `path` is where it stands, e.g. "front.rows[1]"; "" for the whole."""

    def __init__(self, data: object, path: str) -> None:
        if not isinstance(data, Mapping):
            raise BadInput(f"{path or 'This'} is {shown(data)}.", "It must be a table of keys and values.")
        self.data: Mapping[str, Any] = data
        self.path = path

    def at(self, key: str) -> str:
        """The path of a key of this table."""
        return f"{self.path}.{key}" if self.path else key

    def has(self, key: str) -> bool:
        """Whether the key is given."""
        return key in self.data

    def only(self, *keys: str) -> None:
        """Refuse a key that is not one of these."""
        for key in self.data:
            if key not in keys:
                close = difflib.get_close_matches(str(key).lower(), keys, n=1)
                ask = f"Did you mean '{close[0]}'? " if close else ""
                raise BadInput(
                    f"{self.at(str(key))} is not a key that is known.", f"{ask}Known here: {', '.join(keys)}."
                )

    def need(self, key: str, example: str) -> None:
        """Refuse when a key that must be there is missing."""
        if key not in self.data:
            raise BadInput(f"{self.at(key)} is missing.", f"Give it, for example {key} = {example}.")

    def text(self, key: str, default: str = "", limit: int = TEXT_LIMIT) -> str:
        """A text of at most `limit` characters, spaces at the ends taken off."""
        value = self.data.get(key, default)
        if not isinstance(value, str):
            raise BadInput(f"{self.at(key)} is {shown(value)}.", "It must be a text in quotes.")
        if len(value) > limit:
            raise BadInput(f"{self.at(key)} has {len(value)} characters.", f"It may have at most {limit}.")
        if any(_unprintable(sign) for sign in value):
            raise BadInput(f"{self.at(key)} has a control character in it.", "It must be plain text.")
        return value.strip()

    def texts(self, key: str, limit: int = 200) -> tuple[str, ...]:
        """A list of texts; one text alone stands for a list of one."""
        value = self.data.get(key, [])
        if isinstance(value, str):
            value = [value]
        if not isinstance(value, list | tuple):
            raise BadInput(f"{self.at(key)} is {shown(value)}.", "It must be a list of texts.")
        inner = Table({f"{key}[{n}]": item for n, item in enumerate(value)}, self.path)
        return tuple(inner.text(name, limit=limit) for name in inner.data)

    def choice(self, key: str, options: Sequence[str], default: str = "") -> str:
        """One of the words in `options`."""
        value = self.data.get(key, default)
        if value not in options or not isinstance(value, str):
            hint = near(value, options) if isinstance(value, str) else f"It must be {listed(options)}."
            raise BadInput(f"{self.at(key)} is {shown(value)}.", hint)
        return value

    def flag(self, key: str, default: bool = False) -> bool:
        """True or false."""
        value = self.data.get(key, default)
        if not isinstance(value, bool):
            raise BadInput(f"{self.at(key)} is {shown(value)}.", "It must be true or false.")
        return value

    def whole(self, key: str, low: int, high: int, default: int) -> int:
        """A whole number from low to high."""
        value = self.data.get(key, default)
        if not isinstance(value, int) or isinstance(value, bool) or not low <= value <= high:
            raise BadInput(f"{self.at(key)} is {shown(value)}.", f"It must be a whole number from {low} to {high}.")
        return value

    def number(self, key: str, low: float, high: float) -> float:
        """A number from low to high; the key must be there."""
        value = self.data.get(key)
        good = isinstance(value, int | float) and not isinstance(value, bool)
        if value is None or not good or not low <= value <= high:
            raise BadInput(f"{self.at(key)} is {shown(value)}.", f"It must be a number from {low:g} to {high:g}.")
        return float(value)

    def length(self, key: str, low: float, high: float, *, bare: str = "mm") -> float:
        """A length [mm] from low to high: a number of mm, or a text with its unit."""
        value = self.data.get(key)
        if isinstance(value, str):
            return self._measured(key, value, low, high)
        try:
            return self.number(key, low, high)
        except BadInput as trouble:
            hint = f'It must be a length from {low:g} to {high:g} {bare}, such as 120 or "120 mm" or "4 3/4 in".'
            raise BadInput(trouble.message, hint) from None

    def _measured(self, key: str, value: str, low: float, high: float) -> float:
        try:
            length = parse_length(value)
        except BadUnit as trouble:
            raise BadInput(f"{self.at(key)} is {shown(value)}. {trouble.message}", trouble.hint) from None
        except OutOfRange:
            length = -1.0
        if not low <= length <= high:
            raise BadInput(f"{self.at(key)} is {shown(value)}.", f"It must be from {low:g} to {high:g} mm.")
        return length

    def table(self, key: str) -> Table:
        """The table under a key; an empty one when it is not given."""
        return Table(self.data.get(key, {}), self.at(key))

    def tables(self, key: str, limit: int) -> tuple[Table, ...]:
        """The list of tables under a key."""
        value = self.data.get(key, [])
        if not isinstance(value, list | tuple):
            raise BadInput(f"{self.at(key)} is {shown(value)}.", "It must be a list of tables.")
        if len(value) > limit:
            raise BadInput(f"{self.at(key)} has {len(value)} entries.", f"It may have at most {limit}.")
        return tuple(Table(item, f"{self.at(key)}[{n}]") for n, item in enumerate(value))
