"""A product's label in rows of words: what the can says, what is only usual, and where that comes from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from tallboy.drawers.shelf.labels import label_of
from tallboy.drawers.shelf.models import Product, Touch
from tallboy.drawers.shelf.touches import Learned
from tallboy.drawers.shelf.words import class_name, touch_words
from tallboy.sums.drying import Label
from tallboy.sums.unit_words import M2_L_PER_FT2_GALLON
from tallboy.sums.units import format_minutes, format_temperature
from tallboy.tables.coatings import coating


@dataclass(frozen=True)
class LabelRow:
    """One line of a label: its name, its value, and whether it is only usual for the class."""

    name: str
    value: str
    usual: bool


def stage_words(key: str) -> str:
    """A stage as it stands on the page."""
    return {"touch": _("Touch dry"), "recoat": _("Next coat from"), "cure": _("Cured")}[key]


def label_rows(product: Product, label: Label) -> list[LabelRow]:
    """All that the label says or its class stands in for."""
    units = product.shop.units
    times = (
        ("touch", _("Touch dry after"), label.touch_minutes),
        ("recoat", _("Next coat from"), label.recoat_from_minutes),
        ("until", _("Next coat until"), label.recoat_until_minutes),
        ("cure", _("Cured after"), label.cure_minutes),
    )
    rows = [
        LabelRow(name, format_minutes(value), key in label.usual) for key, name, value in times if value is not None
    ]
    air = f"{format_temperature(label.celsius, units)}, {label.relative_humidity:g} %"
    lowest = format_temperature(label.minimum_celsius, units)
    rows += [
        LabelRow(_("These times hold at"), air, not _own_times(product)),
        LabelRow(_("Not below"), lowest, product.minimum_celsius is None),
    ]
    spreading = product.spreading_rate or coating(product.coating).get("spreading_rate")
    if spreading:
        rows.append(LabelRow(_("Spreading rate"), _spreading(product, spreading), product.spreading_rate is None))
    return rows


def _own_times(product: Product) -> bool:
    times = (product.touch_minutes, product.recoat_from_minutes, product.recoat_until_minutes, product.cure_minutes)
    return any(value is not None for value in times)


def _spreading(product: Product, m2_a_litre: float) -> str:
    if product.shop.imperial:
        return _("%(rate)s ft² a US gallon") % {"rate": f"{m2_a_litre / M2_L_PER_FT2_GALLON:.0f}"}
    return _("%(rate)s m² a litre") % {"rate": f"{m2_a_litre:g}"}


@dataclass(frozen=True)
class ShelfRow:
    """A product in the list: what it is and its times in one line."""

    product: Product
    what: str
    times: str
    all_usual: bool


def shelf_row(product: Product) -> ShelfRow:
    """A product as a row of the list."""
    label = label_of(product)
    parts = [
        _("touch %(time)s") % {"time": format_minutes(label.touch_minutes)} if label.touch_minutes else "",
        _("next coat %(time)s") % {"time": _window(label)} if label.recoat_from_minutes else "",
        _("cured %(time)s") % {"time": format_minutes(label.cure_minutes)} if label.cure_minutes else "",
    ]
    return ShelfRow(product, class_name(product.coating), " · ".join(filter(None, parts)), not _own_times(product))


def _window(label: Label) -> str:
    opens = format_minutes(label.recoat_from_minutes or 0)
    return f"{opens} – {format_minutes(label.recoat_until_minutes)}" if label.recoat_until_minutes else opens


@dataclass(frozen=True)
class Taught:
    """What fingers have taught of a product: the factor in words with its spread, the working, and the touches one by one."""

    times: str
    spread: str
    working: tuple[str, ...]
    left_out: tuple[str, ...]
    touches: list[TouchRow]


@dataclass(frozen=True)
class TouchRow:
    """One touch in the list."""

    pk: int
    at: datetime
    what: str
    told: str


def taught(learned: Learned, touches: list[Touch]) -> Taught:
    """What a product's page says of its touches."""
    factor = learned.factor
    return Taught(
        times="" if factor is None else f"{factor.value:.2f}",
        spread=""
        if factor is None
        else _("%(low)s to %(high)s") % {"low": f"{factor.low:.2f}", "high": f"{factor.high:.2f}"},
        working=() if factor is None else factor.working,
        left_out=learned.left_out,
        touches=[TouchRow(row.pk, row.at, row.what, touch_words(row)) for row in touches],
    )
