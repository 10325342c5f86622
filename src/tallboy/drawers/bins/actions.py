"""Bins for kept parts: adding one, and retiring a part into one."""

from __future__ import annotations

from itertools import count

from django.utils.translation import gettext as _

from tallboy.book.doing import By, action
from tallboy.book.models import Shop
from tallboy.drawers.bins.models import Bin
from tallboy.drawers.pieces.actions.hardware import laid, made_spot
from tallboy.drawers.pieces.models import Part, Spot
from tallboy.errors import BadInput, NotFound

LONGEST_LABEL = 40
LONGEST_NAME = 80


@action
def add_bin(by: By, rack: str, box: str, compartment: str = "") -> Bin:
    """A new bin and the spot that parts lie in, named like "rack 1 / box 2"."""
    labels = {
        "rack": _bare(rack, _("rack")),
        "box": _bare(box, _("box")),
        "compartment": _bare(compartment, _("compartment")),
    }
    if not labels["rack"] or not labels["box"]:
        raise BadInput(_("The new bin has no rack or no box."), _("Write what is on their labels, like 1 and 2."))
    name = _name(**labels)
    if len(name) > LONGEST_NAME or max(map(len, labels.values())) > LONGEST_LABEL:
        raise BadInput(
            _("The name of the bin is too long: %(name)s.") % {"name": name},
            _("Each label may have %(label)s letters, the whole name %(name)s.")
            % {"label": LONGEST_LABEL, "name": LONGEST_NAME},
        )
    made = Bin.objects.create(**by.kept(), spot=made_spot(by, name, Spot.Kind.BIN), **labels)
    by.record("add bin", made, _("Added the bin %(name)s.") % {"name": name})
    return made


def _bare(label: str, word: str) -> str:
    """The label without the word that the name says anyway: "rack 1" and "1" are the same rack."""
    label = " ".join(label.split())
    first, _space, rest = label.partition(" ")
    return rest if rest and first.casefold() == word.casefold() else label


def _name(rack: str, box: str, compartment: str) -> str:
    name = _("rack %(rack)s / box %(box)s") % {"rack": rack, "box": box}
    if not compartment:
        return name
    return _("%(bin)s / compartment %(compartment)s") % {"bin": name, "compartment": compartment}


@action
def retire(by: By, part: Part, bin: Bin | None = None) -> Part:
    """Keep a part for another piece: lay it in a bin, or in the shop's own bin for kept parts when none is chosen."""
    if bin is not None and bin.shop_id != by.shop.pk:
        raise NotFound(_("There is no such bin in this book."))
    chosen = bin or kept_bin(by)
    kept = laid(by, part, chosen.spot, _("kept for another piece"))
    by.record("retire", kept, _("Kept %(part)s for another piece in %(bin)s.") % {"part": kept, "bin": chosen})
    return kept


def kept_bin(by: By) -> Bin:
    """The shop's bin for parts that nobody chose a bin for, made at need. Part of other actions, with its journal row."""
    Shop.objects.select_for_update().get(pk=by.shop.pk)
    found = Bin.objects.filter(shop=by.shop, is_usual=True).select_related("spot").first()
    if found is not None:
        return found
    name = _free_name(by.shop, _("Kept parts"))
    made = Bin.objects.create(**by.kept(), spot=made_spot(by, name, Spot.Kind.BIN), rack=name, is_usual=True)
    by.record("add bin", made, _("Added the bin %(name)s.") % {"name": name})
    return made


def _free_name(shop: Shop, name: str) -> str:
    """The name, or the name with a number where a tray or another place bears it already."""
    taken = set(Spot.objects.filter(shop=shop, name__startswith=name).values_list("name", flat=True))
    return next(free for number in count(1) if (free := name if number == 1 else f"{name} {number}") not in taken)
