"""Reads a table of the trade's numbers. The tables lie beside this file and every row in them names its source."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any

from tallboy.errors import BadFile, NotFound

NAMES = tuple(
    sorted(file.name.removesuffix(".toml") for file in files(__package__).iterdir() if file.name.endswith(".toml"))
)
"""Every table that lies here."""


@cache
def load(name: str) -> dict[str, Any]:
    """One table as it stands in its file, such as load("coatings")["coatings"].

    It is read once and shared: take a copy before you change anything in it.
    """
    if name not in NAMES:
        raise NotFound(f"There is no table called “{name}”.", f"There are: {', '.join(NAMES)}.")
    try:
        return tomllib.loads(files(__package__).joinpath(f"{name}.toml").read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise BadFile(f"The table {name}.toml cannot be read: {error}.", "Install tallboy anew.") from None
