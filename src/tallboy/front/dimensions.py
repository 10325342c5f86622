"""Dimension lines with ticks: the width below, the height at the right, the rows in a chain at the left."""

from __future__ import annotations

import re

from tallboy.front.layout import Box
from tallboy.front.svg import path, points, shape, text, text_width
from tallboy.front.view import View
from tallboy.sums.units import format_length

TICK = 1.2
OFF = 15.0
CHAIN_OFF = 14.5
SIZE_SHARE = 0.026
_ROW = re.compile(r"^(front\.(?:upper\.)?rows\[\d+\])")


def dimensions(found: tuple[Box, ...], size: tuple[float, float], view: View, sheet_width: float, units: str) -> str:
    """All dimension lines of a front whose piece is `size` [mm] wide and high."""
    letters = min(SIZE_SHARE * sheet_width, 4.2)
    width, height = size
    left, right = view.x(0), view.x(max(box.right for box in found))
    first_right, floor, top = view.x(width), view.floor, view.y(height)
    across = _across(left, first_right, floor + OFF, format_length(width, units), letters)
    down = _down(right + OFF, top, floor, format_length(height, units), letters)
    feet = _extensions(
        ((left, floor + 1, left, floor + OFF + TICK), (first_right, floor + 1, first_right, floor + OFF + TICK))
    )
    sides = _extensions(((right + 1, top, right + OFF + TICK, top), (right + 9, floor, right + OFF + TICK, floor)))
    chain = _chain(found, view, left - CHAIN_OFF, letters * 0.86, units)
    return feet + sides + across + down + chain


def _extensions(lines: tuple[tuple[float, float, float, float], ...]) -> str:
    return path("el-dim", "".join(points((x1, y1), (x2, y2)) for x1, y1, x2, y2 in lines))


def _tick(x: float, y: float) -> str:
    return points((x - TICK * 0.7, y + TICK * 0.7), (x + TICK * 0.7, y - TICK * 0.7))


def _across(left: float, right: float, y: float, words: str, letters: float) -> str:
    """A level dimension line. A text wider than its line stands below it."""
    line = path("el-dim", points((left, y), (right, y)) + _tick(left, y) + _tick(right, y))
    wide, middle = text_width(words, letters) + 2, (left + right) / 2
    if wide > right - left - 4:
        return line + text("el-dim-text", words, x=middle, y=y + letters * 1.25, font_size=letters)
    patch = shape("rect", "el-sheet", x=middle - wide / 2, y=y - letters * 0.6, width=wide, height=letters * 1.2)
    return line + patch + text("el-dim-text", words, x=middle, y=y + letters * 0.35, font_size=letters)


def _down(x: float, top: float, bottom: float, words: str, letters: float) -> str:
    """An upright dimension line with its text turned; where the text is longer, it stands beside the line."""
    line = path("el-dim", points((x, top), (x, bottom)) + _tick(x, top) + _tick(x, bottom))
    wide, middle = text_width(words, letters) + 2, (top + bottom) / 2
    if wide > bottom - top - 4:
        turned = _turned(x + letters * 0.95, middle, words, letters)
        return line + turned
    patch = shape("rect", "el-sheet", x=x - letters * 0.6, y=middle - wide / 2, width=letters * 1.2, height=wide)
    return line + patch + _turned(x + letters * 0.35, middle, words, letters)


def _turned(x: float, y: float, words: str, letters: float) -> str:
    return text("el-dim-text", words, x=x, y=y, font_size=letters, transform=f"rotate(-90 {x:.2f} {y:.2f})")


def row_spans(found: tuple[Box, ...]) -> list[tuple[float, float]]:
    """Lower and upper edge [mm] of each row of the first copy, nested rows left out, from the top."""
    spans: dict[str, tuple[float, float]] = {}
    for box in found:
        match = _ROW.match(box.path) if box.copy == 0 else None
        if match:
            low, high = spans.get(match[1], (box.y, box.top))
            spans[match[1]] = (min(low, box.y), max(high, box.top))
    return sorted(spans.values(), key=lambda span: -span[1])


def _chain(found: tuple[Box, ...], view: View, x: float, letters: float, units: str) -> str:
    """The heights of the rows, one above the other; left out where there is a single row."""
    spans = row_spans(found)
    if len(spans) < 2:
        return ""
    lines, words = "", ""
    for low, high in spans:
        top, bottom = view.y(high), view.y(low)
        lines += points((x, top), (x, bottom)) + _tick(x, top) + _tick(x, bottom)
        said = format_length(round(high - low), units).removesuffix(" mm").removesuffix(" in")
        if text_width(said, letters) < bottom - top - 0.6:
            words += _turned(x - 0.9, (top + bottom) / 2, said, letters)
        elif letters < bottom - top and text_width(said, letters) < x - 2.4:
            words += text(
                "el-dim-text",
                said,
                x=x - 1.2,
                y=(top + bottom) / 2 + letters * 0.35,
                font_size=letters,
                text_anchor="end",
            )
    return path("el-dim", lines) + words
