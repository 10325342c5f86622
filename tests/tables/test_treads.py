"""The treads and the rolling pairs: how many, in what order, and plausible neighbours."""

from __future__ import annotations

import pytest

from tallboy.tables.rows import table

TREADS = {row["key"]: row for row in table("treads").rows}
PAIRS = {row["key"]: row for row in table("rolling_pairs").rows}


def test_counts_and_sums() -> None:
    """Ten materials, three pairs; sums of the columns as they were written down."""
    assert len(TREADS) == 10
    assert len(PAIRS) == 3
    assert sum(row["modulus_mpa"] for row in TREADS.values()) == pytest.approx(525_250)
    assert sum(row["poisson"] for row in TREADS.values()) == pytest.approx(3.41)
    assert sum(row["lever_mm"] for row in PAIRS.values()) == pytest.approx(7.62)


def test_stiff_before_soft() -> None:
    """Steel over iron over brass over stone over wood over rubber."""
    order = ["steel", "cast iron", "brass", "porcelain", "stone or concrete floor", "nylon", "hardwood wheel", "oak floor", "pine floor", "hard rubber"]  # fmt: skip
    moduli = [TREADS[key]["modulus_mpa"] for key in order]
    assert moduli == sorted(moduli, reverse=True)


def test_only_wood_is_crushed() -> None:
    """Oak stands more than pine."""
    assert {key for key, row in TREADS.items() if "crush_mpa" in row} == {"hardwood wheel", "oak floor", "pine floor"}
    assert TREADS["oak floor"]["crush_mpa"] > TREADS["pine floor"]["crush_mpa"]


def test_lever_arms_are_those_of_the_page_in_inches() -> None:
    """0.02, 0.06 and 0.22 in, to a hundredth of a millimetre."""
    for key, inches in (("iron on iron", 0.02), ("wood on wood", 0.06), ("iron on wood", 0.22)):
        assert PAIRS[key]["lever_mm"] == pytest.approx(25.4 * inches, abs=0.005)
