"""Questions about the shelf: what stands there, what runs low, when a coat laid now would be dry."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from django.db.models import Count, F, Q, QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from tallboy.book.models import Shop
from tallboy.drawers.air import queries as air
from tallboy.drawers.shelf.labels import label_of
from tallboy.drawers.shelf.models import Product, Touch
from tallboy.drawers.shelf.touches import Fingers
from tallboy.errors import NeverDries, NotFound
from tallboy.sums import drying
from tallboy.sums.air import AirSeries
from tallboy.sums.drying import Estimate, Factor, Label

FORECAST = timedelta(days=42)
DAY = 24 * 60
TOUCHES_SHOWN = 12
LOW = Q(left_ml__isnull=False, low_ml__isnull=False, left_ml__lt=F("low_ml"))


def line(shop: Shop, now: datetime) -> str:
    """What is in the drawer, for its front: "11 products, 1 runs low"."""
    counts = Product.objects.filter(shop=shop).aggregate(all=Count("pk"), low=Count("pk", filter=LOW))
    if not counts["all"]:
        return _("empty")
    told = ngettext("%(count)d product", "%(count)d products", counts["all"]) % {"count": counts["all"]}
    low = ngettext("%(count)d runs low", "%(count)d run low", counts["low"]) % {"count": counts["low"]}
    return f"{told}, {low}" if counts["low"] else told


def products(shop: Shop) -> QuerySet[Product]:
    """Everything on the shelf by name, with the shop at hand."""
    return Product.objects.filter(shop=shop).select_related("shop").order_by("name")


def product(shop: Shop, pk: int) -> Product:
    """One product of the shop."""
    found = products(shop).filter(pk=pk).first()
    if found is None:
        raise NotFound(_("There is no such product in this book."))
    return found


def touch(shop: Shop, pk: int) -> Touch:
    """One touch of the shop."""
    found = Touch.objects.filter(shop=shop, pk=pk).select_related("product").first()
    if found is None:
        raise NotFound(_("There is no such touch in this book."))
    return found


def touches(product: Product) -> list[Touch]:
    """What fingers found of a product's coats lately, the newest first."""
    return list(Touch.objects.filter(shop=product.shop_id, product=product)[:TOUCHES_SHOWN])


@dataclass(frozen=True)
class Stage:
    """When a coat laid now reaches a stage: the estimate, the moment, the spread either way; `closes` when the window shuts again.

    All but the estimate is rounded: nobody should read minutes into an estimate of hours.
    """

    key: str
    estimate: Estimate
    at: datetime
    after: int
    spread: int
    earliest: datetime
    latest: datetime
    closes: datetime | None = None

    @property
    def coarse(self) -> bool:
        """Whether only the day is worth telling."""
        return self.spread >= DAY


@dataclass(frozen=True)
class LaidNow:
    """A coat laid now in this shop's air: its stages, or why it would not dry; `guessed` when nobody has read the air."""

    stages: tuple[Stage, ...]
    trouble: str
    guessed: bool


def laid_now(product: Product, now: datetime, fingers: Fingers | None = None) -> LaidNow:
    """When a coat of the product laid now is touch dry, ready for the next coat, cured, as far as the shop knows the can."""
    label = label_of(product)
    factor = (fingers or Fingers(product.shop, now, [product])).factor(product)
    series = air.series(product.shop, now - timedelta(hours=1), now + FORECAST)
    guessed = not air.has_readings(product.shop)
    try:
        keys = [key for key in drying.STAGES if drying.has_stage(label, key)]
        return LaidNow(tuple(_stage(label, key, now, product.shop, series, factor) for key in keys), "", guessed)
    except NeverDries as error:
        return LaidNow((), str(error), guessed)


def _stage(label: Label, key: str, now: datetime, shop: Shop, series: AirSeries, factor: Factor | None) -> Stage:
    laid_at = now.astimezone(shop.tz)
    found = drying.dry_after(label, key, laid_at, series, factor)
    closing = drying.window_closes(label, laid_at, series, factor) if key == "recoat" else None
    spread = (found.high - found.low) / 2
    step = 5 if spread < 60 else 15 if spread < 6 * 60 else 60

    def clock(minutes: float, up: float = 0.5) -> datetime:
        moment = now.astimezone(UTC) + timedelta(minutes=minutes)
        return _on_the_clock(moment.astimezone(shop.tz), step, up)

    return Stage(
        key=key,
        estimate=found,
        at=clock(found.minutes),
        after=rounded(found.minutes),
        spread=rounded(spread),
        earliest=clock(found.low, up=0),
        latest=clock(found.high, up=1),
        # The early end: who keeps to it is inside the window however the air turns out.
        closes=None if closing is None else clock(closing.low, up=0),
    )


def _on_the_clock(moment: datetime, step: int, up: float) -> datetime:
    """A moment to so many minutes of the shop's clock: down (`up` 0), to the nearest (0.5) or up (1)."""
    past = (moment.minute % step) * 60 + moment.second + moment.microsecond / 1e6
    whole = math.floor(past / (60 * step) + up) if up < 1 else math.ceil(past / (60 * step))
    return moment + timedelta(seconds=whole * 60 * step - past)


def rounded(minutes: float) -> int:
    """Minutes to the nearest five, to the hour from half a day on, to the day from three days on; five at the least."""
    step = DAY if minutes >= 3 * DAY else 60 if minutes >= DAY / 2 else 5
    return max(5, round(minutes / step) * step)
