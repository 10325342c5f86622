"""Forms of the Pieces drawer."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from tallboy.book.fields import offer
from tallboy.book.models import Shop
from tallboy.drawers.pieces import queries, words
from tallboy.drawers.pieces.models import Part, Piece, PiecePhoto, Position, Spot

NEW_SPOT = "new"


def _spot_choices(shop: Shop) -> list[tuple[str, str]]:
    spots = [(str(spot.pk), spot.name) for spot in queries.spots_for_parts(shop) if spot.kind != Spot.Kind.BIN]
    return [*spots, (NEW_SPOT, str(_("a new tray, named below")))]


class SpotForm(forms.Form):
    """Where to lay something: a named place of the shop, or a new tray."""

    spot = forms.ChoiceField(label=_("Lay it in"))
    new_spot = forms.CharField(
        label=_("New tray"), max_length=80, required=False, help_text=_("Only for a new one: what is on its label.")
    )

    def __init__(self, *args: Any, shop: Shop, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer(self, "spot", _spot_choices(shop))

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("spot") == NEW_SPOT and not cleaned.get("new_spot", "").strip():
            self.add_error("new_spot", _("Name the new tray, or choose a place from the list."))
        return cleaned


class PartForm(forms.Form):
    """What a part is and in what state."""

    kind = forms.ChoiceField(label=_("Kind"))
    name = forms.CharField(
        label=_("What it is"), max_length=120, required=False, help_text=_("For example: cup pull, cast brass.")
    )
    metal = forms.CharField(label=_("Metal"), max_length=60, required=False)
    screws = forms.IntegerField(label=_("Screws"), min_value=0, max_value=60, required=False)
    condition = forms.ChoiceField(
        label=_("Condition"), choices=Part.Condition.choices, widget=forms.RadioSelect, initial=Part.Condition.SOUND
    )
    decision = forms.ChoiceField(
        label=_("What to do with it"),
        choices=Part.Decision.choices,
        widget=forms.RadioSelect,
        initial=Part.Decision.CLEAN,
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer(self, "kind", words.part_kind_choices())


class TakeOffForm(PartForm, SpotForm):
    """What came off a position and where it was laid."""

    photo = forms.FileField(label=_("Photograph"), required=False, widget=forms.FileInput)
    field_order = ("photo", "kind", "name", "screws", "condition", "decision", "spot", "new_spot", "metal")

    @classmethod
    def expecting(cls, position: Position, shop: Shop, last_spot: str) -> TakeOffForm:
        """A form that already says what is expected on the position."""
        initial = {
            "kind": position.kind,
            "name": f"{position.detail} {position.kind}".strip(),
            "screws": position.screws,
            "spot": last_spot,
        }
        return cls(initial=initial, shop=shop)


class ReasonForm(forms.Form):
    """One reason in a few words."""

    reason = forms.CharField(label=_("Reason"), max_length=200)


class FaultForm(forms.Form):
    """One fault found."""

    kind = forms.ChoiceField(label=_("Fault"))
    where = forms.CharField(label=_("Where"), max_length=120, required=False)
    note = forms.CharField(label=_("Note"), required=False, widget=forms.Textarea)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer(self, "kind", words.fault_choices())


class SpotTestForm(forms.Form):
    """A drop of liquid tried out of sight, and what it did."""

    liquid = forms.CharField(label=_("Liquid"), max_length=80, help_text=_("For example: alcohol, white spirit."))
    where = forms.CharField(label=_("Where"), max_length=120, required=False)
    result = forms.CharField(
        label=_("What it did"), max_length=200, help_text=_("For example: softened at once, so shellac.")
    )


class LeadTestForm(forms.Form):
    """What the lead test said."""

    result = forms.ChoiceField(
        label=_("The test says"),
        choices=[(Piece.Lead.NONE, Piece.Lead.NONE.label), (Piece.Lead.FOUND, Piece.Lead.FOUND.label)],
        widget=forms.RadioSelect,
    )


class NoteForm(forms.Form):
    """A remark."""

    text = forms.CharField(label=_("Note"), max_length=2000, widget=forms.Textarea)


class PhotoForm(forms.Form):
    """One photograph and what it shows."""

    photo = forms.FileField(label=_("Photograph"), widget=forms.FileInput)
    caption = forms.CharField(label=_("What it shows"), max_length=200, required=False)
    purpose = forms.ChoiceField(label=_("When"), choices=PiecePhoto.Purpose.choices, widget=forms.RadioSelect)


class HandOverForm(forms.Form):
    """Handing a piece over; a reason covers each position that is not accounted for."""

    note = forms.CharField(label=_("Note"), required=False, widget=forms.Textarea)
