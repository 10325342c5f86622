"""The put-back list: every position, its part, and where that part is; it proves that nothing is missing."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any, Final

from tallboy.paper.pictures import Drawing, placed
from tallboy.paper.press import check_paper, press
from tallboy.paper.wording import PUT_BACK, Translate, as_written, spoken

PUT_BACK_ROOM: Final = (172.0, 110.0)
"""The width and height [mm] that a drawing may take, so that it leaves most of a page to the list."""


@dataclass(frozen=True)
class PutBack:
    """One position and its part. `fitted` is back on already; `missing` has no part; `note` says what to know."""

    number: int
    position: str
    part_number: str = ""
    part_name: str = ""
    screws: int | None = None
    whereabouts: str = ""
    fitted: bool = False
    missing: bool = False
    note: str = ""


@dataclass(frozen=True)
class PutBackList:
    """All positions of a piece."""

    piece_number: str
    piece_name: str
    positions: tuple[PutBack, ...] = ()
    drawing: Drawing | None = None
    cautions: tuple[str, ...] = ()
    shop: str = ""


def put_back_list(
    listing: PutBackList,
    paper: str = "a4",
    *,
    made_at: datetime,
    language: str = "en",
    translate: Translate = as_written,
) -> bytes:
    """The PDF of a put-back list."""
    words = spoken(PUT_BACK, translate)
    drawing, images = placed(listing.drawing, PUT_BACK_ROOM) if listing.drawing else (None, {})
    data = {
        "paper": check_paper(paper),
        "words": words,
        "title": f"{words['title']}: {listing.piece_name}, {listing.piece_number}",
        "piece": listing.piece_name,
        "number": listing.piece_number,
        "foot": " · ".join(filter(None, (listing.piece_name, listing.piece_number, listing.shop))),
        "count": _count(listing, words),
        "cautions": listing.cautions,
        "drawing": drawing,
        "rows": [_row(row) for row in listing.positions],
    }
    return press("put_back", data, images, made_at, language)


def _count(listing: PutBackList, words: dict[str, str]) -> str:
    return words["count"].format(
        all=len(listing.positions),
        fitted=sum(row.fitted for row in listing.positions),
        missing=sum(row.missing for row in listing.positions),
    )


def _row(row: PutBack) -> dict[str, Any]:
    return {**asdict(row), "number": str(row.number), "screws": "" if row.screws is None else str(row.screws)}
