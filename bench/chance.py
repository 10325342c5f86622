"""How quick the chances are: `python -m bench.chance [--quick] [--json]`.

The shops are invented (bench/shared/shops.py), with spreads; the plain simulator (bench/shared/plain_futures.py) works out the same
futures one after another in plain Python.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator, Sequence
from dataclasses import replace

from bench.shared.figures import Figure, options, report
from bench.shared.plain_futures import PlainFuture, PlainShop
from bench.shared.shops import a_shop
from tallboy.planner.chance.chances import chances
from tallboy.planner.network import Plan, Problem
from tallboy.planner.solve import first_plan

FUTURES = 10_000


def unsure(problem: Problem) -> Problem:
    """The shop with a third of each step's minutes as its spread, and drying of a piece long or short together."""
    steps = tuple(replace(step, spread=step.minutes / 3) for step in problem.steps)
    links = tuple(
        replace(link, spread=0.25, shared=link.first.split("-")[0]) if link.kind == "drying" else link
        for link in problem.links
    )
    return replace(problem, steps=steps, links=links)


def a_plan(pieces: int) -> tuple[Problem, Plan]:
    """A shop with so many pieces of 45 steps and two pairs of hands, and its first plan."""
    problem = unsure(a_shop(1, pieces=pieces, steps=45, hands=2, days=60 * max(1, pieces // 8)))
    return problem, first_plan(problem)


def timed(problem: Problem, plan: Plan, futures: int, times: int) -> float:
    """Seconds that the chances take, the quickest of so many times."""
    best = float("inf")
    for _ in range(times):
        begun = time.perf_counter()
        chances(problem, plan, futures=futures)
        best = min(best, time.perf_counter() - begun)
    return best


def plain(problem: Problem, plan: Plan, futures: int) -> float:
    """Seconds that the plain simulator takes for one future; what it reads before the first does not count."""
    shop = PlainShop(problem, plan)
    work = dict.fromkeys(shop.order, 0.5)
    waits = {number: -0.5 for number, link in enumerate(shop.links) if link.spread}
    begun = time.perf_counter()
    for _ in range(futures):
        PlainFuture(shop, work, waits).all()
    return (time.perf_counter() - begun) / futures


def of_eight(quick: bool) -> Iterator[Figure]:
    """Eight pieces of 45 steps: in all, and for each future against the plain simulator."""
    problem, plan = a_plan(8)
    seconds = timed(problem, plan, FUTURES, 2 if quick else 5)
    yield Figure(f"{FUTURES} futures, 8 pieces x 45 steps", seconds, aim=2.0, unit="s", note="quickest of some")
    one = plain(problem, plan, 2 if quick else 6)
    yield Figure(
        "one future of the plain simulator against one here", one, seconds / FUTURES, 100, "s", "more", "ratio"
    )


def of_growth(quick: bool) -> Iterator[Figure]:
    """How the time grows with the pieces and with the futures."""
    base: float | None = None
    for pieces in (2, 4, 8) if quick else (2, 4, 8, 16, 32):
        problem, plan = a_plan(pieces)
        seconds = timed(problem, plan, FUTURES, 1 if quick else 2)
        base = base or seconds / pieces
        yield Figure(
            f"time for each piece, {pieces} pieces", seconds / pieces, base, unit="s", note="against two pieces"
        )
    problem, plan = a_plan(8)
    base = None
    for futures in (1000, 10_000) if quick else (1000, 10_000, 50_000):
        seconds = timed(problem, plan, futures, 1 if quick else 2)
        base = base or seconds / futures
        yield Figure(
            f"time for each future, {futures} futures", seconds / futures, base, unit="s", note="against 1000 futures"
        )


def figures(quick: bool) -> Iterator[Figure]:
    """All figures, one after another."""
    yield from of_eight(quick)
    yield from of_growth(quick)


def main(argv: Sequence[str] | None = None) -> int:
    args = options(__doc__).parse_args(argv)
    return report(figures(args.quick), argv)


if __name__ == "__main__":
    sys.exit(main())
