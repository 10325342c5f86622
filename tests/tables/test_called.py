"""What people call the rows of tables: every name leads to a row that is there, or to an answer."""

from __future__ import annotations

import pytest

from tallboy.errors import NotFound
from tallboy.tables import load
from tallboy.tables.rows import Row, Rows, table

CALLED = load("called")["called"]
SOURCES = {row["key"] for row in load("sources")["sources"]}


@pytest.mark.parametrize("row", CALLED, ids=lambda row: f"{row['table']}: {row['key']}")
def test_a_name_leads_somewhere(row: Row) -> None:
    """Its rows are in the table; without rows it says what to do instead; names are written in small letters."""
    keys = {str(one["key"]) for one in table(row["table"]).rows}
    assert set(row["means"]) <= keys
    assert row["means"] or row["says"]
    assert row["names"] == [name.casefold() for name in row["names"]]
    assert row["source"] in SOURCES


def test_no_name_stands_twice_in_a_table() -> None:
    """Nor is a name the key of a row: the row itself would be hidden."""
    names = [(row["table"], name) for row in CALLED for name in row["names"]]
    assert len(names) == len(set(names))
    assert not [name for of, name in names if name in {str(one["key"]).casefold() for one in table(of).rows}]


@pytest.mark.parametrize(
    ("of", "typed", "key"),
    [
        ("residues", "French polish", "shellac"), ("liquids", "mineral spirits", "white spirit"), ("woods", "Redwood", "Scots pine"),
        ("woods", "linden", "lime"), ("metals", "pot metal", "zinc die-cast"), ("agents", "vinegar", "weak acid"),
    ],
)  # fmt: skip
def test_the_bench_word_is_taken(of: str, typed: str, key: str) -> None:
    """A name that stands for one row is read as that row."""
    assert Rows().row(of, typed)["key"] == key


def test_several_are_listed_and_none_is_chosen() -> None:
    """Paint may be alkyd or oil, deal pine or spruce: the choice is the person's."""
    with pytest.raises(NotFound) as paint:
        Rows().row("residues", "paint splash")
    assert "alkyd 188" in paint.value.hint
    with pytest.raises(NotFound) as deal:
        Rows().row("woods", "deal")
    assert deal.value.hint == "There are: Scots pine, spruce, fir."


def test_a_row_of_the_shops_own_comes_first() -> None:
    """Who adds a row called redwood means that one."""
    own = Rows({"woods": ({"key": "redwood", "gravity_12": 0.4},)})
    assert own.row("woods", "redwood")["gravity_12"] == 0.4
