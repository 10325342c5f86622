"""Windows that are missed and made good by a scuff, and windows whose end depends on the hour."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from tallboy.planner.network import ByHour, Fixed, Link, Plan, Problem, Promise, Span, Step
from tallboy.planner.rules.broken import broken_rules
from tallboy.planner.solve import first_plan, solve

FRIDAY = datetime.fromisoformat("2031-03-28T13:00+00:00")
MONDAY = FRIDAY + timedelta(days=2, hours=19)
OPEN: tuple[Span, ...] = ((FRIDAY, FRIDAY + timedelta(hours=4)), (MONDAY, MONDAY + timedelta(hours=9)))
SCUFF = Step("scuff", "dresser", "Scuff the first coat", 30, dusty=True)
ONE = Step("one", "dresser", "First coat", 60)
TWO = Step("two", "dresser", "Second coat", 60)
LINK = Link("one", "two", "drying", Fixed(240), 24 * 60, scuff=SCUFF)


def shop(*steps: Step, links: tuple[Link, ...] = (LINK,), promises: tuple[Promise, ...] = ()) -> Problem:
    """Friday afternoon and Monday, one pair of hands."""
    return Problem(FRIDAY, steps or (ONE, TWO), links, promises, OPEN)


def solved(problem: Problem) -> Plan:
    """The best plan; it keeps every rule by the independent check."""
    plan = solve(problem, seconds=2)
    assert broken_rules(problem, plan) == ()
    assert plan.status == "optimal"
    return plan


def test_a_scuff_is_added_where_it_finishes_sooner() -> None:
    """Laid on Friday the first coat's window is over by Monday: half an hour of scuffing beats laying it on Monday."""
    plan = solved(shop())
    assert plan.steps["one"].start == FRIDAY
    assert plan.steps["scuff"].start == MONDAY
    assert plan.steps["two"].start == MONDAY + timedelta(minutes=30)
    assert [(one.first, one.step, one.scuff) for one in plan.scuffed] == [("one", "two", "scuff")]
    assert "Scuff the first coat" in plan.scuffed[0].text
    assert plan.missed_windows == ()


def test_a_window_that_can_be_kept_at_no_cost_needs_no_scuff() -> None:
    """With a long window the second coat follows on Monday as it is."""
    plan = solved(shop(links=(replace(LINK, most=4 * 24 * 60),)))
    assert set(plan.steps) == {"one", "two"}
    assert plan.scuffed == ()


def test_without_a_scuff_the_first_coat_waits() -> None:
    """The window is kept by laying both on Monday."""
    plan = solved(shop(links=(replace(LINK, scuff=None),)))
    assert plan.steps["one"].start == MONDAY
    assert plan.steps["two"].start == MONDAY + timedelta(hours=5)


def test_a_window_lost_by_a_coat_that_is_laid_is_scuffed() -> None:
    """What was done on Thursday cannot be moved; the scuff comes first."""
    laid = replace(ONE, done=(FRIDAY - timedelta(hours=26), FRIDAY - timedelta(hours=25)))
    plan = solved(shop(laid, TWO))
    assert plan.steps["scuff"].start == FRIDAY
    assert plan.steps["two"].start == FRIDAY + timedelta(minutes=30)


def test_a_lost_window_without_a_scuff_is_told() -> None:
    """As before: the plan is made all the same, and says so."""
    laid = replace(ONE, done=(FRIDAY - timedelta(hours=26), FRIDAY - timedelta(hours=25)))
    plan = solved(shop(laid, TWO, links=(replace(LINK, scuff=None),)))
    assert [(missed.first, missed.step) for missed in plan.missed_windows] == [("one", "two")]


def test_a_scuff_keeps_the_rules_of_any_step() -> None:
    """It raises dust: another piece's wet coat in the same place sends it on, and the second coat with it."""
    laid = replace(ONE, done=(FRIDAY - timedelta(hours=26), FRIDAY - timedelta(hours=25)))
    wet = Step("flap", "slope", "Coat on the flap", 60, wet=Fixed(0), done=(FRIDAY - timedelta(hours=1), FRIDAY))
    problem = shop(laid, TWO, replace(wet, wet=Fixed(90)))
    plan = solved(problem)
    assert plan.steps["scuff"].start == FRIDAY + timedelta(minutes=90)
    assert plan.steps["scuff"].reason.rule == "dust"


def test_a_scuff_is_planned_where_people_saw_it() -> None:
    """A second plan for the same shop changes nothing."""
    plan = first_plan(shop())
    again = solve(replace(shop(), previous={key: planned.start for key, planned in plan.steps.items()}), seconds=2)
    assert again.steps.keys() == plan.steps.keys()


def test_a_promise_is_worth_a_scuff() -> None:
    """Only with it is the piece ready on Monday morning."""
    by = MONDAY + timedelta(minutes=90)
    assert solved(shop(promises=(Promise("dresser", by),))).promises[0].late_minutes == 0


def test_the_end_of_a_window_depends_on_the_hour() -> None:
    """Laid from two on, the air is cool enough for the window to last into Monday."""
    most = ByHour(FRIDAY, (24 * 60, 4 * 24 * 60, 4 * 24 * 60, 24 * 60))
    plan = solved(shop(links=(replace(LINK, most=most, scuff=None),)))
    assert plan.steps["one"].end == FRIDAY + timedelta(hours=1)
    assert plan.steps["two"].start == MONDAY
    short = ByHour(FRIDAY, (24 * 60, 24 * 60, 4 * 24 * 60, 24 * 60))
    plan = solved(shop(links=(replace(LINK, most=short, scuff=None),)))
    assert plan.steps["one"].end == FRIDAY + timedelta(hours=2)
    assert plan.steps["one"].reason.rule == "window"
