"""Ranges: the ends belong to them; what is outside, no number or no count is told with its name."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.errors import OutOfRange
from tallboy.sums.ranges import ranged, whole, within


@given(st.integers(-100, 100), st.integers(0, 50))
def test_the_ends_count_as_within(low: int, wide: int) -> None:
    """One number, many, and a count."""
    high = low + wide
    assert (within("Width", low, low, high), within("Width", high, low, high)) == (low, high)
    assert ranged("Widths", [low, high], low, high).tolist() == [low, high]
    assert (whole("Legs", float(low), low, high), whole("Legs", high, low, high)) == (low, high)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 2.999, 12.001])
def test_what_lies_outside_is_told(value: float) -> None:
    """By its name, also when it is no number at all."""
    for seen in (within, whole):
        with pytest.raises(OutOfRange, match="Legs is"):
            seen("Legs", value, 3, 12)
    with pytest.raises(OutOfRange, match="Legs is"):
        ranged("Legs", np.array([[4.0, value]]), 3, 12)


def test_half_a_leg_is_no_count() -> None:
    """Within the range, but not whole."""
    with pytest.raises(OutOfRange, match="whole numbers"):
        whole("Legs", 4.5, 3, 12)
