"""Vessels, their slots, and the parts in them: actions and pages."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse
from tests.drawers.bins.test_bins_actions import refused
from tests.drawers.pieces.test_whereabouts import rows_of_the_book

from tallboy.book.doing import By
from tallboy.book.models import Journal
from tallboy.drawers.pieces.actions.hardware import add_spot, keep_part, part_gone
from tallboy.drawers.pieces.models import Move, Part, Spot
from tallboy.drawers.soaks import queries
from tallboy.drawers.soaks.actions import add_vessel, empty_slot, soak
from tallboy.drawers.soaks.models import Slot, Vessel
from tallboy.errors import BadInput, NotFound, Refused
from tallboy.tables.load import load

ClientAt = Callable[[By], Client]


@pytest.fixture
def tray(by: By) -> Spot:
    """Where parts lie beside the vessels."""
    return add_spot(by, "tray A", Spot.Kind.TRAY)


@pytest.fixture
def jar(by: By) -> Vessel:
    """A jar with three slots."""
    return add_vessel(by, "tall jar", 3)


@pytest.fixture
def hinge(by: By, tray: Spot) -> Part:
    """A hinge in the tray."""
    return keep_part(by, kind="hinge", name="butt hinge", metal="brass", spot=tray)


@pytest.fixture
def client(by: By, client_at: ClientAt) -> Client:
    """A browser with the shop's book open."""
    return client_at(by)


def slot(of: Vessel, number: int) -> Slot:
    return Slot.objects.select_related("spot").get(vessel=of, number=number)


def test_a_vessel_has_its_slots_numbered_from_one(by: By) -> None:
    """Each with a spot named so that it is clear anywhere where a part lies."""
    jar = add_vessel(by, " tall  jar ", 3, "white spirit only")
    assert (jar.name, jar.note) == ("tall jar", "white spirit only")
    lines = queries.slot_lines(jar)
    assert [line.slot.number for line in lines] == [1, 2, 3]
    assert [line.slot.spot.name for line in lines] == ["tall jar, slot 1", "tall jar, slot 2", "tall jar, slot 3"]
    assert {line.slot.spot.kind for line in lines} == {Spot.Kind.SLOT}
    assert Journal.objects.get(action="add vessel").text == "Added tall jar with 3 slots."


@pytest.mark.parametrize(
    ("name", "slots", "note", "match"),
    [
        ("", 3, "", "no name"),
        ("x" * 61, 3, "", "very long one"),
        ("flat tray", 0, "", "0 slots"),
        ("flat tray", 61, "", "61 slots"),
        ("flat tray", 3, "x" * 201, "note is too long"),
        ("tall jar", 1, "", "already a vessel named tall jar"),
        ("Tall Jar", 1, "", "already a vessel named Tall Jar"),
    ],
)
def test_an_impossible_vessel_is_refused(by: By, jar: Vessel, name: str, slots: int, note: str, match: str) -> None:
    """Nothing of it is left, not even its slots."""
    refused(lambda: add_vessel(by, name, slots, note), BadInput, match)


def test_a_place_that_is_named_like_a_slot_is_in_the_way(by: By) -> None:
    """Two places of one name could not be told apart."""
    add_spot(by, "flat tray, slot 2", Spot.Kind.TRAY)
    refused(lambda: add_vessel(by, "flat tray", 3), BadInput, "already a vessel")


def test_a_part_goes_into_a_slot_and_comes_out(by: By, jar: Vessel, hinge: Part, tray: Spot) -> None:
    """Its history says both, and the journal."""
    soak(by, hinge, slot(jar, 2))
    assert queries.part_in(slot(jar, 2)) == hinge
    assert empty_slot(by, slot(jar, 2), tray).at_spot == tray
    moves = list(Move.objects.filter(part=hinge).order_by("pk").values_list("came_from", "went_to"))
    assert moves[1:] == [("tray A", "tall jar, slot 2"), ("tall jar, slot 2", "tray A")]
    assert Journal.objects.filter(action="lay", subject_id=hinge.pk).count() == 2


def test_a_slot_holds_one_part(by: By, jar: Vessel, hinge: Part, tray: Spot) -> None:
    """The second is refused, with what is in it and what to do."""
    soak(by, hinge, slot(jar, 1))
    other = keep_part(by, kind="knob", name="", spot=tray)
    refused(lambda: soak(by, other, slot(jar, 1)), Refused, "slot 1 already holds P-0001")


def test_an_empty_slot_cannot_be_emptied(by: By, jar: Vessel, tray: Spot) -> None:
    """There is nothing to lay anywhere."""
    refused(lambda: empty_slot(by, slot(jar, 1), tray), Refused, "tall jar, slot 1 is empty")


def test_a_part_moves_from_slot_to_slot(by: By, jar: Vessel, hinge: Part) -> None:
    """The slot it leaves is free at once."""
    soak(by, hinge, slot(jar, 1))
    soak(by, hinge, slot(jar, 3))
    assert [line.part for line in queries.slot_lines(jar)] == [None, None, hinge]


def test_nothing_crosses_from_shop_to_shop(by: By, stranger: By, jar: Vessel, hinge: Part, tray: Spot) -> None:
    """Neither into another shop's slot, nor out of it, nor into another shop's tray."""
    theirs = add_vessel(stranger, "tall jar", 1)
    refused(lambda: soak(by, hinge, slot(theirs, 1)), NotFound, "no such slot")
    refused(lambda: soak(stranger, hinge, slot(theirs, 1)), NotFound, "no such part")
    soak(by, hinge, slot(jar, 1))
    refused(lambda: empty_slot(stranger, slot(jar, 1), tray), NotFound, "no such slot")
    elsewhere = add_spot(stranger, "tray B", Spot.Kind.TRAY)
    refused(lambda: empty_slot(by, slot(jar, 1), elsewhere), NotFound, "no such part or place")


def test_the_front_of_the_drawer(by: By, hinge: Part) -> None:
    """One short line: how many vessels, and what is in them."""
    assert queries.line(by.shop, by.at) == "no vessel yet"
    jar = add_vessel(by, "tall jar", 3)
    assert queries.line(by.shop, by.at) == "1 vessel, nothing in them"
    soak(by, hinge, slot(jar, 1))
    add_vessel(by, "flat tray", 2)
    assert queries.line(by.shop, by.at) == "2 vessels, 1 part in them"


def test_vessels_tell_how_full_they_are(by: By, jar: Vessel, hinge: Part) -> None:
    """Slots and parts are each counted once."""
    soak(by, hinge, slot(jar, 1))
    assert [(row.all_slots, row.full_slots) for row in queries.vessels_of(by.shop)] == [(3, 1)]  # type: ignore[attr-defined]


def shown(client: Client, name: str, *args: object) -> str:
    """The text of a page that works."""
    answer = client.get(reverse(f"soaks:{name}", args=args))
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_slots_are_drawn_and_named(client: Client, by: By, jar: Vessel, hinge: Part) -> None:
    """Each slot is a place to tap with its number; one that holds a part shows its label, and waves."""
    soak(by, hinge, slot(jar, 2))
    text = shown(client, "vessel", jar.pk)
    for line in queries.slot_lines(jar):
        assert f'href="{reverse("soaks:slot", args=[line.slot.pk])}"' in text
    assert "Slot 1: empty" in text
    assert "Slot 2: P-0001" in text
    assert text.count('class="plan-soaking"') == 1
    assert "butt hinge" in text


@pytest.mark.parametrize("full", [False, True])
def test_the_caution_stands_beside_the_work(client: Client, by: By, jar: Vessel, hinge: Part, full: bool) -> None:
    """On every page where one handles what soaks: the vapour, and that paper tags come off while the slot keeps the name."""
    if full:
        soak(by, hinge, slot(jar, 1))
    caution = next(row for row in load("cautions")["cautions"] if row["key"] == "solvent-vapour")
    for name, args in (("soaks", []), ("vessel", [jar.pk]), ("slot", [slot(jar, 1).pk])):
        text = shown(client, name, *args)
        assert caution["text"] in text
        assert "Paper tags come off in solvent: the slot keeps the name." in text


def test_an_empty_drawer_leads_on(client: Client) -> None:
    """It offers to add a vessel."""
    assert reverse("soaks:add") in shown(client, "soaks")


def test_a_vessel_is_added(client: Client) -> None:
    """Once; the second time the form comes back and nothing is changed."""
    sent = {"name": "flat tray", "slots": "8", "note": ""}
    answer = client.post(reverse("soaks:add"), sent)
    assert answer.headers["Location"] == reverse("soaks:vessel", args=[Vessel.objects.get().pk])
    before = rows_of_the_book()
    again = client.post(reverse("soaks:add"), sent)
    assert "There is already a vessel named flat tray." in again.content.decode()
    assert "needs another look" in client.post(reverse("soaks:add"), {"name": "x", "slots": "999"}).content.decode()
    assert rows_of_the_book() == before


@pytest.mark.parametrize("typed", ["1", "0001", "P-0001", "p-1", " P1 "])
def test_a_part_is_put_in_by_the_number_on_its_tag(
    client: Client, jar: Vessel, hinge: Part, tray: Spot, typed: str
) -> None:
    """However it is written; taken out again it lies where that was said."""
    place = slot(jar, 1)
    assert client.post(reverse("soaks:put-in", args=[place.pk]), {"part": typed}).status_code == 302
    assert queries.part_in(place) == hinge
    assert "In this slot" in shown(client, "slot", place.pk)
    assert client.post(reverse("soaks:empty", args=[place.pk]), {"place": str(tray.pk)}).status_code == 302
    hinge.refresh_from_db()
    assert hinge.at_spot == tray


@pytest.mark.parametrize("typed", ["", "hinge", "-1", "1.5", "P-0099", "9999999999999", "1 OR 1=1"])
def test_a_number_that_is_on_no_tag_shows_the_form_again(client: Client, jar: Vessel, hinge: Part, typed: str) -> None:
    """With what was wrong; the slot stays empty."""
    before = rows_of_the_book()
    answer = client.post(reverse("soaks:put-in", args=[slot(jar, 1).pk]), {"part": typed})
    assert answer.status_code == 200
    assert "needs another look" in answer.content.decode()
    assert rows_of_the_book() == before


def test_a_part_goes_back_where_it_lay(client: Client, by: By, jar: Vessel, hinge: Part) -> None:
    """The tray it came from is chosen already among the places, whatever else there is."""
    other = add_spot(by, "a tray before it", Spot.Kind.TRAY)
    came_from = hinge.at_spot_id
    soak(by, hinge, slot(jar, 1))
    text = shown(client, "slot", slot(jar, 1).pk)
    assert f'<option value="{came_from}" selected>' in text
    assert f'<option value="{other.pk}">' in text


def test_a_slot_that_is_taken_says_so(client: Client, by: By, jar: Vessel, hinge: Part, tray: Spot) -> None:
    """Somebody else was quicker: the page tells, and nothing is changed."""
    soak(by, hinge, slot(jar, 1))
    other = keep_part(by, kind="knob", name="", spot=tray)
    before = rows_of_the_book()
    answer = client.post(reverse("soaks:put-in", args=[slot(jar, 1).pk]), {"part": other.label})
    assert "already holds P-0001" in answer.content.decode()
    assert rows_of_the_book() == before


def test_parts_in_trays_are_offered_and_those_gone_are_not(
    client: Client, by: By, jar: Vessel, hinge: Part, tray: Spot
) -> None:
    """One tap puts one in."""
    lost = keep_part(by, kind="knob", name="lost knob", spot=tray)
    part_gone(by, lost, "lost")
    text = shown(client, "slot", slot(jar, 1).pk)
    assert 'value="P-0001"' in text
    assert "lost knob" not in text


@pytest.mark.parametrize("name", ["vessel", "slot", "put-in", "empty"])
def test_what_is_not_this_shops_is_not_found(client: Client, stranger: By, name: str) -> None:
    """Another shop's vessel or slot, or one that never was."""
    theirs = add_vessel(stranger, "tall jar", 1)
    before = rows_of_the_book()
    ask = client.post if name in ("put-in", "empty") else client.get
    for pk in (theirs.pk if name == "vessel" else slot(theirs, 1).pk, 999_999):
        assert ask(reverse(f"soaks:{name}", args=[pk])).status_code == 404
    assert rows_of_the_book() == before


def test_another_shops_part_or_place_is_no_choice(
    client: Client, by: By, stranger: By, jar: Vessel, hinge: Part
) -> None:
    """A number is looked for among this shop's tags only, a place among its places."""
    elsewhere = add_spot(stranger, "tray B", Spot.Kind.TRAY)
    for _number in range(3):
        theirs = keep_part(stranger, kind="knob", name="", spot=elsewhere)
    before = rows_of_the_book()
    client.post(reverse("soaks:put-in", args=[slot(jar, 1).pk]), {"part": theirs.label})
    assert rows_of_the_book() == before
    soak(by, hinge, slot(jar, 1))
    before = rows_of_the_book()
    client.post(reverse("soaks:empty", args=[slot(jar, 1).pk]), {"place": str(elsewhere.pk)})
    assert rows_of_the_book() == before


def test_wrong_methods_are_refused(client: Client, jar: Vessel) -> None:
    """What is read takes no form; what changes something is no link."""
    first = slot(jar, 1).pk
    for name, args in (("soaks", []), ("vessel", [jar.pk]), ("slot", [first])):
        assert client.post(reverse(f"soaks:{name}", args=args)).status_code == 405
    for name in ("put-in", "empty"):
        assert client.get(reverse(f"soaks:{name}", args=[first])).status_code == 405
    assert client.put(reverse("soaks:add")).status_code == 405
