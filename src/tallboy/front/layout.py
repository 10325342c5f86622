"""Where everything on a front lies, in millimetres.

Convention: x runs to the right and y runs up; the origin is the bottom left corner of the front as someone standing
before the piece sees it, on the floor. A box is given by its bottom left corner, its width and its height. The width
and height of a piece are those overall: of the top board with its overhang, from the floor up.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from tallboy.errors import BadInput, OutOfRange
from tallboy.front.kinds import (
    LARGEST_PIECE,
    SMALLEST_PIECE,
    Bay,
    Doors,
    Front,
    Open,
    Row,
    Stack,
    Upper,
)
from tallboy.front.naming import bay_names, copy_prefixes, noun

SMALLEST_BAY = 8.0
COPY_GAP = 0.25
USUAL_BASE = {"plinth": 80.0, "feet": 100.0, "legs": 160.0, "wheels": 70.0, "none": 0.0}
USUAL_SHARE = 0.15
WHEEL_UNDER_LEG = 40.0
USUAL_APRON, APRON_SHARE = 130.0, 0.2


@dataclass(frozen=True, slots=True)
class Box:
    """A part of the front as a rectangle [mm]. `hung` is the side a door, fall or lid turns on; `bay` what fills it."""

    kind: str
    x: float
    y: float
    w: float
    h: float
    name: str = ""
    copy: int = 0
    hung: str = ""
    bay: Bay | None = None
    path: str = ""

    @property
    def right(self) -> float:
        """x of the right edge [mm]."""
        return self.x + self.w

    @property
    def top(self) -> float:
        """y of the upper edge [mm]."""
        return self.y + self.h


@dataclass(frozen=True, slots=True)
class _Space:
    """A rectangle still to be divided."""

    x: float
    y: float
    w: float
    h: float


def extent(front: Front, width_mm: float, height_mm: float) -> tuple[float, float]:
    """Width and height [mm] of the whole drawing: of all copies side by side with the gaps between them."""
    return width_mm * (front.copies + COPY_GAP * (front.copies - 1)), height_mm


def check_size(name: str, value: float) -> None:
    """Raise OutOfRange when a piece would be smaller or larger than a piece of furniture is."""
    if not SMALLEST_PIECE <= value <= LARGEST_PIECE:
        raise OutOfRange(name, f"{value:g}", f"{SMALLEST_PIECE:g}", f"{LARGEST_PIECE:g}", "mm")


def boxes(front: Front, width_mm: float, height_mm: float) -> tuple[Box, ...]:
    """All parts of a front as rectangles, in reading order for each copy: what it is made of first, then its bays.

    Kinds: top, case, plinth, foot, leg, wheel, upright, apron, back, seat, stretcher, and the bays drawer, door, flap, open, panel.
    Raises BadInput when the parts do not fit into the size.
    """
    check_size("width", width_mm)
    check_size("height", height_mm)
    names = bay_names(front)
    out: list[Box] = []
    for copy, prefix in enumerate(copy_prefixes(front)):
        left = copy * width_mm * (1 + COPY_GAP)
        for box in LAYOUTS[front.outline](front, width_mm, height_mm, names):
            full = ", ".join(part for part in (prefix, box.name) if part)
            out.append(replace(box, x=box.x + left, name=full, copy=copy))
    return tuple(out)


def base_height(front: Front, height_mm: float) -> float:
    """Height [mm] of the base: the one given, or the usual one but not above 15 % of the piece."""
    given = front.base.height
    return min(USUAL_BASE[front.base.kind], USUAL_SHARE * height_mm) if given is None else given


def leg_width(width_mm: float) -> float:
    """Width [mm] of a leg or upright in the drawing: 5 % of the piece, from 20 mm to 70 mm, at most a tenth."""
    return min(max(0.05 * width_mm, 20.0), 70.0, 0.1 * width_mm)


def front_supports(count: int) -> int:
    """How many of `count` legs, feet or wheels stand in front: the larger half."""
    return (count + 1) // 2


def spread(count: int, left: float, right: float, width: float) -> tuple[float, ...]:
    """Left edges of `count` things of a width, evenly spread between two edges, the outer ones touching them."""
    if count == 1:
        return ((left + right - width) / 2,)
    step = (right - left - width) / (count - 1)
    return tuple(left + index * step for index in range(count))


Names = dict[str, str]


def _case(front: Front, width: float, height: float, names: Names) -> Iterator[Box]:
    split = height
    if front.upper:
        split = height - front.upper.height
        yield from _upper(front, front.upper, width, height, names)
    over, base = front.top.overhang, base_height(front, height)
    space = _Space(over, base, width - 2 * over, split - front.top.thickness - base)
    _room("front.top and front.base", space)
    yield from _top_board("top", 0.0, split - front.top.thickness, width, front.top.thickness)
    yield Box("case", space.x, space.y, space.w, space.h)
    yield from _bays(front.rows, _inside(space, front.frame), front.frame, "front.rows", names)
    yield from _stand(front, space.x, space.x + space.w, base)


def _upper(front: Front, upper: Upper, width: float, height: float, names: Names) -> Iterator[Box]:
    over = upper.inset + upper.top.overhang
    space = _Space(over, height - upper.height, width - 2 * over, upper.height - upper.top.thickness)
    _room("front.upper", space)
    yield from _top_board(
        "upper top", upper.inset, height - upper.top.thickness, width - 2 * upper.inset, upper.top.thickness
    )
    yield Box("case", space.x, space.y, space.w, space.h)
    yield from _bays(upper.rows, _inside(space, front.frame), front.frame, "front.upper.rows", names)


def _table(front: Front, width: float, height: float, names: Names) -> Iterator[Box]:
    over, leg = front.top.overhang, leg_width(width)
    under = height - front.top.thickness
    apron = _apron(front, height)
    space = _Space(over + leg, under - apron, width - 2 * (over + leg), apron)
    _room("front.top and front.base", space)
    yield from _top_board("top", 0.0, under, width, front.top.thickness)
    yield Box("apron", space.x, space.y, space.w, space.h, "apron")
    inner = _Space(space.x + front.frame, space.y + front.frame, space.w - 2 * front.frame, apron - 2 * front.frame)
    yield from _bays(front.rows, inner, front.frame, "front.rows", names)
    yield from _stand(front, over, width - over, under, leg)


def _apron(front: Front, height: float) -> float:
    """Height of a table's apron: what the base leaves, or the rows' own heights, or the usual 130 mm."""
    if front.base.height is not None:
        return height - front.top.thickness - front.base.height
    given = [row.height for row in front.rows if row.height is not None]
    if len(given) == len(front.rows):
        return sum(given) + front.frame * (len(given) + 1)
    return min(USUAL_APRON, APRON_SHARE * height) * len(front.rows)


def _trolley(front: Front, width: float, height: float, names: Names) -> Iterator[Box]:
    upright, base = leg_width(width), base_height(front, height)
    over = front.top.overhang
    space = _Space(over, base, width - 2 * over, height - front.top.thickness - base)
    _room("front.top and front.base", space)
    yield from _top_board("top", 0.0, height - front.top.thickness, width, front.top.thickness)
    for left in (over, width - over - upright):
        yield Box("upright", left, base, upright, space.h)
    inner = _Space(over + upright, base + front.frame, space.w - 2 * upright, space.h - front.frame)
    yield Box("case", inner.x, base, inner.w, space.h)
    yield from _bays(front.rows, inner, front.frame, "front.rows", names)
    yield from _stand(front, over, width - over, base, upright)


def _chair(front: Front, width: float, height: float, names: Names) -> Iterator[Box]:
    chair, leg = front.chair, leg_width(width) * 1.3
    if chair is None:
        raise BadInput("front.chair is missing.", "A front of the outline 'chair' needs it.")
    seat = chair.seat_height
    thick = min(max(0.05 * height, 12.0), 45.0)
    if not 2 * thick <= seat <= height:
        raise BadInput(f"front.chair.seat_height is {seat:g}.", f"It must be from {2 * thick:g} to {height:g} mm.")
    yield Box("back", 0.03 * width, seat, 0.94 * width, height - seat, "back")
    yield Box("seat", 0.0, seat - thick, width, thick, "seat")
    for level in range(chair.stretchers):
        y = (seat - thick) * (0.3 + 0.22 * level)
        yield Box("stretcher", 0.04 * width + leg, y, 0.92 * width - 2 * leg, thick * 0.5)
    yield from _stand(front, 0.04 * width, 0.96 * width, seat - thick, leg)


LAYOUTS: dict[str, Callable[[Front, float, float, Names], Iterator[Box]]] = {
    "case": _case,
    "table": _table,
    "trolley": _trolley,
    "chair": _chair,
}


def _top_board(name: str, x: float, y: float, width: float, thickness: float) -> Iterator[Box]:
    if thickness > 0:
        yield Box("top", x, y, width, thickness, name)


def _stand(front: Front, left: float, right: float, height: float, leg: float = 0.0) -> Iterator[Box]:
    """The parts that touch the floor in front: a plinth, feet, legs or wheels, and wheels under feet or legs."""
    kind, count = front.base.kind, front_supports(front.base.count)
    under = min(WHEEL_UNDER_LEG, 0.5 * height) if front.base.wheels else 0.0
    if kind == "plinth" and height > 0:
        yield Box("plinth", left, under, right - left, height - under, "plinth")
    elif kind in ("feet", "legs") and height > 0:
        wide = leg or min(0.14 * (right - left), (1.1 if kind == "feet" else 0.5) * height + 12)
        for x in spread(count, left, right, wide):
            yield Box("foot" if kind == "feet" else "leg", x, under, wide, height - under)
    size = height if kind == "wheels" else under
    size = min(size, 0.25 * (right - left))
    if size > 0 and (kind == "wheels" or under):
        inset = max(0.0, (leg - size) / 2) if leg else 0.0
        for x in spread(count, left + inset, right - inset, size):
            yield Box("wheel", x, 0.0, size, size)


def _room(where: str, space: _Space) -> None:
    if min(space.w, space.h) < SMALLEST_BAY:
        side = "width" if space.w < space.h else "height"
        raise BadInput(f"{where} leave no room in the {side} of the piece.", "Give them less, or the piece more.")


def _inside(space: _Space, frame: float) -> _Space:
    return _Space(space.x + frame, space.y + frame, space.w - 2 * frame, space.h - 2 * frame)


def _bays(rows: tuple[Row, ...], space: _Space, frame: float, path: str, names: Names) -> Iterator[Box]:
    heights = _shares([row.height for row in rows], space.h - frame * (len(rows) - 1), path, "high")
    top = space.y + space.h
    for index, (row, height) in enumerate(zip(rows, heights, strict=True)):
        line = _Space(space.x, top - height, space.w, height)
        yield from _row(row, line, frame, f"{path}[{index}].bays", names)
        top -= height + frame


def _row(row: Row, line: _Space, frame: float, path: str, names: Names) -> Iterator[Box]:
    widths = _shares([bay.width for bay in row.bays], line.w - frame * (len(row.bays) - 1), path, "wide")
    left = line.x
    for index, (bay, width) in enumerate(zip(row.bays, widths, strict=True)):
        space, at = _Space(left, line.y, width, line.h), f"{path}[{index}]"
        if isinstance(bay, Stack):
            yield from _bays(bay.rows, space, frame, f"{at}.rows", names)
        elif isinstance(bay, Doors):
            yield from _pair(bay, space, at, names)
        else:
            yield _single(bay, space, at, names[at])
        left += width + frame


def _single(bay: Bay, space: _Space, at: str, name: str) -> Box:
    word = noun(bay)
    kind = {"open bay": "open", "fall": "flap", "lid": "flap"}.get(word, word)
    hung = getattr(bay, "hung", "")
    if isinstance(bay, Open) and bay.to_floor:
        return Box(kind, space.x, 0.0, space.w, space.y + space.h, name, 0, hung, bay, at)
    return Box(kind, space.x, space.y, space.w, space.h, name, 0, hung, bay, at)


def _pair(bay: Doors, space: _Space, at: str, names: Names) -> Iterator[Box]:
    half = space.w / 2
    if half < SMALLEST_BAY:
        raise BadInput(f"{at} would have doors {half:.0f} mm wide.", f"A bay needs {SMALLEST_BAY:g} mm at least.")
    for side, left in (("left", space.x), ("right", space.x + half)):
        yield Box("door", left, space.y, half, space.h, names[f"{at}.{side}"], 0, side, bay, f"{at}.{side}")


def _shares(given: list[float | None], total: float, path: str, word: str) -> list[float]:
    """Lengths that fill the total. All given: kept in proportion. Some left open: those share the rest equally."""
    fixed, missing = sum(one for one in given if one is not None), given.count(None)
    if missing:
        rest = (total - fixed) / missing
        sizes = [rest if one is None else one for one in given]
    else:
        sizes = [one * total / fixed for one in given if one is not None]
    for index, size in enumerate(sizes):
        if size < SMALLEST_BAY:
            raise BadInput(
                f"{path}[{index}] would be {size:.0f} mm {word}.",
                f"It needs {SMALLEST_BAY:g} mm at least: make the piece larger, the frame thinner, or give the others less.",
            )
    return sizes
