"""Writing SVG: elements with a class name and plain presentation attributes, every text escaped.

No style attribute, no style sheet and no script: a page with a strict content policy may hold the drawing, and can
restyle it by the class names (for a dark page, say), because any style sheet wins over a presentation attribute.
"""

from __future__ import annotations

import re
from html import escape

PAPER, SHEET, INK, SOFT, RULE, OXIDE = "#f7f2e8", "#fffdf8", "#26211c", "#6d6256", "#d9cfbd", "#9a3a24"
SERIF = "Palatino, 'Palatino Linotype', Georgia, 'Liberation Serif', serif"
SANS = "system-ui, 'Segoe UI', 'Liberation Sans', sans-serif"

Value = str | float | int | None
_UNPRINTABLE = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")

_LINE: dict[str, Value] = {"fill": "none", "stroke": INK, "stroke-linejoin": "round", "stroke-linecap": "round"}
_TEXT: dict[str, Value] = {"fill": INK, "font-family": SANS}
LOOKS: dict[str, dict[str, Value]] = {
    "el-sheet": {"fill": SHEET},
    "el-frame": {**_LINE, "stroke": RULE, "stroke-width": 0.3},
    "el-case": {**_LINE, "fill": SHEET, "stroke-width": 0.55},
    "el-line": {**_LINE, "stroke-width": 0.32},
    "el-front": {**_LINE, "fill": SHEET, "stroke-width": 0.32},
    "el-thin": {**_LINE, "stroke": SOFT, "stroke-width": 0.2},
    "el-open": {**_LINE, "fill": PAPER, "stroke-width": 0.32},
    "el-swing": {**_LINE, "stroke": SOFT, "stroke-width": 0.2, "stroke-dasharray": "2.2 1.3"},
    "el-fitting": {**_LINE, "fill": SHEET, "stroke-width": 0.28},
    "el-hidden": {**_LINE, "stroke-width": 0.24, "stroke-dasharray": "1 0.7"},
    "el-solid": {"fill": INK},
    "el-dim": {**_LINE, "stroke": SOFT, "stroke-width": 0.22},
    "el-dim-text": {**_TEXT, "fill": SOFT, "text-anchor": "middle"},
    "el-leader": {**_LINE, "stroke-width": 0.22},
    "el-leader-hidden": {**_LINE, "stroke-width": 0.22, "stroke-dasharray": "0.9 0.6"},
    "el-pos": {"fill": SHEET, "stroke": INK, "stroke-width": 0.36},
    "el-pos-off": {"fill": "none", "stroke": INK, "stroke-width": 0.26},
    "el-pos-back": {"fill": SHEET, "stroke": INK, "stroke-width": 1.1},
    "el-pos-missing": {"fill": SHEET, "stroke": OXIDE, "stroke-width": 0.5, "stroke-dasharray": "1.5 0.9"},
    "el-pos-empty": {
        "fill": SHEET,
        "stroke": SOFT,
        "stroke-width": 0.45,
        "stroke-linecap": "round",
        "stroke-dasharray": "0.01 1",
    },
    "el-num": {"fill": INK, "font-family": SERIF, "font-weight": 600, "text-anchor": "middle"},
    "el-num-missing": {"fill": OXIDE, "font-family": SERIF, "font-weight": 600, "text-anchor": "middle"},
    "el-num-empty": {"fill": SOFT, "font-family": SERIF, "font-weight": 600, "text-anchor": "middle"},
    "el-hit": {"fill": SHEET, "fill-opacity": 0},
    "el-block": {**_LINE, "stroke-width": 0.36},
    "el-label": {**_TEXT, "fill": SOFT},
    "el-title": {"fill": INK, "font-family": SERIF, "font-weight": 600},
    "el-value": {"fill": INK, "font-family": SERIF},
}
"""What each class looks like where no page says otherwise. Lines in millimetres of paper."""


def clean(text: str) -> str:
    """A text that can stand in an SVG: escaped, without characters that XML does not know."""
    return escape(_UNPRINTABLE.sub("", text), quote=True)


def number(value: float) -> str:
    """A number with at most two decimals: "12.5", "3", "0"."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def attributes(given: dict[str, Value]) -> str:
    """Attributes of an element, each after a blank; those that are None left out."""
    parts = []
    for key, value in given.items():
        if value is not None:
            text = number(value) if isinstance(value, float | int) else clean(value)
            parts.append(f' {key}="{text}"')
    return "".join(parts)


def shape(name: str, look: str, **where: Value) -> str:
    """One drawn element of a class, with its own place: shape("rect", "el-line", x=1, y=2, width=3, height=4)."""
    places = {key.replace("_", "-"): value for key, value in where.items()}
    return f"<{name}{attributes({'class': look, **LOOKS[look], **places})}/>"


def path(look: str, d: str) -> str:
    """A path of a class."""
    return shape("path", look, d=d)


def text(look: str, words: str, **where: Value) -> str:
    """A line of text of a class."""
    places = {key.replace("_", "-"): value for key, value in where.items()}
    return f"<text{attributes({'class': look, **LOOKS[look], **places})}>{clean(words)}</text>"


def group(look: str, inner: str) -> str:
    """A group with a class name only, for a page to find."""
    return f'<g class="{look}">{inner}</g>'


def points(*pairs: tuple[float, float], close: bool = False) -> str:
    """The d of a path through points."""
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in pairs) + ("Z" if close else "")


def text_width(words: str, size: float, serif: bool = False) -> float:
    """About how wide a line of text is [the unit of size]; own estimate from common faces, on the safe side."""
    narrow = sum(1 for sign in words if sign in " .,:;'|!ijlt()[]/")
    return size * (0.86 if serif else 1.0) * (0.63 * (len(words) - narrow) + 0.36 * narrow)
