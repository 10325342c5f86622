"""The title block under a drawing, and the key to its circles."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from tallboy.front.glyphs import state_circle
from tallboy.front.svg import group, path, points, text, text_width
from tallboy.sums.units import format_length

BLOCK_HEIGHT, KEY_HEIGHT = 0.118, 0.058
COLUMNS = (0.44, 0.19, 0.14, 0.23)
LABEL, VALUE, TITLE = 0.0225, 0.028, 0.033
STATE_WORDS = {
    "on": "on the piece",
    "off": "taken off",
    "missing": "missing",
    "back": "fitted again",
    "empty": "stays empty",
}


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """What stands in the title block. `scale` and `date` are texts; an empty scale is filled in by the drawing."""

    piece: str
    number: str = ""
    scale: str = ""
    date: str = ""


@dataclass(frozen=True, slots=True)
class Words:
    """The words on a drawing, so that they can be given in another language."""

    piece: str = "Piece"
    number: str = "No."
    scale: str = "Scale"
    date: str = "Date"
    whole: str = "Front elevation of {piece} with {count} numbered positions"
    states: Mapping[str, str] = field(default_factory=lambda: dict(STATE_WORDS))


def title_block(
    title: TitleBlock,
    words: Words,
    size: tuple[float, float, float],
    *,
    units: str,
    scale: int,
    width: float,
    top: float,
) -> str:
    """Four cells: the piece with its size, its number, the scale, the date."""
    edges = [width * sum(COLUMNS[:n]) for n in range(len(COLUMNS))]
    bottom = top + BLOCK_HEIGHT * width
    lines = points((0, top), (width, top)) + "".join(points((x, top), (x, bottom)) for x in edges[1:])
    unit = " mm" if units == "metric" else " in"
    across = " × ".join(format_length(one, units).removesuffix(unit) for one in size) + unit
    cells = [_name(words.piece, title.piece, width, top)]
    cells.append(
        text(
            "el-label",
            across,
            x=edges[0] + 0.02 * width,
            y=top + 0.106 * width,
            font_size=LABEL * width,
        )
    )
    rest = ((words.number, title.number), (words.scale, title.scale or f"1 : {scale}"), (words.date, title.date))
    for (label, value), left, share in zip(rest, edges[1:], COLUMNS[1:], strict=True):
        cells.append(_cell(label, value, VALUE, left=left, share=share, width=width, top=top))
    return group("el-title-block", path("el-block", lines) + "".join(cells))


def _name(label: str, piece: str, width: float, top: float) -> str:
    """The piece's name in large letters on one line, or in smaller ones on two."""
    x, room = 0.02 * width, (COLUMNS[0] - 0.03) * width
    out = text("el-label", label, x=x, y=top + 0.03 * width, font_size=LABEL * width)
    if text_width(piece, TITLE * width, True) <= room:
        return out + text("el-title", piece, x=x, y=top + 0.072 * width, font_size=TITLE * width)
    size, lines = VALUE * width * 0.88, two_lines(piece, VALUE * width * 0.88, room)
    places = (0.057, 0.083) if len(lines) > 1 else (0.072,)
    return out + "".join(
        text("el-title", line, x=x, y=top + place * width, font_size=size)
        for line, place in zip(lines, places, strict=True)
    )


def two_lines(words: str, size: float, room: float) -> tuple[str, ...]:
    """A text broken between words into at most two lines, the second cut short with "…" where it must be."""
    first, rest = "", words.split()
    while rest and text_width(f"{first} {rest[0]}".strip(), size, True) <= room:
        first = f"{first} {rest.pop(0)}".strip()
    if not first:
        return (fitted(words, size, room),)
    return (first, fitted(" ".join(rest), size, room)) if rest else (first,)


def _cell(label: str, value: str, letters: float, *, left: float, share: float, width: float, top: float) -> str:
    """A small label with its value under it, made smaller or cut short where it is too long."""
    x, room = left + 0.02 * width, (share - 0.03) * width
    size = letters * width
    wide = text_width(value, size, True)
    if wide > room:
        size *= max(0.7, room / wide)
    small = text("el-label", label, x=x, y=top + 0.03 * width, font_size=LABEL * width)
    return small + text("el-value", fitted(value, size, room), x=x, y=top + 0.072 * width, font_size=size)


def fitted(words: str, size: float, room: float) -> str:
    """A text cut short with "…" to fit a width."""
    if text_width(words, size, True) <= room:
        return words
    while words and text_width(words + "…", size, True) > room:
        words = words[:-1]
    return words.rstrip() + "…"


def key_line(states: Sequence[str], words: Words, width: float, top: float) -> str:
    """One line that says what the circles mean, for the states that occur."""
    letters, r = LABEL * width, 0.013 * width
    parts, x, y = [], 0.02 * width, top + 0.022 * width
    for state in states:
        parts.append(
            state_circle(state, x + r, y, r)
            + text(
                "el-label", words.states[state], x=x + 2 * r + 0.008 * width, y=y + 0.36 * letters, font_size=letters
            )
        )
        x += 2 * r + 0.03 * width + text_width(words.states[state], letters)
    return group("el-key", "".join(parts))
