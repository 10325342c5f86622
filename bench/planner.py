"""How quick and how good the plans are: `python -m bench.planner [--quick] [--json] [--instance FILE]`.

Shops are invented (bench/shared/shops.py); published problems are read from the folder named by TALLBOY_REFERENCE, by default
`../shared/reference` beside the checkout, and left out with a note when it is not there. `--instance FILE` solves one file
of the kinds .jss, .sm and .sch instead, with `--seconds` and `--workers`.
"""

from __future__ import annotations

import os
import statistics
import sys
import time
from collections.abc import Iterator, Sequence
from datetime import timedelta
from pathlib import Path

from bench.shared.figures import Figure, options, report
from bench.shared.shops import a_shop, later, untouched
from tallboy.errors import BadFile
from tallboy.planner.general import READERS, GeneralPlan, solve_general
from tallboy.planner.network import Plan, Problem
from tallboy.planner.rules import broken_rules
from tallboy.planner.solve import first_plan, solve

ROOT = Path(__file__).resolve().parents[1]
KNOWN: dict[str, int | None] = {
    "jobshop/ft06.jss": 55,
    "jobshop/la01.jss": 666,
    "jobshop/la02.jss": 655,
    "jobshop/la16.jss": 945,
    "project/j301_1.sm": 43,
    "project/j305_1.sm": 53,
    "project/j309_5.sm": 70,
    "project/j3025_1.sm": 93,
    "project/j3029_1.sm": 85,
    "project/j3045_1.sm": 82,
    "lags/j10-psp1.sch": 26,
    "lags/j10-psp4.sch": 39,
    "lags/j10-psp50.sch": 68,
    "lags/j10-psp101.sch": 62,
    "lags/j20-psp60.sch": 40,
    "lags/j20-psp120.sch": 31,
    "lags/j30-psp12.sch": 46,
    "lags/j30-psp41.sch": 46,
    "lags/j30-psp77.sch": 46,
    "lags/j20-psp1.sch": None,
    "lags/j30-psp2.sch": None,
}
HARD: dict[str, int | None] = {"project/j3013_1.sm": 58, "jobshop/ft10.jss": 930}


def timed_first(problem: Problem) -> tuple[Plan, float]:
    """The greedy plan and the seconds it took."""
    begun = time.perf_counter()
    plan = first_plan(problem)
    return plan, time.perf_counter() - begun


def timed_solve(problem: Problem, seconds: float) -> tuple[Plan, float]:
    """The solved plan and the seconds it took in all."""
    begun = time.perf_counter()
    plan = solve(problem, seconds=seconds)
    return plan, time.perf_counter() - begun


def of_shops(quick: bool) -> Iterator[Figure]:
    """Four pieces of 25 steps, one pair of hands, six weeks: first plan, plan after a second, replanning after a slip."""
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
    note = "the only pair of hands lost an hour of a full week: most that follows must move"
    yield from _after_a_slip("hands full", shops, [plan for plan, _ in solved], None, note)
    shops = [a_shop(seed, pieces=3, steps=10, hands=2) for seed in range(8 if quick else 16)]
    yield from _after_a_slip("hands to spare", shops, [solve(shop, seconds=1.0) for shop in shops], 0.8)


def _after_a_slip(
    name: str, shops: Sequence[Problem], plans: Sequence[Plan], aim: float | None, note: str = ""
) -> Iterator[Figure]:
    """On the third day a step takes an hour longer than planned: how quick the new plan is and how much of the old stays."""
    slowest, stayed, count = 0.0, 0, 0
    for shop, plan in zip(shops, plans, strict=True):
        now = shop.now + timedelta(days=2, hours=4)
        begun = [planned for planned in plan.steps.values() if planned.start < now]
        last = max(begun, key=lambda planned: planned.start).key
        again = later(shop, plan, now, (last,), 60)
        new, seconds = timed_solve(again, 0.7)
        slowest = max(slowest, seconds)
        rest = untouched(again, last)
        count += len(rest)
        stayed += sum(new.steps[key].start == plan.steps[key].start for key in rest)
    yield Figure(f"new plan after a slip, {name}", slowest, aim=1.0, unit="s", note="slowest shop")
    yield Figure(
        f"untouched steps that stay after a slip, {name}", stayed, count, aim, better="more", of="ratio", note=note
    )


def of_bigger_shops(quick: bool) -> Iterator[Figure]:
    """How the first plan grows, and a busy shop of eight pieces with two pairs of hands."""
    for pieces in (8,) if quick else (8, 20, 40):
        shop = a_shop(1, pieces=pieces, steps=45, hands=2, days=60 * max(1, pieces // 8))
        plan, seconds = timed_first(shop)
        yield Figure(
            f"first plan, {pieces} pieces x 45 steps, 2 hands", seconds, aim=1.0 if pieces == 8 else 5.0, unit="s"
        )
        if pieces == 8:
            best, _ = timed_solve(shop, 5.0 if quick else 20.0)
            yield Figure("8 pieces x 45 steps: gap to the proven bound", best.gap)
            yield Figure("8 pieces x 45 steps: cost against the greedy plan", best.cost, plan.cost, unit="min")
            yield Figure("8 pieces x 45 steps: plans that break a rule", bool(broken_rules(shop, best)), aim=0)


def of_instances(quick: bool) -> Iterator[Figure]:
    """Published problems: the makespan found against the known optimum; those without a plan count as 1 when proven so."""
    folder = Path(os.environ.get("TALLBOY_REFERENCE") or ROOT.parent / "shared" / "reference") / "instances"
    if not folder.is_dir():
        sys.stderr.write("published problems left out: no reference data (see TALLBOY_REFERENCE)\n")
        return
    for name, optimum in {**KNOWN, **({} if quick else HARD)}.items():
        hard = name in HARD
        begun = time.perf_counter()
        plan = solve_instance(folder / name, seconds=120 if hard else 10, workers=8 if hard else 1)
        note = f"{plan.status}, {time.perf_counter() - begun:.2f} s"
        if optimum is None:
            yield Figure(f"{name} has no plan", float(plan.status == "no plan"), 1.0, 1.0, better="more", note=note)
        else:
            yield Figure(name, float(plan.makespan or 0), optimum, 1.0, of="ratio", note=note)


def solve_instance(path: Path, *, seconds: float, workers: int) -> GeneralPlan:
    """Solve one file of a known kind."""
    reader = READERS.get(path.suffix.lower())
    if reader is None:
        raise BadFile(f"{path.name} is of an unknown kind.", f"Known are {', '.join(READERS)}.")
    return solve_general(reader(path.read_text(encoding="utf-8", errors="replace")), seconds=seconds, workers=workers)


def one_instance(path: Path, seconds: float, workers: int) -> Iterator[Figure]:
    """What was found for one file: makespan against the proven bound, or the proof that there is none."""
    plan = solve_instance(path, seconds=seconds, workers=workers)
    note = f"{plan.status}, {plan.seconds:.2f} s"
    if plan.makespan is None:
        yield Figure(f"{path.name} has no plan", float(plan.status == "no plan"), 1.0, 1.0, better="more", note=note)
    else:
        yield Figure(path.name, float(plan.makespan), float(plan.bound), 1.0, of="ratio", note=note)


def main(argv: Sequence[str] | None = None) -> int:
    """Measure and report; 1 when an aim is missed."""
    parser = options(__doc__)
    parser.add_argument("--instance", type=Path, help="solve this .jss, .sm or .sch file only")
    parser.add_argument("--seconds", type=float, default=60.0, help="time for --instance")
    parser.add_argument("--workers", type=int, default=8, help="threads for --instance")
    chosen = parser.parse_args(argv)
    if chosen.instance is not None:
        return report(one_instance(chosen.instance, chosen.seconds, chosen.workers), argv)
    parts = (of_shops, of_bigger_shops, of_instances)
    return report((figure for part in parts for figure in part(chosen.quick)), argv)


if __name__ == "__main__":
    sys.exit(main())
