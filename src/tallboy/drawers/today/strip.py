"""The plan as a drawing: one row a piece, one column a day, hands solid, waits hatched. Plain data in, SVG text out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, tzinfo
from html import escape

NAME_WIDTH, COLUMN, ROW, TOP, BAR, GAP = 150, 150, 46, 34, 24, 4


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
    """The days across and the hours that each day column spans, by the shop's clock."""

    days: tuple[date, ...]
    opens: time
    closes: time
    tz: tzinfo

    @property
    def width(self) -> int:
        return NAME_WIDTH + COLUMN * len(self.days)

    def x(self, moment: datetime) -> float:
        """Where a moment lies across; a moment outside the hours of its day sits on that day's nearer edge."""
        local = moment.astimezone(self.tz)
        if local.date() < self.days[0]:
            return float(NAME_WIDTH)
        if local.date() > self.days[-1]:
            return float(self.width)
        behind = sum(1 for day in self.days if day < local.date())
        if local.date() not in self.days:
            return float(NAME_WIDTH + COLUMN * behind)
        return NAME_WIDTH + COLUMN * behind + (COLUMN - GAP) * self._share(local)

    def _share(self, local: datetime) -> float:
        opens, closes = _minutes(self.opens), _minutes(self.closes)
        return min(1.0, max(0.0, (_minutes(local.time()) - opens) / (closes - opens)))


def _minutes(moment: time) -> float:
    return moment.hour * 60 + moment.minute + moment.second / 60


def draw(frame: Frame, lanes: Sequence[Lane], now: datetime, label: str, due_word: str) -> str:
    """The strip as SVG; classes only, so that the page's style and its patterns hold in light, dark and print."""
    height = TOP + ROW * len(lanes)
    body = [_day(frame, index, day, height) for index, day in enumerate(frame.days)]
    for index, lane in enumerate(lanes):
        body.append(_lane(frame, lane, TOP + ROW * index, due_word))
    x = frame.x(now)
    body.append(f'<path class="plan-now" d="M{x:.1f} {TOP - 8}V{height}"/>')
    return (
        f'<svg viewBox="0 0 {frame.width} {height}" role="img" aria-label="{escape(label)}">' + "".join(body) + "</svg>"
    )


def _day(frame: Frame, index: int, day: date, height: int) -> str:
    x = NAME_WIDTH + COLUMN * index
    return (
        f'<rect class="plan-day" x="{x}" y="{TOP - 8}" width="{COLUMN - GAP}" height="{height - TOP + 8}"/>'
        f'<text class="plan-text plan-soft" x="{x + 6}" y="18" font-size="14">{day:%a} {day.day}</text>'
    )


def _lane(frame: Frame, lane: Lane, y: int, due_word: str) -> str:
    parts = [f'<text class="plan-text" x="0" y="{y + 24}" font-size="15">{escape(_short(lane.name))}</text>']
    # Waits first: hands-on bars lie over them where a day column squeezes both onto one edge.
    for bar in sorted(lane.bars, key=lambda bar: bar.kind in ("hands", "metal")):
        parts.append(_bar(frame, bar, y + 7))
    if lane.due is not None and lane.due in frame.days:
        x = NAME_WIDTH + COLUMN * frame.days.index(lane.due) + COLUMN - GAP
        parts.append(f'<path class="plan-due" d="M{x} {y + 2}v34"/>')
        parts.append(
            f'<text class="plan-text plan-due" x="{x - 4}" y="{y + 42}" font-size="11" text-anchor="end">'
            f"{escape(due_word)}</text>"
        )
    return "".join(parts)


def _short(name: str) -> str:
    return name if len(name) <= 19 else name[:18].rstrip() + "…"


def _bar(frame: Frame, bar: Bar, y: int) -> str:
    left, right = frame.x(bar.start), frame.x(bar.end)
    width = max(right - left, 2.5 if bar.kind in ("hands", "metal") else 0.0)
    if width <= 0:
        return ""
    return (
        f'<rect class="plan-{bar.kind}" x="{left:.1f}" y="{y}" width="{width:.1f}" height="{BAR}">'
        f"<title>{escape(bar.title)}</title></rect>"
    )
