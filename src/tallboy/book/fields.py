"""Form fields for what people type at the bench: lengths, temperatures, spans of time, amounts."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from tallboy.book.models import Shop
from tallboy.errors import BadInput
from tallboy.sums import units

MINUTE = "%Y-%m-%dT%H:%M"


def offer(form: forms.Form, name: str, choices: Sequence[tuple[str, Any]]) -> None:
    """Give a field of a form the choices that are known only when it is shown."""
    field = form.fields[name]
    assert isinstance(field, forms.ChoiceField)
    field.choices = choices


class MomentField(forms.DateTimeField):
    """A date and a time of day by the shop's clock, to the minute; an aware datetime comes out."""

    def __init__(self, **kwargs: Any) -> None:
        widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format=MINUTE)
        super().__init__(input_formats=[MINUTE, f"{MINUTE}:%S"], widget=widget, **kwargs)


def to_the_minute(at: datetime, shop: Shop) -> datetime:
    """What a `MomentField` shows of a moment: the shop's clock without its seconds."""
    return at.astimezone(shop.tz).replace(second=0, microsecond=0)


class _Quantity(forms.CharField):
    """A text field whose value is read by one of the parsers in `sums.units`; empty is None unless required."""

    def __init__(self, *, parse: Callable[[str], float], **kwargs: Any) -> None:
        kwargs.setdefault("max_length", 60)
        super().__init__(**kwargs)
        self._parse = parse

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        if not text:
            return None
        try:
            return self._parse(text)
        except BadInput as error:
            raise ValidationError(str(error)) from None


class LengthField(_Quantity):
    """A length in millimetres, typed as "96 mm", "3 3/4 in"; a bare number is in the shop's own unit."""

    def __init__(self, *, imperial: bool = False, **kwargs: Any) -> None:
        unit = "in" if imperial else "mm"
        super().__init__(parse=lambda text: units.parse_length(text, default=unit), **kwargs)


class TemperatureField(_Quantity):
    """A temperature in °C, typed as "18 °C" or "65 °F"; a bare number is in the shop's own unit."""

    def __init__(self, *, imperial: bool = False, **kwargs: Any) -> None:
        unit = "°F" if imperial else "°C"
        super().__init__(parse=lambda text: units.parse_temperature(text, default=unit), **kwargs)


class MinutesField(_Quantity):
    """A span of time in whole minutes, typed as "90 min", "2 h", "3 days"; a bare number is minutes."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(parse=lambda text: round(units.parse_minutes(text, default="min")), **kwargs)


class VolumeField(_Quantity):
    """A volume in millilitres, typed as "750 ml", "1 l", "1 US qt"; a bare number is millilitres."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(parse=lambda text: units.parse_volume(text, default="ml"), **kwargs)


class PercentField(_Quantity):
    """A percentage from 0 to 100, typed as "62" or "62 %"."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(parse=units.parse_percent, **kwargs)
