"""Every sum there is, worked on its page: by its example, in either units, with nonsense, and with rows of the shop's own."""

from __future__ import annotations

import html
import re
from pathlib import Path
from urllib.parse import parse_qs, urlencode, urlsplit

import pytest
from django.test import Client
from django.urls import reverse

import tallboy.web
from tallboy.book import actions as book
from tallboy.book.doing import By
from tallboy.desk.actions import add_row
from tallboy.desk.answering import asking, shown
from tallboy.desk.sum_form import example_of
from tallboy.sums.units import IMPERIAL, METRIC
from tallboy.tables.rows import Column, Rows, table, tables_with_columns
from tallboy.workings.asking import ask
from tallboy.workings.kinds import Working
from tallboy.workings.known import all_workings
from tallboy.workings.telling import lines

STATIC = Path(tallboy.web.__file__).parent / "static"
STYLES = sum((STATIC / name).stat().st_size for name in ("tallboy.css", "desk.css"))
HEAVIEST = 100_000
WORKINGS = list(all_workings().values())
LOOKING_UP = [one for one in WORKINGS if any(asked.table for asked in one.inputs)]
NONSENSE = ("0", "-1", "1", "1e-9", "1e12", "0.5", "100", "x", "nan", "; ; ;", "=")


def page(client: Client, working: Working, typed: dict[str, str]) -> str:
    answer = client.get(f"{reverse('desk:sum', args=[working.name])}?{urlencode(typed)}")
    assert answer.status_code == 200, (working.name, typed)
    return answer.content.decode()


@pytest.mark.parametrize("working", WORKINGS, ids=lambda one: one.name)
@pytest.mark.parametrize("system", ["metric", "imperial"])
def test_its_example_works_and_is_light(client: Client, by: By, working: Working, system: str) -> None:
    """A result without errors, in a page of at most 100 kB with its styles."""
    book.change_shop(by, units=system)
    text = page(client, working, example_of(working, system))
    assert "Result" in text
    assert "errorlist" not in text
    assert " style=" not in text
    assert len(text.encode()) + STYLES <= HEAVIEST


def test_litres_lead_on_to_the_cans(client: Client) -> None:
    """With what is to be had ready; the command line says the same."""
    litres = all_workings()["litres"]
    text = html.unescape(page(client, litres, dict(litres.example)))
    found = re.search(r'href="(/sums/cans/[^"]+)">Go on: Cans to buy<', text)
    assert found is not None
    assert "What the page you came from knows is filled in" in client.get(found[1]).content.decode()
    needed = parse_qs(urlsplit(found[1]).query)["needed"][0]
    assert f'tallboy sum cans needed="{needed}"' in "\n".join(lines(litres, ask(litres, litres.example)))


@pytest.mark.parametrize("working", WORKINGS, ids=lambda one: one.name)
def test_nonsense_is_told_in_plain_words(working: Working) -> None:
    """One input after the other holds something odd, or an end of its range: an answer that can be shown, or a plain error."""
    for asked in working.inputs:
        ends = [f"{end!r} {asked.unit}".strip() for end in (asked.low, asked.high) if end is not None]
        for text in (*NONSENSE, *ends):
            came = asking(working, {**working.example, asked.name: text}, Rows(), METRIC)
            assert came.wrong or came.answer
            if came.answer:
                shown(came.answer, IMPERIAL)


@pytest.mark.parametrize("working", LOOKING_UP, ids=lambda one: one.name)
def test_it_takes_rows_of_ones_own(client: Client, by: By, working: Working) -> None:
    """A row with only what its table needs, in the place of each printed one: an answer or a plain error."""
    for name in {asked.table for asked in working.inputs if asked.table}:
        bare_row(by, name)
    for asked in working.inputs:
        if asked.table:
            page(client, working, {**working.example, asked.name: "my own"})


def bare_row(by: By, name: str) -> None:
    """A row of one's own with only the columns that are needed, each with the value of the table's first row."""
    of = table(name)
    add_row(by, name, "my own", {column.name: _usual(name, column) for column in of.columns if column.needed}, "mine")


def _usual(name: str, column: Column) -> object:
    return next(row[column.name] for row in table(name).rows if column.name in row)


@pytest.mark.parametrize("name", tables_with_columns())
def test_every_table_is_light_and_takes_a_row(client: Client, by: By, name: str) -> None:
    """Each page of it at most 100 kB with its styles; its form takes what stands in its first row."""
    bare_row(by, name)
    for number in range(1, 4):
        answer = client.get(reverse("desk:table", args=[name]), {"page": number})
        assert answer.status_code == 200
        assert len(answer.content) + STYLES <= HEAVIEST
    form = client.get(reverse("desk:add-row", args=[name]))
    assert form.status_code == 200
    assert len(form.content) + STYLES <= HEAVIEST
