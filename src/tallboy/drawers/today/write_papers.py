"""Papers written as files into a folder: whole or not at all."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from pathlib import Path

from tallboy.book.doing import By
from tallboy.drawers.pieces import papers
from tallboy.drawers.pieces.actions.hardware import mark_tags_printed
from tallboy.drawers.pieces.models import Piece
from tallboy.drawers.today.papers import day_sheet
from tallboy.errors import BadInput

Wanted = tuple[str, Piece | None]


def write_papers(
    by: By, wanted: Iterable[Wanted], folder: Path, *, sheet: str = "a4-24", first: int = 1
) -> Iterator[Path]:
    """Write each paper and give its file. Tags of a piece that has nothing off are left out.

    Raises BadInput when the folder cannot be written to.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BadInput(f"Papers cannot be written to {folder}: {error.strerror}.", "Name another with --to.") from None
    for paper, piece in wanted:
        made = _make(by, paper, piece, sheet, first)
        if made is not None:
            name = f"{paper}.pdf" if piece is None else f"{paper}-{piece.number}.pdf"
            yield write_whole(folder / name, made, "Name another folder with --to.")


def _make(by: By, paper: str, piece: Piece | None, sheet: str, first: int) -> bytes | None:
    if piece is None:
        return day_sheet(by.shop, by.at)
    if paper == "take-down":
        return papers.take_down_record(piece, by.at)
    if paper == "put-back":
        return papers.put_back_list(piece, by.at)
    parts = papers.parts_to_tag(piece)
    if not parts:
        return None
    pdf = papers.tags(parts, sheet, by.at, first)
    mark_tags_printed(by, parts)
    return pdf


def write_whole(target: Path, data: bytes, hint: str) -> Path:
    """Write a file whole or not at all. Raises BadInput, with the hint, when it cannot be written."""
    part = target.with_name(f".{target.name}.part")
    try:
        part.write_bytes(data)
        os.replace(part, target)
    except OSError as error:
        raise BadInput(f"{target} cannot be written: {error.strerror}.", hint) from None
    return target
