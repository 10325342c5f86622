"""Questions about the shop's air: the newest reading, the air hour by hour with its forecast, the list of readings."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from django.db.models import Avg, QuerySet
from django.utils.timesince import timesince
from django.utils.translation import gettext as _

from tallboy.book.models import Shop
from tallboy.drawers.air.models import LoggerFile, Reading, nearest_hour
from tallboy.drawers.air.now import AirNow, air_now, apart, humidity, temperature
from tallboy.errors import NotFound
from tallboy.sums import air
from tallboy.sums.air import AirSeries

USUAL_AIR = (18.0, 60.0)
"""[°C, %] of a shop that has no readings at all: a guess, and told as one. Common practice, no source."""
RHYTHM = timedelta(days=15)
"""So much of the air before the last reading is enough for its daily rhythm."""
LONG_AGO = timedelta(days=365)
YESTERDAY = timedelta(days=1)
FILES_SHOWN = 20


def latest(shop: Shop, now: datetime) -> Reading | None:
    """The newest reading that is not later than `now`."""
    return Reading.objects.filter(shop=shop, at__lte=now).order_by("-at").first()


def current(shop: Shop, now: datetime) -> AirNow | None:
    """The newest reading and what follows from it."""
    reading = latest(shop, now)
    return None if reading is None else air_now(shop, reading, now)


def has_readings(shop: Shop) -> bool:
    """Whether the shop has ever read its air; if not, `series` is a guess and the screens say so."""
    return Reading.objects.filter(shop=shop).exists()


def series(shop: Shop, since: datetime, until: datetime) -> AirSeries:
    """The air hour by hour from `since` to `until`: measured where it was, filled in or forecast elsewhere.

    Only a shop without any reading gets USUAL_AIR. Where the last reading is more than a year before `since` no rhythm is carried
    that far: the mean of its last two weeks serves.
    """
    last = Reading.objects.filter(shop=shop, at__lte=until).order_by("-at").values_list("at", flat=True).first()
    if last is None:
        last = Reading.objects.filter(shop=shop).order_by("at").values_list("at", flat=True).first()
    if last is None:
        return air.covering([], since, until, USUAL_AIR)
    if last < since - LONG_AGO:
        return air.covering([], since, until, _mean(shop, last))
    known = _by_hour(shop, min(since - timedelta(hours=1), last - RHYTHM), max(until, last))
    return air.covering(known, since, until)


def _by_hour(shop: Shop, since: datetime, until: datetime) -> list[tuple[datetime, float, float]]:
    """One mean a full hour, worked out by the database: quick with any number of readings."""
    rows = (
        Reading.objects.filter(shop=shop, hour__gte=nearest_hour(since), hour__lte=nearest_hour(until))
        .order_by("hour")
        .values("hour")
        .annotate(celsius_mean=Avg("celsius"), humidity_mean=Avg("relative_humidity"))
        .values_list("hour", "celsius_mean", "humidity_mean")
    )
    return [(datetime.fromtimestamp(hour * 3600, UTC), celsius, percent) for hour, celsius, percent in rows]


def _mean(shop: Shop, last: datetime) -> tuple[float, float]:
    known = _by_hour(shop, last - RHYTHM, last)
    return sum(row[1] for row in known) / len(known), sum(row[2] for row in known) / len(known)


def now_rows(shop: Shop, now: datetime) -> list[dict[str, str]]:
    """Temperature, humidity, dew point and wood moisture in the shop's units, as rows of label, value and spread.

    Empty while there is no reading. A fifth row says how old the reading is when it is no longer fresh.
    """
    found = current(shop, now)
    if found is None:
        return []
    dew = "–" if found.dew is None else temperature(found.dew, shop)
    wood = "–" if found.wood is None else f"{found.wood:.1f} %"
    rows = [
        _row(_("air"), temperature(found.reading.celsius, shop)),
        _row(_("humidity"), humidity(found.reading.relative_humidity)),
        _row(_("dew point"), dew, "" if found.dew is None else apart(found.dew_spread, shop)),
        _row(_("wood settles at"), wood, "" if found.wood is None else f"{found.wood_spread:.1f} %"),
    ]
    return rows if found.fresh else [*rows, _row(_("read"), ago(found))]


def _row(label: str, value: str, spread: str = "") -> dict[str, str]:
    return {"label": label, "value": value, "spread": spread}


def ago(found: AirNow) -> str:
    """How old the newest reading is, in words."""
    if found.age < timedelta(minutes=1):
        return _("just now")
    return _("%(time)s ago") % {"time": timesince(found.reading.at, found.reading.at + found.age, depth=1)}


def now_data(shop: Shop, now: datetime) -> dict[str, Any]:
    """The air now as plain data (°C, %), for a script; `read_at` is None while there is no reading."""
    found = current(shop, now)
    if found is None:
        return {"read_at": None}
    return {
        "read_at": found.reading.at.astimezone(shop.tz).isoformat(),
        "fresh": found.fresh,
        "celsius": found.reading.celsius,
        "relative_humidity": found.reading.relative_humidity,
        "dew_point": found.dew,
        "dew_point_spread": found.dew_spread,
        "wood_settles_at": found.wood,
        "wood_spread": found.wood_spread,
        "surface_margin": found.margin,
        "margin_asked": found.asked,
        "may_coat": found.may_coat,
    }


def line(shop: Shop, now: datetime) -> str:
    """What is in the drawer, for its front: "17.5 °C · 62 %"."""
    found = latest(shop, now)
    if found is None:
        return _("not read yet")
    air_line = f"{temperature(found.celsius, shop)} · {humidity(found.relative_humidity)}"
    if now - found.at <= YESTERDAY:
        return air_line
    return _("%(air)s, %(time)s ago") % {"air": air_line, "time": timesince(found.at, now, depth=1)}


def readings(shop: Shop) -> QuerySet[Reading]:
    """All readings, newest first."""
    return Reading.objects.filter(shop=shop).select_related("file").order_by("-at")


def reading(shop: Shop, pk: int) -> Reading:
    """One reading of the shop."""
    found = Reading.objects.filter(shop=shop, pk=pk).select_related("file").first()
    if found is None:
        raise NotFound(_("There is no such reading in this book."))
    return found


def files(shop: Shop) -> list[LoggerFile]:
    """The newest files taken in."""
    return list(LoggerFile.objects.filter(shop=shop)[:FILES_SHOWN])


def file(shop: Shop, pk: int) -> LoggerFile:
    """One file of the shop."""
    found = LoggerFile.objects.filter(shop=shop, pk=pk).first()
    if found is None:
        raise NotFound(_("There is no such file in this book."))
    return found
