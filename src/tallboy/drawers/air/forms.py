"""Forms of the Air drawer."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from tallboy.book.fields import MomentField, PercentField, TemperatureField, to_the_minute
from tallboy.book.models import Shop
from tallboy.drawers.air.logger_answers import Answers, Question


class ReadingForm(forms.Form):
    """One reading: when, temperature in the shop's units, humidity."""

    celsius = TemperatureField(label=_("Air temperature"))
    relative_humidity = PercentField(label=_("Relative humidity"))
    at = MomentField(label=_("When"))

    def __init__(self, *args: Any, shop: Shop, now: datetime, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["at"].initial = to_the_minute(now, shop)
        unit, example = ("°F", "64 °F") if shop.imperial else ("°C", "17.5 °C")
        self.fields["celsius"] = TemperatureField(
            imperial=shop.imperial,
            label=_("Air temperature"),
            help_text=_("Like %(example)s; a bare number is %(unit)s.") % {"example": example, "unit": unit},
        )
        for name in ("celsius", "relative_humidity"):
            self.fields[name].widget.attrs.update(inputmode="decimal", autocomplete="off")


class ReasonForm(forms.Form):
    """What was wrong."""

    reason = forms.CharField(label=_("What was wrong with it"), max_length=200)


class FileForm(forms.Form):
    """A logger's file."""

    file = forms.FileField(label=_("File"), widget=forms.FileInput(attrs={"accept": ".csv,.txt,.tsv,text/*"}))


class AnswersForm(forms.Form):
    """Answers to what a file left open; answers given before are carried along hidden."""

    waiting = forms.CharField(widget=forms.HiddenInput)

    def __init__(
        self, *args: Any, questions: Sequence[Question], earlier: Answers | None = None, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        for question in questions:
            self.fields[question.key] = forms.ChoiceField(
                label=question.text, choices=question.accepted, widget=forms.RadioSelect
            )
        for key, value in vars(earlier or Answers()).items():
            if value and key not in self.fields:
                self.fields[key] = forms.CharField(widget=forms.HiddenInput, initial=value)


def answers_from(post: Any) -> Answers:
    """The answers that came with a form; anything else in it is left alone."""
    keys = ("unit", "dates", "clock", "time_column", "temperature_column", "humidity_column")
    given = {key: post[key] for key in keys if post.get(key)}
    return Answers(**given, leave_out_bad=bool(post.get("leave_out_bad")))
