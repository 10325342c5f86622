"""How large the surfaces of a piece are, group by group, from its front, its size and how such pieces are built.

The boxes are those of the drawing (`layout.py`), so every drawer and door counts with its real size. Each group keeps the
patches it is made of, for who wants to see how it came about.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from tallboy.front.areas_chair import chair_patches
from tallboy.front.areas_kinds import Construction, Found, Patch, flat, solid
from tallboy.front.kinds import Front, Open
from tallboy.front.layout import Box, boxes, check_size
from tallboy.sums.areas import MM2_PER_M2, board_area, drawer_areas
from tallboy.sums.turned import girth_area, mean_girth

__all__ = ["Construction", "Group", "Moulding", "Patch", "PieceAreas", "Turning", "piece_areas", "surface_groups"]

OFF, MORE_OFF = 0.1, 0.2
"""How far the sum may be out: a case or a table, and what is mostly sticks (own judgement, no source)."""
SURFACE_OF = {"shelves": "inside", "trays": "top", "drawers inside": "", "drawers outside": "", "mouldings": "", "turnings": ""}  # fmt: skip
"""Groups that count as another, or as none, where a piece's surfaces are kept; every other counts as itself."""
USUAL = Construction()
BAYS = ("drawer", "door", "flap", "open")


@dataclass(frozen=True, slots=True)
class Moulding:
    """A moulding: girth along its profile and run [mm]."""

    girth_mm: float
    run_mm: float


@dataclass(frozen=True, slots=True)
class Turning:
    """Turned legs or posts: mean girth and length of one [mm], and how many."""

    girth_mm: float
    length_mm: float
    count: int = 1


@dataclass(frozen=True, slots=True)
class Group:
    """Surfaces that go together, such as "drawer fronts", with the patches they are made of."""

    name: str
    patches: tuple[Patch, ...]

    @property
    def area_m2(self) -> float:
        """Area of all its patches [m²]."""
        return sum(patch.area_m2 for patch in self.patches)


@dataclass(frozen=True, slots=True)
class PieceAreas:
    """The groups of a piece, all copies together; how far their sum may be out [1]; what is not in them, and what was taken for granted."""

    groups: tuple[Group, ...]
    spread: float
    not_in_it: tuple[str, ...]
    taken: tuple[str, ...]

    def total_m2(self, names: Sequence[str]) -> float:
        """Area of the groups with these names [m²]."""
        return sum(group.area_m2 for group in self.groups if group.name in names)


def piece_areas(
    front: Front | None,
    width_mm: float,
    height_mm: float,
    depth_mm: float,
    *,
    construction: Construction = USUAL,
    mouldings: Sequence[Moulding] = (),
    turnings: Sequence[Turning] = (),
) -> PieceAreas:
    """The surfaces of a piece. Sizes [mm] are those overall, of one copy; without a front it is a plain case.

    Raises OutOfRange for a size that no furniture has, BadInput when the parts do not fit into it.
    """
    for name, size in (("width", width_mm), ("height", height_mm), ("depth", depth_mm)):
        check_size(name, size)
    copies = 1 if front is None else front.copies
    found = (
        _plain(width_mm, height_mm, depth_mm)
        if front is None
        else _built(front, width_mm, height_mm, depth_mm, construction)
    )
    groups = _grouped(found, copies)
    groups += _extra_groups(mouldings, turnings)
    sticks = front is not None and front.outline in ("chair", "trolley")
    names = {group.name for group in groups}
    return PieceAreas(
        tuple(groups), MORE_OFF if sticks else OFF, _left_out(front, names), _taken(front, names, construction)
    )  # fmt: skip


def surface_groups(front: Front | None, width_mm: float, height_mm: float, depth_mm: float) -> dict[str, float]:
    """Area [m²] of each group of surfaces that routes speak of, all copies together; 0 for a group that the piece has not."""
    found = piece_areas(front, width_mm, height_mm, depth_mm)
    out = dict.fromkeys(("top", "sides", "front frame", "drawer fronts", "doors", "inside", "back", "legs"), 0.0)
    for group in found.groups:
        name = SURFACE_OF.get(group.name, group.name)
        if name:
            out[name] += group.area_m2
    return out


def _grouped(found: Found, copies: int) -> list[Group]:
    """Patches by their group, in the order of first meeting; those of no size left out."""
    by_name: dict[str, list[Patch]] = {}
    for name, patch in found:
        if patch.area_m2 > 0:
            times, area = patch.times * copies, patch.area_m2 * copies
            by_name.setdefault(name, []).append(replace(patch, times=times, area_m2=area))
    return [Group(name, tuple(patches)) for name, patches in by_name.items()]


def _extra_groups(mouldings: Sequence[Moulding], turnings: Sequence[Turning]) -> list[Group]:
    out = []
    if mouldings:
        out.append(Group("mouldings", tuple(
            Patch("moulding", "girth by run", (one.girth_mm, one.run_mm), 1, girth_area(one.girth_mm, one.run_mm)) for one in mouldings
        )))  # fmt: skip
    if turnings:
        out.append(Group("turnings", tuple(
            Patch("turning", "girth by length", (one.girth_mm, one.length_mm), one.count, one.count * girth_area(one.girth_mm, one.length_mm))
            for one in turnings
        )))  # fmt: skip
    return out


def _left_out(front: Front | None, names: set[str]) -> tuple[str, ...]:
    """What a piece with these groups may have beside them."""
    out = [name for name in ("mouldings", "turnings") if name not in names] + ["carving"]
    if front is None:
        return (*out, "the underside", "whatever is inside")
    if front.outline != "chair":
        out.append("the underside")
    if "doors" in names:
        out += ["shelves behind doors", "raised fields of panels"]
    if "drawer fronts" in names:
        out.append("the case behind drawers")
    return tuple(out)


def _taken(front: Front | None, names: set[str], how: Construction) -> tuple[str, ...]:
    """What the front does not say and was taken as usual."""
    if front is None:
        return ("a plain case",)
    if front.outline == "chair":
        return ("the seat as wood on both faces", "sticks as square as they are drawn")
    out = ["legs and feet as thick as they are drawn"] if "legs" in names else []
    if "doors" in names:
        out.append(f"doors {how.door_mm:g} mm thick")
    if "drawers inside" in names:
        out.append(f"drawer sides {how.drawer_side_mm:g} mm thick and as high as the front")
    if front.upper:
        out.append("the upper part as deep as the lower")
    return tuple(out)


def _plain(width: float, height: float, depth: float) -> Found:
    yield "top", flat("top", width, depth)
    yield "sides", flat("sides", depth, height, 2)
    yield "front frame", flat("front", width, height)
    yield "back", flat("back", width, height)


def _built(front: Front, width: float, height: float, depth: float, how: Construction) -> Found:
    if front.outline == "chair":
        return chair_patches(front, width, height, depth)
    found = boxes(replace(front, copies=1), width, height)
    body = depth - (0.0 if front.outline == "trolley" else min(front.top.overhang, depth / 2))
    if front.outline == "trolley":
        return _trolley(front, found, width, body, how)
    return _case_or_table(front, found, depth, body, how)


def _case_or_table(front: Front, found: tuple[Box, ...], depth: float, body: float, how: Construction) -> Found:
    yield from _tops(found, depth, body)
    for shell in _kind(found, "case", "apron", "plinth"):
        yield "sides", flat(shell.kind, body, shell.h, 2)
    yield from _front_frame(found)
    yield from _bays(found, body, how)
    for shell in _kind(found, "case", "apron"):
        yield "back", flat("back", shell.w, shell.h)
    yield from _legs(front, found)


def _tops(found: tuple[Box, ...], depth: float, body: float) -> Found:
    """Upper face of each top board with its edges in front and at both sides; of a case without one, that of the case."""
    boards = _kind(found, "top")
    for board in boards:
        area = board_area(board.w, depth, board.h, faces=1, long_edges=1, short_edges=2)
        yield "top", solid(board.name, "one face, three edges", (board.w, depth, board.h), area)
    if not boards:
        shell = _kind(found, "case", "apron")[0]
        yield "top", flat("top", shell.w, body)


def _front_frame(found: tuple[Box, ...]) -> Found:
    """What is left of the face between drawers, doors and bays; fixed panels belong to it."""
    for shell in _kind(found, "case", "apron", "plinth"):
        taken = sum(_overlap(shell, bay) for bay in _kind(found, *BAYS))
        area = max(shell.w * shell.h - taken, 0.0) / MM2_PER_M2
        yield "front frame", solid(shell.kind, "less drawers, doors and bays", (shell.w, shell.h), area)


def _overlap(one: Box, other: Box) -> float:
    """Area that two boxes share [mm²]."""
    across = min(one.right, other.right) - max(one.x, other.x)
    up = min(one.top, other.top) - max(one.y, other.y)
    return max(across, 0.0) * max(up, 0.0)


def _bays(found: tuple[Box, ...], body: float, how: Construction) -> Found:
    for drawer in _kind(found, "drawer"):
        yield "drawer fronts", flat(drawer.name, drawer.w, drawer.h)
    for leaf in _kind(found, "door", "flap"):
        area = board_area(leaf.w, leaf.h, how.door_mm)
        yield "doors", solid(leaf.name, "both faces, four edges", (leaf.w, leaf.h, how.door_mm), area)
    for room in _rooms(found):
        area = (room.w * room.h + 2 * (room.w + room.h) * body) / MM2_PER_M2
        yield "inside", solid(room.name, "five faces", (room.w, room.h, body), area)
    for bay in _kind(found, "open"):
        yield from _shelves(bay, body, how)
    for drawer in _kind(found, "drawer"):
        yield from _drawer_parts(drawer, body, how)


def _shelves(bay: Box, body: float, how: Construction) -> Found:
    count = bay.bay.shelves if isinstance(bay.bay, Open) else 0
    if count:
        one = board_area(bay.w, body, how.shelf_mm, long_edges=1, short_edges=0)
        yield "shelves", solid(bay.name, "two faces, one edge", (bay.w, body, how.shelf_mm), one * count, count)


def _drawer_parts(drawer: Box, body: float, how: Construction) -> Found:
    """Front's back, sides, back and bottom; a drawer too small for its sides is counted by its front alone."""
    deep = max(body - how.drawer_shorter_mm, 10.0)
    if drawer.w < 4 * how.drawer_side_mm or drawer.h < 5 or drawer.w < 10:
        return
    parts = drawer_areas(drawer.w, drawer.h, deep, side_mm=how.drawer_side_mm)
    size = (drawer.w, drawer.h, deep)
    yield "drawers inside", solid(drawer.name, "bottom, four sides, upper edges", size, parts.inside + parts.edges)
    yield "drawers outside", solid(drawer.name, "sides, back, underside", size, parts.outside)


def _rooms(found: tuple[Box, ...]) -> Iterator[Box]:
    """The rooms behind doors, falls and in open bays; a pair of doors closes one room."""
    for box in _kind(found, "door", "flap", "open"):
        if box.path.endswith(".right"):
            continue
        if box.path.endswith(".left"):
            yield replace(box, w=2 * box.w, name=_room_name(box, found))
        else:
            yield box


def _room_name(left: Box, found: tuple[Box, ...]) -> str:
    right = next(box for box in found if box.path == f"{left.path.removesuffix('.left')}.right")
    return f"{left.name}, {right.name}"


def _legs(front: Front, found: tuple[Box, ...]) -> Found:
    """Square legs on four sides, feet as turned ones; where an apron meets a leg, two of its sides are covered."""
    for leg in _kind(found, "leg")[:1]:
        apron = max((box.h for box in _kind(found, "apron")), default=0.0)
        area = (4 * leg.w * leg.h - 2 * leg.w * min(apron, leg.h)) / MM2_PER_M2
        size = (leg.w, leg.w, leg.h)
        yield "legs", solid("leg", "four sides", size, area * front.base.count, front.base.count)
    for foot in _kind(found, "foot")[:1]:
        girth = mean_girth([foot.w])
        area = girth_area(girth, foot.h) * front.base.count
        yield "legs", solid("foot", "girth by length", (girth, foot.h), area, front.base.count)


def _trolley(front: Front, found: tuple[Box, ...], width: float, body: float, how: Construction) -> Found:
    """Boards on posts: both faces of each tray; a row with a drawer or a door has sides and a back as well."""
    for board in _kind(found, "top"):
        yield "top", solid("top", "two faces, four edges", (board.w, body, board.h), board_area(board.w, body, board.h))
    case = _kind(found, "case")[0]
    trays, thick = len(front.rows), front.frame
    yield "trays", solid("tray", "two faces, four edges", (case.w, body, thick), board_area(case.w, body, thick) * trays, trays)  # fmt: skip
    posts, post = max(front.base.count, 4), _kind(found, "upright")[0]
    yield "legs", solid("post", "four sides", (post.w, post.w, post.h), 4 * post.w * post.h * posts / MM2_PER_M2, posts)
    for row in range(len(front.rows)):
        line = [box for box in found if box.path.startswith(f"front.rows[{row}].")]
        if any(box.kind != "open" for box in line):
            tall = max(box.h for box in line)
            yield "sides", flat("box", body, tall, 2)
            yield "back", flat("box", case.w, tall)
    closed = tuple(box for box in found if box.kind != "open")
    yield from _bays(closed, body, how)


def _kind(found: tuple[Box, ...], *kinds: str) -> list[Box]:
    return [box for box in found if box.kind in kinds]
