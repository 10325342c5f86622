"""Drying waits and recoat windows in the shop's own air: measured where it was measured, forecast from then on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
from django.utils.translation import gettext as _

from tallboy.book.models import Shop
from tallboy.drawers.air import queries as air
from tallboy.drawers.pieces.models import Step
from tallboy.drawers.shelf import labels
from tallboy.drawers.shelf.touches import Felt, Fingers
from tallboy.errors import NeverDries
from tallboy.planner import network
from tallboy.planner.grid import wait_minutes
from tallboy.sums import drying
from tallboy.sums.air import AirSeries
from tallboy.sums.drying import Estimate, Factor, Label, Law
from tallboy.sums.units import format_minutes

FORECAST_DAYS = 42
# Stands in for "not in this air": two weeks, by when somebody will have warmed the shop or chosen another can.
UNTIL_IT_WARMS = 14 * 24 * 60
# What would take longer than this from now is beyond all that is known of the air, and would push the plan past its end.
LONGEST_WAIT = FORECAST_DAYS * 24 * 60
# A window that the air leaves open for less than this is not one to plan by.
LEAST_WINDOW = 60
HOUR = timedelta(hours=1)
MINUTE = timedelta(minutes=1)


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

    `troubles` collects cans that would not dry, and coats that felt dry where it was too cold to dry, or far too soon.
    """

    def __init__(self, shop: Shop, now: datetime, steps: Iterable[Step]) -> None:
        steps = list(steps)
        ends = [step.ended_at for step in steps if step.ended_at is not None and step.coating]
        since = min([now, *ends]) - HOUR
        self.air: AirSeries = air.series(shop, since, now + timedelta(days=FORECAST_DAYS))
        self.troubles: set[str] = set()
        self._now = now
        self._tz = shop.tz
        self._fingers = Fingers(shop, now, [step.product for step in steps if step.product is not None])
        self._tables: dict[tuple[Label, str, float], network.ByHour] = {}

    def table(self, step: Step, stage: str) -> network.ByHour | None:
        """Minutes from laying to `stage`, by the hour the coat is laid; None when the label gives no such time.

        A coat that was felt dry enough waits no longer than until then.
        """
        label = labels.label_for_step(step.product, step.coating)
        if label is None or not drying.has_stage(label, stage):
            return None
        felt = self.felt_dry(step, stage)
        if felt is not None and step.ended_at is not None:
            return network.ByHour(self.air.start, (int((felt.touch.at - step.ended_at) / MINUTE),))
        return self._of(label, stage, self._factor(step))

    def felt_dry(self, step: Step, stage: str) -> Felt | None:
        """The touch that found a laid coat dry enough for a stage. Where it was too cold to dry, or far too soon, that is told."""
        felt = self._fingers.dry(step.product, coat_key(step), stage) if step.state == Step.State.DONE else None
        if felt is not None:
            self.troubles.update(_doubts(step, felt))
        return felt

    def _factor(self, step: Step) -> Factor | None:
        return self._fingers.factor(step.product, coat_key(step) if step.state == Step.State.DONE else "")

    def window(self, step: Step) -> int | None:
        """Minutes from the end of a coat until the next may no longer go on; None when the label gives no end.

        The label's own minutes. Only where this air opens the window so late that the label's end leaves no room does the
        end move with the air. For a coat still to come: what every coming day leaves room for.
        """
        label = labels.label_for_step(step.product, step.coating)
        factor = self._factor(step)
        own = labels.closes_after(step.product, step.coating, factor)
        if label is None or own is None:
            return None
        opens = self._of(label, "recoat", factor)
        until = replace(label, recoat_from_minutes=label.recoat_until_minutes, recoat_until_minutes=None)
        moved = self._of(until, "recoat", factor)
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

    def _of(self, label: Label, stage: str, factor: Factor | None) -> network.ByHour:
        key = (label, stage, factor.value if factor else 1.0)
        if key not in self._tables:
            self._tables[key] = self._by_hour(label, stage, factor)
        return self._tables[key]

    def _by_hour(self, label: Label, stage: str, factor: Factor | None) -> network.ByHour:
        try:
            minutes = drying.wait_table(label, stage, self.air, factor)
        except NeverDries as error:
            # One can that would never dry must not stop the plan of all the others.
            self.troubles.add(str(error))
            return network.ByHour(self.air.start, (UNTIL_IT_WARMS,))
        # The cap counts from now, so that waiting long enough makes no coat ready that is not dry.
        gone = np.maximum((self._now - self.air.start) / MINUTE - 60 * np.arange(len(minutes)), 0)
        capped = np.minimum(minutes, LONGEST_WAIT + gone.astype(np.int64))
        if bool((capped < minutes).any()):
            self.troubles.add(_long_words(label, int(minutes.max())))
        return network.ByHour(self.air.start, tuple(int(value) for value in capped))


def _long_words(label: Label, minutes: int) -> str:
    words = {"source": label.source[:1].upper() + label.source[1:], "days": minutes // (24 * 60), "most": FORECAST_DAYS}
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
