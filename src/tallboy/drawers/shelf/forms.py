"""Forms of the Shelf drawer."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from tallboy.book.fields import MinutesField, PercentField, TemperatureField, VolumeField
from tallboy.book.models import Shop
from tallboy.drawers.shelf.models import Product
from tallboy.drawers.shelf.words import class_choices
from tallboy.sums.unit_words import M2_L_PER_FT2_GALLON
from tallboy.sums.units import format_minutes, format_temperature, format_volume
from tallboy.tables.coatings import label_for

TIMES = ("touch_minutes", "recoat_from_minutes", "recoat_until_minutes", "cure_minutes")


class ProductForm(forms.Form):
    """What a can says. Times left empty are taken from the product's class, which the help of each says."""

    name = forms.CharField(label=_("Name"), max_length=120, help_text=_("As you call it at the bench."))
    coating = forms.ChoiceField(label=_("What it is"))
    touch_minutes = MinutesField(label=_("Touch dry after"), required=False)
    recoat_from_minutes = MinutesField(label=_("Next coat from"), required=False)
    recoat_until_minutes = MinutesField(label=_("Next coat until"), required=False)
    cure_minutes = MinutesField(label=_("Cured after"), required=False)
    label_celsius = TemperatureField(label=_("These times hold at"), required=False)
    label_humidity = PercentField(label=_("and at a humidity of"), required=False)
    minimum_celsius = TemperatureField(label=_("Not below"), required=False)
    spreading_rate = forms.FloatField(label=_("Spreading rate"), required=False, min_value=0)
    left_ml = VolumeField(label=_("Left in the can"), required=False)
    low_ml = VolumeField(label=_("Runs low below"), required=False)
    note = forms.CharField(label=_("Note"), max_length=300, required=False)

    def __init__(self, *args: Any, shop: Shop, coating: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.shop = shop
        self.fields["coating"] = forms.ChoiceField(label=_("What it is"), choices=class_choices(), initial=coating)
        for name in ("label_celsius", "minimum_celsius"):
            label = self.fields[name].label
            self.fields[name] = TemperatureField(imperial=shop.imperial, label=label, required=False)
        self._say_what_is_usual(coating)

    def _say_what_is_usual(self, coating: str) -> None:
        usual = label_for(coating)
        for name in TIMES:
            value = getattr(usual, name)
            text = _now("stays open") if name == "recoat_until_minutes" else _now("no such time")
            self.fields[name].help_text = _empty(format_minutes(value) if value else text)
        air = (format_temperature(usual.celsius, self.shop.units), f"{usual.relative_humidity:g} %")
        self.fields["label_celsius"].help_text = _empty(air[0])
        self.fields["label_humidity"].help_text = _empty(air[1])
        self.fields["minimum_celsius"].help_text = _empty(format_temperature(usual.minimum_celsius, self.shop.units))
        unit = _now("ft² a US gallon") if self.shop.imperial else _now("m² a litre")
        self.fields["spreading_rate"].help_text = _now("In %(unit)s, as the label says.") % {"unit": unit}
        self.fields["left_ml"].help_text = _now("Like 750 ml, 1 l or 1 US qt.")
        self.usual_source = usual.usual_source

    def values(self) -> dict[str, Any]:
        """The columns of the product. The label's air falls back on the class's, like its times."""
        cleaned = dict(self.cleaned_data)
        usual = label_for(cleaned["coating"])
        if cleaned["label_celsius"] is None:
            cleaned["label_celsius"] = usual.celsius
        if cleaned["label_humidity"] is None:
            cleaned["label_humidity"] = usual.relative_humidity
        if self.shop.imperial and cleaned["spreading_rate"] is not None:
            cleaned["spreading_rate"] *= M2_L_PER_FT2_GALLON
        return cleaned


def _empty(value: str) -> str:
    return _now("Left empty: %(value)s, usual for its kind.") % {"value": value}


def initial_of(product: Product) -> Mapping[str, Any]:
    """What is written of a product, as a person would type it."""
    units = product.shop.units
    spans = {name: getattr(product, name) for name in TIMES}
    rate = product.spreading_rate
    if rate is not None and product.shop.imperial:
        rate = round(rate / M2_L_PER_FT2_GALLON, 1)
    return {
        "name": product.name,
        "coating": product.coating,
        **{name: format_minutes(value) for name, value in spans.items() if value is not None},
        "label_celsius": format_temperature(product.label_celsius, units),
        "label_humidity": f"{product.label_humidity:g} %",
        "minimum_celsius": ""
        if product.minimum_celsius is None
        else format_temperature(product.minimum_celsius, units),
        "spreading_rate": rate,
        "left_ml": "" if product.left_ml is None else format_volume(product.left_ml, units),
        "low_ml": "" if product.low_ml is None else format_volume(product.low_ml, units),
        "note": product.note,
    }


class WeighForm(forms.Form):
    """How much is left."""

    left_ml = VolumeField(label=_("Left in the can"), help_text=_("Like 750 ml, 1 l or 1 US qt."))
