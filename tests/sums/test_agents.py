"""Verdicts of agents brought together, baths, bans and lead."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums.agents import Cell, Verdict, after_bath, lead_verdict, may_mix, shared_bath, touch, worst

VERDICTS = st.lists(st.sampled_from(list(Verdict)), min_size=1, max_size=6)
KINDS = st.sets(st.sampled_from(["acid", "bleach", "ammonia", "caustic"]))
BANS = [("bleach", "acid"), ("bleach", "ammonia")]


@given(VERDICTS)
def test_the_worst_decides(verdicts: list[Verdict]) -> None:
    """Whatever the order; and nothing good makes it better."""
    found = worst(verdicts)
    assert found in verdicts
    assert worst(sorted(verdicts)) == found
    assert worst([*verdicts, Verdict.USUAL]) == found
    assert worst([*verdicts, Verdict.NEVER]) == Verdict.NEVER


@given(VERDICTS)
def test_a_part_of_several_layers(verdicts: list[Verdict]) -> None:
    """The layer that decides is the outermost of the worst."""
    cells = [Cell("ammonia", f"layer {place}", verdict, "") for place, verdict in enumerate(verdicts)]
    found = touch(cells)
    assert found.deciding == cells[verdicts.index(found.verdict)]
    assert found.cells == tuple(cells)


def test_what_follows_a_bath() -> None:
    """Nothing after a dry one; iron is dried in four steps, the rest in two."""
    assert after_bath(wet=False, rusts=True) == ()
    assert after_bath(wet=True, rusts=False) == ("rinse", "dry at once")
    assert len(after_bath(wet=True, rusts=True)) == 4
    assert after_bath(wet=True, rusts=True)[-1] == "oil or wax within minutes"


@given(st.lists(st.integers(0, 200), min_size=1, max_size=6), st.integers(0, 200))
def test_one_more_metal_never_brings_a_bath_closer(indices: list[int], more: int) -> None:
    """The difference can only grow."""
    assert shared_bath([*indices, more]) >= shared_bath(indices) >= 0


@given(KINDS, KINDS)
def test_bans_hold_both_ways(one: set[str], other: set[str]) -> None:
    """Pouring A into B is pouring B into A."""
    assert may_mix(one, other, BANS) == may_mix(other, one, BANS)
    assert may_mix(one, other, [])


@given(st.floats(0, 1e6))
def test_lead_over_the_limit(ppm: float) -> None:
    """Ninety is allowed, more is banned."""
    assert lead_verdict(ppm) == ("banned" if ppm > 90 else "allowed")


def test_what_cannot_be_told() -> None:
    """No verdict, an unknown one, an empty bath, lead below nothing."""
    with pytest.raises(BadInput, match="no verdict"):
        worst([])
    with pytest.raises(BadInput, match="perhaps"):
        worst(["perhaps"])
    with pytest.raises(BadInput):
        touch([])
    with pytest.raises(BadInput, match="nothing in the bath"):
        shared_bath([])
    for bad in (-1.0, 1e7, math.nan):
        with pytest.raises(OutOfRange):
            lead_verdict(bad)
    with pytest.raises(OutOfRange):
        shared_bath([10, 300])
