"""Which liquids, and which blends of up to three of them, lift one residue and spare others.

RED against one residue is, over the fractions of a blend, the length of a straight-line map: a bowl without dents. Its lowest point is
found exactly. Sparing others makes dents; there every blend that can be measured out is tried.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from tallboy.errors import BadInput
from tallboy.sums.lifting import LIFTS_TO, ROUNDING, SPARES_FROM, Judged, Residue, judge
from tallboy.sums.ranges import within
from tallboy.sums.solubility import Hansen, blend

Array = NDArray[np.float64]

WORTH = 0.05
"""A blend is offered only when it is better than its own parts by at least this much of RED: measuring out should pay."""

USELESS = 10.0
"""Taken off the score of what does not lift: however well it spares, it comes after all that lift."""

MOST_LIQUIDS = 40


@dataclass(frozen=True)
class Solvent:
    """One liquid on the shelf: its key and its three parameters [MPa^0.5]."""

    key: str
    hansen: Hansen


@dataclass(frozen=True)
class Choice:
    """One liquid or blend: its parts by volume, its parameters, how it stands to each residue, and the margin of its claims.

    `margin` is as in `lifting.margin`: above 0 it lifts the one and spares the others, by the words.
    """

    parts: tuple[tuple[str, float], ...]
    hansen: Hansen
    lifted: Judged
    spared: tuple[Judged, ...]
    margin: float


def nearest_blend(liquids: Sequence[Hansen], residue: Hansen) -> tuple[float, ...]:
    """The blend of these liquids that comes nearest to a residue: the lowest RED that they can reach together.

    Formula: the fractions φ >= 0, Σ φ = 1 that make |Σ φi xi - c| least, x = (2 δD, δP, δH); on each corner, edge and face in turn

    Parameters
    ----------
    liquids : [MPa^0.5] the three of each liquid, one to three liquids, each 0 to 60
    residue : [MPa^0.5] the three of the residue, each 0 to 60

    Returns
    -------
    [1] fraction of each liquid in the volume, together 1

    Raises
    ------
    OutOfRange for no liquid or more than three.

    Validity
    --------
    Exact but for rounding: the squared distance is convex over the fractions.

    Source
    ------
    Own derivation: least squares on the faces of a simplex.
    """
    within("Number of liquids", len(liquids), 1, 3)
    points, centre = _scaled(liquids), _scaled([residue])[0]
    found = [shares for face in _faces(len(liquids)) for shares in _lowest_on(face, points, centre)]
    best = min(found, key=lambda shares: float(np.linalg.norm(shares @ points - centre)))
    return tuple(float(share) for share in best)


def best_fractions(
    liquids: Sequence[Hansen], lift: Residue, spare: Sequence[Residue] = (), step: float = 0.05
) -> tuple[float, ...]:
    """The fractions with the largest margin, first among those that can be measured out, then finer around the best of them.

    Formula: the largest `lifting.margin` among fractions that lift (RED up to 0.9), else among all; on a grid, then in steps halved
    until they are under 0.1 %

    Parameters
    ----------
    liquids : [MPa^0.5] the three of each liquid, one to three liquids, each 0 to 60
    lift : [MPa^0.5] what is to be lifted
    spare : [MPa^0.5] what must be spared
    step : [1] step of the first grid, 0.02 to 0.5

    Returns
    -------
    [1] fraction of each liquid in the volume, together 1

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    With something to spare the margin has dents: a better blend can hide between grid points only by less than RED changes over one step.

    Source
    ------
    Own derivation; compared with a search in steps of 1 % in the tests.
    """
    within("Number of liquids", len(liquids), 1, 3)
    points = _scaled(liquids)
    grid = _grid(len(liquids), within("Step", step, 0.02, 0.5))
    best = grid[int(np.argmax(_scores(grid @ points, lift, spare)))]
    while step > 0.001:
        around = np.vstack([best[None, :], best + step / 2 * _moves(len(liquids))])
        around = around[np.all(around >= -1e-12, axis=1)]
        first = int(np.argmax(_scores(around @ points, lift, spare)))
        best = np.clip(around[first], 0, 1)
        step = step / 2 if first == 0 else step
    return tuple(float(share) for share in best / best.sum())


def ranked(
    liquids: Sequence[Solvent],
    lift: Residue,
    spare: Sequence[Residue] = (),
    most: int = 3,
    step: float = 0.1,
    apart: Collection[frozenset[str]] = (),
) -> tuple[Choice, ...]:
    """All liquids, and the blends of them that are worth measuring out, the best first.

    Formula: the largest `lifting.margin` of each liquid, pair and three over fractions in whole steps, those that lift (RED up to
    0.9) before all others

    Parameters
    ----------
    liquids : [MPa^0.5] what is on the shelf, 1 to 40 liquids
    lift : [MPa^0.5] what is to be lifted
    spare : [MPa^0.5] what must be spared
    most : [1] liquids in a blend, 1 to 3
    step : [1] smallest share that is measured out, 0.02 to 0.5
    apart : [keys] pairs of liquids that do not stay in one layer and are never blended

    Returns
    -------
    [1] choices, the best first; a blend only where it beats every part and smaller blend in it by 0.05

    Raises
    ------
    OutOfRange outside the ranges; BadInput when two liquids have one key.

    Validity
    --------
    As `solubility.relative_energy_difference`; fractions by volume, before anything evaporates.

    Source
    ------
    Own derivation; compared with a search over every fraction in the tests.
    """
    within("Number of liquids", len(liquids), 1, MOST_LIQUIDS)
    if len({liquid.key for liquid in liquids}) < len(liquids):
        raise BadInput("Two of the liquids have the same name.", "Name each liquid once.")
    within("Liquids in a blend", most, 1, 3)
    within("Step", step, 0.02, 0.5)
    best: dict[tuple[int, ...], float] = {}
    found: list[Choice] = []
    for size in range(1, min(most, len(liquids)) + 1):
        inner = _grid(size, step)
        inner = inner[np.all(inner > 0, axis=1)]
        for chosen in _together(liquids, size, apart):
            points = _scaled([liquids[index].hansen for index in chosen])
            scores = _scores(inner @ points, lift, spare)
            first = int(np.argmax(scores))
            parts = [best[less] for less in combinations(chosen, size - 1) if less in best]
            if size == 1 or scores[first] >= max(parts) + WORTH:
                found.append(_choice([liquids[index] for index in chosen], inner[first], lift, spare))
            best[chosen] = max([float(scores[first]), *parts])
    return tuple(sorted(found, key=_best_first))


def _choice(liquids: Sequence[Solvent], shares: Array, lift: Residue, spare: Sequence[Residue]) -> Choice:
    fractions = [round(float(share), 9) for share in shares]
    mixed = blend([liquid.hansen for liquid in liquids], fractions)
    lifted, spared = judge(mixed, lift), tuple(judge(mixed, residue) for residue in spare)
    margin = min([LIFTS_TO - lifted.red, *(one.red - SPARES_FROM for one in spared)])
    parts = sorted(((liquid.key, share) for liquid, share in zip(liquids, fractions, strict=True)), key=_largest_first)
    return Choice(tuple(parts), mixed, lifted, spared, margin)


def _best_first(choice: Choice) -> tuple[bool, float, int, tuple[tuple[str, float], ...]]:
    return choice.lifted.red > LIFTS_TO + ROUNDING, -choice.margin, len(choice.parts), choice.parts


def _largest_first(part: tuple[str, float]) -> tuple[float, str]:
    return -part[1], part[0]


def _together(liquids: Sequence[Solvent], size: int, apart: Collection[frozenset[str]]) -> Iterator[tuple[int, ...]]:
    """Every choice of so many liquids in which no two part."""
    for chosen in combinations(range(len(liquids)), size):
        pairs = (frozenset(pair) for pair in combinations([liquids[index].key for index in chosen], 2))
        if not any(pair in apart for pair in pairs):
            yield chosen


def _scaled(materials: Sequence[Hansen]) -> Array:
    """Points in which the ordinary distance is Ra."""
    return np.array([[2 * one.d, one.p, one.h] for one in materials], dtype=np.float64)


def _scores(points: Array, lift: Residue, spare: Sequence[Residue]) -> Array:
    """The margin of each point (see `lifting.margin`), less what is taken off where it does not lift."""
    lifting = LIFTS_TO - _reds(points, lift)
    margins = lifting
    for residue in spare:
        margins = np.minimum(margins, _reds(points, residue) - SPARES_FROM)
    found: Array = np.where(lifting >= -ROUNDING, margins, margins - USELESS)
    return found


def _reds(points: Array, residue: Residue) -> Array:
    away = points - _scaled([residue.hansen])
    found: Array = np.sqrt(np.sum(away**2, axis=1)) / residue.radius
    return found


def _grid(size: int, step: float) -> Array:
    """All fractions in whole steps that add up to 1."""
    whole = round(1 / step)
    if size == 1:
        return np.ones((1, 1))
    if size == 2:
        counts = [(first, whole - first) for first in range(whole + 1)]
        return np.array(counts, dtype=np.float64) / whole
    threes = [
        (first, second, whole - first - second) for first in range(whole + 1) for second in range(whole + 1 - first)
    ]
    return np.array(threes, dtype=np.float64) / whole


def _moves(size: int) -> Array:
    """A step from each liquid to each other one."""
    moves = [np.eye(size)[to] - np.eye(size)[away] for away in range(size) for to in range(size) if to != away]
    return np.array(moves, dtype=np.float64).reshape(-1, size)


def _faces(size: int) -> Iterator[tuple[int, ...]]:
    for many in range(1, size + 1):
        yield from combinations(range(size), many)


def _lowest_on(face: tuple[int, ...], points: Array, centre: Array) -> Iterator[Array]:
    """The lowest point of the plane through these corners, when it lies between them."""
    first, *others = face
    shares = np.zeros(len(points))
    shares[first] = 1.0
    if others:
        directions = (points[others] - points[first]).T
        shares[others] = np.linalg.lstsq(directions, centre - points[first], rcond=None)[0]
        shares[first] = 1 - shares[others].sum()
    if bool(np.all(shares >= -1e-9)):
        yield np.clip(shares, 0, 1)
