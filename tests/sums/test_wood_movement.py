"""Movement of wood: signs, straight lines, there and back; values are in the checks."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.errors import OutOfRange
from tallboy.sums import wood_movement as moves

SIZE = st.floats(1, 5000)
COEFFICIENT = st.floats(0.0005, 0.005)
SHORT = st.floats(6, 14)
WIDE = st.floats(0, 25)


@given(SIZE, COEFFICIENT, WIDE, WIDE)
def test_there_and_back_is_the_same_size(size: float, coefficient: float, one: float, other: float) -> None:
    """However often the air changes."""
    away = moves.size_at(size, coefficient, one, other)
    assert moves.size_at(away, coefficient, other, one) == pytest.approx(size)


@given(SIZE, st.floats(1, 15), WIDE, WIDE)
def test_the_line_of_coefficients_is_the_wide_form(size: float, shrinkage: float, one: float, other: float) -> None:
    """size_at with C = S / (3000 - 20 S) and eq. 13-3 are one straight line."""
    line = moves.size_at(size, moves.coefficient_from_shrinkage(shrinkage), one, other) - size
    assert line == pytest.approx(moves.dimension_change_wide(size, shrinkage, one, other), abs=1e-9 * size)


@given(SIZE, COEFFICIENT, SHORT, SHORT)
def test_the_short_form_is_near_the_line(size: float, coefficient: float, one: float, other: float) -> None:
    """Within four percents' worth of the coefficient, as a share of the change."""
    short = moves.dimension_change(size, coefficient, one, other)
    line = moves.size_at(size, coefficient, one, other) - size
    assert abs(short - line) <= abs(short) * 4.2 * coefficient + 1e-9
    assert moves.dimension_change(size, coefficient, other, one) == pytest.approx(-short)


@given(st.floats(1, 15), st.floats(0, 30))
def test_shrinkage_on_the_way(shrinkage: float, moisture: float) -> None:
    """Nothing at fibre saturation, all of it oven-dry, and what the wide form gives from green."""
    done = moves.shrinkage_to(shrinkage, moisture)
    assert moves.shrinkage_to(shrinkage, 30) == 0
    assert moves.shrinkage_to(shrinkage, 0) == pytest.approx(shrinkage)
    assert -moves.dimension_change_wide(100, shrinkage, 30, moisture) == pytest.approx(done, abs=1e-9)


@given(COEFFICIENT, COEFFICIENT, st.floats(0, 90))
def test_a_board_cut_at_an_angle_lies_between(radial: float, tangential: float, angle: float) -> None:
    """And two boards at right angles to one another share the two coefficients."""
    one = moves.coefficient_at_angle(radial, tangential, angle)
    other = moves.coefficient_at_angle(radial, tangential, 90 - angle)
    assert min(radial, tangential) - 1e-12 <= one <= max(radial, tangential) + 1e-12
    assert one + other == pytest.approx(radial + tangential)


def test_the_short_form_keeps_to_its_range() -> None:
    """5.9 or 14.1 % is outside; the line of size_at goes on."""
    for now, then in ((5.9, 10.0), (10.0, 14.1)):
        with pytest.raises(OutOfRange, match="6 and 14"):
            moves.dimension_change(300, 0.003, now, then)
        assert moves.size_at(300, 0.003, now, then) != 300
    with pytest.raises(OutOfRange):
        moves.dimension_change_wide(300, 7, 8, 31)
    with pytest.raises(OutOfRange):
        moves.coefficient_at_angle(0.002, 0.004, 91)
