"""Metal in wood and lead in a case."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums.wood_metal import Effect, Fact, case_air, in_wood, iron_stain

FACTS = [
    Fact("any", "iron", Effect.SOUND, "", ""),
    Fact("tannin", "iron", Effect.STAINS, "damp", ""),
    Fact("acid high", "iron", Effect.CORRODES, "closed", ""),
]
LEAD = ("no harm known", "over the guideline", "darkens", "corrodes")


@given(st.booleans(), st.floats(0, 17.99))
def test_dry_wood_shows_nothing(tannin: bool, moisture: float) -> None:
    """Whatever the wood."""
    assert iron_stain(tannin, moisture) == "none while dry"


@given(st.floats(18, 200))
def test_damp_wood_shows_iron(moisture: float) -> None:
    """Black with tannin, brown without."""
    assert iron_stain(True, moisture) == "blue-black stain"
    assert iron_stain(False, moisture) == "brown rust stain"


def test_only_what_applies_counts() -> None:
    """Damp facts when damp, closed ones in a case, the worst of them first; sound when none applies."""
    assert in_wood(FACTS, 8, closed=False) == Effect.SOUND
    assert in_wood(FACTS, 20, closed=False) == Effect.STAINS
    assert in_wood(FACTS, 20, closed=True) == Effect.CORRODES
    assert in_wood(FACTS[1:], 8, closed=False) == Effect.SOUND


@given(st.floats(0, 1e5), st.floats(0, 1e5), st.floats(0, 1e4))
def test_more_acid_is_never_better(acetic: float, formic: float, more: float) -> None:
    """For lead, and for the guideline."""
    before, after = case_air(acetic, formic), case_air(acetic + more, formic + more)
    assert LEAD.index(after.lead) >= LEAD.index(before.lead)
    assert after.within_guideline <= before.within_guideline
    assert after.formic_ppm >= before.formic_ppm


def test_lead_step_by_step() -> None:
    """In its four words."""
    assert case_air(10, 10).lead == "no harm known"
    assert case_air(500, 10).lead == "over the guideline"
    assert case_air(10, 100).lead == "darkens"
    assert case_air(10, 300).lead == "corrodes"


def test_out_of_range() -> None:
    """Nothing is clamped; and nothing known is no answer."""
    with pytest.raises(BadInput, match="Nothing is known"):
        in_wood([], 10, closed=False)
    for bad in (-1.0, 201.0, math.nan):
        with pytest.raises(OutOfRange):
            iron_stain(True, bad)
        with pytest.raises(OutOfRange):
            in_wood(FACTS, bad, closed=False)
    for wrong in ((-1.0, 0.0, 20.0), (0.0, math.nan, 20.0), (0.0, 2e9, 20.0), (0.0, 0.0, 61.0)):
        with pytest.raises(OutOfRange):
            case_air(*wrong)
