"""Reads the data files that published checks name. They stay where they were gathered and are not part of tallboy.

A file that is not as it should be raises ValueError or LookupError.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping


def tone_pairs(text: str) -> dict[str, list[list[float]] | list[float]]:
    """Pairs of tones under a heading, with commas: number, L1, a1, b1, L2, a2, b2, dE00. Both tones, and their differences."""
    rows = [[_number(part) for part in line.split(",")] for line in text.splitlines()[1:] if line.strip()]
    return {
        "first": [row[1:4] for row in rows],
        "second": [row[4:7] for row in rows],
        "difference": [row[7] for row in rows],
    }


def points(text: str) -> list[list[float]]:
    """A count, then points in space that lie in a plane square to one of the axes: pairs without that axis."""
    count, *lines = [line for line in text.splitlines() if line.strip()]
    rows = [[_number(part) for part in line.split()] for line in lines]
    if len(rows) != int(count):
        raise ValueError(f"{len(rows)} points where {count} were told")
    columns = [column for column in zip(*rows, strict=True) if max(column) > min(column)]
    return [list(pair) for pair in zip(*columns, strict=True)]


def circle(text: str) -> list[float]:
    """Centre in space, normal and diameter, one number a line: the centre without the axis of the normal, and the radius."""
    numbers = [_number(line) for line in text.split()]
    along = max(range(3), key=lambda axis: abs(numbers[3 + axis]))
    return [*(numbers[axis] for axis in range(3) if axis != along), numbers[6] / 2]


def _number(text: str) -> float:
    """A number as it stands; ValueError for text, and for what is not finite."""
    number = float(text)
    if not math.isfinite(number):
        raise ValueError(f"{text} is no number")
    return number


READERS: Mapping[str, Callable[[str], object]] = {"circle": circle, "points": points, "tone pairs": tone_pairs}
"""How a file is read, by the name that a check gives as `read`: text of the file in, plain lists and numbers out."""
