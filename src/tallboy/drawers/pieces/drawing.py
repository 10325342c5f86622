"""The drawing of a piece with its numbered positions: the elevation of its front, or its photograph with points on it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from html import escape

from django.urls import reverse
from django.utils.formats import date_format

from tallboy.drawers.pieces.models import Piece, Position
from tallboy.drawers.pieces.queries import PositionLine
from tallboy.front import positions as front_positions
from tallboy.front.elevation import PAPERS, Elevation, TitleBlock
from tallboy.front.elevation import elevation as draw_elevation
from tallboy.front.shape import front_from_dict

DRAWN_AS = {"standin": "back"}
FREE_WIDTH = 1000
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
    paper: str


def drawn(piece: Piece, lines: Sequence[PositionLine], *, links: bool) -> Elevation | None:
    """The elevation of a piece that has a front, with its scale; None for one that has none."""
    if piece.front is None:
        return None
    day = date_format(piece.taken_in_at.astimezone(piece.shop.tz).date(), "SHORT_DATE_FORMAT")
    return _drawn(
        _Asked(
            front=json.dumps(piece.front, sort_keys=True),
            size=(piece.width_mm, piece.height_mm, piece.depth_mm),
            positions=tuple(_as_front(row.position) for row in lines),
            states=tuple((row.position.code, DRAWN_AS.get(row.state, row.state)) for row in lines),
            links=tuple(_links(lines).items()) if links else None,
            title=TitleBlock(piece=piece.name, number=piece.number, date=day),
            units=piece.shop.units,
            paper=piece.shop.paper,
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
        paper=PAPERS[asked.paper],
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
    if elevation is not None:
        return elevation.svg
    return _free_drawing(piece, lines, links) if piece.free_photo else ""


def _free_drawing(piece: Piece, lines: Sequence[PositionLine], links: bool) -> str:
    photo = piece.free_photo
    assert photo is not None
    height = round(FREE_WIDTH * photo.height / photo.width)
    url = reverse("book:thumbnail", args=[photo.digest, 1200])
    addresses = _links(lines) if links else {}
    points = "".join(_point(row, height, addresses.get(row.position.code)) for row in lines)
    role = "" if links else f' role="img" aria-label="{escape(piece.name)}"'
    return (
        f'<svg viewBox="0 0 {FREE_WIDTH} {height}"{role}>'
        f'<image href="{url}" width="{FREE_WIDTH}" height="{height}"/>{points}</svg>'
    )


def _point(row: PositionLine, height: int, address: str | None) -> str:
    x, y = row.position.x * FREE_WIDTH, row.position.y * height
    missing = row.state in ("missing", "empty")
    kind = "el-pos el-pos-missing" if missing else "el-pos"
    circle = f'<circle class="{kind}" cx="{x:.1f}" cy="{y:.1f}" r="26" stroke-width="3"/>'
    number = f'<text class="{kind}" x="{x:.1f}" y="{y + 9:.1f}" font-size="26" text-anchor="middle">{row.position.number}</text>'
    title = f"<title>{escape(row.position.name)}: {escape(row.state_words)}</title>"
    mark = f"<g>{title}{circle}{number}</g>"
    return f'<a href="{address}">{mark}</a>' if address else mark
