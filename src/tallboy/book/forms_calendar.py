"""Forms about people, places, what there is only so much of, holidays and quiet hours."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from tallboy.book import skills
from tallboy.book.actions import means
from tallboy.book.actions.people import LONGEST_NAME
from tallboy.book.actions.places import LONGEST_ROOM, MOST_SEATS
from tallboy.book.fields import offer
from tallboy.book.holidays import countries, subdivisions
from tallboy.book.models import Means, Person, Place, Shop

DM2_IN_M2 = Decimal(100)
# The international foot is 3.048 dm (sums/units.py).
DM2_IN_FT2 = Decimal("3.048") ** 2
CLOCK = "%H:%M"


class PersonForm(forms.Form):
    """Somebody of the shop: a name, whether the plan counts on them, and what they can do."""

    name = forms.CharField(label=_("Name"), max_length=LONGEST_NAME)
    works = forms.BooleanField(
        label=_("Works at the bench"),
        required=False,
        initial=True,
        help_text=_("The plan counts on this pair of hands."),
    )
    skills = forms.MultipleChoiceField(
        label=_("Skills"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=_("What not everybody here can do; a step that needs it is planned for those who can."),
    )
    others = forms.CharField(
        label=_("Other skills"),
        required=False,
        max_length=400,
        help_text=_("In words of your own, a comma between two."),
    )

    def __init__(self, *args: Any, known: Iterable[str] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer(self, "skills", [(word, word) for word in sorted({*skills.SUGGESTED, *known})])

    @classmethod
    def of(cls, person: Person, known: Iterable[str]) -> PersonForm:
        """The form filled in with what holds now."""
        return cls(initial={"name": person.name, "works": person.works, "skills": person.skills}, known=known)

    def said(self) -> dict[str, Any]:
        """What was typed, as the actions want it."""
        cleaned = self.cleaned_data
        words = [*cleaned["skills"], *cleaned["others"].split(",")]
        return {"name": cleaned["name"], "works": cleaned["works"], "skills": words}


class PlaceAirForm(forms.Form):
    """The air of a place, and how much fits there."""

    room = forms.CharField(label=_("Room"), max_length=LONGEST_ROOM)
    fresh_air = forms.BooleanField(
        label=_("Vapour is led away from here"),
        required=False,
        help_text=_(
            "By extraction or in the open: others may then work beside an open solvent. Flames and sparks stay away all the"
            " same. Local rules say what air is enough."
        ),
    )
    seats = forms.IntegerField(
        label=_("Pieces of work at once"),
        min_value=1,
        max_value=MOST_SEATS,
        required=False,
        help_text=_("How many fit here; the plan keeps to it. Empty where nobody counts."),
    )

    def __init__(self, *args: Any, rooms: Iterable[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["room"].help_text = _(
            "Places with the same word here share their air: vapour at one is vapour at all of them. So far: %(rooms)s."
        ) % {"rooms": ", ".join(rooms)}

    @classmethod
    def of(cls, place: Place, rooms: Iterable[str]) -> PlaceAirForm:
        """The form filled in with what holds now."""
        return cls(initial={name: getattr(place, name) for name in cls.base_fields}, rooms=rooms)


class ClampsForm(forms.Form):
    """Clamps, by their number."""

    name = forms.CharField(label=_("Name"), max_length=means.LONGEST_NAME, help_text=_("Like long clamps."))
    amount = forms.IntegerField(
        label=_("How many"),
        min_value=1,
        max_value=means.MOST[Means.Kind.CLAMPS],
        help_text=_("The plan counts all clamps together."),
    )


class RackForm(forms.Form):
    """A rack for wet work, by its surface in the shop's unit."""

    name = forms.CharField(label=_("Name"), max_length=means.LONGEST_NAME, help_text=_("Like drying rack."))
    surface = forms.DecimalField(
        label=_("Surface"),
        min_value=Decimal("0.01"),
        max_value=Decimal(10_000),
        max_digits=7,
        decimal_places=2,
        help_text=_("Of all its shelves together: what is wet on both sides takes more of it."),
    )

    def __init__(self, *args: Any, shop: Shop, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._dm2 = DM2_IN_FT2 if shop.imperial else DM2_IN_M2
        self.unit = "ft²" if shop.imperial else "m²"

    @property
    def amount(self) -> int:
        """What was typed, in whole dm²."""
        surface: Decimal = self.cleaned_data["surface"]
        return max(1, round(surface * self._dm2))

    @classmethod
    def of(cls, rack: Means, shop: Shop) -> RackForm:
        """The form filled in with what holds now."""
        form = cls(shop=shop)
        form.initial = {"name": rack.name, "surface": round(rack.amount / form._dm2, 2)}
        return form


class HolidaysForm(forms.Form):
    """Whose public holidays there are, and whether nobody works on them."""

    country = forms.ChoiceField(label=_("Country"), required=False)
    subdivision = forms.ChoiceField(
        label=_("Part of the country"), required=False, help_text=_("Some parts have holidays of their own.")
    )
    keeps = forms.BooleanField(label=_("Nobody works on public holidays"), required=False)

    def __init__(self, *args: Any, shop: Shop, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._country = shop.country
        offer(self, "country", [("", _("none chosen")), *countries().items()])
        parts = subdivisions(shop.country) if shop.country else {}
        if parts:
            named = sorted(parts.items(), key=lambda part: part[1])
            offer(self, "subdivision", [("", _("the whole country")), *named])
        else:
            del self.fields["subdivision"]

    @classmethod
    def of(cls, shop: Shop) -> HolidaysForm:
        """The form filled in with what holds now."""
        now = {"country": shop.country, "subdivision": shop.subdivision, "keeps": shop.keeps_holidays}
        return cls(initial=now, shop=shop)

    def said(self) -> dict[str, Any]:
        """What was typed, as the action wants it. The parts offered are those of the country before: another one starts whole."""
        country = self.cleaned_data["country"]
        part = self.cleaned_data.get("subdivision", "") if country == self._country else ""
        return {"country": country, "subdivision": part, "keeps": self.cleaned_data["keeps"]}


class NoiseForm(forms.Form):
    """When it may be noisy, and whether days end early."""

    noise_from = forms.TimeField(
        label=_("Noisy work from"), required=False, widget=forms.TimeInput({"type": "time"}, CLOCK)
    )
    noise_until = forms.TimeField(
        label=_("Noisy work until"),
        required=False,
        widget=forms.TimeInput({"type": "time"}, CLOCK),
        help_text=_("Both empty: at any time of day."),
    )
    leave_early = forms.BooleanField(
        label=_("Leave early where nothing is lost by it"),
        required=False,
        help_text=_("Of two plans that are as good, the one whose days end earlier."),
    )

    @classmethod
    def of(cls, shop: Shop) -> NoiseForm:
        """The form filled in with what holds now."""
        return cls(initial={name: getattr(shop, name) for name in cls.base_fields})
