"""Gaps through the year: what swells closes them, what shrinks opens them, and the sure gap is sure."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums.wood_gaps import Year, gap_through_year, panel_in_grooves, seasonal_gap, travel
from tallboy.sums.wood_movement import size_at

COEFFICIENT = st.floats(0.0005, 0.005)
YEAR = st.tuples(st.floats(5, 12), st.floats(4, 9), st.floats(9.5, 16)).map(lambda m: Year(*m))


@given(st.floats(10, 1000), COEFFICIENT, YEAR)
def test_a_gap_is_widest_in_the_driest_time(size: float, coefficient: float, year: Year) -> None:
    """And narrowest in the dampest; the two differ by the whole way of the wood."""
    found = gap_through_year(3.0, travel(size, coefficient, year))
    assert found.widest >= found.narrowest
    way = size_at(size, coefficient, year.now, year.dampest) - size_at(size, coefficient, year.now, year.driest)
    assert found.widest - found.narrowest == pytest.approx(way)
    assert found.narrowest_sure < found.narrowest
    assert found.widest_sure > found.widest


@given(st.floats(10, 1000), COEFFICIENT, YEAR, st.floats(0, 2))
def test_the_gap_to_leave_keeps_its_clearance(size: float, coefficient: float, year: Year, clearance: float) -> None:
    """For sure in the dampest time; and never less than the clearance is left now."""
    found = seasonal_gap(travel(size, coefficient, year), clearance)
    assert found.narrowest_sure >= clearance - 1e-9
    assert found.now >= clearance


def test_nineteen_of_twenty_do_not_bind() -> None:
    """Ten thousand boards of chance: their own coefficient, their own moisture; the gap that was left is enough for about 95 %."""
    year, size, coefficient = Year(9.0, 6.0, 13.0), 200.0, 0.0030
    gap = seasonal_gap(travel(size, coefficient, year), 0.0).now
    rng = np.random.default_rng(11)
    own = coefficient * (1 + 0.15 * rng.normal(size=10_000))
    swells = size * own * (year.dampest - year.now + rng.normal(size=10_000))
    assert float((swells <= gap).mean()) == pytest.approx(0.95, abs=0.015)


@given(st.floats(50, 1000), COEFFICIENT, YEAR, st.floats(0, 12), st.floats(0, 2))
def test_a_panel_neither_drops_out_nor_pushes(
    sight: float, coefficient: float, year: Year, hold: float, clearance: float
) -> None:
    """Even shrunk by 1.645 spreads it enters by the hold; even swollen as much it leaves the clearance."""
    fit = panel_in_grooves(sight, coefficient, year, hold, clearance)
    one = travel(fit.panel, coefficient, year)
    assert fit.panel == pytest.approx(sight + 2 * fit.enters_now)
    assert fit.enters_driest - 1.645 * fit.spread_driest >= hold - 1e-6
    assert fit.groove - (fit.enters_dampest + 1.645 * one.spread_dampest / 2) >= clearance - 1e-6


def test_wood_wetter_than_the_year_only_shrinks() -> None:
    """Fresh from a damp cellar: nothing to leave but the clearance and what is unsure."""
    across = travel(200, 0.003, Year(16.0, 7.0, 12.0), moisture_spread=0.0, scatter=0.0)
    assert across.to_dampest < 0
    assert seasonal_gap(across, 0.5).now == 0.5


def test_a_year_that_cannot_be() -> None:
    """Driest and dampest the wrong way round, moisture out of range, a spread below nothing."""
    with pytest.raises(BadInput, match="Change the two round"):
        Year(10, 12, 8)
    with pytest.raises(OutOfRange, match="driest"):
        Year(10, float("nan"), 8)
    with pytest.raises(OutOfRange, match="Scatter"):
        travel(100, 0.003, Year(10, 7, 12), scatter=-0.1)
    with pytest.raises(OutOfRange, match="Gap"):
        gap_through_year(-1, travel(100, 0.003, Year(10, 7, 12)))
