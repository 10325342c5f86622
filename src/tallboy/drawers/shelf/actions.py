"""Changes to the shelf: a product set on it, its label corrected, how much is left, what a finger told of a coat."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tallboy.book.doing import By, action
from tallboy.drawers.shelf.labels import label_of
from tallboy.drawers.shelf.models import Product, Touch
from tallboy.drawers.shelf.words import touch_words, usual_shelf
from tallboy.errors import BadInput, NotFound, OutOfRange
from tallboy.sums.drying import has_stage
from tallboy.sums.units import format_volume

CHANGEABLE = frozenset(
    {
        "name",
        "coating",
        "touch_minutes",
        "recoat_from_minutes",
        "recoat_until_minutes",
        "cure_minutes",
        "label_celsius",
        "label_humidity",
        "minimum_celsius",
        "spreading_rate",
        "left_ml",
        "low_ml",
        "note",
    }
)
RANGES = (
    ("left_ml", gettext_lazy("Left"), 0, 1_000_000, "ml"),
    ("low_ml", gettext_lazy("Runs low below"), 0, 1_000_000, "ml"),
    ("spreading_rate", gettext_lazy("Spreading rate"), 0.1, 100, "m²/l"),
)


@action
def add_product(by: By, name: str, coating: str, **fields: Any) -> Product:
    """Set a product on the shelf: its name, its class, and what its label says (minutes, °C, %, ml); None where it is silent."""
    product = _filled(Product(**by.kept()), by, {"name": name, "coating": coating, **fields})
    product.save()
    by.record("add product", product, _("Set %(name)s on the shelf.") % {"name": product.name})
    return product


@action
def change_product(by: By, product: Product, **fields: Any) -> Product:
    """Correct what is written of a product; only what is in CHANGEABLE."""
    found = _own(by, product)
    before = {name: str(getattr(found, name)) for name in fields if name in CHANGEABLE}
    found = _filled(found, by, fields)
    found.save()
    changed = {name: value for name, value in before.items() if str(getattr(found, name)) != value}
    by.record(
        "change product", found, _("Corrected what is written of %(name)s.") % {"name": found.name}, before=changed
    )
    return found


@action
def weigh_product(by: By, product: Product, left_ml: float) -> Product:
    """How much is left, as it was just measured."""
    found = _filled(_own(by, product), by, {"left_ml": left_ml})
    found.save(update_fields=["left_ml"])
    left = {"name": found.name, "left": format_volume(left_ml, by.shop.units)}
    by.record("weigh product", found, _("%(left)s of %(name)s are left.") % left)
    return found


@action
def stock_usual_shelf(by: By) -> list[Product]:
    """Set the usual products on the shelf, with nothing of their labels yet. What has the same name already stays as it is."""
    have = set(Product.objects.filter(shop=by.shop).values_list("name", flat=True))
    made = [
        Product.objects.create(**by.kept(), name=name, coating=key) for name, key in usual_shelf() if name not in have
    ]
    by.record("stock usual shelf", None, _("Set %(count)d usual products on the shelf.") % {"count": len(made)})
    return made


@action
def write_touch(by: By, product: Product, *, coat: str, what: str, stage: str, laid_at: datetime, dry: bool) -> Touch:
    """Write down what a finger found just now: a coat dry enough for a stage (touch, recoat, cure), or not yet."""
    found = _own(by, product)
    if not has_stage(label_of(found), stage):
        raise BadInput(
            _("%(name)s has no time for that.") % {"name": found.name}, _("Write down what its label says first.")
        )
    if by.at <= laid_at:
        raise BadInput(_("The coat would have been touched before it was laid."), _("Look at the clock."))
    touch = Touch.objects.create(
        **by.kept(), product=found, coat=coat, what=what[:200], stage=stage, laid_at=laid_at, at=by.at, dry=dry
    )
    by.record("touch coat", found, _touched(touch), coat=coat, stage=stage, dry=dry)
    return touch


def _touched(touch: Touch) -> str:
    return f"{touch.what or touch.product.name}: {touch_words(touch)}."


@action
def take_back_touch(by: By, touch: Touch) -> Product:
    """A touch was a mistake: it is taken out of the book and teaches nothing any more; the journal keeps what it said."""
    found = Touch.objects.select_for_update().select_related("product").filter(pk=touch.pk, shop=by.shop).first()
    if found is None:
        raise NotFound(_("There is no such touch in this book."))
    text = _("Took back the touch of %(when)s. It said: %(told)s")
    told = {"when": by.clock(found.at), "told": _touched(found)}
    by.record("take back touch", found.product, text % told, coat=found.coat, stage=found.stage, dry=found.dry)
    found.delete()
    return found.product


def _own(by: By, product: Product) -> Product:
    found = Product.objects.select_for_update().filter(pk=product.pk, shop=by.shop).first()
    if found is None:
        raise NotFound(_("There is no such product in this book."))
    return found


def _filled(product: Product, by: By, fields: dict[str, Any]) -> Product:
    """The product with its new columns, once all of them have been seen to make sense together."""
    unknown = sorted(set(fields) - CHANGEABLE)
    if unknown:
        raise BadInput(_("A product has no %(name)s.") % {"name": unknown[0]}, ", ".join(sorted(CHANGEABLE)))
    for name, value in fields.items():
        setattr(product, name, value.strip() if isinstance(value, str) else value)
    if not product.name:
        raise BadInput(_("The product has no name."), _("Give it the one on its can, in a few words."))
    twin = Product.objects.filter(shop=by.shop, name=product.name).exclude(pk=product.pk)
    if twin.exists():
        raise BadInput(_("%(name)s stands on the shelf already.") % {"name": product.name}, _("Give it another name."))
    for name, words, low, high, unit in RANGES:
        value = getattr(product, name)
        if value is not None and not low <= value <= high:
            raise OutOfRange(str(words), f"{value:g}", low, high, unit)
    label_of(product)
    return product
