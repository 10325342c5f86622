"""Who does what by the plan: the names behind the planner's keys of people."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from django.utils.translation import gettext as _

from tallboy.book.models import Person, Shop
from tallboy.drawers.today.models import PlannedStep


def people_names(shop: Shop) -> dict[str, str]:
    """The names of the shop's people by their keys in the plan, in the order in which they came."""
    return {str(pk): name for pk, name in Person.objects.filter(shop=shop).order_by("id").values_list("pk", "name")}


def person_name(key: str, names: Mapping[str, str]) -> str:
    """A person's name; a pair of hands that nobody has named is told by its number."""
    return names.get(key) or _("hand %(n)s") % {"n": key.removeprefix("hand ")}


def told_names(keys: Iterable[str], names: Mapping[str, str]) -> str:
    """Several people in one line."""
    return ", ".join(person_name(key, names) for key in keys)


def at_work(rows: Iterable[PlannedStep], names: Mapping[str, str]) -> list[str]:
    """The keys of all who have something to do by these rows: people in the order in which they came, then hands without a name."""
    keys = {key for row in rows for key in row.people}
    return [key for key in names if key in keys] + sorted(keys - set(names), key=lambda key: (len(key), key))
