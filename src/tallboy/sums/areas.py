"""Areas of boards, drawers, square legs and of a piece as a plain box. Turnings and mouldings are in turned.py."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tallboy.errors import BadInput
from tallboy.sums.ranges import within

Size = tuple[float, float]

DOOR_THICKNESS_MM = 20.0
DRAWER_SIDE_MM = 10.0
LEG_WIDTH_MM = 45.0
MM2_PER_M2 = 1_000_000.0


@dataclass(frozen=True)
class DrawerAreas:
    """Areas of one drawer [m²]: the face of its front, what shows when it is pulled out, what never shows, and the upper edges."""

    front: float
    inside: float
    outside: float
    edges: float


def board_area(
    length_mm: float,
    width_mm: float,
    thickness_mm: float = 0.0,
    *,
    faces: int = 2,
    long_edges: int = 2,
    short_edges: int = 2,
) -> float:
    """Area of a board's faces and edges, as many of them as get a coat.

    Formula: faces * length * width + long edges * length * thickness + short edges * width * thickness

    Parameters
    ----------
    length_mm : [mm] 0 to 10 000
    width_mm : [mm] 0 to 10 000
    thickness_mm : [mm] 0 to 1000
    faces : [1] 0, 1 or 2
    long_edges : [1] 0, 1 or 2
    short_edges : [1] 0, 1 or 2

    Returns
    -------
    [m²] area; a shelf is two faces and one long edge

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition
    """
    within("Length", length_mm, 0, 10_000, "mm")
    within("Width", width_mm, 0, 10_000, "mm")
    within("Thickness", thickness_mm, 0, 1000, "mm")
    for name, count in (("Faces", faces), ("Long edges", long_edges), ("Short edges", short_edges)):
        within(name, count, 0, 2, "")
    edges = (long_edges * length_mm + short_edges * width_mm) * thickness_mm
    return (faces * length_mm * width_mm + edges) / MM2_PER_M2


def square_leg_area(length_mm: float, top_mm: float, foot_mm: float | None = None) -> float:
    """Area of the four sides of a square leg, straight or tapered on all four.

    Formula: 4 * (top + foot) / 2 * sqrt(length² + ((top - foot) / 2)²)

    Parameters
    ----------
    length_mm : [mm] 0 to 10 000
    top_mm : [mm] width of a side at the top, 0 to 1000
    foot_mm : [mm] width of a side at the foot, 0 to 1000; the same as at the top when not given

    Returns
    -------
    [m²] the four sides, without the ends

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Geometry: lateral area of the frustum of a square pyramid (closed form).
    """
    foot = top_mm if foot_mm is None else foot_mm
    within("Length", length_mm, 0, 10_000, "mm")
    within("Width at the top", top_mm, 0, 1000, "mm")
    within("Width at the foot", foot, 0, 1000, "mm")
    return 2 * (top_mm + foot) * math.hypot(length_mm, (top_mm - foot) / 2) / MM2_PER_M2


def drawer_areas(
    width_mm: float, height_mm: float, depth_mm: float, *, side_mm: float = DRAWER_SIDE_MM, side_height_mm: float = 0.0
) -> DrawerAreas:
    """Areas of one drawer: the face of the front, and sides, back and bottom on both faces.

    Formula: front w h; inside (w - 2 t) d for the bottom, two sides d s, the front's back and the drawer's back each (w - 2 t) s;
    outside two sides d s, back w s, bottom w d from below; upper edges of sides and back t (2 d + w)

    Parameters
    ----------
    width_mm : [mm] of the front, w, 10 to 10 000
    height_mm : [mm] of the front, h, 5 to 10 000
    depth_mm : [mm] from the front to the back of the drawer, d, 10 to 10 000
    side_mm : [mm] thickness of sides and back, t, 1 to 50 and less than a quarter of the width
    side_height_mm : [mm] height of sides and back, s, 0 to the front's; 0 stands for that of the front

    Returns
    -------
    [m²] the four groups

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Runners, the bottom's bevel and a front that stands over are not in it. A drawer's outside is left raw by custom: a coat there can
    make it stick.

    Source
    ------
    own derivation (geometry; thickness common practice, no source)
    """
    within("Width", width_mm, 10, 10_000, "mm")
    within("Height", height_mm, 5, 10_000, "mm")
    within("Depth", depth_mm, 10, 10_000, "mm")
    within("Side thickness", side_mm, 1, min(50.0, width_mm / 4), "mm")
    within("Side height", side_height_mm, 0, height_mm, "mm")
    side, inner = side_height_mm or height_mm, width_mm - 2 * side_mm
    return DrawerAreas(
        front=width_mm * height_mm / MM2_PER_M2,
        inside=(inner * depth_mm + 2 * side * (depth_mm + inner)) / MM2_PER_M2,
        outside=(width_mm * depth_mm + side * (2 * depth_mm + width_mm)) / MM2_PER_M2,
        edges=side_mm * (2 * depth_mm + width_mm) / MM2_PER_M2,
    )


def surface_areas(
    width_mm: float,
    height_mm: float,
    depth_mm: float,
    *,
    drawers: Sequence[Size] = (),
    doors: Sequence[Size] = (),
    open_bays: Sequence[Size] = (),
    legs: int = 0,
    leg_height_mm: float = 0.0,
) -> dict[str, float]:
    """Areas of a piece from its outer size, by groups of surfaces.

    Formula: top w d; sides 2 d h'; back w h'; front frame w h' less drawers, doors and bays; drawer fronts one face; doors two faces and
    four edges of 20 mm; inside: behind each door and in each bay five faces; legs four faces of 45 mm. h' is the height less the legs.

    Parameters
    ----------
    width_mm : [mm] 10 to 10 000
    height_mm : [mm] over all, 10 to 10 000
    depth_mm : [mm] 10 to 10 000
    drawers : [mm] width and height of each drawer front
    doors : [mm] width and height of each door
    open_bays : [mm] width and height of each open bay
    legs : [1] how many legs, 0 to 20
    leg_height_mm : [mm] 0 to less than the height

    Returns
    -------
    [m²] area of each group: top, sides, front frame, drawer fronts, doors, inside, back, legs

    Raises
    ------
    OutOfRange outside the ranges; BadInput when drawers, doors and bays are together larger than the face.

    Validity
    --------
    A plain box: mouldings, turnings and the insides of drawers are not in it. Two doors before one room count the wall between them
    that is not there. Good to about a tenth.

    Source
    ------
    own derivation (geometry; thicknesses common practice, no source)
    """
    _check_size(width_mm, height_mm, depth_mm, legs, leg_height_mm)
    for name, sizes in (("Drawer", drawers), ("Door", doors), ("Open bay", open_bays)):
        for width, height in sizes:
            within(f"{name} width", width, 1, 10_000, "mm")
            within(f"{name} height", height, 1, 10_000, "mm")
    carcass = height_mm - (leg_height_mm if legs else 0.0)
    frame = width_mm * carcass - sum(width * height for width, height in (*drawers, *doors, *open_bays))
    if frame < -1e-6 * width_mm * carcass:
        raise BadInput(
            "Drawers, doors and bays together are larger than the face.", "Check their sizes and that of the piece."
        )
    areas = {
        "top": width_mm * depth_mm,
        "sides": 2 * depth_mm * carcass,
        "front frame": max(frame, 0.0),
        "drawer fronts": sum(width * height for width, height in drawers),
        "doors": sum(2 * width * height + 2 * (width + height) * DOOR_THICKNESS_MM for width, height in doors),
        "inside": sum(width * height + 2 * (width + height) * depth_mm for width, height in (*doors, *open_bays)),
        "back": width_mm * carcass,
        "legs": 4 * LEG_WIDTH_MM * leg_height_mm * legs,
    }
    return {group: area / MM2_PER_M2 for group, area in areas.items()}


def _check_size(width: float, height: float, depth: float, legs: int, leg_height: float) -> None:
    for name, value in (("Width", width), ("Height", height), ("Depth", depth)):
        within(name, value, 10, 10_000, "mm")
    within("Legs", legs, 0, 20, "")
    within("Leg height", leg_height, 0, height * 0.999, "mm")
