"""How time and gap grow with the number of pieces, as a drawing (SVG)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

WIDE, HIGH, EDGE = 640, 360, 60


@dataclass(frozen=True)
class Grown:
    """One size of shop: the seconds of the first plan, and the gap when the time was up."""

    pieces: int
    seconds: float
    gap: float


def drawing(rows: Sequence[Grown]) -> str:
    """Two lines over the number of pieces: seconds to the first plan (left scale) and gap in % (right scale)."""
    most = max((row.pieces for row in rows), default=1)
    slowest = max([1.0, *(row.seconds for row in rows)])
    quick = [(row.pieces / most, row.seconds / slowest) for row in rows]
    gaps = [(row.pieces / most, row.gap) for row in rows]
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE} {HIGH}" font-family="sans-serif" font-size="13">',
        "<title>First plan and gap by the number of pieces</title>",
        f'<path d="M{EDGE} {EDGE}V{HIGH - EDGE}H{WIDE - EDGE}V{EDGE}" fill="none" stroke="#555"/>',
        _line(quick, "#1f5f8b", "none"),
        _line(gaps, "#8b4a1f", "6 4"),
        *(_text(*_at(row.pieces / most, -0.08), str(row.pieces)) for row in rows),
        _text(EDGE, EDGE - 24, f"first plan [s], up to {slowest:.2g} (full line)", "start"),
        _text(WIDE - EDGE, EDGE - 8, "gap [%], up to 100 (dashed)", "end"),
        _text(WIDE / 2, HIGH - 16, "pieces of 45 steps, two pairs of hands"),
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


def _at(x: float, y: float) -> tuple[float, float]:
    return EDGE + x * (WIDE - 2 * EDGE), HIGH - EDGE - y * (HIGH - 2 * EDGE)


def _line(points: Sequence[tuple[float, float]], colour: str, dashes: str) -> str:
    path = " ".join(f"{x:.1f},{y:.1f}" for x, y in (_at(*point) for point in points))
    return f'<polyline points="{path}" fill="none" stroke="{colour}" stroke-width="2" stroke-dasharray="{dashes}"/>'


def _text(x: float, y: float, words: str, anchor: str = "middle") -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">{words}</text>'
