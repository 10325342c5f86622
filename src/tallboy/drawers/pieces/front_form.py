"""The form that changes a front: one line a row of it, and the usual fittings of its drawers, doors and base."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from django import forms
from django.forms import BaseFormSet
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from tallboy.book.fields import LengthField
from tallboy.book.models import Shop
from tallboy.errors import BadInput
from tallboy.front.kinds import (
    BASE_KINDS,
    HANDLE_KINDS,
    HINGE_KINDS,
    MOST_BAYS,
    PLAIN_DOOR,
    PLAIN_DRAWER,
    PULL_KINDS,
    Bay,
    Door,
    DoorFit,
    Doors,
    Drawer,
    DrawerFit,
    Flap,
    Front,
    Open,
    Panel,
    Row,
)
from tallboy.front.positions import HINGE_PLACES
from tallboy.front.shape import front_from_dict, front_to_dict
from tallboy.sums.units import format_length

AS_DRAWN = "as drawn"
MAKERS: dict[str, tuple[Any, Callable[[], Bay]]] = {
    "drawer": (_("drawers"), Drawer),
    "doors": (_("pairs of doors"), Doors),
    "door left": (_("doors hung left"), lambda: Door("left")),
    "door right": (_("doors hung right"), lambda: Door("right")),
    "fall": (_("falls, hinged below"), lambda: Flap("bottom")),
    "lid": (_("lids, hinged above"), lambda: Flap("top")),
    "open": (_("open bays"), Open),
    "panel": (_("fixed panels"), Panel),
}


def _kind_of(bay: Bay) -> str | None:
    """The word for a plain bay; None for one that carries more than the word says."""
    return next((word for word, (_label, make) in MAKERS.items() if make() == bay), None)


def is_simple(front: Front) -> bool:
    """Whether every row is of one plain kind of bay, so that the form can say all of it."""
    return all(len({_kind_of(bay) for bay in row.bays}) == 1 and _kind_of(row.bays[0]) for row in front.rows)


class RowForm(forms.Form):
    """One row of a front, from the top."""

    place = forms.IntegerField(required=False, widget=forms.HiddenInput)
    across = forms.IntegerField(label=_("How many"), min_value=1, max_value=MOST_BAYS, initial=1)

    def __init__(self, *args: Any, shop: Shop, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = [
            ("", _("no further row")),
            (AS_DRAWN, _("as drawn now")),
            *((word, label) for word, (label, _make) in MAKERS.items()),
        ]
        self.fields["what"] = forms.ChoiceField(label=_("What"), choices=choices)
        self.fields["height"] = LengthField(
            label=_("Height"), required=False, imperial=shop.imperial, help_text=_("Left out: shared equally.")
        )
        self.order_fields(["place", "across", "what", "height"])


RowForms = forms.formset_factory(RowForm, extra=1, can_delete=True, can_order=False, max_num=20, absolute_max=24)


def rows_of(front: Front, shop: Shop) -> list[dict[str, Any]]:
    """What the row forms show of a front."""
    return [_shown(place, row, shop) for place, row in enumerate(front.rows)]


def _shown(place: int, row: Row, shop: Shop) -> dict[str, Any]:
    kinds = {_kind_of(bay) for bay in row.bays}
    what = kinds.pop() if len(kinds) == 1 else None
    return {
        "place": place,
        "across": len(row.bays),
        "what": what or AS_DRAWN,
        "height": "" if row.height is None else format_length(row.height, shop.units),
    }


class FrontForm(forms.Form):
    """The usual fittings, and what the piece stands on."""

    pulls = forms.IntegerField(label=_("Pulls on a drawer"), min_value=0, max_value=4)
    pull = forms.ChoiceField(label=_("Kind of pull"), choices=[(kind, kind) for kind in PULL_KINDS])
    drawer_escutcheon = forms.BooleanField(label=_("drawers have escutcheons"), required=False)
    drawer_lock = forms.BooleanField(label=_("drawers have locks"), required=False)
    hinges = forms.IntegerField(label=_("Hinges on a door"), min_value=0, max_value=max(HINGE_PLACES))
    hinge = forms.ChoiceField(label=_("Kind of hinge"), choices=[(kind, kind) for kind in HINGE_KINDS])
    handle = forms.ChoiceField(label=_("Handle of a door"), choices=[(kind, kind) for kind in HANDLE_KINDS])
    door_escutcheon = forms.BooleanField(label=_("doors have escutcheons"), required=False)
    door_lock = forms.BooleanField(label=_("doors have locks"), required=False)
    catch = forms.BooleanField(label=_("doors have catches"), required=False)
    base = forms.ChoiceField(label=_("It stands on"), choices=[(kind, kind) for kind in BASE_KINDS])
    wheels = forms.BooleanField(label=_("with wheels under its legs or feet"), required=False)

    def __init__(self, *args: Any, shop: Shop, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["base_height"] = LengthField(label=_("Height of it"), required=False, imperial=shop.imperial)

    @staticmethod
    def showing(front: Front, shop: Shop) -> dict[str, Any]:
        """What the form shows of a front; what the front leaves open shows as the plain default."""
        drawers, doors = front.drawers, front.doors
        return {
            "pulls": _or(drawers.pulls, PLAIN_DRAWER.pulls),
            "pull": _or(drawers.pull, PLAIN_DRAWER.pull),
            "drawer_escutcheon": bool(drawers.escutcheon),
            "drawer_lock": bool(drawers.lock),
            "hinges": _or(doors.hinges, PLAIN_DOOR.hinges),
            "hinge": _or(doors.hinge, PLAIN_DOOR.hinge),
            "handle": _or(doors.handle, PLAIN_DOOR.handle),
            "door_escutcheon": bool(doors.escutcheon),
            "door_lock": bool(doors.lock),
            "catch": bool(doors.catch),
            "base": front.base.kind,
            "base_height": "" if front.base.height is None else format_length(front.base.height, shop.units),
            "wheels": front.base.wheels,
        }


def _or(value: Any, plain: Any) -> Any:
    return plain if value is None else value


def front_from_forms(before: Front, form: FrontForm, rows: BaseFormSet[RowForm]) -> Front:
    """The front that the forms say, held to what a piece file may say. Rows left "as drawn" keep every detail they had."""
    cleaned = form.cleaned_data
    wanted = [row.cleaned_data for row in rows.forms if row.has_changed() or row.cleaned_data.get("place") is not None]
    kept = tuple(_row(row, before) for row in wanted if not row.get("DELETE"))
    if not kept and before.rows:
        raise BadInput(_now("A front needs at least one row."), _now("Leave one row in."))
    wanted_front = replace(
        before,
        rows=kept,
        drawers=DrawerFit(cleaned["pulls"], cleaned["pull"], cleaned["drawer_escutcheon"], cleaned["drawer_lock"]),
        doors=DoorFit(
            cleaned["hinges"],
            cleaned["hinge"],
            cleaned["handle"],
            cleaned["door_escutcheon"],
            cleaned["door_lock"],
            cleaned["catch"],
            before.doors.bolts,
        ),
        base=replace(before.base, kind=cleaned["base"], height=cleaned["base_height"], wheels=cleaned["wheels"]),
    )
    return front_from_dict(front_to_dict(wanted_front))


def _row(row: dict[str, Any], before: Front) -> Row:
    place = row.get("place")
    if row["what"] == AS_DRAWN:
        if place is None or not 0 <= place < len(before.rows):
            raise BadInput(_now("A new row cannot be “as drawn”."), _now("Choose what is in it."))
        old: Row = before.rows[place]
        return replace(old, height=row["height"])
    make: Callable[[], Bay] = MAKERS[row["what"]][1]
    return Row(tuple(make() for _count in range(row["across"])), row["height"])
