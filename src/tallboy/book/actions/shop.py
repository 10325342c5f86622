"""Changes to the shop itself: its founding, its settings, its holidays, its quiet hours and its evenings."""

from __future__ import annotations

from datetime import datetime, time
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.db import transaction
from django.utils.translation import gettext as _

from tallboy.book.actions.guard import locked_shop
from tallboy.book.actions.hours import write_hours
from tallboy.book.actions.places import air_of
from tallboy.book.doing import By, action
from tallboy.book.holidays import checked_region, countries
from tallboy.book.models import MOST_HANDS, Person, Place, Shop
from tallboy.errors import BadInput

USUAL_WEEKDAYS = range(5)
USUAL_HOURS = ((time(8), time(12, 30)), (time(13), time(17)))
USUAL_PLACES = (
    ("bench", Place.Kind.BENCH),
    ("spray spot", Place.Kind.SPRAY),
    ("soak station", Place.Kind.SOAK),
    ("outdoors", Place.Kind.OUTDOORS),
)
MOST_RATE = 99_999_999
CHANGEABLE = frozenset({"name", "units", "currency", "hands", "rate", "timezone", "paper"})


def found_shop(name: str, person: str, at: datetime, **fields: Any) -> By:
    """Start a shop in this book with one person, usual places and hours. Gives who acts in it from now on.

    Not an `@action` only because there is nobody yet to do it; it is one transaction and leaves its journal row.
    """
    with transaction.atomic():
        shop = Shop.objects.create(name=name, **_checked(fields))
        by = By(Person.objects.create(shop=shop, name=person), at)
        Place.objects.bulk_create(
            Place(**by.kept(), name=label, kind=kind, **air_of(kind)) for label, kind in USUAL_PLACES
        )
        write_hours(by, [(day, opens, closes) for day in USUAL_WEEKDAYS for opens, closes in USUAL_HOURS])
        by.record("found shop", shop, _("Opened the book of %(shop)s.") % {"shop": name})
    return by


def _checked(fields: dict[str, Any]) -> dict[str, Any]:
    zone = fields.get("timezone", "UTC")
    try:
        ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise BadInput(
            _("The time zone %(zone)s is not known.") % {"zone": repr(zone)},
            _("Write it like Europe/Lisbon or America/Halifax."),
        ) from None
    currency = fields.get("currency", "EUR")
    if not (len(currency) == 3 and currency.isascii() and currency.isalpha() and currency.isupper()):
        raise BadInput(
            _("The currency is %(currency)s.") % {"currency": repr(currency)},
            _("Write the three letters of ISO 4217, like EUR, GBP or USD."),
        )
    _check_numbers_and_choices(fields)
    return fields


def _check_numbers_and_choices(fields: dict[str, Any]) -> None:
    if not fields.get("name", "-").strip():
        raise BadInput(_("The shop has no name."), _("Write what it is called."))
    if not 1 <= fields.get("hands", 1) <= MOST_HANDS:
        raise BadInput(
            _("%(count)s pairs of hands?") % {"count": fields["hands"]},
            _("Give a number from 1 to %(most)s.") % {"most": MOST_HANDS},
        )
    if not 0 <= fields.get("rate", 0) <= MOST_RATE:
        raise BadInput(
            _("A rate of %(rate)s an hour?") % {"rate": fields["rate"]},
            _("Give a number from 0 to %(most)s.") % {"most": MOST_RATE},
        )
    for name, known in (("units", Shop.Units.values), ("paper", Shop.Paper.values)):
        if fields.get(name, known[0]) not in known:
            raise BadInput(
                _("%(value)s is no choice for %(name)s.") % {"value": repr(fields[name]), "name": name},
                ", ".join(known),
            )


@action
def change_shop(by: By, **fields: Any) -> Shop:
    """Change the shop's settings; only those in CHANGEABLE."""
    unknown = sorted(set(fields) - CHANGEABLE)
    if unknown:
        raise BadInput(_("The shop has no setting %(name)s.") % {"name": unknown[0]}, ", ".join(sorted(CHANGEABLE)))
    checked, named = _checked(fields), Person.objects.filter(shop=by.shop, works=True).count()
    if fields.get("hands", named) < named:
        raise BadInput(
            _("%(count)s people of this shop work at the bench.") % {"count": named},
            _("Give at least as many pairs of hands, or say of somebody that they do not."),
        )
    return _change(by, "change shop", _("Changed the shop's settings."), **checked)


@action
def set_holidays(by: By, country: str, subdivision: str = "", *, keeps: bool) -> Shop:
    """Whose public holidays there are, and whether nobody works on them."""
    country, subdivision = checked_region(country, subdivision)
    if keeps and not country:
        raise BadInput(_("The holidays of which country?"), _("Choose one, or work on all of them."))
    text = _("Work goes on through public holidays.")
    if keeps:
        text = _("No work on the public holidays of %(country)s.") % {"country": countries()[country]}
    return _change(by, "set holidays", text, country=country, subdivision=subdivision, keeps_holidays=keeps)


@action
def set_quiet_hours(by: By, noise_from: time | None, noise_until: time | None) -> Shop:
    """Noisy work only between these two times of day; both None: at any time."""
    if noise_from is None and noise_until is None:
        return _change(by, "set quiet hours", _("Noisy work at any time."), noise_from=None, noise_until=None)
    if noise_from is None or noise_until is None or noise_until <= noise_from:
        raise BadInput(
            _("Noisy work would end before it begins, or one of the two times is missing."),
            _("Give a time of day from which it may be noisy and a later one until which it may; or neither."),
        )
    text = _("Noisy work only from %(from)s until %(until)s.") % {
        "from": f"{noise_from:%H:%M}",
        "until": f"{noise_until:%H:%M}",
    }
    return _change(by, "set quiet hours", text, noise_from=noise_from, noise_until=noise_until)


@action
def set_evenings(by: By, leave_early: bool) -> Shop:
    """Let days end early where nothing is lost by it, or not."""
    text = _("Days end early where nothing is lost by it.") if leave_early else _("Days are used to their end.")
    return _change(by, "set evenings", text, leave_early=leave_early)


def _change(by: By, action_name: str, text: str, /, **fields: Any) -> Shop:
    shop = locked_shop(by)
    before = {field: str(getattr(shop, field)) for field in fields}
    for field, value in fields.items():
        setattr(shop, field, value)
    shop.save(update_fields=list(fields))
    by.person.shop = shop
    by.record(action_name, shop, text, before=before)
    return shop
