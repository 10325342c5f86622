"""Words of the trade's tables as choices on forms, and words that lists, papers and drawings share."""

from __future__ import annotations

from django.utils.translation import gettext_lazy

from tallboy.front.ready import KINDS
from tallboy.tables import load
from tallboy.tables.caution_words import caution_words

STATES = {
    "on": gettext_lazy("on the piece"),
    "off": gettext_lazy("taken off"),
    "missing": gettext_lazy("missing"),
    "back": gettext_lazy("fitted again"),
    "standin": gettext_lazy("a stand-in is fitted"),
    "empty": gettext_lazy("stays empty"),
}
"""What a position's state is called, on lists, papers and drawings."""


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]


def part_kind_choices() -> list[tuple[str, str]]:
    """Kinds of part from the tables."""
    return [(row["key"], _sentence(row["one"])) for row in load("kinds")["parts"]]


def piece_kind_choices() -> list[tuple[str, str]]:
    """Kinds of piece."""
    return [(kind, _sentence(kind)) for kind in KINDS]


def fault_choices() -> list[tuple[str, str]]:
    """Kinds of fault, each with a repair in the tables."""
    return [(row["fault_kind"], _sentence(row["fault_kind"])) for row in load("repairs")["repairs"]]


def cautions(keys: list[str]) -> list[dict[str, str]]:
    """Title and text of the cautions with these keys, in order."""
    return caution_words(keys)
