"""Metals as they are asked: figures and words of each sum."""

from __future__ import annotations

import pytest
from tests.workings.answers import answered, value

from tallboy.errors import BadInput
from tallboy.tables.rows import Rows
from tallboy.workings.asking import ask
from tallboy.workings.known import working


def test_brass_by_weighing() -> None:
    """100 g, 88.2 g in water: a copper alloy, nearest brass; its limits hold 8.46."""
    found = answered("density-by-weighing", air_g="100 g", water_g="88.2", reading_g="0.1")
    density = found.results[0]
    assert density.low is not None
    assert density.high is not None
    assert density.low < 8.46 < density.high
    assert value(found, "verdict") == "copper alloy"
    assert "nearest yellow brass" in found.says
    assert found.plots[0].marks


def test_a_piece_too_small_to_tell() -> None:
    """10 g on the same scale: several kins fit."""
    found = answered("density-by-weighing", air_g="10", water_g="8.82", reading_g="0.1")
    assert value(found, "verdict") == "cannot tell"
    assert "finer scale" in found.says


def test_zinc_or_iron_by_the_magnet() -> None:
    """The same weighing, with and without its pull."""
    typed = {"air_g": "250", "water_g": "215", "reading_g": "0.1"}
    assert value(answered("density-by-weighing", **typed), "fits") == "zinc, cast iron"
    assert value(answered("density-by-weighing", **typed, magnet="strong"), "verdict") == "iron"
    assert value(answered("density-by-weighing", **typed, magnet="nothing"), "verdict") == "zinc"


def test_lead_brings_its_caution() -> None:
    """And a weight that no metal has is refused."""
    assert "lead-metal" in answered("density-by-weighing", air_g="100", water_g="91.2").cautions
    assert "no solid metal" in answered("density-by-weighing", air_g="100", water_g="75").says
    with pytest.raises(BadInput, match="no metal"):
        answered("density-by-weighing", air_g="100", water_g="99.9", reading_g="0.01")


def test_brass_on_steel() -> None:
    """A magnet grips a yellow fitting: plated."""
    found = answered("which-metal", magnet="strong", rub="yellow", edges="rust")
    assert value(found, "best") == "brass on steel"
    assert value(found, "verdict") == "sure"
    assert "plated rather than solid" in found.says
    assert len(found.working) == 4


def test_soft_grey_metal_brings_its_caution() -> None:
    """Lead or pewter; zinc or cadmium on steel."""
    assert "lead-metal" in answered("which-metal", mark="soft", rub="grey").cautions
    assert "cadmium" in answered("which-metal", magnet="strong", rub="grey", tarnish="white").cautions


def test_nothing_tried_is_no_answer() -> None:
    """And it says what to try first."""
    with pytest.raises(BadInput, match="magnet first"):
        answered("which-metal")


def test_signs_and_a_weighing() -> None:
    """The density stands as the last step."""
    found = answered("which-metal", magnet="none", rub="yellow", density="8.47", density_spread="0.1")
    assert value(found, "best") == "yellow brass"
    assert found.working[-1].startswith("density: 8.47 ± 0.10")


def test_ammonia_on_brass() -> None:
    """Never, with the reason; no drying is told for what must not be done."""
    found = answered("may-this-touch", agent="ammonia", metal="yellow brass")
    assert value(found, "verdict") == "never"
    assert "15 % zinc" in str(value(found, "why"))
    assert value(found, "after") == "nothing"
    assert "dry solvent (usually all right)" in str(value(found, "instead"))
    assert "dichloromethane" not in str(value(found, "instead"))
    assert "mixing" in found.cautions


def test_steel_is_dried_and_brass_beneath_is_not_oiled() -> None:
    """A plating counts as lying on iron until it is said what lies beneath."""
    wet = {"agent": "water and detergent", "metal": "nickel plate"}
    assert "oil or wax" in str(value(answered("may-this-touch", **wet), "after"))
    assert value(answered("may-this-touch", **wet, base="yellow brass"), "after") == "rinse, dry at once"


def test_lacquer_decides() -> None:
    """A solvent that brass bears strips it."""
    found = answered("may-this-touch", agent="dry solvent", metal="yellow brass", lacquered="yes")
    assert value(found, "verdict") == "never"
    assert "(lacquered)" in found.says


def test_brass_and_a_steel_screw() -> None:
    """0.40 V, steel is eaten, and a small screw in a large plate fares worse."""
    found = answered("galvanic-pair", first="yellow brass", second="mild steel", first_area="1200", second_area="40")
    assert value(found, "volts") == 0.40
    assert value(found, "anode") == "mild steel"
    assert value(found, "allowed") is False
    assert value(found, "area") == "worse than usual"

    assert found.says == (
        "Yellow brass and mild steel should not touch bare in a room or store without control: they lie 0.40 V apart, and where damp "
        "joins them mild steel is eaten, and fast, because it is the smaller of the two. Wax, lacquer or a washer between them stops it."
    )
    dry = answered("galvanic-pair", first="yellow brass", second="mild steel", place="controlled")
    assert dry.says.startswith("Yellow brass and mild steel may touch in dry, steady air")


def test_a_group_and_a_metal_of_the_shops_own() -> None:
    """An own place in the anodic index is seen by an own metal, in a pair and in a bath; half a hundredth is refused."""
    metal = {"key": "quay bronze", "kin": "copper alloy", "anodic": "quay group"}
    own = Rows({"galvanic": ({"key": "quay group", "index": 32.0, "words": "ours"},), "metals": (metal,)})
    pair = ask(working("galvanic-pair"), {"first": "quay bronze", "second": "mild steel"}, own)
    assert value(pair, "volts") == pytest.approx(0.53)
    bath = ask(working("one-bath"), {"agent": "chelator", "metals": "quay bronze, mild steel"}, own)
    assert value(bath, "apart") == pytest.approx(0.53)
    half = Rows({"galvanic": ({"key": "quay group", "index": 32.5, "words": "ours"},), "metals": (metal,)})
    with pytest.raises(BadInput, match="whole hundredths"):
        ask(working("galvanic-pair"), {"first": "quay bronze", "second": "mild steel"}, half)


def test_what_the_shop_knows_of_agents() -> None:
    """An own agent, what it does to a metal, and what it must not meet: all are seen, and the worst of two statements counts."""
    own = Rows(
        {
            "agents": (
                {"key": "quay dip", "words": "ours", "kind": "acid", "mixes_as": ["quay acid"]},
                {"key": "quay soap", "words": "ours", "kind": "water"},
            ),
            "agent_metal": (
                {"key": "1", "agent": "quay dip", "metal": "pewter", "verdict": "Never", "reason": "It went black."},
                {
                    "key": "2",
                    "agent": "chelator",
                    "metal": "yellow brass",
                    "verdict": "never",
                    "reason": "It went brown.",
                },
                {"key": "3", "agent": "chelator", "metal": "mild steel", "verdict": "fine", "reason": "It was bright."},
            ),
            "mixing_bans": (
                {"key": "dip and bleach", "first": "quay acid", "second": "bleach", "makes": "a bad smell"},
            ),
        }
    )
    dip = ask(working("may-this-touch"), {"agent": "quay dip", "metal": "pewter"}, own)
    assert dip.says == "Never put quay dip on pewter. It went black."
    assert (
        value(ask(working("may-this-touch"), {"agent": "quay dip", "metal": "copper"}, own), "verdict") == "not known"
    )
    assert (
        value(ask(working("may-this-touch"), {"agent": "chelator", "metal": "yellow brass"}, own), "verdict") == "never"
    )
    assert "a bad smell" in ask(working("may-these-meet"), {"first": "quay dip", "second": "bleach"}, own).says
    silent = ask(working("may-these-meet"), {"first": "quay soap", "second": "bleach"}, own)
    assert "quay soap" in silent.says
    assert "read both labels" in silent.says
    with pytest.raises(BadInput, match="usually all right"):
        ask(working("may-this-touch"), {"agent": "chelator", "metal": "mild steel"}, own)


def test_two_orders_that_disagree() -> None:
    """Nickel plate beside brass: the series names the other one."""
    found = answered("galvanic-pair", first="nickel plate", second="yellow brass")
    assert any("disagrees" in line for line in found.working)
    assert "neither eats" in answered("galvanic-pair", first="copper", second="nickel silver").says


def test_a_bath_of_several_metals() -> None:
    """Aluminium among them: never. One alone is judged alone."""
    assert (
        value(answered("one-bath", agent="water and detergent", metals="yellow brass, aluminium"), "verdict") == "never"
    )
    alone = answered("one-bath", agent="water and detergent", metals="aluminium")
    assert value(alone, "verdict") == "usually all right"
    assert value(alone, "apart") == 0


def test_bleach_and_acid() -> None:
    """Never, and what comes of it."""
    found = answered("may-these-meet", first="bleach", second="weak acid")
    assert value(found, "may_meet") is False
    assert "chlorine gas" in found.says
    assert value(answered("may-these-meet", first="chelator", second="dry solvent"), "may_meet") is True


def test_iron_in_oak() -> None:
    """Black while damp, nothing while dry; brass shows none."""
    damp = answered("metal-in-wood", wood="European oak", metal="mild steel", moisture="20 %")
    assert value(damp, "stain") == "blue-black stain"
    assert value(damp, "effect") == "corrodes"
    assert value(answered("metal-in-wood", wood="European oak", metal="mild steel"), "stain") == "none while dry"
    dry = answered("metal-in-wood", wood="European oak", metal="mild steel")
    assert "a wet cloth or a waterborne coat brings a blue-black stain" in dry.says
    brass = answered("metal-in-wood", wood="European oak", metal="yellow brass", moisture="20")
    assert value(brass, "stain") == "none from this metal"


def test_lead_in_an_oak_drawer() -> None:
    """Eaten when closed, with its caution."""
    found = answered("metal-in-wood", wood="European oak", metal="lead", closed="yes")
    assert value(found, "effect") == "corrodes"
    assert "lead-metal" in found.cautions


def test_lead_in_paint() -> None:
    """95 mg/kg is banned, 90 is not."""
    assert value(answered("lead-in-film", lead="95"), "verdict") == "banned"
    assert value(answered("lead-in-film", lead="90"), "verdict") == "allowed"


def test_acids_in_a_case() -> None:
    """4.61 ppm acetic and 0.254 ppm formic acid: lead is eaten."""
    found = answered("acids-in-a-case", acetic="11327", formic="477")
    assert value(found, "acetic_ppm") == pytest.approx(4.61, abs=0.006)
    assert value(found, "lead") == "corrodes"
