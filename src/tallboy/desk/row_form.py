"""The form of an own row, made from its table's columns and judged by the same rule as the printed rows."""

from __future__ import annotations

import math
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from tallboy.desk.models import OwnRow
from tallboy.errors import TallboyError
from tallboy.tables.rows import Column, Table, cell

PREFIX = "column-"


class ColumnField(forms.CharField):
    """One column: what is typed is read as the table reads it."""

    def __init__(self, column: Column) -> None:
        super().__init__(
            label=column.label, required=column.needed, help_text=_takes(column), widget=_widget(column), max_length=300
        )
        self.column = column

    def clean(self, value: Any) -> Any:
        try:
            return cell(self.column, value)
        except TallboyError as error:
            raise ValidationError(str(error)) from None


class RowForm(forms.Form):
    """A name, the values by column, and where they come from."""

    use_required_attribute = False

    def __init__(self, *args: Any, of: Table, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.of = of
        self.fields["key"] = forms.CharField(
            label=_("Name"),
            max_length=80,
            help_text=_("One that no row of this table has, without comma or semicolon."),
        )
        for column in of.columns:
            self.fields[PREFIX + column.name] = ColumnField(column)
        self.fields["source"] = forms.CharField(
            label=_("Where these values come from"),
            max_length=300,
            help_text=_("A book with its page, a data sheet, or “my own measurement”."),
        )
        self.fields["note"] = forms.CharField(label=_("Note"), max_length=300, required=False)

    def lines(self) -> list[dict[str, Any]]:
        """The fields in order, each with its column's unit."""
        units = {PREFIX + column.name: column.unit for column in self.of.columns}
        return [{"field": self[name], "unit": units.get(name, "")} for name in self.fields]

    def given(self) -> dict[str, Any]:
        """What the actions take."""
        cleaned = self.cleaned_data
        values = {column.name: cleaned[PREFIX + column.name] for column in self.of.columns}
        return {
            "key": cleaned["key"],
            "values": {name: value for name, value in values.items() if value is not None},
            "source": cleaned["source"],
            "note": cleaned["note"],
        }


def initial_of(row: OwnRow) -> dict[str, Any]:
    """What is written of a row, as a person would type it."""
    values = {PREFIX + name: _text(value) for name, value in row.values.items()}
    return {"key": row.key, "source": row.source, "note": row.note, **values}


def _text(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(map(str, value))
    return f"{value:g}" if isinstance(value, float) else str(value)


def _widget(column: Column) -> forms.Widget:
    unknown = [] if column.needed else [("", _("not said"))]
    if column.kind == "flag":
        return forms.RadioSelect(choices=[*unknown, ("yes", _("yes")), ("no", _("no"))])
    if column.accepted and column.kind == "text":
        return forms.RadioSelect(choices=[*unknown, *((word, word) for word in column.accepted)])
    return forms.TextInput({"autocomplete": "off", **({"inputmode": "decimal"} if column.kind == "number" else {})})


def _takes(column: Column) -> str:
    if column.kind == "keys" and column.accepted:
        return _("Any of these, with commas between: %(words)s.") % {"words": ", ".join(column.accepted)}
    if column.kind == "keys":
        return _("Words with commas between.")
    low, high = column.low, column.high
    if column.kind != "number" or (math.isinf(low) and math.isinf(high)):
        return ""
    if math.isinf(high):
        return _("At least %(low)s.") % {"low": f"{low:g}"}
    if math.isinf(low):
        return _("At most %(high)s.") % {"high": f"{high:g}"}
    return _("%(low)s to %(high)s.") % {"low": f"{low:g}", "high": f"{high:g}"}
