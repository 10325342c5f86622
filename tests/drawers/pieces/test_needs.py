"""What a step needs can be changed by hand while it is still to do."""

from __future__ import annotations

from typing import Any

import pytest
from tests.drawers.today.today_made import chair, step

from tallboy.book.doing import By
from tallboy.book.models import Journal, Person, Place
from tallboy.drawers.pieces.actions.layout import lay_out, stock_routes
from tallboy.drawers.pieces.actions.needs import change_needs
from tallboy.drawers.pieces.actions.piece import add_fault
from tallboy.drawers.pieces.actions.work import start_step
from tallboy.drawers.pieces.models import Route, Step, Surface
from tallboy.errors import BadInput, NotFound, Refused


def test_all_of_it_is_changed_and_told(by: By) -> None:
    """Place, hands, skill, noise, air, clamps, room and people; one row in the journal says so."""
    glue = step(chair(by), "Glue the frame")
    place = Place.objects.filter(shop=by.shop).order_by("-id")[0]
    change_needs(
        by, glue, place=place, hands=2, skill=" chair making ", dusty=False, split=True, noisy=True, ignition=True, clamps=6,
        rack_dm2=12, people=[by.person],
    )  # fmt: skip
    found = Step.objects.get(pk=glue.pk)
    assert (found.place, found.hands, found.skill, found.noisy) == (place, 2, "chair making", True)
    assert (found.split, found.ignition, found.clamps, found.rack_dm2) == (True, True, 6, 12)
    assert list(found.people.all()) == [by.person]
    assert Journal.objects.filter(action="change needs", subject_id=glue.pk).count() == 1
    change_needs(by, found, clamps=2)
    assert list(found.people.all()) == [by.person]
    change_needs(by, found, people=[])
    assert not found.people.exists()


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({"hands": 0}, "1 to 20"),
        ({"clamps": 201}, "0 to 200"),
        ({"rack_dm2": -1}, "0 to 10000"),
        ({"skill": "x" * 41}, "40 at most"),
        ({"solvent": True, "ignition": True}, "two steps"),
    ],
)
def test_what_cannot_be_is_refused(by: By, fields: dict[str, Any], says: str) -> None:
    """The message says what would be accepted."""
    with pytest.raises(BadInput, match=says):
        change_needs(by, step(chair(by), "Glue the frame"), **fields)


def test_only_what_is_still_to_do(by: By) -> None:
    """What has begun has its people and its place."""
    glue = step(chair(by), "Glue the frame")
    start_step(by, glue)
    with pytest.raises(Refused, match="still to do"):
        change_needs(by, glue, clamps=2)


def test_another_shops_step_place_and_people_are_unknown(by: By, stranger: By) -> None:
    """Nothing of another book is found, and no other column can be written this way."""
    mine, theirs = step(chair(by), "Mine"), step(chair(stranger), "Theirs")
    for fields in (
        {"place": Place.objects.filter(shop=stranger.shop)[0]},
        {"people": [stranger.person]},
        {"minutes": 5},
    ):
        with pytest.raises(NotFound):
            change_needs(by, mine, **fields)
    with pytest.raises(NotFound):
        change_needs(by, theirs, clamps=1)
    assert Person.objects.filter(steps_alone=mine).count() == 0


def test_a_route_lays_out_what_its_steps_need(by: By) -> None:
    """Clamps at the gluing, solvent at the shellac, flame at the hot air, noise at the vacuum, room for the wet doors."""
    stock_routes(by)
    piece = chair(by)
    add_fault(by, piece, "loose joint", where="left rear leg")
    Surface.objects.create(**by.kept(), piece=piece, group="doors", name="door", area_m2=0.35)
    Surface.objects.create(**by.kept(), piece=piece, group="inside", name="inside", area_m2=0.5)
    steps = {row.key: row for row in lay_out(by, piece, Route.objects.get(shop=by.shop, key="shellac"))}
    coat = Step.objects.get(pk=steps["topcoat#1"].pk)
    assert (coat.solvent, coat.rack_dm2, coat.noisy) == (True, 35, False)
    assert steps["clean-inside"].noisy
    assert [row.clamps for key, row in steps.items() if key.endswith("/glue")] == [4]
