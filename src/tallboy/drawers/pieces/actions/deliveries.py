"""What has been bought and is on its way: expected, come, put off, called off."""

from __future__ import annotations

from datetime import date, timedelta

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from tallboy.book.doing import By, action
from tallboy.drawers.pieces.models import Delivery, Step
from tallboy.drawers.shelf.models import Product
from tallboy.errors import BadInput, NotFound, Refused

LONGEST_WHAT = 120
FARTHEST = timedelta(days=3 * 365)
MOST_ML = 1_000_000


@action
def expect(by: By, what: str, expected: date, *, product: Product | None = None, step: Step | None = None) -> Delivery:
    """Something is on its way: a can for the shelf, or what one step needs. Steps that need it wait for it."""
    if (product is None) == (step is None):
        raise BadInput(_("What is it for?"), _("Name a can of the shelf or a step, one of the two."))
    if any(row is not None and row.shop_id != by.shop.pk for row in (product, step)):
        raise NotFound(_("There is no such can or step in this book."))
    if step is not None and not (step.open and step.piece.in_the_shop):
        raise Refused(_("“%(step)s” needs nothing any more.") % {"step": step.title})
    what = what.strip()
    if not 1 <= len(what) <= LONGEST_WHAT:
        raise BadInput(_("What is expected?"), _("Say it in 1 to %(most)s characters.") % {"most": LONGEST_WHAT})
    _not_too_far(by, expected)
    made = Delivery.objects.create(**by.kept(), what=what, product=product, step=step, expected=expected)
    by.record("expect", made, _("“%(what)s” is expected %(day)s.") % {"what": what, "day": _day(expected)})
    return made


@action
def arrived(by: By, delivery: Delivery, *, ml: float | None = None) -> Delivery:
    """It has come. What is in the can is added to what stands on the shelf, where it is known."""
    found = _on_its_way(by, delivery)
    if ml is not None and not 0 < ml <= MOST_ML:
        raise BadInput(
            _("%(ml)s ml has come?") % {"ml": f"{ml:g}"},
            _("Give more than 0 and at most %(most)s ml.") % {"most": MOST_ML},
        )
    found.arrived_at = by.at
    found.save(update_fields=["arrived_at"])
    if found.product_id is not None and ml is not None:
        product = Product.objects.select_for_update().get(pk=found.product_id)
        product.left_ml = (product.left_ml or 0.0) + ml
        product.save(update_fields=["left_ml"])
    by.record("arrived", found, _("“%(what)s” has come.") % {"what": found.what}, ml=ml)
    return found


@action
def change_expected(by: By, delivery: Delivery, expected: date) -> Delivery:
    """It comes on another day."""
    found = _on_its_way(by, delivery)
    _not_too_far(by, expected)
    before, found.expected = found.expected, expected
    found.save(update_fields=["expected"])
    words = {"what": found.what, "day": _day(expected)}
    by.record("change expected", found, _("“%(what)s” is now expected %(day)s.") % words, before=before.isoformat())
    return found


@action
def call_off(by: By, delivery: Delivery) -> None:
    """It will not come after all; nothing waits for it any more."""
    found = _on_its_way(by, delivery)
    by.record("call off", found, _("“%(what)s” will not come after all.") % {"what": found.what})
    found.delete()


def _on_its_way(by: By, delivery: Delivery) -> Delivery:
    found = Delivery.objects.select_for_update().filter(pk=delivery.pk, shop=by.shop).first()
    if found is None:
        raise NotFound(_("Nothing like that is expected in this book."))
    if found.arrived_at is not None:
        raise Refused(_("“%(what)s” has come already.") % {"what": found.what})
    return found


def _not_too_far(by: By, expected: date) -> None:
    today = by.at.astimezone(by.shop.tz).date()
    if not today <= expected <= today + FARTHEST:
        raise BadInput(
            _("Expected %(day)s?") % {"day": expected.isoformat()},
            _("Give a day from today on, within three years."),
        )


def _day(day: date) -> str:
    return str(date_format(day, "D j M Y"))
