"""How long a search has gone on: the only place where the planner looks at anything like a clock, and never for the date."""

from __future__ import annotations

import time


class Stopwatch:
    """Runs from the moment it is made."""

    def __init__(self) -> None:
        self._begun = time.monotonic()

    @property
    def seconds(self) -> float:
        """Since it was made [s]."""
        return time.monotonic() - self._begun

    def left_of(self, seconds: float) -> float:
        """What is left of so many seconds [s]; negative when they are over."""
        return seconds - self.seconds
