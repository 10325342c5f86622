"""What steps await, as the planner is asked: what has been bought and has not come yet, and from when it is counted on."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from tallboy.book.models import Shop
from tallboy.drawers.pieces.deliveries import awaited_by, counted_on
from tallboy.drawers.pieces.models import Delivery, Step
from tallboy.planner import network


def awaits(
    steps: Iterable[Step], deliveries: Iterable[Delivery], now: datetime, shop: Shop
) -> dict[int, tuple[network.Delivery, ...]]:
    """For each step that waits for something, what it is and from when the planner may count on it."""
    known = [(row, network.Delivery(row.what, counted_on(row, now, shop))) for row in deliveries]
    found = {step.pk: tuple(asked for row, asked in known if awaited_by(step, row)) for step in steps}
    return {pk: each for pk, each in found.items() if each}
