"""Questions about bins and the parts kept in them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Count, Q, QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from tallboy.book.models import Shop
from tallboy.drawers.bins.models import Bin
from tallboy.drawers.pieces.models import Part, Spot
from tallboy.errors import NotFound

TAG_NUMBER = re.compile(r"(?:p-?)?(\d{1,9})", re.IGNORECASE)
MOST_WORDS = 8


def line(shop: Shop, now: datetime) -> str:
    """One line for the chest."""
    kept = kept_parts(shop).count()
    if not kept:
        return _("nothing kept yet")
    return ngettext("%(count)s part kept", "%(count)s parts kept", kept) % {"count": kept}


def kept_parts(shop: Shop) -> QuerySet[Part]:
    """Parts kept for another piece: all that lie in a bin, and those of no piece wherever they lie."""
    spots = Spot.objects.filter(shop=shop, kind=Spot.Kind.BIN)
    return Part.objects.filter(shop=shop).filter(
        Q(at_spot__in=spots.values("pk")) | Q(piece__isnull=True, at_spot__isnull=False)
    )


def told(parts: QuerySet[Part]) -> QuerySet[Part]:
    """The parts with all that a line of a list says of them, in one query."""
    return parts.select_related("at_spot__bin", "piece").order_by("number")


def matching(parts: QuerySet[Part], words: str, kind: str) -> QuerySet[Part]:
    """The parts of a kind in which every word is found: in what it is, its metal, its place, or the number on its tag."""
    if kind:
        parts = parts.filter(kind=kind)
    for word in words.split()[:MOST_WORDS]:
        parts = parts.filter(_says(word))
    return parts


def _says(word: str) -> Q:
    found = (
        Q(name__icontains=word) | Q(metal__icontains=word) | Q(kind__icontains=word) | Q(at_spot__name__icontains=word)
    )
    number = tag_number(word)
    return found if number is None else found | Q(number=number)


def tag_number(text: str) -> int | None:
    """The number of a part as it is written on its tag, "P-0012" or "12"; None where it is no number."""
    found = TAG_NUMBER.fullmatch(text.strip())
    return int(found.group(1)) if found else None


@dataclass(frozen=True)
class BinLine:
    """One bin and how many parts lie in it."""

    bin: Bin
    parts: int


def bins_of(shop: Shop) -> list[Bin]:
    """The shop's bins, box 2 before box 10."""
    return sorted(Bin.objects.filter(shop=shop).select_related("spot"), key=lambda row: _by_number(row.spot.name))


def _by_number(name: str) -> list[tuple[int, int, str]]:
    """Numbers within a name count as numbers when names are put in order."""
    parts = re.split(r"(\d+)", name.casefold())
    return [(1, int(part), "") if part.isdecimal() else (0, 0, part) for part in parts if part]


def bin_lines(bins: Sequence[Bin]) -> list[BinLine]:
    """The bins with how many parts lie in each, in one query."""
    counts = dict(
        Part.objects.filter(at_spot__in=[row.spot_id for row in bins])
        .order_by()
        .values("at_spot")
        .annotate(parts=Count("pk"))
        .values_list("at_spot", "parts")
    )
    return [BinLine(row, counts.get(row.spot_id, 0)) for row in bins]


def one_bin(shop: Shop, pk: int) -> Bin:
    """The bin with its spot, or NotFound."""
    found = Bin.objects.filter(shop=shop, pk=pk).select_related("spot").first()
    if found is None:
        raise NotFound(_("There is no such bin in this book."))
    return found


def places_for_kept(shop: Shop) -> list[Spot]:
    """Where a part may be laid that does not soak: bins, then trays and the bench."""
    order = {Spot.Kind.BIN: 0, Spot.Kind.TRAY: 1, Spot.Kind.BENCH: 2}
    spots = Spot.objects.filter(shop=shop).exclude(kind=Spot.Kind.SLOT)
    return sorted(spots, key=lambda spot: (order[Spot.Kind(spot.kind)], _by_number(spot.name)))
