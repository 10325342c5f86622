"""Drawing the woodwork of a front: boards, drawers, doors with their swing, shelves, panels, legs, wheels, chairs."""

from __future__ import annotations

from collections.abc import Callable

from tallboy.front.kinds import Chair, Front, Open, Panel
from tallboy.front.layout import Box
from tallboy.front.svg import number, path, points, shape
from tallboy.front.view import Rect, View

SHELF = 18.0
SMALL = 2.5  # below this many mm on paper no inner line is drawn


def woodwork(front: Front, found: tuple[Box, ...], view: View) -> str:
    """The woodwork of all copies, back to front."""
    order = sorted(found, key=lambda box: LAYERS.index(box.kind))
    return "".join(DRAWN[box.kind](box, view, front.chair or Chair()) for box in order)


LAYERS = (
    "back", "stretcher", "case", "apron", "plinth", "foot", "wheel", "leg", "upright", "top", "seat",
    "open", "panel", "drawer", "door", "flap",
)  # fmt: skip


def rect(look: str, at: Rect, corner: float = 0.0) -> str:
    """A rectangle of a class; rounded when a corner radius is given. Nothing when it has no size."""
    if at.w <= 0 or at.h <= 0:
        return ""
    return shape("rect", look, x=at.x, y=at.y, width=at.w, height=at.h, rx=corner or None)


def _inset(at: Rect, look: str, by: float) -> str:
    """An inner line, where there is room for one."""
    inner = at.grown(-by)
    return rect(look, inner) if min(inner.w, inner.h) > SMALL else ""


def _board(box: Box, view: View, chair: Chair) -> str:
    at = view.rect(box)
    line = points((at.x, at.y + at.h * 0.62), (at.right, at.y + at.h * 0.62))
    return rect("el-case", at, min(0.4, at.h / 3)) + (path("el-thin", line) if at.h > SMALL else "")


def _case(box: Box, view: View, chair: Chair) -> str:
    return rect("el-case", view.rect(box))


def _plain(box: Box, view: View, chair: Chair) -> str:
    return rect("el-front", view.rect(box))


def _plinth(box: Box, view: View, chair: Chair) -> str:
    at = view.rect(box)
    line = points((at.x, at.y + min(1.2, at.h / 4)), (at.right, at.y + min(1.2, at.h / 4)))
    return rect("el-case", at) + (path("el-thin", line) if at.h > SMALL else "")


def _drawer(box: Box, view: View, chair: Chair) -> str:
    at = view.rect(box)
    return rect("el-front", at) + _inset(at, "el-thin", min(1.0, 0.09 * min(at.w, at.h)))


def _framed(at: Rect, share: float) -> tuple[str, Rect]:
    """A frame with a raised panel in it: the panel's opening, its field, and the four slopes between them."""
    opening = at.grown(-share * min(at.w, at.h))
    field = opening.grown(-0.13 * min(opening.w, opening.h))
    if min(field.w, field.h) < SMALL:
        return _inset(at, "el-thin", share * min(at.w, at.h)), opening
    corners = (
        ((opening.x, opening.y), (field.x, field.y)),
        ((opening.right, opening.y), (field.right, field.y)),
        ((opening.x, opening.bottom), (field.x, field.bottom)),
        ((opening.right, opening.bottom), (field.right, field.bottom)),
    )
    slopes = "".join(points(outer, inner) for outer, inner in corners)
    return rect("el-line", opening) + path("el-thin", slopes) + rect("el-thin", field), opening


def _door(box: Box, view: View, chair: Chair) -> str:
    at = view.rect(box)
    left = box.hung == "left"
    hang, close = (at.x, at.right) if left else (at.right, at.x)
    swing = points((close, at.y), (hang, at.middle[1]), (close, at.bottom))
    return rect("el-front", at) + _framed(at, 0.15)[0] + path("el-swing", swing)


def _flap(box: Box, view: View, chair: Chair) -> str:
    at = view.rect(box)
    hang, close = (at.bottom, at.y) if box.hung == "bottom" else (at.y, at.bottom)
    swing = points((at.x, close), (at.middle[0], hang), (at.right, close))
    inner = _inset(at, "el-thin", min(2.0, 0.1 * min(at.w, at.h)))
    return rect("el-front", at) + inner + path("el-swing", swing)


def _open(box: Box, view: View, chair: Chair) -> str:
    at = view.rect(box)
    count = box.bay.shelves if isinstance(box.bay, Open) else 0
    thick = min(view.size(SHELF), at.h / (4 * count + 4))
    step = (at.h - thick * count) / (count + 1)
    tops = [at.y + step * (index + 1) + thick * index for index in range(count)]
    return rect("el-open", at) + "".join(rect("el-front", Rect(at.x, top, at.w, thick)) for top in tops)


def _panel(box: Box, view: View, chair: Chair) -> str:
    at = view.rect(box)
    if isinstance(box.bay, Panel) and not box.bay.raised:
        return rect("el-front", at)
    return rect("el-front", at) + _framed(at, 0.09)[0]


def _leg(box: Box, view: View, chair: Chair) -> str:
    """A leg, square at the top and tapering on its inner side from a quarter down."""
    at = view.rect(box)
    slim, start = 0.14 * at.w, at.y + 0.25 * at.h
    outline = (
        (at.x, at.y),
        (at.right, at.y),
        (at.right, start),
        (at.right - slim, at.bottom),
        (at.x + slim, at.bottom),
    )
    return path("el-case", points(*outline, (at.x, start), close=True))


def _foot(box: Box, view: View, chair: Chair) -> str:
    """A turned foot: a collar and a bun."""
    at = view.rect(box)
    collar, neck = 0.2 * at.h, 0.1 * at.w
    bulge = (
        f"M{number(at.x + neck)} {number(at.y + collar)}"
        f"C{number(at.x - neck)} {number(at.y + 0.5 * at.h)} {number(at.x)} {number(at.bottom)}"
        f" {number(at.x + 2.2 * neck)} {number(at.bottom)}H{number(at.right - 2.2 * neck)}"
        f"C{number(at.right)} {number(at.bottom)} {number(at.right + neck)} {number(at.y + 0.5 * at.h)}"
        f" {number(at.right - neck)} {number(at.y + collar)}Z"
    )
    return path("el-case", bulge) + rect("el-front", Rect(at.x + neck, at.y, at.w - 2 * neck, collar))


def _wheel(box: Box, view: View, chair: Chair) -> str:
    at = view.rect(box)
    x, y = at.middle
    across = at.w / 2
    stem = Rect(x - 0.12 * across, at.y, 0.24 * across, across)
    rim = shape("circle", "el-case", cx=x, cy=y + 0.1 * across, r=0.9 * across)
    hub = shape("circle", "el-fitting", cx=x, cy=y + 0.1 * across, r=0.22 * across)
    return rim + rect("el-front", stem) + hub


def _seat(box: Box, view: View, chair: Chair) -> str:
    at = view.rect(box)
    line = points((at.x + 1, at.y + at.h * 0.45), (at.right - 1, at.y + at.h * 0.45))
    arms = "".join(_arm(at, side, view) for side in (-1, 1)) if chair.arms else ""
    return arms + rect("el-case", at, min(1.2, at.h / 3)) + (path("el-thin", line) if at.h > SMALL else "")


def _arm(seat: Rect, side: int, view: View) -> str:
    """An arm as seen from the front: its support and the end of the rest."""
    wide = 0.075 * seat.w
    x = seat.x + wide if side < 0 else seat.right - 2 * wide
    up = min(view.size(220.0), 2.4 * seat.w)
    support = Rect(x + 0.2 * wide, seat.y - up, 0.6 * wide, up)
    return rect("el-front", support) + rect(
        "el-case", Rect(x - 0.2 * wide, seat.y - up - 0.8 * wide, 1.4 * wide, wide), 0.5
    )


def _back(box: Box, view: View, chair: Chair) -> str:
    """A chair back: two posts, a crest rail and what is between."""
    at = view.rect(box)
    post, crest = 0.095 * at.w, min(0.2 * at.h, 0.2 * at.w)
    inner = Rect(at.x + post, at.y + 0.55 * crest, at.w - 2 * post, at.h - 0.55 * crest)
    posts = "".join(rect("el-case", Rect(x, at.y, post, at.h), 0.5) for x in (at.x, at.right - post))
    rail = rect("el-case", Rect(at.x + 0.4 * post, at.y + 0.2 * crest, at.w - 0.8 * post, crest), 0.8)
    return "".join(_filling(inner, chair, crest)) + posts + rail


def _filling(inner: Rect, chair: Chair, crest: float) -> list[str]:
    if chair.back == "none":
        return []
    low = Rect(inner.x, inner.bottom - 0.22 * inner.h, inner.w, 0.45 * crest)
    if chair.back == "panel":
        return [rect("el-front", Rect(inner.x, inner.y, inner.w, low.y - inner.y)), rect("el-front", low)]
    if chair.back == "rails":
        step = (low.y - inner.y - crest) / chair.bars
        bars = [
            Rect(inner.x, inner.y + crest + step * n, inner.w, min(0.6 * crest, 0.6 * step)) for n in range(chair.bars)
        ]
        return [rect("el-front", bar) for bar in bars]
    wide = inner.w * (0.4 if chair.back == "slats" else 0.18) / chair.bars
    gap = (inner.w - wide * chair.bars) / (chair.bars + 1)
    bars = [Rect(inner.x + gap + n * (gap + wide), inner.y, wide, low.y - inner.y) for n in range(chair.bars)]
    return [*(rect("el-front", bar) for bar in bars), rect("el-front", low)]


DRAWN: dict[str, Callable[[Box, View, Chair], str]] = {
    "top": _board, "case": _case, "apron": _case, "plinth": _plinth, "foot": _foot, "leg": _leg, "wheel": _wheel,
    "upright": _case, "seat": _seat, "back": _back, "stretcher": _plain, "drawer": _drawer, "door": _door,
    "flap": _flap, "open": _open, "panel": _panel,
}  # fmt: skip
