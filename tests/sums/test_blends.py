"""The best blend: exact where the sum claims to be, never worse than brute force, never worse than the best single liquid."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import LinearConstraint, minimize
from tests.sums.lifting_made import materials, residues

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums.blends import Choice, Solvent, best_fractions, nearest_blend, ranked
from tallboy.sums.lifting import LIFTS_TO, Residue, margin
from tallboy.sums.solubility import Hansen, blend, distance, relative_energy_difference

Array = NDArray[np.float64]
ROUNDING = 1e-9
SHELF = (
    Solvent("white spirit", Hansen(15.7, 0, 0)),
    Solvent("xylene", Hansen(17.6, 1.0, 3.1)),
    Solvent("acetone", Hansen(15.5, 10.4, 7.0)),
    Solvent("ethanol", Hansen(15.8, 8.8, 19.4)),
    Solvent("ethyl acetate", Hansen(15.8, 5.3, 7.2)),
)
SHELLAC = Residue("shellac", Hansen(19.7, 10.1, 15.1), 10.7)
ALKYD = Residue("alkyd", Hansen(17.5, 2.3, 7.7), 10.0, crosslinks=True)
LACQUER = Residue("lacquer", Hansen(16.9, 13.5, 10.3), 9.9)
threes = st.lists(materials, min_size=3, max_size=3)


def reds(mixed: Hansen, lift: Residue, spare: Sequence[Residue]) -> tuple[float, list[float]]:
    """RED of what is lifted and of each that stays."""
    lifted, *others = (relative_energy_difference(mixed, one.hansen, one.radius) for one in (lift, *spare))
    return lifted, others


def worth(mixed: Hansen, lift: Residue, spare: Sequence[Residue]) -> tuple[bool, float]:
    """What lifts comes before what does not; then the larger margin."""
    lifted, others = reds(mixed, lift, spare)
    return lifted <= LIFTS_TO + ROUNDING, margin(lifted, others)


def every_blend(liquids: Sequence[Hansen], whole: int) -> list[Hansen]:
    """All blends in whole steps."""
    counts = (parts for parts in product(range(whole + 1), repeat=len(liquids)) if sum(parts) == whole)
    return [blend(liquids, [part / whole for part in parts]) for parts in counts]


@settings(max_examples=40, deadline=None)
@given(threes, materials)
def test_the_nearest_blend_is_nearer_than_all_others(liquids: list[Hansen], residue: Hansen) -> None:
    """Than every blend in steps of 5 %."""
    shares = nearest_blend(liquids, residue)
    assert sum(shares) == pytest.approx(1)
    nearest = distance(blend(liquids, shares), residue)
    assert nearest <= min(distance(one, residue) for one in every_blend(liquids, 20)) + 1e-9


@settings(max_examples=25, deadline=None)
@given(threes, materials)
def test_the_nearest_blend_is_what_a_general_solver_finds(liquids: list[Hansen], residue: Hansen) -> None:
    """Sequential quadratic programming from the middle, by another library."""
    points = np.array([[2 * one.d, one.p, one.h] for one in liquids])
    centre = np.array([2 * residue.d, residue.p, residue.h])

    def squared(shares: Array) -> float:
        return float(np.sum((shares @ points - centre) ** 2))

    def slope(shares: Array) -> Array:
        found: Array = 2 * points @ (shares @ points - centre)
        return found

    found = minimize(
        squared,
        np.full(3, 1 / 3),
        jac=slope,
        bounds=[(0, 1)] * 3,
        constraints=LinearConstraint(np.ones((1, 3)), 1, 1),
        method="SLSQP",
        options={"ftol": 1e-12, "maxiter": 300},
    )
    ours = distance(blend(liquids, nearest_blend(liquids, residue)), residue)
    assert ours <= math.sqrt(found.fun) + 1e-6
    if found.success:
        assert ours == pytest.approx(math.sqrt(found.fun), abs=2e-3)


def test_three_liquids_in_a_line_and_three_alike() -> None:
    """Where the plane through them is no plane the answer still is the nearest."""
    line = [Hansen(16, 0, 0), Hansen(16, 5, 0), Hansen(16, 10, 0)]
    assert distance(blend(line, nearest_blend(line, Hansen(16, 7, 3))), Hansen(16, 7, 3)) == pytest.approx(3)
    alike = [Hansen(16, 5, 5)] * 3
    assert sum(nearest_blend(alike, Hansen(18, 5, 5))) == pytest.approx(1)


@settings(max_examples=25, deadline=None)
@given(threes, residues)
def test_with_nothing_to_spare_the_best_is_the_nearest(liquids: list[Hansen], lift: Residue) -> None:
    """The search on a grid, refined, comes to the exact answer."""
    exact = blend(liquids, nearest_blend(liquids, lift.hansen))
    found = blend(liquids, best_fractions(liquids, lift))
    assert distance(found, lift.hansen) == pytest.approx(distance(exact, lift.hansen), abs=0.05)


@settings(max_examples=15, deadline=None)
@given(threes, residues, st.lists(residues, min_size=1, max_size=2))
def test_the_best_fractions_against_brute_force(liquids: list[Hansen], lift: Residue, spare: list[Residue]) -> None:
    """Not worse than every blend in steps of 5 %, and by little than those of 2 %: the sum says what can hide between."""
    found = worth(blend(liquids, best_fractions(liquids, lift, spare)), lift, spare)
    coarse = max(worth(one, lift, spare) for one in every_blend(liquids, 20))
    assert found[1] >= coarse[1] - 1e-6 or found[0] > coarse[0]
    fine = max(worth(one, lift, spare) for one in every_blend(liquids, 50))
    if found[0] == fine[0]:
        step = max(distance(one, other) for one, other in combinations(liquids, 2)) * 0.05
        assert found[1] >= fine[1] - step / min(one.radius for one in (lift, *spare)) - ROUNDING


@pytest.mark.parametrize("spare", [[], [ALKYD], [LACQUER], [ALKYD, LACQUER]], ids=["none", "alkyd", "lacquer", "both"])
def test_the_ranking_against_every_blend(spare: list[Residue]) -> None:
    """The first of the ranking is the best of all blends of up to three in tenths, but for what is not worth measuring out."""
    best = ranked(SHELF, SHELLAC, spare)[0]
    brute = [
        worth(one, SHELLAC, spare)
        for chosen in combinations([solvent.hansen for solvent in SHELF], 3)
        for one in every_blend(chosen, 10)
    ]
    lifts, most = max(brute)
    assert (best.lifted.red <= LIFTS_TO + ROUNDING) == lifts
    assert most - 2 * 0.05 <= best.margin <= most + 1e-9


@settings(max_examples=25, deadline=None)
@given(st.lists(materials, min_size=1, max_size=4), residues, st.lists(residues, max_size=2))
def test_the_first_is_never_worse_than_the_best_single(
    liquids: list[Hansen], lift: Residue, spare: list[Residue]
) -> None:
    """And what is told of each choice is what the sums give for its parts."""
    shelf = [Solvent(str(place), liquid) for place, liquid in enumerate(liquids)]
    found = ranked(shelf, lift, spare)
    single = max(worth(liquid, lift, spare) for liquid in liquids)
    assert worth(found[0].hansen, lift, spare) >= (single[0], single[1] - 1e-9)
    assert sum(len(choice.parts) == 1 for choice in found) == len(shelf)
    for choice in found:
        _is_told_rightly(choice, shelf, lift, spare)


def _is_told_rightly(choice: Choice, shelf: list[Solvent], lift: Residue, spare: list[Residue]) -> None:
    mixed = blend([shelf[int(key)].hansen for key, _ in choice.parts], [share for _, share in choice.parts])
    lifted, others = reds(mixed, lift, spare)
    assert choice.lifted.red == pytest.approx(lifted)
    assert [one.red for one in choice.spared] == pytest.approx(others)
    assert choice.margin == pytest.approx(margin(lifted, others))
    assert all(10 * share == pytest.approx(round(10 * share)) for _, share in choice.parts)


@settings(max_examples=25, deadline=None)
@given(st.lists(materials, min_size=2, max_size=4), residues)
def test_with_nothing_to_spare_red_of_the_first_is_the_lowest(liquids: list[Hansen], lift: Residue) -> None:
    """No single liquid comes nearer than what stands first."""
    found = ranked([Solvent(str(place), liquid) for place, liquid in enumerate(liquids)], lift)
    assert (
        found[0].lifted.red <= min(relative_energy_difference(one, lift.hansen, lift.radius) for one in liquids) + 1e-9
    )


def test_liquids_that_part_are_never_blended() -> None:
    """Neither two of them, nor with a third."""
    apart = frozenset({frozenset({"ethanol", "xylene"})})
    found = ranked(SHELF, SHELLAC, apart=apart)
    assert all(not {"ethanol", "xylene"} <= {key for key, _ in choice.parts} for choice in found)
    free = ranked(SHELF, SHELLAC)
    assert any({"ethanol", "xylene"} <= {key for key, _ in choice.parts} for choice in free)


def test_a_blend_must_be_worth_measuring_out() -> None:
    """The same liquid under two names makes no blend; at most one liquid makes none either."""
    twice = [Solvent("ethanol", SHELF[3].hansen), Solvent("spirit", SHELF[3].hansen)]
    assert [len(choice.parts) for choice in ranked(twice, SHELLAC)] == [1, 1]
    assert {len(choice.parts) for choice in ranked(SHELF, SHELLAC, [ALKYD], most=1)} == {1}


@pytest.mark.parametrize("many", [0, 4])
def test_too_few_and_too_many_liquids(many: int) -> None:
    """One to three can be looked at exactly."""
    with pytest.raises(OutOfRange, match="Number of liquids"):
        nearest_blend([Hansen(16, 5, 5)] * many, Hansen(17, 5, 5))
    with pytest.raises(OutOfRange, match="Number of liquids"):
        best_fractions([Hansen(16, 5, 5)] * many, SHELLAC)


def test_a_shelf_that_cannot_be() -> None:
    """None, forty-one, a name twice, a step too small, four in a blend."""
    with pytest.raises(OutOfRange):
        ranked([], SHELLAC)
    with pytest.raises(OutOfRange):
        ranked([Solvent(str(place), SHELF[0].hansen) for place in range(41)], SHELLAC)
    with pytest.raises(BadInput, match="same name"):
        ranked([SHELF[0], SHELF[0]], SHELLAC)
    with pytest.raises(OutOfRange, match="Step"):
        ranked(SHELF, SHELLAC, step=0.01)
    with pytest.raises(OutOfRange, match="in a blend"):
        ranked(SHELF, SHELLAC, most=4)
