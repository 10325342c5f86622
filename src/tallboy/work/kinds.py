"""Words for kinds of part and piece, read from the kinds table."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tallboy.work.reading import rows_in


def kind_names(table: Mapping[str, Any], sort: str = "parts") -> dict[str, tuple[str, str]]:
    """(one, many) for each kind of part, or of piece with `sort` "pieces"; e.g. {"foot": ("foot", "feet")}."""
    return {row["key"]: (row["one"], row["many"]) for row in rows_in(table, sort)}
