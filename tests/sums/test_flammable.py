"""Where vapour burns: edges of the categories, unknown never safe, mixtures between their parts, spills in proportion.

Published values are in checks/vapour.toml.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums import flammable
from tallboy.sums.vapour import parts_per_million, vapour_pressure, vapour_volume
from tallboy.tables.liquids import liquid

ORDER = ["1", "2", "3", "4", "none"]


@given(st.floats(-100, 300), st.floats(0, 50), st.floats(-50, 400))
def test_a_higher_flash_point_is_never_a_worse_category(flash: float, step: float, boiling: float) -> None:
    """At the same boiling point."""
    first, second = flammable.flammable_category(flash, boiling), flammable.flammable_category(flash + step, boiling)
    assert ORDER.index(second) >= ORDER.index(first)


def test_what_is_not_known_is_unknown() -> None:
    """No flash point, no boiling point where it decides, no lower limit: never a verdict of safety."""
    assert flammable.flammable_category(None, 80) == "unknown"
    assert flammable.flammable_category(10, None) == "unknown"
    assert flammable.flammable_category(40, None) == "3"
    assert flammable.head_space(0.01, None, None) == "unknown"
    assert flammable.head_space(0.01, None, 10) == "unknown"
    assert flammable.head_space(50, 1.0, None) == "can catch fire"


def test_limits_of_burning_must_be_in_order() -> None:
    """An upper limit below the lower one would call what burns too rich."""
    with pytest.raises(OutOfRange, match="Upper limit"):
        flammable.head_space(5, 3.0, 2.0)


@given(st.floats(0, 100), st.floats(0.5, 10), st.floats(1, 20))
def test_a_head_space_has_one_of_three_states(vapour: float, lower: float, width: float) -> None:
    """At both limits themselves it can catch fire."""
    upper = lower + width
    word = flammable.head_space(vapour, lower, upper)
    assert (word == "can catch fire") == (lower <= vapour <= upper)
    assert flammable.head_space(lower, lower, upper) == flammable.head_space(upper, lower, upper) == "can catch fire"


@given(st.lists(st.tuples(st.floats(0, 10), st.floats(0.5, 20)), min_size=1, max_size=6))
def test_a_mixture_lies_between_its_parts(parts: list[tuple[float, float]]) -> None:
    """And one vapour alone has its own limit."""
    amounts, lower = [part[0] + 0.001 for part in parts], [part[1] for part in parts]
    found = flammable.mixture_lower_limit(amounts, lower)
    assert min(lower) - 1e-9 <= found <= max(lower) + 1e-9
    assert flammable.mixture_lower_limit([3.0], [lower[0]]) == pytest.approx(lower[0])


def test_a_mixture_of_nothing() -> None:
    """No vapour, or lists that do not fit."""
    with pytest.raises(BadInput):
        flammable.mixture_lower_limit([0, 0], [1, 2])
    with pytest.raises(BadInput):
        flammable.mixture_lower_limit([1], [1, 2])


@given(st.floats(1, 100), st.floats(0.5, 10), st.floats(5, 500), st.floats(0, 40))
def test_a_spill_brings_the_room_there(share: float, lower: float, volume: float, celsius: float) -> None:
    """All of it evaporated makes that share of the limit; a colder room needs more of it."""
    ml = flammable.liquid_to_reach(share, lower, volume, 800, 90, celsius)
    assert vapour_volume(ml, 800, 90, celsius) / volume * 1e4 == pytest.approx(share * lower)
    assert flammable.liquid_to_reach(share, lower, volume, 800, 90, celsius - 5) > ml


@given(st.floats(0.01, 100), st.floats(0.5, 20))
def test_air_to_dilute(vapour: float, lower: float) -> None:
    """In proportion to the vapour; four times as much for a quarter as for the whole limit, where it makes just the limit."""
    whole = flammable.air_to_dilute(vapour, lower, 100)
    assert flammable.air_to_dilute(vapour, lower) == pytest.approx(4 * whole)
    assert vapour / (vapour + whole) * 100 == pytest.approx(lower)


@given(st.dictionaries(st.sampled_from(["1", "2", "3", "4"]), st.floats(0, 300), max_size=4), st.booleans())
def test_more_liquid_is_never_more_allowed(litres: dict[str, float], cabinet: bool) -> None:
    """The share rises with every litre; what is of unknown category counts as the worst."""
    before = flammable.stored(litres, cabinet)
    after = flammable.stored({**litres, "2": litres.get("2", 0.0) + 10}, cabinet)
    assert after.share >= before.share
    assert before.allowed or not after.allowed
    assert flammable.stored({"unknown": 20.0}, cabinet) == flammable.stored({"1": 20.0}, cabinet)


def test_a_category_that_is_none() -> None:
    """Only 1 to 4 and unknown are kept account of; less than nothing cannot be kept."""
    with pytest.raises(BadInput, match="category"):
        flammable.stored({"5": 1.0})
    with pytest.raises(OutOfRange):
        flammable.stored({"1": -1.0})


@pytest.mark.parametrize(
    ("key", "word"),
    [
        ("acetone", "too rich"), ("toluene", "can catch fire"), ("ethanol", "can catch fire"), ("isopropanol", "can catch fire"),
        ("heptane", "can catch fire"), ("limonene", "too lean"), ("2-butoxyethanol", "too lean"), ("benzyl alcohol", "unknown"),
        ("n-methylpyrrolidone", "unknown"), ("turpentine", "too lean"),
    ],
)  # fmt: skip
def test_closed_jars_of_the_table_at_20(key: str, word: str) -> None:
    """As the reference pages tell them; unknown stays unknown. Turpentine: flash point 35 °C, so too lean at 20."""
    one = liquid(key)
    assert one.pressure is not None
    percent = parts_per_million(vapour_pressure(one.pressure, 20.0)) / 1e4
    assert flammable.head_space(percent, one.lower, one.upper) == word
