"""From millimetres on the piece to millimetres on paper. On paper y runs down from the top, as in SVG."""

from __future__ import annotations

from dataclasses import dataclass

from tallboy.front.layout import Box

SCALES = (1, 2, 5, 10, 20, 50, 100, 200)


@dataclass(frozen=True, slots=True)
class View:
    """A scale of 1 : `scale`, with the piece's bottom left corner at `left`, `floor` on paper."""

    scale: int
    left: float
    floor: float

    def x(self, mm: float) -> float:
        """Place across on paper."""
        return self.left + mm / self.scale

    def y(self, mm: float) -> float:
        """Place down on paper."""
        return self.floor - mm / self.scale

    def size(self, mm: float) -> float:
        """Length on paper."""
        return mm / self.scale

    def rect(self, box: Box, inset: float = 0.0) -> Rect:
        """A box on paper, drawn in by `inset` mm of paper on each side."""
        x, y = self.x(box.x) + inset, self.y(box.top) + inset
        return Rect(x, y, self.size(box.w) - 2 * inset, self.size(box.h) - 2 * inset)


@dataclass(frozen=True, slots=True)
class Rect:
    """A rectangle on paper [mm], from its top left corner."""

    x: float
    y: float
    w: float
    h: float

    @property
    def right(self) -> float:
        """Its right edge."""
        return self.x + self.w

    @property
    def bottom(self) -> float:
        """Its lower edge."""
        return self.y + self.h

    @property
    def middle(self) -> tuple[float, float]:
        """Its centre."""
        return self.x + self.w / 2, self.y + self.h / 2

    def grown(self, by: float) -> Rect:
        """The rectangle with a margin around it; negative draws it in."""
        return Rect(self.x - by, self.y - by, self.w + 2 * by, self.h + 2 * by)

    def holds(self, x: float, y: float, radius: float = 0.0) -> bool:
        """Whether a circle lies inside."""
        across = self.x + radius <= x <= self.right - radius
        return across and self.y + radius <= y <= self.bottom - radius

    def gap(self, x: float, y: float) -> float:
        """Distance from a point to the rectangle; 0 inside."""
        dx = max(self.x - x, 0.0, x - self.right)
        dy = max(self.y - y, 0.0, y - self.bottom)
        return float((dx * dx + dy * dy) ** 0.5)
