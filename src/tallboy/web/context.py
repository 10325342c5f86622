"""What every page shows: the chest of drawers, the shop, and the air."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest
from django.urls import reverse
from django.utils.functional import SimpleLazyObject
from django.utils.translation import gettext_lazy as _

from tallboy.book.doing import By
from tallboy.drawers.air import queries as air
from tallboy.drawers.bins import queries as bins
from tallboy.drawers.ledger import queries as ledger
from tallboy.drawers.pieces import queries as pieces
from tallboy.drawers.shelf import queries as shelf
from tallboy.drawers.soaks import queries as soaks
from tallboy.drawers.today import queries as today

DRAWERS = (
    ("today", _("Today"), today.line),
    ("pieces", _("Pieces"), pieces.line),
    ("bins", _("Bins"), bins.line),
    ("soaks", _("Soaks"), soaks.line),
    ("shelf", _("Shelf"), shelf.line),
    ("air", _("Air"), air.line),
    ("ledger", _("Ledger"), ledger.line),
)


@dataclass(frozen=True)
class DrawerFront:
    """One drawer of the chest: its name, where it leads, one line of what is inside, whether it is pulled out."""

    key: str
    name: str
    url: str
    line: str
    open: bool


def chest(request: HttpRequest) -> dict[str, Any]:
    """The drawers for the page's chest; nothing before the book has a shop."""
    by: By | None = getattr(request, "by", None)
    if by is None:
        return {"drawers": [], "shop": None}
    opened = _opened(request)
    return {"drawers": SimpleLazyObject(lambda: _fronts(by, opened)), "shop": by.shop, "now": by.at}


def _opened(request: HttpRequest) -> str:
    """Which drawer a page lies in: by its address, as the steps of a piece lie with the piece though Today plans them.

    The shop's own pages lie in none.
    """
    first = request.path.strip("/").split("/")[0]
    keys = [key for key, _name, _line in DRAWERS]
    match = request.resolver_match
    return first if first in keys else match.namespace if match else ""


def _fronts(by: By, opened: str) -> list[DrawerFront]:
    return [
        DrawerFront(key, str(name), reverse(f"{key}:{key}"), line(by.shop, by.at), key == opened)
        for key, name, line in DRAWERS
    ]
