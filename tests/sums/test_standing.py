"""Feet: which carry, what rocks and what cures it, against a linear programme and by symmetry."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums import standing

SQUARE = [(0.0, 0.0), (600.0, 0.0), (600.0, 400.0), (0.0, 400.0)]
legs = st.lists(st.floats(690, 710), min_size=4, max_size=4)


@given(legs, legs)
def test_packing_cures_the_rock(lengths: list[float], floor: list[float]) -> None:
    """With the packing under its foot, or as much off the other, it stands firm."""
    found = standing.rock_of_four(lengths, floor)
    if found.pack_foot is None or found.trim_foot is None:
        assert found.gap_mm == 0
        return
    packed, trimmed = list(lengths), list(lengths)
    packed[found.pack_foot] += found.pack_mm
    trimmed[found.trim_foot] -= found.pack_mm
    assert standing.rock_of_four(packed, floor).gap_mm == pytest.approx(0, abs=1e-6)
    assert standing.rock_of_four(trimmed, floor).gap_mm == pytest.approx(0, abs=1e-6)
    assert found.pack_foot in found.lifts
    assert found.trim_foot in found.diagonal


@given(legs, st.floats(-5, 5), st.floats(-5, 5), st.floats(-5, 5))
def test_a_tilt_is_no_rock(lengths: list[float], slope_x: float, slope_y: float, lift: float) -> None:
    """Sloping the floor or longer legs all round change nothing."""
    floor = [lift, lift + slope_x, lift + slope_x + slope_y, lift + slope_y]
    assert standing.rock_of_four(lengths, floor).gap_mm == pytest.approx(
        standing.rock_of_four(lengths).gap_mm, abs=1e-6
    )


@given(legs)
def test_the_rock_is_the_gap_that_three_feet_leave(lengths: list[float]) -> None:
    """`stand`, leaning to either side, finds the same gap under the foot in the air."""
    found = standing.rock_of_four(lengths)
    for corner in range(4):
        leaning = standing.stand(
            SQUARE, lengths, (300 + 0.5 * (SQUARE[corner][0] - 300), 200 + 0.5 * (SQUARE[corner][1] - 200))
        )
        if corner in found.lifts:
            assert leaning.gaps_mm[corner] == 0
            assert max(leaning.gaps_mm) == pytest.approx(found.gap_mm, abs=1e-6)


@st.composite
def pieces(draw: st.DrawFn) -> tuple[list[tuple[float, float]], list[float], list[float], tuple[float, float]]:
    """Three to eight feet anywhere, with legs and floor, and a centre of mass among them."""
    number = draw(st.integers(3, 8))
    spot = st.floats(0, 1000)
    feet = draw(st.lists(st.tuples(spot, spot), min_size=number, max_size=number, unique=True))
    drops = draw(st.lists(st.floats(690, 710), min_size=number, max_size=number))
    floor = draw(st.lists(st.floats(0, 5), min_size=number, max_size=number))
    weights = np.array(draw(st.lists(st.floats(0.05, 1), min_size=number, max_size=number)))
    centre = weights @ np.array(feet) / weights.sum()
    return feet, drops, floor, (float(centre[0]), float(centre[1]))


@settings(max_examples=60)
@given(pieces())
def test_the_three_that_carry_are_where_the_piece_lies_lowest(
    piece: tuple[list[tuple[float, float]], list[float], list[float], tuple[float, float]],
) -> None:
    """A linear programme: the lowest centre of mass with no foot below the floor. Shares balance the weight."""
    feet, drops, floor, centre = piece
    assume(np.linalg.svd(np.array(feet) - np.mean(feet, axis=0), compute_uv=False)[1] > 20)
    found = standing.stand(feet, drops, centre, floor)
    effective = np.array(drops) + np.array(floor)
    rows = np.column_stack([np.array(feet), np.ones(len(feet))])
    lowest = linprog([*centre, 1.0], A_ub=-rows, b_ub=-effective, bounds=[(None, None)] * 3).fun
    three = list(found.carriers)
    assert np.dot(found.shares, effective[three]) == pytest.approx(lowest, abs=1e-4)
    assert sum(found.shares) == pytest.approx(1)
    assert np.array(found.shares) @ np.array(feet)[three] == pytest.approx(np.array(centre), abs=1e-4)
    assert min(found.gaps_mm) == 0
    assert all(found.gaps_mm[foot] == 0 for foot in three)


def test_a_centre_over_the_diagonal_rocks() -> None:
    """Two threes share it; both are named."""
    found = standing.stand(SQUARE, [700, 698, 700, 698], (300, 200))
    assert found.rocks
    assert {found.carriers, found.others} == {(0, 1, 2), (0, 2, 3)}
    assert found.margin_mm == pytest.approx(0, abs=1e-9)


def test_even_legs_do_not_rock() -> None:
    """All touch, wherever the centre of mass is, and the margin is to the outer side."""
    found = standing.stand(SQUARE, [700] * 4, (300, 200))
    assert found.rocks is False
    assert max(found.gaps_mm) == 0
    assert found.margin_mm == pytest.approx(200)


@pytest.mark.parametrize(
    ("feet", "lengths", "centre"),
    [
        (SQUARE, [700] * 4, (700, 200)), (SQUARE, [700] * 3, (300, 200)), ([(0, 0), (1, 1), (2, 2)], [700] * 3, (1, 1)),
        ([1, 2, 3], [700] * 3, (1, 1)), (SQUARE, [700] * 4, (300,)), (SQUARE[:2], [700] * 2, (300, 0)), ([(k, k * k) for k in range(13)], [700] * 13, (5, 40)),
    ],
)  # fmt: skip
def test_what_cannot_stand(feet: list[tuple[float, float]], lengths: list[float], centre: tuple[float, ...]) -> None:
    """Falls over, numbers that do not match, feet in a line, no pairs, too few, too many."""
    with pytest.raises(BadInput):
        standing.stand(feet, lengths, centre)


def test_three_legs_or_five_do_not_rock_as_four() -> None:
    """Four are asked for."""
    with pytest.raises(BadInput, match="four of each"):
        standing.rock_of_four([700, 700, 700])


@given(st.floats(0, 500), st.floats(0, 500), st.integers(3, 11))
def test_more_wheels_carry_less_each(empty: float, load: float, wheels: int) -> None:
    """And one hanging free is never the lighter rule than even shares."""
    each = standing.load_per_wheel(empty, load, wheels)
    assert standing.load_per_wheel(empty, load, wheels + 1) <= each
    assert each >= standing.load_with_factor(empty, load, wheels, 1.0)
    with pytest.raises(OutOfRange):
        standing.load_per_wheel(empty, load, 2)
