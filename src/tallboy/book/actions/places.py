"""Places where work is done: their air and how much fits there."""

from __future__ import annotations

from django.utils.translation import gettext as _

from tallboy.book.doing import By, action
from tallboy.book.models import INSIDE, OUTSIDE, Place
from tallboy.errors import BadInput, NotFound

MOST_SEATS = 99
LONGEST_ROOM = 80


def air_of(kind: str) -> dict[str, str | bool]:
    """The room and the air of a new place of that kind: what is outdoors has fresh air."""
    outside = kind == Place.Kind.OUTDOORS
    return {"room": OUTSIDE if outside else INSIDE, "fresh_air": outside}


@action
def add_place(by: By, name: str, kind: str) -> Place:
    """A new place where work is done."""
    name = name.strip()
    if not name or Place.objects.filter(shop=by.shop, name=name).exists():
        raise BadInput(_("There is already a place named so, or it has no name."), _("Give it a name of its own."))
    if kind not in Place.Kind.values:
        raise BadInput(_("%(kind)s is no kind of place.") % {"kind": repr(kind)}, ", ".join(Place.Kind.values))
    place = Place.objects.create(**by.kept(), name=name, kind=kind, **air_of(kind))
    by.record("add place", place, _("Added the place %(name)s.") % {"name": name})
    return place


@action
def change_place(by: By, pk: int, *, room: str, fresh_air: bool, seats: int | None) -> Place:
    """Change whose air a place shares, whether vapour is led away from it, and how many pieces of work fit there at once."""
    place = Place.objects.select_for_update(no_key=True).filter(shop=by.shop, pk=pk).first()
    if place is None:
        raise NotFound(_("There is no such place in this shop."))
    room = " ".join(room.split())
    if not 1 <= len(room) <= LONGEST_ROOM:
        raise BadInput(
            _("The room has no name, or one that is too long."),
            _("Name the room whose air this place shares, like %(room)s.") % {"room": INSIDE},
        )
    if seats is not None and not 1 <= seats <= MOST_SEATS:
        raise BadInput(
            _("%(count)s pieces of work at once?") % {"count": seats},
            _("Give a number from 1 to %(most)s, or none where nobody counts.") % {"most": MOST_SEATS},
        )
    before = {"room": place.room, "fresh_air": place.fresh_air, "seats": place.seats}
    place.room, place.fresh_air, place.seats = room, fresh_air, seats
    place.save(update_fields=["room", "fresh_air", "seats"])
    by.record("change place", place, _("Changed the place %(name)s.") % {"name": place.name}, before=before)
    return place
