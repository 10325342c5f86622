"""The take-down record: a piece as it came, and what came off it."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any, Final

from tallboy.paper.pictures import Drawing, Photo, placed, shown
from tallboy.paper.press import check_paper, press
from tallboy.paper.wording import TAKE_DOWN, Translate, as_written, spoken

RECORD_ROOM: Final = (172.0, 160.0)
"""The width and height [mm] that a drawing may take on the record, on either paper."""


@dataclass(frozen=True)
class SpotTest:
    """A drop of liquid tried out of sight, and what the old finish did."""

    liquid: str
    result: str
    where: str = ""


@dataclass(frozen=True)
class TakenOff:
    """One position and what came off it; all texts as people read them. `missing` was not there at take-in."""

    number: int
    position: str
    part_number: str = ""
    came_off: str = ""
    screws: int | None = None
    condition: str = ""
    decision: str = ""
    whereabouts: str = ""
    missing: bool = False
    photos: tuple[Photo, ...] = ()


@dataclass(frozen=True)
class TakeDownRecord:
    """A piece as it came in; dates and sizes as people read them."""

    piece_number: str
    piece_name: str
    taken_in: str
    owner: str = ""
    promised: str = ""
    size: str = ""
    woods: str = ""
    old_finish: str = ""
    age: str = ""
    spot_tests: tuple[SpotTest, ...] = ()
    faults: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    drawing: Drawing | None = None
    positions: tuple[TakenOff, ...] = ()
    shop: str = ""


FACTS: Final = ("taken_in", "owner", "promised", "size", "woods", "old_finish", "age")


def take_down_record(
    record: TakeDownRecord,
    paper: str = "a4",
    *,
    made_at: datetime,
    language: str = "en",
    translate: Translate = as_written,
) -> bytes:
    """The PDF of a take-down record."""
    words = spoken(TAKE_DOWN, translate)
    drawing, images = placed(record.drawing, RECORD_ROOM) if record.drawing else (None, {})
    data = {
        "paper": check_paper(paper),
        "words": words,
        "title": f"{words['title']}: {record.piece_name}, {record.piece_number}",
        "piece": record.piece_name,
        "number": record.piece_number,
        "foot": " · ".join(filter(None, (record.piece_name, record.piece_number, record.shop))),
        "facts": [[words[fact], getattr(record, fact)] for fact in FACTS if getattr(record, fact)],
        "tests": [asdict(test) for test in record.spot_tests],
        "faults": record.faults,
        "cautions": record.cautions,
        "drawing": drawing,
        "rows": [_row(row) for row in record.positions],
    }
    return press("take_down", data, images, made_at, language)


def _row(row: TakenOff) -> dict[str, Any]:
    return {
        "number": str(row.number),
        "position": row.position,
        "part_number": row.part_number,
        "came_off": row.came_off,
        "screws": "" if row.screws is None else str(row.screws),
        "condition": row.condition,
        "decision": row.decision,
        "whereabouts": row.whereabouts,
        "missing": row.missing,
        "photos": [shown(photo, row.position) for photo in row.photos],
    }
