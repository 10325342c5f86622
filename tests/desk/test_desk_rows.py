"""Rows of a shop's own: added, changed, taken back; what sums see of them; what an update may bring."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse

from tallboy.book.doing import By
from tallboy.book.models import Journal
from tallboy.desk import actions, rows
from tallboy.desk.models import OwnRow
from tallboy.errors import BadInput, NotFound, OutOfRange
from tallboy.tables.agents import cell
from tallboy.tables.avoid import donts
from tallboy.tables.rows import table

MINE = "my own measurement"
ELM = {"gravity_12": 0.6, "softwood": False}


@pytest.fixture
def elm(by: By) -> OwnRow:
    """An own row in the table of woods."""
    return actions.add_row(by, "woods", "quay elm", ELM, MINE, "From the old pier.")


def last(by: By) -> Journal:
    """The newest line of the shop's journal."""
    found = Journal.objects.filter(shop=by.shop).first()
    assert found is not None
    return found


def test_an_own_row_is_added_with_its_journal_row(by: By, elm: OwnRow) -> None:
    """Who added it and when stands beside it, and all it says in the journal."""
    assert (elm.owner, elm.added_at, elm.values) == (by.person, by.at, {"gravity_12": 0.6, "softwood": False})
    line = last(by)
    assert line.text == "Added “quay elm” to the table Woods."
    assert line.data["values"] == elm.values
    assert line.data["source"] == MINE


def test_sums_see_own_rows_of_their_shop_only(by: By, stranger: By, elm: OwnRow) -> None:
    """After the printed ones, with their source and marked as own."""
    seen = rows.rows_of(by.shop).of("woods")[-1]
    assert seen == {
        "key": "quay elm", "gravity_12": 0.6, "softwood": False, "source": MINE, "evidence": "own", "note": "From the old pier.",
    }  # fmt: skip
    assert rows.rows_of(stranger.shop).of("woods") == table("woods").rows


def test_an_own_row_is_changed(by: By, elm: OwnRow) -> None:
    """The journal keeps what it said before."""
    actions.change_row(by, elm, "quay elm", {"gravity_12": "0,65"}, "weighed again")
    kept = OwnRow.objects.get()
    assert (kept.values, kept.source, kept.note) == ({"gravity_12": 0.65}, "weighed again", "")
    assert last(by).data["before"]["values"] == {"gravity_12": 0.6, "softwood": False}


def test_an_own_row_is_taken_back(by: By, elm: OwnRow) -> None:
    """Sums no longer find it; the journal keeps what it said."""
    actions.take_row_back(by, elm)
    assert not OwnRow.objects.exists()
    assert last(by).text == "Took “quay elm” out of the table woods."
    assert last(by).data["values"] == {"gravity_12": 0.6, "softwood": False}
    with pytest.raises(NotFound):
        actions.take_row_back(by, elm)


@pytest.mark.parametrize(
    ("given", "error", "told"),
    [
        ({"of": "sources"}, NotFound, "no table"),
        ({"of": "moons"}, NotFound, "no table"),
        ({"key": " "}, BadInput, "needs a name"),
        ({"key": "Red Oak"}, BadInput, "already"),
        ({"key": "QUAY elm"}, BadInput, "already"),
        ({"key": "elm; the other"}, BadInput, "semicolon"),
        ({"key": "elm, the other"}, BadInput, "comma"),
        ({"values": {"gravity_12": 9}}, OutOfRange, "0.1 and 1.4"),
        ({"values": {"gravity_12": "heavy"}}, BadInput, "is no number"),
        ({"values": {"gravity_12": float("nan")}}, OutOfRange, "Specific gravity"),
        ({"values": {"colour": "grey"}}, BadInput, "no column"),
        ({"values": {"botanical": "x" * 301}}, BadInput, "too long"),
        ({"source": "  "}, BadInput, "my own measurement"),
        ({"source": "x" * 301}, BadInput, "too long"),
        ({"note": "x" * 301}, BadInput, "too long"),
    ],
)
def test_a_row_that_cannot_be_is_refused(
    by: By, elm: OwnRow, given: dict[str, Any], error: type[Exception], told: str
) -> None:
    """With what would be accepted; nothing is kept and nothing is written in the journal."""
    before = Journal.objects.count()
    whole = {"of": "woods", "key": "pier elm", "values": {}, "source": MINE, "note": ""} | given
    with pytest.raises(error, match=told):
        actions.add_row(by, **whole)
    assert OwnRow.objects.count() == 1
    assert Journal.objects.count() == before


def test_a_row_may_keep_its_name_when_it_changes(by: By, elm: OwnRow) -> None:
    """Its own name is not taken; another row's is."""
    actions.add_row(by, "woods", "pier elm", {}, MINE)
    actions.change_row(by, elm, "Quay elm", {}, MINE)
    with pytest.raises(BadInput, match="already"):
        actions.change_row(by, elm, "pier ELM", {}, MINE)


def test_the_same_name_may_stand_in_another_table_and_in_another_shop(by: By, stranger: By, elm: OwnRow) -> None:
    """A name is taken only where it would be mistaken."""
    actions.add_row(stranger, "woods", "quay elm", {}, MINE)
    actions.add_row(by, "nearby", "quay elm", {}, MINE)
    assert OwnRow.objects.count() == 3


def test_the_database_itself_keeps_names_apart(by: By, elm: OwnRow) -> None:
    """Two people who add the same at the same moment: both looked before either had written."""
    with pytest.raises(IntegrityError), transaction.atomic():
        OwnRow.objects.create(**by.kept(), table="woods", key="QUAY ELM", source=MINE, added_at=by.at)


def test_another_shops_row_is_not_theirs_to_change(by: By, stranger: By, elm: OwnRow) -> None:
    """Nor to take back; it is simply not found."""
    with pytest.raises(NotFound):
        actions.change_row(stranger, elm, "mine now", {}, MINE)
    with pytest.raises(NotFound):
        actions.take_row_back(stranger, elm)
    with pytest.raises(NotFound):
        rows.own_row(stranger.shop, elm.pk)


def _grown(by: By, **changed: Any) -> None:
    """As after an update: a row that the table would not take today."""
    whole = {"table": "woods", "key": "quay elm", "values": {"gravity_12": 0.6}, "source": MINE, "added_at": by.at}
    OwnRow.objects.create(**by.kept(), **(whole | changed))


def test_a_printed_row_of_the_same_name_comes_with_an_update(client: Client, by: By) -> None:
    """Both stay, told apart by name; the table says so, and either can be looked up."""
    _grown(by, key="red oak")
    text = client.get(reverse("desk:table", args=["woods"]), {"find": "red oak"}).content.decode()
    assert "The table has since got a row of this name. Yours stays, as “red oak (own)”." in text
    found = rows.rows_of(by.shop)
    assert found.row("woods", "red oak")["source"] != MINE
    assert found.row("woods", "red oak (own)")["source"] == MINE


@pytest.mark.parametrize("values", [{"gravity_12": 99}, {"colour": "grey"}, {"gravity_12": "heavy"}])
def test_a_row_that_no_longer_fits_is_shown_and_not_used(client: Client, by: By, values: dict[str, Any]) -> None:
    """Nothing crashes; the row says why no sum uses it, and can be changed or taken out."""
    _grown(by, values=values)
    assert rows.rows_of(by.shop).of("woods") == table("woods").rows
    text = client.get(reverse("desk:table", args=["woods"])).content.decode()
    assert "no sum uses it" in text
    assert client.get(reverse("desk:change-row", args=[OwnRow.objects.get().pk])).status_code == 200


def test_a_row_of_a_table_that_is_gone(client: Client, by: By) -> None:
    """It is listed apart, and can be taken out."""
    _grown(by, table="moons")
    assert "no longer here" in client.get(reverse("desk:tables")).content.decode()
    pk = OwnRow.objects.get().pk
    assert client.get(reverse("desk:change-row", args=[pk])).status_code == 404
    assert client.post(reverse("desk:take-row-back", args=[pk])).headers["Location"] == reverse("desk:tables")
    assert not OwnRow.objects.exists()


@pytest.mark.parametrize(
    ("of", "column", "word"),
    [
        ("liquids", "cautions", "ghosts"), ("agents", "cautions", "ghosts"), ("agent_metal", "verdict", "perhaps"), ("avoid", "level", "mind"),
        ("wood_metal", "effect", "shines"), ("wood_metal", "needs", "always"), ("metals", "magnet", "sometimes"), ("woods", "acid", "sour"),
        ("residues", "reliability", "good"),
    ],
)  # fmt: skip
def test_a_word_that_no_sum_would_understand_is_refused(by: By, of: str, column: str, word: str) -> None:
    """Before it is kept: a don't that nobody applies would be worse than none."""
    values = {one.name: one.low if one.kind == "number" else "no" for one in table(of).columns if one.needed}
    values |= {one.name: one.accepted[0] for one in table(of).columns if one.needed and one.accepted}
    actions.add_row(by, of, "a good one", values, MINE)
    with pytest.raises(BadInput, match="is not known here"):
        actions.add_row(by, of, "a bad one", values | {column: word}, MINE)


def test_a_row_with_a_caution_that_is_gone_is_not_used(client: Client, by: By) -> None:
    """As after an update that calls the caution otherwise: the sums go on without the row."""
    values = {"molar_mass": 80.0, "cautions": ["ghosts"]}
    _grown(by, table="liquids", key="quay thinner", values=values)
    assert rows.rows_of(by.shop).of("liquids") == table("liquids").rows
    page = client.get(reverse("desk:sum", args=["vapour-units"]), {"liquid": "quay thinner", "ppm": "5"})
    assert page.status_code == 200


def test_a_dont_of_the_shops_own_counts_whatever_its_capitals(by: By) -> None:
    """For a liquid and a material of its own too."""
    actions.add_row(
        by,
        "avoid",
        "mine",
        {"liquids": "QUAY Thinner", "material": "Pier Paint", "level": "Leave out", "reason": "It lifts."},
        MINE,
    )
    lookup = rows.rows_of(by.shop)
    (found,) = donts("quay thinner", ["pier paint"], lookup=lookup)
    assert found.never
    actions.add_row(
        by,
        "agent_metal",
        "mine",
        {"agent": "Quay Paste", "metal": "Pier Brass", "verdict": "Never", "reason": "It pits."},
        MINE,
    )
    assert cell("quay paste", "pier brass", rows.rows_of(by.shop)).verdict == "never"


@pytest.mark.parametrize(
    "given",
    [
        {"key": "a\x00b"}, {"key": "\u200b"}, {"key": "\u202e"}, {"key": "."}, {"source": "a\x00b"}, {"note": "a\x1bb"},
        {"values": {"botanical": "\x00"}}, {"values": {"softwood": "maybe"}},
    ],
)  # fmt: skip
def test_what_is_no_text_is_refused_on_every_database(by: By, given: dict[str, Any]) -> None:
    """Signs that steer a machine, names that cannot be seen, a flag that is neither yes nor no."""
    whole = {"of": "woods", "key": "pier elm", "values": {}, "source": MINE, "note": ""} | given
    with pytest.raises(BadInput):
        actions.add_row(by, **whole)
    assert not OwnRow.objects.exists()


def test_a_name_is_the_same_however_its_spaces_are_typed(by: By, elm: OwnRow) -> None:
    """Twice, none between lines, or one that does not break."""
    for key in ("quay  elm", "quay\u00a0elm", "quay\telm", "quay\nelm"):
        with pytest.raises(BadInput, match="already"):
            actions.add_row(by, "woods", key, {}, MINE)
