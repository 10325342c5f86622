"""The table of woods: copied whole, plausible, and what is made of its rows."""

from __future__ import annotations

from collections import Counter

import pytest

from tallboy.errors import BadInput, NotFound
from tallboy.sums.wood_movement import coefficient_from_shrinkage
from tallboy.tables import woods
from tallboy.tables.rows import Row, table

ROWS = table("woods").rows
MOVING = [row for row in ROWS if "radial_coefficient" in row]
SHRINKING = [row for row in ROWS if "radial_shrinkage" in row]
FIGURES = {
    "radial_coefficient",
    "tangential_coefficient",
    "radial_shrinkage",
    "tangential_shrinkage",
    "volume_shrinkage",
}


def _sum(name: str) -> float:
    return sum(float(row.get(name, 0)) for row in ROWS)


def test_the_table_was_copied_whole() -> None:
    """Rows, filled cells and column sums, counted when it was copied: a later slip would show."""
    assert len(ROWS) == 49
    assert Counter(name for row in ROWS for name in row if name in FIGURES) == {
        "radial_coefficient": 26, "tangential_coefficient": 26,
        "radial_shrinkage": 45, "tangential_shrinkage": 45, "volume_shrinkage": 29,
    }  # fmt: skip
    assert _sum("tangential_coefficient") == pytest.approx(0.07644, abs=1e-9)
    assert _sum("tangential_shrinkage") == pytest.approx(354.8, abs=1e-9)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: str(row["key"]))
def test_wood_moves_more_along_the_rings(row: Row) -> None:
    """For every wood, in coefficient and shrinkage; and the volume shrinks by about both together."""
    if "radial_coefficient" in row:
        assert row["radial_coefficient"] < row["tangential_coefficient"]
    if "radial_shrinkage" in row:
        assert row["radial_shrinkage"] < row["tangential_shrinkage"]
    if "volume_shrinkage" in row:
        together = row["radial_shrinkage"] + row["tangential_shrinkage"]
        assert 0.8 * together <= row["volume_shrinkage"] <= 1.3 * together


@pytest.mark.parametrize(
    "row", [row for row in MOVING if row in SHRINKING and not row["apart"]], ids=lambda row: str(row["key"])
)
def test_both_columns_tell_of_the_same_wood(row: Row) -> None:
    """Table 13-5 follows from table 4-3 to the last digit or one beside it: a slip in either would show."""
    for way in ("radial", "tangential"):
        made = coefficient_from_shrinkage(row[f"{way}_shrinkage"])
        assert row[f"{way}_coefficient"] == pytest.approx(made, abs=1.0e-5)


def test_what_lies_apart_stays_apart() -> None:
    """The groups of oak, and mahogany and teak: the table's coefficients are taken, never made; else the group is named."""
    assert {row["key"] for row in ROWS if row["apart"]} == {
        "red oak", "northern red oak", "white oak", "eastern white oak", "mahogany", "teak"
    }  # fmt: skip
    assert woods.coefficients(woods.wood("mahogany")) == (0.00172, 0.00238)
    assert coefficient_from_shrinkage(4.1) < 0.0015
    for key in ("northern red oak", "eastern white oak"):
        with pytest.raises(BadInput, match="the group"):
            woods.coefficients(woods.wood(key))


def test_coefficients_are_made_where_only_shrinkages_are_known() -> None:
    """For the old-world woods; the row says so."""
    row = woods.wood("Scots pine")
    assert woods.from_shrinkage(row)
    assert woods.coefficients(row) == (coefficient_from_shrinkage(4.0), coefficient_from_shrinkage(7.7))
    assert woods.coefficient(row, 0) > woods.coefficient(row, 45) > woods.coefficient(row, 90)
    assert not woods.from_shrinkage(woods.wood("black cherry"))


def test_specific_gravity_from_either_column() -> None:
    """Basic from that at 12 %, that at 12 % from basic; neither is an error in plain words."""
    assert woods.gravity_12(woods.wood("black walnut")) == 0.55
    assert woods.gravity_basic(woods.wood("black walnut")) == pytest.approx(0.55 / (1 + 0.265 * 0.55 * 0.6))
    assert woods.gravity_basic(woods.wood("teak")) == 0.55
    with pytest.raises(BadInput, match="willow"):
        woods.gravity_basic(woods.wood("willow"))
    with pytest.raises(BadInput, match="northern red oak or eastern white oak or European oak"):
        woods.gravity_12(woods.wood("red oak"))


def test_woods_of_the_old_world_weigh_what_was_read() -> None:
    """Density at 12 % as printed (the notes repeat it), over 1120; the American kin, from other tables, lie within a tenth."""
    printed = {
        "European oak": 702, "European beech": 712, "Scots pine": 520, "spruce": 441, "fir": 441, "larch": 583, "ash": 702,
        "alder": 523, "maple": 640, "elm": 650, "lime": 490, "sweet chestnut": 560, "European walnut": 650, "poplar": 440,
        "cherry": 630, "apple": 830,
    }  # fmt: skip
    for key, density in printed.items():
        row = woods.wood(key)
        assert f"{density} kg/m³" in row["note"]
        assert woods.gravity_12(row) == pytest.approx(density / 1120, abs=6e-4), key
    kin = {
        "European oak": "eastern white oak",
        "European beech": "American beech",
        "ash": "white ash",
        "elm": "rock elm",
    }
    for key, other in kin.items():
        assert woods.gravity_12(woods.wood(key)) == pytest.approx(woods.gravity_12(woods.wood(other)), rel=0.12), key


def test_only_willow_and_the_groups_of_oak_have_no_weight() -> None:
    """Every other wood of the bench can be weighed and screwed into; each figure names its source."""
    assert {row["key"] for row in ROWS if not woods.has_gravity(row)} == {"willow", "red oak", "white oak"}
    assert all("gravity_source" in row and "gravity_evidence" in row for row in ROWS if woods.has_gravity(row))


def test_a_row_of_ones_own_with_little_in_it() -> None:
    """A wood with a weight only: what cannot be told is refused, the rest works."""
    own = {"key": "quay elm", "gravity_12": 0.6}
    assert woods.gravity_12(own) == 0.6
    with pytest.raises(BadInput, match="coefficient"):
        woods.coefficients(own)
    with pytest.raises(NotFound):
        woods.wood("driftwood")


def test_what_stains_and_what_smells_of_vinegar() -> None:
    """Oaks, cedars, chestnut and cherry stain with iron; oak and chestnut give off much acid. Every such word has its source."""
    stains = {row["key"] for row in ROWS if row.get("tannin")}
    assert {"red oak", "white oak", "European oak", "western redcedar", "sweet chestnut", "black cherry"} <= stains
    assert {row["key"] for row in ROWS if row.get("acid") == "high"} >= {
        "European oak",
        "sweet chestnut",
        "Douglas-fir",
    }
    assert all("tannin_source" in row for row in ROWS if row.get("tannin"))
    assert all("acid_source" in row for row in ROWS if row.get("acid"))
