"""The pages of the tables: printed rows and own ones, looked up, added, changed, taken out."""

from __future__ import annotations

import html
import re
from contextlib import suppress

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tallboy.book.doing import By
from tallboy.desk import actions
from tallboy.desk.models import OwnRow
from tallboy.desk.table_lines import meanings
from tallboy.errors import BadInput
from tallboy.tables.rows import table, tables_with_columns

MINE = "my own measurement"
FORM = {
    "key": "quay elm",
    "column-gravity_12": "0.6",
    "column-softwood": "no",
    "source": MINE,
    "note": "From the pier.",
}


def text_of(client: Client, name: str, **query: str) -> str:
    """The text of a table's page."""
    answer = client.get(reverse("desk:table", args=[name]), query)
    assert answer.status_code == 200
    return html.unescape(answer.content.decode())


def test_all_tables_are_listed(client: Client, by: By) -> None:
    """With how many rows each has, and how many of the shop's own."""
    actions.add_row(by, "woods", "quay elm", {}, MINE)
    text = html.unescape(client.get(reverse("desk:tables")).content.decode())
    for name in tables_with_columns():
        assert f'href="/tables/{name}/">{table(name).title}' in text
    assert f"{len(table('woods').rows)} rows" in text
    assert "and 1 of your own" in text


@pytest.mark.parametrize("address", ["/tables/", "/tables/woods/", "/sums/wood-movement/"])
def test_more_own_rows_take_no_more_queries(client: Client, by: By, address: str) -> None:
    """A fixed number, however many there are."""
    counts = []
    for number in range(2):
        for name in tables_with_columns()[:8] if number else ():
            with suppress(BadInput):
                actions.add_row(by, name, "quay elm", {}, MINE)
        actions.add_row(by, "woods", f"quay pine {number}", {}, MINE)
        with CaptureQueriesContext(connection) as queries:
            assert client.get(address).status_code == 200
        counts.append(len(queries))
    assert counts[0] == counts[1]


def test_a_row_shows_values_units_and_evidence(client: Client) -> None:
    """Each value under its label with the unit; each group of columns with its source and how that was seen."""
    text = text_of(client, "woods", find="northern red oak")
    assert "<dt>Shrinkage across the rings, green to oven-dry, %</dt><dd>4</dd>" in text
    oak = text_of(client, "woods", find="red oaks as sold")
    assert re.search(
        r"Turns blue-black with iron: \[\d] read · Acid vapour: \[\d] transcription · all else: \[\d] read", oak
    )
    assert "Wood Handbook" in text
    assert "Quercus rubra" in text


def test_a_table_of_few_columns_stands_as_a_table(client: Client) -> None:
    """Lines on a phone: each value carries its heading."""
    text = text_of(client, "avoid")
    assert '<table class="stack">' in text
    assert 'data-label="What happens"' in text


@pytest.mark.parametrize("name", tables_with_columns())
def test_what_the_columns_mean_is_told_by_their_labels(client: Client, name: str) -> None:
    """On the table's page and beside the form of a row, without the names that only the file uses."""
    told = meanings(table(name))
    assert all("_" not in head + text for head, text in told)
    heads = [head for head, _text in told if head]
    for address in (reverse("desk:table", args=[name]), reverse("desk:add-row", args=[name])):
        text = html.unescape(client.get(address).content.decode())
        assert all(f"<dt>{head}</dt>" in text for head in heads)


def test_columns_of_a_kind_share_their_meaning() -> None:
    """Several names before one colon are several labels; another table is called by its title."""
    told = dict(meanings(table("losses")))
    assert told["Least share lost · Usual share lost · Largest share lost"].startswith("Share of the coating")
    assert "table “Metals on furniture”" in dict(meanings(table("agent_metal")))["Metal or surface"]
    assert dict(meanings(table("nearby")))["Name"] == "What the list of don'ts calls it."


def test_nothing_found_says_so_and_what_to_do(client: Client) -> None:
    """Not a bare nought."""
    assert "No row speaks of “zebra”" in text_of(client, "woods", find="zebra")


def test_rows_are_looked_up_by_words(client: Client, by: By) -> None:
    """In names, values, notes and own sources; every word must be there; the pager keeps what was looked for."""
    actions.add_row(by, "woods", "quay elm", {}, MINE, "From the old pier.")
    assert "quay elm" in text_of(client, "woods", find="PIER measurement")
    assert "quay elm" not in text_of(client, "woods", find="pier granite")
    assert 'href="?find=oak&page=2"' in text_of(client, "woods", find="oak") or "1 to " not in text_of(
        client, "woods", find="oak"
    )


def test_own_rows_stand_first_with_who_added_them(client: Client, by: By, stranger: By) -> None:
    """And their source; those of another shop are not shown."""
    actions.add_row(by, "woods", "quay elm", {"gravity_12": 0.6}, MINE)
    actions.add_row(stranger, "woods", "hill elm", {}, "theirs")
    text = text_of(client, "woods")
    assert text.index("quay elm") < text.index("red oak")
    assert "added by Ines, 12 March 2026" in text
    assert "hill elm" not in text


def test_a_row_is_added_by_the_form(client: Client) -> None:
    """The form is made of the table's columns; then the row stands in the table."""
    address = reverse("desk:add-row", args=["woods"])
    text = client.get(address).content.decode()
    for column in table("woods").columns:
        assert f'name="column-{column.name}"' in text
    assert client.post(address, FORM).headers["Location"] == "/tables/woods/"
    row = OwnRow.objects.get()
    assert (row.key, row.values, row.source) == ("quay elm", {"softwood": False, "gravity_12": 0.6}, MINE)


@pytest.mark.parametrize(
    ("wrong", "place", "told"),
    [
        ({"column-gravity_12": "9"}, "column-gravity_12", "between 0.1 and 1.4"),
        ({"column-gravity_12": "heavy"}, "column-gravity_12", "is no number"),
        ({"key": ""}, "key", "required"),
        ({"source": ""}, "source", "required"),
        ({"key": "red oak"}, "", "already"),
    ],
)
def test_what_does_not_fit_comes_back_with_a_reason(
    client: Client, wrong: dict[str, str], place: str, told: str
) -> None:
    """At its place, everything typed kept; nothing is added."""
    text = client.post(reverse("desk:add-row", args=["woods"]), FORM | wrong).content.decode()
    assert told in text
    assert not place or f'id="id_{place}_error"' in text
    assert "From the pier." in text
    assert not OwnRow.objects.exists()


def test_a_row_is_changed_and_taken_out_by_its_page(client: Client, by: By) -> None:
    """The form shows what is written; taking out needs a button, not a link."""
    row = actions.add_row(by, "woods", "quay elm", {"gravity_12": 0.6, "softwood": True}, MINE)
    address = reverse("desk:change-row", args=[row.pk])
    text = client.get(address).content.decode()
    assert 'value="0.6"' in text
    assert client.post(address, FORM | {"column-gravity_12": "0.7"}).headers["Location"] == "/tables/woods/"
    row.refresh_from_db()
    assert row.values == {"gravity_12": 0.7, "softwood": False}
    back = reverse("desk:take-row-back", args=[row.pk])
    assert client.get(back).status_code == 405
    assert client.post(back).status_code == 302
    assert not OwnRow.objects.exists()


def test_another_shops_row_is_not_found(client: Client, stranger: By) -> None:
    """Neither looked at nor changed nor taken out; nor is one that never was."""
    theirs = actions.add_row(stranger, "woods", "hill elm", {}, "theirs")
    for pk in (theirs.pk, 999_999):
        assert client.get(reverse("desk:change-row", args=[pk])).status_code == 404
        assert client.post(reverse("desk:change-row", args=[pk]), FORM).status_code == 404
        assert client.post(reverse("desk:take-row-back", args=[pk])).status_code == 404
    assert OwnRow.objects.get() == theirs


@pytest.mark.parametrize("name", ["moons", "sources", "cautions", "..", "woods.toml"])
def test_an_unknown_table_is_not_found(client: Client, name: str) -> None:
    """Nor can one that takes no rows be looked at or added to."""
    assert client.get(f"/tables/{name}/").status_code == 404
    assert client.post(f"/tables/{name}/add/", FORM).status_code == 404


def test_what_is_typed_is_shown_as_text(client: Client, by: By) -> None:
    """Never taken for markup."""
    actions.add_row(by, "woods", "<b>elm</b>", {"botanical": "<i>Ulmus</i>"}, "<u>me</u>", "<s>note</s>")
    raw = client.get(reverse("desk:table", args=["woods"])).content.decode()
    for mark in ("<b>elm", "<i>Ulmus", "<u>me", "<s>note"):
        assert mark not in raw
    assert "&lt;b&gt;elm" in raw
