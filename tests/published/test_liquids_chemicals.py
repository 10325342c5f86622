"""The table of liquids against the library it is frozen from: chemicals 1.5.2, method by method, read-only tables inside the package.

What a row takes from a stand-in (mixed xylene from m-xylene, naphtha from n-octane, white spirit from n-nonane, turpentine from
alpha-pinene) is compared with the stand-in. Figures with other sources (OSHA, EPA, thermo) are compared in checks/vapour.toml or
are quoted in the row's note. The library's densities of organic liquids (CRC) end in the two digits of their temperature.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from chemicals import LFL, MW, UFL, T_flash, Tb, ppmv_to_mgm3
from chemicals.dippr import EQ105
from chemicals.elements import molecular_weight
from chemicals.iapws import iapws95_rho
from chemicals.miscdata import CRC_organic_data
from chemicals.safety import STEL, TWA, fire_mixing
from chemicals.solubility import hansen_delta_d, hansen_delta_h, hansen_delta_p
from chemicals.vapor_pressure import (
    Antoine,
    Psat_data_AntoinePoling,
    Psat_data_Landolt_Antoine,
    Psat_data_Perrys2_8,
)
from chemicals.volume import rho_data_Perry_8E_105_l
from hypothesis import given
from hypothesis import strategies as st

from tallboy.sums.flammable import mixture_lower_limit
from tallboy.sums.vapour import diffusion_volume, milligrams_per_m3, vapour_pressure
from tallboy.tables import load
from tallboy.tables.liquids import law_of

ROWS: list[dict[str, Any]] = load("liquids")["liquids"]
STANDS_FOR = {"xylene": "108-38-3", "naphtha": "111-65-9", "white spirit": "111-84-2", "turpentine": "80-56-8"}
METHOD = {"iec-60079-20-1": "IEC 60079-20-1 (2010)", "nfpa-497": "NFPA 497 (2008)", "wikidata-safety": "WIKIDATA"}
ATOMS: dict[str, dict[str, int]] = {
    "acetone": {"C": 3, "H": 6, "O": 1}, "methyl ethyl ketone": {"C": 4, "H": 8, "O": 1}, "methyl isobutyl ketone": {"C": 6, "H": 12, "O": 1},
    "ethyl acetate": {"C": 4, "H": 8, "O": 2}, "butyl acetate": {"C": 6, "H": 12, "O": 2}, "isobutyl acetate": {"C": 6, "H": 12, "O": 2},
    "toluene": {"C": 7, "H": 8, "rings": 1}, "xylene": {"C": 8, "H": 10, "rings": 1}, "methanol": {"C": 1, "H": 4, "O": 1},
    "ethanol": {"C": 2, "H": 6, "O": 1}, "denatured alcohol": {"C": 2, "H": 6, "O": 1}, "isopropanol": {"C": 3, "H": 8, "O": 1},
    "n-butanol": {"C": 4, "H": 10, "O": 1}, "heptane": {"C": 7, "H": 16}, "naphtha": {"C": 8, "H": 18}, "white spirit": {"C": 9, "H": 20},
    "turpentine": {"C": 10, "H": 16}, "limonene": {"C": 10, "H": 16}, "dichloromethane": {"C": 1, "H": 2, "Cl": 2},
    "n-methylpyrrolidone": {"C": 5, "H": 9, "N": 1, "O": 1, "rings": 1}, "2-butoxyethanol": {"C": 6, "H": 14, "O": 2},
    "diacetone alcohol": {"C": 6, "H": 12, "O": 2}, "dioxolane": {"C": 3, "H": 6, "O": 2, "rings": 1},
    "benzyl alcohol": {"C": 7, "H": 8, "O": 1, "rings": 1}, "dimethyl sulfoxide": {"C": 2, "H": 6, "O": 1, "S": 1},
    "diethyl ether": {"C": 4, "H": 10, "O": 1}, "acetic acid": {"C": 2, "H": 4, "O": 2}, "ammonia": {"H": 3, "N": 1},
    "water": {"H": 2, "O": 1},
}  # fmt: skip
NAMES = {
    "C": "carbon",
    "H": "hydrogen",
    "O": "oxygen",
    "N": "nitrogen",
    "Cl": "chlorine",
    "S": "sulfur",
    "rings": "rings",
}
WITH_LAW = [row for row in ROWS if "pressure_a" in row]
each = pytest.mark.parametrize("row", ROWS, ids=[row["key"] for row in ROWS])
with_law = pytest.mark.parametrize("row", WITH_LAW, ids=[row["key"] for row in WITH_LAW])


def stand_in(row: dict[str, Any]) -> str:
    """CAS number of the pure liquid whose figures the row takes."""
    return STANDS_FOR.get(row["key"], str(row["cas"]))


def burns_as(row: dict[str, Any]) -> str:
    """CAS number under which limits of burning are listed: limonene of either hand for d-limonene."""
    return "138-86-3" if row["key"] == "limonene" else str(row["cas"])


@each
def test_molar_mass(row: dict[str, Any]) -> None:
    """As the library has it, and as its own atoms give it."""
    atoms = {name: count for name, count in ATOMS[row["key"]].items() if name != "rings"}
    assert row["molar_mass"] == pytest.approx(MW(stand_in(row)), abs=0.0006)
    assert row["molar_mass"] == pytest.approx(molecular_weight(atoms), abs=0.02)


@each
def test_diffusion_volume(row: dict[str, Any]) -> None:
    """Added up from the atoms; water is listed for the molecule."""
    counts = {NAMES[name]: count for name, count in ATOMS[row["key"]].items()}
    wanted = 13.1 if row["key"] == "water" else diffusion_volume(**counts)
    assert row["diffusion_volume"] == pytest.approx(wanted, abs=0.006)


@each
def test_boiling_point(row: dict[str, Any]) -> None:
    """In °C, rounded to a tenth; that of the mixture itself where it is listed."""
    if "boiling" in row:
        assert row["boiling"] == pytest.approx(Tb(str(row["cas"])) - 273.15, abs=0.051)


def test_who_has_no_constants() -> None:
    """Only the two whose vapour pressure the tables of the library do not give at 20 °C."""
    assert [row["key"] for row in ROWS if row not in WITH_LAW] == ["n-methylpyrrolidone", "ammonia"]


@with_law
def test_vapour_pressure(row: dict[str, Any]) -> None:
    """The constants give what the library's own equation gives, over the range of a shop."""
    law = law_of(row["key"])
    for celsius in np.linspace(max(law.low, 0.0), 40.0, 9):
        assert vapour_pressure(law, float(celsius)) == pytest.approx(published(row, celsius + 273.15), rel=2e-6)


def published(row: dict[str, Any], kelvin: float) -> float:
    """Vapour pressure [Pa] by the table that the row names."""
    cas = stand_in(row)
    if row["pressure_source"] == "perry-2008":
        p = Psat_data_Perrys2_8.loc[cas]
        return math.exp(p.C1 + p.C2 / kelvin + p.C3 * math.log(kelvin) + p.C4 * kelvin**p.C5)
    assert row["pressure_source"] == "landolt-antoine"
    q = Psat_data_Landolt_Antoine.loc[cas]
    return float(Antoine(kelvin, q.A, q.B, q.C, base=math.e))


@with_law
def test_range_of_the_pressure(row: dict[str, Any]) -> None:
    """Within the published range; where the row carries it down further, it says from where, and not by more than 25 °C."""
    data = Psat_data_Perrys2_8 if row["pressure_source"] == "perry-2008" else Psat_data_Landolt_Antoine
    published_low = float(data.loc[stand_in(row)].Tmin) - 273.15
    if "pressure_carried_from" in row:
        assert row["pressure_carried_from"] == pytest.approx(published_low, abs=0.006)
        assert 0 < published_low - row["pressure_low"] <= 25
    else:
        assert row["pressure_low"] >= published_low - 0.006


POLING = [
    row
    for row in WITH_LAW
    if stand_in(row) in Psat_data_AntoinePoling.index and Psat_data_AntoinePoling.loc[stand_in(row)].Tmin <= 293.15
]


@pytest.mark.parametrize("row", POLING, ids=[row["key"] for row in POLING])
def test_spread_covers_another_source(row: dict[str, Any]) -> None:
    """Antoine constants of Poling, where their range reaches 20 °C, lie within the spread that the row tells."""
    q = Psat_data_AntoinePoling.loc[stand_in(row)]
    own = vapour_pressure(law_of(row["key"]), 20.0)
    assert abs(Antoine(293.15, q.A, q.B, q.C) / own - 1) * 100 <= row["pressure_spread"]


@each
def test_density(row: dict[str, Any]) -> None:
    """Perry's equation at 20 °C, the CRC's constant at its own temperature, or IAPWS-95; never an estimate."""
    if "density" not in row:
        assert row["key"] == "ammonia"
        return
    cas = stand_in(row)
    if row["density_source"] == "perry-2008":
        p = rho_data_Perry_8E_105_l.loc[cas]
        wanted = EQ105(293.15, p.C1, p.C2, p.C3, p.C4) * MW(cas) / 1000
        assert row["density_celsius"] == 20
    elif row["density_source"] == "crc-organic-constants":
        glued = f"{float(CRC_organic_data.loc[cas, 'rho']):.3f}"
        wanted = float(glued[:-2])
        assert row["density_celsius"] == float(glued[-2:])
    else:
        wanted = iapws95_rho(293.15, 101325.0)
    assert row["density"] == pytest.approx(wanted, abs=0.051)
    assert row["molar_volume"] == pytest.approx(1000 * row["molar_mass"] / row["density"], abs=0.051)


@each
def test_flash_point(row: dict[str, Any]) -> None:
    """By the standard that the row names; the fourth method of the library is never used."""
    if "flash" in row:
        found = T_flash(burns_as(row), method=METHOD[row["flash_source"]]) - 273.15
        assert row["flash"] == pytest.approx(found, abs=0.06)


@each
def test_limits_of_burning(row: dict[str, Any]) -> None:
    """By the standard that the row names; those of OSHA table G-11 (naphtha 0.9, Stoddard solvent 1.0) as read."""
    for name, function in (("lfl", LFL), ("ufl", UFL)):
        if name not in row:
            continue
        if row[f"{name}_source"] == "osha-1910-94":
            assert row[name] == {"naphtha": 0.9, "white spirit": 1.0}[row["key"]]
        else:
            found = 100 * function(CASRN=burns_as(row), method=METHOD[row[f"{name}_source"]])
            assert row[name] == pytest.approx(found, rel=1e-6)


@each
def test_hansen_parameters(row: dict[str, Any]) -> None:
    """MPa^0.5, by the method that the row names."""
    if "hansen_d" not in row:
        assert row["key"] == "ammonia"
        return
    method = "HSPIPY" if row["hansen_source"] == "hansen-hspipy" else "MANUEL_RUBEN_2022"
    cas = str(row["cas"]) if row["key"] == "xylene" else stand_in(row)
    found = [(function(cas, method) or 0.0) / 1000 for function in (hansen_delta_d, hansen_delta_p, hansen_delta_h)]
    assert [row["hansen_d"], row["hansen_p"], row["hansen_h"]] == pytest.approx(found, abs=0.005)


@each
def test_ontario_limits(row: dict[str, Any]) -> None:
    """Ontario's list, and nothing where it has nothing; denatured alcohol has methanol's."""
    cas = "67-56-1" if row["key"] == "denatured alcohol" else str(row["cas"])
    for name, found in (("ontario_twa", TWA(cas)), ("ontario_stel", STEL(cas))):
        assert (name in row) == (found is not None)
        if found is not None:
            assert found[1] == "ppm"
            assert row[name] == pytest.approx(found[0], abs=0.051)


@given(st.floats(0.001, 900_000), st.floats(2, 400), st.floats(-20, 60))
def test_ppm_and_milligrams(ppm: float, molar_mass: float, celsius: float) -> None:
    """Against the library's conversion, over all amounts, masses and temperatures."""
    wanted = ppmv_to_mgm3(ppm, molar_mass, T=celsius + 273.15, P=101325.0)
    assert milligrams_per_m3(ppm, molar_mass, celsius) == pytest.approx(wanted, rel=1e-9)


@given(st.lists(st.tuples(st.floats(0.01, 1), st.floats(0.5, 30)), min_size=1, max_size=5))
def test_lower_limit_of_a_mixture(parts: list[tuple[float, float]]) -> None:
    """Against the library's rule of Le Chatelier."""
    amounts, lower = [part for part, _ in parts], [limit for _, limit in parts]
    shares = [part / sum(amounts) for part in amounts]
    wanted = 100 * fire_mixing(shares, [limit / 100 for limit in lower])
    assert mixture_lower_limit(amounts, lower) == pytest.approx(wanted, rel=1e-9)
