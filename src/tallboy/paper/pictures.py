"""Drawings and photographs as the papers take them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import isfinite
from typing import Any, Final

from tallboy.errors import BadFile, BadInput

SCALES: Final = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
"""Scales of reduction that drawings use, 1 : n (the series of ISO 5455, from memory)."""

STARTS: Final = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF")
"""How the files of a JPEG, PNG or WebP picture begin."""

LARGEST: Final = 250_000
"""Bytes of one photograph: papers show small ones."""

# The drawing names its lines by class; on a page the style sheet draws them, on paper this does, in ink only.
INK: Final = (
    "<style>"
    ".el-case,.el-line{stroke:#26211c}.el-dim path,.el-dim line,.el-dim{stroke:#6d6256}"
    "text.el-dim,.el-dim text{fill:#6d6256;stroke:none}"
    "text.el-pos,.el-pos text{fill:#26211c;stroke:none}"
    "text.el-pos-missing,.el-pos-missing text{fill:#9a3a24;stroke:none}"
    "</style>"
)


@dataclass(frozen=True)
class Drawing:
    """An elevation as SVG, what it shows in words, and the millimetres of the real thing that its edges span.

    The span is that of the whole picture, dimension lines included, so that the printed scale is true.
    A photograph with points on it is not to scale: `to_scale=False`, and only the shape of its span counts.
    """

    svg: str
    alt: str
    width_mm: float
    height_mm: float
    to_scale: bool = True


@dataclass(frozen=True)
class Photo:
    """A small photograph (JPEG, PNG or WebP) and what it shows in words."""

    data: bytes
    alt: str


def placed(drawing: Drawing, room_width: float, room_height: float) -> tuple[dict[str, Any], dict[str, bytes]]:
    """Size on paper [mm] and scale of a drawing in the room there is, and its picture by name."""
    spans = (drawing.width_mm, drawing.height_mm)
    if not all(isfinite(span) and span > 0 for span in spans):
        raise BadInput(f"A drawing cannot span {spans[0]} × {spans[1]} mm.", "Both must be more than 0 mm.")
    least = max(drawing.width_mm / room_width, drawing.height_mm / room_height)
    scale = next((n for n in SCALES if n >= least), None) if drawing.to_scale else None
    shrink = scale or least
    data = {
        "file": "drawing.svg",
        "alt": drawing.alt or "?",
        "width": drawing.width_mm / shrink,
        "height": drawing.height_mm / shrink,
        "scale": f"1 : {scale}" if scale else "",
    }
    return data, {"drawing.svg": _inked(drawing.svg)}


def _inked(svg: str) -> bytes:
    return re.sub(r"<svg\b[^>]*>", lambda start: start[0] + INK, svg, count=1).encode("utf-8", "replace")


def shown(photo: Photo, otherwise: str) -> dict[str, Any]:
    """A photograph as a template takes it; refuses what is no picture or no small one."""
    if not photo.data.startswith(STARTS):
        raise BadFile(f"The photograph “{photo.alt}” is not a picture.", "Give a JPEG, PNG or WebP picture.")
    if len(photo.data) > LARGEST:
        raise BadFile(f"The photograph “{photo.alt}” is too large for a paper.", f"Give at most {LARGEST} bytes.")
    return {"bytes": photo.data, "alt": photo.alt or otherwise}
