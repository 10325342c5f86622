"""Links from other pages to a sum, with the values that the page knows filled in."""

from __future__ import annotations

from decimal import Decimal
from typing import Any
from urllib.parse import urlencode

from django import template
from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from tallboy.workings import known
from tallboy.workings.kinds import Asked

register = template.Library()


@register.simple_tag
def sum_link(name: str, /, **values: Any) -> SafeString:
    """A quiet link to the sum by its title; nothing when there is no such sum.

    A number is in the input's own unit. What is None, "" or not asked for is left out.
    """
    working = known.all_workings().get(name)
    if working is None:
        return SafeString()
    inputs = {asked.name: asked for asked in working.inputs}
    told = {
        key: _text(inputs[key], value) for key, value in values.items() if key in inputs and value not in (None, "")
    }
    address = reverse("desk:sum", args=[name]) + (f"?{urlencode(told)}" if told else "")
    text = _("Sum: %(title)s") % {"title": working.title}
    return format_html('<a class="btn btn-quiet" href="{}">{}</a> ', address, text)


def _text(asked: Asked, value: object) -> str:
    """A value as it would be typed, with the unit that it has inside; so it means the same in every shop."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return f"{value:.10g} {asked.unit}".strip()
    return format(value, "f") if isinstance(value, Decimal) else str(value)
