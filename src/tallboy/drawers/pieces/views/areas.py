"""How large the surfaces of a piece are, and what that leads to."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from tallboy.book.models import Shop
from tallboy.book.pages import shop_of
from tallboy.drawers.pieces import queries
from tallboy.drawers.pieces.areas_form import AreasForm, usual_choice
from tallboy.drawers.pieces.models import Piece
from tallboy.drawers.pieces.views.shared import crumbs
from tallboy.drawers.pieces.words import AREA_FACES, AREA_GROUPS, AREA_NOTES
from tallboy.errors import TallboyError
from tallboy.front.areas import Group, PieceAreas, piece_areas
from tallboy.front.kinds import Front
from tallboy.front.shape import front_from_dict
from tallboy.sums.units import format_length


@require_safe
def areas(request: HttpRequest, pk: int) -> HttpResponse:
    """The groups with their areas and working, the sum of those ticked with its spread, and the way on to litres and cans."""
    shop = shop_of(request)
    piece = queries.piece(shop, pk)
    asked = AreasForm(request.GET or None, shop=shop)
    front = None if piece.front is None else front_from_dict(piece.front)
    found = _found(asked, piece, front)
    chosen = _chosen(asked, found, front is not None and front.outline == "chair")
    asked.offer_groups(found)
    return render(request, "pieces/areas.html", _context(piece, shop, asked, found, chosen))


def _found(asked: AreasForm, piece: Piece, front: Front | None) -> PieceAreas:
    """With what was typed where that can be, else without; what is wrong stands at its field."""
    size = (piece.width_mm, piece.height_mm, piece.depth_mm)
    if asked.is_valid():
        try:
            return piece_areas(front, *size, mouldings=asked.mouldings(), turnings=asked.turnings())
        except TallboyError as error:
            asked.add_error(None, str(error))
    return piece_areas(front, *size)


def _chosen(asked: AreasForm, found: PieceAreas, chair: bool) -> list[str]:
    """What is ticked: what was asked for, else the usual; what was typed just now counts."""
    ticked = list(asked.cleaned_data.get("of", ())) if asked.is_bound and asked.is_valid() else []
    if not ticked:
        return usual_choice(found, chair)
    return [group.name for group in found.groups if group.name in ticked or group.name in ("mouldings", "turnings")]


def _context(piece: Piece, shop: Shop, asked: AreasForm, found: PieceAreas, chosen: list[str]) -> dict[str, Any]:
    total = found.total_m2(chosen)
    asked.initial["of"] = chosen
    return {
        "piece": piece,
        "form": asked,
        "chosen": chosen,
        "groups": [_group_line(group, shop) for group in found.groups],
        "added": [AREA_GROUPS[group.name] for group in found.groups if group.name in chosen],
        "total": round(total, 4),
        "low": total * (1 - found.spread),
        "high": total * (1 + found.spread),
        "percent": round(100 * found.spread),
        "not_in_it": [AREA_NOTES.get(words, words) for words in found.not_in_it],
        "taken": [AREA_NOTES.get(words, words) for words in found.taken],
        "crumbs": crumbs(piece),
    }


def _group_line(group: Group, shop: Shop) -> dict[str, Any]:
    return {
        "name": AREA_GROUPS[group.name],
        "area": group.area_m2,
        "patches": [
            {
                "name": patch.name,
                "faces": AREA_FACES.get(patch.faces, patch.faces),
                "sizes": " × ".join(format_length(round(size), shop.units) for size in patch.sizes_mm),
                "times": patch.times,
                "area": patch.area_m2,
            }
            for patch in group.patches
        ],
    }
