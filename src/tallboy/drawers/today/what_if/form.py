"""The form of a what-if: each answer may be left out, and what is asked stands in the page's address."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from tallboy.book.fields import TemperatureField, offer
from tallboy.book.models import Shop
from tallboy.drawers.pieces import queries as pieces
from tallboy.drawers.shelf.models import Product
from tallboy.drawers.today.gathering.horizon import MOST_DAYS
from tallboy.drawers.today.what_if.answer import Question

HOTTEST, COLDEST = 35.0, 5.0
FARTHEST = timedelta(days=MOST_DAYS)


def _day(label: Any, help_text: Any = "") -> forms.DateField:
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return forms.DateField(label=label, help_text=help_text, required=False, widget=widget)


class WhatIfForm(forms.Form):
    """What is asked of the shop."""

    hands = forms.ChoiceField(
        label=_("More hands"), required=False,
        choices=[("", _("none")), ("1", _("one more pair of hands")), ("2", _("two more pairs of hands"))],
    )  # fmt: skip
    overtime = forms.ChoiceField(
        label=_("Overtime every working day"), required=False,
        choices=[("", _("none")), ("1", _("1 hour")), ("2", _("2 hours")), ("3", _("3 hours"))],
    )  # fmt: skip
    saturdays = forms.BooleanField(label=_("Work on Saturdays"), required=False)
    closed_days = forms.ChoiceField(
        label=_("Work on days that are closed"), required=False,
        choices=[("", _("none")), ("1", _("the next one")), ("2", _("the next two"))],
    )  # fmt: skip
    day = _day(_("Work on this day"))
    until = _day(_("All of this until"), _("Left out: to the end of the plan."))
    celsius = TemperatureField(label=_("Heat the shop to"), required=False)
    can = forms.ChoiceField(label=_("Instead of the can"), required=False)
    instead = forms.ChoiceField(label=_("take the can"), required=False)
    like = forms.ChoiceField(label=_("One more piece, like"), required=False)
    route = forms.ChoiceField(label=_("By the route"), required=False)
    ready = _day(_("To be ready by"))
    without = forms.ChoiceField(label=_("Leave out"), required=False)
    first = forms.ChoiceField(label=_("Before everything else"), required=False)

    GROUPS = (
        (_("Hands and hours"), ("hands", "overtime", "saturdays", "closed_days", "day", "until")),
        (_("The air and the cans"), ("celsius", "can", "instead")),
        (_("The pieces"), ("like", "route", "ready", "without", "first")),
    )

    def __init__(self, *args: Any, shop: Shop, now: datetime, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today: date = now.astimezone(shop.tz).date()
        self.fields["celsius"] = TemperatureField(
            imperial=shop.imperial,
            label=_("Heat the shop to"),
            required=False,
            help_text=_("Like 68 °F.") if shop.imperial else _("Like 20 °C."),
        )
        self.pieces = {str(row.pk): row for row in pieces.in_the_shop(shop)}
        self.routes = {str(row.pk): row for row in pieces.routes_of(shop)}
        self.cans = {str(row.pk): row for row in Product.objects.filter(shop=shop)}
        none = ("", _("none"))
        piece_names = [none, *((key, row.name) for key, row in self.pieces.items())]
        can_names = [none, *((key, row.name) for key, row in self.cans.items())]
        for name in ("like", "without", "first"):
            offer(self, name, piece_names)
        for name in ("can", "instead"):
            offer(self, name, can_names)
        by_route = ((key, row.name) for key, row in self.routes.items())
        offer(self, "route", [("", _("the same steps as that piece")), *by_route])

    def groups(self) -> Iterable[tuple[Any, list[forms.BoundField]]]:
        """The fields under their headings."""
        return [(heading, [self[name] for name in names]) for heading, names in self.GROUPS]

    def clean_celsius(self) -> float | None:
        celsius: float | None = self.cleaned_data["celsius"]
        if celsius is not None and not COLDEST <= celsius <= HOTTEST:
            raise ValidationError(_("A shop is heated to between 5 and 35 °C (41 and 95 °F)."))
        return celsius

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if bool(cleaned.get("can")) != bool(cleaned.get("instead")):
            self.add_error("instead", _("Name both cans: the one that is planned, and the one to take instead."))
        elif cleaned.get("can") and cleaned["can"] == cleaned["instead"]:
            self.add_error("instead", _("That is the same can."))
        if (cleaned.get("route") or cleaned.get("ready")) and not cleaned.get("like"):
            self.add_error("like", _("Which piece is the new one like?"))
        for name in ("day", "until", "ready"):
            if cleaned.get(name) and cleaned[name] < self.today:
                self.add_error(name, _("That day is past."))
            elif cleaned.get(name) and cleaned[name] > self.today + FARTHEST:
                self.add_error(name, _("That day is too far away; no plan reaches further than four years."))
        return cleaned

    def question(self) -> Question:
        """What is asked; only of a valid form."""
        given = self.cleaned_data
        plain = ("saturdays", "day", "until", "celsius", "ready")
        return Question(
            hands=int(given["hands"] or 0),
            overtime=float(given["overtime"] or 0),
            closed_days=int(given["closed_days"] or 0),
            can=self.cans.get(given["can"]),
            instead=self.cans.get(given["instead"]),
            like=self.pieces.get(given["like"]),
            route=self.routes.get(given["route"]),
            without=self.pieces.get(given["without"]),
            first=self.pieces.get(given["first"]),
            **{name: given[name] for name in plain},
        )
