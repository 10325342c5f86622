"""The table of hours to take away: read by the csv module, and safe to open in a spreadsheet."""

from __future__ import annotations

import csv
import io
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.drawers.ledger.ledger_made import clock, piece, step

from tallboy.book.doing import By
from tallboy.drawers.ledger import queries
from tallboy.drawers.ledger.table import clock_csv, safe_cell

HOUR = timedelta(hours=1)


def _read(data: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline=""), strict=True))


def test_the_table_is_rfc_4180_in_utf_8(by: By) -> None:
    """CRLF line ends, quotes doubled, commas and line breaks within quotes (RFC 4180, section 2), a byte order mark first."""
    on = step(by, piece(by, name='Dresser, "the tall one"'), "Wax\nthe top — ½")
    clock(by, on, by.at - HOUR * 1.5, by.at)
    clock(by, on, by.at, None)
    data = clock_csv(by.shop, queries.all_entries(by.shop))
    assert data.startswith(b"\xef\xbb\xbfpiece,name,step,person,began,ended,minutes\r\n")
    assert data.endswith(b"\r\n")
    assert b'"Dresser, ""the tall one"""' in data
    assert _read(data)[1:] == [
        ["2026-001", 'Dresser, "the tall one"', "Wax\nthe top — ½", "Ines",
         "2026-03-12T07:30:00+00:00", "2026-03-12T09:00:00+00:00", "90.00"],
        ["2026-001", 'Dresser, "the tall one"', "Wax\nthe top — ½", "Ines", "2026-03-12T09:00:00+00:00", "", ""],
    ]  # fmt: skip


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "＝1", '=HYPERLINK("x")'])
def test_a_formula_becomes_plain_text(by: By, text: str) -> None:
    """Beginnings that the OWASP page "CSV Injection" names get an apostrophe before them."""
    assert safe_cell(text) == "'" + text


@given(st.text())
def test_no_cell_begins_as_a_formula(text: str) -> None:
    """Whatever was typed; and what is harmless stays as it is."""
    cell = safe_cell(text)
    assert not cell.startswith(("=", "+", "-", "@", "\t", "\r", "\n"))
    assert cell in (text, f"'{text}")


def test_a_step_named_like_a_formula_comes_out_safe(by: By) -> None:
    """The guard is used on what people typed."""
    on = step(by, piece(by, name="@dresser"), "=cmd|' /C calc'!A0")
    clock(by, on, by.at - HOUR, by.at)
    row = _read(clock_csv(by.shop, queries.all_entries(by.shop)))[1]
    assert row[1:3] == ["'@dresser", "'=cmd|' /C calc'!A0"]
