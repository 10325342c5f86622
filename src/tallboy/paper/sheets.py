"""Label stock: what the sheets and rolls measure."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from tallboy.errors import BadInput

INCH: Final = 25.4


@dataclass(frozen=True)
class Sheet:
    """One kind of label stock; all in millimetres.

    Labels run from the top left, row by row; `pitch` is from one label's edge to the next one's. `inset_x` and
    `inset_y` are kept clear inside each label, because cutting is never exact and printers leave an edge white.
    `code` is the width of the QR code with its quiet zone. A roll has one column and a length cut as needed, so its
    `page_height` and `height` are 0.
    """

    name: str
    page_width: float
    page_height: float
    width: float
    height: float
    columns: int
    rows: int
    left: float
    top: float
    pitch_x: float
    pitch_y: float
    inset_x: float
    inset_y: float
    code: float

    @property
    def is_roll(self) -> bool:
        """Whether the length is cut as needed, one label a page."""
        return self.page_height == 0

    @property
    def count(self) -> int:
        """How many labels one sheet holds."""
        return self.columns * self.rows


def _roll(name: str, width: float, inset: float, code: float) -> Sheet:
    return Sheet(name, width, 0, width, 0, 1, 1, 0, 0, width, 0, inset, inset, code)


# Sizes of label stock are common practice, no source; the tests check that each sheet fills its page evenly.
SHEETS: Final = MappingProxyType(
    {
        "a4-24": Sheet("A4, 24 labels of 70 × 37 mm", 210, 297, 70, 37, 3, 8, 0, 0.5, 70, 37, 5, 4, 22),
        "a4-21": Sheet(
            "A4, 21 labels of 63.5 × 38.1 mm", 210, 297, 63.5, 38.1, 3, 7, 7.21, 15.15, 66.04, 38.1, 2.5, 2.5, 23
        ),
        "letter-30": Sheet(
            "Letter, 30 labels of 2 5/8 × 1 in", 8.5 * INCH, 11 * INCH, 2.625 * INCH, INCH, 3, 10,
            0.1875 * INCH, 0.5 * INCH, 2.75 * INCH, INCH, 2.5, 1.5, 18.5,
        ),
        "roll-62": _roll("Roll, 62 mm wide", 62, 2.5, 24),
        "roll-29": _roll("Roll, 29 mm wide", 29, 2, 23),
    }
)  # fmt: skip


def sheet_named(name: str) -> Sheet:
    """The sheet of that name, else what is accepted."""
    if name not in SHEETS:
        raise BadInput(f"There is no label sheet called “{name}”.", f"Choose one of: {', '.join(SHEETS)}.")
    return SHEETS[name]
