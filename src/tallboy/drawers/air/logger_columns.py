"""The text of a logger's file cut into lines and cells, and which column holds what."""

from __future__ import annotations

import csv
import re
import unicodedata
from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tallboy.drawers.air import logger_times
from tallboy.drawers.air.logger_answers import Answers, Ask, Question
from tallboy.errors import BadFile, BadInput

LARGEST_BYTES = 20_000_000
MOST_LINES = 600_000
DELIMITERS = (";", "\t", "|", ",")
LOOK_AHEAD = 80
"""The heading is looked for in so many lines."""
EXPECTED = gettext_lazy(
    "A logger's file has a column each for the time, the temperature and the humidity, such as: "
    "time;temperature °C;humidity %"
)

# Words of headings in the languages that loggers are sold with; accents are taken off before they are compared.
_NOT_AIR = re.compile(
    r"dew|wet.?bulb|heat.?index|feels|absol|g/m|\btau|rosee|rocio|orvalho|rugiada|dauw|\bdp\b|pressure"
)
_HUMIDITY = re.compile(r"humid|feucht|humed|umid|vocht|fugt|fukt|hygro|\bhum\b|\brh\b|\br\.h|\bhr\b|\brf\b|rh%|%rh|^%$")
_TEMPERATURE = re.compile(r"temp|celsius|fahrenheit|°\s*[cf]\b|deg\.?\s*[cf]\b|^[tcf]$|^t\s*[\[(]")
_DATE = re.compile(r"\bdate|\bdatum|\bfecha|\bdata\b|\bdato\b|\bday\b|\btag\b|\bjour")
_TIME = re.compile(r"time|zeit|\bhora|\bheure|\bora\b|\btijd|\btid\b|\buhr|\bhour|\bclock|\bwhen\b")
_BOTH = re.compile(r"time.?stamp|date.?time|datum.?zeit|\bwhen\b|recorded|logged")
_CELSIUS = re.compile(r"°\s*c\b|celsius|deg\.?\s*c\b|[\[(_ ]c[\])]?$|^c$")
_FAHRENHEIT = re.compile(r"°\s*f\b|fahrenheit|deg\.?\s*f\b|[\[(_ ]f[\])]?$|^f$")
_NUMBER = re.compile(r"[-+−]?\d+(?:[.,]\d+)?\D{0,6}")

Row = tuple[int, list[str]]


@dataclass(frozen=True)
class Columns:
    """Where a line holds what (from 0). `time` is -1 when the date column holds the time as well."""

    date: int
    time: int
    temperature: int
    humidity: int
    unit: str | None = None
    offset_minutes: int | None = None

    @property
    def last(self) -> int:
        return max(self.date, self.time, self.temperature, self.humidity)


@dataclass(frozen=True)
class Sheet:
    """The file as cells: the heading (empty when there is none) and the lines below it with their numbers."""

    heading: list[str]
    rows: list[Row]


def decoded(data: bytes, name: str) -> str:
    """The text of the file: UTF-8 or UTF-16 with or without a mark, else Windows' western letters."""
    if len(data) > LARGEST_BYTES:
        size = f"{len(data) / 1e6:.1f}"
        raise BadFile(
            _("%(name)s has %(size)s MB.") % {"name": name, "size": size},
            _("A logger's file may have 20 MB at most: export a shorter stretch of time."),
        )
    if data.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        raise BadFile(
            _("%(name)s is a workbook of a spreadsheet, not a text.") % {"name": name},
            _("Save it as CSV there, and bring that."),
        )
    text = _text(data)
    if text is None or "\0" in text:
        raise BadFile(_("%(name)s is not a text.") % {"name": name}, _("Export the readings as CSV or text."))
    return text


def _text(data: bytes) -> str | None:
    for encoding in _encodings(data):
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    return None


def _encodings(data: bytes) -> tuple[str, ...]:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return ("utf-16",)
    if data[1:200:2].count(0) > len(data[1:200:2]) * 0.6:
        return ("utf-16-le",)
    if data[0:200:2].count(0) > len(data[0:200:2]) * 0.6:
        return ("utf-16-be",)
    return ("utf-8-sig", "cp1252")


def sheet_of(text: str, name: str) -> Sheet:
    """Find the delimiter and the heading, and cut the lines into cells. Blank lines and the preamble are left out."""
    lines = re.split(r"\r\n|\n|\r", text)
    if len(lines) > MOST_LINES:
        raise BadFile(
            _("%(name)s has %(count)d lines.") % {"name": name, "count": len(lines)},
            _("A logger's file may have 600 000 lines at most: export a shorter stretch of time."),
        )
    score, at, delimiter = max(
        (_best_heading(lines, delimiter) for delimiter in DELIMITERS), key=lambda found: (found[0], -found[1])
    )
    if score >= 2:
        return Sheet(_cells(lines[at], delimiter), list(_rows(lines, at + 1, delimiter)))
    return _without_heading(lines, name)


def _best_heading(lines: Sequence[str], delimiter: str) -> tuple[int, int, str]:
    """How many of time, temperature and humidity the best line names, and where it is."""
    scores = [(_roles_named(_cells(line, delimiter)), -at) for at, line in enumerate(lines[:LOOK_AHEAD])]
    score, at = max(scores, default=(0, 0))
    return score, -at, delimiter


def _roles_named(cells: Sequence[str]) -> int:
    if any(logger_times.WHEN.fullmatch(cell) for cell in cells):
        return 0
    plain = [_plain(cell) for cell in cells if len(cell) <= 80]
    named = [any(test(cell) for cell in plain) for test in (_is_when, _is_temperature, _is_humidity)]
    # One cell that names everything is a sentence of the preamble, not a heading.
    return sum(named) if len(cells) >= 2 else 0


def _without_heading(lines: Sequence[str], name: str) -> Sheet:
    for delimiter in DELIMITERS:
        for at, line in enumerate(lines[:LOOK_AHEAD]):
            cells = _cells(line, delimiter)
            numbers = sum(bool(_NUMBER.fullmatch(cell)) for cell in cells)
            if numbers >= 2 and any(logger_times.holds_date(cell) for cell in cells):
                return Sheet([], list(_rows(lines, at, delimiter)))
    raise BadFile(_("No reading of the air was found in %(name)s.") % {"name": name}, str(EXPECTED))


def _rows(lines: Sequence[str], first: int, delimiter: str) -> Iterable[Row]:
    for number, line in enumerate(lines[first:], start=first + 1):
        cells = _cells(line, delimiter)
        if any(cells):
            yield number, cells


def _cells(line: str, delimiter: str) -> list[str]:
    """One line cut up. A quoted cell never runs over the end of its line, so that line numbers stay true."""
    if '"' in line:
        # A cell longer than the reader takes is no quoted cell of a logger.
        with suppress(csv.Error):
            return [cell.strip() for cell in next(csv.reader([line], delimiter=delimiter), [])]
    return [cell.strip() for cell in line.split(delimiter)]


def _plain(heading: str) -> str:
    """A heading in small letters without accents: "Température (℃)" is "temperature (°c)"."""
    text = unicodedata.normalize("NFKC", heading.replace("º", "°")).casefold()
    return "".join(sign for sign in unicodedata.normalize("NFD", text) if not unicodedata.combining(sign)).strip()


def _is_humidity(plain: str) -> bool:
    return bool(_HUMIDITY.search(plain)) and not _NOT_AIR.search(plain)


def _is_temperature(plain: str) -> bool:
    return bool(_TEMPERATURE.search(plain)) and not _NOT_AIR.search(plain) and not _is_humidity(plain)


def _is_when(plain: str) -> bool:
    return bool(_DATE.search(plain) or _TIME.search(plain) or _BOTH.search(plain)) and not _is_temperature(plain)


def columns_of(sheet: Sheet, answers: Answers) -> tuple[Columns, list[Row]]:
    """Which column holds what, and the rows below the heading. Raises Ask when a heading leaves it open."""
    rows = sheet.rows
    plain = [_plain(cell) for cell in sheet.heading]
    if rows and plain and _is_units(rows[0][1]):
        units = [_plain(cell) for cell in rows[0][1]]
        plain = [f"{one} {two}".strip() for one, two in zip(plain, units + [""] * len(plain), strict=False)]
        rows = rows[1:]
    date, time = _when_columns(sheet, plain, rows, answers)
    questions: list[Question] = []
    temperature = _one(sheet, rows, plain, "temperature_column", answers.temperature_column, questions)
    humidity = _one(sheet, rows, plain, "humidity_column", answers.humidity_column, questions)
    if questions:
        raise Ask(questions)
    if temperature == humidity:
        raise BadInput(_("Temperature and humidity cannot be the same column."), _("Name two columns."))
    heading = plain[temperature] if temperature < len(plain) else ""
    offset = logger_times.offset_in(plain[date]) if date < len(plain) else None
    return Columns(date, time, temperature, humidity, unit_in(heading), offset), rows


def unit_in(heading: str) -> str | None:
    """The unit that a heading names: "C", "F" or None."""
    plain = _plain(heading)
    found = {"C": bool(_CELSIUS.search(plain)), "F": bool(_FAHRENHEIT.search(plain))}
    named = [unit for unit, is_named in found.items() if is_named]
    return named[0] if len(named) == 1 else None


def _is_units(cells: Sequence[str]) -> bool:
    """A line of units below the heading: no digits in it, but a degree or a percent sign."""
    joined = " ".join(cells)
    return not any(sign.isdigit() for sign in joined) and bool(re.search(r"[°º℃℉%]", joined))


def _when_columns(sheet: Sheet, plain: list[str], rows: list[Row], answers: Answers) -> tuple[int, int]:
    if answers.time_column is not None:
        return _named(sheet, rows, "time_column", answers.time_column), -1
    if not plain:
        return _when_from_cells(rows)
    found = [at for at, cell in enumerate(plain) if _is_when(cell)]
    dates = [
        at for at in found if any(logger_times.holds_date(cells[at]) for _n, cells in rows[:20] if at < len(cells))
    ]
    whole = [at for at in dates if any(logger_times.WHEN.fullmatch(c[at]) for _n, c in rows[:20] if at < len(c))]
    times = [at for at in found if at not in dates]
    if len(whole) > 1:
        raise Ask([_column_question("time_column", sheet, rows, whole)])
    if whole:
        return whole[0], -1
    if dates and times:
        return dates[0], times[0]
    if not found:
        return _when_from_cells(rows)
    return found[0], -1


def _when_from_cells(rows: list[Row]) -> tuple[int, int]:
    """The column of a file without a heading whose cells are dates, and the one of times of day beside it."""
    for _number, cells in rows[:20]:
        for at, cell in enumerate(cells):
            if logger_times.WHEN.fullmatch(cell):
                return at, -1
            if logger_times.holds_date(cell):
                clock = next((n for n, text in enumerate(cells) if logger_times.CLOCK.fullmatch(text)), -1)
                return at, clock
    raise BadFile(_("No line of the file begins with a date and a time."), str(EXPECTED))


def _one(
    sheet: Sheet, rows: list[Row], plain: list[str], key: str, answer: str | None, questions: list[Question]
) -> int:
    """The one column for a quantity: as answered, as its heading says, or a question."""
    if answer is not None:
        return _named(sheet, rows, key, answer)
    test = _is_temperature if key == "temperature_column" else _is_humidity
    found = [at for at, cell in enumerate(plain) if test(cell)]
    if len(found) == 1:
        return found[0]
    questions.append(_column_question(key, sheet, rows, found or _number_columns(rows)))
    return -1


def _number_columns(rows: list[Row]) -> list[int]:
    first = rows[0][1] if rows else []
    return [at for at, cell in enumerate(first) if _NUMBER.fullmatch(cell)]


def _column_question(key: str, sheet: Sheet, rows: list[Row], found: list[int]) -> Question:
    texts = {
        "time_column": _("Which column is the time?"),
        "temperature_column": _("Which column is the temperature of the air?"),
        "humidity_column": _("Which column is the relative humidity?"),
    }
    if not found:
        raise BadFile(texts[key] + " " + _("No column of the file can be it."), str(EXPECTED))
    return Question(key, texts[key], tuple((str(at + 1), _column_words(sheet, rows, at)) for at in found))


def _column_words(sheet: Sheet, rows: list[Row], at: int) -> str:
    name = sheet.heading[at] if at < len(sheet.heading) else _("column %(number)d") % {"number": at + 1}
    some = ", ".join(cells[at] for _number, cells in rows[:3] if at < len(cells))
    return f"{name} ({some} …)" if some else name


def _named(sheet: Sheet, rows: list[Row], key: str, answer: str) -> int:
    """The column that an answer names by heading or number."""
    width = max([len(sheet.heading), *(len(cells) for _number, cells in rows[:20])])
    if answer.isdecimal() and 1 <= int(answer) <= width:
        return int(answer) - 1
    names = [_plain(cell) for cell in sheet.heading]
    if _plain(answer) in names:
        return names.index(_plain(answer))
    raise BadInput(
        _("There is no column “%(name)s” in the file.") % {"name": answer},
        _("Name one by its heading or its number, 1 to %(width)d.") % {"width": width},
    )


def both_column_questions(sheet: Sheet, rows: list[Row]) -> list[Question]:
    """Questions for temperature and humidity that offer every column of numbers."""
    numbers = _number_columns(rows)
    return [_column_question(key, sheet, rows, numbers) for key in ("temperature_column", "humidity_column")]
