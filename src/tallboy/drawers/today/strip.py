"""The plan as a drawing: one row a piece, one column a day, hands solid, waits hatched. Plain data in, SVG text out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, tzinfo
from html import escape

NAME_WIDTH, COLUMN, ROW, TOP, BAR, GAP = 158, 152, 50, 44, 26, 6
LEAST_WIDTH = 3.0
HANDS = ("hands", "metal")
NAME_FITS, TITLE_FITS = 19, 24


@dataclass(frozen=True)
class Bar:
    """One stretch in a row. `kind` is hands, metal, drying or soaking."""

    start: datetime
    end: datetime
    kind: str
    title: str


@dataclass(frozen=True)
class Lane:
    """One piece: its bars and, where it is promised within the strip, the day it is due."""

    name: str
    bars: tuple[Bar, ...]
    due: date | None = None


@dataclass(frozen=True)
class Frame:
    """The days across, their names, and the hours that each day column spans, by the shop's clock."""

    days: tuple[date, ...]
    opens: time
    closes: time
    tz: tzinfo
    names: tuple[str, ...]

    @property
    def width(self) -> int:
        return NAME_WIDTH + COLUMN * len(self.days)

    def column(self, day: date) -> tuple[float, float]:
        """Left and right edge of a day's column."""
        left = NAME_WIDTH + COLUMN * self.days.index(day)
        return float(left), float(left + COLUMN - GAP)

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
            return float(self.width - GAP)
        if local.date() not in self.days:
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
    height = TOP + ROW * len(lanes)
    body = [part for index in range(len(frame.days)) for part in _day(frame, index, height)]
    for index, lane in enumerate(lanes):
        body += _lane(frame, lane, TOP + ROW * index, words["due"])
    body += _now(frame.x(now), height, words["now"])
    return (
        f'<svg viewBox="0 0 {frame.width} {height}" role="img" aria-label="{escape(label)}">' + "".join(body) + "</svg>"
    )


def _day(frame: Frame, index: int, height: int) -> Iterator[str]:
    left, right = frame.column(frame.days[index])
    yield f'<rect class="plan-day" x="{left:.0f}" y="{TOP - 6}" width="{right - left:.0f}" height="{height - TOP + 6}"/>'
    yield f'<text class="plan-text plan-soft" x="{left + 6:.0f}" y="18" font-size="15">{escape(frame.names[index])}</text>'


def _now(x: float, height: int, word: str) -> Iterator[str]:
    yield f'<path class="plan-now" d="M{x:.1f} {TOP - 8}V{height}"/>'
    yield f'<text class="plan-text plan-soft" x="{x + 4:.1f}" y="{TOP - 10}" font-size="12">{escape(word)}</text>'


def _lane(frame: Frame, lane: Lane, y: int, due: str) -> Iterator[str]:
    yield f'<text class="plan-text" x="2" y="{y + 30}" font-size="16">{escape(_short(lane.name, NAME_FITS))}</text>'
    # Waits first: hands-on bars lie over them where a day column squeezes both onto one edge.
    for kind in sorted({bar.kind for bar in lane.bars}, key=lambda kind: (kind in HANDS, kind)):
        yield f'<g class="plan-{kind}" transform="translate(0 {y + 12})">'
        yield from (_bar(frame, bar) for bar in lane.bars if bar.kind == kind)
        yield "</g>"
    if lane.due is not None and lane.due in frame.days:
        yield _due(frame.column(lane.due)[1], y, due)


def _due(x: float, y: int, word: str) -> str:
    return (
        f'<path class="plan-due" d="M{x:.0f} {y + 4}v42"/>'
        f'<text class="plan-text plan-due" x="{x - 5:.0f}" y="{y + 10}" font-size="12" text-anchor="end">'
        f"{escape(word)}</text>"
    )


def _short(name: str, fits: int) -> str:
    return name if len(name) <= fits else name[: fits - 1].rstrip() + "…"


def _bar(frame: Frame, bar: Bar) -> str:
    left, right = frame.x(bar.start), frame.x(bar.end)
    if bar.kind in HANDS and right - left < LEAST_WIDTH:
        # A short stretch, or one outside the usual hours, is a sliver inside its day's column.
        day = bar.start.astimezone(frame.tz).date()
        left = min(left, (frame.column(day)[1] if day in frame.days else frame.width - GAP) - LEAST_WIDTH)
        right = left + LEAST_WIDTH
    elif bar.kind in HANDS:
        # A hair's breadth between one step and the next.
        right = max(left + LEAST_WIDTH, right - 1.0)
    if right <= left:
        return ""
    box = f'<rect x="{left:.1f}" width="{right - left:.1f}" height="{BAR}"'
    # What rests is told in the list of what dries; a title on each bar would weigh more than the drawing.
    return f"{box}><title>{escape(_short(bar.title, TITLE_FITS))}</title></rect>" if bar.kind in HANDS else f"{box}/>"
