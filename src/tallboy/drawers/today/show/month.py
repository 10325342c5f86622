"""Four to six weeks of the plan: a row a piece as a drawing, and the same day by day in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from html import escape

from django.urls import reverse
from django.utils.formats import date_format

from tallboy.drawers.pieces.models import Delivery, Piece
from tallboy.drawers.today.show.period import Closing, Due, Period, Rest, Work
from tallboy.drawers.today.show.strip import NAME_FITS, NAME_WIDTH, Bar, Frame, outlines, shortened
from tallboy.drawers.today.show.week import USUAL_HOURS

ROW, TOP, BAR, ACROSS = 32, 48, 16, 912
KINDS = ("drying", "soaking", "metal", "hands")
WEEKS = 5
MOST_NAMED, MOST_LISTED = 4, 3
A_DAY = timedelta(days=1)


def month_of(first: date) -> tuple[date, date]:
    """The whole weeks, Monday to Sunday, that a month has days in."""
    next_month = (first.replace(day=28) + timedelta(days=4)).replace(day=1)
    last = next_month - A_DAY
    return first - timedelta(days=first.weekday()), last + timedelta(days=6 - last.weekday())


def weeks_from(today: date) -> tuple[date, date]:
    """This week and those after it."""
    monday = today - timedelta(days=today.weekday())
    return monday, monday + timedelta(weeks=WEEKS) - A_DAY


@dataclass(frozen=True)
class Row:
    """One piece in the drawing: its bars, the day it is promised for, and when windows close."""

    piece: Piece
    bars: tuple[Bar, ...]
    due: Due | None = None
    closings: tuple[Closing, ...] = ()


def rows_of(period: Period) -> list[Row]:
    """The pieces with something to draw in these days: first what comes next, last what is over."""
    bars: dict[int, list[Bar]] = {}
    pieces: dict[int, Piece] = {}
    for piece, bar in _bars(period):
        pieces[piece.pk] = piece
        bars.setdefault(piece.pk, []).append(bar)
    dues = {due.piece.pk: due for due in period.dues}
    pieces |= {pk: due.piece for pk, due in dues.items()}
    closings: dict[int, list[Closing]] = {}
    for closing in period.closings:
        closings.setdefault(closing.then.piece_id, []).append(closing)
    rows = [
        Row(piece, tuple(bars.get(pk, ())), dues.get(pk), tuple(closings.get(pk, ()))) for pk, piece in pieces.items()
    ]
    return sorted(rows, key=lambda row: _comes(row, period.now))


def _bars(period: Period) -> Iterator[tuple[Piece, Bar]]:
    for rest in period.rests:
        yield rest.step.piece, Bar(rest.start, rest.until, rest.kind)
    for work in period.work:
        yield work.step.piece, Bar(work.start, work.end, work.kind)


def _comes(row: Row, now: datetime) -> tuple[bool, float, int]:
    ahead = [bar.start.timestamp() for bar in row.bars if bar.end > now]
    return not ahead, min(ahead, default=0.0), row.piece.pk


def draw(period: Period, rows: Sequence[Row], now_word: str) -> str:
    """The rows as SVG. Every column leads to its day and every name to its piece's path; the list below has the same links."""
    frame = _frame(period)
    height = TOP + ROW * len(rows) + 6
    body = [
        *_days(period, frame, height),
        *(part for count, row in enumerate(rows) for part in _row(frame, row, TOP + ROW * count)),
    ]
    body += _now(period, frame, height, now_word)
    body += _links(frame, rows, height)
    return f'<svg viewBox="0 0 {frame.width:.0f} {height}" aria-hidden="true" focusable="false">{"".join(body)}</svg>'


def _frame(period: Period) -> Frame:
    """Every day has a column, those on which nobody works a narrow one."""
    narrow = frozenset(period.closed)
    shares = len(period.days) - len(narrow) / 2
    opens = min((start.astimezone(period.shop.tz).time() for start, _end in period.stretches), default=USUAL_HOURS[0])
    closes = max((end.astimezone(period.shop.tz).time() for _start, end in period.stretches), default=USUAL_HOURS[1])
    if opens >= closes:
        opens, closes = time(0), time(23, 59)
    return Frame(tuple(period.days), opens, closes, period.shop.tz, (), ACROSS / shares, 1.0, narrow)


def _days(period: Period, frame: Frame, height: int) -> Iterator[str]:
    for day in frame.days:
        left, right = frame.column(day)
        shut = day in period.closed
        kind = "plan-closed" if shut else "plan-day"
        yield f'<rect class="{kind}" x="{left:.1f}" y="{TOP - 8}" width="{right - left:.1f}" height="{height - TOP + 8}"/>'
        if not shut:
            middle = (left + right) / 2
            yield f'<text class="plan-text plan-soft" x="{middle:.0f}" y="34" font-size="15" text-anchor="middle">{day.day}</text>'
        if day.weekday() == 0 or day == frame.days[0]:
            yield f'<text class="plan-text" x="{left:.0f}" y="14" font-size="14">{escape(date_format(day, "D j M"))}</text>'
            yield f'<path class="plan-rule" d="M{left - 0.5:.1f} 2V{height}"/>'


def _row(frame: Frame, row: Row, y: int) -> Iterator[str]:
    name = escape(shortened(row.piece.name, NAME_FITS))
    yield f'<text class="plan-text" x="2" y="{y + 18}" font-size="15">{name}</text>'
    for kind in KINDS:
        shown = (bar for bar in row.bars if bar.kind == kind and frame.shows(bar.start, bar.end))
        shape = outlines(frame, shown, y + 5, BAR)
        if shape:
            yield f'<path class="plan-{kind}" d="{shape}"/>'
    for closing in row.closings:
        x = frame.x(closing.at)
        yield f'<path class="plan-window" d="M{x - 5:.0f} {y + 1}h5v{BAR + 8}h-5"/>'
    if row.due is not None:
        x = frame.column(row.due.day)[1]
        late = " plan-late" if row.due.late else ""
        yield f'<path class="plan-flag{late}" d="M{x:.0f} {y + ROW - 4}v-{ROW - 4}l-11 5l11 5"/>'


def _now(period: Period, frame: Frame, height: int, word: str) -> Iterator[str]:
    if period.start <= period.now < period.end:
        x = frame.x(period.now)
        yield f'<path class="plan-now" d="M{x:.1f} {TOP - 10}V{height}"/>'
        yield f'<text class="plan-text plan-soft" x="{x + 3:.0f}" y="{TOP - 1}" font-size="11">{escape(word)}</text>'


def _links(frame: Frame, rows: Sequence[Row], height: int) -> Iterator[str]:
    """A finger's reach over the drawing. Out of the way of the tab key: the list below is for that."""
    for day in frame.days:
        left, right = frame.column(day)
        address = reverse("today:plan-day", args=[day.isoformat()])
        box = f'x="{left:.1f}" width="{right - left + 1:.1f}" height="{height}"'
        yield f'<a href="{address}" tabindex="-1"><rect class="plan-hit" {box}/></a>'
    for count, row in enumerate(rows):
        address = reverse("today:path", args=[row.piece.pk])
        box = f'y="{TOP + ROW * count}" width="{NAME_WIDTH - 6}" height="{ROW}"'
        yield f'<a href="{address}" tabindex="-1"><rect class="plan-hit" {box}/></a>'


@dataclass(frozen=True)
class Closes:
    """The windows of a piece that close in the same minute, with the steps that must have begun by then."""

    at: datetime
    piece: Piece
    steps: tuple[str, ...]


@dataclass
class DayLine:
    """One day in words: minutes of hands, the pieces worked on, what is ready, what must not be missed."""

    day: date
    closed: str | None = None
    minutes: float = 0.0
    pieces: dict[int, Piece] = field(default_factory=dict)
    ready: list[Rest] = field(default_factory=list)
    closings: list[Closing] = field(default_factory=list)
    dues: list[Due] = field(default_factory=list)
    deliveries: list[Delivery] = field(default_factory=list)
    away: list[str] = field(default_factory=list)

    @property
    def shown(self) -> list[Piece]:
        """The first few of the pieces worked on."""
        return list(self.pieces.values())[:MOST_NAMED]

    @property
    def more(self) -> int:
        """How many pieces more are worked on."""
        return max(0, len(self.pieces) - MOST_NAMED)

    @property
    def ready_more(self) -> int:
        return max(0, len(self.ready) - MOST_LISTED)

    @property
    def closes(self) -> list[Closes]:
        """The windows that close, those of a piece at the same minute as one, each step named once."""
        found: dict[tuple[datetime, int], list[Closing]] = {}
        for one in self.closings:
            found.setdefault((one.at.replace(second=0, microsecond=0), one.then.piece_id), []).append(one)
        return [
            Closes(at, of[0].then.piece, tuple(dict.fromkeys(one.then.title for one in of)))
            for (at, _piece), of in found.items()
        ]

    @property
    def closings_more(self) -> int:
        return max(0, len(self.closes) - MOST_LISTED)

    @property
    def not_to_be_missed(self) -> bool:
        return bool(self.closings or self.dues or self.deliveries)

    @property
    def told(self) -> bool:
        """Whether there is anything to say of the day."""
        return bool(self.pieces or self.ready or self.not_to_be_missed or self.away or self.closed)


def day_lines(period: Period) -> list[DayLine]:
    """The days in words, those left out of which there is nothing to say."""
    lines = {day: DayLine(day, period.closed.get(day), away=period.away.get(day, [])) for day in period.days}
    for work in period.work:
        _count(lines, period, work)
    for rest in period.rests:
        if (line := lines.get(period.day_of(rest.until))) is not None and rest.until > period.now:
            line.ready.append(rest)
    for closing in period.closings:
        lines[period.day_of(closing.at)].closings.append(closing)
    for due in period.dues:
        lines[due.day].dues.append(due)
    for delivery in period.deliveries:
        lines[delivery.expected].deliveries.append(delivery)
    today = period.day_of(period.now)
    return [line for line in lines.values() if line.told or line.day == today]


def _count(lines: dict[date, DayLine], period: Period, work: Work) -> None:
    """Hands are counted on the day on which they begin; nobody works through the night by plan."""
    line = lines.get(period.day_of(work.start))
    if line is not None:
        line.minutes += (work.end - work.start).total_seconds() / 60 * max(1, len(work.who))
        line.pieces[work.step.piece_id] = work.step.piece
