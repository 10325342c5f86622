"""From a can on the shelf to the label that drying is worked out with. The can's own figures always win."""

from __future__ import annotations

from datetime import datetime

from tallboy.drawers.shelf.models import Product
from tallboy.errors import NotFound
from tallboy.sums import drying
from tallboy.sums.air import AirSeries
from tallboy.sums.drying import Estimate, Label
from tallboy.tables.coatings import coating as coating_row
from tallboy.tables.coatings import label_for


def label_of(product: Product) -> Label:
    """What this can says, and what is usual for its class where it is silent."""
    return label_for(
        product.coating,
        source=product.name,
        touch_minutes=product.touch_minutes,
        recoat_from_minutes=product.recoat_from_minutes,
        recoat_until_minutes=product.recoat_until_minutes,
        cure_minutes=product.cure_minutes,
        celsius=product.label_celsius,
        relative_humidity=product.label_humidity,
        minimum_celsius=product.minimum_celsius,
    )


def is_coating(key: str) -> bool:
    """Whether a class has drying times in the table; a stripper or a stain has none."""
    try:
        coating_row(key)
    except NotFound:
        return False
    return True


def label_for_step(product: Product | None, coating: str) -> Label | None:
    """The label a step's drying goes by: its can's, else its class's usual one; None where nothing dries."""
    if product is not None and is_coating(product.coating):
        return label_of(product)
    return label_for(coating, source=f"usual for {coating}") if coating and is_coating(coating) else None


def dry_after(product: Product | None, coating: str, stage: str, laid_at: datetime, air: AirSeries) -> Estimate | None:
    """How long until a coat laid at `laid_at` reaches a stage in this air; None where nothing dries or no time is known."""
    label = label_for_step(product, coating)
    if label is None or not drying.has_stage(label, stage):
        return None
    return drying.dry_after(label, stage, laid_at, air)


def closes_after(product: Product | None, coating: str) -> int | None:
    """Minutes after laying at which the window closes by the label's own clock; None when it stays open.

    Not moved by the air: a cold shop may keep a window open longer, but nobody should count on it.
    """
    label = label_for_step(product, coating)
    if label is None or label.recoat_until_minutes is None:
        return None
    return round(label.recoat_until_minutes)
