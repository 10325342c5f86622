"""Changes to the shop itself: its founding, its settings, hours, places, photographs."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from itertools import pairwise
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.conf import settings
from django.db import transaction
from django.utils.dates import WEEKDAYS
from django.utils.translation import gettext as _

from tallboy.book import photos
from tallboy.book.doing import By, action, new_file
from tallboy.book.models import MOST_HANDS, DayOff, Person, Photo, Place, Shop, WorkingHours
from tallboy.errors import BadInput, NotFound

USUAL_WEEKDAYS = range(5)
USUAL_HOURS = ((time(8), time(12, 30)), (time(13), time(17)))
USUAL_PLACES = (
    ("bench", Place.Kind.BENCH),
    ("spray spot", Place.Kind.SPRAY),
    ("soak station", Place.Kind.SOAK),
    ("outdoors", Place.Kind.OUTDOORS),
)
MOST_RATE = 99_999_999
LONGEST_HOLIDAY = 62
CHANGEABLE = frozenset({"name", "units", "currency", "hands", "rate", "timezone", "paper"})


def found_shop(name: str, person: str, at: datetime, **fields: Any) -> By:
    """Start a shop in this book with one person, usual places and hours. Gives who acts in it from now on.

    Not an `@action` only because there is nobody yet to do it; it is one transaction and leaves its journal row.
    """
    with transaction.atomic():
        shop = Shop.objects.create(name=name, **_checked(fields))
        by = By(Person.objects.create(shop=shop, name=person), at)
        Place.objects.bulk_create(Place(**by.kept(), name=label, kind=kind) for label, kind in USUAL_PLACES)
        _write_hours(by, [(day, opens, closes) for day in USUAL_WEEKDAYS for opens, closes in USUAL_HOURS])
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
        WorkingHours(**by.kept(), weekday=day, opens=opens, closes=closes) for day, opens, closes in ordered
    )


@action
def add_day_off(by: By, day: date, reason: str = "") -> DayOff:
    """Nobody works on this date."""
    row = _day_off(by, day, reason)
    by.record("add day off", row, _("No work on %(day)s.") % {"day": day.isoformat()})
    return row


@action
def add_days_off(by: By, first: date, last: date, reason: str = "") -> list[DayOff]:
    """Nobody works from the first date to the last, both included."""
    count = (last - first).days + 1
    if not 1 <= count <= LONGEST_HOLIDAY:
        raise BadInput(
            _("Days off from %(first)s until %(last)s?") % {"first": first.isoformat(), "last": last.isoformat()},
            _("They must end on or after the day they begin, and last %(most)s days at most.")
            % {"most": LONGEST_HOLIDAY},
        )
    rows = [_day_off(by, first + timedelta(days=offset), reason) for offset in range(count)]
    run = {"first": first.isoformat(), "last": last.isoformat()}
    by.record("add day off", rows[0], _("No work from %(first)s until %(last)s.") % run)
    return rows


def _day_off(by: By, day: date, reason: str) -> DayOff:
    row, _made = DayOff.objects.get_or_create(shop=by.shop, day=day, defaults={"owner": by.person, "reason": reason})
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


def keep_photo(by: By, data: bytes, name: str) -> Photo:
    """Check, re-encode and store a photograph; the same picture twice is stored once.

    Part of other actions, which say in the journal what it shows.
    """
    ready = photos.prepare(data, name, megabytes=settings.PHOTO_MEGABYTES, megapixels=settings.PHOTO_MEGAPIXELS)
    photo, _made = Photo.objects.get_or_create(
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
    # After the row, which makes another who keeps the same picture at this moment wait until we are done.
    if (file := photos.store(settings.BOOK, ready)) is not None:
        new_file(file)
    return photo
