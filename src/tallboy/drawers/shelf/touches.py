"""What fingers have told of the coats of some products, and what the shop learns from it: each can's own factor.

A touch is set against the label by how much of the label's time had gone by in the air the coat really had. Only what can teach is
counted: the newest coats of the last year, and no "dry enough" that came while the air had been too cold to dry anything, or so soon
that the finger was more likely mistaken than the label.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import cached_property

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from tallboy.book.models import Shop
from tallboy.drawers.air import queries as air
from tallboy.drawers.shelf.labels import label_of
from tallboy.drawers.shelf.models import Product, Touch
from tallboy.drawers.shelf.words import stage_asked
from tallboy.sums import learning
from tallboy.sums.air import AirSeries
from tallboy.sums.drying import STAGES, Factor, Gone, Label, Law, gone_by
from tallboy.sums.learning import LEAST_RATIO, MOST_RATIO, MOST_TIMES, Observed
from tallboy.sums.units import format_minutes

REMEMBERED = timedelta(days=365)
MOST_COATS = 20
"""So many coats of a product, the newest, teach; own choice."""
DAY, HOUR = timedelta(days=1), timedelta(hours=1)
BELIEVED = 3.0
"""A "dry enough" is believed up to so many standard deviations sooner than the label lets one expect; own caution, no source."""
AT_FIRST = timedelta(days=14)
"""The air that a coat had is added up for so long at first, and further only while that settles nothing; own choice."""


@dataclass(frozen=True)
class Felt:
    """A touch beside what had gone by of the label's time: `ratio` is the share of it, None where the label gives no such time.

    `too_soon` when it is a "dry enough" that comes too soon to be believed.
    """

    touch: Touch
    gone: Gone
    ratio: float | None
    too_soon: bool = False


@dataclass(frozen=True)
class Finding:
    """What fingers found of one coat on its way to one stage: the last "not yet", and the first "dry enough" after it."""

    coat: str
    stage: str
    not_yet: Felt | None
    dry: Felt | None

    @property
    def any(self) -> Felt:
        found = self.dry or self.not_yet
        assert found is not None
        return found


@dataclass(frozen=True)
class Learned:
    """What a shop has learned of a product: the factor, None before any touch; what was left out, and why."""

    factor: Factor | None
    left_out: tuple[str, ...] = ()


class Fingers:
    """All touches of some products, and what follows from them. One question for the touches, one for the air they had."""

    def __init__(self, shop: Shop, now: datetime, products: Iterable[Product]) -> None:
        self._shop, self._now = shop, now
        self._products = {product.pk: product for product in products}
        self._learned: dict[int, Learned] = {}

    @cached_property
    def _coats(self) -> dict[int, dict[str, list[Touch]]]:
        """The touches that count, by product and coat; the coat touched last first."""
        rows = Touch.objects.filter(
            shop=self._shop, product__in=list(self._products), at__gt=self._now - REMEMBERED, at__lte=self._now
        )
        by_product: dict[int, dict[str, list[Touch]]] = {}
        for row in rows:
            coats = by_product.setdefault(row.product_id, {})
            if row.coat in coats or len(coats) < MOST_COATS:
                coats.setdefault(row.coat, []).append(row)
        return by_product

    @cached_property
    def _findings(self) -> dict[int, list[Finding]]:
        return {pk: self._found(self._products[pk], coats) for pk, coats in self._coats.items()}

    def _found(self, product: Product, coats: dict[str, list[Touch]]) -> list[Finding]:
        label = label_of(product)
        found = []
        for coat, touches in coats.items():
            for stage in STAGES:
                of_stage = sorted((row for row in touches if row.stage == stage), key=lambda row: (row.at, row.pk))
                if of_stage:
                    found.append(self._finding(label, coat, stage, of_stage))
        return found

    def _finding(self, label: Label, coat: str, stage: str, touches: list[Touch]) -> Finding:
        """A “dry enough” before a later “not yet” was a mistake of the finger."""
        not_yet = next((row for row in reversed(touches) if not row.dry), None)
        dry = next((row for row in touches if row.dry and (not_yet is None or row.at > not_yet.at)), None)
        return Finding(coat, stage, self._felt(label, stage, not_yet), self._felt(label, stage, dry))

    def _felt(self, label: Label, stage: str, touch: Touch | None) -> Felt | None:
        if touch is None:
            return None
        minutes = {
            "touch": label.touch_minutes,
            "recoat": label.recoat_from_minutes,
            "cure": label.cure_minutes,
        }[stage]
        gone = self._gone(label, touch, minutes)
        ratio = None if minutes is None else gone.minutes / minutes
        # Where nothing dried for a while that alone is what speaks against the finger.
        early = touch.dry and ratio is not None and not gone.stalled_minutes and ratio < soonest(label)
        return Felt(touch, gone, ratio, early)

    def _gone(self, label: Label, touch: Touch, minutes: float | None) -> Gone:
        """What had gone by until the touch, or until more had gone by than any touch can teach by: months need not be added up."""
        enough = math.inf if minutes is None else minutes * (MOST_RATIO if touch.dry else MOST_TIMES) * 1.01
        span = AT_FIRST
        while True:
            until = min(touch.at, touch.laid_at + span)
            gone = gone_by(label, touch.laid_at, until, self._air)
            if until == touch.at or gone.low > enough:
                return gone
            span *= 4

    @cached_property
    def _air(self) -> AirSeries:
        """From the first coat that was touched to the last touch."""
        rows = [row for coats in self._coats.values() for touches in coats.values() for row in touches]
        since, until = min(row.laid_at for row in rows), max(row.at for row in rows)
        return air.series(self._shop, since - HOUR, until + HOUR)

    def findings(self, product: Product | None) -> list[Finding]:
        """What was found of a product's coats, the coat touched last first."""
        return self._findings.get(product.pk, []) if product is not None else []

    def learned(self, product: Product) -> Learned:
        """What the shop has learned of a product."""
        if product.pk not in self._learned:
            self._learned[product.pk] = self._learn(product, self.findings(product))
        return self._learned[product.pk]

    def _learn(self, product: Product, findings: list[Finding]) -> Learned:
        if not findings:
            return Learned(None)
        label = label_of(product)
        taught = [(finding, *self._observed(finding, label)) for finding in findings]
        left_out = tuple(why for _finding, _observed, why in taught if why)
        observed = [seen for _finding, seen, _why in taught if seen is not None]
        factor = learning.learned(observed, learning.prior_spread(label)) if observed else None
        return Learned(factor, left_out)

    def _observed(self, finding: Finding, label: Label) -> tuple[Observed | None, str]:
        """What a coat teaches, and why it teaches less than it seems to."""
        name = self._name(finding)
        if label.law is Law.GLUE:
            return None, _("%(coat)s: left out, for glue a finger tells nothing of the joint.") % {"coat": name}
        if finding.any.ratio is None:
            return None, _("%(coat)s: left out, the label gives no time for it.") % {"coat": name}
        after, by, why = _bound(finding.not_yet), _bound(finding.dry), ""
        if finding.dry is not None and finding.dry.gone.stalled_minutes:
            by, why = None, self._too_cold(name, finding.dry, label)
        elif finding.dry is not None and by is None:
            why = _("%(coat)s: left out, too far from what the label says to be believed.") % {"coat": name}
        if after is None and by is None:
            return None, why
        felt = [of for of in (finding.not_yet, finding.dry) if of is not None]
        spread = max(of.gone.spread for of in felt)
        weight = learning.faded((self._now - finding.any.touch.at) / DAY)
        return Observed(after, by, weight, spread, name), why

    def _name(self, finding: Finding) -> str:
        touch = finding.any.touch
        laid = date_format(touch.laid_at.astimezone(self._shop.tz), "j M H:i")
        words = {
            "what": touch.what or self._products[touch.product_id].name,
            "laid": laid,
            "stage": stage_asked(finding.stage),
        }
        return _("%(what)s, laid %(laid)s, %(stage)s") % words

    def _too_cold(self, name: str, felt: Felt, label: Label) -> str:
        words = {
            "coat": name,
            "time": format_minutes(felt.gone.stalled_minutes),
            "celsius": f"{label.minimum_celsius:g}",
        }
        return _("%(coat)s: “dry enough” left out, for %(time)s the air was below %(celsius)s °C or saturated.") % words

    def factor(self, product: Product | None, coat: str = "") -> Factor | None:
        """What the label's minutes are multiplied by: for a coat that was found wet its own, else the product's; None before any
        touch."""
        if product is None:
            return None
        wet = self._wet(product, coat) if coat else None
        if wet is None:
            return self.learned(product).factor
        others = [finding for finding in self.findings(product) if finding.coat != coat]
        shop = self._learn(product, others).factor or learning.learned([], learning.prior_spread(label_of(product)))
        own = learning.still_wet(shop, min(wet, MOST_TIMES))
        return replace(own, touches=shop.touches + 1, coats=shop.coats + 1)

    def _wet(self, product: Product, coat: str) -> float | None:
        """The greatest share of the label's time at which this coat was found wet and not dry since; None when it was not."""
        ratios = [
            finding.not_yet.ratio
            for finding in self.findings(product)
            if finding.coat == coat and finding.dry is None and finding.not_yet is not None
        ]
        return max((ratio for ratio in ratios if ratio is not None), default=None)

    def dry(self, product: Product | None, coat: str, stage: str) -> Felt | None:
        """The touch that found this coat dry enough for a stage, or for a later one; None when a later touch found it wet."""
        stages = STAGES[STAGES.index(stage) :]
        found = [f.dry for f in self.findings(product) if f.coat == coat and f.stage in stages and f.dry is not None]
        first = min(found, key=lambda felt: felt.touch.at, default=None)
        if first is None:
            return None
        wet = [f.not_yet for f in self.findings(product) if f.coat == coat and f.stage not in stages[1:] and f.not_yet]
        return None if any(felt.touch.at > first.touch.at for felt in wet) else first


def soonest(label: Label) -> float:
    """The share of the label's time below which a finger that finds the coat dry is taken for mistaken."""
    return math.exp(-BELIEVED * math.hypot(learning.prior_spread(label), learning.COAT_SCATTER))


def _bound(felt: Felt | None) -> float | None:
    """A ratio that can be learned from."""
    if felt is None or felt.ratio is None or felt.too_soon or not LEAST_RATIO <= felt.ratio <= MOST_RATIO:
        return None
    return felt.ratio
