"""Areas of a piece from its front: every drawer with its real size, nothing counted twice, and the sum of a plain box."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.front.front_made import fronts

from tallboy.errors import BadInput, OutOfRange
from tallboy.front.areas import Construction, Moulding, PieceAreas, Turning, piece_areas, surface_groups
from tallboy.front.piecefile import read_piece_file
from tallboy.front.shape import Front, front_from_dict
from tallboy.sums.areas import surface_areas

EXAMPLES = Path(__file__).parents[2] / "docs" / "examples"
BARE: dict[str, Any] = {"top": {"thickness": 0, "overhang": 0}, "base": {"kind": "none"}, "frame": 0}


def front(rows: list[dict[str, Any]], **more: Any) -> Front:
    return front_from_dict({**BARE, "rows": rows, **more})


def area(found: PieceAreas, name: str) -> float:
    return found.total_m2([name])


def test_a_case_of_one_door_by_hand() -> None:
    """600 x 800 x 400 without frame, top or base: the door is the whole face."""
    found = piece_areas(front([{"bays": [{"kind": "door", "hung": "left"}]}]), 600, 800, 400)
    assert area(found, "front frame") == 0
    assert area(found, "doors") == pytest.approx(2 * 0.48 + 2 * 1.4 * 0.02)
    assert area(found, "inside") == pytest.approx(0.48 + 2 * 1.4 * 0.4)
    assert area(found, "sides") == pytest.approx(2 * 0.32)
    assert area(found, "top") == pytest.approx(0.24)
    assert area(found, "back") == pytest.approx(0.48)


def test_a_pair_of_doors_closes_one_room() -> None:
    """The wall between them that is not there is not counted."""
    pair = piece_areas(front([{"bays": [{"kind": "doors"}]}]), 600, 800, 400)
    assert area(pair, "inside") == pytest.approx(0.48 + 2 * 1.4 * 0.4)
    assert len([p for g in pair.groups if g.name == "doors" for p in g.patches]) == 2
    assert "left door, right door" in [p.name for g in pair.groups if g.name == "inside" for p in g.patches]


@given(st.integers(1, 5), st.integers(1, 3), st.floats(300, 2000), st.floats(300, 2000), st.floats(200, 800))
def test_drawers_share_the_face(rows: int, across: int, w: float, h: float, d: float) -> None:
    """Without frame their fronts are the face; each has an inside and an outside."""
    bays = [{"bays": [{"kind": "drawer"}] * across}] * rows
    found = piece_areas(front(bays), w, h, d)
    assert area(found, "drawer fronts") == pytest.approx(w * h / 1e6)
    assert area(found, "front frame") == pytest.approx(0, abs=1e-9)
    patches = [p for g in found.groups if g.name == "drawers inside" for p in g.patches]
    assert len(patches) == rows * across


@given(st.floats(300, 2000), st.floats(300, 2000), st.floats(200, 800), st.floats(0, 40), st.floats(0, 30))
def test_face_and_bays_are_the_whole_face(w: float, h: float, d: float, frame: float, over: float) -> None:
    """What the frame lacks the bays have, whatever the frame and the top."""
    rows: list[dict[str, Any]] = [
        {"bays": [{"kind": "drawer"}, {"kind": "door", "hung": "left"}]},
        {"bays": [{"kind": "open", "shelves": 1}]},
    ]
    one = front(rows, frame=frame, top={"thickness": 20, "overhang": over}, base={"kind": "plinth", "height": 50})
    found = piece_areas(one, w, h, d, construction=Construction(door_mm=0, shelf_mm=0))
    bays = area(found, "drawer fronts") + area(found, "doors") / 2
    shelf = next(p for g in found.groups if g.name == "shelves" for p in g.patches)
    room = next(p for g in found.groups if g.name == "inside" for p in g.patches if p.name == shelf.name)
    bays += room.sizes_mm[0] * room.sizes_mm[1] / 1e6
    face = (w - 2 * over) * (h - 20) / 1e6
    assert bays + area(found, "front frame") == pytest.approx(face)
    assert shelf.area_m2 == pytest.approx(2 * room.sizes_mm[0] * (d - over) / 1e6)


def test_copies_count_together() -> None:
    """A pair has twice the area of one, patch by patch."""
    rows = [{"bays": [{"kind": "drawer"}]}]
    one, two = (piece_areas(front(rows, copies=copies), 400, 600, 300) for copies in (1, 2))
    for single, both in zip(one.groups, two.groups, strict=True):
        assert both.area_m2 == pytest.approx(2 * single.area_m2)
        assert [p.times for p in both.patches] == [2 * p.times for p in single.patches]


def test_without_a_front_it_is_the_plain_box() -> None:
    """As the sum has it, of a case with nothing in it."""
    found = piece_areas(None, 600, 400, 300)
    box = surface_areas(600, 400, 300)
    assert {g.name: g.area_m2 for g in found.groups} == pytest.approx({k: v for k, v in box.items() if v})
    assert surface_groups(None, 600, 400, 300) == pytest.approx(box)


def test_a_plain_case_agrees_with_the_plain_box() -> None:
    """The sum by sizes and the piece by its front, where neither has anything that the other has not."""
    rows = [{"bays": [{"kind": "drawer"}] * 2}, {"bays": [{"kind": "open"}]}]
    found = surface_groups(front(rows), 1000, 800, 400)
    box = surface_areas(1000, 800, 400, drawers=[(500, 400)] * 2, open_bays=[(1000, 400)])
    assert found == pytest.approx(box)


def test_a_table_has_an_apron_and_not_walls() -> None:
    """A table of 750 mm with an apron of 130: its sides are the apron's, and its legs have two sides covered there."""
    table = front_from_dict({"outline": "table", "rows": [{"bays": [{"kind": "drawer"}], "height": 94}], "frame": 18})
    found = surface_groups(table, 1200, 750, 700)
    assert found["sides"] < 0.2
    assert found["back"] < 0.2
    leg = next(p for g in piece_areas(table, 1200, 750, 700).groups if g.name == "legs" for p in g.patches)
    wide, _, tall = leg.sizes_mm
    assert leg.area_m2 == pytest.approx(4 * (4 * wide * tall - 2 * wide * 130) / 1e6)


def test_a_trolley_is_boards_on_posts() -> None:
    """No sides and no inside where all its rows are open; with a drawer that row gets walls."""
    rows = [{"bays": [{"kind": "open"}]}, {"bays": [{"kind": "open"}]}]
    bare = piece_areas(front_from_dict({"outline": "trolley", "rows": rows}), 700, 750, 450)
    assert {g.name for g in bare.groups} == {"top", "trays", "legs"}
    assert next(g for g in bare.groups if g.name == "trays").patches[0].times == 2
    rows[0] = {"bays": [{"kind": "drawer"}]}
    drawer = piece_areas(front_from_dict({"outline": "trolley", "rows": rows}), 700, 750, 450)
    assert {"sides", "back", "drawer fronts", "drawers inside"} <= {g.name for g in drawer.groups}
    assert bare.spread == drawer.spread == 0.2


@pytest.mark.parametrize("back", ["slats", "rails", "spindles", "panel", "none"])
def test_a_chair_is_sticks(back: str) -> None:
    """Seat, back and legs; arms and stretchers when it has them; more filling, more back."""
    chair = {"outline": "chair", "chair": {"back": back, "arms": True, "stretchers": 2}, "base": {"kind": "legs"}}
    found = piece_areas(front_from_dict(chair), 450, 900, 450)
    assert {g.name for g in found.groups} == {"top", "back", "legs", "sides"}
    plain = piece_areas(front_from_dict({**chair, "chair": {"back": "none", "stretchers": 0}}), 450, 900, 450)
    assert area(found, "back") >= area(plain, "back")
    assert area(found, "legs") > area(plain, "legs")
    assert "sides" not in {g.name for g in plain.groups}


def test_feet_are_turned_and_legs_square() -> None:
    """A foot by its girth, a leg by its four sides, each as often as there are any."""
    rows = [{"bays": [{"kind": "drawer"}]}]
    feet = piece_areas(front(rows, base={"kind": "feet", "height": 90}), 900, 800, 400)
    foot = next(p for g in feet.groups if g.name == "legs" for p in g.patches)
    assert foot.times == 4
    assert foot.area_m2 == pytest.approx(4 * foot.sizes_mm[0] * 90 / 1e6)
    legs = piece_areas(front(rows, base={"kind": "legs", "height": 90, "count": 6}), 900, 800, 400)
    assert next(p for g in legs.groups if g.name == "legs" for p in g.patches).times == 6


def test_mouldings_and_turnings_are_taken_when_given() -> None:
    """And no longer said to be left out."""
    bare = piece_areas(None, 600, 400, 300)
    found = piece_areas(None, 600, 400, 300, mouldings=[Moulding(60, 2400)], turnings=[Turning(math.pi * 40, 700, 4)])
    assert area(found, "mouldings") == pytest.approx(0.144)
    assert area(found, "turnings") == pytest.approx(4 * math.pi * 0.04 * 0.7)
    assert {"mouldings", "turnings"} <= set(bare.not_in_it)
    assert not {"mouldings", "turnings"} & set(found.not_in_it)


@pytest.mark.parametrize("name", sorted(path.stem for path in EXAMPLES.glob("*.toml")))
def test_every_example_is_measured(name: str) -> None:
    """Every group has patches, every area is theirs, and the groups that routes speak of hold no more than all of it."""
    told = read_piece_file((EXAMPLES / f"{name}.toml").read_text(encoding="utf-8"), name=name)
    found = piece_areas(told.front, told.width, told.height, told.depth)
    for group in found.groups:
        assert group.patches
        assert group.area_m2 == pytest.approx(sum(patch.area_m2 for patch in group.patches))
        assert all(patch.area_m2 > 0 and patch.times >= 1 for patch in group.patches)
    for_routes = surface_groups(told.front, told.width, told.height, told.depth)
    everything = found.total_m2([group.name for group in found.groups])
    drawers = found.total_m2(["drawers inside", "drawers outside"])
    assert sum(for_routes.values()) == pytest.approx(everything - drawers)


def test_an_upper_part_is_told_as_deep_as_the_lower() -> None:
    """Its sides and back count, and what was taken for granted is said."""
    rows = [{"bays": [{"kind": "drawer"}]}]
    rack = {"rows": [{"bays": [{"kind": "open", "shelves": 2}]}], "height": 900}
    found = piece_areas(front(rows, upper=rack), 1200, 1800, 450)
    assert "the upper part as deep as the lower" in found.taken
    assert next(g for g in found.groups if g.name == "shelves").patches[0].times == 2
    assert area(found, "back") > area(piece_areas(front(rows), 1200, 900, 450), "back")


def test_tiny_drawers_have_no_parts() -> None:
    """A drawer narrower than its sides could be counts by its front alone."""
    found = piece_areas(front([{"bays": [{"kind": "drawer"}] * 3}]), 100, 60, 80)
    assert area(found, "drawer fronts") > 0
    assert area(found, "drawers inside") == 0


def test_what_is_no_furniture_is_refused() -> None:
    """A size beyond any piece; parts that do not fit."""
    with pytest.raises(OutOfRange):
        piece_areas(None, 600, 400, 5)
    with pytest.raises(BadInput):
        piece_areas(front([{"bays": [{"kind": "drawer"}] * 12}], frame=30), 200, 200, 200)


@given(fronts, st.floats(300, 3000), st.floats(300, 3000), st.floats(50, 1500))
def test_any_front_has_areas_or_does_not_fit(any_front: Front, w: float, h: float, d: float) -> None:
    """Whatever the front: whole areas above nothing, or a plain word that it does not fit into the size."""
    try:
        found = piece_areas(any_front, w, h, d)
    except BadInput:
        return
    assert found.groups
    assert all(0 < patch.area_m2 < 10_000 for group in found.groups for patch in group.patches)
    assert all(value >= 0 for value in surface_groups(any_front, w, h, d).values())


def test_only_what_could_be_there_is_said_to_be_left_out() -> None:
    """Shelves behind doors where there are doors, the case behind drawers where there are drawers."""
    door = piece_areas(front([{"bays": [{"kind": "door", "hung": "left"}]}]), 600, 800, 400)
    drawer = piece_areas(front([{"bays": [{"kind": "drawer"}]}]), 600, 800, 400)
    assert door.not_in_it == ("mouldings", "turnings", "carving", "the underside", "shelves behind doors", "raised fields of panels")  # fmt: skip
    assert drawer.not_in_it == ("mouldings", "turnings", "carving", "the underside", "the case behind drawers")
    assert door.taken == ("doors 20 mm thick",)
