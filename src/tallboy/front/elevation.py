"""The elevation drawing of a front: to scale, dimensioned, with numbered positions and a title block, as SVG.

The viewBox is in millimetres of paper and the width and height are given in mm, so printed at 100 % it is true to its
scale. There is no style attribute, style sheet or script in it. A page may restyle it by class, e.g. for the dark:
el-sheet, el-case, el-front, el-open (filled); el-line, el-thin, el-swing, el-dim, el-leader, el-block (lines);
el-pos, el-pos-off, el-pos-back, el-pos-missing, el-pos-empty (circles); el-num…, el-dim-text, el-label, el-title,
el-value (text). The whole has the class "el".
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from tallboy.errors import BadInput
from tallboy.front.callouts import Callout, Mark, hit_radius, place
from tallboy.front.carcass import woodwork
from tallboy.front.dimensions import dimensions
from tallboy.front.glyphs import glyph, glyph_rect, glyph_size, state_circle
from tallboy.front.kinds import Front
from tallboy.front.layout import Box, boxes, check_size, extent
from tallboy.front.positions import Position
from tallboy.front.reading import listed
from tallboy.front.svg import attributes, clean, group, path, points, shape, text
from tallboy.front.title import BLOCK_HEIGHT, KEY_HEIGHT, TitleBlock, Words, key_line, title_block
from tallboy.front.view import SCALES, Rect, View

__all__ = ["PAPERS", "STATES", "Elevation", "TitleBlock", "Words", "elevation"]

STATES = ("on", "off", "missing", "back", "empty")
PAPERS = {"a4": (180.0, 250.0), "us-letter": (186.0, 232.0)}
SIDE, CHAIN, ABOVE, BELOW = 19.0, 21.0, 10.0, 24.0
NARROWEST = 112.0
PHONE_WIDTH, TOUCH = 360.0, 44.0


@dataclass(frozen=True, slots=True)
class Elevation:
    """A drawing: the SVG, its scale as 1 : `scale`, and its size on paper [mm]."""

    svg: str
    scale: int
    width_mm: float
    height_mm: float

    def __str__(self) -> str:
        return self.svg


@dataclass(frozen=True, slots=True)
class _Sheet:
    """The paper: its width, the view of the piece on it, and where the parts of the drawing lie."""

    width: float
    view: View
    piece: Rect
    key_top: float
    block_top: float
    height: float
    callouts: Rect = field(default=Rect(0, 0, 0, 0))


def elevation(
    front: Front,
    width: float,
    height: float,
    depth: float,
    positions: Sequence[Position],
    *,
    states: Mapping[str, str] | None = None,
    title: TitleBlock,
    links: Mapping[str, str] | None = None,
    units: str = "metric",
    paper: tuple[float, float] = PAPERS["a4"],
    words: Words | None = None,
) -> Elevation:
    """Draw a front for a piece of a size [mm] at the largest usual scale that fits on the paper [mm].

    `states` gives the state of positions by code (on, off, missing, back, empty; "on" where none is given); it is
    shown by the pattern of the circle. With `links` (code to URL) each circle becomes a link with its name.
    Raises BadInput for an unknown state, OutOfRange for a size outside 10 to 6000 mm.
    """
    states, words = dict(states or {}), words or Words()
    _check_states(states)
    check_size("depth", depth)
    found = boxes(front, width, height)
    keyed = [state for state in STATES if state in states.values()] if set(states.values()) - {"on"} else []
    sheet = _sheet(front, width, height, paper, bool(keyed))
    parts = [
        shape("rect", "el-sheet", x=0, y=0, width=sheet.width, height=sheet.height),
        shape("rect", "el-frame", x=0.15, y=0.15, width=sheet.width - 0.3, height=sheet.height - 0.3),
        _floor(sheet),
        group("el-woodwork", woodwork(front, found, sheet.view)),
        group("el-dims", dimensions(found, (width, height), sheet.view, sheet.width, units)),
        _positions(positions, found, sheet, states=states, links=links or {}, words=words),
        key_line(keyed, words, sheet.width, sheet.key_top) if keyed else "",
        title_block(
            title,
            words,
            (width, height, depth),
            units=units,
            scale=sheet.view.scale,
            width=sheet.width,
            top=sheet.block_top,
        ),
    ]
    said = words.whole.format(piece=title.piece, count=len(positions))
    svg = _wrapped("".join(parts), sheet, said, bool(links))
    return Elevation(svg, sheet.view.scale, sheet.width, sheet.height)


def _check_states(states: Mapping[str, str]) -> None:
    for code, state in states.items():
        if state not in STATES:
            raise BadInput(f"The state of '{code}' is '{state}'.", f"It must be {listed(STATES)}.")


def _sheet(front: Front, width: float, height: float, paper: tuple[float, float], keyed: bool) -> _Sheet:
    """The largest usual scale at which the drawing with its margins fits the paper; the smallest if none does."""
    whole, tall = extent(front, width, height)
    chained = len(front.rows) > 1 or front.upper is not None
    left = CHAIN if chained else SIDE
    for scale in SCALES:
        across = max(NARROWEST, whole / scale + left + SIDE)
        key, block = across * KEY_HEIGHT if keyed else 0.0, across * BLOCK_HEIGHT
        high = tall / scale + ABOVE + BELOW + key + block
        if (across <= paper[0] and high <= paper[1]) or scale == SCALES[-1]:
            break
    spare = across - (whole / scale + left + SIDE)
    view = View(scale, left + spare / 2, ABOVE + tall / scale)
    piece = Rect(view.left, ABOVE, whole / scale, tall / scale)
    room = Rect(piece.x - 10.5, 0.8, piece.w + 21.0, ABOVE + piece.h + 10.5)
    return _Sheet(across, view, piece, view.floor + BELOW, view.floor + BELOW + key, high, room)


def _floor(sheet: _Sheet) -> str:
    left, right = sheet.piece.x - 8, sheet.piece.right + 8
    return path("el-thin", points((left, sheet.view.floor), (right, sheet.view.floor)))


def _home(position: Position, found: tuple[Box, ...]) -> Box | None:
    """The smallest part that a position lies on."""
    kinds = {"wheel": ("wheel",), "foot": ("foot",)}.get(
        position.kind, ("drawer", "door", "flap", "panel", "top", "seat")
    )
    holding = [
        box
        for box in found
        if box.kind in kinds
        and box.x - 0.5 <= position.x_mm <= box.right + 0.5
        and box.y - 0.5 <= position.y_mm <= box.top + 0.5
    ]
    named = [box for box in holding if box.name and position.name.startswith(f"{box.name},")]
    return min(named or holding, key=lambda box: box.w * box.h, default=None)


def _positions(
    positions: Sequence[Position],
    found: tuple[Box, ...],
    sheet: _Sheet,
    *,
    states: Mapping[str, str],
    links: Mapping[str, str],
    words: Words,
) -> str:
    homes = [_home(one, found) for one in positions]
    sizes = [glyph_size(one, home) for one, home in zip(positions, homes, strict=True)]
    drawn = zip(positions, sizes, homes, strict=True)
    fittings = "".join(glyph(one, size, home, sheet.view) for one, size, home in drawn)
    marks = [
        Mark(glyph_rect(one, size, sheet.view), sheet.view.rect(home) if home and home.kind != "wheel" else None)
        for one, size, home in zip(positions, sizes, homes, strict=True)
    ]
    placed = place(marks, sheet.callouts, sheet.width)
    leaders = "".join(_leader(one, at) for one, at in zip(positions, placed, strict=True))
    circles = []
    for index, (one, at) in enumerate(zip(positions, placed, strict=True)):
        state, link = states.get(one.code, "on"), links.get(one.code)
        touch = hit_radius(index, placed, TOUCH / 2 * sheet.width / PHONE_WIDTH) if link else 0.0
        circles.append(_circle(one, at, state, link=link, touch=touch, words=words))
    return group("el-fittings", fittings) + group("el-leaders", leaders) + group("el-positions", "".join(circles))


def _leader(one: Position, at: Callout) -> str:
    look = "el-leader" if one.face == "front" else "el-leader-hidden"
    return path(look, points((at.to_x, at.to_y), (at.x, at.y)))


def _circle(one: Position, at: Callout, state: str, *, link: str | None, touch: float, words: Words) -> str:
    """A numbered circle; its title says the name and, where it is not on, the state."""
    said = one.name if state == "on" else f"{one.name}, {words.states[state]}"
    inner = f"<title>{clean(f'{one.number}: {said}')}</title>" + state_circle(state, at.x, at.y, at.r)
    digits = len(str(one.number))
    size = at.r * (1.25 if digits < 3 else 0.92)
    look = {"missing": "el-num-missing", "empty": "el-num-empty"}.get(state, "el-num")
    inner += text(look, str(one.number), x=at.x, y=at.y + 0.36 * size, font_size=size)
    if not link:
        return f"<g{attributes({'class': f'el-position el-is-{state}', 'data-code': one.code})}>{inner}</g>"
    hit = shape("circle", "el-hit", cx=at.x, cy=at.y, r=touch)
    given = {
        "class": f"el-position el-is-{state}",
        "data-code": one.code,
        "href": link,
        "aria-label": f"{one.number}: {said}",
    }
    return f"<a{attributes({**given})}>{inner}{hit}</a>"


def _wrapped(inner: str, sheet: _Sheet, said: str, linked: bool) -> str:
    """The svg element: an image with a label, or a group of links with a label."""
    given = {
        "xmlns": "http://www.w3.org/2000/svg",
        "class": "el",
        "role": "group" if linked else "img",
        "aria-label": said,
        "width": f"{sheet.width:.2f}mm",
        "height": f"{sheet.height:.2f}mm",
        "viewBox": f"0 0 {sheet.width:.2f} {sheet.height:.2f}",
    }
    return f"<svg{attributes({**given})}>{inner}</svg>"
