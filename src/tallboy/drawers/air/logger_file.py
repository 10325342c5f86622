"""A logger's file read into readings of the air: any delimiter, decimal comma, headings in many languages, °C or °F.

Bytes in, readings out; nothing here touches the book. What the file leaves open raises `Ask`; lines that cannot be read raise
`BadLines` unless the person has chosen to leave them out; a file that is none raises `BadFile`.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from statistics import median

from django.utils.translation import gettext as _

from tallboy.drawers.air import logger_columns, logger_times
from tallboy.drawers.air.logger_answers import SHOWN, Answers, Ask, BadLines, Question
from tallboy.drawers.air.logger_columns import Columns, Row, Sheet
from tallboy.errors import BadFile, BadInput

__all__ = ["Answers", "Ask", "BadLines", "LoggerReadings", "Question", "read_logger_file"]

COLDEST, WARMEST = -40.0, 60.0
TOO_WARM_AS_CELSIUS = 35.0
"""No shop stands at more than 35 °C half of the time: a column with a higher middle value is °F, or not a temperature."""
AHEAD = timedelta(days=1)
"""A logger's clock may run a little fast; readings later than this are from a wrong date."""
EARLIEST = datetime(1990, 1, 1, tzinfo=UTC)
ACCEPTED = {
    "unit": ("C", "F"),
    "dates": (logger_times.DAY_FIRST, logger_times.MONTH_FIRST),
    "clock": (logger_times.MOVED, logger_times.KEPT),
}
_NUMBER = re.compile(r"([-+−]?(?:\d+(?:[.,]\d*)?|[.,]\d+))\s*(°?\s*[CFcf]|%\s*(?:[Rr]\.?[Hh]\.?)?|[Rr][Hh]\s*%?)?")

Reading = tuple[datetime, float, float]


@dataclass(frozen=True)
class LoggerReadings:
    """What the file holds: readings (UTC, °C, %) in the order of time, lines left out or repeated, and what there is to tell."""

    rows: list[Reading]
    left_out: int
    repeated: int
    notes: tuple[str, ...]


@dataclass(frozen=True)
class _Value:
    """A number of a cell, and the unit written behind it: "C", "F", "%" or none."""

    number: float
    unit: str


@dataclass(frozen=True)
class _Line:
    """One line that could be read: its number, time, temperature and humidity as they stand there."""

    number: int
    stamp: logger_times.Stamp
    temperature: _Value
    humidity: _Value


class _Bad:
    """Counts bad lines and keeps the first of them with the reason."""

    def __init__(self) -> None:
        self.count = 0
        self.first: list[tuple[int, str]] = []

    def add(self, number: int, why: str) -> None:
        self.count += 1
        self.first.append((number, why))
        if len(self.first) > 4 * SHOWN:
            self.first = self.lines()

    def lines(self) -> list[tuple[int, str]]:
        return sorted(self.first)[:SHOWN]


def read_logger_file(
    data: bytes, name: str, *, tz: tzinfo, now: datetime, fahrenheit: bool = False, answers: Answers | None = None
) -> LoggerReadings:
    """Read a logger's file.

    tz: the shop's zone, for times without an offset. now: nothing may lie later than a day after it. fahrenheit: whether the shop
    itself thinks in °F, which only decides whether a file without a unit is asked about.
    """
    given = answers or Answers()
    _check_answers(given)
    sheet = logger_columns.sheet_of(logger_columns.decoded(data, name), name)
    columns, rows = logger_columns.columns_of(sheet, given)
    bad = _Bad()
    lines = _read_lines(rows, columns, given, bad)
    if not lines and bad.count == 0:
        raise BadFile(_("%(name)s holds no readings.") % {"name": name}, str(logger_columns.EXPECTED))
    unit = _unit(lines, columns, given, fahrenheit)
    _refuse_swapped(sheet, rows, lines, unit, given)
    placed = logger_times.placed([line.stamp for line in lines], tz, given.clock)
    readings, repeated = _readings(lines, placed.moments, unit, now, bad)
    if bad.count and (not given.leave_out_bad or not readings):
        raise BadLines(bad.lines(), bad.count, len(readings))
    return LoggerReadings(readings, bad.count, repeated, placed.notes)


def _check_answers(answers: Answers) -> None:
    for key, accepted in ACCEPTED.items():
        value = getattr(answers, key)
        if value is not None and value not in accepted:
            raise BadInput(
                _("The answer for %(key)s is “%(value)s”.") % {"key": key, "value": value}, ", ".join(accepted)
            )


def _read_lines(rows: Sequence[Row], columns: Columns, answers: Answers, bad: _Bad) -> list[_Line]:
    """Lines with their cells read. Asks for the order of dates when the dates leave it open."""
    order = answers.dates or logger_times.date_order(
        cells[columns.date] for _n, cells in rows if columns.date < len(cells)
    )
    if order is None:
        raise Ask([logger_times.order_question(_first_cell(rows, columns.date))])
    lines = []
    for number, cells in rows:
        try:
            lines.append(_read_line(number, cells, columns, order))
        except logger_times.Unreadable as why:
            bad.add(number, str(why))
    return lines


def _first_cell(rows: Sequence[Row], at: int) -> str:
    return next((cells[at] for _number, cells in rows if at < len(cells) and logger_times.holds_date(cells[at])), "")


def _read_line(number: int, cells: list[str], columns: Columns, order: str) -> _Line:
    if len(cells) <= columns.last:
        raise logger_times.Unreadable(_("it has %(found)d columns, the heading names more.") % {"found": len(cells)})
    when = cells[columns.date] if columns.time < 0 else f"{cells[columns.date]} {cells[columns.time]}"
    stamp = logger_times.read_stamp(when, order)
    if stamp.offset is None and columns.offset_minutes is not None:
        stamp = logger_times.Stamp(stamp.wall, columns.offset_minutes)
    temperature, humidity = _value(cells[columns.temperature]), _value(cells[columns.humidity])
    if temperature is None:
        raise logger_times.Unreadable(_no_number(cells[columns.temperature], _("temperature")))
    if humidity is None:
        raise logger_times.Unreadable(_no_number(cells[columns.humidity], _("humidity")))
    if temperature.unit == "%" or humidity.unit in ("C", "F"):
        raise logger_times.Unreadable(_("temperature and humidity are the wrong way round."))
    return _Line(number, stamp, temperature, humidity)


def _value(cell: str) -> _Value | None:
    found = _NUMBER.fullmatch(cell)
    if found is None:
        return None
    mark = (found[2] or "").upper().lstrip("° ")
    unit = mark[:1] if mark[:1] in ("C", "F") else "%" if mark else ""
    return _Value(float(found[1].replace(",", ".").replace("−", "-")), unit)


def _no_number(cell: str, what: str) -> str:
    text = _("“%(cell)s” is no %(what)s.") if cell else _("the %(what)s is empty.")
    return text % {"what": what, "cell": cell[:40]}


def _unit(lines: Sequence[_Line], columns: Columns, answers: Answers, fahrenheit: bool) -> str:
    """ "C" or "F": as answered, as the heading says, or as the values can only be; otherwise it is asked."""
    named = answers.unit or columns.unit
    if named is not None or not lines or all(line.temperature.unit for line in lines):
        return named or "C"
    middle = median(line.temperature.number for line in lines)
    humid = median(line.humidity.number for line in lines)
    if middle > TOO_WARM_AS_CELSIUS and not _looks_swapped(middle, humid):
        return "F"
    if middle <= TOO_WARM_AS_CELSIUS and not fahrenheit:
        return "C"
    text = _("The file does not say in which unit its temperatures are, such as %(value)s.")
    example = f"{lines[0].temperature.number:g}"
    raise Ask([Question("unit", text % {"value": example}, (("C", _("°C")), ("F", _("°F"))))])


def _looks_swapped(temperature: float, humidity: float) -> bool:
    return temperature > TOO_WARM_AS_CELSIUS and 0 < humidity <= TOO_WARM_AS_CELSIUS


def _refuse_swapped(sheet: Sheet, rows: list[Row], lines: Sequence[_Line], unit: str, answers: Answers) -> None:
    """Refuse °C columns whose values can only be the other way round, unless the person has named both columns."""
    celsius = [line for line in lines if (line.temperature.unit or unit) == "C"]
    if not celsius or (answers.temperature_column and answers.humidity_column):
        return
    warm = median(line.temperature.number for line in celsius)
    humid = median(line.humidity.number for line in lines)
    if _looks_swapped(warm, humid):
        message = _(
            "The temperature column holds values like %(warm)s and the humidity column values like %(humid)s: "
            "they look swapped, so nothing was taken in. Say which column is which."
        ) % {"warm": f"{warm:g}", "humid": f"{humid:g}"}
        raise Ask(logger_columns.both_column_questions(sheet, rows), message)


def _readings(
    lines: Sequence[_Line], moments: Sequence[datetime | None], unit: str, now: datetime, bad: _Bad
) -> tuple[list[Reading], int]:
    """Readings in the order of time, and how many lines say the same thing again."""
    share = bool(lines) and len(lines) > 1 and max(line.humidity.number for line in lines) <= 1.0
    found: dict[datetime, Reading] = {}
    repeated = 0
    for line, moment in zip(lines, moments, strict=True):
        celsius = _celsius(line.temperature, unit)
        humidity = line.humidity.number * (100 if share else 1)
        why = _impossible(line, moment, celsius, humidity, now)
        if why or moment is None:
            bad.add(line.number, why)
        elif moment not in found:
            found[moment] = (moment, celsius, humidity)
        elif found[moment][1:] == (celsius, humidity):
            repeated += 1
        else:
            bad.add(line.number, _("the same time as a line above, with other values."))
    return [found[moment] for moment in sorted(found)], repeated


def _celsius(value: _Value, unit: str) -> float:
    if (value.unit or unit) == "F":
        return round((value.number - 32) * 5 / 9, 3)
    return value.number


def _impossible(line: _Line, moment: datetime | None, celsius: float, humidity: float, now: datetime) -> str:
    """Why a line cannot be true; empty when it can."""
    wall = f"{line.stamp.wall:%Y-%m-%d %H:%M}"
    if moment is None:
        return _("%(when)s never was: the clocks leapt over that hour.") % {"when": wall}
    if moment > now + AHEAD or moment < EARLIEST:
        return _("%(when)s is no time at which this can have been measured.") % {"when": wall}
    if not COLDEST <= celsius <= WARMEST:
        return _("%(value)s is no temperature of a shop (-40 to 60 °C).") % {"value": f"{line.temperature.number:g}"}
    if not 0 <= humidity <= 100:
        return _("%(value)s is no humidity (0 to 100 %%).") % {"value": f"{line.humidity.number:g}"}
    return ""
