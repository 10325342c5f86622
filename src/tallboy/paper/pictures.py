"""Drawings and photographs as the papers take them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import isfinite
from typing import Any, Final

from tallboy.errors import BadFile, BadInput

STARTS: Final = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF")
"""How the files of a JPEG, PNG or WebP picture begin."""

LARGEST: Final = 250_000
"""Bytes of one photograph: papers show small ones."""

# On paper a drawing takes the type of the papers, and no tint under it.
ON_PAPER: Final = "<style>text{font-family:'Libertinus Serif'}[fill='#fffdf8']{fill:#fff}</style>"


@dataclass(frozen=True)
class Drawing:
    """A drawing as SVG, with its size on paper [mm] at which it is true to its scale, and what it shows in words."""

    svg: str
    alt: str
    width_mm: float
    height_mm: float


@dataclass(frozen=True)
class Photo:
    """A small photograph (JPEG, PNG or WebP) and what it shows in words."""

    data: bytes
    alt: str


def placed(drawing: Drawing, room: tuple[float, float]) -> tuple[dict[str, Any], dict[str, bytes]]:
    """A drawing as a template takes it, and its picture by name; at its own size, or shrunk if there is less room."""
    size = (drawing.width_mm, drawing.height_mm)
    if not all(isfinite(side) and side > 0 for side in size):
        raise BadInput(f"A drawing cannot be {size[0]} × {size[1]} mm.", "Both sides must be more than 0 mm.")
    shrink = max(1.0, size[0] / room[0], size[1] / room[1])
    data = {
        "file": "drawing.svg",
        "alt": drawing.alt or "–",
        "size": [side / shrink for side in size],
        "shrunk": shrink > 1.0,
    }
    return data, {"drawing.svg": _on_paper(drawing.svg)}


def _on_paper(svg: str) -> bytes:
    return re.sub(r"<svg\b[^>]*>", lambda start: start[0] + ON_PAPER, svg, count=1).encode("utf-8", "replace")


def shown(photo: Photo, otherwise: str) -> dict[str, Any]:
    """A photograph as a template takes it; refuses what is no picture or no small one."""
    if not photo.data.startswith(STARTS):
        raise BadFile(f"The photograph “{photo.alt}” is not a picture.", "Give a JPEG, PNG or WebP picture.")
    if len(photo.data) > LARGEST:
        raise BadFile(f"The photograph “{photo.alt}” is too large for a paper.", f"Give at most {LARGEST} bytes.")
    return {"bytes": photo.data, "alt": photo.alt or otherwise}
