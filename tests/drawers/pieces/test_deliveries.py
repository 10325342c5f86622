"""What is on its way: expected, come, put off, called off."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from tests.drawers.today.today_made import chair, done, step, varnish

from tallboy.book.doing import By
from tallboy.book.models import Journal
from tallboy.drawers.pieces.actions.deliveries import arrived, call_off, change_expected, expect
from tallboy.drawers.pieces.actions.layout import lay_out, stock_routes
from tallboy.drawers.pieces.models import Delivery, Route, Step
from tallboy.drawers.shelf.models import Product
from tallboy.errors import BadInput, NotFound, Refused

SOON = date(2026, 3, 17)
HOUR = timedelta(hours=1)


def test_a_can_comes_and_is_added_to_the_shelf(by: By) -> None:
    """What was left and what came; each change leaves a row in the journal."""
    can = varnish(by, left_ml=50.0)
    row = expect(by, "Clear varnish, a litre", SOON, product=can)
    arrived(by, row, ml=1000.0)
    assert Product.objects.get(pk=can.pk).left_ml == 1050.0
    assert Delivery.objects.get(pk=row.pk).arrived_at == by.at
    assert list(Journal.objects.filter(action__in=["expect", "arrived"]).values_list("action", flat=True)) == [
        "arrived",
        "expect",
    ]


def test_a_can_that_comes_with_no_amount_leaves_the_shelf_as_it_is(by: By) -> None:
    """How much is left stays unknown."""
    can = varnish(by)
    arrived(by, expect(by, "Clear varnish", SOON, product=can))
    assert Product.objects.get(pk=can.pk).left_ml is None


def test_another_day_and_called_off(by: By) -> None:
    """A parcel that is late, and one that never comes."""
    row = expect(by, "Hinge pins", SOON, step=step(chair(by), "Pin the hinges"))
    assert change_expected(by, row, date(2026, 3, 20)).expected == date(2026, 3, 20)
    call_off(by, row)
    assert not Delivery.objects.exists()


def test_what_has_come_has_come(by: By) -> None:
    """Nothing more happens to it."""
    row = arrived(by, expect(by, "Hinge pins", SOON, step=step(chair(by), "Pin the hinges")))
    for act in (lambda: arrived(by, row), lambda: change_expected(by, row, SOON), lambda: call_off(by, row)):
        with pytest.raises(Refused, match="come already"):
            act()


def test_it_is_for_a_can_or_for_a_step(by: By) -> None:
    """One of the two, and of this book."""
    can, pin = varnish(by), step(chair(by), "Pin the hinges")
    with pytest.raises(BadInput, match="one of the two"):
        expect(by, "Pins", SOON)
    with pytest.raises(BadInput, match="one of the two"):
        expect(by, "Pins", SOON, product=can, step=pin)
    with pytest.raises(BadInput, match="1 to 120"):
        expect(by, "  ", SOON, step=pin)


@pytest.mark.parametrize("day", [date(2026, 3, 11), date(2030, 1, 1)])
def test_a_day_that_cannot_be_is_refused(by: By, day: date) -> None:
    """Yesterday, or years from now."""
    with pytest.raises(BadInput, match="from today on"):
        expect(by, "Pins", day, step=step(chair(by), "Pin the hinges"))


def test_nothing_is_expected_for_what_is_done(by: By) -> None:
    """Nor is anything of another shop's book known."""
    pin = step(chair(by), "Pin the hinges")
    done(by, pin, by.at - HOUR, by.at)
    with pytest.raises(Refused, match="needs nothing"):
        expect(by, "Pins", SOON, step=Step.objects.get(pk=pin.pk))


def test_another_shops_deliveries_are_unknown(by: By, stranger: By) -> None:
    """Neither its cans nor what it expects."""
    theirs = varnish(stranger)
    with pytest.raises(NotFound):
        expect(by, "Varnish", SOON, product=theirs)
    row = expect(stranger, "Varnish", SOON, product=theirs)
    for act in (lambda: arrived(by, row), lambda: call_off(by, row)):
        with pytest.raises(NotFound):
            act()


def test_a_step_that_something_is_expected_for_is_not_lost(by: By) -> None:
    """Laid out by another route it is skipped, with the reason, and not taken away."""
    stock_routes(by)
    piece = chair(by)
    rub = next(one for one in lay_out(by, piece, Route.objects.get(shop=by.shop, key="oil")) if one.does == "clean")
    expect(by, "White spirit", SOON, step=rub)
    lay_out(by, piece, Route.objects.get(shop=by.shop, key="hardware-only"))
    assert Step.objects.get(pk=rub.pk).state == Step.State.SKIPPED
