"""Vessels and their slots: adding a vessel, putting a part in a slot, emptying a slot."""

from __future__ import annotations

from django.utils.translation import gettext as _

from tallboy.book.doing import By, action
from tallboy.drawers.pieces.actions.hardware import lay
from tallboy.drawers.pieces.models import Part, Spot
from tallboy.drawers.soaks.models import Slot, Vessel
from tallboy.errors import BadInput, NotFound, Refused

MOST_SLOTS = 60
LONGEST_NAME = 60
LONGEST_NOTE = 200


@action
def add_vessel(by: By, name: str, slots: int, note: str = "") -> Vessel:
    """A new vessel with numbered slots, each with the spot that one part lies in, named like "tall jar, slot 3"."""
    name, note = " ".join(name.split()), note.strip()
    _check(by, name, slots, note)
    vessel = Vessel.objects.create(**by.kept(), name=name, note=note)
    spots = Spot.objects.bulk_create(
        Spot(**by.kept(), name=_slot_name(name, number), kind=Spot.Kind.SLOT) for number in range(1, slots + 1)
    )
    Slot.objects.bulk_create(
        Slot(**by.kept(), vessel=vessel, number=number, spot=spot) for number, spot in enumerate(spots, 1)
    )
    by.record("add vessel", vessel, _("Added %(name)s with %(slots)s slots.") % {"name": name, "slots": slots})
    return vessel


def _slot_name(name: str, number: int) -> str:
    return _("%(vessel)s, slot %(number)s") % {"vessel": name, "number": number}


def _check(by: By, name: str, slots: int, note: str) -> None:
    if not 0 < len(name) <= LONGEST_NAME:
        raise BadInput(
            _("The new vessel has no name, or a very long one."),
            _("Write what is on its label, like “tall jar”, with at most %(most)s letters.") % {"most": LONGEST_NAME},
        )
    if not 1 <= slots <= MOST_SLOTS:
        raise BadInput(
            _("A vessel with %(slots)s slots?") % {"slots": slots},
            _("Give a number from 1 to %(most)s.") % {"most": MOST_SLOTS},
        )
    if len(note) > LONGEST_NOTE:
        raise BadInput(_("The note is too long."), _("At most %(most)s letters.") % {"most": LONGEST_NOTE})
    names = [_slot_name(name, number) for number in range(1, slots + 1)]
    if (
        Vessel.objects.filter(shop=by.shop, name__iexact=name).exists()
        or Spot.objects.filter(shop=by.shop, name__in=names).exists()
    ):
        raise BadInput(_("There is already a vessel named %(name)s.") % {"name": name}, _("Give it a name of its own."))


def _ours(by: By, slot: Slot) -> None:
    if slot.shop_id != by.shop.pk:
        raise NotFound(_("There is no such slot in this book."))


@action
def soak(by: By, part: Part, slot: Slot) -> Part:
    """Put a part in a slot. Refused when the slot holds another."""
    _ours(by, slot)
    return lay(by, part, slot.spot, _("to soak"))


@action
def empty_slot(by: By, slot: Slot, spot: Spot) -> Part:
    """Take out what lies in a slot and lay it in a named place."""
    _ours(by, slot)
    part = Part.objects.filter(at_spot=slot.spot).first()
    if part is None:
        raise Refused(
            _("%(slot)s is empty.") % {"slot": slot.spot.name}, _("Only a slot with a part in it is emptied.")
        )
    return lay(by, part, spot, _("out of the vessel"))
