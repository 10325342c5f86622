"""A plot as a drawing: SVG text in the ink of the page, told apart by dashes and never by colour alone.

Thin rules, ticks at round numbers, the legend above the frame, the words of the axes with their units.
"""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from html import escape

from tallboy.sums.units import METRIC
from tallboy.workings.kinds import Curve, Mark, Plot
from tallboy.workings.telling import spoken_unit

WIDE, NARROW = 640, 340
WIDEST_SQUARE = 440
FLATTEST = 160
"""The least height of an outline's frame [px], so that the words of its upright axis find room."""
LEFT, RIGHT, FOOT, ROW = 58, 14, 42, 18
LETTER, FIGURE = 7.2, 8.6
"""The width of a letter in words and of one in figures [px], rather too much than too little."""
KEY = 42
"""From the left of a curve's dash in the legend to its words [px]."""
DASHES = ("", "7 4", "2 3", "10 3 2 3")
MOST_POINTS = 400
TICKS = 6


@dataclass(frozen=True)
class Box:
    """Where the frame of the curves lies [px]."""

    left: float
    right: float
    top: float
    foot: float


@dataclass(frozen=True)
class Scale:
    """One axis: from `low` to `high` over `start` to `end` [px], ticks `step` apart."""

    low: float
    high: float
    step: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Where a value lies [px]."""
        return self.start + (self.end - self.start) * (value - self.low) / (self.high - self.low)

    @property
    def ticks(self) -> list[float]:
        """The round values with a tick."""
        first = math.ceil(self.low / self.step - 1e-9)
        last = math.floor(self.high / self.step + 1e-9)
        return [k * self.step for k in range(first, last + 1)]

    def words(self, value: float) -> str:
        """A tick's value with as many digits as the step needs."""
        places = max(0, -math.floor(math.log10(self.step) + 1e-9))
        return (
            f"{value:,.{places}f}".replace("-", "\u2212").replace(",", "\u202f")
            if abs(value) > self.step * 1e-9
            else "0"
        )


def draw(plot: Plot, width: int = WIDE, system: str = METRIC) -> str:
    """The plot as one SVG element, `width` px wide, with its axes as the shop speaks; its height follows."""
    plot = _spoken(plot, system)
    width = min(width, WIDEST_SQUARE) if plot.square else width
    xs = _extent(_values(plot.curves, plot.marks, across=True))
    ys = _extent(_values(plot.curves, plot.marks, across=False), from_zero=not plot.square)
    if plot.square:
        xs, ys = _same_scale(xs, ys, width - LEFT - RIGHT)
    left = _left(ys)
    inner = width - left - RIGHT
    legend = [textwrap.wrap(curve.label, int((inner - KEY) / LETTER)) for curve in plot.curves]
    top = 10 + ROW * sum(map(len, legend))
    tall = round(inner * (ys[1] - ys[0]) / (xs[1] - xs[0])) if plot.square else max(190, round(inner * 0.52))
    height = top + tall + FOOT
    patterns = _patterns(plot.curves)
    x, y = _scales(plot, xs, ys, Box(left, left + inner, top, top + tall))
    parts = [
        *_frame(x, y, plot, width, height),
        *(part for curve, dash in zip(plot.curves, patterns, strict=True) for part in _curve(curve, dash, x, y)),
        *(_mark(mark, x, y) for mark in plot.marks),
        *_legend(patterns, legend, left),
    ]
    label = escape(f"{plot.title}. {plot.says}".strip(), quote=True)
    return (
        f'<svg class="plot" viewBox="0 0 {width} {height}" width="{width}" height="{height}" role="img" aria-label="{label}" '
        f'fill="none" stroke="currentColor" font-size="13">{"".join(parts)}</svg>'
    )


def _spoken(plot: Plot, system: str) -> Plot:
    """The same plot with its values in the units of the shop."""
    (wide, right, x_unit), (high, up, y_unit) = spoken_unit(plot.x_unit, system), spoken_unit(plot.y_unit, system)

    def across(values: Sequence[float]) -> tuple[float, ...]:
        return tuple(value * wide + right for value in values)

    def upwards(values: Sequence[float]) -> tuple[float, ...]:
        return tuple(value * high + up for value in values)

    return replace(
        plot,
        x_unit=x_unit,
        y_unit=y_unit,
        curves=tuple(
            replace(one, x=across(one.x), y=upwards(one.y), low=upwards(one.low), high=upwards(one.high))
            for one in plot.curves
        ),
        marks=tuple(replace(one, x=one.x * wide + right, y=one.y * high + up) for one in plot.marks),
    )


def round_step(span: float, ticks: int = TICKS) -> float:
    """The step of 1, 2 or 5 times a power of ten that gives about so many ticks over the span."""
    raw = span / ticks
    power = 10.0 ** math.floor(math.log10(raw))
    return next(size * power for size in (1, 2, 5, 10) if raw <= size * power * (1 + 1e-9))


def _scales(plot: Plot, xs: tuple[float, float], ys: tuple[float, float], box: Box) -> tuple[Scale, Scale]:
    wide, tall = box.right - box.left, box.foot - box.top
    step_x = round_step(xs[1] - xs[0], 5 if wide < 400 else TICKS)
    step_y = round_step(ys[1] - ys[0], max(2, round(TICKS * tall / wide)) if plot.square else TICKS)
    if not plot.square:
        ys = _to_ticks(ys, step_y)
    return (Scale(*xs, step_x, box.left, box.right), Scale(*ys, step_y, box.foot, box.top))


def _to_ticks(ys: tuple[float, float], step: float) -> tuple[float, float]:
    """Widened to whole steps."""
    return (math.floor(ys[0] / step + 1e-9) * step, math.ceil(ys[1] / step - 1e-9) * step)


def _left(ys: tuple[float, float]) -> float:
    """Room for the words of the upright axis and the longest of its figures [px]."""
    scale = Scale(*ys, round_step(ys[1] - ys[0]), 0, 1)
    return max(LEFT, 28 + FIGURE * max(len(scale.words(value)) for value in _to_ticks(ys, scale.step)))


def _values(curves: Iterable[Curve], marks: Iterable[Mark], *, across: bool) -> list[float]:
    values = [v for curve in curves for v in (curve.x if across else (*curve.y, *curve.low, *curve.high))]
    values += [mark.x if across else mark.y for mark in marks]
    return [value for value in values if math.isfinite(value)]


def _extent(values: Sequence[float], *, from_zero: bool = False) -> tuple[float, float]:
    """Lowest and highest value, never the same; down to zero where that is not far."""
    low, high = (min(values), max(values)) if values else (0.0, 1.0)
    if from_zero and 0 < low < 0.5 * high:
        low = 0.0
    if high - low < 1e-9 * max(1.0, abs(high)):
        pad = abs(high) * 0.1 or 1.0
        return low - pad, high + pad
    return low, high


def _same_scale(
    xs: tuple[float, float], ys: tuple[float, float], inner: float
) -> tuple[tuple[float, float], tuple[float, float]]:
    """A unit as long upwards as across, with a little air about the outline; no higher than wide, no flatter than can be read."""
    wide = 0.54 * max(xs[1] - xs[0], ys[1] - ys[0])
    high = min(wide, max(0.54 * (ys[1] - ys[0]), wide * FLATTEST / inner))
    middle_x, middle_y = sum(xs) / 2, sum(ys) / 2
    return (middle_x - wide, middle_x + wide), (middle_y - high, middle_y + high)


def _frame(x: Scale, y: Scale, plot: Plot, width: int, height: int) -> Iterable[str]:
    left, right = x.start, x.end
    yield f'<path d="M{left:.1f} {y.end:.1f}V{y.start:.1f}H{right:.1f}" stroke-width="1"/>'
    for value in x.ticks:
        at, words = x.at(value), x.words(value)
        yield f'<path d="M{at:.1f} {y.start:.1f}v5"/>'
        yield _text(min(at, width - 1 - FIGURE * len(words) / 2), y.start + 18, words, "middle")
    for value in y.ticks:
        at = y.at(value)
        yield f'<path d="M{left:.1f} {at:.1f}h-5"/><path d="M{left:.1f} {at:.1f}H{right:.1f}" opacity=".18"/>'
        yield _text(left - 8, at + 4, y.words(value), "end")
    yield _text((left + right) / 2, height - 6, _axis(plot.x_label, plot.x_unit), "middle")
    turned = f' transform="rotate(-90 14 {(y.start + y.end) / 2:.1f})"'
    yield _text(14, (y.start + y.end) / 2, _axis(plot.y_label, plot.y_unit), "middle", turned)


def _axis(label: str, unit: str) -> str:
    return ", ".join(word for word in (label[:1].upper() + label[1:], unit) if word)


def _curve(curve: Curve, pattern: str, x: Scale, y: Scale) -> Iterable[str]:
    if curve.low and curve.high:
        edge = _points(curve.x, curve.high, x, y) + _points(curve.x, curve.low, x, y)[::-1]
        yield f'<path d="M{"L".join(edge)}Z" fill="currentColor" fill-opacity=".13" stroke="none"/>'
    if curve.x:
        yield f'<path d="M{"L".join(_points(curve.x, curve.y, x, y))}" stroke-width="1.8" stroke-linejoin="round"{pattern}/>'


def _points(xs: Sequence[float], ys: Sequence[float], x: Scale, y: Scale) -> list[str]:
    """Where the points lie; no more of them than can be seen, the last one always."""
    every = max(1, math.ceil(len(xs) / MOST_POINTS))
    picked = list(range(0, len(xs), every))
    if picked and picked[-1] != len(xs) - 1:
        picked.append(len(xs) - 1)
    return [f"{x.at(xs[i]):.1f} {y.at(ys[i]):.1f}" for i in picked if math.isfinite(xs[i]) and math.isfinite(ys[i])]


def _mark(mark: Mark, x: Scale, y: Scale) -> str:
    at_x, at_y = x.at(mark.x), y.at(mark.y)
    anchor, shift = ("end", -8) if at_x > (x.start + x.end) / 2 else ("start", 8)
    above = at_y - 8 if at_y - 20 > y.end else at_y + 18
    word = _text(at_x + shift, above, mark.label, anchor, ' class="word"') if mark.label else ""
    return f'<circle cx="{at_x:.1f}" cy="{at_y:.1f}" r="4" fill="currentColor" stroke="none"/>{word}'


def _patterns(curves: Sequence[Curve]) -> list[str]:
    """How each curve is dashed: the first of them solid unless it asks for dashes, no two of four alike."""
    dashes = [DASHES[index % len(DASHES)] for index in range(len(curves))]
    if curves and curves[0].dashed:
        dashes[:2] = [DASHES[1], DASHES[0]][: len(curves)]
    return [f' stroke-dasharray="{dash}"' if dash else "" for dash in dashes]


def _legend(patterns: Sequence[str], words: Sequence[Sequence[str]], left: float) -> Iterable[str]:
    """The dash of each curve that has a label, and its words beside it in as many lines as they take."""
    row = 0
    for index in range(len(patterns)):
        if words[index]:
            yield f'<path d="M{left:.1f} {12 + ROW * row}h34" stroke-width="1.8"{patterns[index]}/>'
        for line in words[index]:
            yield _text(left + KEY, 16 + ROW * row, line, "start")
            row += 1


def _text(x: float, y: float, words: str, anchor: str, more: str = "") -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="currentColor" stroke="none"{more}>{escape(words)}</text>'
