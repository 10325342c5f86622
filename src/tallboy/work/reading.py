"""Reading plain data field by field, with messages a person at a form can act on."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from typing import Any

from tallboy.errors import BadInput

_KEY = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_LONGEST_TEXT = 2000
_MOST_ROWS = 200


class Reader:
    """Reads the fields of one row. `where` opens every message, e.g. "Route 'oil', step 'sand'"."""

    def __init__(self, row: Mapping[str, Any], where: str) -> None:
        self.row = row
        self.where = where
        self._read: list[str] = []

    def _take(self, name: str, default: Any) -> Any:
        self._read.append(name)
        return self.row.get(name, default)

    def _refuse(self, name: str, value: object, accepted: str) -> BadInput:
        return BadInput(f"{self.where}: {name} is {value!r}.", accepted)

    def text(self, name: str, needed: bool = False, most: int = _LONGEST_TEXT) -> str:
        """A text of at most `most` characters, without blanks at its ends; `needed` refuses an empty one."""
        value = self._take(name, "")
        if not isinstance(value, str) or len(value) > most:
            raise self._refuse(name, value, f"It must be a text of at most {most} characters.")
        if needed and not value.strip():
            raise BadInput(f"{self.where}: {name} is missing.", "Give it a text.")
        return value.strip()

    def key(self, name: str) -> str:
        """A key: small letters, digits and single hyphens."""
        value = self._take(name, "")
        if not isinstance(value, str) or len(value) > 60 or not _KEY.fullmatch(value):
            raise self._refuse(name, value, "A key is small letters and digits with hyphens, such as 'rub-down'.")
        return value

    def choice(self, name: str, accepted: Sequence[str], default: str | None = None) -> str:
        """One of the accepted words; without a default it must be given."""
        value = self._take(name, default)
        if value not in accepted:
            words = ", ".join(word for word in accepted if word)
            raise self._refuse(name, value, f"Accepted: {words}.")
        return str(value)

    def texts(self, name: str) -> tuple[str, ...]:
        """A list of texts."""
        value = self._take(name, ())
        if not isinstance(value, list | tuple) or len(value) > _MOST_ROWS or not all(isinstance(v, str) for v in value):
            raise self._refuse(name, value, "It must be a list of texts.")
        return tuple(value)

    def choices(self, name: str, accepted: Sequence[str]) -> tuple[str, ...]:
        """A list of accepted words, none twice."""
        words = self.texts(name)
        for word in words:
            if word not in accepted or words.count(word) > 1:
                raise self._refuse(name, word, f"Accepted, each once: {', '.join(accepted)}.")
        return words

    def number(self, name: str, low: float, high: float, default: float, unit: str = "") -> float:
        """A number between low and high."""
        value = self._take(name, default)
        good = isinstance(value, int | float) and not isinstance(value, bool)
        if not good or not math.isfinite(value) or not low <= value <= high:
            raise self._refuse(name, value, f"It must be a number from {low:g} to {high:g} {unit}".strip() + ".")
        return float(value)

    def number_or_none(self, name: str, low: float, high: float, unit: str = "") -> float | None:
        """A number between low and high, or nothing."""
        if self.row.get(name) is None:
            self._take(name, None)
            return None
        return self.number(name, low, high, low, unit)

    def whole(self, name: str, low: int, high: int, default: int) -> int:
        """A whole number between low and high."""
        value = self.number(name, low, high, default)
        if value != int(value):
            raise self._refuse(name, value, f"It must be a whole number from {low} to {high}.")
        return int(value)

    def flag(self, name: str) -> bool:
        """True or false; false when not given."""
        value = self._take(name, False)
        if not isinstance(value, bool):
            raise self._refuse(name, value, "It must be true or false.")
        return value

    def mapping(self, name: str, accepted: Sequence[str]) -> dict[str, str]:
        """Texts by accepted word."""
        value = self._take(name, {})
        if not isinstance(value, Mapping):
            raise self._refuse(name, value, f"It must give a text for each of: {', '.join(accepted)}.")
        for word, text in value.items():
            if word not in accepted or not isinstance(text, str) or not text:
                raise self._refuse(f"{name} {word}", text, f"Accepted: {', '.join(accepted)}, each with a text.")
        return dict(value)

    def rows(self, name: str) -> list[Mapping[str, Any]]:
        """A list of rows."""
        self._read.append(name)
        return rows_in(self.row, name, self.where)

    def nothing_else(self) -> None:
        """Refuse a field that nobody reads: it is most likely a slip of the pen."""
        for name in self.row:
            if name not in self._read:
                raise BadInput(f"{self.where}: {name!r} is not a field.", f"Fields are: {', '.join(self._read)}.")


def as_row(value: object, where: str) -> Mapping[str, Any]:
    """The value, if it is fields by name; BadInput otherwise."""
    if not isinstance(value, Mapping):
        raise BadInput(f"{where} is not a row of fields.", "Give its fields by name, beginning with its key.")
    return value


def rows_in(table: Mapping[str, Any], name: str, where: str = "The table") -> list[Mapping[str, Any]]:
    """The rows kept in a table under a name; BadInput when they are not a list of rows."""
    value = table.get(name, [])
    if not isinstance(value, list | tuple) or not all(isinstance(row, Mapping) for row in value):
        raise BadInput(f"{where}: {name} is not a list of rows.", "Each row has its fields by name.")
    if len(value) > _MOST_ROWS:
        raise BadInput(f"{where}: {name} has {len(value)} rows.", f"At most {_MOST_ROWS} are accepted.")
    return list(value)
