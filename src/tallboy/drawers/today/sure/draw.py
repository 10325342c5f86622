"""How many futures have a piece finished by when, as a drawing: a rising line, the promise and the safe date. Plain data in, SVG out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from html import escape

WIDTH, HEIGHT = 880, 250
LEFT, RIGHT, TOP, FOOT = 52, 20, 34, 200
WORD = 74
"""Room that the word of a day takes up at the most [px]."""
MOST_TICKS = 9
DAY = timedelta(days=1)
LEVELS = (0.0, 0.2, 0.5, 0.8, 1.0)


@dataclass(frozen=True)
class Rising:
    """What is drawn: the share of futures [0 to 1] by moment, in rising order; the promise; the date that is `safe` at 80 %.

    `days` are midnights by the shop's clock with their words, from before the first moment to after the last.
    """

    points: Sequence[tuple[datetime, float]]
    days: Sequence[tuple[datetime, str]]
    promise: datetime | None
    safe: datetime | None
    promise_word: str
    safe_word: str


def draw(rising: Rising, label: str) -> str:
    """The drawing as SVG; classes only, so that the page's style holds in light, dark and print."""
    body = "".join([*_levels(), *_days(rising), _curve(rising), *_marks(rising)])
    return f'<svg viewBox="0 0 {WIDTH} {HEIGHT}" role="img" aria-label="{escape(label)}">{body}</svg>'


def midnights(first: datetime, last: datetime) -> list[datetime]:
    """The midnight before `first`, and so on to the one after `last`, by the clock of `first`."""
    days = [first.replace(hour=0, minute=0, second=0, microsecond=0)]
    while days[-1] <= last:
        days.append(days[-1] + DAY)
    return days


def _x(rising: Rising, moment: datetime) -> float:
    start, end = rising.days[0][0], rising.days[-1][0]
    share = (moment - start) / (end - start)
    return LEFT + (WIDTH - LEFT - RIGHT) * min(1.0, max(0.0, share))


def _y(share: float) -> float:
    return FOOT - (FOOT - TOP) * share


def _levels() -> Iterator[str]:
    for level in LEVELS:
        y = _y(level)
        yield f'<path class="plan-rule" d="M{LEFT} {y:.1f}H{WIDTH - RIGHT}"/>'
        yield f'<text class="plan-text plan-soft" x="{LEFT - 6}" y="{y + 5:.1f}" font-size="13" text-anchor="end">{100 * level:.0f} %</text>'


def _days(rising: Rising) -> Iterator[str]:
    step = max(1, -(-len(rising.days) // MOST_TICKS))
    for moment, word in rising.days[::step]:
        x = _x(rising, moment)
        yield f'<path class="plan-rule" d="M{x:.1f} {FOOT}v6"/>'
        if x + WORD <= WIDTH:
            yield f'<text class="plan-text plan-soft" x="{x:.1f}" y="{FOOT + 21}" font-size="13">{escape(word)}</text>'


def _curve(rising: Rising) -> str:
    """A flight of steps, for nothing is finished at night; from nothing before the first, to all after the last."""
    steps = [*rising.points, (rising.points[-1][0], 1.0)]
    path = "".join(f"H{_x(rising, moment):.1f}V{_y(share):.1f}" for moment, share in steps)
    return f'<path class="path-line path-holds" d="M{LEFT} {FOOT}{path}H{WIDTH - RIGHT}"/>'


def _marks(rising: Rising) -> Iterator[str]:
    if rising.safe is not None:
        x = _x(rising, rising.safe)
        yield f'<path class="plan-now" d="M{x:.1f} {_y(0.8):.1f}V{FOOT}"/>'
        yield _word(x, FOOT + 40, rising.safe_word)
    if rising.promise is not None:
        x = _x(rising, rising.promise)
        yield f'<path class="plan-due" d="M{x:.1f} {TOP - 8}V{FOOT}"/>'
        yield _word(x, TOP - 14, rising.promise_word, "plan-due")


def _word(x: float, y: float, word: str, look: str = "plan-soft") -> str:
    """A word at a mark, on the side where there is room for it."""
    right = x > WIDTH / 2
    return (
        f'<text class="plan-text {look}" x="{x + (4 if right else -4):.1f}" y="{y:.0f}" font-size="13" '
        f'text-anchor="{"end" if right else "start"}">{escape(word)}</text>'
    )
