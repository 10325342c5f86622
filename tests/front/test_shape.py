"""A front from plain data and back, and what is said when the data will not do."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from tests.front.front_made import fronts

from tallboy.errors import BadInput
from tallboy.front.kinds import Door, Doors, Drawer, Front, Open, Row, Stack
from tallboy.front.ready import KINDS, ready_for, ready_fronts, usual_size
from tallboy.front.shape import front_from_dict, front_to_dict

DRAWER = {"kind": "drawer"}


def with_bay(**bay: Any) -> dict[str, Any]:
    return {"rows": [{"bays": [DRAWER]}, {"bays": [bay]}]}


@given(fronts)
def test_a_front_survives_the_round_trip(front: Front) -> None:
    assert front_from_dict(front_to_dict(front)) == front


@pytest.mark.parametrize("name", ready_fronts())
def test_each_ready_front_survives_the_round_trip_and_has_a_usual_size(name: str) -> None:
    front = ready_fronts()[name]
    assert front_from_dict(front_to_dict(front)) == front
    assert all(50 <= side <= 6000 for side in usual_size(name))


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_of_piece_has_a_ready_front(kind: str) -> None:
    assert ready_for(kind) in ready_fronts()
    assert ready_for(kind) == kind


def test_the_plain_words_build_what_they_say() -> None:
    front = front_from_dict(
        {
            "base": {"kind": "wheels", "height": "4 in"},
            "rows": [
                {"height": "170 mm", "bays": [{"kind": "drawer", "width": 300}, {"kind": "door", "hung": "left"}]},
                {"bays": [{"kind": "rows", "rows": [{"bays": [{"kind": "open", "shelves": 2}]}]}, {"kind": "doors"}]},
            ],
        }
    )
    assert front.base.height == pytest.approx(101.6)
    assert front.rows[0] == Row((Drawer(300.0), Door("left")), 170.0)
    assert front.rows[1] == Row((Stack((Row((Open(shelves=2),)),)), Doors()))


REFUSED: list[tuple[dict[str, Any], str]] = [
    (with_bay(kind="door", hung="middle"), "front.rows[1].bays[0].hung is 'middle'. It must be 'left' or 'right'."),
    (with_bay(kind="door"), 'front.rows[1].bays[0].hung is missing. Give it, for example hung = "left".'),
    (with_bay(kind="draw"), "front.rows[1].bays[0].kind is 'draw'. Did you mean 'drawer'? It must be"),
    (with_bay(kind=3), "front.rows[1].bays[0].kind is 3. It must be 'drawer', 'door'"),
    (with_bay(), 'front.rows[1].bays[0].kind is missing. Give it, for example kind = "drawer".'),
    (with_bay(kind="drawer", pull="cup pul"), "pull is 'cup pul'. Did you mean 'cup pull'?"),
    (with_bay(kind="drawer", pulls=7), "front.rows[1].bays[0].pulls is 7. It must be a whole number from 0 to 4."),
    (with_bay(kind="drawer", pulls=True), "front.rows[1].bays[0].pulls is true. It must be a whole number"),
    (with_bay(kind="drawer", lock="yes"), "front.rows[1].bays[0].lock is 'yes'. It must be true or false."),
    (with_bay(kind="drawer", hung="left"), "front.rows[1].bays[0].hung is not a key that is known."),
    (with_bay(kind="open", shelfs=2), "shelfs is not a key that is known. Did you mean 'shelves'?"),
    (with_bay(kind="flap", hung="left"), "hung is 'left'. It must be 'top' or 'bottom'."),
    (with_bay(kind="drawer", width=-4), "front.rows[1].bays[0].width is -4. It must be a length from 1 to 6000 mm"),
    (with_bay(kind="drawer", width=float("nan")), "front.rows[1].bays[0].width is nan."),
    (with_bay(kind="drawer", width="3 3/5/8 in"), "front.rows[1].bays[0].width is '3 3/5/8 in'."),
    (with_bay(kind="drawer", width="9 m"), "front.rows[1].bays[0].width is '9 m'. It must be from 1 to 6000 mm."),
    (with_bay(kind="drawer", width="-9 mm"), "front.rows[1].bays[0].width is '-9 mm'. It must be from 1 to 6000 mm."),
    (with_bay(kind="drawer", name="a\x07b"), "name has a control character in it."),
    (with_bay(kind="drawer", name="a" * 61), "name has 61 characters. It may have at most 60."),
    (with_bay(kind="rows"), "front.rows[1].bays[0].rows has no row in it."),
    ({}, "front.rows has no row in it. Give at least one row with one bay."),
    ({"rows": 5}, "front.rows is 5. It must be a list of tables."),
    ({"rows": [5]}, "front.rows[0] is 5. It must be a table of keys and values."),
    ({"rows": [{"bays": []}]}, "front.rows[0].bays has no bay in it."),
    ({"rows": [{"bays": [DRAWER]}] * 41}, "front.rows has 41 entries. It may have at most 40."),
    ({"rows": [{"bays": [DRAWER]}], "outline": "box"}, "front.outline is 'box'."),
    ({"rows": [{"bays": [DRAWER]}], "copies": 5}, "front.copies is 5. It must be a whole number from 1 to 4."),
    ({"rows": [{"bays": [DRAWER]}], "base": {"kind": "feets"}}, "front.base.kind is 'feets'. Did you mean 'feet'?"),
    ({"rows": [{"bays": [DRAWER]}], "outline": "chair"}, "front.rows is given, but front.outline is 'chair'."),
    ({"rows": [{"bays": [DRAWER]}], "chair": {"arms": True}}, "front.chair is given, but front.outline is 'case'."),
    (
        {"rows": [{"bays": [DRAWER]}], "outline": "table", "upper": {"height": 900, "rows": [{"bays": [DRAWER]}]}},
        "front.upper is given, but front.outline is 'table'.",
    ),
    ({"rows": [{"bays": [DRAWER]}], "upper": {"rows": []}}, "front.upper.height is missing."),
    ({"rows": [{"bays": [DRAWER]}], "upper": {"height": 90}}, "front.upper.rows has no row in it."),
    (
        {"rows": [{"bays": [{"kind": "drawer", "name": "till"}, {"kind": "drawer", "name": "Till"}]}]},
        "front.rows[0].bays[1] would be called 'Till', as front.rows[0].bays[0] is.",
    ),
    (
        {"rows": [{"bays": [{"kind": "open", "to_floor": True}]}, {"bays": [DRAWER]}]},
        "front.rows has an open bay with to_floor = true. Only one of the lowest row can have it.",
    ),
    (
        {"rows": [{"bays": [DRAWER]}], "fittings": [{"kind": "hook", "name": "peg", "x": 1, "y": 2, "up": 0.4}]},
        "front.fittings[0] has both x, y and across, up.",
    ),
    ({"rows": [{"bays": [DRAWER]}], "fittings": [{"kind": "hook", "name": " "}]}, "front.fittings[0].name is empty."),
    (
        {"rows": [{"bays": [DRAWER]}], "fittings": [{"kind": "hoook", "name": "a", "x": 1, "y": 1}]},
        "Did you mean 'hook'?",
    ),
    (
        {"rows": [{"bays": [DRAWER]}], "fittings": [{"kind": "hook", "name": "a", "x": 1}]},
        "front.fittings[0].y is missing.",
    ),
    (
        {"rows": [{"bays": [DRAWER]}], "fittings": [{"kind": "hook", "name": "a", "across": 1.2, "up": 0}]},
        "front.fittings[0].across is 1.2. It must be a number from 0 to 1.",
    ),
]


@pytest.mark.parametrize(("data", "said"), REFUSED, ids=[said[:60] for _, said in REFUSED])
def test_a_bad_front_is_refused_with_its_place_and_what_would_do(data: dict[str, Any], said: str) -> None:
    with pytest.raises(BadInput) as caught:
        front_from_dict(data)
    assert said in str(caught.value)
    assert caught.value.hint


def test_rows_nested_five_deep_are_refused() -> None:
    rows: list[dict[str, Any]] = [{"bays": [DRAWER]}]
    for _ in range(4):
        rows = [{"bays": [{"kind": "rows", "rows": rows}]}]
    with pytest.raises(BadInput, match=r"5 stacks deep. Rows may be nested at most 4 deep"):
        front_from_dict({"rows": rows})


def test_rows_of_stacks_count_towards_forty() -> None:
    stack = {"kind": "rows", "rows": [{"bays": [DRAWER]}] * 14}
    with pytest.raises(BadInput, match=r"front has 43 rows in all. It may have at most 40"):
        front_from_dict({"rows": [{"bays": [stack, stack, stack]}]})


def test_a_front_that_is_no_table_is_refused() -> None:
    with pytest.raises(BadInput, match=r"front is a list. It must be a table"):
        front_from_dict([])  # type: ignore[arg-type]  # what a form or an archive might hold
