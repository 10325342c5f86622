"""Positions: numbered, named, inside the piece; and the sizes of bays."""

from __future__ import annotations

import pytest
from hypothesis import given
from tests.front.front_made import SIZE, fronts

from tallboy.errors import BadInput, OutOfRange
from tallboy.front.kinds import (
    Base,
    Chair,
    Door,
    DoorFit,
    Doors,
    Drawer,
    DrawerFit,
    Extra,
    Flap,
    Front,
    Open,
    Panel,
    Row,
    Stack,
    Top,
)
from tallboy.front.positions import boxes, codes_for, extent, positions
from tallboy.front.ready import ready_fronts, usual_size

BARE = Top(0.0, 0.0)


def chest(*counts: int) -> tuple[Row, ...]:
    return tuple(Row(tuple(Drawer() for _ in range(count))) for count in counts)


def names(front: Front) -> list[str]:
    return [one.name for one in positions(front, 1200, 1000, 500)]


@given(fronts)
def test_positions_are_numbered_once_each_and_lie_on_the_piece(front: Front) -> None:
    found = positions(front, *SIZE)
    width, height = extent(front, SIZE[0], SIZE[1])
    assert [one.number for one in found] == list(range(1, len(found) + 1))
    assert len({one.code for one in found}) == len(found)
    assert len({one.name for one in found}) == len(found)
    assert all(-1e-6 <= one.x_mm <= width + 1e-6 and -1e-6 <= one.y_mm <= height + 1e-6 for one in found)
    assert found == positions(front, *SIZE)


@given(fronts)
def test_bays_lie_inside_the_piece_and_do_not_overlap(front: Front) -> None:
    found = [box for box in boxes(front, SIZE[0], SIZE[1]) if box.bay is not None]
    width, height = extent(front, SIZE[0], SIZE[1])
    for at, one in enumerate(found):
        assert one.x >= -1e-6
        assert one.right <= width + 1e-6
        assert one.y >= -1e-6
        assert one.top <= height + 1e-6
        for two in found[at + 1 :]:
            across = min(one.right, two.right) - max(one.x, two.x)
            up = min(one.top, two.top) - max(one.y, two.y)
            assert across < 1e-6 or up < 1e-6


@pytest.mark.parametrize("name", ready_fronts())
def test_each_ready_front_has_positions_at_its_usual_size(name: str) -> None:
    found = positions(ready_fronts()[name], *usual_size(name))
    without = {"table without drawers", "bookcase", "other"}
    assert bool(found) is (name not in without)


def test_a_row_of_three_drawers_is_left_middle_and_right() -> None:
    assert names(Front(chest(3), base=Base("none"))) == [
        "left drawer, knob",
        "middle drawer, knob",
        "right drawer, knob",
    ]


def test_a_stack_of_four_drawers_is_top_second_third_and_bottom() -> None:
    said = [name.split(",")[0] for name in names(Front(chest(1, 1, 1, 1)))]
    assert said == ["top drawer", "second drawer", "third drawer", "bottom drawer"]


def test_two_short_drawers_over_three_long_ones_have_the_names_of_the_trade() -> None:
    said = [name.split(",")[0] for name in names(Front(chest(2, 1, 1, 1)))]
    assert said == ["top left drawer", "top right drawer", "second drawer", "third drawer", "bottom drawer"]


def test_more_than_three_in_a_row_are_counted_from_the_left() -> None:
    front = Front(chest(4), drawers=DrawerFit(pulls=2, pull="cup pull"))
    assert names(front)[4:6] == ["drawer 3, left pull", "drawer 3, right pull"]


def test_one_drawer_alone_needs_no_word() -> None:
    assert names(Front(chest(1))) == ["drawer, knob"]


def test_a_pair_of_doors_has_its_lock_on_the_leaf_that_opens_first_and_bolts_on_the_other() -> None:
    fit = DoorFit(2, "butt", "knob", True, True, True, 2)
    said = names(Front((Row((Doors(fit=fit),)),)))
    assert [name for name in said if name.startswith("left door")] == [
        "left door, top bolt",
        "left door, top hinge",
        "left door, knob",
        "left door, escutcheon",
        "left door, bottom hinge",
        "left door, bottom bolt",
    ]
    assert {"right door, lock", "right door, catch"} <= set(said)
    assert not {"left door, lock", "left door, catch", "right door, top bolt"} & set(said)


def test_hinges_sit_on_the_hung_side_and_the_knob_near_the_other() -> None:
    front = Front((Row((Door("right"),)),), top=BARE, base=Base("none"), frame=0.0)
    at = {one.name: one for one in positions(front, 600, 1000, 400)}
    assert at["door, top hinge"].x_mm == 600
    assert at["door, top hinge"].y_mm > at["door, bottom hinge"].y_mm
    assert at["door, knob"].x_mm == pytest.approx(38)
    assert (at["door, top hinge"].kind, at["door, top hinge"].detail, at["door, top hinge"].screws) == (
        "hinge",
        "butt",
        6,
    )


def test_a_fall_is_hinged_below_and_a_lid_above() -> None:
    front = Front((Row((Flap("top"),)), Row((Flap("bottom"),))), top=BARE, base=Base("none"), frame=0.0)
    at = {one.name: one.y_mm for one in positions(front, 600, 1000, 400)}
    assert at["lid, left hinge"] == 1000
    assert at["fall, left hinge"] == 0


def test_pedestals_name_their_drawers() -> None:
    side = Stack(chest(1, 1), name="left pedestal"), Open(), Stack(chest(1, 1))
    said = names(Front((Row(side),)))
    assert said[0] == "left pedestal, top drawer, knob"
    assert said[2] == "right stack, top drawer, knob"


def test_copies_are_named_by_their_place() -> None:
    said = names(Front(chest(1), copies=2))
    assert said == ["left cabinet, drawer, knob", "right cabinet, drawer, knob"]


def test_a_bay_setting_wins_over_the_setting_for_all() -> None:
    rows = (Row((Drawer(fit=DrawerFit(pulls=2)), Drawer())),)
    kinds = [(one.name, one.detail) for one in positions(Front(rows, drawers=DrawerFit(1, "ring pull")), 900, 900, 400)]
    assert kinds == [
        ("left drawer, left pull", "ring"),
        ("left drawer, right pull", "ring"),
        ("right drawer, pull", "ring"),
    ]


def test_five_wheels_stand_three_in_front_and_two_behind() -> None:
    found = positions(Front(chest(1), base=Base("wheels", count=5)), 900, 900, 400)
    wheels = [(one.name, one.face) for one in found if one.kind == "wheel"]
    assert wheels == [
        ("front left wheel", "front"),
        ("front middle wheel", "front"),
        ("front right wheel", "front"),
        ("back left wheel", "back"),
        ("back right wheel", "back"),
    ]


def test_a_chair_has_its_corner_brackets_underneath() -> None:
    found = positions(Front(outline="chair", base=Base("legs"), chair=Chair(brackets=2)), 420, 880, 430)
    assert [(one.name, one.face) for one in found] == [
        ("front left corner bracket", "underneath"),
        ("front right corner bracket", "underneath"),
    ]


def test_reading_order_goes_down_the_rows_and_ends_with_what_stands_alone() -> None:
    front = Front(chest(2, 1), base=Base("feet", count=2), fittings=(Extra("hook", "peg", 0.5, 0.9, True),))
    assert names(front) == [
        "top left drawer, knob",
        "top right drawer, knob",
        "bottom drawer, knob",
        "front foot",
        "back foot",
        "peg",
    ]


def test_sizes_of_bays_add_up_to_the_piece() -> None:
    """Sums by hand: 1000 wide, 600 high, frame 10, no top, no base."""
    rows = (Row((Drawer(), Drawer()), 200.0), Row((Doors(), Open(300.0), Panel(80.0))))
    found = boxes(Front(rows, top=BARE, base=Base("none"), frame=10.0), 1000, 600)
    sizes = [(box.kind, box.w, box.h) for box in found if box.kind != "case"]
    assert sizes[:2] == [("drawer", 485.0, 200.0)] * 2
    assert sizes[2:4] == [("door", 290.0, 370.0)] * 2
    assert sizes[4:] == [("open", 300.0, 370.0), ("panel", 80.0, 370.0)]


def test_heights_that_are_all_given_keep_their_proportion() -> None:
    rows = (Row((Drawer(),), 100.0), Row((Drawer(),), 300.0))
    found = boxes(Front(rows, top=BARE, base=Base("none"), frame=0.0), 500, 800)
    assert [box.h for box in found if box.kind == "drawer"] == pytest.approx([200.0, 600.0])


def test_codes_are_slugs_and_all_different() -> None:
    assert codes_for(["left door, top hinge", "Été!", "été", "鍵", "錠"]) == [
        "left-door-top-hinge",
        "ete",
        "ete-2",
        "position",
        "position-2",
    ]


@pytest.mark.parametrize(("size", "said"), [((9, 900, 400), "width is 9 mm"), ((900, 7000, 400), "height is 7000 mm")])
def test_a_size_no_furniture_has_is_refused(size: tuple[float, float, float], said: str) -> None:
    with pytest.raises(OutOfRange, match=f"{said}. It must lie between 10 and 6000 mm"):
        positions(Front(chest(1)), *size)


def test_a_depth_no_furniture_has_is_refused() -> None:
    with pytest.raises(OutOfRange, match="depth is 1 mm"):
        positions(Front(chest(1)), 900, 900, 1)


def test_rows_that_leave_no_room_are_refused_by_name() -> None:
    rows = (Row((Drawer(),), 700.0), Row((Drawer(),)))
    with pytest.raises(BadInput, match=r"front.rows\[1\] would be -\d+ mm high. It needs 8 mm at least"):
        positions(Front(rows), 900, 800, 400)


def test_a_base_taller_than_the_piece_is_refused() -> None:
    with pytest.raises(BadInput, match="leave no room in the height of the piece"):
        positions(Front(chest(1), base=Base("legs", 900.0)), 900, 800, 400)


def test_a_pair_of_doors_too_narrow_to_be_doors_is_refused() -> None:
    rows = (Row((Doors(10.0), Open())),)
    with pytest.raises(BadInput, match=r"front.rows\[0\].bays\[0\] would have doors 5 mm wide"):
        positions(Front(rows), 900, 800, 400)


def test_a_seat_higher_than_the_chair_is_refused() -> None:
    front = Front(outline="chair", base=Base("legs"), chair=Chair(seat_height=900.0))
    with pytest.raises(BadInput, match=r"front.chair.seat_height is 900. It must be from"):
        positions(front, 420, 880, 430)


def test_a_fitting_beside_the_piece_is_refused() -> None:
    front = Front(chest(1), fittings=(Extra("hook", "peg", 950.0, 100.0),))
    with pytest.raises(BadInput, match=r"front.fittings\[0\] 'peg' is at 950, 100 mm. It must lie on the piece"):
        positions(front, 900, 800, 400)


def test_two_fittings_of_one_name_are_refused() -> None:
    front = Front(chest(1), fittings=(Extra("hook", "drawer, knob", 1.0, 1.0),))
    with pytest.raises(BadInput, match="two fittings called 'drawer, knob'"):
        positions(front, 900, 800, 400)


def test_more_than_four_hundred_positions_are_refused() -> None:
    front = Front(chest(*[12] * 9), drawers=DrawerFit(4, "knob"))
    with pytest.raises(BadInput, match=r"front has 432 positions. It may have at most 400"):
        positions(front, 6000, 3000, 400)
