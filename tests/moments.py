"""Where and when the tests' shop is."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

LISBON = ZoneInfo("Europe/Lisbon")
MORNING = datetime(2026, 3, 12, 9, 0, tzinfo=LISBON)
