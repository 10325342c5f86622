"""Films, amounts and areas: limits and geometry; published examples are in tests/published."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums import film

GROUPS = ["top", "sides", "front frame", "drawer fronts", "doors", "inside", "back", "legs"]


@given(st.floats(1, 3000), st.floats(1, 100), st.floats(0, 2))
def test_wet_and_dry_are_each_other_s_inverse(dry: float, solids: float, thinned: float) -> None:
    """Laying what `wet_film` asks leaves what was wanted."""
    wet = film.wet_film(dry, solids, thinned)
    if wet <= 10_000:
        assert film.dry_film(wet, solids, thinned) == pytest.approx(dry)


@given(st.floats(1, 100), st.floats(5, 500))
def test_spreading_rate_lays_the_film_it_was_asked_for(solids: float, dry: float) -> None:
    """Rate, wet film and dry film close the circle."""
    rate = film.spreading_rate(solids, dry)
    if 0.1 <= rate <= 100:
        assert film.wet_film_at_rate(rate) == pytest.approx(film.wet_film(dry, solids))


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: film.spreading_rate(0, 30), lambda: film.spreading_rate(40, 0), lambda: film.spreading_rate(float("nan"), 30),
        lambda: film.wet_film(30, 40, 5), lambda: film.dry_film(0, 40), lambda: film.practical_rate(10, 1),
        lambda: film.litres(-1, 2, 10), lambda: film.litres(1, -2, 10), lambda: film.wet_film_at_rate(0),
        lambda: film.surface_areas(900, 5, 400), lambda: film.surface_areas(900, 800, float("inf")),
        lambda: film.surface_areas(900, 800, 400, legs=4, leg_height_mm=800), lambda: film.surface_areas(900, 800, 400, doors=[(0, 5)]),
    ],
)  # fmt: skip
def test_what_is_out_of_range_is_refused(wrong: object) -> None:
    """The argument, its value and the range are named."""
    assert callable(wrong)
    with pytest.raises(OutOfRange, match="It must lie between"):
        wrong()


def test_a_dresser_by_hand() -> None:
    """1000 x 900 x 400 mm on four legs of 100 mm: two drawers 450 x 150, two doors 450 x 500."""
    areas = film.surface_areas(
        1000, 900, 400, drawers=[(450, 150)] * 2, doors=[(450, 500)] * 2, legs=4, leg_height_mm=100
    )
    assert list(areas) == GROUPS
    assert areas["top"] == pytest.approx(0.4)
    assert areas["sides"] == pytest.approx(2 * 0.4 * 0.8)
    assert areas["back"] == pytest.approx(0.8)
    assert areas["drawer fronts"] == pytest.approx(0.135)
    assert areas["front frame"] == pytest.approx(0.8 - 0.135 - 0.45)
    assert areas["doors"] == pytest.approx(2 * (2 * 0.225 + 2 * 0.95 * 0.02))
    assert areas["inside"] == pytest.approx(2 * (0.225 + 2 * 0.95 * 0.4))
    assert areas["legs"] == pytest.approx(4 * 4 * 0.045 * 0.1)


def test_a_plain_box_has_the_area_of_a_box() -> None:
    """Top, sides, back and face, without a bottom."""
    areas = film.surface_areas(600, 400, 300)
    assert sum(areas.values()) == pytest.approx(0.18 + 0.24 + 0.24 + 0.24)
    assert areas["legs"] == areas["doors"] == areas["inside"] == 0


def test_a_face_can_be_all_doors_but_not_more() -> None:
    """Rounding is forgiven, a door too many is not."""
    assert film.surface_areas(900, 700, 400, doors=[(300, 700)] * 3)["front frame"] == 0
    with pytest.raises(BadInput, match="larger than the face"):
        film.surface_areas(900, 700, 400, doors=[(300, 700)] * 4)


@given(st.floats(100, 3000), st.floats(100, 3000), st.floats(100, 1000), st.floats(0.1, 1), st.floats(0.1, 1))
def test_an_open_bay_moves_area_from_the_face_to_the_inside(
    w: float, h: float, d: float, across: float, up: float
) -> None:
    """The face loses just the bay; no group is ever negative."""
    bay = (w * across, h * up)
    shut, opened = film.surface_areas(w, h, d), film.surface_areas(w, h, d, open_bays=[bay])
    assert shut["front frame"] - opened["front frame"] == pytest.approx(bay[0] * bay[1] / 1e6)
    assert opened["inside"] >= bay[0] * bay[1] / 1e6
    assert min(opened.values()) >= 0
