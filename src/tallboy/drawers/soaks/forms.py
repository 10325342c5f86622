"""Forms of the Soaks drawer."""

from __future__ import annotations

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from tallboy.drawers.bins.queries import tag_number
from tallboy.drawers.soaks.actions import LONGEST_NAME, LONGEST_NOTE, MOST_SLOTS


class VesselForm(forms.Form):
    """A new vessel."""

    name = forms.CharField(
        label=_("Name"), max_length=LONGEST_NAME, help_text=_("What is on its label, like: tall jar.")
    )
    slots = forms.IntegerField(
        label=_("Slots"),
        min_value=1,
        max_value=MOST_SLOTS,
        help_text=_("How many numbered places it has: wires, baskets, rows of a tray."),
    )
    note = forms.CharField(label=_("Note"), max_length=LONGEST_NOTE, required=False)


class PutInForm(forms.Form):
    """Which part goes in, by the number on its tag."""

    part = forms.CharField(label=_("Number on its tag"), max_length=20, help_text=_("Like P-0012 or 12."))

    def clean_part(self) -> int:
        number = tag_number(str(self.cleaned_data["part"]))
        if number is None:
            raise ValidationError(_("Write the number on the part's tag, like P-0012 or 12."))
        return number
