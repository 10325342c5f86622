"""Forms of the Bins drawer."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from tallboy.book.doing import By
from tallboy.book.fields import offer
from tallboy.book.models import Shop
from tallboy.drawers.bins import queries
from tallboy.drawers.bins.actions import LONGEST_LABEL, kept_bin
from tallboy.drawers.bins.models import Bin
from tallboy.drawers.pieces import queries as pieces
from tallboy.drawers.pieces import words
from tallboy.drawers.pieces.forms import PartForm
from tallboy.drawers.pieces.models import Spot

KEPT = "kept"


class BinForm(forms.Form):
    """What is on the labels of a new bin."""

    rack = forms.CharField(label=_("Rack"), max_length=LONGEST_LABEL, help_text=_("What is on its label, like 1."))
    box = forms.CharField(label=_("Box"), max_length=LONGEST_LABEL)
    compartment = forms.CharField(label=_("Compartment"), max_length=LONGEST_LABEL, required=False)


class PlaceForm(forms.Form):
    """Where to lay a part: a bin, a tray, the bench."""

    place = forms.ChoiceField(label=_("Lay it in"))

    def __init__(self, *args: Any, shop: Shop, without: Spot | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer(self, "place", _places(shop, without))


def _places(shop: Shop, without: Spot | None) -> list[tuple[str, str]]:
    """The places to choose from; the bin for kept parts is offered before it is made."""
    spots = [(str(spot.pk), spot.name) for spot in queries.places_for_kept(shop) if spot != without]
    made = Bin.objects.filter(shop=shop, is_usual=True).exists()
    return spots if made else [*spots, (KEPT, str(_("a new bin for kept parts")))]


def chosen_place(by: By, form: forms.Form) -> Spot:
    """The place chosen on a valid form; the bin for kept parts is made at need."""
    place = form.cleaned_data["place"]
    return kept_bin(by).spot if place == KEPT else pieces.spot(by.shop, int(place))


class KeepForm(PlaceForm, PartForm):
    """A part that came from no piece in the book, and where it is kept."""

    field_order = ("kind", "name", "metal", "screws", "condition", "place")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        del self.fields["decision"]


class FindForm(forms.Form):
    """Words and a kind to find kept parts by."""

    words = forms.CharField(label=_("Words"), max_length=80, required=False, widget=forms.SearchInput)
    kind = forms.ChoiceField(label=_("Kind"), required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer(self, "kind", [("", _("any kind")), *words.part_kind_choices()])
