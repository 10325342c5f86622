"""Tags: the stock they print on, codes that a phone can read, and nothing past the edge of a label."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import replace

import pytest
import zxingcpp
from bench.shared import stationery as samples
from bench.shared.stationery import MADE_AT
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from pypdf import PdfReader
from pypdfium2 import PdfDocument

from tallboy.errors import BadInput, OutOfRange
from tallboy.paper import SHEETS, Sheet, Tag, tags

SHEETS_CUT = [name for name, sheet in SHEETS.items() if not sheet.is_roll]
ROLLS = [name for name, sheet in SHEETS.items() if sheet.is_roll]
PPI = 150
MM = PPI / 25.4

LONG = "very long name of a fitting that somebody typed with all its history and measures, from the far end of the quay"
SCREWS = "Scharnierbefestigungsschraube " * 20
EXTREMES = {
    "usual": samples.tag(3),
    "long": Tag("P-0042", LONG, "2026-014", LONG, 128, LONG, 12, "http://192.168.1.20:8765/p/42", LONG),
    "longest": Tag(
        "P-" + "0" * 40, SCREWS, SCREWS, SCREWS, 999, "W" * 300, 9999, "http://q.test/" + "a" * 190, "M" * 300
    ),
    "letters": Tag(
        "P-0001", "Петля латунная", "2026-Ω", "Σεκρετέρ ארון", 7, "левая дверь, верхняя петля", 3, "http://q.test/1"
    ),
    "bare": Tag("P-0001", "", "", ""),
    "no code": replace(samples.tag(4), address=""),
    "no home": replace(samples.tag(5), position_number=None, position_name=""),
}


def pages(pdf: bytes) -> list[Image.Image]:
    """The pages as grey pictures, drawn by a program that has nothing to do with ours."""
    with PdfDocument(pdf) as document:
        return [page.render(scale=PPI / 72, grayscale=True).to_pil().convert("L") for page in document]


def printed(labels: Sequence[Tag], sheet: str, first: int = 1) -> bytes:
    return tags(labels, sheet, made_at=MADE_AT, first=first)


def label_box(sheet: Sheet, index: int) -> tuple[int, int, int, int]:
    """Where a label lies on the page, in dots."""
    row, column = divmod(index, sheet.columns)
    left, top = sheet.left + column * sheet.pitch_x, sheet.top + row * sheet.pitch_y
    return round(left * MM), round(top * MM), round((left + sheet.width) * MM), round((top + sheet.height) * MM)


def ink_box(picture: Image.Image) -> tuple[int, int, int, int]:
    """The smallest box around what is printed."""
    found = picture.point(lambda grey: 255 if grey < 200 else 0).getbbox()
    assert found is not None
    return found


def darkest(picture: Image.Image, box: tuple[int, int, int, int]) -> int:
    """The darkest grey in a box, 0 for black."""
    return min(picture.crop(box).tobytes())


@pytest.mark.parametrize("name", SHEETS_CUT)
def test_a_sheet_of_labels_fills_its_page_evenly(name: str) -> None:
    """Left over is the same on both sides, and labels never overlap. The sizes are common practice, no source."""
    sheet = SHEETS[name]
    right = sheet.page_width - sheet.left - (sheet.columns - 1) * sheet.pitch_x - sheet.width
    bottom = sheet.page_height - sheet.top - (sheet.rows - 1) * sheet.pitch_y - sheet.height
    assert right == pytest.approx(sheet.left, abs=0.05)
    assert bottom == pytest.approx(sheet.top, abs=0.05)
    assert sheet.pitch_x >= sheet.width
    assert sheet.pitch_y >= sheet.height
    assert str(sheet.count) in name


@pytest.mark.parametrize("name", SHEETS)
def test_the_page_has_the_size_of_the_stock(name: str) -> None:
    """A sheet is one page; a roll is one page a label, as wide as the roll."""
    sheet = SHEETS[name]
    found = PdfReader(io.BytesIO(printed([samples.tag(1), samples.tag(2)], name))).pages
    assert len(found) == (2 if sheet.is_roll else 1)
    assert float(found[0].mediabox.width) / 72 * 25.4 == pytest.approx(sheet.page_width, abs=0.1)
    if not sheet.is_roll:
        assert float(found[0].mediabox.height) / 72 * 25.4 == pytest.approx(sheet.page_height, abs=0.1)


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize("address", ["http://192.168.1.20:8765/p/42", "http://q.test/ünïcode/" + "x" * 170, "a"])
def test_every_code_opens_its_address(name: str, address: str) -> None:
    """A reader that shares no code with ours reads each one; it is 12 mm wide or more, at level M or better."""
    picture = pages(printed([replace(samples.tag(3), address=address)], name))[0]
    (code,) = zxingcpp.read_barcodes(picture)
    assert code.text == address
    assert code.ec_level in {"M", "Q", "H"}
    at = code.position
    assert min(at.top_right.x - at.top_left.x, at.bottom_left.y - at.top_left.y) / MM >= 12


@pytest.mark.parametrize("name", SHEETS)
def test_the_quiet_zone_is_kept(name: str) -> None:
    """Four modules of white on every side of a code (ISO/IEC 18004, from memory)."""
    picture = pages(printed([EXTREMES["long"]], name))[0]
    (code,) = zxingcpp.read_barcodes(picture)
    at = code.position
    module = (at.top_right.x - at.top_left.x) / 29
    assert code.text == "http://192.168.1.20:8765/p/42"
    quiet = round(3.6 * module)
    left, top, right, bottom = at.top_left.x, at.top_left.y, at.bottom_right.x, at.bottom_right.y
    strips = [
        (left - quiet, top - quiet, left - 3, bottom + quiet),
        (right + 4, top - quiet, right + quiet, bottom + quiet),
        (left - quiet, top - quiet, right + quiet, top - 3),
        (left - quiet, bottom + 4, right + quiet, bottom + quiet),
    ]
    assert all(darkest(picture, strip) > 200 for strip in strips)


@pytest.mark.parametrize("name", SHEETS_CUT)
@pytest.mark.parametrize("which", EXTREMES)
def test_nothing_reaches_past_the_clear_edge_of_a_label(name: str, which: str) -> None:
    """However long the names, all ink of a label lies inside its clear edge."""
    sheet = SHEETS[name]
    picture = pages(printed([EXTREMES[which]], name, first=sheet.columns + 2))[0]
    left, top, right, bottom = label_box(sheet, sheet.columns + 1)
    inked = ink_box(picture)
    assert inked[0] >= left + sheet.inset_x * MM - 2
    assert inked[1] >= top + sheet.inset_y * MM - 2
    assert inked[2] <= right - sheet.inset_x * MM + 2
    assert inked[3] <= bottom - sheet.inset_y * MM + 2


@pytest.mark.parametrize("name", ROLLS)
@pytest.mark.parametrize("which", EXTREMES)
def test_a_label_on_a_roll_is_as_long_as_it_must_be(name: str, which: str) -> None:
    """The clear edge is kept on all four sides of the page."""
    sheet = SHEETS[name]
    picture = pages(printed([EXTREMES[which]], name))[0]
    inked = ink_box(picture)
    assert min(inked[0], picture.width - inked[2]) >= sheet.inset_x * MM - 2
    assert min(inked[1], picture.height - inked[3]) >= sheet.inset_y * MM - 2


@pytest.mark.parametrize("name", SHEETS)
def test_long_names_are_all_there(name: str) -> None:
    """Names as long as the book takes them are wrapped and made smaller, not cut."""
    text = PdfReader(io.BytesIO(printed([EXTREMES["long"]], name))).pages[0].extract_text()
    squeezed = "".join(text.replace("\u200b", "").split())
    assert squeezed.count("".join(LONG.split())) == 4


def test_longer_text_than_a_tag_takes_ends_in_an_ellipsis() -> None:
    """What is left out is shown to be left out."""
    text = PdfReader(io.BytesIO(printed([replace(samples.tag(0), note="n" * 500)], "roll-62"))).pages[0].extract_text()
    assert "…" in text


def test_printing_starts_at_the_first_free_label() -> None:
    """Labels before the first are left white, and the next sheet starts at its top."""
    sheet = SHEETS["a4-24"]
    first, second = pages(printed([samples.tag(0), samples.tag(1), samples.tag(2)], "a4-24", first=23))
    used = [[darkest(picture, label_box(sheet, at)) < 100 for at in range(24)] for picture in (first, second)]
    assert used == [[False] * 22 + [True, True], [True] + [False] * 23]


@pytest.mark.parametrize("name", SHEETS)
def test_every_tag_is_printed_once(name: str) -> None:
    """Fifty tags over as many sheets as they take."""
    labels = [samples.tag(index) for index in range(50)]
    found = PdfReader(io.BytesIO(printed(labels, name))).pages
    assert len(found) == -(-50 // SHEETS[name].count)
    text = " ".join(page.extract_text() for page in found)
    assert all(text.count(label.part_number) == 1 for label in labels)


def test_an_unknown_sheet_is_refused_with_what_is_accepted() -> None:
    """The message names the sheets there are."""
    with pytest.raises(BadInput, match=r"no label sheet called “a5-9”.*a4-24, a4-21, letter-30, roll-62, roll-29"):
        printed([samples.tag()], "a5-9")


@pytest.mark.parametrize(("sheet", "first"), [("a4-24", 0), ("a4-24", 25), ("letter-30", -1), ("roll-62", 2)])
def test_a_first_label_that_is_not_on_the_sheet_is_refused(sheet: str, first: int) -> None:
    """The range follows from the sheet; a roll has one."""
    with pytest.raises(OutOfRange, match="first label"):
        printed([samples.tag()], sheet, first)


def test_no_tags_and_addresses_too_long_are_refused() -> None:
    """Both messages say what would be accepted."""
    with pytest.raises(BadInput, match="at least one part"):
        printed([], "a4-24")
    for length in (300, 5000):
        with pytest.raises(BadInput, match="too long"):
            printed([replace(samples.tag(), address="http://q.test/" + "a" * length)], "a4-24")


@settings(max_examples=25, deadline=None)
@given(texts=st.lists(st.text(max_size=120), min_size=6, max_size=6), number=st.integers(0, 9999))
def test_any_text_at_all_makes_a_tag(texts: list[str], number: int) -> None:
    """Whatever is typed, the tag prints on one label."""
    one = Tag(
        texts[0],
        texts[1],
        texts[2],
        texts[3],
        position_number=number,
        position_name=texts[4],
        note=texts[5],
        address="http://q.test/1",
    )
    assert len(PdfReader(io.BytesIO(printed([one], "letter-30"))).pages) == 1
