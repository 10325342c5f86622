"""What would save a missed promise is found by planning with it, and is the least that does."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

import pytest
from bench.shared.shops import MONDAY, a_full_shop, a_shop, working_hours

from tallboy.planner.network import Fixed, Kept, Link, Plan, Problem, Promise, Step
from tallboy.planner.rules.broken import broken_rules
from tallboy.planner.solve import solve
from tallboy.planner.what_if.rescue import Rescue, added_minutes, rescues, usual_changes
from tallboy.planner.what_if.variants import Change, Helper, OpenDays, OtherWaits, Overtime, PutFirst

EIGHT = MONDAY + timedelta(hours=8)
FIVE = MONDAY + timedelta(hours=17)


def rescued(problem: Problem, changes: Sequence[Change] | None = None, seconds: float = 4.0) -> tuple[Plan, Rescue]:
    """The plan and what would save its only missed promise."""
    plan = solve(problem, seconds=2)
    missed = [kept for kept in plan.promises if kept.late_minutes]
    assert len(missed) == 1
    piece = missed[0].piece
    tried = {piece: usual_changes(problem, missed[0]) if changes is None else changes}
    return plan, rescues(problem, plan, tried, seconds=seconds)[0]


def work(piece: str, hours: int) -> tuple[Step, ...]:
    """As many steps of one hour each, in any order."""
    return tuple(Step(f"{piece}{k}", piece, f"Mend {k} of the {piece}", 60) for k in range(hours))


def one_piece(hours: int, days: int = 5) -> Problem:
    """A piece with so many hours of work, promised for Monday at midnight; one pair of hands."""
    promise = Promise("stand", MONDAY + timedelta(hours=23, minutes=55))
    return Problem(EIGHT, work("stand", hours), (), (promise,), working_hours(MONDAY, days), 1)


@pytest.mark.parametrize(("hours", "overtime"), [(9, 1), (10, 2)])
def test_the_least_overtime_that_does_is_named(hours: int, overtime: int) -> None:
    """Nine hours of work in a day of eight need one hour more, ten need two; each is all used."""
    problem = one_piece(hours)
    plan, rescue = rescued(problem)
    best = next(saver for saver in rescue.savers if saver.change.kind == "overtime")
    assert best.change == Overtime(overtime, rescue.missed.by)
    assert best.used_minutes == overtime * 60
    assert best.trouble.hours == overtime
    assert rescue.missed == plan.promises[0]


def test_a_helper_saves_and_its_work_is_counted() -> None:
    """Twelve hours of work in a day of eight: no overtime up to two hours does, a helper does and works four of them at least."""
    _, rescue = rescued(one_piece(12))
    assert [saver.change.kind for saver in rescue.savers] == ["a helper"]
    assert 240 <= rescue.savers[0].used_minutes <= 480
    assert {tried.change.kind for tried in rescue.in_vain} == {"put first", "overtime"}


def test_another_day_saves() -> None:
    """Promised for Saturday night with more work than a week holds: the Saturday does it."""
    promise = Promise("stand", MONDAY + timedelta(days=5, hours=23))
    problem = Problem(EIGHT, work("stand", 44), (), (promise,), working_hours(MONDAY, 14), 1)
    _, rescue = rescued(problem, [OpenDays(((MONDAY + timedelta(days=5)).date(),)), Overtime(1, promise.by)])
    assert [saver.change.kind for saver in rescue.savers] == ["overtime", "another day"]
    day = rescue.savers[1]
    assert day.used_minutes == 240


def test_a_faster_product_saves_and_asks_no_hours() -> None:
    """Two coats that dry for six hours cannot both be on in a day; with two hours they can."""
    steps = (
        Step("one", "slope", "First coat", 60),
        Step("two", "slope", "Second coat", 60),
        Step("rub", "slope", "Rub", 60),
    )
    links = (Link("one", "two", "drying", Fixed(360)), Link("two", "rub", "drying", Fixed(240)))
    problem = Problem(EIGHT, steps, links, (Promise("slope", FIVE),), working_hours(MONDAY, 5), 1)
    quick = replace(problem, links=tuple(replace(link, least=Fixed(120)) for link in links))
    _, rescue = rescued(problem, [Overtime(2, FIVE), OtherWaits("the quick varnish", quick)])
    assert [saver.change.name for saver in rescue.savers] == ["the quick varnish"]
    assert rescue.savers[0].used_minutes == 0
    assert [tried.change.kind for tried in rescue.in_vain] == ["overtime"]


def test_put_first_tells_whom_it_harms() -> None:
    """Two pieces and a day too short for both: the heavier promise is kept, the other can be put first at its cost."""
    promises = (Promise("stand", FIVE, 3), Promise("slope", FIVE))
    problem = Problem(EIGHT, work("stand", 5) + work("slope", 5), (), promises, working_hours(MONDAY, 5), 1)
    _, rescue = rescued(problem)
    first = next(saver for saver in rescue.savers if saver.change.kind == "put first")
    assert rescue.missed.piece == "slope"
    assert [(effect.piece, effect.before.late_minutes) for effect in first.effects] == [("stand", 0)]
    assert first.effects[0].after.late_minutes > 0


def test_a_pair_is_tried_when_nothing_single_saves() -> None:
    """Eighteen hours of work: a helper is too little, two hours of overtime are too little, one hour of both just does."""
    _, rescue = rescued(one_piece(18))
    assert [saver.change.kind for saver in rescue.savers] == ["together"]
    assert (
        rescue.savers[0].change.name
        == "1 h of overtime every working day until Mon 24 Mar and a helper until Mon 24 Mar"
    )
    assert rescue.savers[0].used_minutes == 600


def test_what_nothing_can_save_says_so_and_names_the_earliest_date() -> None:
    """A glue joint that must set for two days is not ready on the same day, whoever works; the earliest date is that of the wait."""
    steps = (Step("glue", "stand", "Glue the foot", 60), Step("out", "stand", "Out of the clamps", 30))
    link = Link("glue", "out", "clamps", Fixed(2 * 24 * 60))
    problem = Problem(EIGHT, steps, (link,), (Promise("stand", FIVE),), working_hours(MONDAY, 5), 1)
    _, rescue = rescued(problem)
    assert rescue.savers == ()
    assert {tried.change.kind for tried in rescue.in_vain} >= {"put first", "overtime", "a helper"}
    assert rescue.earliest == MONDAY + timedelta(days=2, hours=9, minutes=30)


def test_kept_promises_need_no_rescue() -> None:
    """Nothing is missed, nothing is told."""
    problem = one_piece(3)
    plan = solve(problem)
    assert rescues(problem, plan, {"stand": [Helper()]}) == ()


@dataclass(frozen=True)
class LateShop:
    """A random shop, its plan, a promise that it misses, what was tried for it and what came of that."""

    problem: Problem
    plan: Plan
    missed: Kept
    changes: tuple[Change, ...]
    rescue: Rescue


def late_shop(seed: int) -> LateShop | None:
    """A random shop whose promises are tightened somewhat; None when it keeps them all the same.

    Every other one asks everything of the planner: people with skills, places, quiet, air, deliveries, clamps, blocked steps.
    """
    shop = a_shop(seed, pieces=4, steps=5, hands=1, days=28) if seed % 2 else a_full_shop(seed, pieces=3, steps=5)
    finishes = solve(shop, seconds=1).promises
    tight = tuple(Promise(kept.piece, kept.finish - timedelta(hours=2)) for kept in finishes)
    problem = replace(shop, promises=tight)
    plan = solve(problem, seconds=1)
    missed = next((kept for kept in plan.promises if kept.late_minutes and kept.by > problem.now), None)
    if missed is None:
        return None
    changes = usual_changes(problem, missed)
    return LateShop(problem, plan, missed, changes, rescues(problem, plan, {missed.piece: changes}, seconds=2)[0])


@pytest.fixture(scope="module")
def late_shops() -> list[LateShop]:
    """Those of sixteen random shops that miss a promise."""
    return [shop for shop in map(late_shop, range(16)) if shop is not None]


def test_enough_shops_are_late_and_enough_of_them_can_be_saved(late_shops: list[LateShop]) -> None:
    """The tests below would be empty otherwise."""
    assert len(late_shops) >= 10
    assert sum(bool(shop.rescue.savers) for shop in late_shops) >= 4


def test_random_late_shops_are_really_saved_by_what_is_named(late_shops: list[LateShop]) -> None:
    """Each change that is said to save has a plan that keeps every rule and the promise."""
    for shop in late_shops:
        for saver in shop.rescue.savers:
            assert broken_rules(saver.change.on(shop.problem), saver.plan) == ()
            kept = {kept.piece: kept for kept in saver.plan.promises}
            assert kept[shop.missed.piece].late_minutes == 0


def test_the_named_amount_is_the_smallest_of_its_kind(late_shops: list[LateShop]) -> None:
    """All that is smaller and of the same kind was tried in vain, and the savers come the least troublesome first."""
    for shop in late_shops:
        savers = list(shop.rescue.savers)
        in_vain = {tried.change for tried in shop.rescue.in_vain}
        for saver in savers:
            same = [change for change in shop.changes if change.kind == saver.change.kind]
            assert {change for change in same if change.trouble(shop.problem) < saver.trouble} <= in_vain
        assert savers == sorted(savers, key=lambda saver: saver.trouble)
        assert not any(tried.saves for tried in shop.rescue.in_vain)


def test_a_late_shop_that_cannot_be_saved_names_a_date_after_its_promise(late_shops: list[LateShop]) -> None:
    """The earliest date is later than the promise, and no later than the piece is finished now."""
    for shop in late_shops:
        if not shop.rescue.savers:
            assert shop.missed.by < shop.rescue.earliest <= shop.missed.finish


def test_added_minutes_are_those_outside_the_old_hours() -> None:
    """A plan without any change adds nothing; one that works two Saturday hours adds those."""
    problem = one_piece(8)
    assert added_minutes(problem, problem, solve(problem)) == 0
    assert added_minutes(problem, PutFirst("stand").on(problem), solve(problem)) == 0
    saturday = replace(problem, working=working_hours(MONDAY + timedelta(days=5), 1, weekend=True))
    assert added_minutes(problem, saturday, solve(saturday)) == 480
