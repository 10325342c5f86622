"""The air as a drawing: temperature over dew point above, humidity below, forecast hatched. Plain data in, SVG text out.

Lines are told apart by their dashes, never by colour alone: temperature solid, dew point dashed, humidity dotted.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from html import escape

import numpy as np
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from numpy.typing import NDArray

from tallboy.book.models import Shop
from tallboy.drawers.air.days import COLD_NIGHT, dew_points, moments
from tallboy.sums.air import AirSeries
from tallboy.sums.air_series import HOUR

Array = NDArray[np.float64]
LATELY = timedelta(days=21)
LEFT, TOP, GAP, FOOT = 44, 12, 26, 26
LINES = {"temperature": "", "dew": ' stroke-dasharray="7 4"', "humidity": ' stroke-dasharray="1.5 3.5"'}
NIGHT = (18, 9)
"""A night is from this hour to that hour of the next morning, by the shop's clock."""


@dataclass(frozen=True)
class Size:
    """How large a drawing is and how much it shows: width and heights of both panels [px], days back, days between dates."""

    width: int
    upper: int
    lower: int
    days: int
    every: int
    letters: int

    @property
    def height(self) -> int:
        return TOP + self.upper + GAP + self.lower + FOOT


WIDE = Size(1060, 230, 100, 21, 2, 13)
NARROW = Size(360, 200, 80, 6, 2, 12)


@dataclass(frozen=True)
class _Frame:
    """Where a moment lies across, and where a value lies down in a panel."""

    size: Size
    start: datetime
    hours: int

    def x(self, hour: float) -> float:
        return LEFT + (self.size.width - LEFT - 6) * hour / max(1, self.hours - 1)

    def xs(self) -> Array:
        return LEFT + (self.size.width - LEFT - 6) * np.arange(self.hours) / max(1, self.hours - 1)


@dataclass(frozen=True)
class _Panel:
    """One scale: its top [px], its height [px], its lowest and highest value."""

    top: int
    height: int
    low: float
    high: float

    def y(self, values: Array) -> Array:
        return self.top + self.height * (1 - (values - self.low) / (self.high - self.low))


def chart(series: AirSeries, shop: Shop, now: datetime, size: Size) -> str:
    """The drawing of the last days and the forecast."""
    series = _cut(series, now, size)
    frame = _Frame(size, series.start, series.hours)
    dew = dew_points(series)
    past = _past(series, now)
    degrees = _in_shop(series.celsius, shop), _in_shop(dew, shop)
    spread = series.spread_celsius * (1.8 if shop.imperial else 1.0)
    upper = _panel(
        TOP, size.upper, np.concatenate([*degrees, (degrees[0] + spread)[past:], (degrees[0] - spread)[past:]])
    )
    lower = _Panel(TOP + size.upper + GAP, size.lower, 0.0, 100.0)
    clock = moments(series, shop)
    body = [
        _ground(frame, upper, lower, clock),
        _scale(frame, upper, 5 if not shop.imperial else 10, "°F" if shop.imperial else "°C"),
        _scale(frame, lower, 50, "%"),
        _band(frame, upper, degrees[0], spread, past),
        _band(frame, lower, series.relative_humidity, series.spread_humidity, past),
        _line(frame, upper, degrees[1], series, past, "dew"),
        _line(frame, upper, degrees[0], series, past, "temperature"),
        _line(frame, lower, series.relative_humidity, series, past, "humidity"),
        _cold(frame, upper, degrees[0], series, clock, past, size),
        _now(frame, past, lower),
    ]
    label = _("The shop's air, the same as the table below it")
    return (
        f'<svg viewBox="0 0 {size.width} {size.height}" role="img" aria-label="{escape(label)}">{"".join(body)}</svg>'
    )


def _cut(series: AirSeries, now: datetime, size: Size) -> AirSeries:
    """No more days back than the drawing is wide enough for."""
    first = int((now - timedelta(days=size.days) - series.start) / HOUR)
    last = series.hours - 1 if size.days > 7 else min(series.hours - 1, first + (size.days + 2) * 24)
    return series.part(max(0, first), last)


def _past(series: AirSeries, now: datetime) -> int:
    """How many hours are not forecast."""
    measured = np.flatnonzero(series.measured)
    last = int(measured[-1]) + 1 if len(measured) else 0
    return max(1, min(series.hours, last or int((now - series.start) / HOUR)))


def _in_shop(celsius: Array, shop: Shop) -> Array:
    return celsius * 9 / 5 + 32 if shop.imperial else celsius


def _panel(top: int, height: int, values: Array) -> _Panel:
    low, high = math.floor(float(values.min()) - 1), math.ceil(float(values.max()) + 1)
    return _Panel(top, height, low, max(high, low + 8))


def _ground(frame: _Frame, upper: _Panel, lower: _Panel, clock: Sequence[datetime]) -> str:
    """The two panels, a thin rule at each midnight, and dates below."""
    right = frame.size.width - 6
    parts = [
        f'<rect class="plan-day" x="{LEFT}" y="{p.top}" width="{right - LEFT}" height="{p.height}"/>'
        for p in (upper, lower)
    ]
    midnights = [place for place, moment in enumerate(clock) if moment.hour == 0]
    rules = "".join(
        f"M{frame.x(place):.0f} {upper.top}v{upper.height}M{frame.x(place):.0f} {lower.top}v{lower.height}"
        for place in midnights
    )
    parts.append(f'<g class="el-dim"><path d="{rules}" fill="none" stroke-width=".6"/></g>')
    base = lower.top + lower.height + frame.size.letters + 5
    for count, place in enumerate(reversed(midnights)):
        if count % frame.size.every == 0 and frame.x(place) < right - 34:
            text = escape(date_format(clock[place], "j M"))
            parts.append(_text(frame.x(place) + 2, base, text, frame.size.letters))
    return "".join(parts)


def _text(x: float, y: float, text: str, letters: int, anchor: str = "", soft: bool = True) -> str:
    colour = " plan-soft" if soft else ""
    where = f' text-anchor="{anchor}"' if anchor else ""
    return f'<text class="plan-text{colour}" x="{x:.0f}" y="{y:.0f}" font-size="{letters}"{where}>{text}</text>'


def _scale(frame: _Frame, panel: _Panel, step: int, unit: str) -> str:
    """Ticks at round values on the left."""
    values = np.arange(math.ceil(panel.low / step) * step, panel.high + 0.1, step)
    parts = []
    for value, y in zip(values, panel.y(values), strict=True):
        parts.append(_text(LEFT - 6, float(y) + 4, f"{value:.0f}", frame.size.letters, "end"))
    ticks = "".join(f"M{LEFT - 4} {y:.0f}h4" for y in panel.y(values))
    parts.append(f'<path class="el-line" d="{ticks}" fill="none"/>')
    parts.append(_text(LEFT + 4, panel.top + frame.size.letters, unit, frame.size.letters))
    return "".join(parts)


def _path(xs: Array, ys: Array) -> str:
    """A line through whole pixels, written as steps from one to the next, which is shortest."""
    x, y = np.rint(xs).astype(int), np.rint(ys).astype(int)
    steps = "".join(f"l{dx} {dy}" for dx, dy in zip(np.diff(x), np.diff(y), strict=True) if dx or dy)
    return f"M{x[0]} {y[0]}{steps}"


def _line(frame: _Frame, panel: _Panel, values: Array, series: AirSeries, past: int, kind: str) -> str:
    """One quantity: broken where nothing was measured, thinner where it is forecast."""
    xs, ys = frame.xs(), panel.y(values)
    d = "".join(_path(xs[run], ys[run]) for run in _runs(series.measured[:past]))
    ahead = _path(xs[max(0, past - 1) :], ys[max(0, past - 1) :])
    dashes = LINES[kind]
    return (
        f'<path class="el-line" d="{d}" fill="none" stroke-width="2" stroke-linejoin="round"{dashes}/>'
        f'<path class="el-line" d="{ahead}" fill="none" stroke-width="1"{dashes}/>'
    )


def _runs(measured: NDArray[np.bool_]) -> list[slice]:
    """Stretches of measured hours."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], measured.astype(int), [0]])))
    return [slice(int(start), int(end)) for start, end in zip(edges[::2], edges[1::2], strict=True)]


def _band(frame: _Frame, panel: _Panel, values: Array, spread: Array, past: int) -> str:
    """The forecast's spread, hatched."""
    at = slice(max(0, past - 1), None)
    xs = frame.xs()[at]
    if len(xs) < 2:
        return ""
    high = panel.y(np.minimum(values[at] + spread[at], panel.high))
    low = panel.y(np.maximum(values[at] - spread[at], panel.low))
    return f'<path class="plan-drying" stroke-width=".5" d="{_path(np.concatenate([xs, xs[::-1]]), np.concatenate([high, low[::-1]]))}z"/>'


def _cold(
    frame: _Frame,
    panel: _Panel,
    degrees: Array,
    series: AirSeries,
    clock: Sequence[datetime],
    past: int,
    size: Size,
) -> str:
    """A ring and a figure at the coldest hour of each night colder than COLD_NIGHT."""
    nights: dict[int, int] = {}
    for place in range(past):
        hour = clock[place].hour
        if series.measured[place] and (hour >= NIGHT[0] or hour < NIGHT[1]):
            night = (clock[place] + timedelta(hours=24 - NIGHT[0])).toordinal()
            if night not in nights or series.celsius[place] < series.celsius[nights[night]]:
                nights[night] = place
    parts = []
    for place in nights.values():
        if series.celsius[place] < COLD_NIGHT:
            x, y = frame.x(place), float(panel.y(degrees[place : place + 1])[0])
            parts.append(f'<circle class="el-pos" cx="{x:.0f}" cy="{y:.0f}" r="4.5" stroke-width="2"/>')
            parts.append(
                _text(x, y + size.letters + 7, f"{degrees[place]:.1f}", size.letters - 1, "middle", soft=False)
            )
    return "".join(parts)


def _now(frame: _Frame, past: int, lower: _Panel) -> str:
    return f'<path class="plan-now" d="M{frame.x(past - 1):.0f} {TOP - 8}V{lower.top + lower.height}"/>'
