"""Classes of coating, glue and filler in words, the cautions that come with them, and what a finger found."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _

from tallboy.drawers.shelf.models import Touch
from tallboy.sums.units import format_minutes
from tallboy.tables import load
from tallboy.tables.caution_words import caution_words
from tallboy.tables.coatings import coating

USUAL_CLASSES = (
    "shellac",
    "oil varnish",
    "waterborne varnish",
    "acrylic primer",
    "acrylic paint",
    "boiled linseed oil",
    "wax",
    "hide glue",
    "pva glue",
    "filler",
)
_CAPITALS = {"pva glue": "PVA glue"}


def class_name(key: str) -> str:
    """A class with its capital: "Oil varnish"."""
    return _CAPITALS.get(key, key[:1].upper() + key[1:])


def classes() -> list[Mapping[str, Any]]:
    """All classes of the table, in its order."""
    return list(load("coatings")["coatings"])


def class_choices() -> list[tuple[str, str]]:
    """Classes for a form."""
    return [(row["key"], class_name(row["key"])) for row in classes()]


def usual_shelf() -> list[tuple[str, str]]:
    """Name and class of what stands on most shelves: ready rows for a shop that begins. No maker's names."""
    return [(class_name(key), key) for key in USUAL_CLASSES]


def cautions_of(key: str) -> list[dict[str, str]]:
    """The cautions that come with a class."""
    return caution_words(coating(key)["cautions"])


def stage_asked(key: str) -> str:
    """A stage as the end of "dry enough …"."""
    return {"touch": _("to touch"), "recoat": _("for the next coat"), "cure": _("for use")}[key]


def touch_words(touch: Touch) -> str:
    """What a finger found: "dry enough for the next coat after 3 h 40"."""
    after = format_minutes((touch.at - touch.laid_at).total_seconds() / 60)
    words = {"stage": stage_asked(touch.stage), "after": after}
    if touch.dry:
        return _("dry enough %(stage)s after %(after)s") % words
    return _("not yet dry enough %(stage)s after %(after)s") % words
