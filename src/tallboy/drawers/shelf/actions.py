"""Changes to the shelf: a product set on it, its label corrected, how much is left."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tallboy.book.doing import By, action
from tallboy.drawers.shelf.labels import label_of
from tallboy.drawers.shelf.models import Product
from tallboy.drawers.shelf.words import usual_shelf
from tallboy.errors import BadInput, NotFound, OutOfRange
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
