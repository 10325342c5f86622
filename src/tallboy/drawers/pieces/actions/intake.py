"""Taking a piece in: the piece, its positions from its front, its surfaces from its size, its faults and photographs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from django.utils.translation import gettext as _

from tallboy.book.actions import keep_photo
from tallboy.book.doing import By, action
from tallboy.book.models import Shop
from tallboy.drawers.pieces.actions.guard import in_the_shop
from tallboy.drawers.pieces.actions.piece import add_photo
from tallboy.drawers.pieces.models import Fault, Note, Piece, PiecePhoto, Position, SpotTest, Step, Surface
from tallboy.errors import BadInput, NotFound, Refused
from tallboy.front import positions as front_positions
from tallboy.front.areas import surface_groups
from tallboy.front.kinds import Front
from tallboy.front.piecefile import check_promise, take_in_positions
from tallboy.front.shape import front_to_dict
from tallboy.front.takein import FreeDrawing, FreePoint, TakeIn, check_size, free_positions


@action
def take_in(by: By, takein: TakeIn, photos: Mapping[str, bytes] | None = None) -> Piece:
    """Take a piece in. `photos` holds the files that the take-in names, by name.

    Raises BadInput for a promise in the past, a size that no furniture has, or a photograph that was named and not given; nothing is
    kept then.
    """
    files = dict(photos or {})
    check_promise(takein.promise, by.at.astimezone(by.shop.tz).date())
    check_size(takein.width, takein.height, takein.depth)
    _check_photos(takein, files)
    piece = _piece(by, takein)
    places = _positions(by, piece, take_in_positions(takein), set(takein.missing))
    _surfaces(by, piece, takein)
    _findings(by, piece, takein, places)
    for photo in takein.photos:
        add_photo(by, piece, files[photo.file], photo.file, purpose=PiecePhoto.Purpose.BEFORE, caption=photo.caption)
    if takein.free is not None:
        piece.free_photo = keep_photo(by, files[takein.free.photo], takein.free.photo)
        piece.save(update_fields=["free_photo"])
    by.record(
        "take in",
        piece,
        _("Took in %(piece)s with %(count)s positions.") % {"piece": piece, "count": len(places)},
    )
    return piece


def _check_photos(takein: TakeIn, files: Mapping[str, bytes]) -> None:
    named = [photo.file for photo in takein.photos] + ([takein.free.photo] if takein.free else [])
    for name in named:
        if name not in files:
            raise BadInput(
                _("The photograph %(name)s is named, but it is not there.") % {"name": name},
                _("Put it beside the piece file, or take its line out."),
            )


def _next_number(by: By) -> str:
    """The next number of this year, like 2026-014. The shop's row is locked, so two people never get the same."""
    Shop.objects.select_for_update().get(pk=by.shop.pk)
    year = by.at.astimezone(by.shop.tz).year
    rows = Piece.objects.filter(shop=by.shop, number__startswith=f"{year}-").values_list("number", flat=True)
    highest = max((int(number.split("-")[1]) for number in rows), default=0)
    return f"{year}-{highest + 1:03d}"


def _piece(by: By, takein: TakeIn) -> Piece:
    return Piece.objects.create(
        **by.kept(),
        number=_next_number(by),
        name=takein.name,
        kind=takein.kind,
        width_mm=takein.width,
        height_mm=takein.height,
        depth_mm=takein.depth,
        woods=", ".join(takein.woods),
        old_finish=takein.old_finish,
        age="" if takein.age == "unknown" else takein.age,
        # "Unknown" counts as painted: old paint under later coats is only found when it is scraped.
        old_paint=takein.painted_before != "no",
        lead_test="" if takein.lead_test == "not tested" else takein.lead_test,
        lead_tested_at=None if takein.lead_test == "not tested" else by.at,
        own_stock=takein.own_stock,
        customer=takein.customer,
        promise=takein.promise,
        taken_in_at=by.at,
        front=None if takein.front is None else front_to_dict(takein.front),
        route=takein.route,
    )


def _positions(
    by: By, piece: Piece, places: Iterable[front_positions.Position], missing: set[str]
) -> dict[str, Position]:
    made = Position.objects.bulk_create(_row(by, piece, place, place.code in missing) for place in places)
    return {row.code: row for row in made}


def _row(by: By, piece: Piece, place: front_positions.Position, missing: bool = False) -> Position:
    return Position(
        **by.kept(),
        piece=piece,
        number=place.number,
        code=place.code,
        name=place.name,
        kind=place.kind,
        detail=place.detail,
        face=place.face,
        screws=place.screws,
        x=place.x_mm,
        y=place.y_mm,
        missing_at_take_in=missing,
    )


def _surfaces(by: By, piece: Piece, takein: TakeIn) -> None:
    computed = surface_groups(takein.front, takein.width, takein.height, takein.depth)
    typed = {surface.group for surface in takein.surfaces}
    rows = [(group, group, area, False) for group, area in computed.items() if area > 0 and group not in typed]
    rows += [(surface.name, surface.group, surface.area_m2, True) for surface in takein.surfaces]
    Surface.objects.bulk_create(
        Surface(**by.kept(), piece=piece, name=name, group=group, area_m2=area, typed=measured)
        for name, group, area, measured in rows
    )


def _findings(by: By, piece: Piece, takein: TakeIn, places: Mapping[str, Position]) -> None:
    Fault.objects.bulk_create(
        Fault(
            **by.kept(),
            piece=piece,
            kind=fault.kind,
            where=fault.where or (places[fault.position].name if fault.position else ""),
            position=places.get(fault.position),
            note=fault.note,
            found_at=by.at,
        )
        for fault in takein.faults
    )
    SpotTest.objects.bulk_create(
        SpotTest(**by.kept(), piece=piece, liquid=test.liquid, where=test.where, result=test.result, at=by.at)
        for test in takein.spot_tests
    )
    if takein.note:
        Note.objects.create(**by.kept(), piece=piece, text=takein.note, at=by.at)


@action
def draw_front(by: By, piece: Piece, front: Front) -> Piece:
    """Give a piece another front. Positions that were worked on stay; Refused when the new front has no place for one."""
    piece = in_the_shop(by, piece)
    places = front_positions.positions(front, piece.width_mm, piece.height_mm, piece.depth_mm)
    have = {row.code: row for row in piece.positions.all()}
    _drop_unused(piece, have, {place.code for place in places})
    _renumber(by, piece, have, places)
    piece.front, piece.free_photo = front_to_dict(front), None
    piece.save(update_fields=["front", "free_photo"])
    _measure_again(by, piece, front)
    by.record("draw front", piece, _("Drew the front of %(piece)s anew.") % {"piece": piece.name})
    return piece


def _drop_unused(piece: Piece, have: dict[str, Position], wanted: set[str]) -> None:
    for code, row in list(have.items()):
        if code in wanted:
            continue
        if _is_written_of(row):
            raise Refused(
                _("The new front has no %(position)s, but there is something written of it.") % {"position": row.name},
                _("Keep that drawer, door or fitting in the new front."),
            )
        row.delete()
        del have[code]


def _is_written_of(row: Position) -> bool:
    """Whether a position would be missed. Steps still to do do not count: they are laid out anew anyway."""
    if row.taken_off_at or row.missing_at_take_in or row.left_empty_because:
        return True
    return row.faults.exists() or row.photos.exists() or row.steps.exclude(state=Step.State.TO_DO).exists()


def _renumber(by: By, piece: Piece, have: Mapping[str, Position], places: Iterable[front_positions.Position]) -> None:
    # Numbers are unique on a piece: move the old ones out of the way before giving the new.
    for offset, row in enumerate(have.values()):
        Position.objects.filter(pk=row.pk).update(number=10_000 + offset)
    for place in places:
        fresh = _row(by, piece, place)
        old = have.get(place.code)
        if old is None:
            fresh.save()
            continue
        Position.objects.filter(pk=old.pk).update(
            number=place.number, name=place.name, kind=place.kind, detail=place.detail, face=place.face,
            x=place.x_mm, y=place.y_mm, screws=place.screws,
        )  # fmt: skip


def _measure_again(by: By, piece: Piece, front: Front) -> None:
    computed = surface_groups(front, piece.width_mm, piece.height_mm, piece.depth_mm)
    measured = set(piece.surfaces.filter(typed=True).values_list("group", flat=True))
    for group, area in computed.items():
        if group in measured:
            continue
        if area == 0:
            piece.surfaces.filter(group=group).update(area_m2=0)
        else:
            Surface.objects.update_or_create(
                piece=piece, name=group, defaults={**by.kept(), "group": group, "area_m2": area}
            )


@action
def change_area(by: By, surface: Surface, area_m2: float) -> Surface:
    """A surface was measured; its area no longer follows from the size."""
    if surface.shop_id != by.shop.pk:
        raise NotFound(_("There is no such surface in this book."))
    if not 0 <= area_m2 <= 100:
        raise BadInput(_("%(area)s m² for one surface?") % {"area": area_m2}, _("Give 0 to 100 m²."))
    surface.area_m2, surface.typed = area_m2, True
    surface.save(update_fields=["area_m2", "typed"])
    by.record("change area", surface.piece, _("%(name)s has %(m2)s m².") % {"name": surface.name, "m2": area_m2})
    return surface


@action
def set_free_photo(by: By, piece: Piece, data: bytes, name: str) -> Piece:
    """The photograph that points are put on, for a piece with no front to speak of."""
    piece = in_the_shop(by, piece)
    if piece.front is not None:
        raise Refused(_("%(piece)s has a front; its positions come from that.") % {"piece": piece.name})
    piece.free_photo = keep_photo(by, data, name)
    piece.save(update_fields=["free_photo"])
    by.record("set free photo", piece, _("Chose the drawing photograph of %(piece)s.") % {"piece": piece.name})
    return piece


@action
def add_point(by: By, piece: Piece, x: float, y: float, name: str, kind: str) -> Position:
    """Put a point on the photograph of a piece: a position of its own. x, y: shares from the top left corner."""
    piece = in_the_shop(by, piece)
    if piece.free_photo is None:
        raise Refused(_("There is no photograph to put a point on."), _("Choose one first."))
    if not (0 <= x <= 1 and 0 <= y <= 1):
        raise BadInput(_("That point lies beside the photograph."), _("Tap on the photograph itself."))
    rows = list(piece.positions.all())
    points = [FreePoint(row.x, row.y, row.name, row.kind) for row in rows] + [FreePoint(x, y, name.strip(), kind)]
    if not name.strip() or any(row.name == name.strip() for row in rows):
        raise BadInput(_("The point needs a name of its own."), _("For example: lid, left hinge."))
    place = free_positions(FreeDrawing("", tuple(points)))[-1]
    position = _row(by, piece, place)
    position.save()
    by.record("add point", position, _("Marked %(position)s.") % {"position": position.name})
    return position
