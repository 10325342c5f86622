"""The pages of the Air drawer, as a browser without JavaScript asks for them."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from tests.drawers.air.air_made import taken_in

from tallboy.book.doing import By
from tallboy.book.models import Journal
from tallboy.drawers.air import incoming, queries
from tallboy.drawers.air.actions import add_reading
from tallboy.drawers.air.models import LoggerFile, Reading
from tallboy.drawers.air.urls import urlpatterns

Opens = Callable[[By], Client]
GOOD = "time;temperature °C;humidity %\n2026-03-11 09:00;17,5;62\n2026-03-11 10:00;17,9;61\n"
NUMBERED = {"take-back": "both", "file": "get", "take-back-file": "both"}
PLAIN = {"air": "get", "add": "both", "bring": "both", "answers": "post"}


def bring(client: Client, text: str, name: str = "quay.csv") -> object:
    """Send a file the way the form does, and follow to the page that comes."""
    return client.post(reverse("air:bring"), {"file": SimpleUploadedFile(name, text.encode())}, follow=True)


def body(answer: object) -> str:
    return answer.content.decode()  # type: ignore[attr-defined, no-any-return]


def hidden(answer: object) -> dict[str, str]:
    """The hidden fields of the answer's form, to send on."""
    form = answer.context["form"]  # type: ignore[attr-defined]
    return {field.html_name: field.value() for field in form if field.is_hidden}


def test_every_address_is_known_here() -> None:
    """A new page cannot be forgotten below."""
    assert {pattern.name for pattern in urlpatterns} == {*NUMBERED, *PLAIN}


@pytest.mark.parametrize(("name", "takes"), NUMBERED.items())
def test_rows_unknown_or_of_another_shop_are_not_found(
    by: By, stranger: By, client_at: Opens, name: str, takes: str
) -> None:
    """404 either way, by every method the page takes, and nothing is changed."""
    theirs = {"take-back": add_reading(stranger, by.at, 17, 60).pk, "file": taken_in(stranger, days=1).file.pk}
    count = Reading.objects.count()
    client = client_at(by)
    for pk in (theirs.get(name, theirs["file"]), 10**9):
        url = reverse(f"air:{name}", args=[pk])
        assert client.get(url).status_code == 404
        if takes == "both":
            assert client.post(url, {"reason": "no"}).status_code == 404
    assert Reading.objects.count() == count


def test_methods_a_page_does_not_take_are_refused(by: By, client_at: Opens) -> None:
    """405 for a look at what only acts, and for an act on what only shows."""
    file = taken_in(by, days=1).file
    client = client_at(by)
    for name, takes in PLAIN.items():
        if takes != "both":
            other = client.post if takes == "get" else client.get
            assert other(reverse(f"air:{name}")).status_code == 405
    assert client.post(reverse("air:file", args=[file.pk])).status_code == 405
    assert client.delete(reverse("air:add")).status_code == 405


def test_the_empty_drawer_invites_and_says_what_is_guessed(by: By, client_at: Opens) -> None:
    """Nothing read yet: two ways to begin, and the guess the plan makes until then."""
    page = body(client_at(by).get(reverse("air:air")))
    assert "18 °C and 60 %" in page
    assert reverse("air:add") in page
    assert reverse("air:bring") in page


def test_the_page_shows_the_air_its_workings_and_the_table(by: By, client_at: Opens) -> None:
    """Now, what follows from it, three weeks drawn, the same as a table, twelve readings and the pager; under 100 kB with its style."""
    taken_in(by)
    add_reading(by, by.at, 17.5, 62)
    answer = client_at(by).get(reverse("air:air"))
    page = body(answer)
    for words in ("17.5 °C · 62 %", "A coat may go on", "Wood Handbook", "ASHRAE", "1 to 12 of 505", "forecast"):
        assert words in page
    assert page.count('<svg viewBox="0 0 1060') == page.count('<svg viewBox="0 0 360') == 1
    assert 'style="' not in page
    css = Path("src/tallboy/web/static/tallboy.css").stat().st_size
    assert len(answer.content) + css < 100_000
    assert "13 to 24 of 505" in body(client_at(by).get(reverse("air:air") + "?page=2"))


def test_an_old_reading_is_told_as_old(by: By, client_at: Opens) -> None:
    """Nobody should coat by yesterday's air."""
    add_reading(by.later(by.at - timedelta(days=1)), by.at - timedelta(days=1), 17.5, 62)
    assert "An old reading." in body(client_at(by).get(reverse("air:air")))


def test_a_reading_is_written_down_in_the_shops_units(by: By, client_at: Opens) -> None:
    """A bare 64 is °F in a shop that thinks in °F; the time is by the shop's clock."""
    by.shop.units = "imperial"
    by.shop.save()
    data = {"celsius": "64", "relative_humidity": "62 %", "at": "2026-03-12T08:30"}
    answer = client_at(by).post(reverse("air:add"), data)
    assert answer.status_code == 302
    reading = Reading.objects.get()
    assert reading.celsius == pytest.approx(17.778, abs=0.001)
    assert reading.at == by.at - timedelta(minutes=30)


def test_the_form_offers_now_and_the_shops_unit(by: By, client_at: Opens) -> None:
    """The usual case needs two numbers only."""
    page = body(client_at(by).get(reverse("air:add")))
    assert 'value="2026-03-12T09:00"' in page
    assert "a bare number is °C" in page


@pytest.mark.parametrize(
    ("field", "value", "told"),
    [
        ("celsius", "twelve", "cannot be read"),
        ("celsius", "400", "must lie between"),
        ("relative_humidity", "162", "between 0 and 100"),
        ("at", "yesterday", "Enter a valid date/time"),
        ("at", "2026-03-13T09:00", "still to come"),
        ("at", "", "required"),
    ],
)
def test_bad_readings_come_back_with_a_message(by: By, client_at: Opens, field: str, value: str, told: str) -> None:
    """The form shows again what was typed and what is wrong; nothing is written."""
    data = {"celsius": "17,5", "relative_humidity": "62", "at": "2026-03-12T08:30", field: value}
    answer = client_at(by).post(reverse("air:add"), data)
    assert answer.status_code == 200
    assert told in body(answer)
    assert not Reading.objects.exists()


def test_a_reading_is_taken_back_with_its_reason(by: By, client_at: Opens) -> None:
    """Asked for first; without one the form comes back."""
    reading = add_reading(by, by.at, 44, 62)
    client, url = client_at(by), reverse("air:take-back", args=[reading.pk])
    assert client.get(url).status_code == 200
    assert client.post(url, {"reason": ""}).status_code == 200
    assert Reading.objects.exists()
    assert client.post(url, {"reason": "stood in the sun"}).status_code == 302
    assert not Reading.objects.exists()


def test_a_plain_file_is_taken_in_at_once(by: By, client_at: Opens) -> None:
    """Upload, then the page of what came of it; nothing is left waiting."""
    page = body(bring(client_at(by), GOOD))
    assert "2 readings taken in" in page
    assert "quay.csv" in page
    assert Reading.objects.count() == 2
    assert "Nothing new in it" in body(bring(client_at(by), GOOD))


def test_questions_are_asked_one_after_the_other_and_answers_kept(by: By, client_at: Opens, book_folder: Path) -> None:
    """Order of dates, then bad lines; the file waits in the book's folder and is gone when it is taken in."""
    client = client_at(by)
    text = "time;temp °C;rh\n03/02/2026 09:00;17,5;62\nx;1;2\n"
    first = bring(client, text)
    assert "does the day come first" in body(first)
    assert len(list((book_folder / "incoming").iterdir())) == 1
    second = client.post(reverse("air:answers"), {**hidden(first), "dates": "day-first"})
    assert "Line 3" in body(second)
    assert not Reading.objects.exists()
    third = client.post(reverse("air:answers"), {**hidden(second), "leave_out_bad": "1"}, follow=True)
    assert "1 reading taken in" in body(third)
    assert Reading.objects.get().at.month == 2
    assert list((book_folder / "incoming").iterdir()) == []


def test_swapped_columns_are_refused_and_can_be_named(by: By, client_at: Opens) -> None:
    """Plain words first; the columns named, the readings come in right."""
    client = client_at(by)
    asked = bring(client, "time;temp °C;rh\n2026-03-11 09:00;62;17,5\n")
    assert "look swapped" in body(asked)
    client.post(reverse("air:answers"), {**hidden(asked), "temperature_column": "3", "humidity_column": "2"})
    assert Reading.objects.get().celsius == 17.5


@pytest.mark.parametrize("text", ["", "hello", "time;temp;rh\n"])
def test_what_is_no_loggers_file_comes_back_with_a_message(by: By, client_at: Opens, text: str) -> None:
    """The form shows again; the book is as it was."""
    rows = Journal.objects.count()
    answer = bring(client_at(by), text)
    assert answer.status_code == 200  # type: ignore[attr-defined]
    assert 'class="errorlist"' in body(answer)
    assert (Reading.objects.count(), LoggerFile.objects.count(), Journal.objects.count()) == (0, 0, rows)


def test_an_answer_without_its_file_is_not_found(by: By, stranger: By, client_at: Opens) -> None:
    """A forged token, another shop's token, a file already cleaned away: 404 in plain words."""
    client = client_at(by)
    waiting = hidden(bring(client, "time;temp °C;rh\n03/02/2026 09:00;17,5;62\n"))
    url = reverse("air:answers")
    assert client.post(url, {"waiting": "../../secret"}).status_code == 404
    assert client.post(url, {**waiting, "waiting": waiting["waiting"] + "x"}).status_code == 404
    assert client_at(stranger).post(url, {**waiting, "dates": "day-first"}).status_code == 404
    assert client_at(by).post(url, {**waiting, "dates": "day-first"}).status_code == 302
    assert client_at(by).post(url, {**waiting, "dates": "day-first"}).status_code == 404


def test_a_wrong_answer_changes_nothing(by: By, client_at: Opens) -> None:
    """An answer the question does not offer is told on the way back to the upload."""
    client = client_at(by)
    waiting = hidden(bring(client, "time;temp °C;rh\n03/02/2026 09:00;17,5;62\n"))
    answer = client.post(reverse("air:answers"), {**waiting, "dates": "year-first"}, follow=True)
    assert "year-first" in body(answer)
    assert not Reading.objects.exists()


def test_a_file_is_taken_back_from_its_page(by: By, client_at: Opens) -> None:
    """With a reason; all its readings go."""
    file = taken_in(by, days=1).file
    url = reverse("air:take-back-file", args=[file.pk])
    client = client_at(by)
    assert client.get(url).status_code == 200
    assert client.post(url, {"reason": " "}).status_code == 200
    assert client.post(url, {"reason": "it was in °F"}).status_code == 302
    assert not queries.has_readings(by.shop)


def test_files_that_wait_are_cleaned_away_after_a_day(by: By, tmp_path: Path) -> None:
    """A day and no longer; a token that is none finds nothing."""
    token = incoming.keep(tmp_path, b"x", by.at)
    assert incoming.take(tmp_path, token) == b"x"
    made = (tmp_path / token).stat().st_mtime
    later = by.at.fromtimestamp(made, tz=by.at.tzinfo) + timedelta(days=1, seconds=1)
    (tmp_path / "notes.txt").write_text("not ours")
    incoming.clean(tmp_path, later)
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]


def test_fifty_thousand_readings_do_not_weigh_on_the_page(
    by: By, client_at: Opens, django_assert_max_num_queries: Callable[[int], object]
) -> None:
    """The database averages them by the hour: few questions, each bounded, and a page no larger than with few readings."""
    rows = [
        Reading(**by.kept(), at=by.at - timedelta(minutes=step), celsius=15 + step % 5, relative_humidity=60)
        for step in range(50_000)
    ]
    Reading.objects.bulk_create(rows, batch_size=5000)
    client = client_at(by)
    with django_assert_max_num_queries(18):  # type: ignore[attr-defined]
        answer = client.get(reverse("air:air"))
    assert len(answer.content) < 60_000
    assert "1 to 12 of 50000" in body(answer)
