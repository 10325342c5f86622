"""From a product to the label that drying is worked out with: the can's own figures win, its class's serve where it is silent."""

from __future__ import annotations

import math
from datetime import datetime

from django.utils.translation import gettext as _

from tallboy.drawers.shelf.models import Product
from tallboy.errors import NotFound
from tallboy.sums import drying
from tallboy.sums.air import AirSeries
from tallboy.sums.drying import Estimate, Factor, Label
from tallboy.tables.coatings import label_for


def label_of(product: Product) -> Label:
    """The product's label. `Label.usual` names the stages that are only usual for its class."""
    return label_for(
        product.coating,
        source=_("the label of %(name)s") % {"name": product.name},
        touch_minutes=product.touch_minutes,
        recoat_from_minutes=product.recoat_from_minutes,
        recoat_until_minutes=product.recoat_until_minutes,
        cure_minutes=product.cure_minutes,
        celsius=product.label_celsius,
        relative_humidity=product.label_humidity,
        minimum_celsius=product.minimum_celsius,
    )


def label_for_step(product: Product | None, coating: str) -> Label | None:
    """The label a step is reckoned with: its product's, or while none is chosen its class's; None where nothing dries."""
    try:
        return label_of(product) if product is not None else label_for(coating)
    except NotFound:
        return None


def closes_after(product: Product | None, coating: str, factor: Factor | None = None) -> int | None:
    """Minutes from laying after which the window for the next coat closes again; None when it stays open.

    By the label's own clock: a cold shop may keep a window open longer, but nobody should count on it. Where a shop has learned
    that the can dries quicker than it says, the window closes sooner too; never later.
    """
    label = label_for_step(product, coating)
    closes = label.recoat_until_minutes if label is not None else None
    return None if closes is None else math.floor(closes * min(1.0, factor.value if factor else 1.0))


def dry_after(
    product: Product | None, coating: str, stage: str, laid_at: datetime, air: AirSeries, factor: Factor | None = None
) -> Estimate | None:
    """When a coat laid at `laid_at` reaches a stage in this air; None where no figure is known for it.

    `factor` is what the shop has learned of the can, or of this very coat.
    """
    label = label_for_step(product, coating)
    if label is None or not drying.has_stage(label, stage):
        return None
    return drying.dry_after(label, stage, laid_at, air, factor)
