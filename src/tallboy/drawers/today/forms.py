"""Forms of the Today drawer: about steps and their laying out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime, time, timedelta
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from tallboy.book.fields import MinutesField, VolumeField, offer
from tallboy.book.models import Shop
from tallboy.drawers.pieces import queries as pieces
from tallboy.drawers.pieces.models import Piece, Route, Step
from tallboy.drawers.shelf.models import Product
from tallboy.work.route import route_from_dict
from tallboy.work.words import DOES, ROLES_WITHOUT_CLASS

NOT_NOW = (
    ("60", _("in an hour")),
    ("120", _("in two hours")),
    ("tomorrow", _("tomorrow morning")),
    ("3 days", _("in three days")),
    ("7 days", _("in a week")),
)

MORNING = time(5)
"""Before anybody opens a shop: what is put off to a day is put off to this time of it."""

# How the fields of a role's can and of its coats are named.
CAN, COATS = "can-", "coats-"


class NotNowForm(forms.Form):
    """Until when a step is put off."""

    until = forms.ChoiceField(label=_("Not before"), choices=NOT_NOW, widget=forms.RadioSelect, initial="120")
    reason = forms.CharField(label=_("Why"), max_length=200, required=False)

    def until_moment(self, now: datetime, shop: Shop) -> datetime:
        """The chosen moment as an aware datetime."""
        chosen = self.cleaned_data["until"]
        local = now.astimezone(shop.tz)
        if chosen == "tomorrow":
            return datetime.combine(local.date() + timedelta(days=1), MORNING, tzinfo=shop.tz)
        if chosen.endswith("days"):
            days = int(chosen.split()[0])
            return datetime.combine(local.date() + timedelta(days=days), MORNING, tzinfo=shop.tz)
        return now.astimezone(UTC) + timedelta(minutes=int(chosen))


class SkipForm(forms.Form):
    """Why a step is not needed."""

    reason = forms.CharField(label=_("Why it is not needed"), max_length=200)


class DoneForm(forms.Form):
    """A step is done; for a coat, how much was used."""

    used = VolumeField(label=_("Used"), required=False, help_text=_("For example 120 ml; may be left out."))


class MinutesForm(forms.Form):
    """A better estimate."""

    minutes = MinutesField(label=_("Hands-on time"), help_text=_("For example 40 min or 1 h 30."))


# The check is the end of a route, and a piece has one.
OWN_WORK = tuple(word for word in DOES if word != "check")


class AddStepForm(forms.Form):
    """A step of one's own."""

    title = forms.CharField(label=_("What is to be done"), max_length=200)
    minutes = MinutesField(label=_("Hands-on time"))
    does = forms.ChoiceField(label=_("Kind of work"), choices=[(word, word) for word in OWN_WORK], initial="repair")
    dusty = forms.BooleanField(label=_("makes dust"), required=False)
    after = forms.ChoiceField(label=_("After"), required=False)

    def __init__(self, *args: Any, piece: Piece, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        rows = [(str(step.pk), step.title) for step in pieces.steps_of(piece) if step.open]
        offer(self, "after", [("", _("whenever it fits")), *rows])

    def after_step(self, piece: Piece) -> Step | None:
        chosen = self.cleaned_data["after"]
        return Step.objects.get(piece=piece, pk=int(chosen)) if chosen else None


class RouteChoiceForm(forms.Form):
    """Which route a piece takes."""

    route = forms.ChoiceField(label=_("Route"), widget=forms.RadioSelect)

    def __init__(self, *args: Any, routes: Iterable[Route], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offer(self, "route", [(str(route.pk), route.name) for route in routes])


class LayOutForm(forms.Form):
    """What a route asks before it is laid out: a can and a number of coats for each role, and its optional steps."""

    def __init__(self, *args: Any, shop: Shop, route: Route, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        parsed = route_from_dict(route.body)
        cans = list(Product.objects.filter(shop=shop))
        for role, usual in parsed.products.items():
            self._add_role(role, usual, cans)
        coats = {step.product: step.coats for step in parsed.steps if step.does == "coat" and step.product}
        for role in ROLES_WITHOUT_CLASS:
            coats.pop(role, None)
        for role, count in coats.items():
            self.fields[f"{COATS}{role}"] = forms.IntegerField(
                label=_("Coats of %(role)s") % {"role": role}, min_value=0, max_value=12, initial=count
            )
        optional = [
            (step.key, step.title.split(":")[0].split("{")[0].strip()) for step in parsed.steps if step.optional
        ]
        if optional:
            self.fields["options"] = forms.MultipleChoiceField(
                label=_("Also"), choices=optional, required=False, widget=forms.CheckboxSelectMultiple
            )

    def _add_role(self, role: str, usual: str, cans: list[Product]) -> None:
        ordered = sorted(cans, key=lambda can: can.coating != usual)
        first = next((str(can.pk) for can in ordered if can.coating == usual), "")
        choices = [("", _("%(usual)s, none chosen yet: usual times") % {"usual": usual})]
        self.fields[f"{CAN}{role}"] = forms.ChoiceField(
            label=role[:1].upper() + role[1:],
            required=False,
            choices=[*choices, *((str(can.pk), _can_words(can)) for can in ordered)],
            initial=first,
        )

    def products(self, shop: Shop) -> dict[str, Product]:
        """The chosen cans by role."""
        chosen = {
            name.removeprefix(CAN): value for name, value in self.cleaned_data.items() if name.startswith(CAN) and value
        }
        cans: Mapping[int, Product] = Product.objects.filter(shop=shop).in_bulk([int(pk) for pk in chosen.values()])
        return {role: cans[int(pk)] for role, pk in chosen.items()}

    def coats(self) -> dict[str, int]:
        """Coats by role."""
        return {name.removeprefix(COATS): value for name, value in self.cleaned_data.items() if name.startswith(COATS)}

    def options(self) -> list[str]:
        return list(self.cleaned_data.get("options", []))


def _can_words(can: Product) -> str:
    """A can by its name and what is in it, once where the two are the same."""
    return can.name if can.name.casefold() == can.coating.casefold() else f"{can.name} ({can.coating})"
