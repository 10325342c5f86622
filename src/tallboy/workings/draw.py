"""A plot as a drawing: SVG text in the ink of the page, told apart by dashes and never by colour alone.

Thin rules, ticks at round numbers, the legend above the frame, the words of the axes with their units.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape

from tallboy.workings.kinds import Curve, Mark, Plot

WIDE, NARROW = 640, 340
WIDEST_SQUARE = 440
LEFT, RIGHT, FOOT, ROW = 58, 14, 42, 18
DASHES = ("", "7 4", "2 3", "10 3 2 3")
MOST_POINTS = 400
TICKS = 6


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
        return f"{value:.{places}f}".replace("-", "\u2212") if abs(value) > self.step * 1e-9 else "0"


def draw(plot: Plot, width: int = WIDE) -> str:
    """The plot as one SVG element, `width` px wide; its height follows."""
    top = 10 + ROW * len([curve for curve in plot.curves if curve.label])
    width = min(width, WIDEST_SQUARE) if plot.square else width
    inner = width - LEFT - RIGHT
    tall = inner if plot.square else max(190, round(inner * 0.52))
    height = top + tall + FOOT
    x, y = _scales(plot, inner, top, tall)
    parts = [
        *_frame(x, y, plot, width, height),
        *(part for i, curve in enumerate(plot.curves) for part in _curve(curve, i, x, y)),
        *(_mark(mark, x, y) for mark in plot.marks),
        *_legend(plot.curves),
    ]
    label = escape(f"{plot.title}. {plot.says}".strip(), quote=True)
    return (
        f'<svg class="plot" viewBox="0 0 {width} {height}" width="{width}" height="{height}" role="img" aria-label="{label}" '
        f'fill="none" stroke="currentColor" font-size="13">{"".join(parts)}</svg>'
    )


def round_step(span: float, ticks: int = TICKS) -> float:
    """The step of 1, 2 or 5 times a power of ten that gives about so many ticks over the span."""
    raw = span / ticks
    power = 10.0 ** math.floor(math.log10(raw))
    return next(size * power for size in (1, 2, 5, 10) if raw <= size * power * (1 + 1e-9))


def _scales(plot: Plot, inner: int, top: int, tall: int) -> tuple[Scale, Scale]:
    xs = _extent(_values(plot.curves, plot.marks, across=True))
    ys = _extent(_values(plot.curves, plot.marks, across=False), from_zero=not plot.square)
    if plot.square:
        xs, ys = _same_span(xs, ys)
    step_x, step_y = round_step(xs[1] - xs[0], 5 if inner < 400 else TICKS), round_step(ys[1] - ys[0])
    if not plot.square:
        ys = (math.floor(ys[0] / step_y + 1e-9) * step_y, math.ceil(ys[1] / step_y - 1e-9) * step_y)
    return (Scale(*xs, step_x, LEFT, LEFT + inner), Scale(*ys, step_y, top + tall, top))


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


def _same_span(xs: tuple[float, float], ys: tuple[float, float]) -> tuple[tuple[float, float], tuple[float, float]]:
    """Both axes as long as the longer one, with a little air about it."""
    half = 0.54 * max(xs[1] - xs[0], ys[1] - ys[0])
    middle_x, middle_y = sum(xs) / 2, sum(ys) / 2
    return (middle_x - half, middle_x + half), (middle_y - half, middle_y + half)


def _frame(x: Scale, y: Scale, plot: Plot, width: int, height: int) -> Iterable[str]:
    yield f'<path d="M{LEFT} {y.end:.1f}V{y.start:.1f}H{x.end:.1f}" stroke-width="1"/>'
    for value in x.ticks:
        at = x.at(value)
        yield f'<path d="M{at:.1f} {y.start:.1f}v5"/>'
        yield _text(at, y.start + 18, x.words(value), "middle")
    for value in y.ticks:
        at = y.at(value)
        yield f'<path d="M{LEFT} {at:.1f}h-5"/><path d="M{LEFT} {at:.1f}H{x.end:.1f}" opacity=".18"/>'
        yield _text(LEFT - 8, at + 4, y.words(value), "end")
    yield _text(LEFT + (width - LEFT - RIGHT) / 2, height - 6, _axis(plot.x_label, plot.x_unit), "middle")
    turned = f' transform="rotate(-90 14 {(y.start + y.end) / 2:.1f})"'
    yield _text(14, (y.start + y.end) / 2, _axis(plot.y_label, plot.y_unit), "middle", turned)


def _axis(label: str, unit: str) -> str:
    return ", ".join(word for word in (label, unit) if word)


def _curve(curve: Curve, index: int, x: Scale, y: Scale) -> Iterable[str]:
    if curve.low and curve.high:
        edge = _points(curve.x, curve.high, x, y) + _points(curve.x, curve.low, x, y)[::-1]
        yield f'<path d="M{"L".join(edge)}Z" fill="currentColor" fill-opacity=".13" stroke="none"/>'
    dash = "7 4" if curve.dashed and index == 0 else DASHES[index % len(DASHES)]
    pattern = f' stroke-dasharray="{dash}"' if dash else ""
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
    word = _text(at_x + shift, above, mark.label, anchor) if mark.label else ""
    return f'<circle cx="{at_x:.1f}" cy="{at_y:.1f}" r="4" fill="currentColor" stroke="none"/>{word}'


def _legend(curves: Sequence[Curve]) -> Iterable[str]:
    row = 0
    for index, curve in enumerate(curves):
        if not curve.label:
            continue
        middle = 12 + ROW * row
        dash = "7 4" if curve.dashed and index == 0 else DASHES[index % len(DASHES)]
        pattern = f' stroke-dasharray="{dash}"' if dash else ""
        yield f'<path d="M{LEFT} {middle}h34" stroke-width="1.8"{pattern}/>'
        yield _text(LEFT + 42, middle + 4, curve.label, "start")
        row += 1


def _text(x: float, y: float, words: str, anchor: str, more: str = "") -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="currentColor" stroke="none"{more}>{escape(words)}</text>'
