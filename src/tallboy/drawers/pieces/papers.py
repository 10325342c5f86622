"""From the book to the papers of a piece: tags, take-down record, put-back list."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime

from django.conf import settings
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import get_language, gettext

from tallboy.book.photos import thumbnail
from tallboy.drawers.pieces import queries, words
from tallboy.drawers.pieces.drawing import drawn
from tallboy.drawers.pieces.models import Part, Piece, PiecePhoto
from tallboy.errors import NotFound
from tallboy.paper import PUT_BACK_ROOM, RECORD_ROOM, put_back, take_down
from tallboy.paper.pictures import Drawing, Photo
from tallboy.paper.tags import Tag
from tallboy.paper.tags import tags as print_tags
from tallboy.sums.units import format_length

THUMBNAIL = 360
MOST_PHOTOS = 40


def language() -> str:
    return get_language() or "en"


def _day(moment: datetime, piece: Piece) -> str:
    return date_format(timezone.localtime(moment, piece.shop.tz).date(), "DATE_FORMAT")


def parts_to_tag(piece: Piece) -> list[Part]:
    """The parts of a piece that lie loose, in order of their numbers."""
    return list(
        Part.objects.filter(piece=piece, at_spot__isnull=False).select_related("home", "piece").order_by("number")
    )


def tags(parts: Sequence[Part], sheet: str, at: datetime, first: int = 1) -> bytes:
    """Tags of parts as PDF."""
    return print_tags(
        [_tag(part) for part in parts], sheet, made_at=at, first=first, language=language(), translate=gettext
    )


def _tag(part: Part) -> Tag:
    return Tag(
        part_number=part.label,
        part_name=part.name,
        piece_number=part.piece.number if part.piece else "",
        piece_name=part.piece.name if part.piece else "",
        position_number=part.home.number if part.home else None,
        position_name=part.home.name if part.home else "",
        screws=part.screws,
        address=settings.ADDRESS + reverse("pieces:tag", args=[part.number]),
    )


def take_down_record(piece: Piece, at: datetime) -> bytes:
    """The take-down record of a piece as PDF."""
    lines = queries.position_lines(piece)
    photos = _photos_by_position(piece)
    shop = piece.shop
    size = " × ".join(format_length(mm, shop.units) for mm in (piece.width_mm, piece.height_mm, piece.depth_mm))
    record = take_down.TakeDownRecord(
        piece_number=piece.number,
        piece_name=piece.name,
        taken_in=_day(piece.taken_in_at, piece),
        owner=gettext("own stock") if piece.own_stock else piece.customer,
        promised=date_format(piece.promise, "DATE_FORMAT") if piece.promise else "",
        size=size,
        woods=piece.woods,
        old_finish=piece.old_finish,
        age=piece.age or gettext("unknown"),
        spot_tests=tuple(take_down.SpotTest(t.liquid, t.result, t.where) for t in piece.spot_tests.all()),
        faults=tuple(str(fault) for fault in piece.faults.all()),
        cautions=_cautions(piece),
        drawing=_drawing(piece, lines, RECORD_ROOM),
        positions=tuple(_taken_off(row, photos.get(row.position.pk, ())) for row in lines),
        shop=shop.name,
    )
    return take_down.take_down_record(record, shop.paper, made_at=at, language=language(), translate=gettext)


def _cautions(piece: Piece) -> tuple[str, ...]:
    keys = ["lead"] if piece.lead_unknown or piece.lead_test == Piece.Lead.FOUND else []
    return tuple(f"{row['title']}. {row['text']}" for row in words.cautions(keys))


def _drawing(piece: Piece, lines: Sequence[queries.PositionLine], room: tuple[float, float]) -> Drawing | None:
    elevation = drawn(piece, lines, links=False, room=room)
    if elevation is None:
        return None
    alt = gettext("Elevation of the %(piece)s with its numbered positions") % {"piece": piece.name}
    return Drawing(elevation.svg, alt, elevation.width_mm, elevation.height_mm)


def _photos_by_position(piece: Piece) -> dict[int, tuple[Photo, ...]]:
    """Small copies of the take-down photographs, the first of each position."""
    found: dict[int, tuple[Photo, ...]] = {}
    uses = PiecePhoto.objects.filter(piece=piece, position__isnull=False).select_related("photo", "position")
    for use in uses[:MOST_PHOTOS]:
        assert use.position is not None
        if use.position_id is not None and use.position_id not in found:
            # A photograph whose file was lost must not keep the rest from being printed; `tallboy check` tells of it.
            with suppress(NotFound):
                file = thumbnail(settings.BOOK, use.photo.digest, THUMBNAIL)
                found[use.position_id] = (Photo(file.read_bytes(), use.caption or use.position.name),)
    return found


def _taken_off(row: queries.PositionLine, photos: tuple[Photo, ...]) -> take_down.TakenOff:
    part = row.came_off
    return take_down.TakenOff(
        number=row.position.number,
        position=row.position.name,
        part_number=part.label if part else "",
        came_off=part.name if part else "",
        screws=part.screws if part else None,
        condition=part.get_condition_display() if part else "",
        decision=part.get_decision_display() if part else "",
        whereabouts=row.where or row.state_words,
        missing=row.state == "missing",
        photos=photos,
    )


def put_back_list(piece: Piece, at: datetime) -> bytes:
    """The put-back list of a piece as PDF."""
    lines = queries.position_lines(piece)
    listing = put_back.PutBackList(
        piece_number=piece.number,
        piece_name=piece.name,
        positions=tuple(_put_back(row) for row in lines),
        drawing=_drawing(piece, lines, PUT_BACK_ROOM),
        shop=piece.shop.name,
    )
    return put_back.put_back_list(listing, piece.shop.paper, made_at=at, language=language(), translate=gettext)


def _put_back(row: queries.PositionLine) -> put_back.PutBack:
    part = row.fitted or row.came_off
    return put_back.PutBack(
        number=row.position.number,
        position=row.position.name,
        part_number=part.label if part else "",
        part_name=part.name if part else "",
        screws=part.screws if part else None,
        whereabouts=row.where or row.state_words,
        fitted=row.state in ("back", "standin", "on"),
        missing=row.state == "missing",
        note=row.state_words if row.state in ("standin", "empty") else "",
    )
