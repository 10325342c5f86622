"""Links from other pages to a sum, with the values that they know."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.template import Context, Template

pytestmark = pytest.mark.usefixtures("made_up")


def rendered(tag: str, **context: object) -> str:
    """What a template makes of the tag."""
    return Template("{% load sums %}{% sum_link " + tag + " %}").render(Context(context)).strip()


def test_a_link_carries_what_is_known_in_inside_units() -> None:
    """Numbers with the input's own unit, so that they mean the same in a shop that works in inches."""
    link = rendered('"try-it" celsius=t width=w name=n thinned=f', t=17.25, w=20, n="tea & trolley", f=True)
    assert link == (
        '<a class="btn btn-quiet" href="/sums/try-it/?celsius=17.25+%C2%B0C&amp;width=20+mm&amp;name=tea+%26+trolley'
        '&amp;thinned=yes">Sum: Try every input</a>'
    )


def test_what_is_not_known_or_not_asked_for_is_left_out() -> None:
    """The link never leads to an error of its own making."""
    assert 'href="/sums/try-it/"' in rendered('"try-it" celsius=none wood="" moon="full"', none=None)
    assert "name=12.50" in rendered('"try-it" name=price', price=Decimal("12.50"))


def test_there_is_no_link_to_a_sum_that_is_not_there() -> None:
    """Nothing is shown at all."""
    assert rendered('"moon-phase" celsius=18') == ""
