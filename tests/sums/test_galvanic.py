"""Two metals that touch: whole hundredths, symmetric, the limits met exactly."""

from __future__ import annotations

import math
from typing import cast

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.errors import OutOfRange
from tallboy.sums.galvanic import LIMITS, allowed, area_rule, couple

INDEX = st.integers(0, 200)
AREA = st.floats(0.001, 1e9)


@given(INDEX, INDEX)
def test_the_same_either_way_round(one: int, other: int) -> None:
    """The difference and the verdicts do not depend on the order; the anode is the other word."""
    there, back = couple(one, other), couple(other, one)
    assert (there.hundredths, there.harsh, there.normal, there.controlled) == (
        back.hundredths,
        back.harsh,
        back.normal,
        back.controlled,
    )
    swapped = {"first": "second", "second": "first", "neither": "neither"}
    assert back.anode == swapped[there.anode]


@given(INDEX, INDEX)
def test_what_a_harsh_place_allows_a_mild_one_allows(one: int, other: int) -> None:
    """The limits grow."""
    found = couple(one, other)
    assert found.harsh <= found.normal <= found.controlled
    assert found.harsh == allowed(found.hundredths, "harsh")


def test_the_limit_itself_is_allowed() -> None:
    """0.85 - 0.70 is 0.15 and not a hair more, though not in binary fractions."""
    assert 0.85 - 0.70 > 0.15
    assert couple(85, 70).harsh
    assert [allowed(limit, place) for place, limit in LIMITS.items()] == [True] * 3
    assert [allowed(limit + 1, place) for place, limit in LIMITS.items()] == [False] * 3


@given(AREA, AREA)
def test_areas_the_other_way_round(one: float, other: float) -> None:
    """Worse one way is milder the other."""
    opposite = {"worse": "milder", "milder": "worse", "even": "even"}
    assert area_rule(other, one) == opposite[area_rule(one, other)]


@pytest.mark.parametrize(
    "bad",
    [
        lambda: couple(-1, 0), lambda: couple(0, 201), lambda: couple(cast(int, 45.5), 0), lambda: allowed(201, "harsh"), lambda: allowed(10, "attic"),
        lambda: area_rule(0, 1), lambda: area_rule(1, math.inf), lambda: area_rule(math.nan, 1),
    ],
)  # fmt: skip
def test_out_of_range(bad: object) -> None:
    """No half hundredths, no unknown place, no area of nothing."""
    assert callable(bad)
    with pytest.raises(OutOfRange):
        bad()
