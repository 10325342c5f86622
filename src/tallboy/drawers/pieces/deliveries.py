"""What has been bought and has not come yet: which steps wait for it, from when the plan counts on it, and what people are told."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from tallboy.book.models import Shop
from tallboy.drawers.pieces.models import Delivery, Piece, Step
from tallboy.drawers.shelf.models import Product
from tallboy.errors import NotFound

NOON = time(12)
"""A parcel is counted on from noon of its day: common practice, no source."""


@dataclass(frozen=True)
class Expected:
    """A delivery that has not come: in words, whether it is overdue, and the steps that wait for it."""

    delivery: Delivery
    text: str
    overdue: bool
    steps: tuple[Step, ...]


def not_arrived(shop: Shop) -> list[Delivery]:
    """What is expected, the soonest first."""
    rows = Delivery.objects.filter(shop=shop, arrived_at__isnull=True)
    return list(rows.select_related("product", "step__piece"))


def one_delivery(shop: Shop, pk: int) -> Delivery:
    """Something that is on its way or has come, or NotFound."""
    found = Delivery.objects.filter(shop=shop, pk=pk).first()
    if found is None:
        raise NotFound(_("Nothing like that is expected in this book."))
    return found


def awaited_by(step: Step, delivery: Delivery) -> bool:
    """Whether a step that is still to do waits for a delivery: it is for this step, or for its can, of which none is left.

    A can of which nobody has written how much is left counts as none while more of it is expected.
    """
    if step.state != Step.State.TO_DO:
        return False
    if delivery.step_id is not None:
        return delivery.step_id == step.pk
    return step.product is not None and step.product_id == delivery.product_id and not step.product.left_ml


def counted_on(delivery: Delivery, now: datetime, shop: Shop) -> datetime:
    """From when the plan counts on a delivery: noon of its day, or, when that has passed, noon tomorrow."""
    zone = shop.tz
    expected = datetime.combine(delivery.expected, NOON, tzinfo=zone)
    return expected if expected > now else datetime.combine(_today(now, shop) + timedelta(days=1), NOON, tzinfo=zone)


def expected(
    shop: Shop, now: datetime, *, piece: Piece | None = None, product: Product | None = None
) -> list[Expected]:
    """What is expected in the shop, or only what a piece or a product waits for, in words."""
    rows = not_arrived(shop)
    if not rows:
        return []
    found = [_told(row, now, shop, steps) for row, steps in _with_steps(shop, rows)]
    if product is not None:
        found = [one for one in found if one.delivery.product_id == product.pk]
    if piece is not None:
        found = [one for one in found if any(step.piece_id == piece.pk for step in one.steps) or _is_for(one, piece)]
    return found


def _is_for(one: Expected, piece: Piece) -> bool:
    return one.delivery.step is not None and one.delivery.step.piece_id == piece.pk


def _with_steps(shop: Shop, rows: list[Delivery]) -> list[tuple[Delivery, tuple[Step, ...]]]:
    asked = Step.objects.filter(shop=shop, state=Step.State.TO_DO, piece__handed_over_at__isnull=True)
    steps = list(asked.select_related("piece", "product"))
    return [(row, tuple(step for step in steps if awaited_by(step, row))) for row in rows]


def _told(row: Delivery, now: datetime, shop: Shop, steps: tuple[Step, ...]) -> Expected:
    overdue = _is_overdue(row, now, shop)
    text = _late_words(row, now, shop) if overdue else _expected_words(row)
    return Expected(row, f"{text} {_waiting_words(len(steps))}".strip(), overdue, steps)


def _expected_words(row: Delivery) -> str:
    return _("“%(what)s” is expected %(day)s.") % {"what": row.what, "day": _day(row.expected)}


def _late_words(row: Delivery, now: datetime, shop: Shop) -> str:
    words = {"what": row.what, "day": _day(row.expected), "next": _day(counted_on(row, now, shop).date())}
    return (
        _(
            "“%(what)s” was expected %(day)s and has not come. The plan reckons with %(next)s: ask after it, or give it another day."
        )
        % words
    )


def _waiting_words(count: int) -> str:
    if not count:
        return ""
    return ngettext("%(count)s step waits for it.", "%(count)s steps wait for it.", count) % {"count": count}


def _is_overdue(row: Delivery, now: datetime, shop: Shop) -> bool:
    return row.expected < _today(now, shop)


def _today(now: datetime, shop: Shop) -> date:
    return now.astimezone(shop.tz).date()


def _day(day: date) -> str:
    return str(date_format(day, "D j M"))
