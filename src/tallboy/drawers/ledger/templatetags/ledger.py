"""Template filter for amounts of money."""

from __future__ import annotations

from decimal import Decimal

from django import template

from tallboy.book.models import Shop
from tallboy.drawers.ledger import hours

register = template.Library()


@register.filter
def money(value: Decimal, shop: Shop) -> str:
    """An amount with its currency."""
    return hours.money(value, shop)
