"""Opening a new shop's book: what each drawer puts into it at the start."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from tallboy.book.actions import found_shop
from tallboy.book.doing import By
from tallboy.drawers.pieces.actions.hardware import add_spot
from tallboy.drawers.pieces.actions.layout import stock_routes
from tallboy.drawers.pieces.models import Spot
from tallboy.errors import Refused

FIRST_SPOTS = (("bench", Spot.Kind.BENCH), ("tray A", Spot.Kind.TRAY), ("tray B", Spot.Kind.TRAY))


def open_shop(*, name: str, person: str, at: datetime, **fields: Any) -> By:
    """Start a shop with its usual hours and places, the ready-made routes, a bench and two trays, all or nothing.

    Raises Refused when the book has a shop of that name.
    """
    try:
        with transaction.atomic():
            by = found_shop(name, person, at, **fields)
            stock_routes(by)
            for label, kind in FIRST_SPOTS:
                add_spot(by, label, kind)
    except IntegrityError:
        raise Refused(_("This book has a shop named %(name)s already.") % {"name": name}) from None
    return by
