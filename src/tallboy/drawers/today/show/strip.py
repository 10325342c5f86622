"""The plan as a drawing: one row a piece, one column a day, hands solid, waits hatched. Plain data in, SVG text out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, tzinfo
from functools import cached_property
from html import escape

NAME_WIDTH, COLUMN, ROW, TOP, BAR, GAP, HEADING = 158, 152, 50, 44, 26, 6, 22
LEAST_WIDTH = 3.0
HANDS = ("hands", "metal")
NAME_FITS = 17


@dataclass(frozen=True)
class Bar:
    """One stretch in a row. `kind` is hands, metal, drying or soaking."""

    start: datetime
    end: datetime
    kind: str


@dataclass(frozen=True)
class Lane:
    """One piece or person: its bars and, where it is promised within the strip, the day it is due.

    With a `heading` the row begins a new part of the drawing, and that says which.
    """

    name: str
    bars: tuple[Bar, ...]
    due: date | None = None
    heading: str = ""


@dataclass(frozen=True)
class Frame:
    """The days across, their names, and the hours that each day column spans, by the shop's clock.

    The days in `narrow` have a column half as wide.
    """

    days: tuple[date, ...]
    opens: time
    closes: time
    tz: tzinfo
    names: tuple[str, ...]
    column_width: float = COLUMN
    gap: float = GAP
    narrow: frozenset[date] = frozenset()

    @cached_property
    def _columns(self) -> dict[date, tuple[float, float]]:
        columns, left = {}, float(NAME_WIDTH)
        for day in self.days:
            right = left + self.column_width / (2 if day in self.narrow else 1)
            columns[day] = left, right - self.gap
            left = right
        return columns

    @property
    def width(self) -> float:
        return self.column(self.days[-1])[1] + self.gap

    def column(self, day: date) -> tuple[float, float]:
        """Left and right edge of a day's column."""
        return self._columns[day]

    def shows(self, start: datetime, end: datetime) -> bool:
        """Whether a stretch lies within the days across."""
        return end.astimezone(self.tz).date() >= self.days[0] and start.astimezone(self.tz).date() <= self.days[-1]

    def x(self, moment: datetime) -> float:
        """Where a moment lies across.

        Outside the hours of its day it sits on that day's nearer edge, on a day that has no column on the edge of the next.
        """
        local = moment.astimezone(self.tz)
        if local.date() < self.days[0]:
            return float(NAME_WIDTH)
        if local.date() > self.days[-1]:
            return self.width - self.gap
        if local.date() not in self._columns:
            return self.column(next(day for day in self.days if day > local.date()))[0]
        left, right = self.column(local.date())
        return left + (right - left) * self._share(local)

    def _share(self, local: datetime) -> float:
        opens, closes = _minutes(self.opens), _minutes(self.closes)
        return min(1.0, max(0.0, (_minutes(local.time()) - opens) / (closes - opens)))


def _minutes(moment: time) -> float:
    return moment.hour * 60 + moment.minute + moment.second / 60


def draw(frame: Frame, lanes: Sequence[Lane], now: datetime, label: str, words: Mapping[str, str]) -> str:
    """The strip as SVG; classes only, so that the page's style and its patterns hold in light, dark and print.

    `words` holds the words for "now" and "due".
    """
    tops, height = [], TOP
    for lane in lanes:
        height += HEADING if lane.heading else 0
        tops.append(height)
        height += ROW
    body = [part for index in range(len(frame.days)) for part in _day(frame, index, height)]
    for lane, top in zip(lanes, tops, strict=True):
        body += _lane(frame, lane, top, words["due"])
    body += _now(frame.x(now), height, words["now"])
    return (
        f'<svg viewBox="0 0 {frame.width:.0f} {height}" role="img" aria-label="{escape(label)}">'
        + "".join(body)
        + "</svg>"
    )


def _day(frame: Frame, index: int, height: int) -> Iterator[str]:
    left, right = frame.column(frame.days[index])
    yield f'<rect class="plan-day" x="{left:.0f}" y="{TOP - 6}" width="{right - left:.0f}" height="{height - TOP + 6}"/>'
    yield f'<text class="plan-text plan-soft" x="{left + 6:.0f}" y="18" font-size="15">{escape(frame.names[index])}</text>'


def _now(x: float, height: int, word: str) -> Iterator[str]:
    yield f'<path class="plan-now" d="M{x:.1f} {TOP - 8}V{height}"/>'
    yield f'<text class="plan-text plan-soft" x="{x + 4:.1f}" y="{TOP - 10}" font-size="12">{escape(word)}</text>'


def _lane(frame: Frame, lane: Lane, y: int, due: str) -> Iterator[str]:
    if lane.heading:
        yield f'<path class="el-dim" d="M0 {y - 12}H{frame.width:.0f}"/>'
        yield f'<text class="plan-text plan-soft" x="2" y="{y + 5}" font-size="14">{escape(lane.heading)}</text>'
    yield f'<text class="plan-text" x="2" y="{y + 30}" font-size="16">{escape(shortened(lane.name, NAME_FITS))}</text>'
    # Waits first: hands-on bars lie over them where a day column squeezes both onto one edge.
    for kind in sorted({bar.kind for bar in lane.bars}, key=lambda kind: (kind in HANDS, kind)):
        shape = outlines(frame, (bar for bar in lane.bars if bar.kind == kind), y + 12, BAR)
        yield f'<path class="plan-{kind}" d="{shape}"/>' if shape else ""
    if lane.due is not None and lane.due in frame.days:
        yield _due(frame.column(lane.due)[1], y, due)


def _due(x: float, y: int, word: str) -> str:
    return (
        f'<path class="plan-due" d="M{x:.0f} {y + 4}v42"/>'
        f'<text class="plan-text plan-due" x="{x - 5:.0f}" y="{y + 10}" font-size="12" text-anchor="end">'
        f"{escape(word)}</text>"
    )


def shortened(name: str, fits: int) -> str:
    """A name that fits into so many letters."""
    return name if len(name) <= fits else name[: fits - 1].rstrip() + "…"


def outlines(frame: Frame, bars: Iterable[Bar], y: float, height: float) -> str:
    """The outlines of bars of one kind as the data of one path: a shape for each would weigh many times as much.

    In whole pixels, and each from where the one before it began, which is shortest.
    """
    edges = [(round(a), round(b)) for a, b in (_edges(frame, bar) for bar in bars) if b > a]
    at = 0
    parts: list[str] = []
    for left, right in edges:
        move = f"m{left - at} 0" if parts else f"M{left} {y:g}"
        parts.append(f"{move}h{max(1, right - left)}v{height:g}h-{max(1, right - left)}z")
        at = left
    return "".join(parts)


def _edges(frame: Frame, bar: Bar) -> tuple[float, float]:
    """Left and right edge of a bar; nothing lies between them where it has no width and need not be seen."""
    left, right = frame.x(bar.start), frame.x(bar.end)
    if bar.kind in HANDS and right - left < LEAST_WIDTH:
        # A short stretch, or one outside the usual hours, is a sliver inside its day's column.
        day = bar.start.astimezone(frame.tz).date()
        edge = frame.column(day)[1] if day in frame.days else frame.width - frame.gap
        left = min(left, edge - LEAST_WIDTH)
        return left, left + LEAST_WIDTH
    # A hair's breadth between one step and the next.
    return (left, max(left + LEAST_WIDTH, right - 1.0)) if bar.kind in HANDS else (left, right)
