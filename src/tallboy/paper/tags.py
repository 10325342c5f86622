"""Tags for parts, on label sheets and rolls."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

import segno

from tallboy.errors import BadInput, OutOfRange
from tallboy.paper.press import press
from tallboy.paper.sheets import Sheet, sheet_named
from tallboy.paper.wording import TAGS, Translate, as_written, spoken

NO_BREAK: Final = "\u00a0"

LONGEST: Final = 200
"""Letters of one name on a tag; what is longer ends in an ellipsis."""

LONGEST_NUMBER: Final = 20
"""Letters of a part's number, which stands on one line."""

LARGEST_CODE: Final = 10
"""Largest QR version a tag takes: 57 modules, 0.28 mm each on the smallest label. Common practice, no source."""


@dataclass(frozen=True)
class Tag:
    """What one part's tag says. `address` is what its QR code opens; a part without a home has no position number."""

    part_number: str
    part_name: str
    piece_number: str
    piece_name: str
    position_number: int | None = None
    position_name: str = ""
    screws: int | None = None
    address: str = ""
    note: str = ""


def tags(
    labels: Sequence[Tag],
    sheet: str,
    *,
    made_at: datetime,
    first: int = 1,
    language: str = "en",
    translate: Translate = as_written,
) -> bytes:
    """The PDF of the tags, starting at the `first` label of a sheet that was used before."""
    stock = sheet_named(sheet)
    if not labels:
        raise BadInput("There is no tag to print.", "Choose at least one part.")
    if not 1 <= first <= stock.count:
        raise OutOfRange("first label", first, 1, stock.count)
    words = spoken(TAGS, translate)
    data = {
        "title": f"{words['title']}: {labels[0].part_number} … {labels[-1].part_number}",
        "stock": _measures(stock),
        "first": first,
        "tags": [_printed(tag, index, words) for index, tag in enumerate(labels)],
    }
    images = {f"code-{index}.svg": _code(tag.address) for index, tag in enumerate(labels) if tag.address}
    return press("tags", data, images, made_at, language)


def _measures(stock: Sheet) -> dict[str, Any]:
    return {
        "roll": stock.is_roll, "page": [stock.page_width, stock.page_height], "label": [stock.width, stock.height],
        "columns": stock.columns, "count": stock.count, "start": [stock.left, stock.top],
        "pitch": [stock.pitch_x, stock.pitch_y], "inset": [stock.inset_x, stock.inset_y], "code": stock.code,
    }  # fmt: skip


def _printed(tag: Tag, index: int, words: dict[str, str]) -> dict[str, Any]:
    return {
        "number": "" if tag.position_number is None else str(tag.position_number),
        "position": _short(tag.position_name),
        "part": _short(tag.part_name),
        "part_number": _short(tag.part_number, LONGEST_NUMBER),
        "piece": _short(tag.piece_name),
        "piece_number": _short(tag.piece_number),
        "screws": "" if tag.screws is None else words["screw_count"].format(count=tag.screws).replace(" ", NO_BREAK),
        "note": _short(tag.note),
        "code": f"code-{index}.svg" if tag.address else "",
        "code_says": words["code"].format(part=tag.part_number),
    }


def _short(text: str, most: int = LONGEST) -> str:
    """One line of text, at most `most` letters."""
    line = " ".join(text.split())
    return line if len(line) <= most else line[: most - 1] + "…"


def _code(address: str) -> bytes:
    """The QR code of an address as SVG, quiet zone included; error level M, or better where it costs no size."""
    try:
        code = segno.make_qr(address, error="m", encoding="utf-8")
    except segno.DataOverflowError:
        code = None
    if code is None or int(code.version) > LARGEST_CODE:
        raise BadInput(
            f"The address “{address[:60]}…” is too long for the code on a tag.", "Give one of at most 200 letters."
        )
    picture = io.BytesIO()
    code.save(picture, kind="svg", xmldecl=False, border=4, dark="#000", light=None)
    return picture.getvalue()
