"""Tones: symmetric differences, neutral greys, the odd one out."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums import colour, shade

TONE = st.tuples(st.floats(0, 100), st.floats(-100, 100), st.floats(-100, 100))
SET = st.lists(TONE, min_size=2, max_size=7)


@given(TONE, TONE)
def test_a_difference_is_the_same_both_ways(one: tuple[float, ...], other: tuple[float, ...]) -> None:
    """By both formulas, never negative, nothing for a tone beside itself."""
    for formula in (colour.ciede2000, colour.cie76):
        assert float(formula(one, other)) == pytest.approx(float(formula(other, one)), abs=1e-9)
        assert float(formula(one, other)) >= 0
        assert float(formula(one, one)) == 0


@given(SET)
def test_a_matrix_is_its_pairs(tones: list[tuple[float, ...]]) -> None:
    """Square, alike across its middle, each entry the pair's own difference."""
    matrix = shade.difference_matrix(tones)
    assert matrix.shape == (len(tones), len(tones))
    assert np.allclose(matrix, matrix.T, atol=1e-9)
    assert matrix[0, 1] == pytest.approx(float(colour.ciede2000(tones[0], tones[1])), abs=1e-9)


@given(SET)
def test_the_odd_one_out_evens_most(tones: list[tuple[float, ...]]) -> None:
    """No other removal leaves a smaller largest difference; the mean is not above the largest."""
    found = shade.evenness(tones)
    assert found.mean <= found.largest + 1e-9
    assert found.without <= found.largest + 1e-9
    if len(tones) == 2:
        assert found.odd == -1
        return
    left = [shade.evenness([*tones[:place], *tones[place + 1 :]]).largest for place in range(len(tones))]
    assert found.without == pytest.approx(min(left), abs=1e-9)
    assert left[found.odd] == pytest.approx(min(left), abs=1e-9)


@given(TONE, SET)
def test_the_nearest_is_nearest(target: tuple[float, ...], shelf: list[tuple[float, ...]]) -> None:
    """All others follow in order, each once."""
    found = shade.nearest(target, shelf)
    assert sorted(found.order) == list(range(len(shelf)))
    assert list(found.differences) == sorted(found.differences)
    assert found.difference == pytest.approx(float(colour.ciede2000(target, shelf[found.place])), abs=1e-9)


@given(st.integers(0, 255))
def test_greys_are_neutral(level: int) -> None:
    """Equal red, green and blue give a* = b* = 0 and a lightness in its range."""
    lightness, a, b = colour.srgb_to_lab([level] * 3)
    assert 0 <= lightness <= 100
    assert abs(a) + abs(b) < 1e-9


@given(st.integers(0, 254))
def test_lighter_greys_are_lighter(level: int) -> None:
    """L* grows with every step."""
    assert colour.srgb_to_lab([level] * 3)[0] < colour.srgb_to_lab([level + 1] * 3)[0]


@given(st.tuples(*[st.integers(0, 255)] * 3))
def test_a_code_there_and_back(rgb: tuple[int, int, int]) -> None:
    """With and without its sign, in either case."""
    code = "#{:02x}{:02x}{:02x}".format(*rgb)
    assert colour.hex_to_rgb(code) == list(rgb)
    assert colour.hex_to_rgb(code.upper().removeprefix("#")) == list(rgb)


def test_many_pairs_at_once() -> None:
    """Shapes are broadcast; one tone against many gives as many differences."""
    many = np.array([[50.0, 0, 0], [60.0, 5, 5]])
    assert np.shape(colour.ciede2000(many[0], many)) == (2,)
    assert isinstance(colour.ciede2000(many[0], many[1]), float)
    assert shade.nearest(many[0], many[1]).place == 0


def test_opposite_hues() -> None:
    """Exactly half a turn apart: the same either way, and finite."""
    one, other = [50.0, 0.0, 30.0], [50.0, 0.0, -30.0]
    assert float(colour.ciede2000(one, other)) == pytest.approx(float(colour.ciede2000(other, one)))


@pytest.mark.parametrize("text", ["", "#12", "#12345", "#1234567", "#gg0000", "brown", "#+1+1+1", "１２３"])
def test_no_colour_code(text: str) -> None:
    """Too short, too long, other letters."""
    with pytest.raises(BadInput, match="no colour code"):
        colour.hex_to_rgb(text)


@pytest.mark.parametrize(
    "bad",
    [
        lambda: colour.ciede2000([101, 0, 0], [50, 0, 0]), lambda: colour.ciede2000([50, 201, 0], [50, 0, 0]),
        lambda: colour.cie76([math.nan, 0, 0], [50, 0, 0]), lambda: colour.srgb_to_lab([256, 0, 0]), lambda: colour.srgb_to_lab([-1, 0, 0]),
        lambda: colour.tones_of([50, 0, -201]), lambda: shade.seen_as(-1), lambda: shade.seen_as(math.nan),
    ],
)  # fmt: skip
def test_out_of_range(bad: object) -> None:
    """Nothing is clamped."""
    assert callable(bad)
    with pytest.raises(OutOfRange):
        bad()


@pytest.mark.parametrize(
    "bad",
    [
        lambda: colour.tones_of([50, 0]), lambda: colour.srgb_to_lab([1, 2]), lambda: shade.difference_matrix([[50, 0, 0]]),
        lambda: shade.evenness([[50, 0, 0]]), lambda: shade.nearest([50, 0, 0], np.empty((0, 3))), lambda: shade.nearest([50, 0, 0], []),
        lambda: shade.nearest([[50, 0, 0], [60, 0, 0]], [[50, 0, 0]]), lambda: shade.nearest([50, 0, 0], [[[50, 0, 0]]]), lambda: shade.difference_matrix([50, 0, 0]),
        lambda: shade.difference_matrix(np.full((501, 3), 50.0)),
    ],
)  # fmt: skip
def test_what_is_no_set_of_tones(bad: object) -> None:
    """Two numbers, one tone, none, too many."""
    assert callable(bad)
    with pytest.raises(BadInput):
        bad()


def test_words_for_the_eye() -> None:
    """The step itself still counts to the milder word."""
    assert [shade.seen_as(step) for step in (1, 2, 3.5, 5)] == [words for _, words in shade.SEEN]
    assert shade.seen_as(5.01) == "two colours"
