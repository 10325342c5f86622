"""Areas of boards, drawers, legs, plain boxes, turnings and mouldings: closed forms and limits."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums import areas, turned

GROUPS = ["top", "sides", "front frame", "drawer fronts", "doors", "inside", "back", "legs"]


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: areas.surface_areas(900, 5, 400), lambda: areas.surface_areas(900, 800, float("inf")),
        lambda: areas.surface_areas(900, 800, 400, legs=4, leg_height_mm=800), lambda: areas.surface_areas(900, 800, 400, doors=[(0, 5)]),
        lambda: areas.board_area(100, 100, faces=3), lambda: areas.board_area(-1, 100), lambda: areas.board_area(1, float("nan")),
        lambda: areas.square_leg_area(700, 40, -1), lambda: areas.drawer_areas(40, 100, 300, side_mm=11),
        lambda: areas.drawer_areas(400, 100, 300, side_height_mm=101), lambda: turned.turned_area([(0, 40)]),
        lambda: turned.turned_area([(0, 40), (10, -1)]), lambda: turned.mean_girth([]), lambda: turned.mean_girth([1001]),
        lambda: turned.girth_area(-1, 100), lambda: turned.girth_area(100, float("nan")), lambda: turned.profile_girth([(0, 0)]),
    ],
)  # fmt: skip
def test_what_is_out_of_range_is_refused(wrong: object) -> None:
    """The argument, its value and the range are named."""
    assert callable(wrong)
    with pytest.raises(OutOfRange, match="It must lie between"):
        wrong()


def test_a_turning_that_goes_back_is_refused() -> None:
    """Places along the length come in order; the same place twice is a shoulder."""
    with pytest.raises(BadInput, match="goes back from 20 to 10"):
        turned.turned_area([(0, 40), (20, 40), (10, 40)])


@given(st.floats(1, 3000), st.floats(1, 300))
def test_a_cylinder_by_both_methods(length: float, diameter: float) -> None:
    """pi d l, by truncated cones and by girth."""
    exact = math.pi * diameter * length / 1e6
    assert turned.turned_area([(0, diameter), (length / 3, diameter), (length, diameter)]) == pytest.approx(exact)
    assert turned.girth_area(turned.mean_girth([diameter] * 3), length) == pytest.approx(exact)


@given(st.floats(1, 3000), st.floats(1, 300), st.integers(1, 50))
def test_a_cone_in_any_number_of_pieces(height: float, diameter: float, pieces: int) -> None:
    """pi r times the slant, however it is cut."""
    profile = [(height * i / pieces, diameter * (1 - i / pieces)) for i in range(pieces + 1)]
    exact = math.pi * diameter / 2 * math.hypot(height, diameter / 2) / 1e6
    assert turned.turned_area(profile) == pytest.approx(exact)


@pytest.mark.parametrize(("pieces", "short"), [(4, 0.077), (8, 0.020), (1000, 2e-6)])
def test_a_ball_by_many_truncated_cones(pieces: int, short: float) -> None:
    """4 pi r² from below: by nine points 2 % short, as the docstring says, by a thousand exact to a few millionths."""
    angles = [math.pi * i / pieces for i in range(pieces + 1)]
    found = turned.turned_area([(50 - 50 * math.cos(a), 100 * math.sin(a)) for a in angles])
    exact = 4 * math.pi * 50**2 / 1e6
    assert exact * (1 - short) <= found <= exact


def test_a_full_bead_by_both_methods() -> None:
    """A bead of 20 mm on a leg of 40 mm: 2 pi r (pi R + 2 r) in closed form; by girth it comes out a third short."""
    exact = 2 * math.pi * 10 * (math.pi * 20 + 2 * 10) / 1e6
    angles = [math.pi * i / 1000 for i in range(1001)]
    found = turned.turned_area([(10 - 10 * math.cos(a), 40 + 20 * math.sin(a)) for a in angles])
    assert found == pytest.approx(exact, rel=1e-5)
    mean = 40 + math.pi * 10**2 / 20
    assert turned.girth_area(math.pi * mean, 20) / exact == pytest.approx(2 / 3, abs=0.01)


@given(st.lists(st.floats(1, 300), min_size=2, max_size=30), st.floats(100, 1000))
def test_girth_is_never_more_than_the_cones(diameters: list[float], length: float) -> None:
    """With straight flanks between them, the mean of neighbours is exact for the girth and leaves the slopes out."""
    step = length / (len(diameters) - 1)
    middles = [(one + other) / 2 for one, other in pairwise(diameters)]
    cones = turned.turned_area([(step * i, d) for i, d in enumerate(diameters)])
    assert turned.girth_area(turned.mean_girth(middles), length) <= cones * (1 + 1e-9)


def test_a_shoulder_is_a_ring() -> None:
    """From 40 to 60 mm at one place: pi (30² - 20²)."""
    assert turned.turned_area([(10, 40), (10, 60)]) == pytest.approx(math.pi * (30**2 - 20**2) / 1e6)


def test_a_quarter_round_has_the_girth_of_a_quarter_circle() -> None:
    """pi r / 2 by many points; straight lines exactly."""
    quarter = [(20 * math.cos(a), 20 * math.sin(a)) for a in (math.pi / 2 * i / 500 for i in range(501))]
    assert turned.profile_girth(quarter) == pytest.approx(math.pi * 10, rel=1e-5)
    assert turned.profile_girth([(0, 0), (30, 0), (30, 40)]) == 70


def test_a_board_all_round_is_a_cuboid() -> None:
    """2 (lw + lt + wt); a shelf is two faces and one long edge."""
    assert areas.board_area(900, 300, 20) == pytest.approx(2 * (0.27 + 0.018 + 0.006))
    assert areas.board_area(900, 300, 20, long_edges=1, short_edges=0) == pytest.approx(0.54 + 0.018)
    assert areas.board_area(900, 300, 20, faces=0, long_edges=0, short_edges=0) == 0


def test_a_square_leg_straight_tapered_and_to_a_point() -> None:
    """4 w l; to a point it is the pyramid: 2 a times the slant."""
    assert areas.square_leg_area(700, 50) == pytest.approx(4 * 0.05 * 0.7)
    assert areas.square_leg_area(400, 60, 0) == pytest.approx(2 * 60 * math.hypot(400, 30) / 1e6)
    assert areas.square_leg_area(700, 50, 30) == areas.square_leg_area(700, 30, 50)


def test_a_drawer_by_hand() -> None:
    """450 x 150 front, 350 deep, sides of 10 mm and 100 mm high."""
    found = areas.drawer_areas(450, 150, 350, side_height_mm=100)
    assert found.front == pytest.approx(0.0675)
    assert found.inside == pytest.approx((430 * 350 + 2 * 350 * 100 + 2 * 430 * 100) / 1e6)
    assert found.outside == pytest.approx((450 * 350 + 2 * 350 * 100 + 450 * 100) / 1e6)
    assert found.edges == pytest.approx(10 * (700 + 450) / 1e6)


@given(st.floats(50, 2000), st.floats(10, 500), st.floats(50, 1000), st.floats(1, 12))
def test_a_drawer_of_thin_sides_is_as_large_inside_as_out(w: float, h: float, d: float, thick: float) -> None:
    """Inside lacks the sides' thickness; outside lacks the front, which is a group of its own."""
    found = areas.drawer_areas(w, h, d, side_mm=thick)
    gap = found.outside + found.front - found.inside
    assert gap == pytest.approx((2 * thick * d + 4 * thick * h) / 1e6, abs=1e-12)


def test_a_dresser_by_hand() -> None:
    """1000 x 900 x 400 mm on four legs of 100 mm: two drawers 450 x 150, two doors 450 x 500."""
    found = areas.surface_areas(
        1000, 900, 400, drawers=[(450, 150)] * 2, doors=[(450, 500)] * 2, legs=4, leg_height_mm=100
    )
    assert list(found) == GROUPS
    assert found["top"] == pytest.approx(0.4)
    assert found["sides"] == pytest.approx(2 * 0.4 * 0.8)
    assert found["back"] == pytest.approx(0.8)
    assert found["drawer fronts"] == pytest.approx(0.135)
    assert found["front frame"] == pytest.approx(0.8 - 0.135 - 0.45)
    assert found["doors"] == pytest.approx(2 * (2 * 0.225 + 2 * 0.95 * 0.02))
    assert found["inside"] == pytest.approx(2 * (0.225 + 2 * 0.95 * 0.4))
    assert found["legs"] == pytest.approx(4 * 4 * 0.045 * 0.1)


def test_a_plain_box_has_the_area_of_a_box() -> None:
    """Top, sides, back and face, without a bottom."""
    found = areas.surface_areas(600, 400, 300)
    assert sum(found.values()) == pytest.approx(0.18 + 0.24 + 0.24 + 0.24)
    assert found["legs"] == found["doors"] == found["inside"] == 0


def test_a_face_can_be_all_doors_but_not_more() -> None:
    """Rounding is forgiven, a door too many is not."""
    assert areas.surface_areas(900, 700, 400, doors=[(300, 700)] * 3)["front frame"] == 0
    with pytest.raises(BadInput, match="larger than the face"):
        areas.surface_areas(900, 700, 400, doors=[(300, 700)] * 4)


@given(st.floats(100, 3000), st.floats(100, 3000), st.floats(100, 1000), st.floats(0.1, 1), st.floats(0.1, 1))
def test_an_open_bay_moves_area_from_the_face_to_the_inside(
    w: float, h: float, d: float, across: float, up: float
) -> None:
    """The face loses just the bay; no group is ever negative."""
    bay = (w * across, h * up)
    shut, opened = areas.surface_areas(w, h, d), areas.surface_areas(w, h, d, open_bays=[bay])
    assert shut["front frame"] - opened["front frame"] == pytest.approx(bay[0] * bay[1] / 1e6)
    assert opened["inside"] >= bay[0] * bay[1] / 1e6
    assert min(opened.values()) >= 0
