"""Every paper, read back: what it says, its sheet, its tags for a screen reader, the same bytes each time."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import Any

import pytest
from bench.shared import stationery as samples
from bench.shared.stationery import MADE_AT
from pypdf import PdfReader

from tallboy.errors import BadFile, BadInput
from tallboy.paper import (
    PUT_BACK_ROOM,
    RECORD_ROOM,
    Drawing,
    Photo,
    PutBackList,
    SpotTest,
    TakeDownRecord,
    TakenOff,
    day_sheet,
    put_back_list,
    tags,
    take_down_record,
)
from tallboy.paper.wording import COMMON, DAY, PUT_BACK, TAGS, TAKE_DOWN

Printer = Callable[..., bytes]

PRINTERS: dict[str, Printer] = {
    "record": lambda **more: take_down_record(samples.record(), made_at=MADE_AT, **more),
    "day": lambda **more: day_sheet(samples.day(), made_at=MADE_AT, **more),
    "put back": lambda **more: put_back_list(samples.listing(), made_at=MADE_AT, **more),
    "tags": lambda **more: tags([samples.tag(3), samples.tag(4)], "a4-24", made_at=MADE_AT, **more),
}
RECORDS = ("record", "day", "put back")
POINT = 25.4 / 72

HOSTILE = (
    "#panic() $x^2$ *bold* _it_ <label> @ref \\u{41} // not /* a */ comment `raw` = head",
    '"}] #image("common.typ") {"data": 1}',
    "a\x00b\x07c\td\r\ne",
    "half a letter \ud800 and \udfff",
    "\u202eturned round\u202c",
    "</svg><script>alert(1)</script> &amp; %s {page} {0}",
    "no\ufffenon\uffffcharacters",
)


def read(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


def root(pdf: bytes) -> Any:
    """The catalogue of a PDF."""
    return read(pdf).trailer["/Root"]


def title(pdf: bytes) -> str:
    metadata = read(pdf).metadata
    return str(metadata.title) if metadata else ""


def said(pdf: bytes) -> str:
    """All the text of a paper, with its white space made even."""
    return " ".join(" ".join(page.extract_text() for page in read(pdf).pages).replace("\u200b", "").split())


@pytest.fixture(params=PRINTERS)
def printer(request: pytest.FixtureRequest) -> Printer:
    return PRINTERS[request.param]


def test_a_paper_is_tagged_and_says_its_language_and_title(printer: Printer) -> None:
    """PDF/UA-1 asks for these four in the catalogue (ISO 14289-1, from memory)."""
    catalogue = root(printer(language="pt-br"))
    assert catalogue["/MarkInfo"]["/Marked"]
    assert catalogue["/StructTreeRoot"]["/K"]
    assert catalogue["/Lang"].lower() == "pt-br"
    assert catalogue["/ViewerPreferences"]["/DisplayDocTitle"]
    assert title(printer())
    assert b"pdfuaid" in catalogue["/Metadata"].get_data()


def test_printing_again_gives_the_same_bytes_and_another_time_does_not(printer: Printer) -> None:
    """Nothing but what is passed in reaches the paper."""
    assert printer() == printer()
    metadata = read(printer()).metadata
    assert metadata is not None
    assert metadata.creation_date == MADE_AT


def test_only_the_papers_own_type_is_used(printer: Printer) -> None:
    """The type comes with the compiler, so a paper looks the same on every machine."""
    pages: Any = read(printer()).pages
    fonts = [font.get_object() for page in pages for font in page["/Resources"].get("/Font", {}).values()]
    used = {font["/BaseFont"].split("+")[-1] for font in fonts}
    assert used
    assert all(name.startswith("LibertinusSerif") for name in used), used


def test_every_fixed_word_goes_through_the_translation(printer: Printer) -> None:
    """With each word put in brackets by the translation, none stands on the paper without them."""
    text = re.sub("«[^»]*»", "", said(printer(translate=lambda text: f"«{text}»")))
    for table in (COMMON, DAY, PUT_BACK, TAGS, TAKE_DOWN):
        for word in table.values():
            fixed = word.split("{")[0].strip()
            assert fixed not in text or fixed in samples.SAID, fixed


def test_a_time_without_its_zone_is_refused() -> None:
    """A naive time could mean two moments."""
    with pytest.raises(BadInput, match="time zone"):
        day_sheet(samples.day(), made_at=datetime(2026, 3, 12, 8, 0))  # noqa: DTZ001 - the naive time is what is tested


@pytest.mark.parametrize("code", ["", "English", "e", "12", 'en"#x'])
def test_what_is_no_language_is_refused(code: str) -> None:
    """A language is a code of two or three letters, with or without a region."""
    with pytest.raises(BadInput, match="such as en"):
        day_sheet(samples.day(), made_at=MADE_AT, language=code)


@pytest.mark.parametrize("name", RECORDS)
@pytest.mark.parametrize(("paper", "size"), [("a4", (210, 297)), ("us-letter", (215.9, 279.4))])
def test_a_record_has_the_size_of_its_paper(name: str, paper: str, size: tuple[float, float]) -> None:
    """A4 is 210 × 297 mm (ISO 216), Letter 8.5 × 11 in (ANSI/ASME Y14.1)."""
    for page in read(PRINTERS[name](paper=paper)).pages:
        assert float(page.mediabox.width) * POINT == pytest.approx(size[0], abs=0.1)
        assert float(page.mediabox.height) * POINT == pytest.approx(size[1], abs=0.1)


@pytest.mark.parametrize("name", RECORDS)
def test_an_unknown_paper_is_refused_with_what_is_accepted(name: str) -> None:
    """The message names the papers there are."""
    with pytest.raises(BadInput, match=r"no paper called “a3”.*a4, us-letter"):
        PRINTERS[name](paper="a3")


@pytest.mark.parametrize("text", HOSTILE)
def test_text_prints_as_it_was_written(text: str) -> None:
    """Nothing that is typed is taken for markup; only what cannot be printed becomes a space."""
    seen = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    assert seen in said(day_sheet(samples.day(date=text), made_at=MADE_AT))
    position = TakenOff(1, text, text, text, whereabouts=text)
    given = samples.record(owner=text, faults=(text,), positions=(position,), spot_tests=(SpotTest(text, text),))
    assert said(take_down_record(given, made_at=MADE_AT)).replace(" ", "").count(seen.replace(" ", "")) >= 6


@pytest.mark.parametrize("name", ["Комод", "Σεκρετέρ", "ארון", "Žďár ąę ő", "خزانة", "桐箪笥", "ตู้", "😀", "\ue123"])
def test_a_name_in_any_letters_prints(name: str) -> None:
    """Where the papers' type lacks a letter the machine's is asked; without that there is a box, never a failure."""
    pdf = put_back_list(PutBackList("1", name), made_at=MADE_AT)
    assert title(pdf).endswith(f"{name}, 1")
    assert root(pdf)["/MarkInfo"]["/Marked"]


def test_the_record_says_all_that_was_recorded() -> None:
    """Facts, tests, faults, cautions, and every position with its part."""
    text = said(PRINTERS["record"]())
    given = samples.record()
    rows = [part for row in given.positions for part in (row.part_number, row.whereabouts)]
    for one in (*given.faults, given.owner, given.size, given.woods, given.old_finish, given.age, *rows):
        assert one in text
    for word in ("softened and turned sticky", "No dry sanding", "missing", "Taken off by", "page 1 of 2"):
        assert word in text


def test_a_record_of_nothing_says_so() -> None:
    """An empty record is one page that says what is not there."""
    pdf = take_down_record(TakeDownRecord("2026-001", "Stool", "today"), made_at=MADE_AT)
    assert len(read(pdf).pages) == 1
    for sentence in ("No faults were found.", "No spot test was made.", "No positions are recorded."):
        assert sentence in said(pdf)


def test_the_head_of_the_table_stands_on_every_page() -> None:
    """A list of 90 positions takes several pages, each with its heads."""
    many = tuple(replace(samples.put_back(index % 13), number=index + 1) for index in range(90))
    pages = read(put_back_list(PutBackList("1", "Chest", many), made_at=MADE_AT)).pages
    assert len(pages) >= 4
    assert all("Where it is now" in page.extract_text() for page in pages)


def test_long_words_stay_on_the_paper() -> None:
    """A word wider than its column is broken, and all its letters are there."""
    word = "Wardrobenscharnierbefestigungsschraube" * 4
    row = TakenOff(123, word, word, word, 12, word, word, word)
    text = said(take_down_record(samples.record(piece_name=word, positions=(row,)), made_at=MADE_AT))
    assert text.replace(" ", "").count(word) >= 7


def test_photographs_stand_beside_their_position_with_words() -> None:
    """Each photograph is a figure in the tagged PDF with its alternative text; a broken one is refused."""
    row = replace(samples.taken_off(0), photos=(samples.photo(60), samples.photo(200)))
    pdf = take_down_record(samples.record(positions=(row,), drawing=None), made_at=MADE_AT)
    assert sum(len(page.images) for page in read(pdf).pages) == 2
    assert figures(pdf) == [samples.photo().alt] * 2


def figures(pdf: bytes) -> list[str]:
    """Alternative texts in the structure tree."""
    found: list[str] = []

    def walk(node: object) -> None:
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, list):
            for inner in node:
                walk(inner)
        elif isinstance(node, dict):
            if "/Alt" in node:
                found.append(str(node["/Alt"]))
            walk(node.get("/K", []))

    walk(root(pdf)["/StructTreeRoot"])
    return found


@pytest.mark.parametrize(
    "data",
    [b"", b"not a picture", b"%PDF-1.7", b"\xff\xd8\xff broken", b"RIFF....WEBP", b"\xff\xd8\xff" + bytes(300_000)],
)
def test_what_is_no_small_picture_is_refused(data: bytes) -> None:
    """A text file, a broken picture and a huge one each get a plain message."""
    row = replace(samples.taken_off(0), photos=(Photo(data, "hinge"),))
    with pytest.raises(BadFile, match=r"picture|bytes"):
        take_down_record(samples.record(positions=(row,)), made_at=MADE_AT)


def test_a_drawing_keeps_its_size_and_its_words() -> None:
    """The drawing has its alternative text; one that fits is not said to be shrunk."""
    pdf = PRINTERS["record"]()
    assert samples.drawing().alt in figures(pdf)
    assert "not to scale" not in said(pdf)


@pytest.mark.parametrize("room", [RECORD_ROOM, PUT_BACK_ROOM])
def test_a_drawing_too_large_is_shrunk_and_says_so(room: tuple[float, float]) -> None:
    """A drawing that had to be shrunk is no longer true to its scale."""
    large = replace(samples.drawing(), width_mm=room[0] * 2)
    assert "not to scale" in said(take_down_record(samples.record(drawing=large), made_at=MADE_AT))
    assert "not to scale" in said(put_back_list(replace(samples.listing(), drawing=large), made_at=MADE_AT))


@pytest.mark.parametrize("size", [(0.0, 10.0), (10.0, -1.0), (float("nan"), 10.0), (10.0, float("inf"))])
def test_a_drawing_of_no_size_is_refused(size: tuple[float, float]) -> None:
    """Both sides must be more than nothing."""
    with pytest.raises(BadInput, match="more than 0 mm"):
        take_down_record(samples.record(drawing=Drawing(samples.DRESSER, "", *size)), made_at=MADE_AT)


@pytest.mark.parametrize("svg", ["", "no drawing", "<svg", samples.DRESSER[:200]])
def test_a_broken_drawing_is_refused(svg: str) -> None:
    """A drawing that cannot be read gets a plain message."""
    with pytest.raises(BadFile, match="cannot be read"):
        take_down_record(samples.record(drawing=Drawing(svg, "", 100, 80)), made_at=MADE_AT)


def test_the_day_says_each_step_why_then_and_its_caution() -> None:
    """Steps in order, with minutes, reason and caution; waits with word and spread; promises; the air."""
    text = said(PRINTERS["day"]())
    for step in samples.STEPS:
        for one in (step.time, f"{step.minutes} min", step.piece, step.title, step.why, *step.cautions):
            assert one in text
    assert [text.index(step.title) for step in samples.STEPS] == sorted(
        text.index(step.title) for step in samples.STEPS
    )
    for one in (
        "17.5 °C",
        "10.2 °C",
        "11.4 %",
        "Hands: 2",
        "± 35 min",
        "soaking",
        "drying",
        "Tea trolley",
        "page 1 of 1",
    ):
        assert one in text


@pytest.mark.parametrize(("count", "pages"), [(0, 1), (4, 1), (9, 1), (10, 1), (30, 3), (60, 6)])
def test_a_day_is_one_page_when_it_can_be(count: int, pages: int) -> None:
    """Ten full steps still fit one page, set closer; more flow on, and none is lost."""
    steps = tuple(replace(samples.STEPS[at % 4], title=f"Step number {at}.") for at in range(count))
    pdf = day_sheet(samples.day(steps=steps), made_at=MADE_AT)
    assert len(read(pdf).pages) <= pages
    assert all(step.title in said(pdf) for step in steps)


def test_an_empty_day_says_so() -> None:
    """No air, no steps, no waits, no promises: each said in a sentence."""
    text = said(day_sheet(samples.day(air=None, steps=(), waits=(), promises=()), made_at=MADE_AT))
    for sentence in ("No reading of the air", "Nothing is planned", "No wait ends today.", "No promise is near."):
        assert sentence in text


def test_the_put_back_list_counts_and_names_what_is_missing() -> None:
    """Every position, its part, where it is; the missing one said in a word."""
    text = said(PRINTERS["put back"]())
    assert "positions: 13 · back on: 2 · missing: 1" in text
    for row in samples.listing().positions:
        for one in (row.position.split(",")[0], row.part_number, row.whereabouts, row.note):
            assert one in text
    assert "No positions are recorded." in said(put_back_list(samples.listing(0), made_at=MADE_AT))
