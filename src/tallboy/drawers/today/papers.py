"""From the book to the day sheet."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext

from tallboy.book.models import Shop
from tallboy.drawers.air import queries as air
from tallboy.drawers.pieces import words
from tallboy.drawers.pieces.papers import language
from tallboy.drawers.today.day import Day, Turn, day_of
from tallboy.drawers.today.models import PlannedPromise
from tallboy.drawers.today.waiting import Waiting
from tallboy.paper import day as paper
from tallboy.sums.units import format_minutes

PROMISES_WITHIN = timedelta(days=14)
WEEK = timedelta(days=7)
WAITS_WITHIN = timedelta(hours=24)


def day_sheet(shop: Shop, at: datetime) -> bytes:
    """Today's steps in order as PDF."""
    day = day_of(shop, at)
    sheet = paper.DaySheet(
        date=date_format(timezone.localtime(at, shop.tz).date(), "l j F Y"),
        hands=shop.hands,
        air=_air(shop, at),
        steps=_steps(day, shop),
        waits=tuple(_wait(row, day) for row in day.waiting if row.opens - at < WAITS_WITHIN),
        promises=tuple(_promise(row) for row in _near(day)),
        shop=shop.name,
    )
    return paper.day_sheet(sheet, shop.paper, made_at=at, language=language(), translate=gettext)


def _air(shop: Shop, at: datetime) -> paper.AirNow | None:
    rows = air.now_rows(shop, at)
    if not rows:
        return None
    latest = air.latest(shop, at)
    read_at = _when(latest.at, at, shop) if latest else ""
    temperature, humidity, dew_point, wood = (row["value"] for row in rows[:4])
    return paper.AirNow(temperature, humidity, dew_point, wood, read_at)


def _clock(moment: datetime, shop: Shop) -> str:
    return timezone.localtime(moment, shop.tz).strftime("%H:%M")


def _when(moment: datetime, now: datetime, shop: Shop) -> str:
    """A time of day, with the day where it is not today."""
    local, today = timezone.localtime(moment, shop.tz), timezone.localtime(now, shop.tz)
    apart = abs(local.date() - today.date())
    return date_format(local, "H:i" if not apart else "D H:i" if apart < WEEK else "j M Y")


def _steps(day: Day, shop: Shop) -> tuple[paper.DayStep, ...]:
    """Today's steps. A caution stands in full beside the first step it belongs to, and by its name beside later ones."""
    told: set[str] = set()
    return tuple(_step(turn, shop, told) for turn in day.today)


def _step(turn: Turn, shop: Shop, told: set[str]) -> paper.DayStep:
    step = turn.row.step
    cautions = tuple(_caution(row, told) for row in words.cautions(step.cautions))
    return paper.DayStep(_clock(turn.start, shop), step.minutes, step.piece.name, step.title, turn.row.reason, cautions)


def _caution(row: dict[str, str], told: set[str]) -> str:
    if row["title"] in told:
        return gettext("%(caution)s, as above.") % {"caution": row["title"]}
    told.add(row["title"])
    return f"{row['title']}. {row['text']}"


def _wait(row: Waiting, day: Day) -> paper.DayWait:
    pattern: paper.Pattern = "soaking" if row.kind == "soak" else "drying"
    spread = f"± {format_minutes(row.spread_minutes)}" if row.spread_minutes else ""
    until = _when(row.opens, day.now, day.shop)
    return paper.DayWait(row.step.title, until, row.verb, spread, row.step.piece.name, pattern)


def _near(day: Day) -> list[PlannedPromise]:
    limit = timezone.localtime(day.now + PROMISES_WITHIN, day.shop.tz).date()
    return [row for row in day.promises if row.piece.promise is not None and row.piece.promise <= limit]


def _promise(row: PlannedPromise) -> paper.DayPromise:
    assert row.piece.promise is not None
    finish = date_format(timezone.localtime(row.finish, row.shop.tz).date(), "D j M")
    outlook = gettext("would be finished %(day)s") % {"day": finish}
    if row.late_minutes:
        outlook = gettext("LATE: would be finished %(day)s") % {"day": finish}
    return paper.DayPromise(row.piece.name, date_format(row.piece.promise, "D j M"), outlook)
