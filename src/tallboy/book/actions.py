"""Changes to the shop itself: its founding, its settings, hours, places, photographs."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.conf import settings
from django.db import transaction
from django.utils.translation import gettext as _

from tallboy.book import photos
from tallboy.book.doing import By, action
from tallboy.book.models import DayOff, Person, Photo, Place, Shop, WorkingHours
from tallboy.errors import BadInput, NotFound

WEEKDAYS = range(5)
USUAL_HOURS = ((time(8), time(12, 30)), (time(13), time(17)))
USUAL_PLACES = (
    ("bench", Place.Kind.BENCH),
    ("spray spot", Place.Kind.SPRAY),
    ("soak station", Place.Kind.SOAK),
    ("outdoors", Place.Kind.OUTDOORS),
)
CHANGEABLE = frozenset({"name", "units", "currency", "hands", "rate", "timezone", "paper"})


def found_shop(name: str, person: str, at: datetime, **fields: Any) -> By:
    """Start a shop in this book with one person, usual places and hours. Gives who acts in it from now on.

    Not an `@action` only because there is nobody yet to do it; it is one transaction and leaves its journal row.
    """
    with transaction.atomic():
        shop = Shop.objects.create(name=name, **_checked(fields))
        by = By(Person.objects.create(shop=shop, name=person), at)
        Place.objects.bulk_create(Place(**by.kept(), name=label, kind=kind) for label, kind in USUAL_PLACES)
        _write_hours(by, [(day, opens, closes) for day in WEEKDAYS for opens, closes in USUAL_HOURS])
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
    if not (len(currency) == 3 and currency.isascii() and currency.isupper()):
        raise BadInput(
            _("The currency is %(currency)s.") % {"currency": repr(currency)},
            _("Write the three letters of ISO 4217, like EUR, GBP or USD."),
        )
    return fields


@action
def change_shop(by: By, **fields: Any) -> Shop:
    """Change the shop's settings; only those in CHANGEABLE."""
    unknown = sorted(set(fields) - CHANGEABLE)
    if unknown:
        raise BadInput(_("The shop has no setting %(name)s.") % {"name": unknown[0]}, ", ".join(sorted(CHANGEABLE)))
    shop = Shop.objects.select_for_update().get(pk=by.shop.pk)
    before = {name: str(getattr(shop, name)) for name in fields}
    for name, value in _checked(fields).items():
        setattr(shop, name, value)
    shop.save(update_fields=list(fields))
    by.person.shop = shop
    by.record("change shop", shop, _("Changed the shop's settings."), before=before)
    return shop


@action
def set_hours(by: By, hours: Sequence[tuple[int, time, time]]) -> None:
    """Replace the shop's working hours: (weekday 0 = Monday, from, until) each, none overlapping."""
    WorkingHours.objects.filter(shop=by.shop).delete()
    _write_hours(by, hours)
    by.record("set hours", by.shop, _("Set the working hours."))


def _write_hours(by: By, hours: Sequence[tuple[int, time, time]]) -> None:
    ordered = sorted(hours)
    for day, opens, closes in ordered:
        if closes <= opens:
            raise BadInput(
                _("Working hours end at %(closes)s, before they begin at %(opens)s.")
                % {"closes": f"{closes:%H:%M}", "opens": f"{opens:%H:%M}"},
                _("Each stretch must end after it begins, on the same day."),
            )
        if not 0 <= day <= 6:
            raise BadInput(_("There is no weekday %(day)s.") % {"day": day}, _("0 is Monday, 6 is Sunday."))
    for (day, _o, closes), (next_day, opens, _c) in zip(ordered, ordered[1:], strict=False):
        if day == next_day and opens < closes:
            raise BadInput(
                _("Two stretches of work overlap at %(opens)s.") % {"opens": f"{opens:%H:%M}"},
                _("The second must begin when the first has ended, or later."),
            )
    WorkingHours.objects.bulk_create(
        WorkingHours(**by.kept(), weekday=day, opens=opens, closes=closes) for day, opens, closes in ordered
    )


@action
def add_day_off(by: By, day: date, reason: str = "") -> DayOff:
    """Nobody works on this date."""
    row, _made = DayOff.objects.get_or_create(shop=by.shop, day=day, defaults={"owner": by.person, "reason": reason})
    by.record("add day off", row, _("No work on %(day)s.") % {"day": day.isoformat()})
    return row


@action
def remove_day_off(by: By, pk: int) -> None:
    """That date is worked after all."""
    row = DayOff.objects.filter(shop=by.shop, pk=pk).first()
    if row is None:
        raise NotFound(_("There is no such day off."))
    by.record("remove day off", row, _("%(day)s is worked after all.") % {"day": row.day.isoformat()})
    row.delete()


@action
def add_place(by: By, name: str, kind: str) -> Place:
    """A new place where work is done."""
    name = name.strip()
    if not name or Place.objects.filter(shop=by.shop, name=name).exists():
        raise BadInput(_("There is already a place named so, or it has no name."), _("Give it a name of its own."))
    if kind not in Place.Kind.values:
        raise BadInput(_("%(kind)s is no kind of place.") % {"kind": repr(kind)}, ", ".join(Place.Kind.values))
    place = Place.objects.create(**by.kept(), name=name, kind=kind)
    by.record("add place", place, _("Added the place %(name)s.") % {"name": name})
    return place


@action
def keep_photo(by: By, data: bytes, name: str) -> Photo:
    """Check, re-encode and store a photograph; the same picture twice is stored once."""
    ready = photos.prepare(data, name, megabytes=settings.PHOTO_MEGABYTES, megapixels=settings.PHOTO_MEGAPIXELS)
    photos.store(settings.BOOK, ready)
    photo, made = Photo.objects.get_or_create(
        shop=by.shop,
        digest=ready.digest,
        defaults={
            "owner": by.person,
            "width": ready.width,
            "height": ready.height,
            "size": len(ready.jpeg),
            "added_at": by.at,
        },
    )
    text = _("Kept the photograph %(name)s.") if made else _("The photograph %(name)s was already kept.")
    by.record("keep photo", photo, text % {"name": name})
    return photo
