"""A piece in the book written back as the take-in it came from, for a piece file."""

from __future__ import annotations

from tallboy.drawers.pieces.models import Piece
from tallboy.front.shape import front_from_dict
from tallboy.front.takein import Fault, FreeDrawing, FreePoint, SpotTest, SurfaceArea, TakeIn


def takein_of(piece: Piece) -> TakeIn:
    """What a piece file would say of this piece; photographs stay with the book, but for the one with points on it."""
    return TakeIn(
        name=piece.name,
        kind=piece.kind,
        width=piece.width_mm,
        height=piece.height_mm,
        depth=piece.depth_mm,
        woods=tuple(wood.strip() for wood in piece.woods.split(",") if wood.strip()),
        old_finish=piece.old_finish,
        age=piece.age or "unknown",
        painted_before="yes" if piece.old_paint else "no",
        lead_test=piece.lead_test or "not tested",
        own_stock=piece.own_stock,
        customer=piece.customer,
        promise=piece.promise,
        route=piece.route,
        spot_tests=tuple(SpotTest(test.liquid, test.where, test.result) for test in piece.spot_tests.all()),
        faults=tuple(
            Fault(fault.kind, fault.where, fault.position.code if fault.position else "", fault.note)
            for fault in piece.faults.select_related("position")
        ),
        surfaces=tuple(SurfaceArea(s.name, s.group, s.area_m2) for s in piece.surfaces.filter(typed=True)),
        front=None if piece.front is None else front_from_dict(piece.front),
        free=_free_drawing(piece),
        missing=tuple(piece.positions.filter(missing_at_take_in=True).values_list("code", flat=True)),
    )


def _free_drawing(piece: Piece) -> FreeDrawing | None:
    """The points on the photograph of a piece without a front; the photograph is to be saved under the piece's number."""
    if piece.front is not None or piece.free_photo is None:
        return None
    points = tuple(FreePoint(row.x, row.y, row.name, row.kind) for row in piece.positions.all())
    return FreeDrawing(f"{piece.number}.jpg", points)
