"""Template filters that speak the shop's units."""

from __future__ import annotations

from django import template

from tallboy.book.models import Shop
from tallboy.sums import units

register = template.Library()


@register.filter
def length(mm: float | None, shop: Shop) -> str:
    """A length in the shop's units."""
    return "" if mm is None else units.format_length(mm, shop.units)


@register.filter
def temperature(celsius: float | None, shop: Shop) -> str:
    """A temperature in the shop's units."""
    return "" if celsius is None else units.format_temperature(celsius, shop.units)


@register.filter
def area(m2: float | None, shop: Shop) -> str:
    """An area in the shop's units."""
    return "" if m2 is None else units.format_area(m2, shop.units)


@register.filter
def span(minutes: float | None) -> str:
    """A span of time: 2 h 05."""
    return "" if minutes is None else units.format_minutes(minutes)


@register.filter
def volume(ml: float | None, shop: Shop) -> str:
    """A volume in the shop's units."""
    return "" if ml is None else units.format_volume(ml, shop.units)
