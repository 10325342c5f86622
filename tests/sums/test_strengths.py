"""Cuts of shellac and thinning: there and back, limits, and what is refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums.strengths import cut_of, flakes_for_cut, mixed_volume, spirit_to_thin, strong_for

CUTS = st.floats(0.1, 10)
VOLUMES = st.floats(1, 10_000)


@given(VOLUMES, CUTS)
def test_there_and_back(spirit: float, cut: float) -> None:
    """The flakes of a cut make that cut again."""
    assert cut_of(flakes_for_cut(spirit, cut), spirit) == pytest.approx(cut)


@given(VOLUMES, CUTS, CUTS)
def test_thinning_leaves_the_flakes(spirit: float, one: float, other: float) -> None:
    """What is thinned holds as many flakes as before, in more spirit: reckoned afresh it has the cut that was wanted."""
    now, wanted = max(one, other), min(one, other)
    flakes = flakes_for_cut(spirit, now)
    added = (
        spirit_to_thin(mixed_volume(spirit, flakes), now, wanted) if mixed_volume(spirit, flakes) <= 100_000 else None
    )
    if added is not None:
        assert flakes / (spirit + added) == pytest.approx(flakes_for_cut(1, wanted))


@given(st.floats(0, 10_000), st.floats(0.1, 100), st.floats(0, 1))
def test_what_is_in_it_stays(volume: float, strong: float, share: float) -> None:
    """Strength times volume is the same in the strong part and in the whole."""
    wanted = strong * share
    assert strong_for(volume, strong, wanted) * strong == pytest.approx(volume * wanted)


def test_nothing_grows_stronger_by_thinning() -> None:
    """Neither a cut nor a percentage; and nothing outside its range."""
    with pytest.raises(BadInput, match="weaker"):
        spirit_to_thin(500, 1, 2)
    with pytest.raises(BadInput, match="cannot be thinned"):
        strong_for(500, 5, 25)
    with pytest.raises(OutOfRange, match="Cut"):
        flakes_for_cut(500, 11)
    with pytest.raises(OutOfRange, match="Spirit"):
        cut_of(100, 0)
