"""The pages of the Bins drawer."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager

import pytest
from django.test import Client
from django.urls import reverse
from tests.drawers.pieces.test_whereabouts import rows_of_the_book

from tallboy.book.doing import By
from tallboy.drawers.bins.actions import add_bin
from tallboy.drawers.bins.models import Bin
from tallboy.drawers.pieces.actions.hardware import add_spot, keep_part, part_gone
from tallboy.drawers.pieces.models import Part, Spot

ClientAt = Callable[[By], Client]
Queries = Callable[[int], AbstractContextManager[object]]


@pytest.fixture
def box(by: By) -> Bin:
    """A bin with nothing in it."""
    return add_bin(by, "1", "1")


@pytest.fixture
def knob(by: By, box: Bin) -> Part:
    """A knob in it."""
    return keep_part(by, kind="knob", name="oak knob", metal="", spot=box.spot)


@pytest.fixture
def client(by: By, client_at: ClientAt) -> Client:
    """A browser with the shop's book open."""
    return client_at(by)


def text(client: Client, name: str, *args: object, **asked: str | int) -> str:
    """The text of a page that works."""
    answer = client.get(reverse(f"bins:{name}", args=args), asked)
    assert answer.status_code == 200
    return answer.content.decode()


def test_an_empty_drawer_leads_on(client: Client) -> None:
    """It offers to keep a part and to add a bin."""
    shown = text(client, "bins")
    assert "Nothing is kept yet." in shown
    assert reverse("bins:add") in shown


def test_bins_and_what_is_in_them_are_shown(client: Client, box: Bin, knob: Part) -> None:
    """The list with its counts, the bin with its parts, all kept parts."""
    assert "rack 1 / box 1" in text(client, "bins")
    assert "1 part in this bin" in text(client, "bin", box.pk)
    for shown in (text(client, "bin", box.pk), text(client, "parts")):
        assert "P-0001 oak knob" in shown
        assert reverse("bins:move", args=[knob.pk]) in shown


def test_parts_are_found_by_words_and_kind_through_the_pages(client: Client, by: By, box: Bin) -> None:
    """Forty to a page; the search goes on from page to page; what finds nothing says so; nonsense shows all."""
    for number in range(45):
        keep_part(by, kind="hinge", name=f"butt hinge {number}", spot=box.spot)
    keep_part(by, kind="knob", name="oak knob", spot=box.spot)
    first = text(client, "parts", words="butt", kind="hinge")
    assert "45 parts found" in first
    assert "?words=butt&amp;kind=hinge&amp;page=2" in first
    assert "butt hinge 44" in text(client, "parts", words="butt", kind="hinge", page=2)
    assert "No kept part says all of that." in text(client, "parts", words="silver")
    assert "46 parts" in text(client, "parts", kind="unicorn")
    assert "butt hinge 0" in text(client, "parts", page="x")


def test_no_query_more_for_forty_parts_than_for_one(
    client: Client, by: By, box: Bin, knob: Part, django_assert_max_num_queries: Queries
) -> None:
    """The lists ask the database a fixed number of times."""
    for number in range(45):
        keep_part(by, kind="hinge", name=f"butt hinge {number}", spot=box.spot)
    for address in (reverse("bins:parts"), reverse("bins:bin", args=[box.pk]), reverse("bins:bins")):
        with django_assert_max_num_queries(20):
            client.get(address)


def test_a_bin_is_added(client: Client) -> None:
    """Once; the second time the form comes back and nothing is changed."""
    sent = {"rack": "3", "box": "4", "compartment": ""}
    answer = client.post(reverse("bins:add"), sent)
    assert answer.headers["Location"] == reverse("bins:bin", args=[Bin.objects.get().pk])
    before = rows_of_the_book()
    again = client.post(reverse("bins:add"), sent)
    assert "There is already a place named rack 3 / box 4." in again.content.decode()
    assert rows_of_the_book() == before


def test_a_part_is_kept(client: Client, box: Bin) -> None:
    """Written down and laid in the bin that was chosen."""
    sent = {"kind": "hinge", "name": "strap hinge", "screws": "4", "condition": "sound", "place": str(box.spot_id)}
    assert client.post(reverse("bins:keep"), sent).status_code == 302
    part = Part.objects.get()
    assert (part.name, part.screws, part.at_spot, part.piece) == ("strap hinge", 4, box.spot, None)


def test_a_part_is_kept_before_there_is_a_bin(client: Client) -> None:
    """The bin for kept parts is made with it."""
    sent = {"kind": "hinge", "name": "strap hinge", "condition": "sound", "place": "kept"}
    assert client.post(reverse("bins:keep"), sent).status_code == 302
    assert Part.objects.get().at_spot == Bin.objects.get(is_usual=True).spot


@pytest.mark.parametrize(
    "wrong",
    [{"kind": "unicorn"}, {"condition": "shiny"}, {"screws": "61"}, {"screws": "-1"}, {"place": "999999"}, {"place": ""},
     {"name": "x" * 121}],
)  # fmt: skip
def test_a_bad_part_shows_the_form_again(client: Client, box: Bin, wrong: dict[str, str]) -> None:
    """With what needs another look; nothing is kept, no bin is made."""
    before = rows_of_the_book()
    sent = {"kind": "hinge", "name": "strap hinge", "condition": "sound", "place": str(box.spot_id)} | wrong
    answer = client.post(reverse("bins:keep"), sent)
    assert "needs another look" in answer.content.decode()
    assert rows_of_the_book() == before


def test_a_part_is_moved_and_gone(client: Client, by: By, knob: Part) -> None:
    """To a tray, then out of the shop with its reason; never deleted."""
    tray = add_spot(by, "tray A", Spot.Kind.TRAY)
    assert client.post(reverse("bins:move", args=[knob.pk]), {"place": str(tray.pk)}).status_code == 302
    knob.refresh_from_db()
    assert knob.at_spot == tray
    assert client.post(reverse("bins:gone", args=[knob.pk]), {"reason": "given to a neighbour"}).status_code == 302
    left = Part.objects.get(pk=knob.pk)
    assert (left.at_spot, left.gone_because) == (None, "given to a neighbour")


@pytest.mark.parametrize(("name", "sent"), [("move", {"place": "0"}), ("gone", {"reason": " "})])
def test_a_move_without_an_aim_shows_the_form_again(
    client: Client, knob: Part, name: str, sent: dict[str, str]
) -> None:
    """No such place, no reason: the part stays where it is."""
    before = rows_of_the_book()
    answer = client.post(reverse(f"bins:{name}", args=[knob.pk]), sent)
    assert answer.status_code == 200
    assert "needs another look" in answer.content.decode()
    assert rows_of_the_book() == before


def test_a_part_retires_at_a_tap(client: Client, by: By, box: Bin) -> None:
    """From its own page: into the chosen bin, or the one for kept parts."""
    tray = add_spot(by, "tray A", Spot.Kind.TRAY)
    part = keep_part(by, kind="knob", name="oak knob", spot=tray)
    client.post(reverse("bins:retire", args=[part.pk]), {"bin": str(box.pk)})
    part.refresh_from_db()
    assert part.at_spot == box.spot
    client.post(reverse("bins:retire", args=[part.pk]))
    part.refresh_from_db()
    assert part.at_spot is not None
    assert part.at_spot.name == "Kept parts"


def test_a_parts_own_page_leads_to_the_bins(client: Client, by: By, knob: Part) -> None:
    """What lies elsewhere can be put in the bins; what lies in one can be moved to another; what is gone, neither."""
    tray = add_spot(by, "tray A", Spot.Kind.TRAY)
    loose = keep_part(by, kind="hinge", name="", spot=tray)
    lost = part_gone(by, keep_part(by, kind="hinge", name="", spot=tray), "lost")
    leads = {}
    for part in (loose, knob, lost):
        shown = client.get(reverse("pieces:part", args=[part.pk])).content.decode()
        leads[part.pk] = [name for name in ("retire", "move") if reverse(f"bins:{name}", args=[part.pk]) in shown]
    assert leads == {loose.pk: ["retire"], knob.pk: ["move"], lost.pk: []}


ONE_ROW = ("bin", "move", "gone")


@pytest.mark.parametrize("name", [*ONE_ROW, "retire"])
def test_what_is_not_this_shops_is_not_found(client: Client, stranger: By, name: str) -> None:
    """Another shop's row, or one that never was."""
    theirs = add_bin(stranger, "1", "1")
    part = keep_part(stranger, kind="knob", name="", spot=theirs.spot)
    before = rows_of_the_book()
    for pk in (theirs.pk if name == "bin" else part.pk, 999_999):
        ask = client.post if name == "retire" else client.get
        assert ask(reverse(f"bins:{name}", args=[pk])).status_code == 404
    assert rows_of_the_book() == before


def test_another_shops_place_is_no_choice(client: Client, stranger: By, knob: Part, box: Bin) -> None:
    """Neither to keep a part in, nor to move one to, nor to retire one to."""
    theirs = add_bin(stranger, "1", "1")
    before = rows_of_the_book()
    client.post(reverse("bins:move", args=[knob.pk]), {"place": str(theirs.spot_id)})
    kept = {"kind": "knob", "name": "", "condition": "sound", "place": str(theirs.spot_id)}
    client.post(reverse("bins:keep"), kept)
    assert client.post(reverse("bins:retire", args=[knob.pk]), {"bin": str(theirs.pk)}).status_code == 404
    assert rows_of_the_book() == before


def test_wrong_methods_are_refused(client: Client, box: Bin, knob: Part) -> None:
    """What is read takes no form; what changes something is no link."""
    for name, args in (("bins", []), ("parts", []), ("bin", [box.pk])):
        assert client.post(reverse(f"bins:{name}", args=args)).status_code == 405
    assert client.get(reverse("bins:retire", args=[knob.pk])).status_code == 405
    for name, args in (("add", []), ("keep", []), ("move", [knob.pk]), ("gone", [knob.pk])):
        assert client.delete(reverse(f"bins:{name}", args=args)).status_code == 405
