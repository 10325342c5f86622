"""The drawing of a piece with its numbered positions: the elevation of its front, or its photograph with points on it."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import get_language, gettext

from tallboy.drawers.pieces.models import Piece, Position
from tallboy.drawers.pieces.queries import PositionLine
from tallboy.drawers.pieces.words import STATES
from tallboy.front import positions as front_positions
from tallboy.front.elevation import PAPERS, Elevation, TitleBlock, Words
from tallboy.front.elevation import STATES as DRAWN_STATES
from tallboy.front.elevation import elevation as draw_elevation
from tallboy.front.shape import front_from_dict
from tallboy.front.svg import LOOKS, attributes, clean

DRAWN_AS = {"standin": "back"}
# A photograph is drawn this wide, its points this large; on a phone about 360 px wide a finger covers 44 of them.
FREE_WIDTH, POINT, FINGER = 1000, 36, 62
# A drawing takes about a tenth of a second and some tens of kilobytes.
KEPT_DRAWINGS = 200


@dataclass(frozen=True)
class _Asked:
    """Everything a drawing depends on. The same question gives the same drawing, so answers are kept for a while."""

    front: str
    size: tuple[float, float, float]
    positions: tuple[front_positions.Position, ...]
    states: tuple[tuple[str, str], ...]
    links: tuple[tuple[str, str], ...] | None
    title: TitleBlock
    units: str
    paper: tuple[float, float]
    language: str


def drawn(
    piece: Piece, lines: Sequence[PositionLine], *, links: bool, room: tuple[float, float] | None = None
) -> Elevation | None:
    """The elevation of a piece that has a front, at the largest scale for the room [mm]; None for one that has none."""
    if piece.front is None:
        return None
    day = date_format(piece.taken_in_at.astimezone(piece.shop.tz).date(), "j M Y")
    return _drawn(
        _Asked(
            front=json.dumps(piece.front, sort_keys=True),
            size=(piece.width_mm, piece.height_mm, piece.depth_mm),
            positions=tuple(_as_front(row.position) for row in lines),
            states=tuple((row.position.code, DRAWN_AS.get(row.state, row.state)) for row in lines),
            links=tuple(_links(lines).items()) if links else None,
            title=TitleBlock(piece=piece.name, number=piece.number, date=day),
            units=piece.shop.units,
            paper=room or PAPERS[piece.shop.paper],
            language=get_language() or "",
        )
    )


@lru_cache(maxsize=KEPT_DRAWINGS)
def _drawn(asked: _Asked) -> Elevation:
    return draw_elevation(
        front_from_dict(json.loads(asked.front)),
        *asked.size,
        asked.positions,
        states=dict(asked.states),
        title=asked.title,
        links=None if asked.links is None else dict(asked.links),
        units=asked.units,
        paper=asked.paper,
        words=_words(),
    )


def _words() -> Words:
    """The words on a drawing, in the language that it is asked for in."""
    return Words(
        piece=gettext("Piece"),
        number=gettext("No."),
        scale=gettext("Scale"),
        date=gettext("Date"),
        whole=gettext("Front elevation of {piece} with {count} numbered positions"),
        states={state: str(STATES[state]) for state in DRAWN_STATES},
    )


def _as_front(row: Position) -> front_positions.Position:
    return front_positions.Position(
        row.number, row.code, row.name, row.kind, row.detail, row.x, row.y, row.face, row.screws
    )


def _links(lines: Sequence[PositionLine]) -> dict[str, str]:
    return {row.position.code: reverse("pieces:position", args=[row.position.pk]) for row in lines}


def elevation_svg(piece: Piece, lines: Sequence[PositionLine], *, links: bool) -> str:
    """The drawing as SVG for a page: the elevation, or the photograph with its points, or nothing."""
    elevation = drawn(piece, lines, links=links)
    return _free_drawing(piece, lines, links) if elevation is None else lean(elevation.svg)


def drawing_alone(piece: Piece, lines: Sequence[PositionLine]) -> str:
    """The drawing as a file of its own, true to scale where it is an elevation."""
    elevation = drawn(piece, lines, links=False)
    return _free_drawing(piece, lines, links=False) if elevation is None else elevation.svg


@lru_cache(maxsize=KEPT_DRAWINGS)
def lean(svg: str) -> str:
    """The drawing at half its weight: what pieces.css says of each class is left out, and so is what is said twice."""
    return _SAID_TWICE.sub("", _DRESSED.sub(_undressed, svg))


_DRESSED = re.compile(r' class="(el-[a-z-]+)"((?: [a-z-]+="[^"]*")*)')
_SAID_TWICE = re.compile(r' (?:data-code="[^"]*"|aria-label="[0-9]+: [^"]*")')


def _undressed(found: re.Match[str]) -> str:
    looks = {f' {key}="{value}"' for key, value in _written(found[1])}
    kept = [one for one in re.findall(r' [a-z-]+="[^"]*"', found[2]) if one not in looks]
    return f' class="{found[1]}"{"".join(kept)}'


def _written(look: str) -> list[tuple[str, str]]:
    return re.findall(r' ([a-z-]+)="([^"]*)"', attributes(LOOKS.get(look, {})))


def _free_drawing(piece: Piece, lines: Sequence[PositionLine], links: bool) -> str:
    photo = piece.free_photo
    if photo is None:
        return ""
    height = round(FREE_WIDTH * photo.height / photo.width)
    url = reverse("book:thumbnail", args=[photo.digest, 1200])
    addresses = _links(lines) if links else {}
    places = [(row.position.x * FREE_WIDTH, row.position.y * height) for row in lines]
    points = "".join(
        _point(row, place, _touch(place, places), addresses.get(row.position.code))
        for row, place in zip(lines, places, strict=True)
    )
    said = gettext("Photograph of the %(piece)s with its numbered positions") % {"piece": piece.name}
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="free" viewBox="0 0 {FREE_WIDTH} {height}" '
        f'role="{"group" if links else "img"}" aria-label="{clean(said)}">'
        f'<image href="{url}" width="{FREE_WIDTH}" height="{height}"/>{points}</svg>'
    )


def _touch(place: tuple[float, float], places: Sequence[tuple[float, float]]) -> float:
    """How far around a point a touch may count: as wide as a finger, or halfway to the nearest other point."""
    others = [math.dist(place, other) / 2 for other in places if other != place]
    return max(POINT, min([FINGER, *others]))


def _point(row: PositionLine, place: tuple[float, float], touch: float, address: str | None) -> str:
    """A numbered circle on the photograph: dashed where something is missing, a ring more when off, thick when back."""
    x, y = place
    kind = "el-pos el-pos-missing" if row.state in ("missing", "empty") else "el-pos"
    at = f'cx="{x:.1f}" cy="{y:.1f}"'
    thick = 12 if row.state in ("back", "standin") else 4
    ring = f'<circle class="el-ring" {at} r="{POINT - 8}" fill="none" stroke="#26211c" stroke-width="3"/>'
    inner = (
        f"<title>{clean(f'{row.position.number}: {row.position.name}, {row.state_words}')}</title>"
        f'<circle class="{kind}" {at} r="{POINT}" fill="#fffdf8" stroke="#26211c" stroke-width="{thick}"/>'
        f"{ring if row.state == 'off' else ''}"
        f'<text class="{kind}" x="{x:.1f}" y="{y + 14:.1f}" font-size="40" text-anchor="middle">{row.position.number}</text>'
    )
    if address is None:
        return f"<g>{inner}</g>"
    return f'<a href="{address}">{inner}<circle class="el-hit" {at} r="{touch:.0f}" fill-opacity="0"/></a>'
