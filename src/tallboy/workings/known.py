"""All sums that can be asked, by name and by family."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Mapping
from difflib import get_close_matches
from functools import cache

import tallboy.workings
from tallboy.errors import NotFound
from tallboy.workings.kinds import Working

FAMILIES: Mapping[str, str] = {
    "air": "Air and dew",
    "wood": "Wood and its movement",
    "film": "Coats and quantities",
    "drying": "Drying",
    "solubility": "What lifts what",
    "vapour": "Vapour and fresh air",
    "metal": "Metals",
    "hold": "Screws and hinges",
    "wheel": "Wheels and feet",
    "shade": "Tone and colour",
    "price": "Price",
    "units": "Units",
}
"""The families in the order they are shown, with their words."""


@cache
def all_workings() -> Mapping[str, Working]:
    """Every sum by its name, family by family."""
    found: dict[str, Working] = {}
    for info in pkgutil.iter_modules(tallboy.workings.__path__, "tallboy.workings."):
        for working in getattr(importlib.import_module(info.name), "SUMS", ()):
            if working.name in found:
                raise ValueError(f"two sums are called {working.name}")
            found[working.name] = working
    order = list(FAMILIES)
    return dict(sorted(found.items(), key=lambda item: order.index(item[1].family)))


def working(name: str) -> Working:
    """The sum with this name; NotFound tells the nearest ones."""
    known = all_workings()
    if name not in known:
        near = get_close_matches(name, known, n=3, cutoff=0.5)
        raise NotFound(
            f"There is no sum called “{name}”.",
            f"Did you mean: {', '.join(near)}?" if near else "`tallboy sum` lists them.",
        )
    return known[name]
