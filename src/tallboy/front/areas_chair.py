"""Areas of a chair: seat, back, legs, rails and arms, taken as the drawing has them."""

from __future__ import annotations

from tallboy.front.areas_kinds import Found, Patch, flat, solid
from tallboy.front.kinds import Chair, Front
from tallboy.front.layout import Box, boxes
from tallboy.sums.areas import MM2_PER_M2, board_area

POST_SHARE, CREST_SHARE = 0.095, 0.2
FILLED = {"slats": 0.4, "spindles": 0.18, "rails": 0.45, "panel": 1.0, "none": 0.0}
"""Share of the back between its posts that is filled, near enough as it is drawn; common practice, no source."""
ARM_LENGTH_SHARE, ARM_GIRTH_MM = 1.5, 130.0


def chair_patches(front: Front, width: float, height: float, depth: float) -> Found:
    """The patches of a chair, each with its group."""
    chair = front.chair or Chair()
    found = {box.kind: box for box in boxes(front, width, height)}
    seat, back = found["seat"], found["back"]
    yield "top", solid("seat", "both faces, four edges", (seat.w, depth, seat.h), board_area(seat.w, depth, seat.h))
    yield from _back(chair, back)
    if "leg" in found:
        leg = found["leg"]
        area = 4 * leg.w * leg.h * front.base.count / MM2_PER_M2
        yield "legs", solid("leg", "four sides", (leg.w, leg.w, leg.h), area, front.base.count)
    if "stretcher" in found:
        yield "legs", _stretchers(found["stretcher"], depth, chair.stretchers)
    if chair.arms:
        yield "sides", flat("arm", ARM_GIRTH_MM, ARM_LENGTH_SHARE * depth, 2)


def _back(chair: Chair, back: Box) -> Found:
    """Two posts on four sides, the crest on two, and what stands between them on two."""
    if back.h <= 0:
        return
    post, crest = POST_SHARE * back.w, CREST_SHARE * min(back.w, back.h)
    inner, tall = back.w - 2 * post, back.h - crest
    yield "back", flat("post", 4 * post, back.h, 2)
    yield "back", flat("crest rail", inner, crest, 2)
    if FILLED[chair.back]:
        yield "back", flat(chair.back, inner * FILLED[chair.back], tall, 2)


def _stretchers(bar: Box, depth: float, levels: int) -> Patch:
    """Two across and two from front to back on each level, square."""
    run = 2 * (bar.w + depth) * levels
    return Patch("stretchers", "girth by length", (4 * bar.h, run), 1, 4 * bar.h * run / MM2_PER_M2)
