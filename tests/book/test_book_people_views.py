"""The pages of people, places, clamps and racks, holidays and noise."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, time
from html.parser import HTMLParser

import pytest
from django.test import Client
from django.urls import reverse

from tallboy.book import actions, queries
from tallboy.book.doing import By
from tallboy.book.models import DayOff, Journal, Means, Person, Place, Shop

ClientAt = Callable[[By], Client]
MONDAY = {"opens_0_0": "09:00", "closes_0_0": "12:00"}


@pytest.fixture
def client(by: By, client_at: ClientAt) -> Client:
    """A browser with the shop's book open."""
    return client_at(by)


@pytest.fixture
def spray(by: By) -> Place:
    """The shop's spray spot."""
    return Place.objects.get(shop=by.shop, name="spray spot")


def address(name: str, *args: object) -> str:
    return reverse(f"book:{name}", args=args)


def page(client: Client, name: str, /, *args: object) -> str:
    """The text of a page that works."""
    answer = client.get(address(name, *args))
    assert answer.status_code == 200
    return answer.content.decode()


def sent(client: Client, name: str, /, *args: object, **fields: object) -> str:
    """Where a form that was kept leads to."""
    answer = client.post(address(name, *args), fields)
    assert answer.status_code == 302
    return str(answer.headers["Location"])


def refused(client: Client, name: str, /, *args: object, **fields: object) -> str:
    """The page that shows a form again."""
    answer = client.post(address(name, *args), fields)
    assert answer.status_code == 200
    assert "another look; nothing has been saved yet" in answer.content.decode()
    return answer.content.decode()


class _Ids(HTMLParser):
    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found += [value for name, value in attrs if name == "id" and value]


def pages(by: By) -> list[str]:
    """Every page of these, one of each kind."""
    place, clamps = Place.objects.filter(shop=by.shop)[0], actions.add_means(by, "long clamps", "clamps", 6)
    rack = actions.add_means(by, "drying rack", "rack", 240)
    names = [address(name) for name in ("people", "places", "means", "holidays", "noise", "days-off", "shop")]
    names += [address(name, by.person.pk) for name in ("person", "person-hours", "person-days-off")]
    names += [address(name, place.pk) for name in ("place", "place-hours")]
    return [*names, address("one-of-the-means", clamps.pk), address("one-of-the-means", rack.pk)]


def test_pages_work(client: Client, by: By) -> None:
    """Each answers, is titled, carries no style or code of its own, and names no two things alike."""
    actions.set_holidays(by, "GB", "SCT", keeps=True)
    for path in pages(by):
        answer = client.get(path)
        assert answer.status_code == 200, path
        text = answer.content.decode()
        assert "<h1>" in text
        assert " style=" not in text
        assert not re.search(r"<script(?![^>]*\bsrc=)", text)
        ids = _Ids(text).found
        assert len(ids) == len(set(ids)), path


def test_looking_changes_nothing(client: Client, by: By) -> None:
    """No page writes in the journal by being looked at; other methods are refused."""
    paths = pages(by)
    rows = Journal.objects.count()
    for path in paths:
        client.get(path)
        assert client.put(path).status_code == 405
    assert Journal.objects.count() == rows


def test_another_shops_people_and_things_are_not_found(client: Client, stranger: By) -> None:
    """Nor are those that never were; nothing of theirs changes."""
    place, means = Place.objects.filter(shop=stranger.shop)[0], actions.add_means(stranger, "clamps", "clamps", 1)
    day = actions.add_day_off(stranger, date(2026, 4, 1), person=stranger.person)
    rows = Journal.objects.count()
    for name in ("person", "person-hours", "person-days-off"):
        for pk in (stranger.person.pk, 999_999):
            assert client.get(address(name, pk)).status_code == 404
            assert client.post(address(name, pk), MONDAY).status_code == 404
    for name, pk in (("place", place.pk), ("place-hours", place.pk), ("one-of-the-means", means.pk)):
        assert client.get(address(name, pk)).status_code == 404
        assert client.post(address(name, pk), MONDAY).status_code == 404
    assert client.post(address("remove-means", means.pk)).status_code == 404
    assert client.post(address("remove-persons-day-off", stranger.person.pk, day.pk)).status_code == 404
    assert Journal.objects.count() == rows


def test_somebody_is_added(client: Client, by: By) -> None:
    """With suggested skills and others; they and the count of hands are shown."""
    Shop.objects.filter(pk=by.shop.pk).update(hands=3)
    assert "2 of them have no name here" in page(client, "people")
    sent(client, "people", name="Abel", works="on", skills=["turning"], others="Caning, rush seats")
    text = page(client, "people")
    assert "caning, rush seats, turning" in text
    assert "The plan counts on 3 pairs of hands." in text
    assert "1 of them has no name here" in text
    assert "There is already somebody named so" in refused(client, "people", name="Abel")
    assert Person.objects.filter(shop=by.shop).count() == 2


def test_a_person_is_changed(client: Client, by: By) -> None:
    """The skills anybody in the shop has can be ticked; unticking takes one away."""
    actions.add_person(by, "Abel", skills=["caning"])
    text = page(client, "person", by.person.pk)
    assert 'value="caning"' in text
    assert 'value="gilding"' in text
    assert sent(client, "person", by.person.pk, name="Ines", works="on", skills=["caning", "gilding"]) == address(
        "people"
    )
    sent(client, "person", by.person.pk, name="Ines", works="", skills=["gilding"])
    ines = Person.objects.get(pk=by.person.pk)
    assert (ines.works, ines.skills) == (False, ["gilding"])
    assert "not at the bench" in page(client, "people")
    assert "Select a valid choice" in refused(client, "person", by.person.pk, name="Ines", skills=["flying"])


def test_a_person_has_hours_of_their_own_and_gives_them_up(client: Client, by: By) -> None:
    """The shop's are shown to begin with; a button takes them back."""
    text = page(client, "person-hours", by.person.pk)
    assert "works the shop’s hours" in text
    assert 'value="08:00"' in text
    assert "Work the shop’s hours again" not in text
    assert sent(client, "person-hours", by.person.pk, **MONDAY) == address("person", by.person.pk)
    assert queries.hours(by.shop, by.person) == [(0, time(9), time(12))]
    assert "09:00&#8288;–&#8288;12:00" in page(client, "person", by.person.pk)
    text = page(client, "person-hours", by.person.pk)
    assert 'value="08:00"' not in text
    assert "Work the shop’s hours again" in text
    sent(client, "person-hours", by.person.pk, as_the_shop="yes")
    assert queries.hours(by.shop, by.person) == []
    assert len(queries.hours(by.shop)) == 10


def test_the_shops_hours_are_not_given_up(client: Client, by: By) -> None:
    """The button of a person's page does nothing to the shop's."""
    client.post(address("hours"), {"as_the_shop": "yes", **MONDAY})
    assert queries.hours(by.shop) == [(0, time(9), time(12))]


def test_impossible_hours_of_a_person_show_the_form_again(client: Client, by: By) -> None:
    """With what is wrong."""
    text = refused(client, "person-hours", by.person.pk, opens_0_0="12:00", closes_0_0="08:00")
    assert "Monday: work ends at 08:00, before it begins at 12:00." in text


def test_a_person_takes_days_off_and_gives_one_back(client: Client, by: By) -> None:
    """Their own page, and not in the list of everybody."""
    sent(client, "person-days-off", by.person.pk, day="2026-04-01", until="2026-04-02", reason="the boat")
    text = page(client, "person-days-off", by.person.pk)
    assert "Wednesday 1 April 2026" in text
    assert "the boat" not in page(client, "days-off")
    assert "the boat" in page(client, "person", by.person.pk)
    first = DayOff.objects.order_by("day")[0]
    assert client.get(address("remove-persons-day-off", by.person.pk, first.pk)).status_code == 405
    assert sent(client, "remove-persons-day-off", by.person.pk, first.pk) == address("person-days-off", by.person.pk)
    assert [row.day.day for row in DayOff.objects.all()] == [2]


def test_a_place_is_changed(client: Client, by: By, spray: Place) -> None:
    """Its air and seats are shown in the list."""
    assert "So far: outdoors, shop" in page(client, "place", spray.pk)
    assert sent(client, "place", spray.pk, room="spray shed", fresh_air="on", seats="2") == address("places")
    text = page(client, "places")
    assert "air of the spray shed, vapour led away, 2 pieces of work at once" in text
    sent(client, "place", spray.pk, room="spray shed", seats="")
    spray.refresh_from_db()
    assert (spray.room, spray.fresh_air, spray.seats) == ("spray shed", False, None)
    assert "greater than or equal to 1" in refused(client, "place", spray.pk, room="shop", seats="0")


def test_a_place_has_hours_and_gives_them_up(client: Client, by: By, spray: Place) -> None:
    """Where it has none, it can be used whenever somebody works."""
    assert "Whenever somebody works." in page(client, "place", spray.pk)
    assert sent(client, "place-hours", spray.pk, **MONDAY) == address("place", spray.pk)
    assert "not used" in page(client, "place", spray.pk)
    assert "own hours" in page(client, "places")
    sent(client, "place-hours", spray.pk, as_the_shop="yes")
    assert queries.hours(by.shop, spray) == []


def test_clamps_are_added_changed_and_taken_away(client: Client, by: By) -> None:
    """Each form shows its own mistakes only."""
    sent(client, "means", kind="clamps", name="long clamps", amount="6")
    clamps = Means.objects.get(shop=by.shop)
    text = refused(client, "means", kind="clamps", name="long clamps", amount="0")
    assert text.count("needs another look") == 1
    assert 'id="clamps_amount"' in text
    sent(client, "one-of-the-means", clamps.pk, name="long clamps", amount="8")
    assert "8 clamps" in page(client, "means")
    assert "8 clamps" in page(client, "shop")
    assert "greater than or equal to 1" in refused(client, "one-of-the-means", clamps.pk, name="c", amount="-1")
    assert client.get(address("remove-means", clamps.pk)).status_code == 405
    sent(client, "remove-means", clamps.pk)
    assert "Nothing is counted yet." in page(client, "means")


@pytest.mark.parametrize(
    ("units", "typed", "dm2", "shown"),
    [
        ("metric", "2.4", 240, "2.4 m²"),
        ("imperial", "26", 242, "26 ft²"),  # 1 ft² = 9.290304 dm² by the definition of the foot as 304.8 mm
        ("imperial", "0.01", 1, "0.1 ft²"),  # never nothing at all
    ],
)
def test_a_rack_is_typed_in_the_shops_unit(
    client: Client, by: By, units: str, typed: str, dm2: int, shown: str
) -> None:
    """And kept in whole square decimetres."""
    actions.change_shop(by, units=units)
    sent(client, "means", kind="rack", name="drying rack", surface=typed)
    rack = Means.objects.get(shop=by.shop)
    assert (rack.kind, rack.amount) == ("rack", dm2)
    assert shown in page(client, "means")
    form = page(client, "one-of-the-means", rack.pk)
    assert shown.split()[1] in form
    sent(client, "one-of-the-means", rack.pk, name="drying rack", surface="100")
    rack.refresh_from_db()
    assert rack.amount == {"metric": 10_000, "imperial": 929}[units]


@pytest.mark.parametrize("surface", ["0", "-1", "NaN", "Infinity", "1e9", "wide", "99999999999999999999"])
def test_a_rack_of_no_size_is_refused(client: Client, surface: str) -> None:
    """Whatever is typed."""
    refused(client, "means", kind="rack", name="drying rack", surface=surface)
    assert not Means.objects.exists()


def test_nothing_that_is_not_counted_is_added(client: Client) -> None:
    """A form of no kind is no form."""
    assert client.post(address("means"), {"kind": "boats", "name": "x", "amount": "1"}).status_code == 200
    assert client.post(address("means"), {"name": "x", "amount": "1"}).status_code == 200
    assert not Means.objects.exists()


def test_holidays_are_chosen_step_by_step(client: Client, by: By) -> None:
    """First the country, then a part of it where it has any; another country starts whole again."""
    text = page(client, "holidays")
    assert "Part of the country" not in text
    assert "None are kept." in text
    sent(client, "holidays", country="GB", keeps="on")
    text = page(client, "holidays")
    assert "Part of the country" in text
    assert '<option value="SCT">Scotland</option>' in text
    sent(client, "holidays", country="GB", subdivision="SCT", keeps="on")
    assert "Monday 30 November 2026" in page(client, "holidays")
    sent(client, "holidays", country="PT", subdivision="SCT", keeps="on")
    shop = Shop.objects.get(pk=by.shop.pk)
    assert (shop.country, shop.subdivision) == ("PT", "")
    assert "public holidays of Portugal" in page(client, "shop")


def test_bad_holidays_show_the_form_again(client: Client, by: By) -> None:
    """No country to keep the holidays of, or one that is not offered."""
    assert "The holidays of which country?" in refused(client, "holidays", country="", keeps="on")
    assert "Select a valid choice" in refused(client, "holidays", country="XX", keeps="on")
    assert Shop.objects.get(pk=by.shop.pk).country == ""


def test_a_holiday_is_worked_and_kept_again(client: Client, by: By) -> None:
    """In the list of days off it says which it is."""
    actions.set_holidays(by, "PT", keeps=True)
    text = page(client, "days-off")
    assert "Friday 3 April 2026" in text
    assert "holiday: Good Friday" in text
    assert client.get(address("work-on-holiday", "2026-04-03")).status_code == 405
    assert sent(client, "work-on-holiday", "2026-04-03") == address("days-off")
    assert "holiday: Good Friday; worked all the same" in page(client, "days-off")
    assert "Friday 3 April 2026" not in page(client, "shop")
    sent(client, "keep-holiday", "2026-04-03")
    assert "worked all the same" not in page(client, "days-off")


@pytest.mark.parametrize("day", ["2026-04-02", "2026-02-30", "easter", "0", "..", "9999999-01-01"])
def test_a_day_that_is_no_holiday_is_told(client: Client, by: By, day: str) -> None:
    """Nothing changes; the next page says why."""
    actions.set_holidays(by, "PT", keeps=True)
    rows = Journal.objects.count()
    for name in ("work-on-holiday", "keep-holiday"):
        answer = client.post(address(name, day), follow=True)
        assert answer.status_code == 200
        assert re.search("There is no such|is no public holiday", answer.content.decode())
    assert Journal.objects.count() == rows


def test_noise_and_evenings_are_kept(client: Client, by: By) -> None:
    """One form, a line in the journal for each that changed."""
    fields = {"noise_from": "08:00", "noise_until": "18:30", "leave_early": "on"}
    assert sent(client, "noise", **fields) == address("shop")
    text = page(client, "shop")
    assert "Noisy work only from 08:00 until 18:30." in text
    assert "Days end early where nothing is lost by it." in text
    rows = Journal.objects.count()
    sent(client, "noise", **fields)
    assert Journal.objects.count() == rows
    assert 'value="18:30"' in page(client, "noise")
    sent(client, "noise", noise_from="", noise_until="")
    assert "Noisy work at any time." in page(client, "shop")


@pytest.mark.parametrize(("since", "until"), [("18:00", "08:00"), ("08:00", ""), ("25:00", "26:00")])
def test_impossible_noise_shows_the_form_again(client: Client, by: By, since: str, until: str) -> None:
    """With what was typed; the shop stays as it was."""
    text = refused(client, "noise", noise_from=since, noise_until=until, leave_early="on")
    assert f'value="{since}"' in text
    assert Shop.objects.filter(pk=by.shop.pk, noise_from=None, leave_early=False).exists()


def test_text_from_people_is_shown_as_text(client: Client, by: By) -> None:
    """What somebody typed is never taken for markup."""
    evil = "<script>alert(1)</script>"
    abel = actions.add_person(by, evil, skills=["<b>turning</b>"])
    bench = Place.objects.filter(shop=by.shop)[0]
    actions.change_place(by, bench.pk, room=evil, fresh_air=False, seats=None)
    actions.add_means(by, evil, "clamps", 1)
    actions.add_day_off(by, date(2026, 4, 1), evil, abel)
    paths = [address(name) for name in ("people", "places", "means", "shop")]
    for path in [*paths, address("person", abel.pk), address("person-days-off", abel.pk), address("place", bench.pk)]:
        text = client.get(path).content.decode()
        assert "&lt;script&gt;alert(1)" in text, path
        assert "<script>alert" not in text
        assert "<b>turning" not in text


def test_a_country_without_known_holidays_says_so(client: Client, by: By) -> None:
    """An island where only seals live keeps none, and the page does not claim that nobody wants them."""
    actions.set_holidays(by, "BV", keeps=True)
    assert "None is known for the year to come." in page(client, "holidays")
