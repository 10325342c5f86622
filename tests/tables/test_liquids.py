"""The table of liquids: complete, its orderings plausible, what is not known left out; and rows as liquids.

Each figure is compared with its source in tests/published/test_liquids_chemicals.py.
"""

from __future__ import annotations

from typing import Any

import pytest

from tallboy.errors import NotFound
from tallboy.sums.flammable import flammable_category
from tallboy.sums.vapour import vapour_pressure
from tallboy.tables import load
from tallboy.tables.liquids import from_row, law_of, liquid, lowest_limit

ROWS: list[dict[str, Any]] = load("liquids")["liquids"]
BY_KEY = {row["key"]: row for row in ROWS}
LIQUIDS = (
    "acetone", "methyl ethyl ketone", "methyl isobutyl ketone", "ethyl acetate", "butyl acetate", "isobutyl acetate", "toluene",
    "xylene", "methanol", "ethanol", "denatured alcohol", "isopropanol", "n-butanol", "heptane", "naphtha", "white spirit",
    "turpentine", "limonene", "dichloromethane", "n-methylpyrrolidone", "2-butoxyethanol", "diacetone alcohol", "dioxolane",
    "benzyl alcohol", "dimethyl sulfoxide", "diethyl ether", "acetic acid", "ammonia", "water",
)  # fmt: skip
OSHA = {
    "acetone": 1000, "methyl ethyl ketone": 200, "ethyl acetate": 400, "butyl acetate": 150, "isobutyl acetate": 150, "toluene": 200,
    "xylene": 100, "methanol": 200, "ethanol": 1000, "denatured alcohol": 200, "isopropanol": 400, "n-butanol": 100, "heptane": 500,
    "naphtha": 500, "white spirit": 500, "turpentine": 100, "dichloromethane": 25, "2-butoxyethanol": 50, "acetic acid": 10, "ammonia": 50,
}  # fmt: skip
"""29 CFR 1910.1000, tables Z-1 and Z-2, and 1910.1052, read in a copy of about 2016."""


def test_the_rows_are_complete() -> None:
    """Twenty-nine, each once; a lost or doubled row shows."""
    assert tuple(row["key"] for row in ROWS) == LIQUIDS


def test_the_figures_were_not_changed_by_accident() -> None:
    """Column sums over the rows; they detect change and prove nothing."""
    names = ("molar_mass", "density", "boiling", "flash", "lfl", "ufl", "osha_twa", "ontario_twa", "pressure_spread")
    sums = {name: round(sum(row.get(name, 0) for row in ROWS), 1) for name in names}
    assert sums == {
        "molar_mass": 2470.6,
        "density": 24716.6,
        "boiling": 3328.9,
        "flash": 366.1,
        "lfl": 70.3,
        "ufl": 365.6,
        "osha_twa": 5835.0,
        "ontario_twa": 3353.7,
        "pressure_spread": 560,
    }


def test_limits_of_osha() -> None:
    """As printed, and none for who is not listed; toluene's ceiling and dichloromethane's short-time limit."""
    assert {row["key"]: row["osha_twa"] for row in ROWS if "osha_twa" in row} == OSHA
    assert BY_KEY["toluene"]["osha_ceiling"] == 300
    assert BY_KEY["dichloromethane"]["osha_stel"] == 125


def test_what_is_not_known_is_left_out() -> None:
    """No limit of burning is given as nought, and nothing says that a liquid cannot burn but water."""
    assert [row["key"] for row in ROWS if row.get("incombustible")] == ["water"]
    for row in ROWS:
        assert all(row[name] > 0 for name in ("lfl", "ufl", "osha_twa", "ontario_twa") if name in row)
    assert "flash" not in BY_KEY["dichloromethane"]
    assert "flash" not in BY_KEY["n-methylpyrrolidone"]
    assert "ufl" not in BY_KEY["turpentine"]


@pytest.mark.parametrize("row", ROWS, ids=LIQUIDS)
def test_a_row_agrees_with_itself(row: dict[str, Any]) -> None:
    """Lower below upper, flash below boiling, and the category that flash and boiling point give."""
    if "lfl" in row and "ufl" in row:
        assert row["lfl"] < row["ufl"]
    if "flash" in row:
        assert row["flash"] < row["boiling"]
        assert str(row["flammable_category"]) == flammable_category(row["flash"], row["boiling"])
    else:
        assert "flammable_category" not in row
    for short, long in (("osha_stel", "osha_twa"), ("osha_ceiling", "osha_twa"), ("ontario_stel", "ontario_twa")):
        if short in row and long in row:
            assert row[short] > row[long]


@pytest.mark.parametrize(
    "key",
    [
        key
        for key in LIQUIDS
        if "lfl" in BY_KEY[key]
        and "flash" in BY_KEY[key]
        and "pressure_a" in BY_KEY[key]
        and BY_KEY[key]["flash"] <= 45
    ],
)
def test_at_its_flash_point_the_vapour_is_about_at_its_lower_limit(key: str) -> None:
    """Flash point, vapour pressure and lower limit come from three places: they meet within a factor of two."""
    one = liquid(key)
    assert one.pressure is not None
    assert one.flash is not None
    assert one.lower is not None
    if one.flash < one.pressure.low or key in ("naphtha", "white spirit"):
        return
    assert 0.5 < vapour_pressure(one.pressure, one.flash) / 1013.25 / one.lower < 2


def test_neighbours_are_plausible() -> None:
    """Within a family the heavier liquid boils higher and presses less."""
    for family in (("methanol", "ethanol", "n-butanol"), ("heptane", "naphtha", "white spirit"), ("ethyl acetate", "butyl acetate"), ("acetone", "methyl ethyl ketone", "methyl isobutyl ketone")):  # fmt: skip
        pressed = [vapour_pressure(law_of(key), 20.0) for key in family]
        assert pressed == sorted(pressed, reverse=True)
        boiling = [BY_KEY[key]["boiling"] for key in family]
        assert boiling == sorted(boiling)


def test_the_lowest_limit() -> None:
    """Of one list or of all; a list without the liquid has none."""
    toluene, limonene = liquid("toluene"), liquid("limonene")
    lowest, osha, ceiling = (
        lowest_limit(toluene),
        lowest_limit(toluene, "OSHA"),
        lowest_limit(toluene, "", "never above"),
    )
    assert lowest is not None
    assert (lowest.of, lowest.ppm) == ("Ontario", 20)
    assert osha is not None
    assert osha.ppm == 200
    assert ceiling is not None
    assert ceiling.ppm == 300
    assert lowest_limit(toluene, "EPA") is None
    assert lowest_limit(limonene) is None


def test_a_row_from_a_data_sheet() -> None:
    """One pressure at 20 °C and the boiling point make a law; without them nothing is made up."""
    own = from_row({"key": "quay thinner", "molar_mass": 100.0, "pressure_20": 4000.0, "boiling": 100.0})
    assert own.pressure is not None
    assert vapour_pressure(own.pressure, 20.0) == pytest.approx(4000)
    assert own.guessed_diffusion
    bare = from_row({"key": "quay oil", "molar_mass": 300.0})
    assert bare.pressure is None
    assert bare.lower is None
    assert bare.limits == ()


def test_unknown_liquids() -> None:
    """A name that is not there, and a liquid whose pressure is not known."""
    with pytest.raises(NotFound, match="acetone"):
        liquid("bilge water")
    with pytest.raises(NotFound, match="ammonia"):
        law_of("ammonia")
