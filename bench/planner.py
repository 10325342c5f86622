"""How quick and how good the plans are: `python -m bench.planner [--quick] [--json] [--svg FILE] [--instance FILE]`.

Shops are invented (bench/shared/shops.py); published problems are read from the folder named by TALLBOY_REFERENCE, by default
`../shared/reference` beside the checkout, and left out with a note when it is not there. The baselines, in the same run: the same
rules put to the solver as they are (bench/shared/plain_model.py), and a general scheduling library (bench/shared/library.py).
`--svg FILE` draws how time and gap grow with the pieces. `--instance FILE` solves one file of the kinds .jss, .sm and .sch instead,
with `--seconds` and `--workers`.
"""

from __future__ import annotations

import importlib.util
import statistics
import sys
import time
from collections.abc import Iterator, Sequence
from datetime import timedelta
from pathlib import Path

from bench.shared.figures import Figure, options, report
from bench.shared.growth import Grown, drawing
from bench.shared.instances import beside_the_library, of_instances, one_instance
from bench.shared.plain_model import Baseline, plain
from bench.shared.shops import a_shop, later, untouched
from tallboy.planner.mend import mend
from tallboy.planner.network import Plan, Problem
from tallboy.planner.rules.broken import broken_rules
from tallboy.planner.solve import first_plan, solve

SIZES = (2, 4, 8, 16, 24, 40)


def shop_of(pieces: int, seed: int = 1) -> Problem:
    """So many pieces of 45 steps for two pairs of hands, with as many weeks as they need."""
    return a_shop(seed, pieces=pieces, steps=45, hands=2, days=60 * max(1, pieces // 8))


def timed_first(problem: Problem) -> tuple[Plan, float]:
    """The greedy plan and the seconds it took."""
    begun = time.perf_counter()
    plan = first_plan(problem)
    return plan, time.perf_counter() - begun


def timed_solve(problem: Problem, seconds: float, workers: int = 1) -> tuple[Plan, float]:
    """The solved plan and the seconds it took in all."""
    begun = time.perf_counter()
    plan = solve(problem, seconds=seconds, workers=workers)
    return plan, time.perf_counter() - begun


def of_shops(quick: bool) -> Iterator[Figure]:
    """Four pieces of 25 steps, one pair of hands, six weeks: first plan, and the plan after a second."""
    shops = [a_shop(seed) for seed in range(3 if quick else 12)]
    firsts = [timed_first(shop) for shop in shops]
    solved = [timed_solve(shop, 1.0) for shop in shops]
    yield Figure("first plan, 4 pieces x 25 steps", max(s for _, s in firsts), aim=1.0, unit="s", note="slowest shop")
    yield Figure(
        "time for the plan after 1 s of solving", max(s for _, s in solved), aim=1.5, unit="s", note="slowest shop"
    )
    ratios = [best.cost / first.cost for (best, _), (first, _) in zip(solved, firsts, strict=True)]
    yield Figure(
        "cost after 1 s against the greedy plan", statistics.mean(ratios), 1.0, 1.0, "", of="ratio", note="mean"
    )
    proven = sum(plan.status == "optimal" for plan, _ in solved)
    yield Figure("shops proven best within 1 s", proven, len(shops), better="more")
    broken = sum(bool(broken_rules(shop, plan)) for shop, (plan, _) in zip(shops, solved, strict=True))
    yield Figure("plans that break a rule", broken, aim=0)


def of_slips(quick: bool) -> Iterator[Figure]:
    """On the third day a step takes an hour longer: how quick the plan is mended, how much stays, and what that costs."""
    note = "the only pair of hands lost an hour of a full week"
    shops = [a_shop(seed) for seed in range(3 if quick else 12)]
    yield from _after_a_slip("1 hand, 4 x 25", shops, 1.0, note)
    yield from _after_a_slip("2 hands, 8 x 45", [shop_of(8, seed) for seed in range(1 if quick else 4)], 2.0)
    spare = [a_shop(seed, pieces=3, steps=10, hands=2) for seed in range(8 if quick else 16)]
    yield from _after_a_slip("hands to spare, 3 x 10", spare, 0.5)


def _after_a_slip(name: str, shops: Sequence[Problem], seconds: float, note: str = "") -> Iterator[Figure]:
    slowest, stayed, count, broken = 0.0, 0, 0, 0
    ratios = []
    for shop in shops:
        plan = solve(shop, seconds=seconds)
        now = shop.now + timedelta(days=2, hours=4)
        last = max((one for one in plan.steps.values() if one.start < now), key=lambda one: one.start).key
        again = later(shop, plan, now, (last,), 60)
        begun = time.perf_counter()
        new = mend(again)
        slowest = max(slowest, time.perf_counter() - begun)
        rest = untouched(again, last)
        count += len(rest)
        stayed += sum(new.steps[key].start == plan.steps[key].start for key in rest)
        broken += bool(broken_rules(again, new))
        ratios.append(new.cost / solve(again, seconds=seconds).cost)
    yield Figure(f"mended after a slip, {name}", slowest, aim=1.0, unit="s", note="slowest shop")
    yield Figure(f"untouched steps that stay, {name}", stayed, count, 0.8, better="more", of="ratio", note=note)
    mean = statistics.mean(ratios)
    yield Figure(f"cost of the mended plan against planning anew, {name}", mean, 1.0, note=f"mean; {seconds:g} s")
    yield Figure(f"mended plans that break a rule, {name}", broken, aim=0)


def of_bigger_shops(quick: bool) -> Iterator[Figure]:
    """A busy shop of eight pieces with two pairs of hands, on two cores."""
    for seed in (1,) if quick else (1, 2, 3):
        shop = shop_of(8, seed)
        first, _ = timed_first(shop)
        best, took = timed_solve(shop, 5.0 if quick else 20.0, workers=2)
        name = f"8 pieces x 45 steps, 2 hands, shop {seed}"
        late = sum(kept.late_minutes for kept in best.promises)
        yield Figure(f"{name}: gap to the proven bound", best.gap, aim=0.05, note=f"{best.status} after {took:.1f} s")
        yield Figure(f"{name}: cost against the greedy plan", best.cost, first.cost, 1.0, "min", of="ratio")
        yield Figure(f"{name}: minutes late", late, sum(kept.late_minutes for kept in first.promises), unit="min")
        yield Figure(f"{name}: plans that break a rule", bool(broken_rules(shop, best)), aim=0)


def of_baselines(quick: bool) -> Iterator[Figure]:
    """Ours against the same rules put to the solver as they are, and against a general library on plainer shops."""
    seconds = 3.0 if quick else 10.0
    sizes = ((4, 25, 1),) if quick else ((4, 25, 1), (8, 25, 2), (8, 45, 2))
    for pieces, steps, hands in sizes:
        for seed in range(1 if quick else 3):
            shop = a_shop(seed, pieces=pieces, steps=steps, hands=hands, days=60)
            ours = solve(shop, seconds=seconds, workers=2)
            name = f"{pieces} x {steps}, {hands} hands, shop {seed}"
            yield from _beside(name, ours, plain(shop, seconds=seconds, workers=2), "the plain model")
    yield from _library_shops(seconds, quick)


def _library_shops(seconds: float, quick: bool) -> Iterator[Figure]:
    if importlib.util.find_spec("pyjobshop") is None:
        sys.stderr.write("the general library is left out: it is not there\n")
        return
    from bench.shared.library import library, plainer  # needed by the bench only, and here only

    for pieces, hands in ((4, 1),) if quick else ((4, 1), (8, 2), (16, 2)):
        shop = plainer(a_shop(1, pieces=pieces, steps=25, hands=hands, days=60 * max(1, pieces // 8)))
        ours = solve(shop, seconds=seconds, workers=2)
        name = f"plainer shop, {pieces} x 25, {hands} hands"
        yield from _beside(name, ours, library(shop, seconds=seconds, workers=2), "the library")


def _beside(name: str, ours: Plan, other: Baseline, whose: str) -> Iterator[Figure]:
    """The cost against the other's, and the bound against the other's (more is better)."""
    if other.cost is None:
        yield Figure(f"{name}: cost", ours.cost, unit="min", note=f"{whose} found no plan in {other.seconds:.0f} s")
    else:
        late = sum(kept.late_minutes for kept in ours.promises)
        note = f"the other makes the sum small, ours promises first: {late} min late"
        yield Figure(f"{name}: cost against {whose}", ours.cost, other.cost, unit="min", note=note)
    if other.bound > 0:
        yield Figure(f"{name}: bound against {whose}", ours.bound, other.bound, unit="min", better="more")


def grown(quick: bool) -> list[Grown]:
    """First plan and gap after some seconds, by the number of pieces."""
    rows = []
    for pieces in SIZES[:3] if quick else SIZES:
        shop = shop_of(pieces)
        _, first = timed_first(shop)
        best, _ = timed_solve(shop, 2.0 if quick else 20.0)
        rows.append(Grown(pieces, first, best.gap))
    return rows


def of_growth(rows: Sequence[Grown]) -> Iterator[Figure]:
    """The table that the drawing shows."""
    for row in rows:
        aim = 1.0 if row.pieces <= 8 else 5.0
        yield Figure(f"first plan, {row.pieces} pieces x 45 steps, 2 hands", row.seconds, aim=aim, unit="s")
        yield Figure(f"gap in the same time, {row.pieces} pieces x 45 steps, 2 hands", row.gap)


def main(argv: Sequence[str] | None = None) -> int:
    """Measure and report; 1 when an aim is missed."""
    parser = options(__doc__)
    parser.add_argument("--instance", type=Path, help="solve this .jss, .sm or .sch file only")
    parser.add_argument("--svg", type=Path, help="draw the growth with the pieces into this file")
    parser.add_argument("--seconds", type=float, default=60.0, help="time for --instance")
    parser.add_argument("--workers", type=int, default=8, help="threads for --instance")
    chosen = parser.parse_args(argv)
    if chosen.instance is not None:
        return report(one_instance(chosen.instance, chosen.seconds, chosen.workers), argv)
    return report(_all(chosen.quick, chosen.svg), argv)


def _all(quick: bool, svg: Path | None) -> Iterator[Figure]:
    """Every figure, one part after another."""
    for part in (of_shops, of_slips, of_bigger_shops, of_baselines, of_instances, beside_the_library):
        yield from part(quick)
    rows = grown(quick)
    if svg is not None:
        svg.write_text(drawing(rows), encoding="utf-8")
    yield from of_growth(rows)


if __name__ == "__main__":
    sys.exit(main())
