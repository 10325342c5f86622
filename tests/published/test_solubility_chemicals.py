"""Solubility parameters against the library chemicals 1.5.2, and blends against closed forms.

The library carries δD, δP and δH by CAS number [Pa^0.5], its first source being Díaz de los Ríos and Murcia Belmonte 2022. Tolerance:
none but rounding for the parameters. Its heats of vaporisation and molar volumes are correlations: there Hildebrand's sum is compared
with the library's own sum of the same numbers, and with the root of the three parameters only loosely (3 %; associating liquids left out).
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from chemicals import solubility
from chemicals.dippr import EQ106
from chemicals.phase_change import phase_change_data_Perrys2_150
from hypothesis import given
from hypothesis import strategies as st

from tallboy.sums.solubility import hildebrand, total
from tallboy.tables import load
from tallboy.tables.residues import hansen, hansen_of

STANDS_FOR = {"naphtha": "111-65-9", "white spirit": "111-84-2", "turpentine": "80-56-8"}
"""Mixtures, and what their row says stands for them: octane, nonane, α-pinene."""

ROWS: list[dict[str, Any]] = [row for row in load("liquids")["liquids"] if "hansen_d" in row]

HEATS = {
    "acetone": "67-64-1", "methyl ethyl ketone": "78-93-3", "ethyl acetate": "141-78-6", "butyl acetate": "123-86-4",
    "toluene": "108-88-3", "heptane": "142-82-5",
}  # fmt: skip
"""Liquids that do not pair up by hydrogen bonds among themselves, with their CAS numbers."""


@pytest.mark.parametrize("row", ROWS, ids=lambda row: str(row["key"]))
def test_parameters_are_those_of_the_library(row: dict[str, Any]) -> None:
    """All three, for every liquid that has them."""
    cas = STANDS_FOR.get(row["key"], row["cas"])
    ours = hansen(row)
    theirs = [
        getter(cas) for getter in (solubility.hansen_delta_d, solubility.hansen_delta_p, solubility.hansen_delta_h)
    ]
    assert [value / 1000 for value in theirs] == pytest.approx([ours.d, ours.p, ours.h], abs=1e-9)


@given(st.floats(15_000, 80_000), st.floats(20, 400), st.floats(-20, 90))
def test_heat_gives_what_the_library_gives(heat: float, volume: float, celsius: float) -> None:
    """Hildebrand's sum for any numbers; the library takes K and m³/mol and gives Pa^0.5."""
    theirs = solubility.solubility_parameter(celsius + 273.15, heat, volume * 1e-6)
    assert hildebrand(heat, volume, celsius) == pytest.approx(theirs / 1000, rel=1e-9)


@pytest.mark.parametrize(("key", "cas"), HEATS.items())
def test_heat_agrees_with_the_three_parameters(key: str, cas: str) -> None:
    """Heat at 25 °C by Perry's table 2-150 as carried by the library: the total is that of δD, δP and δH within 3 %."""
    perry = phase_change_data_Perrys2_150.loc[cas]
    heat = EQ106(298.15, *(float(perry[name]) for name in ("Tc", "C1", "C2", "C3", "C4")))
    volume = next(float(row["molar_volume"]) for row in ROWS if row["key"] == key)
    assert hildebrand(heat, volume) == pytest.approx(total(hansen_of(key)), rel=0.03)


def test_the_parts_of_a_total() -> None:
    """Water 47.8 MPa^0.5, within 0.5 % of the library's own total from heat (47.93, thermo 0.6.1)."""
    water = hansen_of("water")
    assert total(water) == pytest.approx(math.sqrt(15.5**2 + 16.0**2 + 42.3**2))
    assert total(water) == pytest.approx(47.93, rel=0.005)
