"""Drying waits and recoat windows in the shop's own air: measured where it was measured, forecast from then on."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from datetime import UTC, datetime, timedelta

import numpy as np
from django.utils.translation import gettext as _
from numpy.typing import NDArray

from tallboy.book.models import Shop
from tallboy.drawers.air import queries as air
from tallboy.drawers.pieces.models import Step
from tallboy.drawers.shelf import labels
from tallboy.drawers.shelf.touches import Felt, Fingers
from tallboy.errors import NeverDries
from tallboy.planner import network
from tallboy.planner.slots.grid import wait_minutes
from tallboy.sums import drying
from tallboy.sums.air import AirSeries
from tallboy.sums.drying import Estimate, Factor, Label, Law
from tallboy.sums.units import format_minutes

FORECAST_DAYS = 42
# Stands in for "not in this air": two weeks, by when somebody will have warmed the shop or chosen another can.
UNTIL_IT_WARMS = 14 * 24 * 60
# What would take longer than this from now is beyond all that can be known of the air; nobody plans by it.
LONGEST_DAYS = 180
LONGEST_WAIT = LONGEST_DAYS * 24 * 60
# Where the air opens a window so late that the label's own end would leave less than this, the end moves with the air.
LEAST_WINDOW = 60
# A plan runs in steps of five minutes: a window that is open for less than two of them is taken for open so long.
NARROWEST = 10
A_DAY = 24
HOUR = timedelta(hours=1)
MINUTE = timedelta(minutes=1)

Minutes = NDArray[np.int64]


def coat_key(step: Step) -> str:
    """The name by which the shelf knows the coat that a step laid."""
    return f"step {step.pk}"


def may_be_felt(step: Step) -> bool:
    """Whether a finger can tell how far this coat is: it was laid, from a can on the shelf, and is no glue."""
    if step.state != Step.State.DONE or step.product is None:
        return False
    label = labels.label_for_step(step.product, step.coating)
    return label is not None and label.law is not Law.GLUE


class Waits:
    """What the labels ask for, hour by hour, of the coats among some steps, as the shop's fingers have corrected it.

    `air_change` puts another air in place of the shop's; where the forecast ends, its last day goes on for `days` from now.
    `troubles` collects cans that would not dry, and coats that felt dry where it was too cold to dry, or far too soon.
    """

    def __init__(
        self,
        shop: Shop,
        now: datetime,
        steps: Iterable[Step],
        air_change: Callable[[AirSeries], AirSeries] | None = None,
    ) -> None:
        steps = list(steps)
        ends = [step.ended_at for step in steps if step.ended_at is not None and step.coating]
        since = min([now, *ends]) - HOUR
        series = air.series(shop, since, now + timedelta(days=FORECAST_DAYS))
        self.air: AirSeries = air_change(series) if air_change else series
        self.days = FORECAST_DAYS
        self.troubles: set[str] = set()
        self.now = now
        self._tz = shop.tz
        self._fingers = Fingers(shop, now, [step.product for step in steps if step.product is not None])
        self._known: dict[tuple[Label, str, float], Minutes] = {}
        self._never: set[Label] = set()
        self._labels: dict[tuple[int | None, str], Label | None] = {}
        self._tables: dict[tuple[bytes, int], network.ByHour] = {}
        self._sure: dict[tuple[Label, str, float], float] = {}

    def label(self, step: Step) -> Label | None:
        """The label that a step is reckoned with; None where nothing dries."""
        key = (step.product_id, step.coating)
        if key not in self._labels:
            self._labels[key] = labels.label_for_step(step.product, step.coating)
        return self._labels[key]

    def table(self, step: Step, stage: str, least: int = 0) -> network.ByHour | None:
        """Minutes from laying to `stage`, `least` at the least, by the hour the coat is laid; None when the label gives no such time.

        A coat that was felt dry enough waits no longer than until then, or than `least`.
        """
        label = self.label(step)
        if label is None or not drying.has_stage(label, stage):
            return None
        felt = self.felt_dry(step, stage)
        if felt is not None and step.ended_at is not None:
            return network.ByHour(self.air.start, (max(least, int((felt.touch.at - step.ended_at) / MINUTE)),))
        return self._as_table(np.maximum(self._minutes(label, stage, self._factor(step)), least))

    def felt_dry(self, step: Step, stage: str) -> Felt | None:
        """The touch that found a laid coat dry enough for a stage. Where it was too cold to dry, or far too soon, that is told."""
        felt = self._fingers.dry(step.product, coat_key(step), stage) if step.state == Step.State.DONE else None
        if felt is not None:
            self.troubles.update(_doubts(step, felt))
        return felt

    def _factor(self, step: Step) -> Factor | None:
        return self._fingers.factor(step.product, coat_key(step) if step.state == Step.State.DONE else "")

    def window(self, step: Step) -> int | None:
        """Minutes from the end of a laid coat until the next may no longer go on; None when the label gives no end."""
        closes = self.closes(step)
        if closes is None or step.ended_at is None:
            return None
        return wait_minutes(closes, step.ended_at)

    def closes(self, step: Step) -> network.ByHour | None:
        """Minutes until the next coat may no longer go on, by the hour a coat is laid; None when the label gives no end.

        The label's own minutes, fewer in warmer air. In colder air more only where the air opens the window so late that the
        label's end would leave no room: then the end moves with the air. Nobody should count on more.
        """
        label = self.label(step)
        factor = self._factor(step)
        own = labels.closes_after(step.product, step.coating, factor)
        if label is None or own is None:
            return None
        opens, moved = self._minutes(label, "recoat", factor), self._moved(label, factor)
        if moved is None:
            return None
        sooner = np.minimum(own, moved)
        closes = np.where(sooner >= opens + LEAST_WINDOW, sooner, np.maximum(moved, opens + NARROWEST))
        return self._as_table(closes)

    def _moved(self, label: Label, factor: Factor | None) -> Minutes | None:
        """The window's end as the air moves it, hour by hour."""
        from_minutes, until_minutes = label.recoat_from_minutes, label.recoat_until_minutes
        if from_minutes is not None and until_minutes is not None and until_minutes - from_minutes < NARROWEST:
            self.troubles.add(_narrow_words(label))
        try:
            return drying.window_table(label, self.air, factor)
        except NeverDries:
            # Told where the wait itself is worked out.
            return None

    def tells_of(self, label: Label) -> bool:
        """Whether it was told already that a can with this label does not dry in this air."""
        return label in self._never

    def spread(self, step: Step, stage: str) -> float:
        """One standard deviation of the natural logarithm of a wait from the label [1]; 0 where it is known or over."""
        label = self.label(step)
        if label is None or not drying.has_stage(label, stage):
            return 0.0
        if step.ended_at is not None:
            dry = self.dry_at(step, stage)
            if dry is None or dry <= self.now or self.felt_dry(step, stage) is not None:
                return 0.0
        factor = self._factor(step)
        key = (label, stage, factor.value if factor else 1.0)
        if key not in self._sure:
            self._sure[key] = _log_spread(label, stage, self.now.astimezone(self._tz), self.air, factor)
        return self._sure[key]

    def estimate(self, step: Step, stage: str) -> Estimate | None:
        """When a coat that was laid reaches a stage, with its spread and its working. Raises NeverDries."""
        assert step.ended_at is not None
        felt = self.felt_dry(step, stage)
        if felt is not None:
            return _felt_estimate(step, felt)
        laid_at = step.ended_at.astimezone(self._tz)
        return labels.dry_after(step.product, step.coating, stage, laid_at, self.air, self._factor(step))

    def dry_at(self, step: Step, stage: str) -> datetime | None:
        """When a coat that was laid reaches a stage, to the hour's worst; None when its label gives no such time."""
        table = self.table(step, stage)
        if table is None or step.ended_at is None:
            return None
        return step.ended_at.astimezone(UTC) + timedelta(minutes=wait_minutes(table, step.ended_at))

    def _minutes(self, label: Label, stage: str, factor: Factor | None) -> Minutes:
        key = (label, stage, factor.value if factor else 1.0)
        if key not in self._known:
            self._known[key] = self._by_hour(label, stage, factor)
        return self._known[key]

    def _as_table(self, minutes: Minutes) -> network.ByHour:
        """What the planner reads; equal minutes give the very same table."""
        key = (minutes.tobytes(), self.days)
        if key not in self._tables:
            longer = _carried_on(minutes, (self.days - FORECAST_DAYS) * A_DAY)
            self._tables[key] = network.ByHour(self.air.start, tuple(longer.tolist()))
        return self._tables[key]

    def _by_hour(self, label: Label, stage: str, factor: Factor | None) -> Minutes:
        try:
            minutes = drying.wait_table(label, stage, self.air, factor)
        except NeverDries as error:
            # One can that would never dry must not stop the plan of all the others.
            self.troubles.add(str(error))
            self._never.add(label)
            return np.full(self.air.hours, UNTIL_IT_WARMS, dtype=np.int64)
        # The cap counts from now, so that waiting long enough makes no coat ready that is not dry.
        gone = np.maximum((self.now - self.air.start) / MINUTE - 60 * np.arange(len(minutes)), 0)
        capped: Minutes = np.minimum(minutes, LONGEST_WAIT + gone.astype(np.int64))
        if bool((capped < minutes).any()):
            self.troubles.add(_long_words(label, int(minutes.max())))
        return capped


def _carried_on(minutes: Minutes, hours: int) -> Minutes:
    """The minutes by the hour, carried on for so many hours in the rhythm of the last day that the known air was enough for."""
    if hours <= 0 or len(minutes) < 2 * A_DAY:
        return minutes
    behind = min(math.ceil(int(minutes[-1]) / 60), len(minutes) - 2 * A_DAY)
    day = minutes[len(minutes) - behind - A_DAY : len(minutes) - behind]
    return np.concatenate([minutes[: len(minutes) - behind], np.resize(day, behind + hours)])


def _log_spread(label: Label, stage: str, at: datetime, series: AirSeries, factor: Factor | None) -> float:
    try:
        found = drying.dry_after(label, stage, at, series, factor)
    except NeverDries:
        return 0.0
    return math.log(found.high / found.low) / 2


def _narrow_words(label: Label) -> str:
    words = {"source": label.source[:1].upper() + label.source[1:], "minutes": NARROWEST}
    return (
        _(
            "%(source)s: the window for the next coat is open for less than %(minutes)d minutes. The plan reckons with %(minutes)d: look "
            "whether that is what the label says."
        )
        % words
    )


def _long_words(label: Label, minutes: int) -> str:
    words = {"source": label.source[:1].upper() + label.source[1:], "days": minutes // (24 * 60), "most": LONGEST_DAYS}
    return (
        _(
            "%(source)s: in this air it would take %(days)d days. The plan reckons with %(most)d from now: warm the shop, or choose "
            "another can."
        )
        % words
    )


def _felt_estimate(step: Step, felt: Felt) -> Estimate:
    """A coat that was felt dry enough: the time is known, there is no spread."""
    assert step.ended_at is not None
    minutes = (felt.touch.at - step.ended_at) / MINUTE
    told = _("Felt dry enough after %(time)s.") % {"time": format_minutes(minutes)}
    return Estimate(minutes, minutes, minutes, felt.gone.stalled_minutes, (told, *_doubts(step, felt)), _("the finger"))


def _doubts(step: Step, felt: Felt) -> list[str]:
    """What speaks against a finger that found a coat dry enough. The plan goes by it all the same."""
    cold = [_cold_words(step, felt)] if felt.gone.stalled_minutes else []
    return [*cold, _soon_words(step, felt)] if felt.too_soon else cold


def _soon_words(step: Step, felt: Felt) -> str:
    words = {
        "piece": step.piece.name,
        "step": step.title,
        "time": format_minutes((felt.touch.at - felt.touch.laid_at) / MINUTE),
    }
    return (
        _(
            "%(piece)s: “%(step)s” was felt dry enough after %(time)s, far sooner than its label lets one expect. Touch it again before "
            "you go on; if it was a slip, take the touch back on the can's page."
        )
        % words
    )


def _cold_words(step: Step, felt: Felt) -> str:
    """A film may feel dry where it is too cold for it to form: never passed over in silence."""
    label = labels.label_for_step(step.product, step.coating)
    words = {
        "piece": step.piece.name,
        "step": step.title,
        "time": format_minutes(felt.gone.stalled_minutes),
        "celsius": f"{label.minimum_celsius:g}" if label else "",
    }
    return (
        _(
            "%(piece)s: “%(step)s” was felt dry enough, but for %(time)s the air was below %(celsius)s °C or saturated, where nothing "
            "dries by its label. It may only feel dry: touch it again when it has been warm."
        )
        % words
    )
