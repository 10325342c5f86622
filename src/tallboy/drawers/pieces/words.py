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

AREA_GROUPS = {
    "top": gettext_lazy("Top"),
    "trays": gettext_lazy("Trays"),
    "sides": gettext_lazy("Sides"),
    "front frame": gettext_lazy("Front frame"),
    "drawer fronts": gettext_lazy("Drawer fronts"),
    "doors": gettext_lazy("Doors"),
    "legs": gettext_lazy("Legs"),
    "inside": gettext_lazy("Inside"),
    "shelves": gettext_lazy("Shelves"),
    "drawers inside": gettext_lazy("Drawers, inside"),
    "drawers outside": gettext_lazy("Drawers, outside"),
    "back": gettext_lazy("Back"),
    "mouldings": gettext_lazy("Mouldings"),
    "turnings": gettext_lazy("Turned legs"),
}
"""What groups of surfaces are called on the page of areas."""
AREA_FACES = {
    "one face, three edges": gettext_lazy("one face, three edges"),
    "two faces, four edges": gettext_lazy("two faces, four edges"),
    "both faces, four edges": gettext_lazy("both faces, four edges"),
    "two faces, one edge": gettext_lazy("two faces, one edge"),
    "five faces": gettext_lazy("five faces"),
    "four sides": gettext_lazy("four sides"),
    "less drawers, doors and bays": gettext_lazy("less drawers, doors and bays"),
    "bottom, four sides, upper edges": gettext_lazy("bottom, four sides, upper edges"),
    "sides, back, underside": gettext_lazy("sides, back, underside"),
    "girth by length": gettext_lazy("girth by length"),
    "girth by run": gettext_lazy("girth by run"),
}
"""Which faces of a thing count, in words."""
AREA_NOTES = {
    "mouldings": gettext_lazy("mouldings"),
    "turnings": gettext_lazy("turnings"),
    "carving": gettext_lazy("carving"),
    "the underside": gettext_lazy("the underside"),
    "whatever is inside": gettext_lazy("whatever is inside"),
    "shelves behind doors": gettext_lazy("shelves behind doors"),
    "the case behind drawers": gettext_lazy("the case behind drawers"),
    "raised fields of panels": gettext_lazy("raised fields of panels"),
    "a plain case": gettext_lazy("a plain case"),
    "the seat as wood on both faces": gettext_lazy("the seat as wood on both faces"),
    "sticks as square as they are drawn": gettext_lazy("sticks as square as they are drawn"),
    "legs and feet as thick as they are drawn": gettext_lazy("legs and feet as thick as they are drawn"),
    "the upper part as deep as the lower": gettext_lazy("the upper part as deep as the lower"),
}
"""What a sum of areas leaves out and takes for granted, in words."""


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
