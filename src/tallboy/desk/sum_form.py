"""The form of a sum, made from what the sum asks. Nothing is judged here: `workings.asking` reads what was typed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext as _

from tallboy.errors import TallboyError
from tallboy.sums import units
from tallboy.tables.rows import OWN, Rows, table
from tallboy.workings.asking import NO, YES, bare_sign, bare_unit, default_text, listed, quantity
from tallboy.workings.kinds import Asked, Working
from tallboy.workings.telling import amount

FEW = 5
"""Up to so many choices stand side by side; more go into a list that opens."""
GROUP_COLUMNS = ("kind", "group", "class", "family")
"""A text column of this name puts a table's rows into groups."""
DIGITS_ONLY = ("", "%", "°C")
"""Units of inputs that a phone's number keys suffice for."""

_BARE = re.compile(r"[-+−]?[0-9.,]+")

Choices = list[tuple[str, list[tuple[str, str]]]]


class Typed(forms.CharField):
    """Whatever was typed, as it is. `required` only says whether the page writes "may be left out"."""

    def clean(self, value: Any) -> Any:
        return value


class RowList(forms.CheckboxSelectMultiple):
    """Rows of a table to tick, in groups that fold; what is ticked in a group stands beside its name."""

    template_name = "desk/row_list.html"

    def get_context(self, name: str, value: Any, attrs: Any) -> dict[str, Any]:
        context = super().get_context(name, value, attrs)
        context["groups"] = [
            {"name": group, "options": options, "ticked": _ticked(options)}
            for group, options, _index in context["widget"]["optgroups"]
        ]
        return context


class SumForm(forms.Form):
    """The inputs of a sum with what was typed, or what stands there before; `wrong` is told at its input."""

    use_required_attribute = False

    def __init__(
        self,
        working: Working,
        typed: Mapping[str, str],
        wrong: Mapping[str, TallboyError],
        rows: Rows,
        system: str,
    ) -> None:
        super().__init__({asked.name: _shown(asked, typed, system) for asked in working.inputs})
        self.wrong, self.system = wrong, system
        self.asked = {asked.name: asked for asked in working.inputs}
        for asked in working.inputs:
            self.fields[asked.name] = _field(asked, rows, system)

    def clean(self) -> None:
        for name, error in self.wrong.items():
            self.add_error(name if name in self.fields else None, str(error))

    def lines(self) -> list[dict[str, Any]]:
        """The fields in order, each with the unit of a bare number."""
        return [{"field": self[name], "unit": _unit(asked, self.system)} for name, asked in self.asked.items()]


def example_of(working: Working, system: str) -> dict[str, str]:
    """The sum's example as this shop would type it; it means the same in every shop."""
    asked = {one.name: one for one in working.inputs}
    return {
        name: _short(asked[name], spelled(asked[name], text, system), system) for name, text in working.example.items()
    }


def _short(asked: Asked, text: str, system: str) -> str:
    """Without the unit that stands beside the box anyway."""
    bare = text.removesuffix(_unit(asked, system)).strip()
    return bare if _BARE.fullmatch(bare) else text


def spelled(asked: Asked, text: str, system: str) -> str:
    """Lengths and temperatures with their inside unit behind them, where bare ones would be inches or °F."""
    units_of = asked.units or (asked.unit,)
    if system == units.METRIC or asked.kind not in ("number", "numbers", "pairs") or not text:
        return text
    return "; ".join(_item(item, units_of, system) for item in re.split(r"[;\n]", text) if item.strip())


def _item(item: str, units_of: tuple[str, ...], system: str) -> str:
    parts = item.split("=") if "=" in item or len(units_of) == 1 else item.split()
    told = zip(parts, units_of, strict=False)
    return " = ".join(
        f"{part.strip()} {unit}" if _BARE.fullmatch(part.strip()) and bare_sign(unit, system) != unit else part.strip()
        for part, unit in told
    )


def told(working: Working, typed: Mapping[str, str], system: str) -> list[tuple[str, str]]:
    """The inputs in words, for a printed answer: what was typed, else what stands there before; bare numbers with their unit."""
    lines = [(asked, typed.get(asked.name, "").strip() or _before(asked, system)) for asked in working.inputs]
    return [(asked.label, _in_words(asked, text, system)) for asked, text in lines if text]


def _in_words(asked: Asked, text: str, system: str) -> str:
    unit = _unit(asked, system)
    if unit and _BARE.fullmatch(text):
        return f"{text} {unit}"
    return dict(asked.choices).get(text, text)


def _ticked(options: list[dict[str, Any]]) -> str:
    names = [str(option["label"]) for option in options if option["selected"]]
    return ", ".join(names) if len(names) <= FEW else _("%(count)d ticked") % {"count": len(names)}


def typed_in(working: Working, query: QueryDict) -> dict[str, str]:
    """What an address or a form says, by input. Ticks of one list are brought together; of anything else the last counts."""
    lists = {asked.name for asked in working.inputs if asked.kind == "row list"}
    return {name: "; ".join(filter(None, query.getlist(name))) if name in lists else str(query[name]) for name in query}


def _shown(asked: Asked, typed: Mapping[str, str], system: str) -> object:
    text = typed.get(asked.name, _before(asked, system))
    if asked.kind in ("row", "row list"):
        return [word.casefold() for word in listed(text)] if asked.kind == "row list" else text.strip().casefold()
    if asked.kind == "flag" and text.strip().casefold() in YES | NO:
        return "yes" if text.strip().casefold() in YES else "no"
    keys = (key for key, words in asked.choices if text.strip().casefold() in (key.casefold(), words.casefold()))
    return next(keys, text)


def _before(asked: Asked, system: str) -> str:
    """What stands in an input before anything is typed: without its unit where that stands beside it."""
    text = default_text(asked)
    if asked.kind == "flag":
        return text or "no"
    if asked.kind in ("numbers", "pairs"):
        return spelled(asked, text, system)
    if asked.kind not in ("number", "whole") or not isinstance(asked.default, int | float):
        return text
    if bare_unit(asked, system) == asked.unit:
        return f"{asked.default:g}"
    told = _without_noughts(amount(asked.default, asked.unit, 4, system))
    return _short(asked, told, system) if abs(quantity(told, asked.unit, asked.label) - asked.default) < 1e-6 else text


def _unit(asked: Asked, system: str) -> str:
    if asked.kind not in ("number", "whole"):
        return ""
    sign = bare_unit(asked, system)
    return "°C" if sign == "K" else sign


def _field(asked: Asked, rows: Rows, system: str) -> Typed:
    needed = asked.needed or bool(default_text(asked)) or asked.kind == "flag"
    return Typed(label=asked.label, required=needed, help_text=_help(asked, system), widget=_widget(asked, rows))


def _widget(asked: Asked, rows: Rows) -> forms.Widget:
    if asked.kind in ("choice", "flag"):
        return _choosing(asked)
    if asked.kind == "row":
        return forms.Select(choices=[*_none(asked), *_row_choices(asked.table, rows)])
    if asked.kind == "row list":
        return RowList(choices=_row_choices(asked.table, rows))
    if asked.kind in ("numbers", "pairs"):
        return forms.Textarea({"rows": 4, "spellcheck": "false"})
    decimal = {"inputmode": "decimal"} if asked.unit in DIGITS_ONLY and asked.kind != "text" else {}
    return forms.TextInput({"autocomplete": "off", **decimal})


def _choosing(asked: Asked) -> forms.Widget:
    choices = list(asked.choices) or [("yes", _("yes")), ("no", _("no"))]
    if len(choices) > FEW:
        return forms.Select(choices=[*_none(asked), *choices])
    return forms.RadioSelect(choices=choices)


def _none(asked: Asked) -> list[tuple[str, str]]:
    """An empty choice, where nothing is chosen before."""
    return [] if default_text(asked) else [("", _("choose") if asked.needed else _("not said"))]


def _row_choices(name: str, rows: Rows) -> Choices:
    """The rows of a table in groups: printed ones by their kind, the shop's own last and marked."""
    groups: dict[str, list[tuple[str, str]]] = {}
    column = _group_column(name)
    for row in rows.of(name):
        own = row.get("evidence") == OWN
        group = _("Your own") if own else str(row.get(column, "")) or table(name).title
        key = str(row["key"])
        groups.setdefault(group, []).append((key.casefold(), key))
    return list(groups.items())


def _group_column(name: str) -> str:
    texts = [column.name for column in table(name).columns if column.kind == "text"]
    return next((column for column in GROUP_COLUMNS if column in texts), "")


def _help(asked: Asked, system: str) -> str:
    parts = [_sentence(asked.help), _range(asked, system)]
    if asked.kind == "numbers":
        parts.append(_("One a line, or with semicolons between."))
    if asked.kind == "pairs":
        parts.append(_("One a line, each as %(shape)s.") % {"shape": " = ".join(u or _("number") for u in asked.units)})
    return " ".join(filter(None, parts))


def _sentence(text: str) -> str:
    return f"{text}." if text and text[-1] not in ".!?" else text


def _range(asked: Asked, system: str) -> str:
    if asked.kind not in ("number", "whole", "numbers") or (asked.low is None and asked.high is None):
        return ""
    low, high = (None if end is None else _end(end, asked, system) for end in (asked.low, asked.high))
    if high is None:
        return _("At least %(low)s.") % {"low": low}
    if low is None:
        return _("At most %(high)s.") % {"high": high}
    return _("%(low)s to %(high)s.") % {"low": low.removesuffix(_unit(asked, system)).strip(), "high": high}


def _end(value: float, asked: Asked, system: str) -> str:
    """An end of a range, in the unit of a bare number."""
    spoken = units.METRIC if bare_unit(asked, system) == asked.unit else system
    if spoken == units.METRIC:
        sign = "°C" if asked.unit == "K" else asked.unit
        return f"{value:,.10g} {sign}".strip().replace("-", "\u2212").replace(",", "\u202f")
    return _without_noughts(amount(value, asked.unit, 3, spoken))


def _without_noughts(text: str) -> str:
    """A figure with its unit, without noughts behind the point."""
    return re.sub(r"(\.[0-9]*?)0+ ", lambda found: f"{found[1].rstrip('.')} ", text)
