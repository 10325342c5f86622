"""Words of the trade's tables as choices on forms."""

from __future__ import annotations

from tallboy.front.ready import KINDS
from tallboy.tables import load
from tallboy.tables.caution_words import caution_words


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
