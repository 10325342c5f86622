"""Reads the data files that published checks name. They stay where they were gathered and are not part of tallboy."""

from __future__ import annotations

import csv
from collections.abc import Callable, Mapping


def tone_pairs(text: str) -> dict[str, list[list[float]] | list[float]]:
    """Pairs of tones in columns L1, a1, b1, L2, a2, b2 and dE00: both tones, and their differences."""
    rows = list(csv.DictReader(text.splitlines()))
    return {
        "first": [[float(row[name]) for name in ("L1", "a1", "b1")] for row in rows],
        "second": [[float(row[name]) for name in ("L2", "a2", "b2")] for row in rows],
        "difference": [float(row["dE00"]) for row in rows],
    }


READERS: Mapping[str, Callable[[str], object]] = {"tone pairs": tone_pairs}
"""How a file is read, by the name that a check gives as `read`: text of the file in, plain lists and numbers out."""
