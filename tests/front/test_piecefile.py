"""The piece file: read, written back, and refused in plain words; its schema and its page agree with the reader."""

from __future__ import annotations

import json
import tomllib
from dataclasses import replace
from datetime import date
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from tests.front.front_made import SIZE, fronts

from tallboy.errors import BadFile, BadInput
from tallboy.front import kinds
from tallboy.front.kinds import Front
from tallboy.front.piecefile import PIECE_KEYS, TOP_KEYS, piece_file, read_piece_file, take_in_positions
from tallboy.front.positions import positions
from tallboy.front.ready import KINDS, ready_fronts
from tallboy.front.shape import DOOR_KEYS, DRAWER_KEYS, FRONT_KEYS
from tallboy.front.takein import (
    FAULT_KINDS,
    LEAD_TESTS,
    PAINTED,
    Fault,
    FreeDrawing,
    FreePoint,
    PhotoFile,
    SpotTest,
    SurfaceArea,
    TakeIn,
    check_promise,
)
from tallboy.work.words import GROUPS

DOCS = Path(__file__).parents[2] / "docs"
EXAMPLES = sorted((DOCS / "examples").glob("*.toml"))
SCHEMA: dict[str, Any] = json.loads(files("tallboy.front").joinpath("piece.schema.json").read_text(encoding="utf-8"))
VALIDATOR = Draft202012Validator(SCHEMA)

PIECE = """
[piece]
name = "Pine dresser"
kind = "dresser"
width = "1220 mm"
height = "900 mm"
depth = "460 mm"
"""


def as_json(text: str) -> Any:
    """A TOML text as JSON has it: dates as texts."""
    return json.loads(json.dumps(tomllib.loads(text), default=str))


def read(text: str) -> TakeIn:
    return read_piece_file(text, name="dresser.toml")


def said(text: str) -> str:
    with pytest.raises(BadFile) as caught:
        read(text)
    assert str(caught.value).startswith("dresser.toml")
    assert caught.value.hint
    return str(caught.value)


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda file: file.stem)
def test_each_example_is_read_fits_the_schema_and_survives_the_round_trip(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    takein = read_piece_file(text, name=file.name)
    assert read_piece_file(piece_file(takein), name="again") == takein
    assert take_in_positions(takein)
    assert not list(VALIDATOR.iter_errors(as_json(text)))
    assert not list(VALIDATOR.iter_errors(as_json(piece_file(takein))))


def test_the_examples_are_all_there() -> None:
    assert [file.stem for file in EXAMPLES] == [
        "bedside-pair",
        "hall-stand",
        "kitchen-chair",
        "pedestal-desk",
        "pine-dresser",
        "tea-trolley",
        "writing-slope",
    ]


def test_the_pine_dresser_is_read_as_it_is_written() -> None:
    takein = read((DOCS / "examples" / "pine-dresser.toml").read_text(encoding="utf-8"))
    assert (takein.width, takein.height, takein.depth) == (1220, 900, 460)
    assert (takein.painted_before, takein.maybe_lead) == ("yes", True)
    assert takein.promise == date(2031, 3, 24)
    assert takein.missing == ("right-door-bottom-hinge",)
    assert [fault.position for fault in takein.faults] == ["", "left-door-top-hinge", "right-door-bottom-hinge"]
    assert takein.surfaces == (SurfaceArea("top", "top", 0.58),)


texts = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=20).map(str.strip)
named = texts.filter(bool)
take_ins = st.builds(
    TakeIn,
    name=named,
    kind=st.sampled_from(KINDS),
    width=st.just(SIZE[0]),
    height=st.just(SIZE[1]),
    depth=st.floats(50, 6000),
    woods=st.lists(named, max_size=3).map(tuple),
    old_finish=texts,
    age=named,
    painted_before=st.sampled_from(PAINTED),
    lead_test=st.sampled_from(LEAD_TESTS),
    customer=texts,
    promise=st.none() | st.dates(),
    note=texts,
    route=texts,
    spot_tests=st.lists(st.builds(SpotTest, named, texts, named), max_size=2).map(tuple),
    faults=st.lists(st.builds(Fault, st.sampled_from(FAULT_KINDS), texts, note=texts), max_size=2).map(tuple),
    photos=st.lists(st.builds(PhotoFile, st.just("a/b c.jpg"), texts), max_size=2).map(tuple),
    surfaces=st.lists(
        st.builds(SurfaceArea, named, st.sampled_from(GROUPS), st.floats(0, 100)),
        max_size=2,
        unique_by=lambda surface: surface.name,
    ).map(tuple),
    front=fronts,
)
free_drawings = st.builds(
    FreeDrawing,
    st.just("front.jpg"),
    st.lists(st.builds(FreePoint, st.floats(0, 1), st.floats(0, 1), named, st.just("hook")), max_size=3).map(tuple),
)


@settings(max_examples=60, deadline=None)
@given(take_ins, st.data())
def test_any_take_in_survives_the_round_trip_and_fits_the_schema(takein: TakeIn, data: st.DataObject) -> None:
    codes = [place.code for place in take_in_positions(takein)]
    if codes:
        missing = data.draw(st.lists(st.sampled_from(codes), unique=True, max_size=3))
        takein = replace(takein, missing=tuple(missing))
    text = piece_file(takein)
    assert read(text) == takein
    assert not list(VALIDATOR.iter_errors(as_json(text)))


@settings(max_examples=60, deadline=None)
@given(take_ins, free_drawings)
def test_a_free_drawing_survives_the_round_trip(takein: TakeIn, free: FreeDrawing) -> None:
    takein = replace(takein, front=None, free=free)
    text = piece_file(takein)
    assert read(text) == takein
    assert not list(VALIDATOR.iter_errors(as_json(text)))


@pytest.mark.parametrize("kind", KINDS)
def test_a_piece_without_a_front_gets_the_ready_one_of_its_kind(kind: str) -> None:
    takein = read(PIECE.replace('"dresser"', f'"{kind}"'))
    assert takein.front == ready_fronts()[kind]


def test_own_keys_are_laid_over_a_ready_front() -> None:
    text = (
        PIECE
        + '[front]\nready = "bedside"\nbase = { height = 80 }\ncopies = 2\n[fittings]\ndrawers = { pull = "ring pull" }\n'
    )
    text += '[[fittings.extra]]\nkind = "hook"\nname = "towel hook"\nacross = 0.5\nup = 0.9\n'
    front, plain = read(text).front, ready_fronts()["bedside"]
    assert front is not None
    assert (front.base.kind, front.base.height, front.copies) == ("legs", 80, 2)
    assert (front.rows, front.doors) == (plain.rows, plain.doors)
    assert front.drawers.pull == "ring pull"
    assert [extra.name for extra in front.fittings] == ["towel hook"]


def test_points_on_a_photograph_become_numbered_positions() -> None:
    takein = read((DOCS / "examples" / "hall-stand.toml").read_text(encoding="utf-8"))
    first = take_in_positions(takein)[0]
    assert takein.front is None
    assert (first.number, first.code, first.x_mm, first.y_mm) == (1, "left-upper-hook", 0.22, 0.18)


def test_an_owner_may_be_a_name_alone_and_wood_a_single_text() -> None:
    takein = read(
        'owner = "the ferry house"\npromise = "2031-01-02"' + PIECE + 'woods = "pine"\npainted_before = false\n'
    )
    assert (takein.customer, takein.woods, takein.promise) == ("the ferry house", ("pine",), date(2031, 1, 2))
    assert not takein.maybe_lead


@pytest.mark.parametrize(
    ("painted", "test", "expected"),
    [("unknown", "not tested", True), ("no", "not tested", False), ("yes", "none found", False), ("no", "found", True)],
)
def test_old_paint_counts_as_lead_until_a_test_says_otherwise(painted: str, test: str, expected: bool) -> None:
    takein = replace(read(PIECE), painted_before=painted, lead_test=test)
    assert takein.maybe_lead is expected


# In each: the text after [piece] (or before it, when it ends in "|"), what is said, and whether the schema refuses it too.
REFUSED: list[tuple[str, str, bool]] = [
    ('kind = "chest"', "line 8, the end of the file: this is not TOML. Cannot overwrite a value.", False),
    (
        "woods = 'a' 'b'",
        "line 8, column 13: this is not TOML. Expected newline or end of document after a statement.",
        False,
    ),
    ("woods = [", "this is not TOML. Invalid value.", False),
    ("wods = []", "piece.wods is not a key that is known. Did you mean 'woods'? Known here: name, kind,", True),
    ("[frnt]", "frnt is not a key that is known. Did you mean 'front'?", True),
    ('painted_before = "maybe"', "piece.painted_before is 'maybe'. It must be 'unknown', 'yes' or 'no'.", True),
    ('lead_test = "none"', "piece.lead_test is 'none'. It must be 'not tested', 'none found' or 'found'.", True),
    ("woods = 3", "piece.woods is 3. It must be a list of texts.", True),
    ("woods = [3]", "piece.woods[0] is 3. It must be a text in quotes.", True),
    ('promise = "24 March"', "piece.promise is '24 March'. It must be a date as year-month-day", True),
    ("promise = 2031-03-24T10:00:00", "piece.promise is 2031-03-24 10:00:00. It must be a date", True),
    ("[owner]\nown_stock = true\ncustomer = 'x'", "owner has own_stock = true and customer 'x'. Give one", False),
    ("[owner]\nname = 'x'", "owner.name is not a key that is known. Known here: own_stock, customer.", True),
    ("[[spot_tests]]\nwhere = 'x'", 'spot_tests[0].liquid is missing. Give it, for example liquid = "alcohol".', True),
    ("[[faults]]\nkind = 'lose joint'", "faults[0].kind is 'lose joint'. Did you mean 'loose joint'?", True),
    ("[[faults]]\nwhere = 'x'", "faults[0].kind is missing.", True),
    (
        "[[faults]]\nkind = 'burn'\nposition = 99",
        "faults[0].position is 99, which is no position of this piece.",
        False,
    ),
    (
        "missing = ['left-door-hinge']|",
        "missing[0] is 'left-door-hinge', which is no position of this piece. Did you",
        False,
    ),
    ("missing = [0]|", "missing[0] is 0, which is no position of this piece.", True),
    ("missing = 'x'|", "missing is 'x'. It must be a list of codes or numbers of positions.", True),
    (
        "[[photos]]\nfile = '../x.jpg'",
        "photos[0].file is '../x.jpg'. It must be a file in the piece file's folder",
        False,
    ),
    ("[[photos]]\nfile = '/etc/x.jpg'", "photos[0].file is '/etc/x.jpg'.", True),
    ("[[photos]]\nfile = 'c:\\x.jpg'", "photos[0].file is 'c:\\x.jpg'.", True),
    ("[[surfaces]]\nname='x'\ngroup='tops'\narea_m2=1", "surfaces[0].group is 'tops'. Did you mean 'top'?", True),
    ("[[surfaces]]\nname='x'\ngroup='top'\narea_m2=-1", "surfaces[0].area_m2 is -1. It must be a number from 0", True),
    ("[front]\nready = 'dreser'", "front.ready is 'dreser'. Did you mean 'dresser'?", True),
    ("[front]\nready = 3", "front.ready is 3. It must be the name of a ready front.", True),
    ("[front]\ncopies = 2", "front.rows has no row in it.", False),
    (
        "[front]\nrows = [{ bays = [{ kind = 'door', hung = 'middle' }] }]",
        "front.rows[0].bays[0].hung is 'middle'. It must",
        True,
    ),
    ("[fittings]\ndrawers = { pulls = 9 }", "fittings.drawers.pulls is 9.", True),
    ("[fittings]\nknobs = 2", "fittings.knobs is not a key that is known. Known here: drawers, doors, extra.", True),
    ("[free]\nphoto = 'a.jpg'\n[fittings]", "fittings is given, but there is no front.", False),
    (
        "[free]\nphoto = 'a.jpg'\n[[free.points]]\nx = 2\ny = 0\nname = 'a'",
        "free.points[0].x is 2. It must be a number",
        True,
    ),
    ("[free]\nphoto = 'a.jpg'\n[[free.points]]\nx = 0\ny = 0\nname = ''", "free.points[0].name is empty.", True),
    ("[free]\npoints = []", "free.photo is missing.", True),
    ("missing = ['x']|[free]\nphoto = 'a.jpg'", "missing[0] is 'x', but this piece has no positions.", False),
    (f"note = '{'x' * 2001}'", "piece.note has 2001 characters. It may have at most 2000.", True),
]


@pytest.mark.parametrize(("text", "expected", "by_schema"), REFUSED, ids=[row[1][:50] for row in REFUSED])
def test_a_bad_file_is_refused_with_its_name_the_key_and_what_would_do(
    text: str, expected: str, by_schema: bool
) -> None:
    before, _, after = text.rpartition("|")
    whole = before + PIECE + after
    assert expected in said(whole)
    if "not TOML" not in expected:
        assert bool(list(VALIDATOR.iter_errors(as_json(whole)))) is by_schema


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ('"1220 mm"', '"-1220 mm"', "piece.width is '-1220 mm'. It must be from 10 to 6000 mm."),
        ('"1220 mm"', '"3 3/5/8 in"', "piece.width is '3 3/5/8 in'. “3 3/5/8 in” cannot be read as a length."),
        ('"1220 mm"', '"1220"', "piece.width is '1220'. “1220”: the number 1220 has no unit."),
        ('"1220 mm"', "1220", "piece.width is 1220. It must be a text with its unit, such as"),
        ('"1220 mm"', '"30 m"', "piece.width is '30 m'. It must be from 10 to 6000 mm."),
        ('width = "1220 mm"\n', "", 'piece.width is missing. Give it, for example width = "1220 mm".'),
        ('"dresser"', '"dreser"', "piece.kind is 'dreser'. Did you mean 'dresser'? It must be 'dresser', 'chest'"),
        ('name = "Pine dresser"\n', "", "piece.name is missing."),
        ('"Pine dresser"', '" "', "piece.name is empty."),
        ("[piece]", "[[piece]]", "piece is a list. It must be a table of keys and values."),
        (PIECE, "", "piece is missing."),
    ],
)
def test_a_bad_heading_of_a_file_is_refused(old: str, new: str, expected: str) -> None:
    assert expected in said(PIECE.replace(old, new))


def test_a_huge_or_hostile_file_is_refused() -> None:
    assert "is larger than 1 MB" in said("#" * 1_000_001)
    assert "nested too deeply" in said("a = " + "[" * 5000)
    assert "is not TOML" in said("a = " + "9" * 5000)
    assert "It must be a length" in said(PIECE + "[front]\nframe = inf\nrows = [{ bays = [{ kind = 'drawer' }] }]")


def test_a_promise_in_the_past_is_refused() -> None:
    today = date(2026, 3, 12)
    check_promise(None, today)
    check_promise(today, today)
    with pytest.raises(BadInput, match=r"The promise is 2026-03-11, which is past. It must be 2026-03-12 or later"):
        check_promise(date(2026, 3, 11), today)


def test_a_promise_for_the_end_of_time_is_refused() -> None:
    """The last day of the calendar has no moment after it, and in some time zones not even an end."""
    today = date(2026, 3, 12)
    check_promise(date(2046, 12, 31), today)
    with pytest.raises(BadInput, match=r"The promise is 9999-12-31, which is far away. It must be within 20 years"):
        check_promise(date.max, today)


def test_the_schema_has_the_words_of_the_reader() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    made, bay = SCHEMA["$defs"], SCHEMA["$defs"]["bay"]
    front = made["front"]["properties"]
    assert set(SCHEMA["properties"]) == set(TOP_KEYS)
    assert set(SCHEMA["properties"]["piece"]["properties"]) == set(PIECE_KEYS)
    assert SCHEMA["properties"]["piece"]["properties"]["kind"]["enum"] == list(KINDS)
    assert SCHEMA["properties"]["faults"]["items"]["properties"]["kind"]["enum"] == list(FAULT_KINDS)
    assert SCHEMA["properties"]["surfaces"]["items"]["properties"]["group"]["enum"] == list(GROUPS)
    assert set(front) == {*FRONT_KEYS, "ready"}
    assert front["ready"]["enum"] == list(ready_fronts())
    assert front["outline"]["enum"] == list(kinds.OUTLINES)
    assert front["base"]["properties"]["kind"]["enum"] == list(kinds.BASE_KINDS)
    assert front["chair"]["properties"]["back"]["enum"] == list(kinds.BACK_KINDS)
    assert bay["properties"]["kind"]["enum"] == list(kinds.BAY_KINDS)
    assert sorted(one["properties"]["kind"]["const"] for one in bay["oneOf"]) == sorted(kinds.BAY_KINDS)
    assert set(made["drawerFit"]["properties"]) == set(DRAWER_KEYS)
    assert set(made["doorFit"]["properties"]) == set(DOOR_KEYS)
    assert made["drawerFit"]["properties"]["pull"]["enum"] == list(kinds.PULL_KINDS)
    assert made["doorFit"]["properties"]["hinge"]["enum"] == list(kinds.HINGE_KINDS)
    assert made["fitting"]["properties"]["kind"]["enum"] == list(kinds.FITTING_KINDS)


def keys_in(schema: Any) -> set[str]:
    """Every key that the schema knows of, at any depth."""
    if isinstance(schema, list):
        return set().union(*(keys_in(item) for item in schema))
    if not isinstance(schema, dict):
        return set()
    here = set(schema.get("properties", {}))
    return here.union(*(keys_in(item) for item in schema.values()))


def words_in(schema: Any) -> set[str]:
    """Every word that the schema lets a key be."""
    if isinstance(schema, list):
        return set().union(*(words_in(item) for item in schema))
    if not isinstance(schema, dict):
        return set()
    here = {word for word in schema.get("enum", []) if isinstance(word, str)}
    return here.union(*(words_in(item) for item in schema.values()))


def test_the_page_tells_every_key_and_every_word() -> None:
    page = (DOCS / "piece-file.md").read_text(encoding="utf-8")
    written = (("`", "`"), ("`[", "]`"), ("`[[", "]]`"))
    assert not [key for key in sorted(keys_in(SCHEMA)) if not any(f"{a}{key}{b}" in page for a, b in written)]
    assert not [word for word in sorted(words_in(SCHEMA)) if word not in page]


def test_the_example_on_the_page_is_the_example_file() -> None:
    page = (DOCS / "piece-file.md").read_text(encoding="utf-8")
    assert (DOCS / "examples" / "pine-dresser.toml").read_text(encoding="utf-8") in page


def test_words_shared_with_the_tables_are_the_same() -> None:
    """Kinds of piece, of part and of fault are rows of the trade's tables too."""
    tables = files("tallboy.tables")
    repairs = tomllib.loads(tables.joinpath("repairs.toml").read_text(encoding="utf-8"))
    named = tomllib.loads(tables.joinpath("kinds.toml").read_text(encoding="utf-8"))
    assert {row["fault_kind"] for row in repairs["repairs"]} == set(FAULT_KINDS)
    assert {row["key"] for row in named["parts"]} == set(kinds.FITTING_KINDS)
    assert {row["key"] for row in named["pieces"]} == set(KINDS)


def test_a_ready_front_is_written_out_in_full() -> None:
    front: Front | None = read(PIECE + "[front]\nready = 'chest'\n").front
    text = piece_file(read(PIECE + "[front]\nready = 'chest'\n"))
    assert "ready" not in text
    assert front is not None
    assert positions(front, 1220, 900, 460) == take_in_positions(read(text))


@pytest.mark.parametrize(
    ("more", "named"),
    [
        ("promise = 0x{digits}", "promise is a number of very many digits."),
        ("missing = [0x{digits}]", "missing[0] is a number of very many digits"),
        ("front = {{ copies = 0x{digits} }}", "front.copies is a number of very many digits."),
        ("surfaces = [{{ name = 'top', group = 'top', area_m2 = 0x{digits} }}]", "surfaces[0].area_m2 is a number"),
    ],
)
def test_a_number_too_long_to_be_written_out_is_refused_like_any_other(more: str, named: str) -> None:
    """Python itself refuses to write out more than 4300 digits; a file of a few kilobytes can hold them."""
    assert named in said(PIECE.replace("[piece]", more.format(digits="f" * 6000) + "\n[piece]"))


@pytest.mark.parametrize(
    ("first", "second"),
    [(("lid", "top"), ("lid", "top")), (("lid", "top"), ("lid", "sides")), (("lid", "top"), ("sides", "top"))],
)
def test_two_surfaces_cannot_be_called_the_same(first: tuple[str, str], second: tuple[str, str]) -> None:
    """Neither twice the same name, nor the name of another group, whose area is computed."""
    rows = "".join(
        f"[[surfaces]]\nname = '{name}'\ngroup = '{group}'\narea_m2 = 1\n" for name, group in (first, second)
    )
    assert "surfaces[1].name is" in said(PIECE + rows)


def test_woods_fit_where_they_are_kept() -> None:
    """The woods of a piece are kept in one line of 200 letters."""
    assert read(PIECE + f"woods = ['{'e' * 98}', '{'o' * 100}']").woods == ("e" * 98, "o" * 100)
    assert "piece.woods" in said(PIECE + f"woods = ['{'e' * 99}', '{'o' * 100}']")
