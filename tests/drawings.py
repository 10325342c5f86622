"""Drawings read back: the one place where tests parse SVG."""

from __future__ import annotations

import re
from xml.etree import ElementTree


def parsed(svg: str) -> ElementTree.Element:
    """The drawing as a tree; fails when it is no well-formed XML."""
    # The parser is not for what strangers send; what is read here was drawn by us a line earlier.
    return ElementTree.fromstring(svg)  # noqa: S314


def bars(svg: str, *classes: str) -> list[tuple[float, float]]:
    """Left and right edge of each bar that a drawing has in outlines of these classes."""
    found = []
    for shape in (one.get("d", "") for one in parsed(svg).iter("path") if one.get("class") in classes):
        at = 0.0
        for move, x, width in re.findall(r"([Mm])(-?[\d.]+) [\d.]+h([\d.]+)v", shape):
            at = float(x) if move == "M" else at + float(x)
            found.append((at, at + float(width)))
    return found
