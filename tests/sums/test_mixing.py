"""What stays in one layer, and what is left of a blend as it evaporates."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from tests.sums.lifting_made import fractions

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums.mixing import MixingNumber, left_over, mixes, mixing_gap

numbers = st.tuples(st.integers(0, 32), st.integers(0, 32)).map(lambda two: MixingNumber(min(two), max(two)))
single = st.integers(0, 32).map(lambda one: MixingNumber(one, one))
pressures = st.lists(st.floats(10, 60_000), min_size=3, max_size=3)


@given(numbers, numbers)
def test_the_gap_is_the_same_from_both_sides(one: MixingNumber, other: MixingNumber) -> None:
    """And never below nothing."""
    assert mixing_gap(one, other) == mixing_gap(other, one) >= 0


@given(single, single)
def test_single_numbers_are_taken_from_each_other(one: MixingNumber, other: MixingNumber) -> None:
    """The gap of two ordinary liquids is their plain difference; a liquid mixes with itself."""
    assert mixing_gap(one, other) == abs(one.low - other.low)
    assert mixes(one, one) == "mixes"


@given(fractions(3), pressures, st.floats(0.05, 0.99))
def test_the_slow_part_grows(shares: list[float], speeds: list[float], remaining: float) -> None:
    """Shares add up to 1; the slowest liquid's share never falls, the quickest one's never rises."""
    left = left_over(shares, speeds, remaining)
    assert sum(left) == pytest.approx(1)
    slow, quick = speeds.index(min(speeds)), speeds.index(max(speeds))
    assert left[slow] >= shares[slow] - 1e-6
    assert left[quick] <= shares[quick] + 1e-6


@given(fractions(3), pressures, st.floats(0.1, 0.9), st.floats(0.1, 0.9))
def test_evaporating_twice_is_evaporating_once(
    shares: list[float], speeds: list[float], first: float, second: float
) -> None:
    """What is left of what is left."""
    after = left_over(shares, speeds, first)
    again = left_over([share / sum(after) for share in after], speeds, second)
    assert again == pytest.approx(left_over(shares, speeds, first * second), abs=1e-6)


def test_the_closed_form_is_what_the_law_gives_step_by_step() -> None:
    """Raoult's law integrated numerically, dV_i/dt = -P_i V_i / V; where it ends, that much is asked to remain."""
    speeds = np.array([24.7, 5.9, 1.2])

    def law(_time: float, volumes: NDArray[np.float64]) -> NDArray[np.float64]:
        leaving: NDArray[np.float64] = -speeds * volumes / volumes.sum()
        return leaving

    ends = solve_ivp(law, (0, 0.05), [0.5, 0.3, 0.2], rtol=1e-10, atol=1e-12).y[:, -1]
    left = left_over([0.5, 0.3, 0.2], speeds.tolist(), float(ends.sum()))
    assert left == pytest.approx((ends / ends.sum()).tolist(), abs=1e-6)


def test_nothing_evaporated_leaves_the_blend() -> None:
    """And a share of nothing stays nothing, however slow it is."""
    assert left_over([0.2, 0.8], [9000, 10], 1) == (0.2, 0.8)
    assert left_over([1, 0], [9000, 10], 0.3) == (1, 0)
    assert left_over([0.2, 0.7999992], [9000, 10], 0.9999999) == pytest.approx((0.2, 0.8), abs=1e-6)


@pytest.mark.parametrize(
    ("shares", "speeds", "remaining", "error"),
    [
        ([0.5, 0.5], [1000], 0.5, BadInput), ([0.5, 0.4], [1000, 2000], 0.5, BadInput), ([0.5, 0.5], [1000, 0], 0.5, OutOfRange),
        ([0.5, 0.5], [1000, 2000], 0, OutOfRange), ([0.5, 0.5], [1000, 2000], math.nan, OutOfRange), ([1.5, -0.5], [1000, 2000], 0.5, OutOfRange),
    ],
)  # fmt: skip
def test_blends_that_cannot_be(
    shares: list[float], speeds: list[float], remaining: float, error: type[BadInput]
) -> None:
    """One pressure too few, shares short of 1, no pressure, nothing left, no number, a share below nothing."""
    with pytest.raises(error):
        left_over(shares, speeds, remaining)


@pytest.mark.parametrize(("low", "high"), [(-1, 5), (5, 33), (20, 15), (math.nan, 5)])
def test_numbers_off_the_scale(low: float, high: float) -> None:
    """Below 0, above 32, the wrong way round, no number."""
    with pytest.raises(OutOfRange):
        MixingNumber(low, high)
