"""The shop's own pages, and what they keep from those who ask for what is not theirs."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from datetime import date
from decimal import Decimal

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse
from PIL import Image

from tallboy.book import actions, photos, queries
from tallboy.book.doing import By
from tallboy.book.models import DayOff, Journal, Photo, Place, Shop

pytestmark = pytest.mark.usefixtures("own_folder")
ClientAt = Callable[[By], Client]
SETTINGS = {
    "name": "Quay Bench",
    "units": "metric",
    "currency": "EUR",
    "timezone": "Europe/Lisbon",
    "hands": "2",
    "rate": "38.50",
    "paper": "a4",
}


@pytest.fixture
def client(by: By, client_at: ClientAt) -> Client:
    """A browser with the shop's book open."""
    return client_at(by)


@pytest.fixture
def picture(by: By) -> Photo:
    """A photograph of this shop."""
    return actions.keep_photo(by, jpeg((90, 60, 30)), "front.jpg")


def jpeg(colour: tuple[int, int, int]) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (800, 600), colour).save(out, "JPEG")
    return out.getvalue()


def page(client: Client, name: str, *args: object) -> str:
    """The text of a page that works."""
    answer = client.get(reverse(f"book:{name}", args=args))
    assert answer.status_code == 200
    return answer.content.decode()


@pytest.mark.parametrize("name", ["shop", "hours", "days-off", "places", "journal"])
def test_pages_work(client: Client, name: str) -> None:
    """Each answers, is titled, and carries no style or code of its own."""
    text = page(client, name)
    assert "<h1>" in text
    assert " style=" not in text
    assert not re.search(r"<script(?![^>]*\bsrc=)", text)


def test_the_shops_pages_lie_in_no_drawer(client: Client) -> None:
    """No drawer is pulled out for them."""
    assert "aria-current" not in page(client, "shop")
    assert 'aria-current="page"' in client.get(reverse("bins:bins")).content.decode()


@pytest.mark.parametrize("name", ["journal"])
def test_what_is_only_read_takes_no_post(client: Client, name: str) -> None:
    """The journal is read; nothing can be sent to it."""
    assert client.post(reverse(f"book:{name}")).status_code == 405


def test_what_changes_something_takes_no_get(client: Client, by: By) -> None:
    """A link cannot take a day off away."""
    row = actions.add_day_off(by, date(2026, 4, 1))
    assert client.get(reverse("book:remove-day-off", args=[row.pk])).status_code == 405
    assert DayOff.objects.filter(pk=row.pk).exists()


@pytest.mark.parametrize("name", ["shop", "hours", "days-off", "places"])
def test_other_methods_are_refused(client: Client, name: str) -> None:
    """Only reading and sending a form."""
    assert client.put(reverse(f"book:{name}")).status_code == 405


def test_the_shop_page_shows_what_holds(client: Client) -> None:
    """Settings, hours of the week, places and people at a glance."""
    text = page(client, "shop")
    for shown in (
        "Quay Bench",
        "Europe/Lisbon",
        "08:00&#8288;–&#8288;12:30, 13:00&#8288;–&#8288;17:00",
        "nobody works",
        "spray spot",
        "Ines",
    ):
        assert shown in text


def test_the_shop_page_leads_to_the_demo_shop_and_back(client: Client, by: By) -> None:
    """One button, and never the one for where one is already."""
    own, demo = f'action="{reverse("own-book")}"', f'action="{reverse("visit-demo")}"'
    assert (own in page(client, "shop"), demo in page(client, "shop")) == (False, True)
    Shop.objects.filter(pk=by.shop.pk).update(is_demo=True)
    assert (own in page(client, "shop"), demo in page(client, "shop")) == (True, False)


def test_settings_are_kept(client: Client, by: By) -> None:
    """Sent, kept, and back to the page; a currency in small letters is understood."""
    answer = client.post(reverse("book:shop"), {**SETTINGS, "currency": "gbp", "units": "imperial"})
    assert answer.status_code == 302
    shop = Shop.objects.get(pk=by.shop.pk)
    assert (shop.currency, shop.units, shop.hands, shop.rate) == ("GBP", "imperial", 2, Decimal("38.50"))


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"timezone": "Europe/Atlantis"}, "The time zone &#x27;Europe/Atlantis&#x27; is not known."),
        ({"currency": "12"}, "The currency is &#x27;12&#x27;."),
        ({"hands": "0"}, "greater than or equal to 1"),
        ({"rate": "-3"}, "greater than or equal to 0"),
        ({"rate": "12.345"}, "no more than 2 decimal places"),
        ({"rate": "NaN"}, "Enter a number"),
        ({"name": ""}, "This field is required"),
        ({"paper": "a3"}, "Select a valid choice"),
    ],
)
def test_bad_settings_show_the_form_again(client: Client, by: By, wrong: dict[str, str], told: str) -> None:
    """With what is wrong and what was typed; the shop stays as it was."""
    before = Shop.objects.filter(pk=by.shop.pk).values()[0]
    answer = client.post(reverse("book:shop"), {**SETTINGS, **wrong})
    assert answer.status_code == 200
    assert told in answer.content.decode()
    assert Shop.objects.filter(pk=by.shop.pk).values()[0] == before


def test_hours_are_kept(client: Client, by: By) -> None:
    """The whole week is replaced by what was sent."""
    sent = {"opens_6_0": "10:00", "closes_6_0": "12:00", "opens_6_2": "20:00", "closes_6_2": "21:30"}
    assert client.post(reverse("book:hours"), sent).status_code == 302
    assert [f"{opens:%H:%M}-{closes:%H:%M}" for _day, opens, closes in queries.hours(by.shop)] == [
        "10:00-12:00", "20:00-21:30",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("sent", "told"),
    [
        ({"opens_0_0": "12:00", "closes_0_0": "08:00"}, "Monday: work ends at 08:00, before it begins at 12:00."),
        (
            {"opens_0_0": "08:00", "closes_0_0": "13:00", "opens_0_1": "12:00", "closes_0_1": "17:00"},
            "Monday: two stretches of work overlap at 12:00.",
        ),
        ({"opens_0_0": "08:00"}, "Give both times of a stretch, or none."),
        ({"opens_0_0": "25:00", "closes_0_0": "26:00"}, "Enter a valid time"),
    ],
)
def test_impossible_hours_show_the_form_again(client: Client, by: By, sent: dict[str, str], told: str) -> None:
    """With what is wrong and what was typed; the week stays as it was."""
    before = queries.hours(by.shop)
    answer = client.post(reverse("book:hours"), sent)
    assert answer.status_code == 200
    assert told in answer.content.decode()
    assert f'value="{sent["opens_0_0"]}"' in answer.content.decode()
    assert queries.hours(by.shop) == before


def test_days_off_are_added_and_taken_away(client: Client, by: By) -> None:
    """A run of days with its reason; then one of them is worked after all."""
    sent = {"day": "2026-04-01", "until": "2026-04-03", "reason": "fair"}
    assert client.post(reverse("book:days-off"), sent).status_code == 302
    text = page(client, "days-off")
    assert "Wednesday 1 April 2026" in text
    assert text.count("fair") == 3
    first = DayOff.objects.order_by("day")[0]
    assert client.post(reverse("book:remove-day-off", args=[first.pk])).status_code == 302
    assert [row.day.day for row in DayOff.objects.all()] == [2, 3]


def test_an_impossible_holiday_shows_the_form_again(client: Client) -> None:
    """It ends before it begins."""
    answer = client.post(reverse("book:days-off"), {"day": "2026-04-03", "until": "2026-04-01"})
    assert "They must end on or after the day they begin" in answer.content.decode()
    assert not DayOff.objects.exists()


def test_another_shops_day_off_is_not_found(client: Client, stranger: By) -> None:
    """Nor is one that never was."""
    theirs = actions.add_day_off(stranger, date(2026, 4, 1))
    for pk in (theirs.pk, 999_999):
        assert client.post(reverse("book:remove-day-off", args=[pk])).status_code == 404
    assert DayOff.objects.filter(pk=theirs.pk).exists()


def test_a_place_is_added(client: Client, by: By) -> None:
    """Once; a second of the same name shows the form again."""
    sent = {"name": "loft", "kind": "bench"}
    assert client.post(reverse("book:places"), sent).status_code == 302
    assert "loft" in page(client, "places")
    again = client.post(reverse("book:places"), sent)
    assert "There is already a place named so" in again.content.decode()
    assert Place.objects.filter(shop=by.shop, name="loft").count() == 1


def test_the_journal_tells_who_what_and_when_a_page_at_a_time(client: Client, by: By) -> None:
    """The newest first, by the shop's own clock, fifty to a page."""
    for number in range(60):
        by.record("try", by.shop, f"Tried number {number}.")
    first, second = client.get(reverse("book:journal")), client.get(reverse("book:journal"), {"page": 2})
    text = first.content.decode()
    assert text.index("Tried number 59.") < text.index("Tried number 58.")
    assert "Thursday 12 March 2026" in text
    assert "09:00" in text
    assert "Tried number 9." not in text
    assert "Tried number 9." in second.content.decode()
    assert "Opened the book of Quay Bench." in second.content.decode()


def test_the_journals_day_is_the_shops_day(client: Client, by: By) -> None:
    """What was done at half past midnight in summer stands under that day, though it was the day before in UTC."""
    night = by.at.replace(month=7, day=14, hour=0, minute=30)
    by.later(night).record("try", by.shop, "Could not sleep.")
    assert "Tuesday 14 July 2026" in page(client, "journal")


def test_the_journal_tells_nothing_of_another_shop(client: Client, stranger: By) -> None:
    """Not even that it exists."""
    actions.add_place(stranger, "secret loft", Place.Kind.BENCH)
    text = page(client, "journal")
    assert "secret loft" not in text
    assert "Hill Bench" not in text


def test_text_from_people_is_shown_as_text(client: Client, by: By) -> None:
    """What somebody typed is never taken for markup."""
    actions.add_place(by, "<script>alert(1)</script>", Place.Kind.BENCH)
    for name in ("shop", "places", "journal"):
        text = page(client, name)
        assert "&lt;script&gt;alert(1)" in text
        assert "<script>alert" not in text


@pytest.mark.parametrize("side", [None, *photos.THUMBNAILS])
def test_a_photograph_is_served_as_jpeg_and_kept_by_the_browser(
    client: Client, picture: Photo, side: int | None
) -> None:
    """Its type is fixed and not guessed at; only the person's own browser may keep it, for long."""
    name, args = ("photo", [picture.digest]) if side is None else ("thumbnail", [picture.digest, side])
    answer = client.get(reverse(f"book:{name}", args=args))
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == "image/jpeg"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Cache-Control"] == "private, max-age=31536000, immutable"
    with Image.open(io.BytesIO(b"".join(answer))) as image:
        assert max(image.size) == min(side or 800, 800)


def test_photographs_that_are_not_this_shops_are_not_found(client: Client, stranger: By) -> None:
    """Another shop's, one that never was, an address that tries to climb out of the folder."""
    theirs = actions.keep_photo(stranger, jpeg((1, 2, 3)), "theirs.jpg")
    for digest in (theirs.digest, "0" * 64, "..", "%2e%2e%2fbook.sqlite3", "secret"):
        assert client.get(f"/shop/photo/{digest}/").status_code == 404
        assert client.get(f"/shop/photo/{digest}/360/").status_code == 404


@pytest.mark.parametrize("side", [0, 1, 359, 4000, 10**9])
def test_only_the_known_sizes_are_made(client: Client, picture: Photo, side: int) -> None:
    """Nobody can fill the disk with thumbnails of every size."""
    assert client.get(reverse("book:thumbnail", args=[picture.digest, side])).status_code == 404
    assert [file.name for file in settings.BOOK.photo(picture.digest).parent.glob("*-*")] == []


def test_a_photograph_whose_file_is_missing_is_not_found(client: Client, picture: Photo) -> None:
    """A plain page, not a trace."""
    settings.BOOK.photo(picture.digest).unlink()
    for name, args in (("photo", [picture.digest]), ("thumbnail", [picture.digest, 360])):
        assert client.get(reverse(f"book:{name}", args=args)).status_code == 404


def test_photographs_are_only_read(client: Client, picture: Photo) -> None:
    """Nothing can be sent to a photograph's address."""
    assert client.post(reverse("book:photo", args=[picture.digest])).status_code == 405
    assert client.delete(reverse("book:thumbnail", args=[picture.digest, 360])).status_code == 405


def test_looking_changes_nothing(client: Client, picture: Photo) -> None:
    """No page writes in the journal by being looked at."""
    rows = Journal.objects.count()
    for name in ("shop", "hours", "days-off", "places", "journal"):
        page(client, name)
    assert Journal.objects.count() == rows
