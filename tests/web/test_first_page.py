"""The first page of an empty book, the way to the demo shop and back, and what surrounds every page."""

from __future__ import annotations

from pathlib import Path

import pytest
from django.test import Client

from tallboy.book.doing import By
from tallboy.book.models import Journal, Shop
from tallboy.drawers.bins.models import Bin
from tallboy.drawers.pieces.models import Part, Piece
from tallboy.drawers.today.checks import check_book
from tallboy.web.middleware import POLICY
from tallboy.web.views import own_zone

GIVEN = {"name": "Slipway Bench", "person": "Marta", "units": "metric", "currency": "EUR", "timezone": "Europe/Lisbon"}


@pytest.mark.django_db
@pytest.mark.parametrize("path", ["/", "/pieces/", "/shop/", "/air/"])
def test_an_empty_book_leads_to_its_first_page(client: Client, path: str) -> None:
    """Whatever is asked for, a book without a shop shows its first page, and that needs no shop."""
    assert client.get(path).headers["Location"] == "/welcome/"
    answer = client.get("/welcome/")
    assert answer.status_code == 200
    assert b"Take in the first piece" in answer.content
    assert b"Look around" in answer.content


@pytest.mark.django_db
def test_starting_a_book_leads_to_taking_in(client: Client) -> None:
    """Naming the shop opens it with hours, places and routes, and goes on to the first piece."""
    answer = client.post("/welcome/", GIVEN)
    assert answer.headers["Location"] == "/pieces/take-in/"
    shop = Shop.objects.get()
    assert (shop.name, shop.timezone, shop.is_demo) == ("Slipway Bench", "Europe/Lisbon", False)
    assert client.get("/").status_code == 200


@pytest.mark.parametrize(
    ("leads_to", "zone"),
    [("zoneinfo/Europe/Lisbon", "Europe/Lisbon"), ("zoneinfo/Quay/Side", ""), ("localtime of its own", "")],
)
def test_the_machines_own_zone_is_offered(tmp_path: Path, leads_to: str, zone: str) -> None:
    """Where the machine names its zone that is filled in; where it does not, the person is asked and nothing is guessed."""
    clock = tmp_path / "localtime"
    clock.symlink_to(tmp_path / leads_to)
    assert own_zone(clock) == zone


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"timezone": "Quay/Side"}, b"Europe/Lisbon"),
        ({"currency": "euro"}, b"3 characters"),
        ({"currency": "E1R"}, b"ISO 4217"),
        ({"name": ""}, b"required"),
    ],
)
def test_a_book_is_not_started_on_bad_answers(client: Client, wrong: dict[str, str], told: bytes) -> None:
    """The form comes back saying what would be accepted; nothing is kept."""
    answer = client.post("/welcome/", GIVEN | wrong)
    assert answer.status_code == 200
    assert told in answer.content
    assert not Shop.objects.exists()
    assert not Journal.objects.exists()


@pytest.mark.django_db
def test_the_demo_shop_stands_beside_ones_own(client: Client, by: By) -> None:
    """Looking around makes the demo shop once, shows it, and leads back; one's own book is not touched."""
    before = Journal.objects.filter(shop=by.shop).count()
    assert client.post("/welcome/demo/").headers["Location"] == "/"
    assert b"The Quay Bench" in client.get("/").content
    client.post("/welcome/demo/")
    demo = Shop.objects.get(is_demo=True)
    assert Piece.objects.filter(shop=demo).count() == 4
    assert 45 <= Part.objects.filter(shop=demo).count() <= 75
    assert Bin.objects.filter(shop=demo).exists()
    client.post("/welcome/own/")
    assert by.shop.name.encode() in client.get("/").content
    assert not Piece.objects.filter(shop=by.shop).exists()
    assert Journal.objects.filter(shop=by.shop).count() == before
    trouble = [line for check in check_book(by.at) for line in check.trouble]
    assert trouble == []


@pytest.mark.django_db
def test_every_page_carries_the_content_policy(client: Client, by: By) -> None:
    """No page may load from another host or run a script written into it; nothing may frame it."""
    answer = client.get("/")
    assert answer.headers["Content-Security-Policy"] == POLICY
    assert answer.headers["X-Frame-Options"] == "DENY"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert b"<style" not in answer.content
    assert b"style=" not in answer.content
    assert b"<script>" not in answer.content


@pytest.mark.django_db
def test_another_host_name_is_refused(client: Client, by: By) -> None:
    """A page asked for by a name that is not ours (as a hostile page could make a browser do) is not given."""
    answer = client.get("/", headers={"host": "quay.example"})
    assert answer.status_code == 400


@pytest.mark.django_db
def test_what_is_not_there_says_so_in_plain_words(client: Client, by: By) -> None:
    """A missing row and a missing page both answer 404 without a trace."""
    for path in ("/pieces/99999/", "/no-such-page/"):
        answer = client.get(path)
        assert answer.status_code == 404
        assert b"Traceback" not in answer.content


@pytest.mark.django_db
def test_a_change_needs_the_forms_own_token(by: By) -> None:
    """A form sent from elsewhere, without the page's token, changes nothing."""
    guarded = Client(enforce_csrf_checks=True)
    assert guarded.post("/plan/again/").status_code == 403


@pytest.mark.django_db
def test_a_form_that_cannot_be_read_is_refused_plainly(by: By) -> None:
    """Sent in no known alphabet: a bad request, with its page and its policy, not a fault of the program."""
    guarded = Client(enforce_csrf_checks=True)
    guarded.get("/shop/")
    answer = guarded.post("/plan/again/", b"next=%ff", content_type="application/x-www-form-urlencoded; charset=utf-7")
    assert answer.status_code == 400
    assert answer.headers["Content-Security-Policy"] == POLICY
    assert b"Traceback" not in answer.content
