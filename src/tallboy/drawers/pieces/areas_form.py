"""The choice of surfaces on a piece's page of areas, with the mouldings and turnings that its drawing does not have."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from tallboy.book.fields import LengthField, offer
from tallboy.book.models import Shop
from tallboy.drawers.pieces.words import AREA_GROUPS
from tallboy.front.areas import Moulding, PieceAreas, Turning

SELDOM = ("inside", "shelves", "drawers inside", "drawers outside", "back")
"""Groups that seldom get the same coats as the rest."""
MOST_ALIKE = 100
SIZES = (
    ("moulding_girth", _("Mouldings: girth"), _("A strip of paper pressed into it, measured flat.")),
    ("moulding_run", _("Mouldings: run, all lengths together"), ""),
    ("turning_girth", _("Turned legs: mean girth"), _("A tape around it at even steps, the average.")),
    ("turning_length", _("Turned legs: length of one"), ""),
)


class AreasForm(forms.Form):
    """Which groups are added up; sizes of mouldings and turnings, both or neither of each pair."""

    of = forms.MultipleChoiceField(label=_("Surfaces to add up"), required=False, widget=forms.CheckboxSelectMultiple)

    def __init__(self, *args: Any, shop: Shop, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, label, words in SIZES:
            self.fields[name] = LengthField(label=label, help_text=words, required=False, imperial=shop.imperial)
        self.fields["turning_count"] = forms.IntegerField(
            label=_("Turned legs: how many"), required=False, min_value=1, max_value=MOST_ALIKE
        )
        offer(self, "of", list(AREA_GROUPS.items()))

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        for pair in (("moulding_girth", "moulding_run"), ("turning_girth", "turning_length")):
            given = [name for name in pair if cleaned.get(name) is not None]
            missing = [name for name in pair if name in cleaned and cleaned[name] is None]
            if given and missing:
                self.add_error(missing[0], _("Girth and length belong together: give this one too."))
        return cleaned

    def mouldings(self) -> tuple[Moulding, ...]:
        """The mouldings that were typed."""
        girth, run = (self.cleaned_data.get(name) for name in ("moulding_girth", "moulding_run"))
        return () if girth is None or run is None else (Moulding(girth, run),)

    def turnings(self) -> tuple[Turning, ...]:
        """The turnings that were typed; one where nobody says how many."""
        girth, length = (self.cleaned_data.get(name) for name in ("turning_girth", "turning_length"))
        count = self.cleaned_data.get("turning_count") or 1
        return () if girth is None or length is None else (Turning(girth, length, count),)

    def offer_groups(self, found: PieceAreas) -> None:
        """Only the groups that the piece has can be ticked."""
        offer(self, "of", [(group.name, AREA_GROUPS[group.name]) for group in found.groups])


def usual_choice(found: PieceAreas, chair: bool) -> list[str]:
    """The groups that usually get the same coats; a chair's back shows, that of a case does not."""
    seldom = set(SELDOM) - ({"back"} if chair else set())
    return [group.name for group in found.groups if group.name not in seldom]
