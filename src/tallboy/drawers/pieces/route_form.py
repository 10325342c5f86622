"""The form on which a shop edits its own copy of a route: one row a step."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from tallboy.book.fields import MinutesField
from tallboy.sums.units import format_minutes
from tallboy.work.route import LONGEST_SKILL, MOST_CLAMPS
from tallboy.work.words import DOES, PLACES

# What a row shows and may change; the rest of a step's data stays as it was.
NUMBERS = ("minutes", "minutes_per_m2")
FLAGS = ("dusty", "split", "noisy", "solvent", "ignition")


class RouteForm(forms.Form):
    """What a route is called and what it is for."""

    name = forms.CharField(label=_("Name"), max_length=120)
    for_what = forms.CharField(label=_("What it is for"), max_length=300, required=False)


class Words(forms.Select):
    """A choice among words that are their own values."""

    template_name = "pieces/words.html"


class StepRow(forms.Form):
    """One step of a route."""

    key = forms.SlugField(required=False, widget=forms.HiddenInput)
    title = forms.CharField(label=_("What is done"), max_length=160)
    does = forms.ChoiceField(label=_("Kind of work"), choices=[(word, word) for word in DOES], widget=Words)
    place = forms.ChoiceField(label=_("Where"), choices=[(word, word) for word in PLACES], widget=Words)
    minutes = MinutesField(label=_("Hands-on time"), required=False, help_text=_("For each thing it is done to."))
    minutes_per_m2 = MinutesField(label=_("and for each m²"), required=False)
    coats = forms.IntegerField(label=_("Coats"), min_value=1, max_value=12, required=False)
    least_minutes = MinutesField(label=_("Waits at least"), required=False)
    dusty = forms.BooleanField(label=_("makes dust"), required=False)
    split = forms.BooleanField(label=_("may be split over several days"), required=False)
    noisy = forms.BooleanField(label=_("makes noise"), required=False)
    solvent = forms.BooleanField(label=_("open solvent"), required=False)
    ignition = forms.BooleanField(label=_("flame, heat or sparks"), required=False)
    clamps = forms.IntegerField(label=_("Clamps"), min_value=0, max_value=MOST_CLAMPS, required=False)
    skill = forms.CharField(label=_("Skill that one of them needs"), max_length=LONGEST_SKILL, required=False)


class StepRows(forms.formset_factory(StepRow, extra=1, can_delete=True, max_num=80, absolute_max=90)):  # type: ignore[misc]
    """All the steps of a route, with one empty row to add another at the end."""

    @staticmethod
    def rows_from(steps: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
        """What the rows show, from a route's stored steps."""
        return [_row(step) for step in steps]

    def steps(self, before: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
        """The stored steps as they now should be: rows changed, removed or added."""
        old = {step["key"]: dict(step) for step in before}
        rows = [form.cleaned_data for form in self.forms if form.cleaned_data and not form.cleaned_data.get("DELETE")]
        kept = [_step(row, old) for row in rows if row.get("title")]
        return _without_dangling(_check_last(kept))


def _row(step: Mapping[str, Any]) -> dict[str, Any]:
    # A stored step leaves out what is as usual: the bench.
    row: dict[str, Any] = {"place": PLACES[0], **step}
    for name in (*NUMBERS, "least_minutes"):
        row[name] = format_minutes(step[name]) if step.get(name) else ""
    return row


def _step(row: Mapping[str, Any], old: Mapping[str, dict[str, Any]]) -> dict[str, Any]:
    step = dict(old.get(row["key"]) or {"key": _new_key(row["title"], old)})
    step.update(title=row["title"], does=row["does"], place=row["place"])
    for name in (*NUMBERS, "least_minutes"):
        step[name] = row.get(name) or 0
    for name in FLAGS:
        step[name] = bool(row.get(name))
    step["coats"] = row.get("coats") or 1
    step["clamps"] = row.get("clamps") or 0
    step["skill"] = row.get("skill") or ""
    return step


def _new_key(title: str, old: Mapping[str, Any]) -> str:
    base = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:40] or "step"
    key, count = base, 2
    while key in old:
        key, count = f"{base}-{count}", count + 1
    return key


def _check_last(steps: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """A step added at the end comes before the check that ends a route, and the check waits for it."""
    checks = [step for step in steps if step["does"] == "check"]
    if len(checks) != 1 or steps[-1] is checks[0]:
        return steps
    check = checks[0]
    added = steps[steps.index(check) + 1 :]
    if check.get("after"):
        check["after"] = [*check["after"], *(step["key"] for step in added)]
    return [*(step for step in steps if step is not check), check]


def _without_dangling(steps: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Steps that followed one that was taken out follow what stands before them instead."""
    keys = {step["key"] for step in steps}
    for step in steps:
        if step.get("after"):
            step["after"] = [key for key in step["after"] if key in keys]
    return steps
