"""The tables of residues, of what mixes, of what lies close by and of don'ts: whole, and plausible against each other."""

from __future__ import annotations

from itertools import combinations
from statistics import median
from typing import Any

import pytest

from tallboy.errors import BadInput, NotFound
from tallboy.sums.lifting import RADIUS_ERROR, RESIDUE_ERROR, SMALLEST_RADIUS, judge
from tallboy.tables import load
from tallboy.tables.avoid import OTHER_FAMILIES, donts, family, held_back, how_mix, mixing_number, pairs
from tallboy.tables.residues import hansen, hansen_of, residue, residue_of, solvent
from tallboy.tables.rows import Rows

ROWS: list[dict[str, Any]] = load("residues")["residues"]
BY_KEY = {row["key"]: row for row in ROWS}
LIQUIDS: list[dict[str, Any]] = load("liquids")["liquids"]
MIXING: list[dict[str, Any]] = load("mixing")["mixing"]
AVOID: list[dict[str, Any]] = load("avoid")["avoid"]
NEARBY = [row["key"] for row in load("nearby")["nearby"]]
FAMILIES = {row["group"] for row in MIXING} | set(OTHER_FAMILIES)
TWINS = sorted({tuple(sorted((row["key"], row["twin"]))) for row in ROWS if "twin" in row})


def test_no_row_was_lost_or_changed_by_accident() -> None:
    """Rows and column sums; they detect change and prove nothing."""
    assert (len(ROWS), len(MIXING), len(AVOID), len(NEARBY)) == (36, 29, 31, 13)
    sums = {name: round(sum(row[name] for row in ROWS), 2) for name in ("hansen_d", "hansen_p", "hansen_h", "radius")}
    assert sums == {"hansen_d": 643.19, "hansen_p": 260.37, "hansen_h": 249.65, "radius": 288.6}


def test_numbers_of_the_published_table_stand_once() -> None:
    """Two rows of ours never cite the same row; a row without a number is from another list."""
    numbers = [row["number"] for row in ROWS if "number" in row]
    assert len(set(numbers)) == len(numbers)
    assert all(("number" in row) == (row["source"] == "hansen-2007-a2") for row in ROWS)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: str(row["key"]))
def test_what_cannot_be_leaned_on_says_so(row: dict[str, Any]) -> None:
    """A radius under 4 is weak; so is what its note calls an estimate, a question mark or in disagreement; a proxy says for what."""
    assert row["reliability"] in {"usual", "weak"}
    note = row["note"].casefold()
    if row["radius"] < SMALLEST_RADIUS or any(
        word in note for word in ("estimate", "question mark", "disagree", "typing")
    ):
        assert row["reliability"] == "weak"
    if row.get("proxy"):
        assert "stands in for" in note
    assert row["kind"] in {"finish", "adhesive", "soil", "plastic"}


@pytest.mark.parametrize(("one", "other"), TWINS)
def test_second_entries_belong_together(one: str, other: str) -> None:
    """Each names the other, and both the same group."""
    assert BY_KEY[one]["twin"] == other
    assert BY_KEY[other]["twin"] == one
    assert BY_KEY[one]["group"] == BY_KEY[other]["group"]


def test_the_usual_errors_are_those_of_second_entries() -> None:
    """Half the middling difference between two entries for one material is what the sums take as the error, within 0.2 MPa^0.5."""
    assert len(TWINS) >= 10

    def half(name: str) -> float:
        return median(abs(float(BY_KEY[one][name]) - float(BY_KEY[other][name])) / 2 for one, other in TWINS)

    for name in ("hansen_d", "hansen_p", "hansen_h"):
        assert half(name) == pytest.approx(RESIDUE_ERROR, abs=0.2)
    assert half("radius") == pytest.approx(RADIUS_ERROR, abs=0.2)


def test_cured_films_swell() -> None:
    """Alkyds, dried oil, polyurethane and set epoxy crosslink; spirit and lacquer finishes do not."""
    cured = {row["group"] for row in ROWS if row.get("crosslinks")}
    assert cured == {"alkyd", "oil", "polyurethane", "epoxy", "rubber"}
    assert judge(hansen_of("xylene"), residue_of("alkyd 188")).word == "swells"


def test_missing_materials_are_named_and_not_invented() -> None:
    """What was not found stands in the words about the table, and has no row."""
    words = load("residues")["about"]["evidence"]
    for name in ("beeswax", "carnauba", "aged linseed oil", "hide glue", "aged shellac"):
        assert name in words
        assert name not in BY_KEY


def test_every_liquid_has_a_family() -> None:
    """And every family belongs to a liquid of the table of liquids."""
    assert {row["key"] for row in MIXING} == {row["key"] for row in LIQUIDS}
    assert family("acetone") == "ketone"
    assert family("a liquid of one's own") == ""


def test_mixing_numbers_run_from_low_to_high() -> None:
    """Both or none; hydrocarbons are oilier than esters, esters than alcohols."""
    for row in MIXING:
        assert ("number_low" in row) == ("number_high" in row)
    heptane, ester, alcohol = (mixing_number(key) for key in ("heptane", "ethyl acetate", "ethanol"))
    assert heptane is not None
    assert ester is not None
    assert alcohol is not None
    assert heptane.low > ester.high > alcohol.high
    assert mixing_number("water") is None


@pytest.mark.parametrize(
    ("one", "other", "how"),
    [
        ("water", "white spirit", "parts"), ("water", "xylene", "parts"), ("water", "ethanol", "mixes"), ("water", "acetone", "mixes"),
        ("methanol", "heptane", "parts"), ("ethanol", "heptane", "mixes"), ("dimethyl sulfoxide", "white spirit", "parts"),
        ("benzyl alcohol", "white spirit", "may part"), ("xylene", "n-butanol", "mixes"), ("dioxolane", "acetone", "not known"),
        ("ammonia", "water", "mixes"), ("ammonia", "turpentine", "parts"), ("turpentine", "acetone", "mixes"),
    ],
)  # fmt: skip
def test_known_pairs(one: str, other: str, how: str) -> None:
    """As they behave at the bench (common knowledge; methanol and heptane, water and hydrocarbons part), the same from both sides."""
    rows = {row["key"]: row for row in LIQUIDS}
    assert how_mix(rows[one], rows[other]) == how_mix(rows[other], rows[one]) == how


def test_a_liquid_of_ones_own_is_not_known_to_mix() -> None:
    """With water it is as its row says, or not known when it says nothing."""
    own = {"key": "thinner from the tin"}
    rows = {row["key"]: row for row in LIQUIDS}
    assert how_mix(own, rows["acetone"]) == how_mix(rows["water"], own) == "not known"
    assert how_mix({**own, "miscible_with_water": False}, rows["water"]) == "parts"


def test_pairs_by_how_they_mix() -> None:
    """Only those that are asked for."""
    rows = [row for row in LIQUIDS if row["key"] in ("water", "ethanol", "white spirit")]
    assert pairs(rows, "parts") == {frozenset({"water", "white spirit"})}
    assert len(pairs(rows, "mixes", "parts")) == 3


def test_donts_name_families_and_materials_that_are_there() -> None:
    """Every family of liquids, every group of residues or thing close by; level one of two; no reason twice for one pair."""
    materials = {row["group"] for row in ROWS} | set(NEARBY)
    for row in AVOID:
        assert set(row["liquids"]) <= FAMILIES, row["key"]
        assert row["material"] in materials, row["key"]
        assert row["level"] in {"leave out", "take care"}
        assert row["reason"].endswith(".")
    for one, other in combinations(AVOID, 2):
        assert one["material"] != other["material"] or not set(one["liquids"]) & set(other["liquids"])
    assert set(NEARBY) <= {row["material"] for row in AVOID}


@pytest.mark.parametrize(
    ("liquid", "material", "never"),
    [
        ("water", "shellac", True), ("ethanol", "shellac", True), ("water", "veneer on hide glue", True), ("isopropanol", "acrylic", True),
        ("acetone", "clear plastic", True), ("ammonia", "tannin wood", True), ("water", "tannin wood", False), ("acetic acid", "marble", True),
    ],
)  # fmt: skip
def test_known_donts(liquid: str, material: str, never: bool) -> None:
    """Found by the liquid's own name, with its reason and source."""
    (found,) = donts(liquid, [material])
    assert (found.never, found.liquid, found.material) == (never, liquid, material)
    assert found.reason
    assert found.source
    assert donts(liquid, ["polyurethane"]) == ()


def test_three_liquids_are_held_back() -> None:
    """Dichloromethane, NMP and methanol; each with its reason. Others are not."""
    rows = load("avoid")["held_back"]
    assert {row["key"] for row in rows} == {"dichloromethane", "n-methylpyrrolidone", "methanol"}
    assert all(held_back(row["key"]) for row in rows)
    assert held_back("ethanol") == ""


def test_rows_become_what_sums_take() -> None:
    """A row of the shop's own needs only its sphere; ammonia has no parameters and says why; an unknown key names those there are."""
    own = residue({"key": "brown varnish", "hansen_d": 18.0, "hansen_p": 5.0, "hansen_h": 7.0, "radius": 8.0})
    assert own.reliable
    assert not own.crosslinks
    assert not residue({**BY_KEY["shellac"], "reliability": "weak"}).reliable
    ammonia = Rows().row("liquids", "ammonia")
    with pytest.raises(BadInput, match="ammonia"):
        hansen(ammonia)
    assert solvent(Rows().row("liquids", "acetone")).key == "acetone"
    with pytest.raises(NotFound, match="shellac"):
        residue_of("driftwood")
    assert residue_of("french polish").key == "shellac"
