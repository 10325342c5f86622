"""The positions of a front: every place where one part sits, numbered and named.

Convention: x_mm runs to the right and y_mm up from the bottom left corner of the front on the floor, as someone
standing before the piece sees it; "left" is the viewer's left. With copies, x runs over all of them side by side.
Numbers go through the bays from top to bottom and from left to right, and inside a bay in the same way; then come
the supports, then the fittings that stand by themselves. The same front always gives the same numbers.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from typing import TypeVar

from tallboy.errors import BadInput
from tallboy.front.kinds import (
    MOST_POSITIONS,
    PLAIN_DOOR,
    PLAIN_DRAWER,
    DoorFit,
    Doors,
    Drawer,
    DrawerFit,
    Front,
)
from tallboy.front.layout import COPY_GAP, Box, boxes, check_size, extent, front_supports
from tallboy.front.naming import across_word, copy_prefixes, slug

__all__ = ["Box", "Position", "boxes", "codes_for", "extent", "positions"]

# How many screws usually hold one; None where it is held otherwise or it varies. Common practice, no source.
USUAL_SCREWS: dict[tuple[str, str], int] = {
    ("hinge", "butt"): 6, ("hinge", "strap"): 6, ("hinge", "H"): 8, ("hinge", "lift-off"): 6,
    ("pull", "cup"): 2, ("pull", "bar"): 2, ("knob", ""): 1, ("lock", ""): 4, ("catch", ""): 2, ("bolt", ""): 3,
    ("bracket", "corner"): 4,
}  # fmt: skip
Fit = TypeVar("Fit", DrawerFit, DoorFit)


@dataclass(frozen=True, slots=True)
class Position:
    """The place on a piece where one part sits. x_mm and y_mm as said at the head of this file."""

    number: int
    code: str
    name: str
    kind: str
    detail: str
    x_mm: float
    y_mm: float
    face: str = "front"
    screws: int | None = None


@dataclass(frozen=True, slots=True)
class _Spot:
    """A fitting in a box: the place as a share of the box's width and height, from its bottom left."""

    name: str
    kind: str
    across: float
    up: float
    detail: str = ""
    face: str = "front"


def positions(front: Front, width_mm: float, height_mm: float, depth_mm: float) -> tuple[Position, ...]:
    """The positions of a front for a piece of a size [mm], numbered from 1 in reading order.

    Raises BadInput when the parts do not fit into the size, when there are more than 400 positions, or when two
    fittings have the same name; OutOfRange for a size outside 10 to 6000 mm.
    """
    check_size("depth", depth_mm)
    raw: list[Position] = []
    found = boxes(front, width_mm, height_mm)
    for copy, prefix in enumerate(copy_prefixes(front)):
        mine = [box for box in found if box.copy == copy]
        left = copy * width_mm * (1 + COPY_GAP)
        raw.extend(_of_bays(front, mine))
        raw.extend(_of_stand(front, mine, prefix))
        raw.extend(_of_chair(front, mine, prefix))
        raw.extend(_of_extras(front, prefix, left, width_mm, height_mm))
    _check(raw)
    codes = codes_for([one.name for one in raw])
    return tuple(replace(one, number=at + 1, code=code) for at, (one, code) in enumerate(zip(raw, codes, strict=True)))


def codes_for(names: list[str]) -> list[str]:
    """A code for each name, all different: "left-door-top-hinge". The same names always give the same codes."""
    codes: list[str] = []
    taken: set[str] = set()
    for name in names:
        first = slug(name) or "position"
        code, again = first, 2
        while code in taken:
            code, again = f"{first}-{again}", again + 1
        taken.add(code)
        codes.append(code)
    return codes


def merged(*fits: Fit) -> Fit:
    """What a bay carries: its own setting, else the one for all of its kind, else the plain default, in this order."""
    values = {}
    for item in fields(fits[0]):
        steps = (getattr(fit, item.name) for fit in fits)
        values[item.name] = next((value for value in steps if value is not None), None)
    return type(fits[0])(**values)


def _check(raw: list[Position]) -> None:
    if len(raw) > MOST_POSITIONS:
        raise BadInput(f"front has {len(raw)} positions.", f"It may have at most {MOST_POSITIONS}.")
    twice = [name for name, count in Counter(one.name for one in raw).items() if count > 1]
    if twice:
        raise BadInput(f"front has two fittings called '{twice[0]}'.", "Give each a name of its own.")


def _place(box: Box, spot: _Spot) -> Position:
    screws = USUAL_SCREWS.get((spot.kind, spot.detail))
    x, y = box.x + spot.across * box.w, box.y + spot.up * box.h
    return Position(0, "", f"{box.name}, {spot.name}", spot.kind, spot.detail, x, y, spot.face, screws)


def _of_bays(front: Front, found: list[Box]) -> Iterator[Position]:
    for box in found:
        spots: list[_Spot] = []
        if isinstance(box.bay, Drawer):
            spots = list(_drawer(merged(box.bay.fit, front.drawers, PLAIN_DRAWER)))
        elif box.kind == "door":
            spots = list(_door(box, _door_fit(front, box)))
        elif box.kind == "flap":
            spots = list(_flap(box, _door_fit(front, box)))
        for spot in sorted(spots, key=lambda one: (-one.up, one.across)):
            yield _place(box, spot)


def _door_fit(front: Front, box: Box) -> DoorFit:
    own: DoorFit = getattr(box.bay, "fit", DoorFit())
    fit = merged(own, front.doors, PLAIN_DOOR)
    if not isinstance(box.bay, Doors):
        return fit
    if box.bay.opens_first == box.hung:
        return replace(fit, bolts=0)
    return replace(fit, lock=False, catch=bool(fit.catch) and not fit.bolts)


def pull_words(kind: str) -> tuple[str, str, str]:
    """What a pull or knob is called in a name, its kind and its detail: ("pull", "pull", "cup")."""
    return ("knob", "knob", "") if kind == "knob" else ("pull", "pull", kind.removesuffix(" pull"))


PULL_PLACES = {0: (), 1: (0.5,), 2: (0.22, 0.78), 3: (0.18, 0.5, 0.82), 4: (0.13, 0.38, 0.62, 0.87)}


def _drawer(fit: DrawerFit) -> Iterator[_Spot]:
    word, kind, detail = pull_words(fit.pull or "knob")
    places = PULL_PLACES[fit.pulls or 0]
    for index, across in enumerate(places):
        yield _Spot(_one_of(word, index, len(places)), kind, across, 0.5, detail)
    middle = len(places) % 2 == 1
    if fit.escutcheon:
        yield _Spot("escutcheon", "escutcheon", 0.5, 0.8 if middle else 0.56)
    if fit.lock:
        yield _Spot("lock", "lock", 0.5, 0.88 if middle else 0.74, face="inside")


def _one_of(word: str, index: int, count: int) -> str:
    if count > 3:
        return f"{word} {index + 1}"
    return f"{across_word(index, count)} {word}".strip()


WIDE_HANDLES = {"cup pull": 62.0, "bail pull": 66.0}  # mm from the closing edge of a door to the middle of the handle
HINGE_PLACES = {0: (), 1: (0.5,), 2: (0.87, 0.13), 3: (0.87, 0.5, 0.13), 4: (0.9, 0.633, 0.367, 0.1)}
HINGE_WORDS = {1: ("",), 2: ("top", "bottom"), 3: ("top", "middle", "bottom"), 4: ("top", "second", "third", "bottom")}

BOLTS = {0: (), 1: (("", 0.94),), 2: (("top", 0.94), ("bottom", 0.06))}


def _door(box: Box, fit: DoorFit) -> Iterator[_Spot]:
    hang = 0.0 if box.hung == "left" else 1.0
    close = 1.0 - hang
    inner = abs(close - min(0.12, 38.0 / box.w))
    reach = WIDE_HANDLES.get(fit.handle or "", 38.0)
    edge = abs(close - min(0.12 if reach < 40 else 0.3, reach / box.w))
    for index, up in enumerate(HINGE_PLACES[fit.hinges or 0]):
        yield _Spot(f"{HINGE_WORDS[fit.hinges or 0][index]} hinge".strip(), "hinge", hang, up, fit.hinge or "butt")
    if fit.handle != "none":
        word, kind, detail = pull_words(fit.handle or "knob")
        yield _Spot(word, kind, edge, 0.55, detail)
    if fit.escutcheon:
        yield _Spot("escutcheon", "escutcheon", inner, 0.55 - min(0.12, 90.0 / box.h))
    if fit.lock:
        yield _Spot("lock", "lock", abs(close - min(0.06, 18.0 / box.w)), 0.4, face="inside")
    if fit.catch:
        yield _Spot("catch", "catch", inner, 0.95, face="inside")
    for word, up in BOLTS[fit.bolts or 0]:
        yield _Spot(f"{word} bolt".strip(), "bolt", abs(close - min(0.05, 14.0 / box.w)), up, face="inside")


def _flap(box: Box, fit: DoorFit) -> Iterator[_Spot]:
    hang = 0.0 if box.hung == "bottom" else 1.0
    toward = 1.0 - 2 * hang
    count = fit.hinges or 0
    places = {0: (), 1: (0.5,), 2: (0.12, 0.88), 3: (0.12, 0.5, 0.88), 4: (0.1, 0.37, 0.63, 0.9)}[count]
    for index, across in enumerate(places):
        yield _Spot(_one_of("hinge", index, count), "hinge", across, hang, fit.hinge or "butt")
    if fit.handle != "none":
        word, kind, detail = pull_words(fit.handle or "knob")
        yield _Spot(word, kind, 0.5, hang + toward * 0.6, detail)
    if fit.escutcheon:
        yield _Spot("escutcheon", "escutcheon", 0.5, hang + toward * 0.84)
    if fit.lock:
        yield _Spot("lock", "lock", 0.5, hang + toward * 0.94, face="inside")
    if fit.catch:
        yield _Spot("catch", "catch", 0.3, hang + toward * 0.94, face="inside")
    for index in range(fit.bolts or 0):
        yield _Spot(
            _one_of("bolt", index, fit.bolts or 0), "bolt", (0.06, 0.94)[index], hang + toward * 0.9, face="inside"
        )


def _named(prefix: str, name: str) -> str:
    return f"{prefix}, {name}" if prefix else name


def _of_stand(front: Front, found: list[Box], prefix: str) -> Iterator[Position]:
    """Wheels and feet, front ones first. Legs and a plinth belong to the piece itself and have no position."""
    kind = "wheel" if front.base.kind == "wheels" or front.base.wheels else "foot"
    standing = [box for box in found if box.kind == kind]
    if not standing:
        return
    ahead = front_supports(front.base.count)
    places = {"front": [box.x + box.w / 2 for box in standing], "back": _behind(standing, front.base.count - ahead)}
    up = standing[0].y + standing[0].h / 2
    for side, line in places.items():
        for index, x in enumerate(line):
            name = " ".join(part for part in (side, across_word(index, len(line)), kind) if part)
            yield Position(0, "", _named(prefix, name), kind, "", x, up, side)


def _behind(standing: list[Box], count: int) -> list[float]:
    first, last = standing[0].x + standing[0].w / 2, standing[-1].x + standing[-1].w / 2
    if count == 1:
        return [(first + last) / 2]
    return [first + (last - first) * index / (count - 1) for index in range(count)]


def _of_chair(front: Front, found: list[Box], prefix: str) -> Iterator[Position]:
    if front.chair is None:
        return
    seat = next(box for box in found if box.kind == "seat")
    corners = ("front left", "front right", "back left", "back right")[: front.chair.brackets]
    for index, corner in enumerate(corners):
        across = (0.16, 0.84, 0.3, 0.7)[index]
        name = _named(prefix, f"{corner} corner bracket")
        x, y = seat.x + across * seat.w, seat.y - min(0.5 * seat.y, 25.0)
        yield Position(0, "", name, "bracket", "corner", x, y, "underneath", USUAL_SCREWS["bracket", "corner"])


def _of_extras(front: Front, prefix: str, left: float, width: float, height: float) -> Iterator[Position]:
    for index, extra in enumerate(front.fittings):
        x, y = (extra.x * width, extra.y * height) if extra.shares else (extra.x, extra.y)
        if x > width or y > height:
            raise BadInput(
                f"front.fittings[{index}] '{extra.name}' is at {x:g}, {y:g} mm.",
                f"It must lie on the piece: 0 to {width:g} across, 0 to {height:g} up.",
            )
        name = _named(prefix, extra.name)
        yield Position(0, "", name, extra.kind, extra.detail, x + left, y, extra.face, extra.screws)
