"""Forms about the shop itself: settings, working hours, days off, places."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import time
from typing import Any

from django import forms
from django.utils.dates import WEEKDAYS
from django.utils.translation import gettext_lazy as _

from tallboy.book.models import MOST_HANDS, Place, Shop

STRETCHES = 3
SHOWN_STRETCHES = 2
FROM_UNTIL = ((_("From"), _("Until")), (_("Again from"), _("Until")), (_("And from"), _("Until")))
ALIKE_DAYS = range(1, 5)


class ShopForm(forms.Form):
    """What a book must know of its shop."""

    name = forms.CharField(label=_("Name of the shop"), max_length=120)
    units = forms.ChoiceField(label=_("Units"), choices=Shop.Units.choices, widget=forms.RadioSelect, initial="metric")
    currency = forms.CharField(label=_("Currency"), max_length=3, initial="EUR", help_text=_("EUR, GBP, USD …"))
    timezone = forms.CharField(
        label=_("Time zone"), max_length=64, initial="UTC", help_text=_("Like Europe/Lisbon or America/Halifax.")
    )

    def clean_currency(self) -> str:
        """Three letters in capitals, however they were typed."""
        return str(self.cleaned_data["currency"]).upper()


class SettingsForm(ShopForm):
    """Everything about the shop that can be changed later."""

    hands = forms.IntegerField(
        label=_("Hands"),
        min_value=1,
        max_value=MOST_HANDS,
        help_text=_("How many people can work at once, those with a name here and others; the plan uses it."),
    )
    rate = forms.DecimalField(
        label=_("Rate an hour"),
        min_value=0,
        max_digits=10,
        decimal_places=2,
        help_text=_("What an hour of work costs; the ledger uses it. 0 while there is none."),
    )
    paper = forms.ChoiceField(label=_("Paper"), choices=Shop.Paper.choices, widget=forms.RadioSelect)

    @classmethod
    def of(cls, shop: Shop) -> SettingsForm:
        """The form filled in with what holds now."""
        return cls(initial={name: getattr(shop, name) for name in cls.base_fields})


@dataclass(frozen=True)
class DayRows:
    """One weekday of the hours form: pairs of fields, the ones shown at once and the ones that are opened at need."""

    name: str
    shown: list[tuple[forms.BoundField, forms.BoundField]]
    more: list[tuple[forms.BoundField, forms.BoundField]]


class HoursForm(forms.Form):
    """The working week: up to three stretches a day, each from and until."""

    alike = forms.BooleanField(label=_("Tuesday to Friday are as Monday"), required=False)

    def __init__(self, *args: Any, hours: Sequence[tuple[int, time, time]] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        now: dict[int, list[tuple[time, time]]] = {day: [] for day in WEEKDAYS}
        for day, opens, closes in sorted(hours):
            now[day].append((opens, closes))
        for day, number in self._stretches():
            known = now[day][number] if number < len(now[day]) else (None, None)
            for end, label, value in zip(("opens", "closes"), FROM_UNTIL[number], known, strict=True):
                self.fields[f"{end}_{day}_{number}"] = forms.TimeField(
                    label=label, initial=value, required=False, widget=forms.TimeInput({"type": "time"}, "%H:%M")
                )

    @staticmethod
    def _stretches() -> Iterator[tuple[int, int]]:
        return ((day, number) for day in sorted(WEEKDAYS) for number in range(STRETCHES))

    def days(self) -> list[DayRows]:
        """The fields by day, for the page."""
        return [self._day(day) for day in sorted(WEEKDAYS)]

    def _day(self, day: int) -> DayRows:
        pairs = [(self[f"opens_{day}_{number}"], self[f"closes_{day}_{number}"]) for number in range(STRETCHES)]
        used = [number for number, pair in enumerate(pairs) if any(field.value() or field.errors for field in pair)]
        shown = max([SHOWN_STRETCHES, *(number + 1 for number in used)])
        return DayRows(str(WEEKDAYS[day]), pairs[:shown], pairs[shown:])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        for day, number in self._stretches():
            opens, closes = cleaned.get(f"opens_{day}_{number}"), cleaned.get(f"closes_{day}_{number}")
            if (opens is None) != (closes is None):
                missing = "opens" if opens is None else "closes"
                self.add_error(f"{missing}_{day}_{number}", _("Give both times of a stretch, or none."))
        return cleaned

    def hours(self) -> list[tuple[int, time, time]]:
        """What was typed, as `set_hours` wants it."""
        cleaned = self.cleaned_data
        typed = [(day, cleaned[f"opens_{day}_{n}"], cleaned[f"closes_{day}_{n}"]) for day, n in self._stretches()]
        rows = [row for row in typed if row[1] is not None]
        if not cleaned["alike"]:
            return rows
        monday = [row for row in rows if row[0] == 0]
        others = [row for row in rows if row[0] not in (0, *ALIKE_DAYS)]
        return [*monday, *((day, opens, closes) for day in ALIKE_DAYS for _monday, opens, closes in monday), *others]


class DayOffForm(forms.Form):
    """A day, or a run of days, on which nobody works."""

    day = forms.DateField(label=_("Day"), widget=forms.DateInput({"type": "date"}))
    until = forms.DateField(
        label=_("Until"), widget=forms.DateInput({"type": "date"}), required=False, help_text=_("For a run of days.")
    )
    reason = forms.CharField(label=_("Reason"), max_length=120, required=False)


class PlaceForm(forms.Form):
    """A new place where work is done."""

    name = forms.CharField(label=_("Name of the place"), max_length=80)
    kind = forms.ChoiceField(label=_("Kind"), choices=Place.Kind.choices, widget=forms.RadioSelect, initial="bench")
