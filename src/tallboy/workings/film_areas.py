"""Areas of a box-shaped piece, a turned leg and a moulding, as they are asked at the bench."""

from __future__ import annotations

from itertools import pairwise

from tallboy.errors import BadInput
from tallboy.sums.areas import DRAWER_SIDE_MM, drawer_areas, surface_areas
from tallboy.sums.turned import girth_area, mean_girth, profile_girth, turned_area
from tallboy.workings.kinds import Answer, Asked, Curve, Given, Got, Lead, Plot, Working
from tallboy.workings.telling import about, rounded, said

OFF = 0.1
DRAWER_SHORTER_MM = 30.0
TAPE_OFF = 0.03
MOST_LINES = 12
SIZE_WORDS = "Width = height, from the front."


def _box(given: Given) -> Answer:
    width, height, depth = (given.number(name) for name in ("width", "height", "depth"))
    drawers, doors, bays = ([(a, b) for a, b in given.pairs(name)] for name in ("drawers", "doors", "open_bays"))
    areas = surface_areas(
        width, height, depth, drawers=drawers, doors=doors, open_bays=bays,
        legs=given.whole("legs"), leg_height_mm=given.number("leg_height") if given.whole("legs") else 0.0,
    )  # fmt: skip
    areas |= _drawer_groups(drawers, depth)
    groups = {name: area for name, area in areas.items() if area > 0}
    total = sum(groups.values())
    return Answer(
        results=(
            Got("total", "All of it", total, "m²", total * (1 - OFF), total * (1 + OFF)),
            *(Got(name.replace(" ", "_"), _sentence(name), area, "m²", digits=3) for name, area in groups.items()),
        ),
        working=(*_box_lines(width, height, depth, given, areas), *_drawer_lines(drawers, depth)),
        sources=("definition", "common-practice"),
        leads=(Lead("litres", {"area": f"{total:.3g} m²", "area_off": f"{100 * OFF:.0f} %"}),),
        says=f"It has about {about(given, total, 'm²')} in all, a tenth more or less; leave out what gets no coat.",
        limits=(
            "A plain box: mouldings and turnings are sums of their own, and the underside is left out.",
            "Doors are taken as 20 mm thick, legs as 45 mm square, drawer sides as 10 mm.",
            "The insides of two doors before one room count the wall between them that is not there.",
        ),
    )


def _sentence(name: str) -> str:
    return name[:1].upper() + name[1:]


def _drawer_groups(drawers: list[tuple[float, float]], depth: float) -> dict[str, float]:
    """Insides and outsides of the drawers; a drawer that is too small for its sides is counted by its front alone."""
    found = [
        drawer_areas(width, height, max(depth - DRAWER_SHORTER_MM, 10.0))
        for width, height in drawers
        if width >= 4 * DRAWER_SIDE_MM and height >= 5
    ]
    inside = sum(one.inside + one.edges for one in found)
    return {"drawers inside": inside, "drawers outside": sum(one.outside for one in found)}


def _box_lines(width: float, height: float, depth: float, given: Given, areas: dict[str, float]) -> tuple[str, ...]:
    legs, leg = given.whole("legs"), given.number("leg_height")
    body = height - leg if legs else height
    sums = {
        "top": f"{width:g} × {depth:g}",
        "sides": f"2 × {depth:g} × {body:g}",
        "front frame": f"{width:g} × {body:g} less drawers, doors and open bays",
        "drawer fronts": "width × height of each",
        "doors": "two faces and four edges of 20 of each",
        "inside": f"five faces behind each door and in each bay, {depth:g} deep",
        "back": f"{width:g} × {body:g}",
        "legs": f"{legs} × 4 × 45 × {leg:g}",
    }
    less = f" - {leg:g}" if legs else ""
    return (
        f"height of the body = {height:g}{less} = {body:g} mm",
        *(f"{name} = {how} = {rounded(areas[name])} m²" for name, how in sums.items() if areas[name] > 0),
    )


def _drawer_lines(drawers: list[tuple[float, float]], depth: float) -> tuple[str, ...]:
    if not drawers:
        return ()
    return (
        f"drawers: {max(depth - DRAWER_SHORTER_MM, 10.0):g} mm deep, sides of {DRAWER_SIDE_MM:g} mm as high as the front: inside the bottom, four faces and the upper edges; "
        "outside the sides, the back and the underside",
    )  # fmt: skip


def _turned(given: Given) -> Answer:
    profile, count = [(place, d) for place, d in given.pairs("profile")], given.whole("count")
    one = turned_area(profile)
    length, girth = profile[-1][0] - profile[0][0], _girth(profile)
    if length <= 0:
        raise BadInput("The turning has no length.", "Give places along it, from one end to the other.")
    by_girth = girth_area(girth, length)
    return Answer(
        results=(
            Got("all", "All of them", one * count, "m²", one * count * (1 - TAPE_OFF), one * count * (1 + TAPE_OFF)),
            Got("one", "One", one, "m²"),
            Got("by_girth", "One by mean girth × length", by_girth, "m²"),
            Got("girth", "Mean girth", girth, "mm"),
        ),
        working=(
            *_cone_lines(profile),
            f"sum = {rounded(one * 1e6)} mm² = {rounded(one)} m²; × {count} = {rounded(one * count)} m²",
            f"by girth: {rounded(girth)} × {rounded(length)} mm = {rounded(by_girth)} m², which leaves the slopes out",
        ),
        sources=("definition",),
        leads=(Lead("litres", {"area": f"{one * count:.3g} m²"}),),
        says=f"{_so_many(count)} about {about(given, one * count, 'm²')}; mean girth times length is {_short(one, by_girth)}.",
        limits=(
            "Straight between the points: give a bead or a hollow at least nine of them, or take its girth with a tape.",
            "The ends are not in it.",
        ),
        plots=(_outline(given, profile),),
    )


def _so_many(count: int) -> str:
    return "It has" if count == 1 else f"All {count} together have"


def _girth(profile: list[tuple[float, float]]) -> float:
    """Mean girth over the length, each stretch weighing as much as it is long."""
    length = profile[-1][0] - profile[0][0]
    if length <= 0:
        return mean_girth([diameter for _place, diameter in profile])
    parts = [(b - a) / length * mean_girth([d, e]) for (a, d), (b, e) in pairwise(profile)]
    return sum(parts)


def _cone_lines(profile: list[tuple[float, float]]) -> list[str]:
    cones = [_cone_line(start, end) for start, end in list(pairwise(profile))[:MOST_LINES]]
    more = len(profile) - 1 - len(cones)
    return [*cones, f"and {more} more in the same way"] if more else cones


def _cone_line(start: tuple[float, float], end: tuple[float, float]) -> str:
    area = turned_area([start, end]) * 1e6
    return (
        f"{start[0]:g} to {end[0]:g} mm, Ø {start[1]:g} to {end[1]:g}: π (d1 + d2) / 2 × √(l² + ((d2 - d1) / 2)²)"
        f" = {rounded(area)} mm²"
    )


def _short(one: float, by_girth: float) -> str:
    short = 100 * (1 - by_girth / one) if one else 0.0
    return "the same" if short < 0.5 else f"{short:.0f} % short of that"


def _outline(given: Given, profile: list[tuple[float, float]]) -> Plot:
    x = tuple(place for place, _d in profile)
    upper = tuple(d / 2 for _place, d in profile)
    return Plot(
        "The turning", "Along it", "mm", "From its middle", "mm",
        (Curve("outline", x, upper), Curve("other side", x, tuple(-r for r in upper))),
        says=f"Its outline, from {said(given, min(d for _p, d in profile), 'mm', None)} to {said(given, max(d for _p, d in profile), 'mm', None)} thick.", square=True,
    )  # fmt: skip


def _moulding(given: Given) -> Answer:
    run, outline = given.number("run"), [(a, b) for a, b in given.pairs("outline")]
    if outline and given.has("girth"):
        raise BadInput("Give the girth or the outline, not both.", "The outline gives the girth.")
    if not outline and not given.has("girth"):
        raise BadInput("Girth or outline is missing.", "Press a strip of paper into the moulding and measure it flat.")
    girth = profile_girth(outline) if outline else given.number("girth")
    area = girth_area(girth, run)
    first = f"girth = {len(outline) - 1} distances from point to point = {rounded(girth)} mm" if outline else ""
    return Answer(
        results=(
            Got("area", "Area", area, "m²", area * (1 - TAPE_OFF), area * (1 + TAPE_OFF)),
            Got("girth", "Girth", girth, "mm"),
        ),
        working=tuple(filter(None, (first, f"area = girth × run = {rounded(girth)} × {rounded(run)} mm = {rounded(area)} m²"))),
        sources=("definition",),
        leads=(Lead("litres", {"area": f"{area:.3g} m²"}),),
        says=f"There are about {about(given, area, 'm²')} of moulding.",
        limits=("The back of it, and the wood it covers, are not taken off anywhere.", "Carving has more than its girth says."),
    )  # fmt: skip


SUMS = (
    Working(
        name="areas",
        family="film",
        title="Areas of a piece",
        asks="How large are the surfaces of a box-shaped piece?",
        inputs=(
            Asked("width", "Width", "mm", 10, 6000),
            Asked("height", "Height", "mm", 10, 6000),
            Asked("depth", "Depth", "mm", 10, 6000),
            Asked("drawers", "Drawer fronts", kind="pairs", units=("mm", "mm"), needed=False, help=SIZE_WORDS),
            Asked("doors", "Doors", kind="pairs", units=("mm", "mm"), needed=False, help=SIZE_WORDS),
            Asked("open_bays", "Open bays", kind="pairs", units=("mm", "mm"), needed=False, help=SIZE_WORDS),
            Asked("legs", "Legs", "", 0, 20, 0, kind="whole"),
            Asked("leg_height", "Height of the legs", "mm", 0, 3000, 0.0),
        ),
        work=_box,
        example={
            "width": "1000 mm", "height": "900 mm", "depth": "400 mm", "drawers": "450 mm = 150 mm; 450 mm = 150 mm",
            "doors": "450 mm = 500 mm; 450 mm = 500 mm", "legs": "4", "leg_height": "100 mm",
        },
    ),
    Working(
        name="turned-leg",
        family="film",
        title="Area of a turning",
        asks="How large is the surface of a turned leg?",
        inputs=(
            Asked(
                "profile", "Place along it and diameter there", kind="pairs", units=("mm", "mm"),
                help="From one end to the other; the same place twice is a shoulder.",
            ),
            Asked("count", "How many", "", 1, 100, 4, kind="whole"),
        ),
        work=_turned,
        example={
            "profile": "0 = 45; 60 = 45; 60 = 30; 80 = 52; 100 = 30; 340 = 48; 600 = 26; 640 = 40; 690 = 20",
            "count": "4",
        },
    ),
    Working(
        name="moulding",
        family="film",
        title="Area of a moulding",
        asks="How large is the surface of a moulding?",
        inputs=(
            Asked("run", "Run, all lengths together", "mm", 0, 1_000_000),
            Asked("girth", "Girth", "mm", 0, 4000, needed=False, help="A strip of paper pressed into it, measured flat."),
            Asked(
                "outline", "Or points on its outline", kind="pairs", units=("mm", "mm"), needed=False,
                help="Across = up, in order.",
            ),
        ),
        work=_moulding,
        example={"run": "2.4 m", "girth": "62 mm"},
    ),
)  # fmt: skip
