"""The hours of the shop, of a person and of a place."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import time
from itertools import pairwise

from django.utils.dates import WEEKDAYS
from django.utils.translation import gettext as _

from tallboy.book.actions.guard import locked_shop
from tallboy.book.doing import By, action
from tallboy.book.models import Person, Place, WorkingHours
from tallboy.book.queries import whose
from tallboy.errors import BadInput, NotFound

Hours = Sequence[tuple[int, time, time]]


@action
def set_hours(by: By, hours: Hours, of: Person | Place | None = None) -> None:
    """Replace the working hours of the shop, or a person's or a place's own: (weekday 0 = Monday, from, until) each.

    None may overlap. Without any a person has the shop's, and a place can be used whenever somebody works.
    """
    if of is not None and of.shop_id != by.shop.pk:
        raise NotFound(_("There is nobody and no place like that in this shop."))
    locked_shop(by)
    WorkingHours.objects.filter(shop=by.shop, **whose(of)).delete()
    write_hours(by, hours, of)
    by.record("set hours", of or by.shop, _told(hours, of))


def _told(hours: Hours, of: Person | Place | None) -> str:
    if of is None:
        return _("Set the working hours.")
    if hours:
        return _("Set the hours of %(name)s.") % {"name": of.name}
    if isinstance(of, Person):
        return _("%(name)s works the shop's hours.") % {"name": of.name}
    return _("%(name)s can be used whenever somebody works.") % {"name": of.name}


def write_hours(by: By, hours: Hours, of: Person | Place | None = None) -> None:
    """Write down hours that have been taken away before. Part of other actions."""
    ordered = sorted(hours)
    for day, opens, closes in ordered:
        if day not in WEEKDAYS:
            raise BadInput(_("There is no weekday %(day)s.") % {"day": day}, _("0 is Monday, 6 is Sunday."))
        if closes <= opens:
            raise BadInput(
                _("%(day)s: work ends at %(closes)s, before it begins at %(opens)s.")
                % {"day": WEEKDAYS[day], "closes": f"{closes:%H:%M}", "opens": f"{opens:%H:%M}"},
                _("Each stretch must end after it begins, on the same day."),
            )
    for (day, _o, closes), (next_day, opens, _c) in pairwise(ordered):
        if day == next_day and opens < closes:
            raise BadInput(
                _("%(day)s: two stretches of work overlap at %(opens)s.")
                % {"day": WEEKDAYS[day], "opens": f"{opens:%H:%M}"},
                _("The second must begin when the first has ended, or later."),
            )
    WorkingHours.objects.bulk_create(
        WorkingHours(**by.kept(), **whose(of), weekday=day, opens=opens, closes=closes)
        for day, opens, closes in ordered
    )
