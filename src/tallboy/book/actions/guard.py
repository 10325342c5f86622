"""What must hold before the shop itself is changed."""

from __future__ import annotations

from tallboy.book.doing import By
from tallboy.book.models import Shop


def locked_shop(by: By) -> Shop:
    """The shop's row, for which others who change it wait. Part of other actions, which lock it before any row of theirs.

    `no_key`: meanwhile others may still add rows that belong to the shop, or two would wait for each other for ever.
    """
    return Shop.objects.select_for_update(no_key=True).get(pk=by.shop.pk)
