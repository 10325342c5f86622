"""The pages of the Ledger drawer."""

from __future__ import annotations

import html
import re
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import timedelta
from decimal import Decimal
from urllib.parse import parse_qs, urlsplit

import pytest
from django.test import Client
from django.urls import reverse
from tests.drawers.ledger.ledger_made import clock, piece, second_person, step

from tallboy.book.actions import change_shop
from tallboy.book.doing import By
from tallboy.book.models import Journal
from tallboy.drawers.pieces.actions.work import finish_step, skip_step
from tallboy.drawers.pieces.models import ClockEntry

HOUR = timedelta(hours=1)
ClientAt = Callable[[By], Client]
Queries = Callable[[int], AbstractContextManager[object]]


@pytest.fixture
def worked(by: By) -> ClockEntry:
    """Two and a half hours of Tuesday morning, at 40 an hour."""
    change_shop(by, rate=Decimal("40.00"))
    return clock(by, step(by, piece(by)), by.at - 48 * HOUR, by.at - 45.5 * HOUR)


def _typed(began: str = "2026-03-10T09:00", ended: str = "2026-03-10T10:00", reason: str = "lunch") -> dict[str, str]:
    return {"began": began, "ended": ended, "reason": reason}


def test_the_ledger_says_hours_and_money(by: By, worked: ClockEntry, client_at: ClientAt) -> None:
    """Hours by piece, week and person, with what they come to and how that is worked out."""
    text = client_at(by).get(reverse("ledger:ledger")).content.decode()
    assert "2 h 30 of work this week" in text
    assert text.count("100.00 EUR") >= 4
    assert "Week 11, from 9 Mar 2026" in text
    assert "a half goes to the even side" in text
    assert "A forgotten clock" not in text


def test_an_empty_ledger_leads_on(by: By, client_at: ClientAt) -> None:
    """Before the clock has run, the page says how to begin."""
    text = client_at(by).get(reverse("ledger:ledger")).content.decode()
    assert "The clock has not run yet." in text


def test_without_a_rate_no_money_is_told(by: By, client_at: ClientAt) -> None:
    """Hours only, and the way to the rate."""
    clock(by, step(by, piece(by)), by.at - HOUR, by.at)
    text = client_at(by).get(reverse("ledger:ledger")).content.decode()
    assert "EUR" not in text
    assert "Set a rate an hour" in text


def test_a_forgotten_clock_stands_at_the_top(by: By, client_at: ClientAt) -> None:
    """It says whose, on what and since when, and leads to its correction."""
    entry = clock(by, step(by, piece(by)), by.at - 16 * HOUR, None)
    text = client_at(by).get(reverse("ledger:ledger")).content.decode()
    assert "A forgotten clock" in text
    assert "Wed 11 Mar, 17:00" in text
    assert reverse("ledger:correct", args=[entry.pk]) in text


def test_the_ledger_asks_the_database_no_more_for_more_pieces(
    by: By, client_at: ClientAt, django_assert_max_num_queries: Queries
) -> None:
    """Fifty pieces with hours, two people: a fixed number of queries, chest and all."""
    abel = second_person(by)
    for number in range(50):
        on = step(by, piece(by, f"2026-{number:03d}"))
        clock(by, on, by.at - HOUR, by.at, abel if number % 2 else None)
    client = client_at(by)
    with django_assert_max_num_queries(25):
        text = client.get(reverse("ledger:ledger")).content.decode()
    assert "1 to 25 of 50" in text


def test_a_piece_shows_its_steps(by: By, worked: ClockEntry, client_at: ClientAt) -> None:
    """Estimate beside real, and every stretch with a way to correct it."""
    text = client_at(by).get(reverse("ledger:piece", args=[worked.step.piece_id])).content.decode()
    assert "Scrape the top" in text
    assert "2 h 30" in text
    assert "Tue 10 Mar 2026, 09:00 – 11:30" in text
    assert reverse("ledger:correct", args=[worked.pk]) in text


def test_a_piece_s_hours_lead_to_its_price(by: By, worked: ClockEntry, client_at: ClientAt) -> None:
    """The price of a job opens with the steps as they are estimated or were really worked; what is skipped is left out."""
    row = worked.step.piece
    skip_step(by, step(by, row, "Wax"), "not wanted")
    finish_step(by, worked.step)
    step(by, row, "Oil", 90)
    text = client_at(by).get(reverse("ledger:piece", args=[row.pk])).content.decode()
    link = html.unescape(re.findall(r'href="([^"]*job-price[^"]*)"', text)[0])
    asked = parse_qs(urlsplit(link).query)
    assert asked["steps"] == ["150 min = 0 min; 90 min = 0 min"]
    assert asked["rate"] == ["40.00"]
    answer = client_at(by).get(link).content.decode()
    assert "160.00 EUR" in answer, "four hours at 40"


def test_a_correction_is_written(by: By, worked: ClockEntry, client_at: ClientAt) -> None:
    """The typed times are taken by the shop's clock, and the next page is the piece's."""
    answer = client_at(by).post(reverse("ledger:correct", args=[worked.pk]), _typed())
    assert answer.status_code == 302
    assert answer.headers["Location"] == reverse("ledger:piece", args=[worked.step.piece_id])
    worked.refresh_from_db()
    assert worked.ended_at == by.at - 47 * HOUR


def test_the_form_begins_with_what_the_clock_says(by: By, worked: ClockEntry, client_at: ClientAt) -> None:
    """Local times, to the minute."""
    text = client_at(by).get(reverse("ledger:correct", args=[worked.pk])).content.decode()
    assert 'value="2026-03-10T09:00"' in text
    assert 'value="2026-03-10T11:30"' in text


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (_typed(ended="2026-03-12T09:01"), "Give a time up to now, 2026-03-12 09:00."),
        (_typed(ended="2026-03-10T08:59"), "The end must be at or after the beginning."),
        (_typed(ended="soon"), "Enter a valid date/time."),
        (_typed(ended=""), "This field is required."),
        (_typed(reason=" "), "This field is required."),
        (_typed("2026-03-29T01:30", "2026-03-29T01:30"), "couldn’t be interpreted in time zone Europe/Lisbon"),
    ],
)
def test_bad_times_change_nothing(
    by: By, worked: ClockEntry, client_at: ClientAt, typed: dict[str, str], says: str
) -> None:
    """The form comes back with the message, the clock and the journal stay as they were."""
    before = Journal.objects.count()
    answer = client_at(by).post(reverse("ledger:correct", args=[worked.pk]), typed)
    assert answer.status_code == 200
    assert says in answer.content.decode().replace("&#x27;", "'").replace("&amp;", "&")
    worked.refresh_from_db()
    assert worked.ended_at == by.at - 45.5 * HOUR
    assert Journal.objects.count() == before


def test_the_table_is_a_download(by: By, worked: ClockEntry, client_at: ClientAt) -> None:
    """A CSV file with a name, not a page."""
    answer = client_at(by).get(reverse("ledger:csv"))
    assert answer.headers["Content-Type"] == "text/csv; charset=utf-8"
    assert answer.headers["Content-Disposition"] == 'attachment; filename="clock.csv"'
    assert answer.content.count(b"\r\n") == 2


def test_the_table_holds_no_other_shops_hours(by: By, stranger: By, worked: ClockEntry, client_at: ClientAt) -> None:
    """Only the heading for a shop that has no hours."""
    assert client_at(stranger).get(reverse("ledger:csv")).content.count(b"\r\n") == 1


@pytest.mark.parametrize("name", ["ledger:piece", "ledger:correct"])
def test_unknown_is_not_found(by: By, client_at: ClientAt, name: str) -> None:
    """A plain page, not a trace."""
    assert client_at(by).get(reverse(name, args=[987_654])).status_code == 404


def test_another_shops_rows_are_not_found(by: By, stranger: By, worked: ClockEntry, client_at: ClientAt) -> None:
    """Neither looking nor correcting reaches into another book."""
    client = client_at(stranger)
    assert client.get(reverse("ledger:piece", args=[worked.step.piece_id])).status_code == 404
    assert client.get(reverse("ledger:correct", args=[worked.pk])).status_code == 404
    assert client.post(reverse("ledger:correct", args=[worked.pk]), _typed()).status_code == 404
    worked.refresh_from_db()
    assert worked.ended_at == by.at - 45.5 * HOUR


def test_wrong_methods_are_refused(by: By, worked: ClockEntry, client_at: ClientAt) -> None:
    """What only shows takes no POST; what takes a form takes no PUT."""
    client = client_at(by)
    shows = ["ledger:ledger", "ledger:csv"]
    assert [client.post(reverse(name)).status_code for name in shows] == [405, 405]
    assert client.post(reverse("ledger:piece", args=[worked.step.piece_id])).status_code == 405
    assert client.put(reverse("ledger:correct", args=[worked.pk])).status_code == 405
