"""One published check, and what came of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

HOW = {
    "read": "read in a public copy",
    "transcription": "quoted by a third party, the source itself not opened",
    "computed": "computed with an independent library, named in the note",
    "derived": "derived by hand or from a closed form, independent of the code",
    "memory": "from memory, not confirmed",
    "common practice": "common practice of the trade, no source",
}
"""How a value was obtained, in words."""


@dataclass(frozen=True)
class Check:
    """What a source says a sum must give for these arguments.

    `expected` is a number, text, yes or no, or a list of numbers; `tolerance` is absolute, in the answer's unit, 0 for exact.
    `pick` is the path into the answer; `source` a key of the table of sources; `how` one of `HOW`.
    """

    family: str
    of: str
    given: Mapping[str, object]
    expected: object
    tolerance: float
    unit: str
    pick: str
    source: str
    how: str
    note: str

    @property
    def text(self) -> str:
        """What is asked, in a line."""
        return ", ".join(f"{name} {_short(value)}" for name, value in self.given.items())


@dataclass(frozen=True)
class Outcome:
    """What a check came to. `holds` is None where its data file is not at hand; `difference` None where none can be told."""

    check: Check
    got: object
    difference: float | None
    holds: bool | None


def _short(value: object) -> str:
    if isinstance(value, Mapping):
        inner = ", ".join(f"{key} {_short(part)}" for key, part in value.items() if key not in ("make", "read"))
        return f"({inner})" if inner else str(value.get("make", ""))
    if isinstance(value, list) and len(value) > 6:
        return f"{len(value)} values"
    if isinstance(value, list):
        return "[" + ", ".join(_short(part) for part in value) + "]"
    return f"{value:g}" if isinstance(value, float) else str(value)
