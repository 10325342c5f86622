"""The take-in form: what a piece file says, asked on a page."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from tallboy.book.fields import LengthField, offer
from tallboy.book.models import Shop
from tallboy.drawers.pieces import queries, words
from tallboy.errors import BadInput
from tallboy.front.ready import ready_fronts
from tallboy.front.takein import Fault, FreeDrawing, PhotoFile, SpotTest, TakeIn

FAULT_ROWS = 4
NO_FRONT = "none"


class EditForm(forms.Form):
    """What may be changed of a piece after take-in."""

    name = forms.CharField(label=_("Name"), max_length=120)
    promise = forms.DateField(
        label=_("Promised for"), required=False, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )
    own_stock = forms.BooleanField(label=_("Own stock, not a customer's"), required=False)
    customer = forms.CharField(label=_("Whose it is"), max_length=120, required=False)
    woods = forms.CharField(label=_("Woods"), max_length=200, required=False)
    old_finish = forms.CharField(label=_("Old finish"), max_length=200, required=False)
    old_paint = forms.BooleanField(
        label=_("There is old paint on it"),
        required=False,
        help_text=_("Old paint of unknown age counts as lead paint until a test says otherwise."),
    )
    age = forms.CharField(
        label=_("Age"), max_length=80, required=False, help_text=_("A year, a guess, or leave it out for unknown.")
    )


class TakeInForm(EditForm):
    """Everything asked when a piece comes in; only the name and the size are needed."""

    kind = forms.ChoiceField(label=_("Kind"))
    front = forms.ChoiceField(
        label=_("Its front"), help_text=_("The nearest one; rows, doors and fittings can be changed afterwards.")
    )
    spot_liquid = forms.CharField(label=_("Spot test: liquid"), max_length=80, required=False)
    spot_result = forms.CharField(label=_("Spot test: what it did"), max_length=200, required=False)
    route = forms.ChoiceField(
        label=_("Route"), required=False, help_text=_("Next: look the steps over and lay them out.")
    )
    photos = forms.FileField(label=_("Photographs as it came"), required=False, widget=forms.FileInput)
    field_order = (
        "photos", "name", "kind", "front", "width", "height", "depth", "own_stock", "customer", "promise", "woods",
        "old_finish", "old_paint", "age", "spot_liquid", "spot_result", "route",
    )  # fmt: skip

    def __init__(self, *args: Any, shop: Shop, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        fields = self.fields
        offer(self, "kind", words.piece_kind_choices())
        fronts = [(name, name[:1].upper() + name[1:]) for name in ready_fronts()]
        offer(self, "front", [*fronts, (NO_FRONT, _("None of these: points on a photograph"))])
        # Three answers, and the careful one chosen: paint that nobody asked about must not pass for none.
        fields["old_paint"] = forms.ChoiceField(
            label=_("Old paint on it"),
            choices=[("unknown", _("not sure")), ("yes", _("yes")), ("no", _("none"))],
            initial="unknown",
            widget=forms.RadioSelect,
            help_text=_("Paint of unknown age, or perhaps there, counts as lead paint until a test says otherwise."),
        )
        for name, label in (("width", _("Width")), ("height", _("Height")), ("depth", _("Depth"))):
            fields[name] = LengthField(label=label, imperial=shop.imperial)
        routes = [(str(route.pk), route.name) for route in queries.routes_of(shop)]
        offer(self, "route", [("", _("decide later")), *routes])
        for row in range(FAULT_ROWS):
            fields[f"fault_{row}"] = forms.ChoiceField(
                label=_("Fault"), required=False, choices=[("", _("none")), *words.fault_choices()]
            )
            fields[f"where_{row}"] = forms.CharField(label=_("Where"), max_length=120, required=False)
        self.order_fields(self.field_order)

    def fault_rows(self) -> list[tuple[forms.BoundField, forms.BoundField]]:
        """The fault fields, kind beside place."""
        return [(self[f"fault_{row}"], self[f"where_{row}"]) for row in range(FAULT_ROWS)]


def takein_from_form(cleaned: dict[str, Any], photos: Sequence[tuple[bytes, str]]) -> tuple[TakeIn, dict[str, bytes]]:
    """What the form says, as the piece file would say it, and the photographs under names of their own."""
    files = {f"{number}-{name}": data for number, (data, name) in enumerate(photos, start=1)}
    names = list(files)
    chosen = cleaned["front"]
    front = None if chosen == NO_FRONT else ready_fronts()[chosen]
    if front is None and not names:
        raise BadInput(
            gettext("A piece with no front needs a photograph to put points on."),
            gettext("Take one, or choose a front."),
        )
    takein = TakeIn(
        name=cleaned["name"].strip(),
        kind=cleaned["kind"],
        width=cleaned["width"],
        height=cleaned["height"],
        depth=cleaned["depth"],
        woods=tuple(wood.strip() for wood in cleaned["woods"].split(",") if wood.strip()),
        old_finish=cleaned["old_finish"],
        age=cleaned["age"].strip() or "unknown",
        painted_before=cleaned["old_paint"],
        own_stock=cleaned["own_stock"],
        customer=cleaned["customer"],
        promise=cleaned["promise"],
        spot_tests=_spot_tests(cleaned),
        faults=_faults(cleaned),
        photos=tuple(PhotoFile(name) for name in names),
        front=front,
        free=None if front is not None else FreeDrawing(names[0], ()),
    )
    return takein, files


def _spot_tests(cleaned: dict[str, Any]) -> tuple[SpotTest, ...]:
    liquid, result = cleaned["spot_liquid"].strip(), cleaned["spot_result"].strip()
    if bool(liquid) != bool(result):
        raise BadInput(
            gettext("A spot test needs both the liquid and what it did."), gettext("Fill in both, or neither.")
        )
    return (SpotTest(liquid, "", result),) if liquid else ()


def _faults(cleaned: dict[str, Any]) -> tuple[Fault, ...]:
    rows = [(cleaned[f"fault_{row}"], cleaned[f"where_{row}"].strip()) for row in range(FAULT_ROWS)]
    return tuple(Fault(kind, where) for kind, where in rows if kind)
