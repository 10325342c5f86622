"""What there is only so much of: clamps and racks."""

from __future__ import annotations

from django.utils.translation import gettext as _

from tallboy.book.doing import By, action
from tallboy.book.models import Means
from tallboy.errors import BadInput, NotFound

MOST = {Means.Kind.CLAMPS: 1000, Means.Kind.RACK: 100_000}
# The key of a row that is not there yet: no database gives it.
NONE_YET = 0
LONGEST_NAME = 80


@action
def add_means(by: By, name: str, kind: str, amount: int) -> Means:
    """Some clamps (counted) or a rack for wet work (its surface in dm²)."""
    if kind not in Means.Kind.values:
        raise BadInput(_("%(kind)s is nothing that is counted.") % {"kind": repr(kind)}, ", ".join(Means.Kind.values))
    means = Means(**by.kept(), name=_checked_name(by, name), kind=kind, amount=_checked_amount(kind, amount))
    means.save()
    by.record("add means", means, _("Added %(name)s.") % {"name": means.name}, kind=kind, amount=amount)
    return means


@action
def change_means(by: By, pk: int, name: str, amount: int) -> Means:
    """Another name for them, or another amount."""
    means = _ours(by, pk)
    before = {"name": means.name, "amount": means.amount}
    means.name, means.amount = _checked_name(by, name, pk), _checked_amount(means.kind, amount)
    means.save(update_fields=["name", "amount"])
    by.record("change means", means, _("Changed %(name)s.") % {"name": means.name}, before=before)
    return means


@action
def remove_means(by: By, pk: int) -> None:
    """They are not there any more."""
    means = _ours(by, pk)
    by.record("remove means", means, _("Took away %(name)s.") % {"name": means.name}, amount=means.amount)
    means.delete()


def _ours(by: By, pk: int) -> Means:
    means = Means.objects.select_for_update(no_key=True).filter(shop=by.shop, pk=pk).first()
    if means is None:
        raise NotFound(_("There is nothing like that in this shop."))
    return means


def _checked_name(by: By, name: str, pk: int = NONE_YET) -> str:
    name = " ".join(name.split())
    taken = Means.objects.filter(shop=by.shop, name=name).exclude(pk=pk).exists()
    if not 1 <= len(name) <= LONGEST_NAME or taken:
        raise BadInput(
            _("There is already something named so, or the name is missing or too long."),
            _("Give it a name of its own, like long clamps."),
        )
    return name


def _checked_amount(kind: str, amount: int) -> int:
    most = MOST[Means.Kind(kind)]
    if not 1 <= amount <= most:
        unit = _("clamps") if kind == Means.Kind.CLAMPS else "dm²"
        raise BadInput(
            _("%(amount)s %(unit)s?") % {"amount": amount, "unit": unit},
            _("Give a number from 1 to %(most)s.") % {"most": most},
        )
    return amount
