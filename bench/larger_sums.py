"""How quick the larger sums are: `python -m bench.larger_sums [--quick] [--json]`.

A wheel's outline of 2000 points is judged while somebody waits for the page; a shelf of liquids is tried in every blend of up to
three; a set of 500 tones is compared pair by pair. Baselines: SciPy's general least squares on the same points; the blends one by
one in a plain loop; the tones pair by pair through the same formula.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import combinations

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares as general_least_squares

from bench.shared.figures import Figure, options, report
from bench.sums import best_ms
from tallboy.checks.load import all_checks
from tallboy.checks.run import outcomes
from tallboy.sums import blends, circle, circle_zones, colour, lifting, rolling, roundness, shade
from tallboy.sums.solubility import blend
from tallboy.tables import load
from tallboy.tables.residues import residue_of, solvent

Array = NDArray[np.float64]
POINTS = 2000
TONES = 500
LOOPED_PAIRS = 2000


def _wheel() -> Array:
    """An oval wheel with lobes and a little noise."""
    chance = np.random.default_rng(7)
    turned = np.arange(POINTS) / POINTS * 2 * np.pi
    radii = 25 + 0.2 * np.cos(2 * turned) + 0.05 * np.cos(5 * turned) + chance.normal(0, 0.01, POINTS)
    return np.column_stack((radii * np.cos(turned), radii * np.sin(turned)))


def _general_fit(points: Array) -> object:
    def off(circle: Array) -> Array:
        found: Array = np.hypot(points[:, 0] - circle[0], points[:, 1] - circle[1]) - circle[2]
        return found

    return general_least_squares(off, [0.0, 0.0, 20.0])


def _wheels(times: int) -> Iterator[Figure]:
    points = _wheel()
    fit = best_ms(lambda: _general_fit(points), times)
    whole: list[tuple[str, Callable[[], object], float]] = [
        ("least-squares circle of 2000 points", lambda: circle.least_squares(points), 5),
        ("minimum zone of 2000 points", lambda: circle_zones.minimum_zone(points), 100),
        ("all four circles and roundness", lambda: roundness.roundness(points), 200),
        ("axle height over a turn", lambda: rolling.rolling(points), 50),
    ]
    for name, run, aim in whole:
        yield Figure(
            name, best_ms(run, times), fit, aim, "ms", note="baseline: SciPy's general least squares, one circle"
        )


def _one_by_one(liquids: Sequence[blends.Solvent], lift: lifting.Residue, spare: Sequence[lifting.Residue]) -> float:
    """The best margin of all blends of up to two in tenths, one after another."""
    best = -math.inf
    for first, second in combinations(liquids, 2):
        for tenths in range(11):
            mixed = blend([first.hansen, second.hansen], [tenths / 10, 1 - tenths / 10])
            reds = [lifting.judge(mixed, residue).red for residue in (lift, *spare)]
            best = max(best, lifting.margin(reds[0], reds[1:]))
    return best


def _liquids(times: int) -> Iterator[Figure]:
    shelf = [solvent(row) for row in load("liquids")["liquids"] if "hansen_d" in row]
    lift, spare = residue_of("grease"), [residue_of("shellac")]
    looped = best_ms(lambda: _one_by_one(shelf, lift, spare), 1)
    for most in (2, 3):
        spent = best_ms(partial(blends.ranked, shelf, lift, spare, most), times)
        yield Figure(
            f"{len(shelf)} liquids in every blend of up to {most}",
            spent,
            looped,
            1500,
            "ms",
            note="baseline: pairs only, in a plain loop",
        )


def _tones(times: int) -> Iterator[Figure]:
    tones = np.random.default_rng(7).uniform((0, -60, -60), (100, 60, 60), (TONES, 3))
    pairs = list(combinations(tones, 2))[:LOOPED_PAIRS]
    looped = (
        best_ms(lambda: [colour.ciede2000(one, other) for one, other in pairs], 1) * math.comb(TONES, 2) / len(pairs)
    )
    yield Figure(
        f"{TONES} tones, every pair",
        best_ms(lambda: shade.difference_matrix(tones), times),
        looped,
        300,
        "ms",
        note="baseline: pair by pair",
    )


def figures(quick: bool) -> Iterator[Figure]:
    """The figures, one after another."""
    times = 2 if quick else 5
    yield from _wheels(times)
    yield from _liquids(times)
    yield from _tones(times)
    checks = all_checks()
    yield Figure(
        f"{len(checks)} published checks, all worked out", best_ms(lambda: outcomes(checks), 1), None, None, "ms"
    )


def main(argv: Sequence[str] | None = None) -> int:
    """Measure and report."""
    chosen = options(__doc__).parse_args(argv)
    return report(figures(chosen.quick), argv)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
