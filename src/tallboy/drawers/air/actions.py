"""Changes to what is known of the shop's air: readings written down, files taken in, either taken back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils.translation import gettext as _

from tallboy.book.doing import By, action
from tallboy.drawers.air.logger_answers import Answers
from tallboy.drawers.air.logger_file import Reading as LoggerReading
from tallboy.drawers.air.logger_file import read_logger_file
from tallboy.drawers.air.models import LoggerFile, Reading
from tallboy.errors import BadInput, NotFound, OutOfRange

CLOCKS_DIFFER = timedelta(minutes=10)
"""A reading may be this much later than now: the browser's clock and the book's need not agree to the minute."""


@dataclass(frozen=True)
class Imported:
    """What came of a logger's file: readings taken in, readings known already, the first and the last of the file."""

    count: int
    skipped: int
    first: datetime
    last: datetime
    file: LoggerFile


@action
def add_reading(by: By, at: datetime, celsius: float, relative_humidity: float) -> Reading:
    """Write down one measurement: when, air temperature [°C], relative humidity [%]."""
    if at.tzinfo is None:
        raise BadInput(_("The time of the reading has no time zone."), _("Give it with one."))
    if at > by.at + CLOCKS_DIFFER:
        raise BadInput(_("The reading would be from a time that is still to come."), _("Give a time up to now."))
    if not -40 <= celsius <= 60:
        raise OutOfRange(_("Air temperature"), f"{celsius:g}", -40, 60, "°C")
    if not 0 <= relative_humidity <= 100:
        raise OutOfRange(_("Relative humidity"), f"{relative_humidity:g}", 0, 100, "%")
    when = by.clock(at)
    if Reading.objects.filter(shop=by.shop, at=at).exists():
        raise BadInput(
            _("There is a reading of %(when)s already.") % {"when": when}, _("Take that one back first if it is wrong.")
        )
    reading = Reading.objects.create(**by.kept(), at=at, celsius=celsius, relative_humidity=relative_humidity)
    by.record("add reading", reading, _("Read the air at %(when)s: %(air)s.") % {"when": when, "air": _air(reading)})
    return reading


@action
def take_back_reading(by: By, reading: Reading, reason: str) -> None:
    """A reading was wrong: it is taken out of the book; what it said stays in the journal with the reason."""
    found = Reading.objects.select_for_update().filter(pk=reading.pk, shop=by.shop).first()
    if found is None:
        raise NotFound(_("There is no such reading in this book."))
    text = _("Took back the reading of %(when)s (%(air)s): %(reason)s")
    by.record(
        "take back reading",
        found,
        text % {"when": by.clock(found.at), "air": _air(found), "reason": _given(reason)},
        at=found.at.isoformat(),
        celsius=found.celsius,
        relative_humidity=found.relative_humidity,
    )
    found.delete()


@action
def import_readings(by: By, data: bytes, name: str, answers: Answers) -> Imported:
    """Take in a logger's file. Nothing is taken in unless all of it is understood.

    Raises Ask when the file leaves something open, BadLines when lines cannot be read and are not to be left out, BadFile when it
    is no logger's file. Readings of a moment that the book knows already are counted and left as they are.
    """
    shop = by.shop
    read = read_logger_file(data, name, tz=shop.tz, now=by.at, fahrenheit=shop.imperial, answers=answers)
    first, last = read.rows[0][0], read.rows[-1][0]
    known = set(Reading.objects.filter(shop=shop, at__gte=first, at__lte=last).values_list("at", flat=True))
    new = [row for row in read.rows if row[0] not in known]
    file = LoggerFile.objects.create(
        **by.kept(),
        name=name[-200:],
        taken_in_at=by.at,
        count=len(new),
        skipped=len(read.rows) - len(new) + read.repeated,
        left_out=read.left_out,
        first=first,
        last=last,
        notes=list(read.notes),
    )
    _keep(by, file, new)
    text = _("Took in %(count)d readings from %(name)s; %(skipped)d were known already, %(left)d bad lines left out.")
    numbers = {"count": file.count, "name": name, "skipped": file.skipped, "left": file.left_out}
    by.record("import readings", file, text % numbers)
    return Imported(file.count, file.skipped, first, last, file)


def _keep(by: By, file: LoggerFile, rows: Sequence[LoggerReading]) -> None:
    kept = by.kept()
    Reading.objects.bulk_create(
        (
            Reading(**kept, file=file, at=at, celsius=celsius, relative_humidity=humidity)
            for at, celsius, humidity in rows
        ),
        batch_size=5000,
    )


@action
def take_back_file(by: By, file: LoggerFile, reason: str) -> int:
    """A whole file was wrong (its unit, its dates): all readings it brought are taken out. Gives how many."""
    found = LoggerFile.objects.select_for_update().filter(pk=file.pk, shop=by.shop).first()
    if found is None:
        raise NotFound(_("There is no such file in this book."))
    told = _given(reason)
    readings = Reading.objects.filter(shop=by.shop, file=found)
    count = readings.count()
    text = _("Took back %(name)s with its %(count)d readings: %(reason)s")
    by.record("take back file", found, text % {"name": found.name, "count": count, "reason": told}, count=count)
    readings.delete()
    found.delete()
    return count


def _given(reason: str) -> str:
    if not reason.strip():
        raise BadInput(_("No reason is given."), _("Say in a few words what was wrong with it."))
    return reason.strip()


def _air(reading: Reading) -> str:
    return f"{reading.celsius:g} °C, {reading.relative_humidity:g} %"
