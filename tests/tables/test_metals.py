"""The tables of metals, agents, couples, signs and woods: whole, resolved among themselves, plausible.

Sums over columns detect change and prove nothing.
"""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

import pytest

from tallboy.errors import BadInput, NotFound
from tallboy.sums.agents import Verdict
from tallboy.sums.wood_metal import Effect
from tallboy.tables import agents, load, metals
from tallboy.tables.rows import Rows, table

METALS = {row["key"]: row for row in table("metals").rows}
AGENTS = {row["key"]: row for row in table("agents").rows}
CELLS = table("agent_metal").rows
SIGNS = table("metal_signs").rows
WOODS = {"any", "tannin", "preserved", "acid high", "acid fairly high", "acid moderate"}


def test_counts() -> None:
    """A lost or doubled row shows."""
    assert (len(METALS), len(AGENTS), len(CELLS)) == (23, 16, 16 * 24)
    assert (len(table("galvanic").rows), len(SIGNS), len(table("mixing_bans").rows)) == (20, 26, 8)
    assert len(table("wood_metal").rows) == 16


def test_column_sums() -> None:
    """Densities, indices and weights."""
    assert sum(row.get("density_usual", 0) for row in METALS.values()) == pytest.approx(144.355)
    assert sum(row["index"] for row in table("galvanic").rows) == 1340
    assert sum(row["met"] for row in SIGNS) == 120
    assert Counter(row["verdict"] for row in CELLS) == {
        "with care": 164,
        "never": 128,
        "usually all right": 51,
        "not known": 41,
    }


@pytest.mark.parametrize("row", METALS.values(), ids=METALS)
def test_a_metal_is_whole(row: dict[str, object]) -> None:
    """Densities in their order, a known magnet, a group of the index, platings over metals that are there."""
    if "density_low" in row:
        low, usual, high = (float(str(row[f"density_{name}"])) for name in ("low", "usual", "high"))
        assert low <= usual <= high
    assert row["magnet"] in {"strong", "weak", "none", "base"}
    assert row["anodic"] in {group["key"] for group in table("galvanic").rows}
    over = row.get("over", [])
    assert isinstance(over, list)
    assert set(over) <= set(METALS)
    assert bool(over) == bool(row["plating"])
    assert {"lightness", "green_red", "blue_yellow"} <= set(row) or "lightness" not in row


def test_densities_stand_in_their_order() -> None:
    """Aluminium, zinc, iron, brass, copper, silver, lead: each usual density above the one before."""
    order = ("aluminium", "zinc die-cast", "zinc", "mild steel", "yellow brass", "copper", "silver", "lead")
    assert all(METALS[one]["density_usual"] < METALS[other]["density_usual"] for one, other in pairwise(order))


def test_colours_stand_in_their_order() -> None:
    """b* and a* as computed from optical constants: the more zinc, the yellower; copper is the reddest."""
    yellow = ("yellow brass", "red brass", "copper", "nickel plate", "mild steel", "chrome plate")
    red = ("copper", "red brass", "nickel plate", "mild steel", "chrome plate", "yellow brass")
    assert all(METALS[one]["blue_yellow"] > METALS[other]["blue_yellow"] for one, other in pairwise(yellow))
    assert all(METALS[one]["green_red"] > METALS[other]["green_red"] for one, other in pairwise(red))


def test_the_index_grows_down_the_table() -> None:
    """From gold to magnesium, in whole multiples of five hundredths."""
    found = [row["index"] for row in table("galvanic").rows]
    assert found == sorted(found)
    assert all(isinstance(index, int) and index % 5 == 0 for index in found)


@pytest.mark.parametrize("first", METALS)
def test_couples_are_alike_both_ways(first: str) -> None:
    """Of every two metals of the table."""
    for second in METALS:
        there, back = metals.couple_of(first, second), metals.couple_of(second, first)
        assert there.hundredths == back.hundredths
        assert (there.anode == "neither") == (metals.index_of(first) == metals.index_of(second))


def test_every_metal_has_a_cell_for_every_agent() -> None:
    """A verdict of the four and a reason, “not known” among them; lacquer too. None stands twice."""
    keys = [(row["agent"], row["metal"]) for row in CELLS]
    assert sorted(keys) == sorted((agent, metal) for agent in AGENTS for metal in (*METALS, agents.LACQUERED))
    assert {row["verdict"] for row in CELLS} == {str(verdict) for verdict in Verdict}
    assert all(row["reason"].endswith(".") for row in CELLS)
    assert all((row["source"] == "memory") == (row["evidence"] == "memory") for row in CELLS)
    assert all((row["source"] == "common-practice") == (row["evidence"] == "common practice") for row in CELLS)


@pytest.mark.parametrize(
    ("agent", "metal"),
    [
        *(("ammonia", key) for key, row in METALS.items() if row["kin"] == "copper alloy"),
        *((acid, key) for acid in ("weak acid", "phosphoric acid", "oxalic acid", "hydrochloric acid", "caustic") for key, row in METALS.items() if row["kin"] == "zinc"),
        *(("abrasive", key) for key, row in METALS.items() if row["plating"]),
        *(("bleach", key) for key in METALS), *(("hydrochloric acid", key) for key in METALS),
        ("caustic", "aluminium"), ("abrasive", "lacquered"), ("abrasive", "lead"), ("weak acid", "lead"),
    ],
)  # fmt: skip
def test_rules_without_exception(agent: str, metal: str) -> None:
    """Ammonia on copper alloys, acid and caustic on zinc, abrasive on plating, bleach on any metal: never."""
    assert agents.cell(agent, metal).verdict == Verdict.NEVER


def test_iron_in_water_is_never_simply_all_right() -> None:
    """Flash rust; with the drying that must follow."""
    for key, row in METALS.items():
        if row["kin"] == "iron" and row["rusts"]:
            assert agents.cell("water and detergent", key).verdict == Verdict.CARE


def test_layers_of_a_part() -> None:
    """Chrome bears caustic; the zinc beneath does not; lacquer decides over both."""
    assert agents.touch_of("caustic", "chrome plate").verdict == Verdict.USUAL
    assert agents.touch_of("caustic", "chrome plate", "zinc die-cast").deciding.metal == "zinc die-cast"
    assert agents.touch_of("dry solvent", "chrome plate", lacquered=True).verdict == Verdict.NEVER


def test_a_metal_of_ones_own_is_not_known() -> None:
    """No cell is no leave."""
    assert agents.cell("ammonia", "gunmetal").verdict == Verdict.UNKNOWN
    with pytest.raises(NotFound):
        agents.cell("sea water", "copper")


def test_agents_name_cautions_and_bans_name_agents() -> None:
    """Each caution is there; each ban names at least one kind that an agent counts as."""
    cautions = {row["key"] for row in load("cautions")["cautions"]}
    kinds = {kind for row in AGENTS.values() for kind in row["mixes_as"]}
    assert all(set(row["cautions"]) <= cautions for row in AGENTS.values())
    assert {row["key"] for row in agents.bans() if not {row["first"], row["second"]} & kinds} == set()


def test_bans_between_agents() -> None:
    """Bleach stands apart from every acid and from ammonia; the ban says what comes of it."""
    acids = [key for key, row in AGENTS.items() if row["kind"] == "acid"]
    assert len(acids) == 5
    assert not any(agents.may_follow("bleach", acid) for acid in (*acids, "ammonia"))
    assert agents.ban_between("ammonia", "bleach")["makes"] == "chloramine gas"
    with pytest.raises(NotFound):
        agents.ban_between("ammonia", "chelator")


@pytest.mark.parametrize("row", SIGNS, ids=lambda row: str(row["key"]))
def test_signs_come_to_a_hundred(row: dict[str, float]) -> None:
    """For each sign; none is ruled out by one outcome alone."""
    for sign in metals.SIGNS:
        chances = [row[f"{sign}_{key}"] for key, _ in metals.outcomes(sign)]
        assert sum(chances) == pytest.approx(100)
        assert min(chances) >= 0.5
    assert row["density_low"] <= row["density_high"]


def test_candidates_stand_on_metals() -> None:
    """Bases are metals of the table; a magnet agrees with what makes up the weight."""
    for row in SIGNS:
        solid = row["base"] or row["key"]
        if solid in METALS and METALS[solid]["magnet"] in {"strong", "none"}:
            told = METALS[solid]["magnet"]
            assert row[f"magnet_{told}"] == max(row[f"magnet_{key}"] for key, _ in metals.outcomes("magnet"))


def test_wood_and_metal_name_what_is_there() -> None:
    """Groups of wood, metals or their kin, effects and conditions of the four and three words."""
    kin = {row["kin"] for row in METALS.values()}
    for row in table("wood_metal").rows:
        assert row["wood"] in WOODS
        assert row["metal"] in {*METALS, *kin, "any", "steel wool"}
        assert Effect(row["effect"])
        assert row["needs"] in {"", "damp", "closed"}


def test_every_wood_says_something_of_every_metal() -> None:
    """At least that untreated wood does not corrode it; platings over iron count as iron."""
    oak = Rows().row("woods", "European oak")
    for row in table("woods").rows:
        assert all(metals.wood_facts(row, metal) for metal in METALS.values())
    assert {fact.metal for fact in metals.wood_facts(oak, METALS["nickel plate"])} == {"any", "iron"}
    assert metals.effect_in_wood("Scots pine", "mild steel", 25) == Effect.STAINS
    assert metals.effect_in_wood("European oak", "stainless steel", 25) == Effect.SOUND
    preserved = metals.wood_facts(Rows().row("woods", "Scots pine"), METALS["mild steel"], preserved=True)
    assert Effect.CORRODES in {fact.effect for fact in preserved}


def test_a_metal_without_a_group() -> None:
    """A row of one's own must name its group."""
    with pytest.raises(BadInput, match="no place"):
        metals.index_of_row({"key": "gunmetal", "kin": "copper alloy"})
    with pytest.raises(NotFound):
        metals.index_of("adamant")
    assert metals.spans([{"key": "gunmetal", "kin": "copper alloy"}]) == []
