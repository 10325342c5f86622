"""Plans of random shops keep every rule; promises, slips, windows and hours changes are handled as documented."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from bench.shared.shops import MONDAY, a_shop, later, untouched, working_hours
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tallboy.planner.network import ByHour, Fixed, Link, Plan, Problem, Promise, Step
from tallboy.planner.rules.broken import broken_rules
from tallboy.planner.solve import first_plan, solve

EIGHT = MONDAY + timedelta(hours=8)


def small_shop(seed: int) -> Problem:
    """A shop that is solved in a blink, of changing size and hands."""
    return a_shop(seed, pieces=1 + seed % 3, steps=4 + seed % 5, hands=1 + seed % 2, days=28)


@pytest.mark.parametrize("block", range(10))
def test_plans_of_random_shops_keep_every_rule(block: int) -> None:
    """200 random shops, planned and then planned again in the middle after a slip, pass the independent checker."""
    for seed in range(block * 20, block * 20 + 20):
        problem = small_shop(seed)
        plan = solve(problem, seconds=0.5)
        assert broken_rules(problem, plan) == (), seed
        slipped = tuple(step.key for step in problem.steps[seed % 4 :: 4])
        again = later(problem, plan, problem.now + timedelta(days=seed % 6, hours=3, minutes=7), slipped, 95)
        assert broken_rules(again, solve(again, seconds=0.5)) == (), seed


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True)
@given(st.integers(0, 10**6), st.integers(1, 5), st.integers(3, 20), st.integers(1, 3))
def test_first_plan_is_always_valid(seed: int, pieces: int, steps: int, hands: int) -> None:
    """The greedy plan alone keeps every rule, whatever the shop."""
    problem = a_shop(seed, pieces=pieces, steps=steps, hands=hands, days=90)
    plan = first_plan(problem)
    assert plan.status == "first"
    assert broken_rules(problem, plan) == ()


def weighted(problem: Problem, plan: Plan) -> int:
    weights = {promise.piece: promise.weight for promise in problem.promises}
    return sum(kept.late_minutes * weights[kept.piece] for kept in plan.promises)


def test_solved_plan_is_never_worse_than_the_first() -> None:
    """Lateness first, then cost: the solver only improves."""
    for seed in range(6):
        problem = a_shop(seed, pieces=3, steps=8)
        first, best = first_plan(problem), solve(problem, seconds=1)
        assert (weighted(problem, best), best.cost) <= (weighted(problem, first), first.cost)
        assert best.bound <= best.cost
        assert 0 <= best.gap <= 1


def test_same_seed_same_plan() -> None:
    """One worker, the same problem and seed: the same plan."""
    problem = a_shop(3, pieces=2, steps=6)
    one, two = solve(problem, seconds=20), solve(problem, seconds=20)
    assert one.status == "optimal"
    assert one.steps == two.steps


def test_promise_that_cannot_be_kept_still_gets_a_plan() -> None:
    """The plan says by how many minutes the promise is missed."""
    steps = (Step("strip", "dresser", "Strip", 120), Step("coat", "dresser", "Coat", 60))
    links = (Link("strip", "coat", "drying", Fixed(240)),)
    promise = Promise("dresser", EIGHT + timedelta(hours=2))
    plan = solve(Problem(EIGHT, steps, links, (promise,), working_hours(MONDAY, 3)))
    assert plan.status == "optimal"
    assert plan.promises[0].finish == EIGHT + timedelta(hours=7)
    assert plan.promises[0].late_minutes == 300


def test_the_heavier_promise_is_kept() -> None:
    """When only one of two promises can be kept, weight decides."""
    for heavy in ("slope", "stand"):
        steps = tuple(Step(piece, piece, f"Wax the {piece}", 120) for piece in ("slope", "stand"))
        by = EIGHT + timedelta(hours=2)
        promises = tuple(Promise(piece, by, 3 if piece == heavy else 1) for piece in ("slope", "stand"))
        plan = solve(Problem(EIGHT, steps, (), promises, working_hours(MONDAY, 1)))
        assert {kept.piece: kept.late_minutes == 0 for kept in plan.promises}[heavy]


def test_waits_are_used() -> None:
    """While one coat dries the other piece is worked on."""
    steps = tuple(Step(f"{p}{k}", p, f"{p} {k}", 60) for p in ("slope", "stand") for k in (1, 2))
    links = tuple(Link(f"{p}1", f"{p}2", "drying", Fixed(60)) for p in ("slope", "stand"))
    plan = solve(Problem(EIGHT, steps, links, (), working_hours(MONDAY, 1)))
    assert plan.status == "optimal"
    assert max(planned.end for planned in plan.steps.values()) == EIGHT + timedelta(hours=4)


def test_slip_keeps_what_happened_and_most_of_the_rest() -> None:
    """After a step took an hour longer, done and running steps are as they were; four in five of those not after it stay."""
    stayed = total = 0
    for seed in range(8):
        problem = a_shop(seed, pieces=3, steps=10, hands=2)
        plan = solve(problem, seconds=20)
        now = problem.now + timedelta(days=2, hours=4)
        slipped = max((p for p in plan.steps.values() if p.start < now), key=lambda planned: planned.start).key
        again = later(problem, plan, now, (slipped,), 60)
        new = solve(again, seconds=20)
        assert broken_rules(again, new) == ()
        facts = [step.key for step in again.steps if step.started is not None]
        assert all(new.steps[key].start == plan.steps[key].start for key in facts)
        rest = untouched(again, slipped)
        total += len(rest)
        stayed += sum(new.steps[key].start == plan.steps[key].start for key in rest)
    assert total > 40
    assert stayed / total >= 0.8


def test_nothing_changes_when_nothing_happened() -> None:
    """Planned again at once from the plan people saw, every step stays."""
    problem = a_shop(5, pieces=2, steps=8)
    plan = solve(problem, seconds=5)
    again = replace(problem, previous={key: planned.start for key, planned in plan.steps.items()})
    new = solve(again, seconds=5)
    assert {k: v.start for k, v in new.steps.items()} == {k: v.start for k, v in plan.steps.items()}


def test_window_that_reality_closed_is_told_and_dropped() -> None:
    """The coat was laid last week: the next one comes anyway, and the plan says that its window has closed."""
    laid = EIGHT - timedelta(days=5)
    coat = Step("one", "slope", "First coat", 30, done=(laid, laid + timedelta(minutes=30)))
    then = Step("two", "slope", "Second coat", 30)
    problem = Problem(
        EIGHT, (coat, then), (Link("one", "two", "drying", Fixed(240), 2880),), (), working_hours(MONDAY, 2)
    )
    plan = solve(problem)
    assert [(missed.first, missed.step) for missed in plan.missed_windows] == [("one", "two")]
    assert "window has closed" in plan.missed_windows[0].text
    assert plan.steps["two"].start == EIGHT
    assert broken_rules(problem, plan) == ()


def test_window_still_open_is_kept_against_a_promise() -> None:
    """A window that can still be met comes before a promise of another piece."""
    laid = EIGHT - timedelta(minutes=30)
    coat = Step("one", "slope", "First coat", 30, done=(laid, EIGHT))
    steps = (coat, Step("two", "slope", "Second coat", 60), Step("rush", "stand", "Wax the stand", 120))
    links = (Link("one", "two", "drying", Fixed(30), 90),)
    promise = Promise("stand", EIGHT + timedelta(hours=2), 9)
    problem = Problem(EIGHT, steps, links, (promise,), working_hours(MONDAY, 1))
    plan = solve(problem)
    assert plan.missed_windows == ()
    assert plan.steps["two"].start <= EIGHT + timedelta(minutes=90)
    assert plan.promises[0].late_minutes > 0


def test_first_coat_waits_so_that_the_second_meets_its_window() -> None:
    """A coat that must be followed within four hours is not laid just before the shop closes."""
    steps = (Step("prep", "slope", "Rub down", 235), Step("one", "slope", "Size", 60), Step("two", "slope", "Glue", 60))
    links = (Link("prep", "one"), Link("one", "two", "soak", Fixed(150), 240))
    problem = Problem(EIGHT, steps, links, (), working_hours(MONDAY, 2))
    for plan in (first_plan(problem), solve(problem)):
        assert plan.missed_windows == ()
        assert broken_rules(problem, plan) == ()
        assert plan.steps["one"].start == EIGHT + timedelta(days=1)
        assert plan.steps["one"].reason.rule == "window"


def test_night_with_a_change_of_the_clock_keeps_its_length() -> None:
    """A wait of 16 hours over the night in which clocks go forward ends at the true hour."""
    saturday = MONDAY + timedelta(days=5)
    now = saturday.replace(hour=16)
    steps = (Step("one", "slope", "First coat", 60), Step("two", "slope", "Second coat", 60))
    hours = working_hours(saturday, 3, weekend=True)
    problem = Problem(now, steps, (Link("one", "two", "drying", Fixed(16 * 60)),), (), hours)
    plan = solve(problem)
    assert plan.steps["two"].start == (saturday + timedelta(days=1)).replace(hour=10)
    assert broken_rules(problem, plan) == ()


def test_coat_before_a_cold_night_waits_longer() -> None:
    """Laid at four the second coat can only follow next noon; laid at eight it follows the same day."""
    wait = ByHour(MONDAY, tuple(240 if 7 <= hour % 24 <= 13 else 1140 for hour in range(96)))
    steps = (Step("one", "slope", "First coat", 60), Step("two", "slope", "Second coat", 60))
    links = (Link("one", "two", "drying", wait),)
    for hour, expected in ((8, timedelta(hours=13)), (16, timedelta(days=1, hours=13))):
        now = MONDAY + timedelta(hours=hour)
        plan = solve(Problem(now, steps, links, (), working_hours(MONDAY, 4)))
        assert plan.steps["two"].start == MONDAY + expected


def test_everything_done_is_a_plan_too() -> None:
    """A shop with nothing left to do gets a plan that says what was done."""
    done = Step("one", "slope", "First coat", 30, done=(EIGHT - timedelta(hours=1), EIGHT))
    plan = solve(Problem(EIGHT, (done,), (), (Promise("slope", EIGHT),), ()))
    assert (plan.status, plan.steps["one"].reason.rule, plan.promises[0].late_minutes) == ("optimal", "done", 0)


def test_nothing_to_do_is_a_plan_too() -> None:
    """An empty shop gets an empty plan."""
    plan = solve(Problem(EIGHT, (), (), (), ()))
    assert (plan.status, plan.steps, plan.cost, plan.gap) == ("optimal", {}, 0, 0)


def test_two_steps_begun_by_one_person_are_taken_as_they_are() -> None:
    """Reality may break a rule: both keep their start, and the next step waits until the hands are free."""
    begun = tuple(
        Step(key, "slope", key, 60, started=EIGHT - timedelta(minutes=m)) for key, m in (("a", 10), ("b", 20))
    )
    problem = Problem(EIGHT, (*begun, Step("c", "slope", "Next", 30)), (), (), working_hours(MONDAY, 1))
    plan = solve(problem)
    assert broken_rules(problem, plan) == ()
    assert plan.steps["c"].start == EIGHT + timedelta(minutes=50)
    assert plan.steps["a"].running
    assert plan.steps["c"].reason.rule == "hands"
    assert set(plan.steps["c"].reason.because) == {"a"}


def test_solver_out_of_time_still_gives_the_first_plan() -> None:
    """With hardly any time the plan is valid all the same."""
    problem = a_shop(2, pieces=6, steps=20)
    plan = solve(problem, seconds=0.01)
    assert broken_rules(problem, plan) == ()
    assert plan.status == "good"


def test_a_step_seen_at_the_start_of_a_day_moves_when_the_day_before_became_free() -> None:
    """The hour before opening is closed, but that alone does not keep a step that could begin the afternoon before."""
    tuesday = EIGHT + timedelta(days=1)
    problem = Problem(
        now=EIGHT,
        steps=(
            Step("rub", "dresser", "Rub down", 30),
            Step("coat", "dresser", "Brush on a coat", 30, not_before=tuesday + timedelta(hours=2)),
        ),
        links=(Link("rub", "coat"),),
        promises=(),
        working=tuple((day, day + timedelta(hours=4)) for day in (EIGHT, tuesday)),
        previous={"rub": tuesday},
    )
    assert solve(problem, seconds=0.5).steps["rub"].start == EIGHT
