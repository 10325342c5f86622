"""Questions about vessels and what lies in their slots."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Count, Prefetch, QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from tallboy.book.models import Shop
from tallboy.drawers.pieces.models import Move, Part, Spot
from tallboy.drawers.soaks.models import Slot, Vessel
from tallboy.errors import NotFound


def line(shop: Shop, now: datetime) -> str:
    """One line for the chest."""
    vessels = Vessel.objects.filter(shop=shop).count()
    if not vessels:
        return _("no vessel yet")
    said = ngettext("%(count)s vessel", "%(count)s vessels", vessels) % {"count": vessels}
    parts = Part.objects.filter(at_spot__shop=shop, at_spot__kind=Spot.Kind.SLOT).count()
    if not parts:
        return _("%(vessels)s, nothing in them") % {"vessels": said}
    inside = ngettext("%(count)s part in them", "%(count)s parts in them", parts) % {"count": parts}
    return f"{said}, {inside}"


def vessels_of(shop: Shop) -> QuerySet[Vessel]:
    """The shop's vessels, each with how many slots it has and how many hold a part, by name."""
    counted = Vessel.objects.filter(shop=shop).annotate(
        all_slots=Count("slots", distinct=True), full_slots=Count("slots__spot__parts", distinct=True)
    )
    return counted.order_by("name")


@dataclass(frozen=True)
class SlotLine:
    """One slot and the part in it, if any."""

    slot: Slot
    part: Part | None


def slot_lines(vessel: Vessel) -> list[SlotLine]:
    """Every slot of a vessel in order with the part in it. Two queries whatever the number."""
    parts = Part.objects.select_related("piece")
    slots = Slot.objects.filter(vessel=vessel).select_related("spot")
    rows = slots.prefetch_related(Prefetch("spot__parts", queryset=parts)).order_by("number")
    return [SlotLine(row, next(iter(row.spot.parts.all()), None)) for row in rows]


def vessel(shop: Shop, pk: int) -> Vessel:
    """The vessel, or NotFound."""
    found = Vessel.objects.filter(shop=shop, pk=pk).first()
    if found is None:
        raise NotFound(_("There is no such vessel in this book."))
    return found


def slot(shop: Shop, pk: int) -> Slot:
    """The slot with its vessel and spot, or NotFound."""
    found = Slot.objects.filter(shop=shop, pk=pk).select_related("vessel", "spot").first()
    if found is None:
        raise NotFound(_("There is no such slot in this book."))
    return found


def part_in(of: Slot) -> Part | None:
    """What lies in a slot."""
    return Part.objects.filter(at_spot=of.spot).select_related("piece", "home").first()


def since(part: Part) -> datetime | None:
    """When a part came to where it lies."""
    return Move.objects.filter(part=part).order_by("-pk").values_list("at", flat=True).first()


def place_before(part: Part) -> int | None:
    """Where a part lay before it was put to soak, which is where most go back to; None when that place is not there."""
    move = Move.objects.filter(part=part).order_by("-pk").first()
    return (
        Spot.objects.filter(shop=part.shop_id, name=move.came_from).values_list("pk", flat=True).first()
        if move
        else None
    )


def waiting_parts(shop: Shop) -> QuerySet[Part]:
    """Parts that lie in trays or on the bench, from which one is taken to soak."""
    return (
        Part.objects.filter(shop=shop, at_spot__kind__in=[Spot.Kind.TRAY, Spot.Kind.BENCH])
        .select_related("at_spot", "piece")
        .order_by("at_spot__name", "number")
    )
