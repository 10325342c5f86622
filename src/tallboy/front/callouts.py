"""Where the numbered circles go: beside their fitting, clear of each other, with a short leader line.

Each circle in turn tries places around its fitting, nearest first, and takes the one that costs least: what matters
is, in this order, that circles never overlap, that they stay on the sheet, that they do not hide another fitting, and
that they keep inside their own drawer or door. When there is not room for all, all become smaller together.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tallboy.front.view import Rect

RADIUS_SHARE = 0.026
APART_SHARE = 1 / 15  # of the sheet's width: 24 px on a phone where the drawing is 360 px wide
SHRINKS = (1.0, 0.9, 0.8, 0.7, 0.6, 0.5, 0.42, 0.35, 0.3, 0.25, 0.2, 0.16, 0.12, 0.09, 0.06)
TURNS = 16
REACHES = (0.3, 0.7, 1.2, 1.9, 2.8, 4.0)
CROSSED, COVERED, OVER_EDGE, CROOKED = 7.0, 5.0, 1.6, 0.25
SMALLER, SMALLEST_WANTED = 1.5, 0.7  # what it costs to draw all circles smaller, and how small to try for better places


@dataclass(frozen=True, slots=True)
class Mark:
    """What a circle belongs to: the fitting's place on paper, and the bay it sits on, if any."""

    fitting: Rect
    home: Rect | None = None


@dataclass(frozen=True, slots=True)
class Callout:
    """A circle on paper and where its leader line meets the fitting."""

    x: float
    y: float
    r: float
    to_x: float
    to_y: float


class _Near:
    """Points in cells, so that only the near ones need be looked at."""

    def __init__(self, cell: float) -> None:
        self.cell = cell
        self.cells: dict[tuple[int, int], list[int]] = {}

    def add(self, index: int, x: float, y: float) -> None:
        self.cells.setdefault((int(x // self.cell), int(y // self.cell)), []).append(index)

    def around(self, x: float, y: float) -> Iterator[int]:
        across, down = int(x // self.cell), int(y // self.cell)
        for column in range(across - 1, across + 2):
            for line in range(down - 1, down + 2):
                yield from self.cells.get((column, line), ())


def place(marks: Sequence[Mark], sheet: Rect, width: float) -> tuple[Callout, ...]:
    """One circle for each mark, in order; `sheet` is where circles may lie, `width` the width of the whole drawing."""
    best: tuple[float, tuple[Callout, ...]] | None = None
    for shrink in SHRINKS:
        attempt = _Attempt(marks, sheet, RADIUS_SHARE * width * shrink, APART_SHARE * width * shrink)
        if not attempt.all_placed():
            continue
        price = attempt.awkward + SMALLER * len(marks) * (1 - shrink)
        if best is None or price < best[0]:
            best = price, tuple(attempt.placed)
        if shrink <= SMALLEST_WANTED:
            break
    if best:
        return best[1]
    return _on_grid(marks, sheet)


def _on_grid(marks: Sequence[Mark], sheet: Rect) -> tuple[Callout, ...]:
    """For a front so crowded that nothing else is possible: each circle in the nearest free cell of a grid."""
    cell = math.sqrt(sheet.w * sheet.h / (3 * len(marks)))
    columns, lines = range(int(sheet.w // cell)), range(int(sheet.h // cell))
    free = {(sheet.x + (c + 0.5) * cell, sheet.y + (n + 0.5) * cell) for c in columns for n in lines}
    out = []
    for mark in marks:
        x, y = mark.fitting.middle
        best = min(sorted(free), key=lambda at: math.hypot(at[0] - x, at[1] - y))
        free.remove(best)
        out.append(Callout(*best, 0.4 * cell, x, y))
    return tuple(out)


class _Attempt:
    """One try with a radius and a distance between centres."""

    def __init__(self, marks: Sequence[Mark], sheet: Rect, radius: float, apart: float) -> None:
        self.marks, self.sheet, self.r, self.apart = marks, sheet, radius, apart
        self.placed: list[Callout] = []
        self.awkward = 0.0
        self.circles = _Near(max(apart, 1.0) * 2)
        self.fittings = _Near(max(radius * 3, 6.0))
        for index, mark in enumerate(marks):
            self.fittings.add(index, *mark.fitting.middle)

    def all_placed(self) -> bool:
        """Place all circles; False when there is no room for one of them."""
        for index in range(len(self.marks)):
            best = min(self._costed(index), key=lambda one: one[0], default=None)
            if best is None:
                return False
            self.awkward += max(0.0, best[0] - best[1])
            self._take(best[2])
        return True

    def _take(self, callout: Callout) -> None:
        self.circles.add(len(self.placed), callout.x, callout.y)
        self.placed.append(callout)

    def _costed(self, index: int) -> Iterator[tuple[float, float, Callout]]:
        """The places that are free: what each costs, how much of that is mere distance, and the circle."""
        mark = self.marks[index]
        for turn in range(TURNS):
            angle = 2 * math.pi * turn / TURNS
            for reach in REACHES:
                callout = self._at(mark.fitting, angle, reach * self.r)
                if self._free(callout):
                    yield self._cost(index, callout, reach, turn), reach + CROOKED, callout

    def _at(self, fitting: Rect, angle: float, gap: float) -> Callout:
        """A circle in a direction from the fitting's middle, clear of the fitting by a gap."""
        dx, dy = math.cos(angle), math.sin(angle)
        edges = [half / abs(part) for half, part in ((fitting.w / 2, dx), (fitting.h / 2, dy)) if abs(part) > 1e-9]
        edge = min(edges)
        x, y = fitting.middle
        far = edge + gap + self.r
        return Callout(x + dx * far, y + dy * far, self.r, x + dx * edge, y + dy * edge)

    def _free(self, callout: Callout) -> bool:
        if not self.sheet.holds(callout.x, callout.y, callout.r):
            return False
        near = (self.placed[index] for index in self.circles.around(callout.x, callout.y))
        return all(math.hypot(callout.x - one.x, callout.y - one.y) >= self.apart for one in near)

    def _cost(self, index: int, callout: Callout, reach: float, turn: int) -> float:
        cost = reach + (0.0 if turn % 4 == 0 else CROOKED) + 0.02 * turn
        for other in self.fittings.around(callout.x, callout.y):
            if other != index and self.marks[other].fitting.gap(callout.x, callout.y) < self.r + 0.3:
                cost += COVERED
        for other in self.circles.around((callout.x + callout.to_x) / 2, (callout.y + callout.to_y) / 2):
            one = self.placed[other]
            if _distance(one.x, one.y, callout) < one.r or _distance(callout.x, callout.y, one) < self.r:
                cost += CROSSED
        return cost + self._over_edge(index, callout)

    def _over_edge(self, index: int, callout: Callout) -> float:
        home = self.marks[index].home
        if home is None or home.holds(callout.x, callout.y, self.r):
            return 0.0
        return OVER_EDGE if home.gap(callout.x, callout.y) >= self.r else 1.5 * OVER_EDGE


def _distance(x: float, y: float, line: Callout) -> float:
    """Distance from a point to a leader line."""
    ax, ay, bx, by = line.to_x, line.to_y, line.x, line.y
    length = (bx - ax) ** 2 + (by - ay) ** 2
    along = 0.0 if length == 0 else max(0.0, min(1.0, ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / length))
    return math.hypot(x - ax - along * (bx - ax), y - ay - along * (by - ay))


def hit_radius(index: int, placed: Sequence[Callout], wanted: float) -> float:
    """How far around a circle a touch may count: as wanted, or halfway to the nearest other circle."""
    one = placed[index]
    others = (math.hypot(one.x - two.x, one.y - two.y) / 2 for at, two in enumerate(placed) if at != index)
    return max(one.r, min(wanted, min(others, default=wanted)))
