"""Dates and times as loggers write them, and the shop's clock at its changes of summer time."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo

from django.utils.translation import gettext as _

from tallboy.drawers.air.logger_answers import Ask, Question
from tallboy.errors import BadFile

_DATE = (
    r"(?:(?P<year>\d{4})(?P<ysep>[-/.])(?P<month>\d{1,2})(?P=ysep)(?P<day>\d{1,2})"
    r"|(?P<one>\d{1,2})(?P<sep>[-/. ])(?P<two>\d{1,2}|[A-Za-z]{3,9})(?P=sep)(?P<end>\d{4}|\d{2}))"
)
_CLOCK = (
    r"(?P<hour>\d{1,2})[:.h](?P<minute>\d{2})(?:[:.](?P<second>\d{2})(?:[.,]\d{1,9})?)?"
    r"(?:\s?(?P<half>[AaPp])\.?\s?[Mm]\.?)?"
    r"(?:\s?(?P<zone>Z|(?:UTC|GMT)?[-+−]\d{1,2}(?::?\d{2})?|UTC|GMT))?"
)
DATE = re.compile(_DATE)
CLOCK = re.compile(_CLOCK)
WHEN = re.compile(rf"{_DATE}(?:T|,?\s+){_CLOCK}")
_OFFSET = re.compile(r"(?:utc|gmt)\s*(?:([-+−])\s*(\d{1,2}):?(\d{2})?)?")
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
DAY_FIRST, MONTH_FIRST = "day-first", "month-first"
MOVED, KEPT = "moved", "kept"


@dataclass(frozen=True)
class Stamp:
    """A time as the line says it, by the wall clock; `offset` minutes from UTC when the line or its heading gives it."""

    wall: datetime
    offset: int | None = None


class Unreadable(Exception):
    """A cell that is no time; its message says why. Caught where lines are counted."""


def holds_date(cell: str) -> bool:
    """Whether a cell begins with a date."""
    return bool(DATE.match(cell))


def offset_in(heading: str) -> int | None:
    """Minutes from UTC that a heading names, as in "date time, gmt+01:00"."""
    found = _OFFSET.search(heading)
    return None if found is None else _minutes(found[1], found[2], found[3])


def _minutes(sign: str | None, hours: str | None, minutes: str | None) -> int:
    total = int(hours or 0) * 60 + int(minutes or 0)
    return -total if sign in ("-", "−") else total


def date_order(cells: Iterable[str]) -> str | None:
    """Whether the day or the month comes first in dates such as 03/12/2026; None when the dates leave it open.

    Dates with points (03.12.2026) are day first everywhere. ISO dates and named months need no order: day first is given.
    """
    seen: set[str] = set()
    first_big = second_big = open_ = ""
    for cell in cells:
        date = DATE.match(cell)
        if date is None or date[0] in seen:
            continue
        seen.add(date[0])
        if date["year"] or date["sep"] == "." or not date["two"].isdecimal():
            continue
        first_big = date[0] if int(date["one"]) > 12 else first_big
        second_big = date[0] if int(date["two"]) > 12 else second_big
        open_ = date[0]
    if first_big and second_big:
        raise BadFile(
            _("The dates of the file go both ways round: %(one)s and %(two)s.") % {"one": first_big, "two": second_big},
            _("Day first or month first, but the same on every line."),
        )
    if second_big:
        return MONTH_FIRST
    return None if open_ and not first_big else DAY_FIRST


def order_question(example: str) -> Question:
    """Asks for the order of day and month."""
    text = _("Dates such as %(example)s: does the day come first, or the month?") % {"example": example}
    return Question("dates", text, ((DAY_FIRST, _("day first")), (MONTH_FIRST, _("month first"))))


def read_stamp(text: str, order: str) -> Stamp:
    """Read one cell that holds date and time. Raises Unreadable."""
    found = WHEN.fullmatch(text)
    if found is None:
        raise Unreadable(_("“%(text)s” is no date with a time of day.") % {"text": text[:40]})
    try:
        wall = datetime(*_date(found, order), *_clock(found))  # noqa: DTZ001  the zone is settled over the whole file
    except ValueError:
        raise Unreadable(_("“%(text)s” is no day or time that exists.") % {"text": text[:40]}) from None
    return Stamp(wall, _zone(found["zone"]))


def _date(found: re.Match[str], order: str) -> tuple[int, int, int]:
    if found["year"]:
        return int(found["year"]), int(found["month"]), int(found["day"])
    year = int(found["end"])
    year += 2000 if year < 100 else 0
    if not found["two"].isdecimal():
        return year, _MONTHS.index(found["two"][:3].lower()) + 1, int(found["one"])
    one, two = int(found["one"]), int(found["two"])
    return (year, one, two) if order == MONTH_FIRST and found["sep"] != "." else (year, two, one)


def _clock(found: re.Match[str]) -> tuple[int, int, int]:
    hour = int(found["hour"])
    if found["half"]:
        if not 1 <= hour <= 12:
            raise ValueError
        hour = hour % 12 + (12 if found["half"] in "Pp" else 0)
    return hour, int(found["minute"]), int(found["second"] or 0)


def _zone(text: str | None) -> int | None:
    if not text:
        return None
    named = re.fullmatch(r"(?:UTC|GMT)?([-+−])(\d{1,2}):?(\d{2})?", text)
    return _minutes(named[1], named[2], named[3]) if named else 0


@dataclass(frozen=True)
class Placed:
    """The stamps as moments in UTC (None where the wall clock never showed that time), and what there is to tell."""

    moments: list[datetime | None]
    notes: tuple[str, ...]


def placed(stamps: Sequence[Stamp], tz: tzinfo, clock: str | None) -> Placed:
    """Put wall-clock times on the time line by the shop's zone.

    Where the clocks go back an hour comes twice: the second run of lines through it is the later hour. A file that runs through it
    only once, or that holds times the clocks leapt over, was written by a clock that may not have been moved: that is asked.
    A clock that was kept goes on as it stood on the file's first line.
    """
    backwards = len(stamps) > 1 and stamps[-1].wall < stamps[0].wall
    ordered = list(reversed(stamps)) if backwards else list(stamps)
    if clock == KEPT and ordered:
        return Placed([_at_offset(stamp, _first_offset(ordered, tz)) for stamp in stamps], ())
    walk = _Walk(tz)
    moments = [walk.place(stamp) for stamp in ordered]
    if clock is None and (walk.leapt or walk.passed_once()):
        raise Ask([_clock_question(walk.leapt or walk.passed_once())])
    notes = tuple(_doubled_note(day, later) for day, later in walk.doubled.items())
    return Placed(list(reversed(moments)) if backwards else moments, notes)


def _first_offset(ordered: Sequence[Stamp], tz: tzinfo) -> timedelta:
    return ordered[0].wall.replace(tzinfo=tz).utcoffset() or timedelta(0)


def _at_offset(stamp: Stamp, usual: timedelta) -> datetime:
    offset = usual if stamp.offset is None else timedelta(minutes=stamp.offset)
    return (stamp.wall - offset).replace(tzinfo=UTC)


class _Walk:
    """Goes through the lines in the order of time and remembers which hours came twice or never."""

    def __init__(self, tz: tzinfo) -> None:
        self._tz = tz
        self._offsets: dict[tuple[int, int, int, int, int], tuple[timedelta, timedelta]] = {}
        self._last: datetime | None = None
        self._after: str = ""
        self.doubled: dict[str, int] = {}
        self.left_behind: set[str] = set()
        self.leapt = ""

    def place(self, stamp: Stamp) -> datetime | None:
        if stamp.offset is not None:
            return _at_offset(stamp, timedelta(0))
        early, late = self._both(stamp.wall)
        day = stamp.wall.date().isoformat()
        if early < late:
            self.leapt = self.leapt or f"{stamp.wall:%Y-%m-%d %H:%M}"
            return None
        moment = (stamp.wall - early).replace(tzinfo=UTC)
        if early > late:
            later = self._last is not None and moment <= self._last
            moment = (stamp.wall - late).replace(tzinfo=UTC) if later else moment
            self.doubled[day] = self.doubled.get(day, 0) + later
        elif day in self.doubled:
            self.left_behind.add(day)
        self._last = moment
        return moment

    def passed_once(self) -> str:
        """A day whose doubled hour was run through only once, although the file goes on behind it."""
        return next((day for day, later in self.doubled.items() if not later and day in self.left_behind), "")

    def _both(self, wall: datetime) -> tuple[timedelta, timedelta]:
        """Offsets of the earlier and the later reading of a wall-clock time, looked up once a quarter of an hour."""
        key = (wall.year, wall.month, wall.day, wall.hour, wall.minute // 15)
        if key not in self._offsets:
            aware = wall.replace(tzinfo=self._tz)
            zero = timedelta(0)
            self._offsets[key] = (aware.utcoffset() or zero, aware.replace(fold=1).utcoffset() or zero)
        return self._offsets[key]


def _clock_question(when: str) -> Question:
    text = _("The clocks changed at %(when)s. Was the logger's clock moved with them?") % {"when": when}
    return Question(
        "clock",
        text,
        ((MOVED, _("yes, it shows the time of the clock on the wall")), (KEPT, _("no, it ran on as it was set"))),
    )


def _doubled_note(day: str, later: int) -> str:
    if later:
        return _("On %(day)s an hour came twice; its second run of lines is taken as the later hour.") % {"day": day}
    return _("On %(day)s an hour came twice; its lines are taken as the earlier hour.") % {"day": day}
