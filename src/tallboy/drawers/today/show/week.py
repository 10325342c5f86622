"""The coming week as the strip draws it: which days, which pieces, which bars."""

from __future__ import annotations

from datetime import date, time, timedelta

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from tallboy.book.queries import working_stretches
from tallboy.drawers.pieces.models import Piece, Step
from tallboy.drawers.today.day import Day
from tallboy.drawers.today.models import PlannedStep
from tallboy.drawers.today.people import at_work, people_names, person_name
from tallboy.drawers.today.show.strip import Bar, Frame, Lane, draw

COLUMNS = 6
MOST_LANES = 8
# More bars than this cannot be told apart in one row of a week.
MOST_BARS = 30
AT_ONE_GO = timedelta(minutes=10)
LOOK_AHEAD = timedelta(days=14)
METAL = ("metal",)
SOAKING = ("soak",)
USUAL_HOURS = (time(8), time(17))


def strip(day: Day) -> str:
    """The coming week as SVG; nothing where nothing is planned or waits."""
    frame = _frame(day)
    lanes = _lanes(day, frame)
    if not lanes:
        return ""
    lanes += _by_hands(day, frame)
    label = _("Plan of the week; the same stands below it as a list")
    return draw(frame, lanes, day.now, label, {"due": _("due"), "now": _("now")})


def _frame(day: Day) -> Frame:
    """The next working days, today first even when nobody works, each as long as the longest of them."""
    midnight = day.now.astimezone(day.shop.tz).replace(hour=0, minute=0, second=0, microsecond=0)
    stretches = working_stretches(day.shop, midnight, LOOK_AHEAD.days)
    days = sorted({opens.date() for opens, _closes in stretches} | {midnight.date()})[:COLUMNS]
    shown = [stretch for stretch in stretches if stretch[0].date() in days]
    opens = min((start.time() for start, _end in shown), default=USUAL_HOURS[0])
    closes = max((end.time() for _start, end in shown), default=USUAL_HOURS[1])
    return Frame(tuple(days), opens, closes, day.shop.tz, tuple(_day_name(one) for one in days))


def _day_name(day: date) -> str:
    return str(date_format(day, "D j M"))


def _lanes(day: Day, frame: Frame) -> list[Lane]:
    """A row for each piece with something to draw within the frame, those that are worked on first at the top."""
    bars: dict[int, list[Bar]] = {}
    pieces: dict[int, Piece] = {}
    for piece, bar in [*_worked(day), *_resting(day)]:
        if bar.end > day.now and frame.shows(bar.start, bar.end):
            pieces[piece.pk] = piece
            bars.setdefault(piece.pk, []).append(bar)
    ordered = sorted(pieces.values(), key=lambda piece: min(bar.start for bar in bars[piece.pk]))
    return [Lane(piece.name, tuple(bars[piece.pk]), piece.promise) for piece in ordered[:MOST_LANES]]


def _by_hands(day: Day, frame: Frame) -> list[Lane]:
    """A row for each person, where several work: who is at what the rows above say, at the same hours."""
    names = people_names(day.shop)
    keys = at_work(day.rows, names)[:MOST_LANES]
    if len(keys) < 2:
        return []
    bars: dict[str, list[Bar]] = {key: [] for key in keys}
    for row in day.rows:
        for key in (key for key in row.people if key in bars):
            bars[key] += [Bar(*span, work_kind(row.step)) for span in row.spans() if frame.shows(*span)]
    headings = [_("by hands"), *[""] * len(keys)]
    return [
        Lane(person_name(key, names), tuple(_readable(bars[key])), heading=heading)
        for key, heading in zip(keys, headings, strict=False)
    ]


def _readable(bars: list[Bar]) -> list[Bar]:
    """Bars as they are while they can be told apart; of a full week, what is done at one go is one bar, whatever it is."""
    if len(bars) <= MOST_BARS:
        return bars
    joined: list[Bar] = []
    for bar in sorted(bars, key=lambda one: one.start):
        last = joined[-1] if joined else None
        if last is not None and bar.start - last.end <= AT_ONE_GO:
            joined[-1] = Bar(last.start, max(last.end, bar.end), "hands")
        else:
            joined.append(Bar(bar.start, bar.end, "hands"))
    return joined


def work_kind(step: Step) -> str:
    """How hands are drawn: on metal, or on wood."""
    return "metal" if step.does in METAL else "hands"


def _worked(day: Day) -> list[tuple[Piece, Bar]]:
    return [(row.step.piece, Bar(start, end, work_kind(row.step))) for row in day.rows for start, end in row.spans()]


def _resting(day: Day) -> list[tuple[Piece, Bar]]:
    """What waits now, and what will rest after each planned step."""
    now = [
        (wait.step.piece, Bar(day.now, wait.opens, rest_kind(wait.kind)))
        for wait in day.waiting
        if wait.opens > day.now
    ]
    planned = [(row.step.piece, bar) for row in day.rows if (bar := _rest_after(row)) is not None]
    return now + planned


def _rest_after(row: PlannedStep) -> Bar | None:
    if row.rests_until is None:
        return None
    return Bar(row.end, row.rests_until, rest_kind(row.rests))


def rest_kind(kind: str) -> str:
    """How a rest is drawn: what soaks in waves, all else as drying."""
    return "soaking" if kind in SOAKING else "drying"
