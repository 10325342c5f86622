"""What a sum's page shows: what was typed, what is wrong with it, and the answer in words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from django.urls import reverse

from tallboy.errors import TallboyError
from tallboy.tables.rows import Row, Rows
from tallboy.workings import known
from tallboy.workings.asking import read
from tallboy.workings.draw import NARROW, WIDE, draw
from tallboy.workings.kinds import Answer, Got, Lead, Working
from tallboy.workings.telling import caution, source, typeset, value_and_spread


@dataclass(frozen=True)
class Asking:
    """What came of an address: `wrong` by input ("" for what belongs to none), the answer when there is one."""

    typed: Mapping[str, str]
    wrong: Mapping[str, TallboyError]
    answer: Answer | None = None

    @property
    def waits(self) -> bool:
        """Some inputs were filled in by the page that led here; the rest is for the person."""
        return bool(self.typed) and not self.wrong and self.answer is None


@dataclass(frozen=True)
class ResultLine:
    """One result in words: its value with the unit, and its spread."""

    label: str
    value: str
    spread: str


@dataclass(frozen=True)
class Picture:
    """One plot, drawn for a wide page and for a phone."""

    says: str
    wide: str
    narrow: str


@dataclass(frozen=True)
class Shown:
    """An answer as its page shows it."""

    answer: Answer
    results: tuple[ResultLine, ...]
    pictures: tuple[Picture, ...]
    cautions: tuple[Row, ...]
    sources: tuple[Row, ...]
    leads: tuple[tuple[str, str], ...]
    """Sums that go on from here: title and address."""

    @property
    def table(self) -> list[list[tuple[str, str]]]:
        """The table among the results: each text with the heading it stands under."""
        grid = self.answer.table
        return [] if grid is None else [list(zip(grid.headings, map(typeset, row), strict=True)) for row in grid.rows]

    @property
    def working(self) -> list[str]:
        """The working, line by line."""
        return [typeset(line) for line in self.answer.working]


def asking(working: Working, typed: Mapping[str, str], rows: Rows, system: str) -> Asking:
    """Work the sum out, as far as what was typed allows.

    What is missing counts as wrong only when its input was sent empty: a link may bring some of the inputs.
    """
    if not typed:
        return Asking(typed, {})
    given, wrong = read(working, typed, rows, system)
    if wrong:
        return Asking(typed, {name: error for name, error in wrong.items() if name in typed or not name})
    try:
        return Asking(typed, {}, working.work(given))
    except TallboyError as error:
        return Asking(typed, {"": error})


def shown(answer: Answer, system: str) -> Shown:
    """The answer in words and drawings."""
    return Shown(
        answer,
        tuple(_result(got, system) for got in answer.results),
        tuple(Picture(plot.says, draw(plot, WIDE, system), draw(plot, NARROW, system)) for plot in answer.plots),
        tuple(caution(key) for key in dict.fromkeys(answer.cautions)),
        tuple(source(key) for key in dict.fromkeys(answer.sources)),
        tuple(_leading(lead) for lead in answer.leads),
    )


def _leading(lead: Lead) -> tuple[str, str]:
    return known.working(lead.name).title, f"{reverse('desk:sum', args=[lead.name])}?{urlencode(lead.typed)}"


def _result(got: Got, system: str) -> ResultLine:
    return ResultLine(got.label, *value_and_spread(got, system))
