"""Symbols of fittings, and the rings of the numbered circles.

A fitting is drawn at about the size of an ordinary one, to the scale of the drawing.

Sizes of ordinary fittings: common practice, no source. They are for the drawing only.
"""

from __future__ import annotations

from collections.abc import Callable

from tallboy.front.layout import Box
from tallboy.front.positions import Position
from tallboy.front.svg import number, path, points, shape
from tallboy.front.view import Rect, View

SIZES: dict[tuple[str, str], tuple[float, float]] = {
    ("pull", "cup"): (90, 38), ("pull", "bail"): (100, 46), ("pull", "bar"): (128, 14), ("pull", "drop"): (24, 60),
    ("pull", "ring"): (38, 50), ("knob", ""): (36, 36), ("escutcheon", ""): (24, 40), ("lock", ""): (64, 44),
    ("hinge", "butt"): (18, 64), ("hinge", "strap"): (130, 40), ("hinge", "H"): (50, 90), ("hinge", "lift-off"): (16, 80),
    ("hinge", "pin"): (20, 20), ("catch", ""): (36, 22), ("bolt", ""): (16, 90), ("bracket", "corner"): (48, 48),
    ("hook", ""): (24, 70), ("corner", ""): (40, 40), ("rail", ""): (22, 110),
}  # fmt: skip
"""Width and height [mm] of an ordinary fitting, by kind and detail."""

TURNED = {
    ("hinge", "butt", "flap"), ("hinge", "lift-off", "flap"), ("hinge", "strap", "flap"), ("hinge", "H", "flap"),
    ("pull", "bar", "door"),
}  # fmt: skip
"""Fittings that lie the other way on such a bay."""

OTHER = (26.0, 26.0)
LARGEST_SHARE = 0.6
FINE = 1.2  # mm on paper; a smaller fitting gets no inner lines


def glyph_size(position: Position, home: Box | None) -> tuple[float, float]:
    """Width and height [mm] on the piece at which a fitting is drawn: never more than 60 % of the bay it is on."""
    if position.kind in ("wheel", "foot"):
        return (home.w, home.h) if home else OTHER
    wide, high = SIZES.get((position.kind, position.detail)) or SIZES.get((position.kind, "")) or OTHER
    if home and (position.kind, position.detail, home.kind) in TURNED:
        wide, high = high, wide
    if home is None:
        return wide, high
    shrink = min(1.0, LARGEST_SHARE * home.w / wide, LARGEST_SHARE * home.h / high)
    return wide * shrink, high * shrink


def glyph(position: Position, size: tuple[float, float], home: Box | None, view: View) -> str:
    """The symbol of the fitting at a position. Wheels and feet are drawn with the woodwork."""
    if position.kind in ("wheel", "foot"):
        return ""
    at = glyph_rect(position, size, view)
    toward = -1 if home is not None and home.hung in ("right", "bottom") else 1
    drawn = SYMBOLS.get((position.kind, position.detail)) or SYMBOLS.get((position.kind, ""), _other)
    return drawn(at, toward)


def glyph_rect(position: Position, size: tuple[float, float], view: View) -> Rect:
    """Where the symbol lies on paper."""
    wide, high = view.size(size[0]), view.size(size[1])
    return Rect(view.x(position.x_mm) - wide / 2, view.y(position.y_mm) - high / 2, wide, high)


def state_circle(state: str, x: float, y: float, r: float) -> str:
    """The ring of a state: plain, hollow (two thin rings), filled (one thick ring), dashed, dotted."""
    if state == "off":
        outer = shape("circle", "el-pos", cx=x, cy=y, r=r, stroke_width=0.26)
        return outer + shape("circle", "el-pos-off", cx=x, cy=y, r=r * 0.72)
    if state == "back":
        return shape("circle", "el-pos-back", cx=x, cy=y, r=r - 0.4 * min(1.0, r / 2), stroke_width=min(1.1, 0.3 * r))
    look = "el-pos" if state == "on" else f"el-pos-{state}"
    return shape("circle", look, cx=x, cy=y, r=r)


Symbol = Callable[[Rect, int], str]


def _box(look: str, at: Rect) -> str:
    return shape("rect", look, x=at.x, y=at.y, width=at.w, height=at.h)


def _ring(look: str, x: float, y: float, r: float) -> str:
    return shape("circle", look, cx=x, cy=y, r=r)


def _cup(at: Rect, toward: int) -> str:
    top = f"M{number(at.x)} {number(at.bottom)}C{number(at.x)} {number(at.y - 0.15 * at.h)} "
    dome = f"{number(at.right)} {number(at.y - 0.15 * at.h)} {number(at.right)} {number(at.bottom)}Z"
    lip = points((at.x + 0.12 * at.w, at.y + 0.72 * at.h), (at.right - 0.12 * at.w, at.y + 0.72 * at.h))
    return path("el-fitting", top + dome) + path("el-thin", lip)


def _bail(at: Rect, toward: int) -> str:
    y, r = at.y + 0.28 * at.h, 0.16 * at.h
    left, right = at.x + r, at.right - r
    swing = f"M{number(left)} {number(y)}Q{number(left)} {number(at.bottom)} {number(at.middle[0])} {number(at.bottom)}"
    swing += f"Q{number(right)} {number(at.bottom)} {number(right)} {number(y)}"
    return path("el-line", swing) + _ring("el-fitting", left, y, r) + _ring("el-fitting", right, y, r)


def _bar(at: Rect, toward: int) -> str:
    if at.h > at.w:
        ends = (at.y + 0.12 * at.h, at.bottom - 0.16 * at.h)
        return _box("el-fitting", at) + "".join(_box("el-solid", Rect(at.x, y, at.w, 0.04 * at.h)) for y in ends)
    posts = "".join(
        _box("el-solid", Rect(x, at.y, 0.04 * at.w, at.h)) for x in (at.x + 0.12 * at.w, at.right - 0.16 * at.w)
    )
    return _box("el-fitting", at) + posts


def _drop(at: Rect, toward: int) -> str:
    x, r = at.middle[0], 0.32 * at.w
    tear = f"M{number(x)} {number(at.y + 2 * r)}L{number(at.right - 0.1 * at.w)} {number(at.bottom - 2 * r)}"
    tear += f"A{number(0.4 * at.w)} {number(0.4 * at.w)} 0 0 1 {number(at.x + 0.1 * at.w)} {number(at.bottom - 2 * r)}Z"
    return path("el-fitting", tear) + _ring("el-fitting", x, at.y + r, r)


def _ring_pull(at: Rect, toward: int) -> str:
    x, r = at.middle[0], 0.2 * at.w
    return _ring("el-line", x, at.bottom - at.w / 2, at.w / 2) + _ring("el-fitting", x, at.y + r, r)


def _knob(at: Rect, toward: int) -> str:
    x, y = at.middle
    return _ring("el-fitting", x, y, at.w / 2) + _ring("el-thin", x, y, at.w / 4)


def _escutcheon(at: Rect, toward: int) -> str:
    x, y = at.middle
    plate = shape("ellipse", "el-fitting", cx=x, cy=y, rx=at.w / 2, ry=at.h / 2)
    eye, foot = 0.16 * at.w, y + 0.28 * at.h
    slot = points((x, y - 0.1 * at.h), (x + 0.14 * at.w, foot), (x - 0.14 * at.w, foot), close=True)
    return plate + _ring("el-solid", x, y - 0.12 * at.h, eye) + path("el-solid", slot)


def _hidden(at: Rect, toward: int) -> str:
    return _box("el-hidden", at)


def _butt(at: Rect, toward: int) -> str:
    upright = at.h >= at.w
    if min(at.w, at.h) < FINE:
        return _box("el-fitting", at)
    if upright:
        lines = points((at.middle[0], at.y), (at.middle[0], at.bottom))
        lines += "".join(points((at.x, at.y + at.h * k), (at.middle[0], at.y + at.h * k)) for k in (1 / 3, 2 / 3))
    else:
        lines = points((at.x, at.middle[1]), (at.right, at.middle[1]))
        lines += "".join(points((at.x + at.w * k, at.y), (at.x + at.w * k, at.middle[1])) for k in (1 / 3, 2 / 3))
    return _box("el-fitting", at) + path("el-line", lines)


def _strap(at: Rect, toward: int) -> str:
    x, y = at.middle
    if at.h > at.w:
        end = y + toward * at.h
        leaf = points(
            (at.x + 0.2 * at.w, y), (x - 0.1 * at.w, end), (x + 0.1 * at.w, end), (at.right - 0.2 * at.w, y), close=True
        )
        return path("el-fitting", leaf) + _box("el-fitting", Rect(at.x, y - 0.04 * at.h, at.w, 0.08 * at.h))
    tip = x + toward * at.w
    leaf = points(
        (x, at.y + 0.2 * at.h), (tip, y - 0.1 * at.h), (tip, y + 0.1 * at.h), (x, at.bottom - 0.2 * at.h), close=True
    )
    return path("el-fitting", leaf) + _box("el-fitting", Rect(x - 0.04 * at.w, at.y, 0.08 * at.w, at.h))


def _h_hinge(at: Rect, toward: int) -> str:
    a, b, waist = 0.36 * at.w, 0.64 * at.w, 0.18 * at.h
    x, y = at.x, at.middle[1]
    outline = (
        (x, at.y), (x + a, at.y), (x + a, y - waist), (x + b, y - waist), (x + b, at.y), (at.right, at.y),
        (at.right, at.bottom), (x + b, at.bottom), (x + b, y + waist), (x + a, y + waist), (x + a, at.bottom), (x, at.bottom),
    )  # fmt: skip
    return path("el-fitting", points(*outline, close=True)) + path(
        "el-line", points((x + at.w / 2, y - waist), (x + at.w / 2, y + waist))
    )


def _lift_off(at: Rect, toward: int) -> str:
    x, y = at.middle
    tips = _ring("el-solid", x, at.y, 0.2 * at.w) + _ring("el-solid", x, at.bottom, 0.2 * at.w)
    return _box("el-fitting", at) + path("el-line", points((at.x, y), (at.right, y))) + tips


def _pin(at: Rect, toward: int) -> str:
    x, y = at.middle
    return _ring("el-fitting", x, y, at.w / 2) + _ring("el-solid", x, y, at.w / 6)


def _bracket(at: Rect, toward: int) -> str:
    return path("el-hidden", points((at.x, at.y), (at.right, at.y), (at.middle[0], at.bottom), close=True))


def _hook(at: Rect, toward: int) -> str:
    x, r = at.middle[0], 0.4 * at.w
    curl = f"M{number(x)} {number(at.y + r)}V{number(at.bottom - r)}A{number(r)} {number(r)} 0 0 0 {number(x + 2 * r)} {number(at.bottom - r)}"
    return path("el-line", curl) + _ring("el-fitting", x, at.y + r, r)


def _corner(at: Rect, toward: int) -> str:
    return path("el-fitting", points((at.x, at.bottom), (at.right, at.bottom), (at.x, at.y), close=True))


def _rail(at: Rect, toward: int) -> str:
    return shape("rect", "el-fitting", x=at.x, y=at.y, width=at.w, height=at.h, rx=at.w / 2)


def _other(at: Rect, toward: int) -> str:
    x, y = at.middle
    return path("el-fitting", points((x, at.y), (at.right, y), (x, at.bottom), (at.x, y), close=True))


SYMBOLS: dict[tuple[str, str], Symbol] = {
    ("pull", "cup"): _cup, ("pull", "bail"): _bail, ("pull", "bar"): _bar, ("pull", "drop"): _drop,
    ("pull", "ring"): _ring_pull, ("knob", ""): _knob, ("escutcheon", ""): _escutcheon, ("lock", ""): _hidden,
    ("catch", ""): _hidden, ("bolt", ""): _hidden, ("hinge", "butt"): _butt, ("hinge", "strap"): _strap,
    ("hinge", "H"): _h_hinge, ("hinge", "lift-off"): _lift_off, ("hinge", "pin"): _pin, ("bracket", "corner"): _bracket,
    ("hook", ""): _hook, ("corner", ""): _corner, ("rail", ""): _rail,
}  # fmt: skip
