"""Routes and repairs as plain data: there and back, and what is refused in which words."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.work.work_tools import REPAIRS, ROUTES

from tallboy.errors import BadInput
from tallboy.work.route import (
    RouteStep,
    check_names,
    repair_from_dict,
    repair_to_dict,
    route_from_dict,
    route_to_dict,
    step_from_dict,
    step_to_dict,
)
from tallboy.work.words import DOES, GROUPS, PLACES

PLAIN = st.text(alphabet=st.characters(exclude_characters="{}", exclude_categories=["Cs", "Cc"]), max_size=40).map(
    str.strip
)
AMOUNT = st.floats(0, 1000)


def good_route(**changes: Any) -> dict[str, Any]:
    """A small route that is accepted, with changes."""
    row: dict[str, Any] = {
        "key": "quick-wax",
        "name": "Quick wax",
        "for_what": "A clean tea trolley",
        "products": {"wax": "wax"},
        "steps": [
            {"key": "photographs", "title": "Photograph it", "does": "look", "minutes": 10},
            {"key": "wax", "title": "Rub on the {product}", "does": "wax", "product": "wax", "minutes_per_m2": 10},
            {"key": "check", "title": "Check it", "does": "check", "minutes": 5},
        ],
    }
    return row | changes


def with_step(**changes: Any) -> dict[str, Any]:
    """The small route with its middle step changed."""
    row = good_route()
    row["steps"][1] |= changes
    return row


@st.composite
def steps(draw: st.DrawFn) -> RouteStep:
    """Any step that a reader accepts."""
    least = draw(AMOUNT)
    solvent = draw(st.booleans())
    return RouteStep(
        key=draw(st.from_regex(r"[a-z]{1,8}(-[0-9]{1,3})?", fullmatch=True)),
        title=draw(PLAIN.filter(bool)) + draw(st.sampled_from(["", " {surface}", " {part} with {product}"])),
        does=draw(st.sampled_from([does for does in DOES if does not in ("coat", "check")])),
        over=draw(st.sampled_from(["piece", "surface", "part"])),
        groups=tuple(draw(st.lists(st.sampled_from(GROUPS), unique=True))),
        minutes=draw(AMOUNT),
        minutes_per_m2=draw(AMOUNT),
        spread=draw(st.floats(0, 1)),
        hands=draw(st.integers(1, 2)),
        place=draw(st.sampled_from(PLACES)),
        dusty=draw(st.booleans()),
        split=draw(st.booleans()),
        skill=draw(PLAIN),
        noisy=draw(st.booleans()),
        solvent=solvent,
        ignition=not solvent and draw(st.booleans()),
        clamps=draw(st.integers(0, 200)),
        least_minutes=least,
        most_minutes=draw(st.none() | st.floats(least, least + 1000)),
        wait_kind=draw(st.sampled_from(["drying", "clamps", "soak", "cure", "settle"])),
        from_label=draw(st.sampled_from(["", "touch", "recoat", "cure"])),
        wait_text=draw(PLAIN),
        cautions=tuple(draw(st.lists(PLAIN))),
        needs=tuple(draw(st.lists(PLAIN))),
        parts_kinds=tuple(draw(st.lists(PLAIN))),
        optional=draw(st.booleans()),
        note=draw(PLAIN),
    )


@given(step=steps())
def test_a_step_survives_the_way_to_plain_data_and_back(step: RouteStep) -> None:
    """Through JSON, too: a book and an editing page keep it so."""
    assert step_from_dict(json.loads(json.dumps(step_to_dict(step))), "Route 'x'") == step


def test_every_ready_route_and_repair_survives_there_and_back() -> None:
    """What a person copies to edit is the same thing."""
    for route in ROUTES.values():
        assert route_from_dict(json.loads(json.dumps(route_to_dict(route)))) == route
    for repair in REPAIRS.values():
        assert repair_from_dict(json.loads(json.dumps(repair_to_dict(repair)))) == repair


def test_plain_data_leaves_out_what_is_as_usual() -> None:
    """A copy stays short enough to be read."""
    written = route_to_dict(route_from_dict(good_route()))
    assert written["steps"][0] == {"key": "photographs", "title": "Photograph it", "does": "look", "minutes": 10.0}


@pytest.mark.parametrize(
    ("row", "says"),
    [
        (good_route(key="Quick Wax"), ["key is 'Quick Wax'", "small letters"]),
        (good_route(name=" "), ["name is missing"]),
        (good_route(steps=[]), ["no steps"]),
        (good_route(colour="red"), ["'colour' is not a field", "for_what"]),
        (good_route(products={"paint": "acrylic paint"}), ["paint", "topcoat"]),
        (good_route(products={}), ["'wax'", "products says nothing of a wax"]),
        (with_step(does="paint"), ["'quick-wax'", "'wax'", "does is 'paint'", "coat"]),
        (with_step(over="fault"), ["over is 'fault'", "repairs"]),
        (with_step(over="side"), ["over is 'side'", "surface"]),
        (with_step(groups=["lid"]), ["groups is 'lid'", "drawer fronts"]),
        (with_step(groups=["top", "top"]), ["groups is 'top'", "each once"]),
        (with_step(minutes=-1), ["minutes is -1", "from 0"]),
        (with_step(minutes="ten"), ["minutes is 'ten'", "number"]),
        (with_step(minutes=True), ["minutes is True", "number"]),
        (with_step(minutes=float("nan")), ["minutes is nan", "number"]),
        (with_step(spread=1.5), ["spread is 1.5", "from 0 to 1"]),
        (with_step(hands=3), ["hands is 3", "from 1 to 2"]),
        (with_step(hands=1.5), ["hands is 1.5", "whole"]),
        (with_step(place="roof"), ["place is 'roof'", "outdoors"]),
        (with_step(dusty="yes"), ["dusty is 'yes'", "true or false"]),
        (with_step(noisy="loud"), ["noisy is 'loud'", "true or false"]),
        (with_step(skill="x" * 41), ["skill is 'xx", "at most 40"]),
        (with_step(skill=["turning"]), ["skill is ['turning']", "a text"]),
        (with_step(clamps=2.5), ["clamps is 2.5", "whole"]),
        (with_step(clamps=201), ["clamps is 201", "from 0 to 200"]),
        (with_step(solvent=True, ignition=True), ["open solvent", "flame", "two steps"]),
        (with_step(product="ink"), ["product is 'ink'", "sealer"]),
        (with_step(does="coat", product=""), ["names no product"]),
        (with_step(coats=2), ["several coats"]),
        (with_step(does="coat", product="stain", coats=2), ["several coats of stain"]),
        (with_step(after=["varnish"]), ["follows 'varnish'", "photographs"]),
        (with_step(after=["wax"]), ["follows 'wax'", "photographs"]),
        (with_step(key="photographs"), ["two steps", "photographs"]),
        (with_step(key="lead-test"), ["kept for the lead test"]),
        (with_step(title="Rub {colour}"), ["{colour}", "surface"]),
        (with_step(title="Rub {product.name}"), ["{product.name}"]),
        (with_step(title="Rub {product!r}"), ["{product}", "not known"]),
        (with_step(title="Rub {product"), ["curly bracket"]),
        (with_step(title="x" * 3000), ["title", "2000"]),
        (with_step(least_minutes=30), ["no kind of wait", "drying"]),
        (with_step(least_minutes=30, most_minutes=10, wait_kind="soak"), ["longest wait (10 min)", "30"]),
        (with_step(from_label="dust dry", wait_kind="drying"), ["from_label is 'dust dry'", "recoat"]),
        (with_step(needs="cloth"), ["needs is 'cloth'", "list of texts"]),
        (with_step(colour="red"), ["'colour' is not a field"]),
        (with_step(does="check"), ["end in one check"]),
        (good_route(steps=good_route()["steps"][:2]), ["end in one check"]),
        (good_route(steps=good_route()["steps"][1:]), ["open with a look"]),
        (good_route(steps="all"), ["steps is not a list"]),
        (good_route(steps=[1]), ["steps is not a list"]),
    ],
)
def test_what_cannot_be_planned_is_refused_in_words(row: dict[str, Any], says: list[str]) -> None:
    """The message names the step and the field, and what is accepted."""
    with pytest.raises(BadInput) as caught:
        route_from_dict(row)
    for words in says:
        assert words in str(caught.value)


def test_fittings_come_off_before_anything_is_sanded() -> None:
    """A take-down below a coat, strip or sanding is refused."""
    row = good_route()
    row["steps"].insert(1, {"key": "sand", "title": "Sand", "does": "sand"})
    row["steps"].insert(2, {"key": "off", "title": "Fittings off", "does": "take-down", "over": "part"})
    with pytest.raises(BadInput, match="'sand' comes before the take-down"):
        route_from_dict(row)


def test_a_repair_is_over_its_fault_and_does_something() -> None:
    """Steps over the piece, and repairs that could leave nothing to do, are refused."""
    step = {"key": "mend", "title": "Mend it", "does": "repair"}
    assert repair_from_dict({"fault_kind": "odd", "name": "Odd", "steps": [step]}).steps[0].over == "fault"
    with pytest.raises(BadInput, match="over 'fault'"):
        repair_from_dict({"fault_kind": "odd", "name": "Odd", "steps": [step | {"over": "piece"}]})
    with pytest.raises(BadInput, match="always done"):
        repair_from_dict({"fault_kind": "odd", "name": "Odd", "steps": [step | {"optional": True}]})
    with pytest.raises(BadInput, match="before is 'lunch'"):
        repair_from_dict({"fault_kind": "odd", "name": "Odd", "before": "lunch", "steps": [step]})


@pytest.mark.parametrize("value", [None, [], "oil", 3])
def test_what_is_no_row_at_all_is_refused(value: Any) -> None:
    """Whatever an editing page sends."""
    with pytest.raises(BadInput, match="not a row of fields"):
        route_from_dict(value)
    with pytest.raises(BadInput, match="not a row of fields"):
        repair_from_dict(value)


def test_names_no_table_has_are_refused() -> None:
    """Cautions, coating classes and kinds of part are looked up by whoever holds the tables."""
    route = route_from_dict(with_step(cautions=["dragons"], parts_kinds=["wing"]))
    with pytest.raises(BadInput, match="caution 'dragons' is not known"):
        check_names(route, ["dust"], ["wax"], ["wing"])
    with pytest.raises(BadInput, match="coating class 'wax' is not known"):
        check_names(route, ["dragons"], ["shellac"], ["wing"])
    with pytest.raises(BadInput, match="kind of part 'wing' is not known"):
        check_names(route, ["dragons"], ["wax"], ["hinge"])
    check_names(route, ["dragons"], ["wax"], ["wing"])
