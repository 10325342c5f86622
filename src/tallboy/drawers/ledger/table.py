"""The clock entries as a table for any spreadsheet: comma-separated as RFC 4180 has it."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from datetime import datetime

from django.utils.translation import gettext as _

from tallboy.book.models import Shop
from tallboy.drawers.pieces.models import ClockEntry

BYTE_ORDER_MARK = "\ufeff"
STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def safe_cell(text: str) -> str:
    """A text that a spreadsheet will show and never work out as a formula: an apostrophe goes before it."""
    risky = text.startswith(STARTS_A_FORMULA) or text.lstrip().startswith(STARTS_A_FORMULA)
    return f"'{text}" if risky else text


def clock_csv(shop: Shop, entries: Iterable[ClockEntry]) -> bytes:
    """The table as UTF-8 with a byte order mark, so that spreadsheets know it. A running clock has no end and no minutes.

    Times are by the shop's clock, with their offset (ISO 8601).
    """
    out = io.StringIO()
    write = csv.writer(out, lineterminator="\r\n").writerow
    write([_("piece"), _("name"), _("step"), _("person"), _("began"), _("ended"), _("minutes")])
    for entry in entries:
        write(_row(shop, entry))
    return (BYTE_ORDER_MARK + out.getvalue()).encode("utf-8")


def _row(shop: Shop, entry: ClockEntry) -> Sequence[str]:
    texts = (entry.step.piece.number, entry.step.piece.name, entry.step.title, entry.person.name)
    minutes = "" if entry.ended_at is None else f"{(entry.ended_at - entry.began_at).total_seconds() / 60:.2f}"
    return [*map(safe_cell, texts), _iso(shop, entry.began_at), _iso(shop, entry.ended_at), minutes]


def _iso(shop: Shop, at: datetime | None) -> str:
    return "" if at is None else at.astimezone(shop.tz).isoformat(timespec="seconds")
