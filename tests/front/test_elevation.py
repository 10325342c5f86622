"""The elevation drawing: to scale, well formed, every position drawn once, nothing in it that a strict page forbids."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.drawings import parsed
from tests.front.front_made import SIZE, fronts

from tallboy.errors import BadInput
from tallboy.front.callouts import Mark, hit_radius, place
from tallboy.front.elevation import PAPERS, STATES, Elevation, TitleBlock, Words, elevation
from tallboy.front.kinds import Door, Drawer, Extra, Front, Row
from tallboy.front.positions import positions
from tallboy.front.ready import ready_fronts, usual_size
from tallboy.front.view import SCALES, Rect

SVG = "{http://www.w3.org/2000/svg}"
CABINET = Front((Row((Drawer(), Drawer(), Drawer()), 170.0), Row((Door("left"), Door("right")))))


def drawn(front: Front, size: tuple[float, float, float] = SIZE, **more: object) -> tuple[Elevation, ET.Element]:
    found = positions(front, *size)
    drawing = elevation(front, *size, found, title=TitleBlock("Pine dresser", "2026-014"), **more)  # type: ignore[arg-type]  # passed through
    return drawing, parsed(drawing.svg)


def of_class(root: ET.Element, name: str) -> list[ET.Element]:
    return [one for one in root.iter() if name in (one.get("class") or "").split()]


@settings(max_examples=60, deadline=None)
@given(fronts, st.data())
def test_any_front_draws_each_position_once(front: Front, data: st.DataObject) -> None:
    found = positions(front, *SIZE)
    states = {one.code: data.draw(st.sampled_from(STATES)) for one in found[:6]}
    drawing, root = drawn(front, states=states, links={one.code: f"/position/{one.code}" for one in found})
    codes = [one.get("data-code") for one in of_class(root, "el-position")]
    assert codes == [one.code for one in found]
    numbers = [text.text for group in of_class(root, "el-position") for text in group.iter(f"{SVG}text")]
    assert numbers == [str(one.number) for one in found]
    assert drawing.scale in SCALES


@settings(max_examples=60, deadline=None)
@given(fronts)
def test_circles_never_overlap_and_stay_on_the_sheet(front: Front) -> None:
    drawing, root = drawn(front)
    circles = []
    for group in of_class(root, "el-position"):
        ring = next(group.iter(f"{SVG}circle"))
        circles.append(tuple(float(ring.get(key) or 0) for key in ("cx", "cy", "r")))
    for x, y, r in circles:
        assert r <= x <= drawing.width_mm - r
        assert r <= y <= drawing.height_mm - r
    for (ax, ay, ar), (bx, by, br) in combinations(circles, 2):
        assert math.hypot(ax - bx, ay - by) >= ar + br - 0.03


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("name", ready_fronts())
def test_each_ready_front_is_drawn_on_the_usual_paper(name: str, units: str) -> None:
    drawing, root = drawn(ready_fronts()[name], usual_size(name), units=units)
    assert drawing.width_mm <= PAPERS["a4"][0]
    assert drawing.height_mm <= PAPERS["a4"][1]
    assert root.get("viewBox") == f"0 0 {drawing.width_mm:.2f} {drawing.height_mm:.2f}"
    assert root.get("width") == f"{drawing.width_mm:.2f}mm"
    assert len(drawing.svg) < 60_000


@pytest.mark.parametrize("name", ready_fronts())
def test_nothing_in_a_drawing_needs_a_style_sheet_or_a_script(name: str) -> None:
    _, root = drawn(ready_fronts()[name], usual_size(name))
    for one in root.iter():
        assert one.tag.removeprefix(SVG) in {"svg", "g", "a", "rect", "circle", "ellipse", "path", "text", "title"}
        assert not [key for key in one.attrib if key == "style" or key.startswith("on")]
        shaped = one.tag.removeprefix(SVG) in {"rect", "circle", "ellipse", "path", "text"}
        assert not shaped or (one.get("class") and one.get("fill"))


def test_the_case_is_drawn_true_to_scale() -> None:
    """1220 mm wide with a top that overhangs 12 mm each side is 119.6 mm at 1 : 10; by hand."""
    drawing, root = drawn(CABINET, (1220, 900, 460))
    top, case = of_class(root, "el-case")[-1], of_class(root, "el-case")[0]
    assert drawing.scale == 10
    assert float(top.get("width") or 0) == pytest.approx(122.0)
    assert float(case.get("width") or 0) == pytest.approx(119.6)


@pytest.mark.parametrize(
    ("size", "scale"),
    [
        ((100, 100, 100), 1),
        ((200, 170, 100), 2),
        ((600, 800, 400), 5),
        ((1300, 900, 400), 10),
        ((2500, 900, 400), 20),
        ((6000, 2500, 600), 50),
    ],
)
def test_the_largest_usual_scale_that_fits_the_paper_is_taken(size: tuple[float, float, float], scale: int) -> None:
    front = Front((Row((Door("left"),)),), frame=2.0)
    assert drawn(front, size)[0].scale == scale


def test_a_smaller_paper_takes_a_smaller_scale() -> None:
    assert drawn(CABINET, (1220, 900, 460), paper=(130.0, 120.0))[0].scale == 20


def test_texts_are_escaped_and_cleaned() -> None:
    front = Front((Row((Drawer(name="a<b&\"c' \x00"),)),), fittings=(Extra("hook", "</svg><script>", 0.5, 0.5, True),))
    found = positions(front, 900, 800, 400)
    links = {one.code: '/x?a=1&b="2"' for one in found}
    title = TitleBlock("<b>Dresser</b> & \ud800 co", "№ <1>", "", "\x07today")
    svg = elevation(front, 900, 800, 400, found, title=title, links=links).svg
    root = parsed(svg)
    assert "<script" not in svg
    assert "<b>" not in svg
    assert [one.get("href") for one in root.iter(f"{SVG}a")] == ['/x?a=1&b="2"'] * len(found)
    assert "<b>Dresser</b> &  co" in (root.get("aria-label") or "")


def test_without_links_it_is_an_image_and_with_links_a_group_of_them() -> None:
    _, plain = drawn(CABINET)
    assert (plain.get("role"), plain.get("aria-label")) == (
        "img",
        "Front elevation of Pine dresser with 9 numbered positions",
    )
    found = positions(CABINET, *SIZE)
    _, linked = drawn(CABINET, links={found[0].code: "/positions/1"}, states={found[0].code: "missing"})
    assert linked.get("role") == "group"
    (link,) = linked.iter(f"{SVG}a")
    assert link.get("aria-label") == "1: left drawer, knob, missing"
    assert link.find(f"{SVG}title") is not None


def test_touch_areas_reach_44_px_on_a_phone_where_the_neighbours_allow() -> None:
    found = positions(CABINET, 1220, 900, 460)
    drawing, root = drawn(CABINET, (1220, 900, 460), links={one.code: "/x" for one in found})
    pixels = [2 * float(one.get("r") or 0) * 360 / drawing.width_mm for one in of_class(root, "el-hit")]
    assert len(pixels) == len(found)
    assert max(pixels) == pytest.approx(44, abs=0.1)
    assert min(pixels) >= 24


def test_each_state_has_a_ring_of_its_own_and_the_key_names_the_states_that_occur() -> None:
    found = positions(CABINET, *SIZE)
    states = dict(zip((one.code for one in found), STATES, strict=False))
    _, root = drawn(CABINET, states=states)
    rings = []
    for state in STATES:
        group = of_class(root, f"el-is-{state}")[-1 if state != "on" else 0]
        marks = ("class", "stroke", "stroke-width", "stroke-dasharray")
        rings.append(tuple(tuple(one.get(key) for key in marks) for one in group.iter(f"{SVG}circle")))
    assert len(set(rings)) == len(STATES)
    (key,) = of_class(root, "el-key")
    assert [one.text for one in key.iter(f"{SVG}text")] == [
        "on the piece",
        "taken off",
        "missing",
        "fitted again",
        "stays empty",
    ]
    assert not of_class(drawn(CABINET)[1], "el-key")


def test_an_unknown_state_is_refused() -> None:
    with pytest.raises(BadInput, match=r"state of 'drawer' is 'lost'. It must be 'on', 'off'"):
        drawn(CABINET, states={"drawer": "lost"})


def test_the_title_block_and_dimensions_say_the_sizes() -> None:
    _, root = drawn(CABINET, (1220, 900, 460))
    said = [one.text for one in root.iter(f"{SVG}text")]
    assert {"Pine dresser", "2026-014", "1 : 10", "1220 × 900 × 460 mm", "1220 mm", "900 mm", "170"} <= set(said)
    _, inches = drawn(CABINET, (1219.2, 914.4, 457.2), units="imperial")
    assert {"48 in", "36 in", "48 × 36 × 18 in"} <= {one.text for one in inches.iter(f"{SVG}text")}


def test_a_long_name_is_set_on_two_lines_and_cut_short() -> None:
    found = positions(CABINET, *SIZE)
    title = TitleBlock(
        "Pine dresser with two doors, three drawers and a rack that was added much later by someone else"
    )
    root = parsed(elevation(CABINET, *SIZE, found, title=title).svg)
    lines = [one.text or "" for one in of_class(root, "el-title")]
    assert len(lines) == 2
    assert lines[1].endswith("…")


def test_the_words_can_be_given_in_another_language() -> None:
    words = Words(piece="Möbel", whole="Ansicht: {piece}, {count}")
    _, root = drawn(CABINET, words=words)
    assert root.get("aria-label") == "Ansicht: Pine dresser, 9"
    assert "Möbel" in {one.text for one in of_class(root, "el-label")}


def test_doors_show_the_side_they_are_hung_on() -> None:
    """The point of the dashed V lies on the hung side."""
    _, root = drawn(Front((Row((Door("left"), Door("right"))),)), (1000, 900, 400))
    tips = []
    for one in of_class(root, "el-swing"):
        numbers = [float(value) for value in re.findall(r"-?\d+\.?\d*", one.get("d") or "")]
        tips.append((numbers[2] < numbers[0], numbers[2] > numbers[0]))
    assert tips == [(True, False), (False, True)]


def test_fittings_all_in_one_place_still_get_circles_apart() -> None:
    marks = [Mark(Rect(50, 50, 2, 2))] * 300
    placed = place(marks, Rect(0, 0, 100, 100), 100)
    assert len(placed) == 300
    for one, two in combinations(placed, 2):
        assert math.hypot(one.x - two.x, one.y - two.y) >= one.r + two.r - 1e-9


def test_a_touch_area_ends_halfway_to_the_next_circle() -> None:
    placed = place([Mark(Rect(20, 50, 2, 2)), Mark(Rect(30, 50, 2, 2))], Rect(0, 0, 100, 100), 100)
    apart = math.hypot(placed[0].x - placed[1].x, placed[0].y - placed[1].y)
    assert hit_radius(0, placed, 50.0) == pytest.approx(apart / 2)
    assert hit_radius(0, placed[:1], 9.0) == 9.0
