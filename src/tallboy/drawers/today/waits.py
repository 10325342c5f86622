"""Drying waits and recoat windows in the shop's own air: measured where it was measured, forecast from then on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, datetime, timedelta

from tallboy.book.models import Shop
from tallboy.drawers.air import queries as air
from tallboy.drawers.pieces.models import Step
from tallboy.drawers.shelf import labels
from tallboy.errors import NeverDries
from tallboy.planner import network
from tallboy.planner.grid import wait_minutes
from tallboy.sums import drying
from tallboy.sums.air import AirSeries
from tallboy.sums.drying import Estimate, Label

FORECAST_DAYS = 42
# Stands in for "not in this air": two weeks, by when somebody will have warmed the shop or chosen another can.
UNTIL_IT_WARMS = 14 * 24 * 60
# A window that the air leaves open for less than this is not one to plan by.
LEAST_WINDOW = 60
HOUR = timedelta(hours=1)


class Waits:
    """What the labels ask for, hour by hour, of the coats among some steps. `troubles` collects cans that would not dry."""

    def __init__(self, shop: Shop, now: datetime, steps: Iterable[Step]) -> None:
        ends = [step.ended_at for step in steps if step.ended_at is not None and step.coating]
        since = min([now, *ends]) - HOUR
        self.air: AirSeries = air.series(shop, since, now + timedelta(days=FORECAST_DAYS))
        self.troubles: set[str] = set()
        self._tz = shop.tz
        self._tables: dict[tuple[Label, str], network.ByHour] = {}

    def table(self, step: Step, stage: str) -> network.ByHour | None:
        """Minutes from laying to `stage`, by the hour the coat is laid; None when the label gives no such time."""
        label = labels.label_for_step(step.product, step.coating)
        if label is None or not drying.has_stage(label, stage):
            return None
        return self._of(label, stage)

    def window(self, step: Step) -> int | None:
        """Minutes from the end of a coat until the next may no longer go on; None when the label gives no end.

        The label's own minutes. Only where this air opens the window so late that the label's end leaves no room does the
        end move with the air. For a coat still to come: what every coming day leaves room for.
        """
        label = labels.label_for_step(step.product, step.coating)
        own = labels.closes_after(step.product, step.coating)
        if label is None or own is None:
            return None
        opens = self._of(label, "recoat")
        moved = self._of(
            replace(label, recoat_from_minutes=label.recoat_until_minutes, recoat_until_minutes=None), "recoat"
        )
        closes = network.ByHour(
            opens.start,
            tuple(
                own if own >= least + LEAST_WINDOW else most
                for least, most in zip(opens.minutes, moved.minutes, strict=False)
            ),
        )
        if step.ended_at is not None:
            return wait_minutes(closes, step.ended_at)
        ahead = closes.minutes[max(0, len(closes.minutes) - FORECAST_DAYS * 24) :]
        return max(min(ahead[day : day + 24]) for day in range(0, len(ahead), 24))

    def estimate(self, step: Step, stage: str) -> Estimate | None:
        """When a coat that was laid reaches a stage, with its spread and its working. Raises NeverDries."""
        assert step.ended_at is not None
        laid_at = step.ended_at.astimezone(self._tz)
        return labels.dry_after(step.product, step.coating, stage, laid_at, self.air)

    def dry_at(self, step: Step, stage: str) -> datetime | None:
        """When a coat that was laid reaches a stage, to the hour's worst; None when its label gives no such time."""
        table = self.table(step, stage)
        if table is None or step.ended_at is None:
            return None
        return step.ended_at.astimezone(UTC) + timedelta(minutes=wait_minutes(table, step.ended_at))

    def _of(self, label: Label, stage: str) -> network.ByHour:
        key = (label, stage)
        if key not in self._tables:
            self._tables[key] = self._by_hour(label, stage)
        return self._tables[key]

    def _by_hour(self, label: Label, stage: str) -> network.ByHour:
        try:
            minutes = drying.wait_table(label, stage, self.air)
        except NeverDries as error:
            # One can that would never dry must not stop the plan of all the others.
            self.troubles.add(str(error))
            return network.ByHour(self.air.start, (UNTIL_IT_WARMS,))
        return network.ByHour(self.air.start, tuple(int(value) for value in minutes))
