"""Loggers' files as they come: any delimiter, comma, heading, unit, encoding, date order; what is asked; what is refused."""

from __future__ import annotations

from contextlib import suppress
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.drawers.air import logger_columns
from tallboy.drawers.air.logger_answers import SHOWN
from tallboy.drawers.air.logger_file import Answers, Ask, BadLines, LoggerReadings, read_logger_file
from tallboy.errors import BadFile, BadInput

LISBON = ZoneInfo("Europe/Lisbon")
NOW = datetime(2026, 11, 25, 12, tzinfo=LISBON)


def read(text: str | bytes, *, fahrenheit: bool = False, **answers: Any) -> LoggerReadings:
    data = text if isinstance(text, bytes) else text.encode()
    return read_logger_file(data, "quay.csv", tz=LISBON, now=NOW, fahrenheit=fahrenheit, answers=Answers(**answers))


def asked(text: str, **answers: Any) -> dict[str, tuple[str, ...]]:
    """What the file leaves open: the key of each question with the answers it accepts."""
    with pytest.raises(Ask) as caught:
        read(text, **answers)
    return {question.key: tuple(value for value, _words in question.accepted) for question in caught.value.questions}


def utc(*parts: int) -> datetime:
    return datetime(*parts, tzinfo=UTC)  # type: ignore[misc, arg-type]


ONE = (utc(2026, 3, 12, 9), 17.5, 62.0)
FORMS = {
    "semicolon, decimal comma": "time;temperature °C;humidity %\n2026-03-12 09:00;17,5;62,0\n",
    "comma, decimal point": "Date/Time,Temp (°C),RH (%)\n2026-03-12T09:00:00,17.5,62\n",
    "comma, quoted decimal comma": 'Timestamp,Temperature C,Humidity\n"2026-03-12 09:00","17,5","62"\n',
    "tab, date and time apart, units below": "Datum\tZeit\tTemperatur\tFeuchte\n\t\t°C\t%\n12.03.2026\t09:00\t17,5\t62\n",
    "bar, French": "Date et heure|Température (°C)|Humidité (%)\n12.03.2026 09:00|17,5|62\n",
    "preamble and other columns": (
        "Logger seven\nSerial no., 12345\n\n#,Date Time,Temp °C,Dew point °C,RH %\n1,2026-03-12 09:00,17.5,10.1,62\n"
    ),
    "offset on the line": "time,temp °C,rh\n2026-03-12T10:00:00+01:00,17.5,62\n",
    "offset in the heading": '"Date Time, GMT+01:00";"Temp, °C";"RH, %"\n12.03.26 10:00;17,5;62\n',
    "am and pm, month named": "date time,temp c,rh\n12 Mar 2026 9:00:00 AM,17.5,62\n",
    "units in the cells": "time;temp;rh\n2026-03-12 09:00;17,5 °C;62 %\n",
    "Fahrenheit in the cells": "time;temp;rh\n2026-03-12 09:00;63,5 °F;62 %\n",
    "Fahrenheit": "time,temp_f,rh\n2026-03-12 09:00,63.5,62\n",
    "share of one": "time;temperature °C;humidity\n2026-03-12 09:00;17,5;0,62\n2026-03-12 09:30;17,5;0,62\n",
}


@pytest.mark.parametrize("text", FORMS.values(), ids=FORMS.keys())
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_the_same_reading_comes_out_of_every_form(text: str, encoding: str, end: str) -> None:
    """However the logger writes it, the reading is 09:00 UTC, 17.5 °C, 62 %."""
    assert read(text.replace("\n", end).encode(encoding)).rows[0] == ONE


headings = st.sampled_from(
    [("time", "temperature", "humidity"), ("Zeitpunkt", "Temperatur", "rel. Feuchte"), ("Fecha hora", "Temp.", "HR")]
)
readings = st.lists(
    st.tuples(
        st.integers(0, 80_000), st.decimals(-20, 30, places=1), st.integers(2, 100)
    ),
    min_size=1, max_size=30, unique_by=lambda row: row[0],
)  # fmt: skip


@given(
    names=headings,
    rows=readings,
    delimiter=st.sampled_from(";\t|"),
    comma=st.booleans(),
    shape=st.sampled_from(["%Y-%m-%d %H:%M", "%d.%m.%Y %H:%M", "%Y/%m/%dT%H:%M", "%d %b %Y %I:%M %p"]),
    zone=st.sampled_from(["UTC", "Asia/Tokyo", "America/Phoenix"]),
)
def test_what_was_written_is_read_back(
    names: tuple[str, str, str],
    rows: list[tuple[int, object, int]],
    delimiter: str,
    comma: bool,
    shape: str,
    zone: str,
) -> None:
    """Any readings in any shape come back with their own time, temperature and humidity, sorted by time."""
    tz = ZoneInfo(zone)
    wanted, lines = [], [delimiter.join((names[0], f"{names[1]} °C", f"{names[2]} %"))]
    for minutes, celsius, humidity in rows:
        at = utc(2026, 1, 5) + timedelta(minutes=minutes)
        figure = str(celsius).replace(".", ",") if comma else str(celsius)
        lines.append(delimiter.join((at.astimezone(tz).strftime(shape), figure, str(humidity))))
        wanted.append((at, float(str(celsius)), float(humidity)))
    found = read_logger_file("\n".join(lines).encode(), "x", tz=tz, now=NOW)
    assert found.rows == sorted(wanted)


def test_the_order_of_day_and_month_is_asked_only_when_it_is_open() -> None:
    """03/04 alone could be April or March; one 13 on either side settles it for the whole file."""
    head = "time,temp °C,rh\n"
    assert asked(head + "03/04/2026 09:00,17.5,62\n") == {"dates": ("day-first", "month-first")}
    day = read(head + "03/04/2026 09:00,17.5,62\n", dates="day-first").rows[0][0]
    month = read(head + "03/04/2026 09:00,17.5,62\n", dates="month-first").rows[0][0]
    assert (day, month) == (utc(2026, 4, 3, 8), utc(2026, 3, 4, 9))
    assert read(head + "03/04/2026 09:00,17,62\n13/04/2026 09:00,17,62\n").rows[0][0] == utc(2026, 4, 3, 8)
    assert read(head + "03/04/2026 09:00,17,62\n03/14/2026 09:00,17,62\n").rows[0][0] == utc(2026, 3, 4, 9)


def test_dates_that_go_both_ways_are_refused() -> None:
    """A file with 13/04 and 04/13 has no order at all."""
    with pytest.raises(BadFile, match="both ways"):
        read("time,temp °C,rh\n13/04/2026 09:00,17,62\n04/13/2026 09:00,17,62\n")


def test_the_unit_is_asked_where_the_values_leave_it_open() -> None:
    """A shop that thinks in °F is asked about 17.5; 65 can only be °F; a metric shop's 17.5 can only be °C."""
    low, high = "time,temp,rh\n2026-03-12 09:00,17.5,62\n", "time,temp,rh\n2026-03-12 09:00,65.3,62\n"
    with pytest.raises(Ask) as caught:
        read(low, fahrenheit=True)
    assert [question.key for question in caught.value.questions] == ["unit"]
    assert read(low, fahrenheit=True, unit="C").rows[0][1] == 17.5
    assert read(low).rows[0][1] == 17.5
    assert read(high).rows[0][1] == pytest.approx(18.5)


@pytest.mark.parametrize("heading", ["Temp °C,RH", "Temp,RH"])
def test_swapped_columns_are_noticed(heading: str) -> None:
    """Humidity in the temperature column is not taken in as hot dry air; naming the columns puts it right."""
    text = f"time,{heading}\n2026-03-12 09:00,62,17.5\n2026-03-12 10:00,63,17.1\n"
    unit: dict[str, Any] = {} if "°C" in heading else {"unit": "C"}
    with pytest.raises(Ask, match="look swapped, so nothing was taken in"):
        read(text, **unit)
    assert read(text, temperature_column="3", humidity_column="Temp °C" if unit == {} else "Temp").rows[0] == ONE


def test_a_column_that_could_be_either_is_asked() -> None:
    """Two temperature columns, or none with a heading: the person chooses by heading or number."""
    two = "time,temp inside °C,temp outside °C,rh\n2026-03-12 09:00,17.5,8,62\n"
    assert asked(two) == {"temperature_column": ("2", "3")}
    assert read(two, temperature_column="temp inside °C").rows == [ONE]
    bare = "2026-03-12 09:00;17,5;62\n2026-03-12 09:30;17,6;62\n"
    assert asked(bare) == {"temperature_column": ("2", "3"), "humidity_column": ("2", "3")}
    assert len(read(bare, temperature_column="2", humidity_column="3").rows) == 2


@pytest.mark.parametrize(
    "answers",
    [{"unit": "K"}, {"dates": "year"}, {"clock": "x"}, {"temperature_column": "9"},
     {"temperature_column": "2", "humidity_column": "2"}],
)  # fmt: skip
def test_an_answer_that_is_none_is_refused(answers: dict[str, Any]) -> None:
    """A wrong answer is told with what would be accepted."""
    with pytest.raises(BadInput):
        read("time;temp °C;rh\n2026-03-12 09:00;17,5;62\n", **answers)


BAD = {
    "yesterday;17;62": "is no date",
    "2026-02-30 09:00;17;62": "no day or time that exists",
    "2026-03-12 25:00;17;62": "no day or time that exists",
    "2026-03-12;17;62": "is no date with a time",
    "2026-03-12 10:00;;62": "temperature is empty",
    "2026-03-12 10:00;---;62": "is no temperature",
    "2026-03-12 10:00;nan;62": "is no temperature",
    "2026-03-12 10:00;61;62": "no temperature of a shop",
    "2026-03-12 10:00;17;101": "is no humidity",
    "2026-03-12 10:00;17": "columns",
    "2026-03-12 10:00;62 %;17 °C": "wrong way round",
    "2027-03-12 10:00;17;62": "no time at which",
    "2026-03-12 09:00;18;62": "other values",
}


@pytest.mark.parametrize(("line", "why"), BAD.items())
def test_a_bad_line_is_named_by_number_and_reason(line: str, why: str) -> None:
    """One bad line stops the file, says its number and what is wrong; left out, the good lines come in."""
    text = f"time;temp °C;rh\n2026-03-12 09:00;17,5;62\n{line}\n2026-03-12 11:00;17,5;62\n"
    with pytest.raises(BadLines) as caught:
        read(text)
    assert (caught.value.count, caught.value.good) == (1, 2)
    number, told = caught.value.lines[0]
    assert number == 3
    assert why in told
    left = read(text, leave_out_bad=True)
    assert (len(left.rows), left.left_out) == (2, 1)


def test_only_the_first_bad_lines_are_listed() -> None:
    """A thousand bad lines are counted, twenty are told, in their order."""
    text = "time;temp °C;rh\n2026-03-12 09:00;17,5;62\n" + "x;17;62\n" * 1000
    with pytest.raises(BadLines) as caught:
        read(text)
    assert caught.value.count == 1000
    assert [number for number, _why in caught.value.lines] == list(range(3, 3 + SHOWN))


def test_a_file_without_one_good_line_is_never_taken_in() -> None:
    """Leaving out the bad lines of a file that has no others is no import of nothing."""
    with pytest.raises(BadLines):
        read("time;temp °C;rh\nx;17;62\n", leave_out_bad=True)


def test_the_same_line_twice_is_counted_not_refused() -> None:
    """A line that says the same again does no harm."""
    found = read("time;temp °C;rh\n" + "2026-03-12 09:00;17,5;62\n" * 3)
    assert (found.rows, found.repeated) == ([ONE], 2)


HEAD = "time;temp °C;rh\n"


def hours(*clock: str) -> str:
    return HEAD + "".join(f"{when};{10 + at};60\n" for at, when in enumerate(clock))


def moments(found: LoggerReadings) -> list[str]:
    return [f"{at:%H:%M}" for at, _c, _h in found.rows]


def test_an_hour_that_comes_twice_is_two_hours() -> None:
    """On 25 October 2026 Lisbon lives 01:00 to 02:00 twice; the second run is the later hour, and that is told."""
    clock = (
        "2026-10-25 00:30",
        "2026-10-25 01:00",
        "2026-10-25 01:30",
        "2026-10-25 01:00",
        "2026-10-25 01:30",
        "2026-10-25 02:00",
    )
    found = read(hours(*clock))
    assert moments(found) == ["23:30", "00:00", "00:30", "01:00", "01:30", "02:00"]
    assert "came twice" in found.notes[0]
    assert moments(read(hours(*reversed(clock)))) == moments(found)


def test_an_hour_that_came_twice_but_was_logged_once_is_asked() -> None:
    """Then the logger's clock may not have been moved: kept, all later lines are an hour of clock time apart from the wall's."""
    text = hours("2026-10-25 00:30", "2026-10-25 01:30", "2026-10-25 02:30")
    assert asked(text) == {"clock": ("moved", "kept")}
    assert moments(read(text, clock="kept")) == ["23:30", "00:30", "01:30"]
    assert moments(read(text, clock="moved")) == ["23:30", "00:30", "02:30"]


def test_an_hour_that_never_was_is_asked_and_then_refused() -> None:
    """On 29 March 2026 Lisbon leaps over 01:00 to 02:00; a clock that was moved cannot have shown 01:30."""
    text = hours("2026-03-29 00:30", "2026-03-29 01:30", "2026-03-29 02:30")
    assert asked(text) == {"clock": ("moved", "kept")}
    assert moments(read(text, clock="kept")) == ["00:30", "01:30", "02:30"]
    with pytest.raises(BadLines, match="leapt over"):
        read(text, clock="moved")


def test_times_with_an_offset_need_no_clock() -> None:
    """An offset on the line settles the hour that comes twice."""
    found = read(hours("2026-10-25T01:30+01:00", "2026-10-25T01:30Z", "2026-10-25T02:30Z"))
    assert moments(found) == ["00:30", "01:30", "02:30"]


@pytest.mark.parametrize(
    "data",
    [b"", b"hello", b"PK\x03\x04 a workbook", b"\xd0\xcf\x11\xe0 an old one", bytes(range(256)) * 8, b"time;temp;rh\n",
     b"\xff\xfe\x00", b"temp;rh\n17;60\n"],
)  # fmt: skip
def test_what_is_no_loggers_file_is_refused(data: bytes) -> None:
    """Empty, other or binary files get a plain message that says what is expected."""
    with pytest.raises(BadFile) as caught:
        read(data)
    assert caught.value.hint


def test_too_much_is_refused_before_it_is_read() -> None:
    """More than 20 MB, or more than 600 000 lines."""
    with pytest.raises(BadFile, match=r"20\.0 MB"):
        read(b"x" * (logger_columns.LARGEST_BYTES + 1))
    with pytest.raises(BadFile, match="600001 lines"):
        read(b"\n" * logger_columns.MOST_LINES)


@given(st.binary(max_size=400))
def test_no_bytes_at_all_are_a_program_error(data: bytes) -> None:
    """Whatever is brought is either read or refused in plain words."""
    with suppress(BadInput):
        found = read(HEAD.encode() + data)
        assert found.rows == sorted(found.rows)


def test_a_quoted_cell_that_never_ends_is_no_reading() -> None:
    """However long it is: the file is refused like any other that holds none."""
    with pytest.raises(BadFile, match="No reading of the air was found"):
        read_logger_file(b'"' * 300_000, "long.csv", tz=UTC, now=datetime(2026, 3, 12, tzinfo=UTC))
