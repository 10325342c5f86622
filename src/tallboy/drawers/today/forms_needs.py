"""Forms about what a step needs, and about what is on its way."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from tallboy.book.fields import VolumeField, offer
from tallboy.book.models import Person, Place, Shop
from tallboy.drawers.pieces.actions.deliveries import LONGEST_WHAT
from tallboy.drawers.pieces.actions.needs import MOST_HANDS, MOST_RACK
from tallboy.drawers.pieces.models import Step
from tallboy.drawers.shelf.models import Product
from tallboy.work.route import LONGEST_SKILL, MOST_CLAMPS

PLAIN = ("hands", "skill", "dusty", "split", "noisy", "solvent", "ignition", "clamps", "rack_dm2")


class NeedsForm(forms.Form):
    """What a step needs besides time."""

    place = forms.ChoiceField(label=_("Where"), required=False)
    hands = forms.IntegerField(label=_("Hands"), min_value=1, max_value=MOST_HANDS)
    skill = forms.CharField(
        label=_("Skill that one of them needs"),
        max_length=LONGEST_SKILL,
        required=False,
        help_text=_("In the word that stands with the people of the shop."),
    )
    people = forms.MultipleChoiceField(
        label=_("Only by"), required=False, widget=forms.CheckboxSelectMultiple, help_text=_("None ticked: anybody.")
    )
    clamps = forms.IntegerField(
        label=_("Clamps"), min_value=0, max_value=MOST_CLAMPS, help_text=_("Taken until its wait in clamps is over.")
    )
    rack_dm2 = forms.IntegerField(
        label=_("Room on the rack while wet, dm²"),
        min_value=0,
        max_value=MOST_RACK,
        help_text=_("For the loose parts: doors and drawer fronts. 1 m² is 100 dm²."),
    )
    split = forms.BooleanField(label=_("may be split over several days"), required=False)
    dusty = forms.BooleanField(label=_("makes dust"), required=False)
    noisy = forms.BooleanField(label=_("makes noise"), required=False)
    solvent = forms.BooleanField(
        label=_("open solvent"),
        required=False,
        help_text=_("No flame in the room, and nobody else at work there without fresh air."),
    )
    ignition = forms.BooleanField(
        label=_("flame, heat or sparks"), required=False, help_text=_("Not while a solvent or its vapour is about.")
    )

    def __init__(self, *args: Any, shop: Shop, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.places = {str(place.pk): place for place in Place.objects.filter(shop=shop)}
        self.workers = {str(one.pk): one for one in Person.objects.filter(shop=shop, works=True).order_by("id")}
        offer(self, "place", [("", _("anywhere")), *((pk, place.name) for pk, place in self.places.items())])
        offer(self, "people", [(pk, one.name) for pk, one in self.workers.items()])
        if len(self.workers) < 2:
            del self.fields["people"]

    @staticmethod
    def shown(step: Step) -> dict[str, Any]:
        """What the form shows of a step."""
        return {
            **{name: getattr(step, name) for name in PLAIN},
            "place": "" if step.place_id is None else str(step.place_id),
            "people": [str(pk) for pk in step.people.values_list("pk", flat=True)],
        }

    def columns(self) -> dict[str, Any]:
        """The step's columns as they should be, and who alone may do it where that was asked."""
        columns = {name: self.cleaned_data[name] for name in PLAIN}
        columns["place"] = self.places.get(self.cleaned_data["place"])
        if "people" in self.fields:
            columns["people"] = [self.workers[pk] for pk in self.cleaned_data["people"]]
        return columns


class DayForm(forms.Form):
    """When something is expected."""

    expected = forms.DateField(label=_("Expected"), widget=forms.DateInput(attrs={"type": "date"}))


class ExpectForm(DayForm):
    """Something is on its way: what, when, and for which can of the shelf."""

    what = forms.CharField(label=_("What"), max_length=LONGEST_WHAT, help_text=_("For example: shellac sealer, 1 l."))
    product = forms.ChoiceField(label=_("For which can of the shelf"))

    field_order = ("what", "product", "expected")

    def __init__(self, *args: Any, shop: Shop, step: Step | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.cans = {str(can.pk): can for can in Product.objects.filter(shop=shop)}
        offer(self, "product", [(pk, can.name) for pk, can in self.cans.items()])
        if step is not None:
            del self.fields["product"]

    def can(self) -> Product | None:
        """The can that was chosen; none where it is for a step."""
        return self.cans[self.cleaned_data["product"]] if "product" in self.fields else None


class ArrivedForm(forms.Form):
    """It has come: how much of it, for the shelf."""

    came = VolumeField(label=_("How much has come"), required=False, help_text=_("For example 1 l; may be left out."))


def day_shown(day: date) -> dict[str, Any]:
    """What a `DayForm` shows of a day."""
    return {"expected": day.isoformat()}
