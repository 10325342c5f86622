"""What a sum asks, what it was given, and what it answers. Plain data: the command line and the pages are made of it.

Units are the inside ones of the house. A difference of temperatures has the unit "K": it is shown in °C or °F without their zero.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal, cast

from tallboy.tables.rows import Row, Rows

Kind = Literal["number", "whole", "choice", "row", "row list", "numbers", "pairs", "flag", "text"]
Figure = float | int | str | bool | Decimal


@dataclass(frozen=True)
class Asked:
    """One input: its name on the command line, its words on the page, unit, range, and what stands there when nothing is typed.

    `kind` says how it is read: "choice" from `choices` (key and words), "row" and "row list" from the table named in `table`,
    "numbers" as a list with semicolons, "pairs" as items with semicolons, the parts of an item joined by "=" ("750 ml = 14.90;
    2.5 l = 36"), each read with its entry of `units`. An input that is not `needed` may be left empty.
    """

    name: str
    label: str
    unit: str = ""
    low: float | None = None
    high: float | None = None
    default: str | float | None = None
    kind: Kind = "number"
    choices: tuple[tuple[str, str], ...] = ()
    table: str = ""
    units: tuple[str, ...] = ()
    help: str = ""
    needed: bool = True


@dataclass(frozen=True)
class Given:
    """What was typed, read and checked; `system` is how the shop speaks, "metric" or "imperial", for sentences."""

    values: Mapping[str, object]
    lookup: Rows = field(default_factory=Rows)
    system: str = "metric"

    def number(self, name: str) -> float:
        """A number [the input's unit] that is there."""
        return float(cast(float, self.values[name]))

    def maybe(self, name: str) -> float | None:
        """A number [the input's unit], None when it was left empty."""
        value = self.values.get(name)
        return None if value is None else float(cast(float, value))

    def whole(self, name: str) -> int:
        """A whole number."""
        return int(cast(int, self.values[name]))

    def decimal(self, name: str) -> Decimal:
        """The same number as an exact decimal, as it was typed and without a nought behind the point; for money."""
        number = self.number(name)
        return Decimal(int(number)) if number.is_integer() else Decimal(str(number))

    def has(self, name: str) -> bool:
        """Whether something was typed."""
        return self.values.get(name) is not None

    def choice(self, name: str) -> str:
        """The key that was chosen."""
        return str(self.values[name])

    def text(self, name: str) -> str:
        """Words, "" when none were typed."""
        value = self.values.get(name)
        return "" if value is None else str(value)

    def flag(self, name: str) -> bool:
        """Yes or no."""
        return bool(self.values.get(name, False))

    def row(self, name: str) -> Row:
        """The row that was chosen."""
        return cast(Row, self.values[name])

    def rows(self, name: str) -> list[Row]:
        """The rows that were chosen; empty when none."""
        return list(cast(Sequence[Row], self.values.get(name) or ()))

    def numbers(self, name: str) -> list[float]:
        """A list of numbers; empty when none."""
        return list(cast(Sequence[float], self.values.get(name) or ()))

    def pairs(self, name: str) -> list[tuple[float, ...]]:
        """A list of items with as many numbers as the input has units; empty when none."""
        return list(cast(Sequence[tuple[float, ...]], self.values.get(name) or ()))

    def table(self, name: str) -> tuple[Row, ...]:
        """All rows of a table, the shop's own included."""
        return self.lookup.of(name)


@dataclass(frozen=True)
class Got:
    """One result: a figure with its spread, or words. `digits` are the significant ones to show."""

    name: str
    label: str
    value: Figure
    unit: str = ""
    low: float | None = None
    high: float | None = None
    digits: int = 3


@dataclass(frozen=True)
class Curve:
    """One line of a plot; `low` and `high` are the edges of a band about it."""

    label: str
    x: tuple[float, ...]
    y: tuple[float, ...]
    dashed: bool = False
    low: tuple[float, ...] = ()
    high: tuple[float, ...] = ()


@dataclass(frozen=True)
class Mark:
    """A point of a plot with its word."""

    x: float
    y: float
    label: str = ""


@dataclass(frozen=True)
class Plot:
    """A drawing of one to four curves over one axis; `says` is what it shows, in a sentence, for who cannot see it.

    `square` keeps the scale of both axes alike, for outlines.
    """

    title: str
    x_label: str
    x_unit: str
    y_label: str
    y_unit: str
    curves: tuple[Curve, ...]
    marks: tuple[Mark, ...] = ()
    says: str = ""
    square: bool = False


@dataclass(frozen=True)
class Grid:
    """A small table among the results: headings, and as many texts in each row."""

    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    caption: str = ""


@dataclass(frozen=True)
class Lead:
    """Another sum that goes on from an answer, by its name, and what is known of its inputs, as it would be typed."""

    name: str
    typed: Mapping[str, str]


@dataclass(frozen=True)
class Answer:
    """All that comes of a sum. `says` is the verdict in a sentence, `limits` what the sum cannot know.

    `sources` are keys of the table of sources, `cautions` of that of cautions; `leads` are sums that one would ask next.
    """

    results: tuple[Got, ...]
    working: tuple[str, ...]
    sources: tuple[str, ...]
    cautions: tuple[str, ...] = ()
    says: str = ""
    limits: tuple[str, ...] = ()
    plots: tuple[Plot, ...] = ()
    table: Grid | None = None
    leads: tuple[Lead, ...] = ()


@dataclass(frozen=True)
class Working:
    """A sum that can be asked by name. `example` is what could be typed, in words and units."""

    name: str
    family: str
    title: str
    asks: str
    inputs: tuple[Asked, ...]
    work: Callable[[Given], Answer]
    example: Mapping[str, str]
