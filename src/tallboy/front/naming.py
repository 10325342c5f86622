"""Plain names for the bays of a front: "top left drawer", "left door", "left pedestal, second drawer".

Only the bays of one kind are told apart from each other: a single drawer is "drawer", two side by side are "left
drawer" and "right drawer", four in a stack are "top", "second", "third" and "bottom drawer". A name given to a bay
takes the place of all that.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

from tallboy.errors import BadInput
from tallboy.front.kinds import Bay, Door, Doors, Drawer, Flap, Front, Open, Row, Stack

ORDINALS = ("top", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
THREE = {1: ("",), 2: ("left", "right"), 3: ("left", "middle", "right")}
COPY_NOUNS = {"case": "cabinet", "table": "table", "chair": "chair", "trolley": "trolley"}


def across_word(index: int, count: int) -> str:
    """Which one from the left: "left", "middle", "right"; above three, "first", "second" and so on."""
    if count in THREE:
        return THREE[count][index]
    return "first" if index == 0 else ordinal(index)


def ordinal(index: int) -> str:
    """The word for a place counted from 0, the first being the top one."""
    return ORDINALS[index] if index < len(ORDINALS) else f"{index + 1}th"


def down_word(index: int, count: int) -> str:
    """Which one from the top: "top", "second", …, "bottom"; of three, the second is "middle"."""
    if count == 1:
        return ""
    if index == count - 1:
        return "bottom"
    return "middle" if count == 3 and index == 1 else ordinal(index)


def noun(bay: Bay) -> str:
    """The plain word for a bay."""
    if isinstance(bay, Drawer):
        return "drawer"
    if isinstance(bay, Door | Doors):
        return "door"
    if isinstance(bay, Flap):
        return "fall" if bay.hung == "bottom" else "lid"
    if isinstance(bay, Open):
        return "open bay"
    return "stack" if isinstance(bay, Stack) else "panel"


def slug(name: str) -> str:
    """A code for a name: small letters, digits and hyphens. Empty when the name has none of them."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")


def copy_prefixes(front: Front) -> tuple[str, ...]:
    """What the names of each copy begin with: ("",) for a piece that stands alone."""
    if front.copies == 1:
        return ("",)
    words = [across_word(index, front.copies) for index in range(front.copies)]
    return tuple(f"{word} {COPY_NOUNS[front.outline]}" for word in words)


def bay_names(front: Front) -> dict[str, str]:
    """The name of every bay by its path; the two leaves of a pair have ".left" and ".right" after the path.

    Raises BadInput when two bays would have the same name.
    """
    names: dict[str, str] = {}
    if front.upper:
        prefix = front.upper.name or "upper part"
        names |= _name_rows(front.upper.rows, "front.upper.rows", prefix)
    names |= _name_rows(front.rows, "front.rows", "")
    _check_unique(names)
    return names


def _check_unique(names: dict[str, str]) -> None:
    seen: dict[str, str] = {}
    for path, name in names.items():
        key = slug(name) or name
        if key in seen:
            raise BadInput(f"{path} would be called '{name}', as {seen[key]} is.", "Give each bay a name of its own.")
        seen[key] = path


def _leaves(row: Row, path: str) -> Iterator[tuple[str, str, Bay]]:
    for index, bay in enumerate(row.bays):
        at = f"{path}.bays[{index}]"
        if isinstance(bay, Doors):
            yield "door", f"{at}.left", bay
            yield "door", f"{at}.right", bay
        else:
            yield noun(bay), at, bay


def _name_rows(rows: tuple[Row, ...], path: str, prefix: str) -> dict[str, str]:
    """The names of all bays of these rows, those of nested stacks included."""
    lines: dict[str, list[list[tuple[str, Bay]]]] = {}
    for index, row in enumerate(rows):
        found: dict[str, list[tuple[str, Bay]]] = {}
        for word, at, bay in _leaves(row, f"{path}[{index}]"):
            found.setdefault(word, []).append((at, bay))
        for word, line in found.items():
            lines.setdefault(word, []).append(line)
    names: dict[str, str] = {}
    for word, group in lines.items():
        names |= _name_group(word, group, prefix)
    return names


def _name_group(word: str, group: list[list[tuple[str, Bay]]], prefix: str) -> dict[str, str]:
    names: dict[str, str] = {}
    for down, line in enumerate(group):
        for across, (at, bay) in enumerate(line):
            own = _given(at, bay) or _placed(word, down, len(group), across, len(line))
            full = f"{prefix}, {own}" if prefix else own
            if isinstance(bay, Stack):
                names |= _name_rows(bay.rows, f"{at}.rows", full)
            else:
                names[at] = full
    return names


def _given(at: str, bay: Bay) -> str:
    if isinstance(bay, Doors) and bay.name:
        return f"{bay.name}, {at.rsplit('.', 1)[1]} door"
    return bay.name


def _placed(word: str, down: int, rows: int, across: int, bays: int) -> str:
    level = down_word(down, rows)
    if bays > 3:
        return f"{level} row, {word} {across + 1}" if level else f"{word} {across + 1}"
    side = across_word(across, bays)
    if level == side == "middle":
        return f"centre {word}"
    return " ".join(part for part in (level, side, word) if part)
