"""Air for the tests: a shop on a quay that is warm by day and cold at night."""

from __future__ import annotations

import math
from datetime import timedelta

from tallboy.book.doing import By
from tallboy.drawers.air.actions import Imported, import_readings
from tallboy.drawers.air.logger_file import Answers


def quay_file(by: By, days: int = 21, minutes: int = 60) -> bytes:
    """A logger's file of the days before now: 8 °C before dawn, 20 °C in the afternoon, humidity the other way."""
    count = days * 24 * 60 // minutes
    lines = ["time;temperature °C;humidity %"]
    for step in range(count, 0, -1):
        at = by.at - timedelta(minutes=step * minutes)
        swing = -math.cos(2 * math.pi * (at.hour + at.minute / 60 - 5) / 24)
        lines.append(f"{at.isoformat()};{14 + 6 * swing:.1f};{65 - 10 * swing:.0f}")
    return "\n".join(lines).encode()


def taken_in(by: By, days: int = 21, minutes: int = 60) -> Imported:
    """The same, taken in."""
    return import_readings(by, quay_file(by, days, minutes), "quay.csv", Answers())
