"""Three weeks of invented air on the quay, as a logger would have written it."""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta, tzinfo

DAYS = 21
EVERY = timedelta(minutes=30)
HEADER = "time;temperature °C;humidity %"


def logger_text(now: datetime, tz: tzinfo) -> str:
    """A logger's file of the three weeks before `now`: warm working days, cold nights, two damp spells.

    Invented by formula: no random numbers, so that every demo of one moment is the same.
    """
    # In UTC: a wall clock repeats an hour when summer time ends.
    now = now.astimezone(UTC)
    start = (now - timedelta(days=DAYS)).replace(minute=0, second=0, microsecond=0)
    count = int((now - start) / EVERY) + 1
    lines = [_line(start + EVERY * step, tz) for step in range(count)]
    return "\n".join([HEADER, *lines]) + "\n"


def _line(moment: datetime, tz: tzinfo) -> str:
    local = moment.astimezone(tz)
    hour = local.hour + local.minute / 60
    day = local.toordinal()
    # Coldest before dawn, warmest in the afternoon; the stove is lit on working days only.
    swing = -math.cos(2 * math.pi * (hour - 4.5) / 24)
    stove = 3.0 if local.weekday() < 5 and 8 <= hour < 18 else 0.0
    weather = 1.8 * math.sin(day / 2.3) + 0.9 * math.sin(day / 0.9 + 1)
    celsius = 13.2 + 3.2 * swing + stove + weather
    damp = 8.0 * math.sin(day / 3.1 + 2) + 3.0 * math.sin(day * 1.7)
    humidity = min(94.0, max(38.0, 66.0 - 7.5 * swing - 2.2 * stove + damp))
    return f"{local.isoformat(timespec='minutes')};{celsius:.1f};{humidity:.0f}"
