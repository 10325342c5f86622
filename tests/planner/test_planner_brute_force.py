"""On tiny shops no plan found by trying everything is better than the planner's.

The trial (tests/planner/planner_brute.py) shares no code with the planner or with the rule checker.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

import numpy as np
import pytest
from bench.shared.shops import working_hours
from tests.planner.planner_brute import Put, Trial, as_plan, best_of_all, is_open, worth_of
from tests.planner.planner_made import at

from tallboy.planner.network import (
    ByHour,
    Delivery,
    Fixed,
    Link,
    Person,
    Place,
    Problem,
    Promise,
    Resource,
    Step,
    Use,
    Wait,
)
from tallboy.planner.rules.broken import broken_rules
from tallboy.planner.solve import solve

Random = np.random.Generator
HOURS = working_hours(at(0), 3)


def hours(random: Random, low: int, high: int) -> int:
    """A whole number of hours from `low` up to `high` [min]."""
    return int(random.integers(low, high + 1)) * 60


def by_hour(random: Random, low: int, high: int) -> ByHour:
    """A wait that is another in every hour of three days."""
    return ByHour(at(int(random.integers(0, 9))), tuple(int(w) * 60 for w in random.integers(low, high + 1, 64)))


def a_wait(random: Random, low: int, high: int) -> Wait:
    """One that depends on the hour, or not."""
    return by_hour(random, low, high) if random.random() < 0.5 else Fixed(hours(random, low, high))


def problem(random: Random, *steps: Step, links: tuple[Link, ...] = ()) -> Problem:
    """These steps in slots of an hour, with a promise for each piece that is hard to keep."""
    pieces = sorted({step.piece for step in steps})
    promises = tuple(
        Promise(piece, at(8 + int(random.integers(2, 14))), int(random.integers(1, 4))) for piece in pieces
    )
    return Problem(at(8), steps, links, promises, HOURS, slot_minutes=60)


def step(random: Random, key: str, piece: str, **more: Any) -> Step:
    """A step of one to three hours."""
    return replace(Step(key, piece, key.title(), hours(random, 1, 3)), **more)


def two_coats(random: Random) -> Problem:
    """Waits by the hour, a coat that stays wet by the hour, and dust of another piece."""
    most = hours(random, 20, 40) if random.random() < 0.5 else None
    steps = (
        step(random, "one", "slope", wet=a_wait(random, 1, 12)),
        step(random, "two", "slope"),
        step(random, "saw", "stand", dusty=True),
    )
    return problem(random, *steps, links=(Link("one", "two", "drying", by_hour(random, 1, 30), most),))


def two_people(random: Random) -> Problem:
    """Two people with different hours; some work needs both, some a skill, some may be cut where their hours end."""
    anna = Person("anna", skills=frozenset({"veneer"}))
    ben = Person("ben", hours=((at(8), at(10)), (at(11), at(15)), (at(9, 1), at(13, 1)), (at(8, 2), at(17, 2))))
    steps = (
        step(random, "lift", "dresser", hands=2, minutes=hours(random, 1, 2)),
        step(random, "lay", "slope", skill="veneer"),
        step(random, "carve", "slope", minutes=hours(random, 3, 5), split=True, least_chunk=60),
        step(random, "rub", "stand", people=("ben",), minutes=hours(random, 1, 2)),
    )
    links = (Link("lay", "carve", "clamps", Fixed(hours(random, 0, 3))),)
    return replace(problem(random, *steps, links=links), people=(anna, ben), hands=2)


def rack_and_clamps(random: Random) -> Problem:
    """Coats that lie on the rack for as long as the hour makes them, and clamps."""
    rack = [(Use("rack", int(random.integers(40, 90)), a_wait(random, 2, 9)),) for _ in range(3)]
    steps = (
        step(random, "door", "press", uses=rack[0]),
        step(random, "top", "desk", uses=rack[1], minutes=60),
        step(random, "side", "desk", uses=(*rack[2], Use("clamps", 2, Fixed(120))), minutes=60),
        step(random, "glue", "stool", uses=(Use("clamps", 3, Fixed(hours(random, 1, 5))),)),
    )
    kept = (Resource("rack", "Rack", 120), Resource("clamps", "Clamps", 4))
    return replace(problem(random, *steps), resources=kept, hands=2)


def vapour_and_fire(random: Random) -> Problem:
    """Solvent and flame in one room and in the yard, two pairs of hands."""
    places = (Place("bench", room="shop"), Place("far", room="shop", fresh_air=bool(random.random() < 0.5)))
    steps = (
        step(random, "strip", "slope", solvent=True, fumes=a_wait(random, 1, 5)),
        step(random, "wash", "stand", solvent=True, place="far", minutes=60),
        step(random, "burn", "stand", ignition=True, place=str(random.choice(("far", "yard", "bench")))),
        step(random, "wax", "press", place=str(random.choice(("bench", "far")))),
    )
    order = Link("strip", "burn") if random.random() < 0.3 else Link("burn", "wash")
    return replace(problem(random, *steps, links=(order,)), places=places, hands=2)


def warm_hours(random: Random) -> Problem:
    """Coats that ask for warm air for some time after; the second follows after a wait by the hour."""
    fit = tuple((at(int(random.integers(9, 12)), day), at(int(random.integers(14, 19)), day)) for day in range(3))
    steps = (
        step(random, "one", "slope", fit=fit, fit_minutes=hours(random, 0, 2), minutes=60),
        step(random, "two", "slope", fit=fit[1:], fit_minutes=60, minutes=60),
        step(random, "turn", "stand"),
        step(random, "fit", "stand"),
    )
    links = (Link("one", "two", "drying", by_hour(random, 2, 20)), Link("turn", "fit"))
    return problem(random, *steps, links=links)


def scuff_or_delay(random: Random) -> Problem:
    """A window that can be made good by rubbing down, while another piece is in a hurry."""
    scuff = Step("scuff", "slope", "Scuff", hours(random, 1, 2), dusty=True)
    least = Fixed(hours(random, 1, 4))
    most = least.minutes + hours(random, 0, 3)
    window = Link("one", "two", "drying", least, most, scuff=scuff)
    if random.random() < 0.5:
        late = ByHour(at(8), tuple(least.minutes + int(w) * 60 for w in random.integers(0, 5, 60)))
        window = replace(window, most=late)
    steps = (
        step(random, "one", "slope", minutes=60),
        step(random, "two", "slope"),
        step(random, "rush", "stand", minutes=hours(random, 3, 4)),
        step(random, "coat", "press", minutes=60, wet=Fixed(hours(random, 1, 4))),
    )
    return problem(random, *steps, links=(window,))


def long_past_coat(random: Random) -> Problem:
    """The first coat was laid yesterday: its window closes soon, or has closed, with a scuff or without."""
    laid = at(-int(random.integers(6, 12)))
    most = hours(random, 14, 22)
    scuff = Step("scuff", "slope", "Scuff", 60) if random.random() < 0.6 else None
    steps = (
        Step("one", "slope", "First coat", 60, done=(laid - timedelta(hours=1), laid)),
        step(random, "two", "slope", minutes=60),
        step(random, "three", "slope", minutes=60),
        step(random, "rush", "stand"),
    )
    links = (
        Link("one", "two", "drying", a_wait(random, 8, 18), most, scuff=scuff),
        Link("two", "three", "drying", Fixed(60), hours(random, 1, 4)),
    )
    return problem(random, *steps, links=links)


def window_by_the_hour(random: Random) -> Problem:
    """Earliest and latest both depend on the hour, and must be met."""
    least = by_hour(random, 1, 3)
    most = ByHour(least.start, tuple(minutes + hours(random, 0, 24) for minutes in least.minutes))
    steps = (
        step(random, "one", "slope", minutes=60),
        step(random, "two", "slope", minutes=60),
        step(random, "rush", "stand"),
        step(random, "turn", "stand"),
    )
    return problem(random, *steps, links=(Link("one", "two", "drying", least, most), Link("rush", "turn")))


def quiet_and_closed(random: Random) -> Problem:
    """Quiet hours, a yard with hours of its own, a delivery and a date."""
    yard = Place("yard", hours=tuple((at(9, day), at(int(random.integers(12, 16)), day)) for day in range(3)))
    steps = (
        step(random, "plane", "desk", noisy=True, split=True, least_chunk=60, minutes=hours(random, 2, 5)),
        step(random, "spray", "desk", place="yard", not_before=at(int(random.integers(8, 16)))),
        step(random, "saw", "stool", noisy=True, place="yard", minutes=60),
        step(random, "wax", "stool", awaits=(Delivery("Wax", at(int(random.integers(8, 40)))),)),
    )
    quiet = ((at(9), at(11)), (at(15), at(17)), (at(8, 1), at(10, 1)))
    return replace(problem(random, *steps, links=(Link("plane", "spray"),)), places=(yard,), quiet=quiet)


def under_way(random: Random) -> Problem:
    """Ben is at a coat that he began an hour ago; it will be wet, on the rack and in the air; the scuff of a piece is near."""
    anna, ben = Person("anna"), Person("ben", hours=((at(9), at(12)), (at(14), at(17)), (at(8, 1), at(12, 1))))
    rack = Use("rack", 60, by_hour(random, 1, 6))
    scuff = Step("scuff", "slope", "Scuff", 60, dusty=bool(random.random() < 0.5))
    steps = (
        Step(
            "coat", "slope", "Coat", 120, started=at(9), people=("ben",), wet=Fixed(hours(random, 1, 4)), uses=(rack,)
        ),
        step(random, "next", "slope", minutes=60),
        step(random, "saw", "stand", dusty=True),
        step(random, "door", "press", minutes=60, uses=(replace(rack, hold=Fixed(60)),), fumes=Fixed(60)),
        step(random, "burn", "press", minutes=60, ignition=True),
    )
    links = (Link("coat", "next", "drying", Fixed(hours(random, 1, 3)), hours(random, 3, 7), scuff=scuff),)
    made = replace(problem(random, *steps, links=links), people=(anna, ben), hands=2, now=at(10))
    return replace(made, resources=(Resource("rack", "Rack", 100),))


def all_at_once(random: Random) -> Problem:
    """A little of everything in half hours, on two short days."""
    anna, ben = Person("anna"), Person("ben", hours=((at(8), at(11)), (at(9, 1), at(12, 1))))
    scuff = Step("scuff", "slope", "Scuff", 30, dusty=True)
    steps = (
        Step("strip", "slope", "Strip", 60, solvent=True, fumes=Fixed(60)),
        Step(
            "one", "slope", "Coat", 30, wet=Fixed(hours(random, 1, 2)), uses=(Use("rack", 60, by_hour(random, 1, 3)),)
        ),
        Step("two", "slope", "Coat again", 30, fit=((at(10), at(12)), (at(9, 1), at(12, 1))), fit_minutes=30),
        Step("door", "press", "Coat the door", 30, uses=(Use("rack", 60, Fixed(hours(random, 1, 2))),)),
        Step("burn", "press", "Burn in", 60, ignition=True, place=str(random.choice(("bench", "far")))),
    )
    links = (
        Link("strip", "one"),
        Link("one", "two", "drying", Fixed(60), 90, scuff=scuff),
        Link("burn", "door"),
    )
    short = tuple((at(8, day), at(12, day)) for day in range(3))
    places = (Place("bench", room="shop"), Place("far", room="shop"))
    made = replace(problem(random, *steps, links=links), people=(anna, ben), hands=2, places=places)
    return replace(made, working=short, slot_minutes=30, resources=(Resource("rack", "Rack", 100),))


KINDS: tuple[Callable[[Random], Problem], ...] = (
    two_coats,
    two_people,
    rack_and_clamps,
    vapour_and_fire,
    warm_hours,
    scuff_or_delay,
    long_past_coat,
    window_by_the_hour,
    quiet_and_closed,
    all_at_once,
    under_way,
)


def tiny_shop(kind: Callable[[Random], Problem], seed: int) -> Problem:
    """A tiny shop of this kind."""
    return kind(np.random.default_rng((seed, KINDS.index(kind))))


every_kind = pytest.mark.parametrize("kind", KINDS, ids=lambda kind: str(kind.__name__))


@every_kind
@pytest.mark.parametrize("seed", range(6))
def test_nothing_beats_the_planner(kind: Callable[[Random], Problem], seed: int) -> None:
    """The planner's plan is proven best, and is as good as the best of all."""
    tiny = tiny_shop(kind, seed)
    plan = solve(tiny, seconds=20)
    assert broken_rules(tiny, plan) == ()
    assert plan.status == "optimal"
    assert worth_of(tiny, plan) == best_of_all(tiny)


@pytest.mark.parametrize(
    ("kind", "seed"),
    [
        (all_at_once, 86),
        (scuff_or_delay, 14),
        (scuff_or_delay, 81),
        (long_past_coat, 64),
        (long_past_coat, 85),
    ],
)
def test_a_window_is_scuffed_rather_than_kept_where_that_is_better(
    kind: Callable[[Random], Problem], seed: int
) -> None:
    """Though the window could be kept, rubbing down costs less than waiting for it."""
    tiny = tiny_shop(kind, seed)
    plan = solve(tiny, seconds=20)
    assert broken_rules(tiny, plan) == ()
    assert plan.scuffed
    assert worth_of(tiny, plan) == best_of_all(tiny)


@every_kind
@pytest.mark.parametrize("seed", range(2))
def test_aims_that_come_after_cost_nothing(kind: Callable[[Random], Problem], seed: int) -> None:
    """A plan that people saw, however wild, and a wish to leave early make no plan worse that way."""
    random = np.random.default_rng(seed)
    tiny = tiny_shop(kind, seed)
    seen = {step.key: at(8 + int(random.integers(0, 9)), int(random.integers(0, 3))) for step in tiny.steps}
    tiny = replace(tiny, previous=seen, leave_early=True)
    plan = solve(tiny, seconds=20)
    assert broken_rules(tiny, plan) == ()
    assert worth_of(tiny, plan) == best_of_all(tiny)


@every_kind
def test_the_rule_checker_agrees_with_the_trial(kind: Callable[[Random], Problem]) -> None:
    """Of the best plan and of many plans thrown together, both say the same: all rules kept or not."""
    random = np.random.default_rng(1)
    kept = broken = 0
    for seed in range(6):
        tiny = tiny_shop(kind, seed)
        trial = Trial(tiny)
        trial.run()
        assert broken_rules(tiny, as_plan(tiny, trial.plan)) == ()
        for _ in range(60):
            puts = thrown(trial, random)
            right = keeps_all(trial, puts)
            assert (broken_rules(tiny, as_plan(tiny, puts)) == ()) == right
            kept, broken = kept + right, broken + (not right)
    assert min(kept, broken) >= 10


def thrown(trial: Trial, random: Random) -> dict[str, Put]:
    """The best plan with some of its steps put anywhere, the scuffs of missed windows among them."""
    steps = [step for step in trial.problem.steps if is_open(step)]
    puts = {step.key: trial.plan[step.key] for step in trial.problem.steps}
    for step in steps:
        if random.random() < 0.4:
            ways = trial.ways_of[step.key]
            puts[step.key] = ways[int(random.integers(len(ways)))]
    trial.put = puts
    for link in trial.problem.links:
        if link.scuff is not None and not trial.in_time(link):
            ways = trial.ways_of[link.scuff.key]
            near = [way for way in ways if way.end <= puts[link.then].start] or ways
            puts[link.scuff.key] = near[int(random.integers(len(near)))]
    return puts


def keeps_all(trial: Trial, puts: dict[str, Put]) -> bool:
    """Whether the trial finds no rule broken, adding one step after another."""
    trial.put = {key: put for key, put in puts.items() if not is_open(put.step)}
    for key, put in puts.items():
        if is_open(put.step) and not trial.may(put):
            return False
        trial.put[key] = put
    return all(trial.order_kept(link) for link in trial.problem.links)
