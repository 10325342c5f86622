"""Problems that cannot be planned are refused with a plain message; times are put into whole slots."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from bench.shared.shops import MONDAY, working_hours

from tallboy.errors import BadInput, NoPlan
from tallboy.planner.network import ByHour, Fixed, Link, Problem, Promise, Resource, Step, Use
from tallboy.planner.slots.build import build
from tallboy.planner.slots.grid import wait_minutes, wait_table

EIGHT = MONDAY + timedelta(hours=8)
STRIP = Step("strip", "dresser", "Strip the top", 60)
COAT = Step("coat", "dresser", "First coat", 30)


def a_problem(*steps: Step, links: tuple[Link, ...] = (), days: int = 5) -> Problem:
    return Problem(EIGHT, steps, links, (), working_hours(MONDAY, days))


BAD = {
    "unknown key": (a_problem(STRIP, links=(Link("strip", "varnish"),)), "varnish"),
    "circle": (
        a_problem(STRIP, COAT, links=(Link("strip", "coat"), Link("coat", "strip"))),
        "Strip the top.*First coat|First coat.*Strip the top",
    ),
    "latest before earliest": (
        a_problem(STRIP, COAT, links=(Link("strip", "coat", "drying", Fixed(300), 200),)),
        "300 minutes.*within 200",
    ),
    "too long": (a_problem(replace(STRIP, minutes=300)), "300 minutes.*longest stretch.*240"),
    "too many hands": (a_problem(replace(STRIP, hands=2)), "needs 2 hands"),
    "no time": (a_problem(replace(STRIP, minutes=0)), "takes 0 minutes"),
    "twice": (a_problem(STRIP, STRIP), "given twice"),
    "begun tomorrow": (a_problem(replace(STRIP, started=EIGHT + timedelta(days=1))), "begun in the future"),
    "done backwards": (a_problem(replace(STRIP, done=(EIGHT, EIGHT - timedelta(hours=1)))), "said to be done"),
    "empty wait": (a_problem(replace(STRIP, wet=ByHour(EIGHT, ()))), "empty or negative"),
    "no zone": (a_problem(replace(STRIP, not_before=datetime(2031, 3, 25))), "time zone"),  # noqa: DTZ001 - the fault under test
    "promise for nothing": (replace(a_problem(STRIP), promises=(Promise("hat", EIGHT),)), "no steps"),
    "hours backwards": (replace(a_problem(STRIP), working=((EIGHT, MONDAY),)), "end before they begin"),
    "a crowd": (replace(a_problem(STRIP), hands=1000), "1000 hands.*200 or fewer"),
    "clamps without end": (
        replace(a_problem(STRIP), resources=(Resource("clamps", "clamps", 10**12),)),
        "1000000000000 of clamps",
    ),
    "takes clamps without end": (
        replace(
            a_problem(replace(STRIP, done=(MONDAY, EIGHT), uses=(Use("clamps", 10**12),))),
            resources=(Resource("clamps", "clamps", 2),),
        ),
        "uses 1000000000000 of clamps",
    ),
    "held for ever": (
        replace(
            a_problem(replace(STRIP, uses=(Use("clamps", 1, Fixed(10**12)),))),
            resources=(Resource("clamps", "clamps", 2),),
        ),
        "ten years",
    ),
    "dry in a thousand years": (
        a_problem(STRIP, COAT, links=(Link("strip", "coat", least=Fixed(10**15)),)),
        "ten years",
    ),
    "years of work": (a_problem(replace(STRIP, minutes=10**15, split=True)), "take years"),
    "far date": (a_problem(replace(STRIP, not_before=datetime(9999, 12, 31, tzinfo=UTC))), "the year 9999"),
    "old promise": (
        replace(a_problem(STRIP), promises=(Promise("dresser", datetime.min.replace(tzinfo=UTC)),)),
        "the year 1",
    ),
    "all the weight": (
        replace(a_problem(STRIP), promises=(Promise("dresser", EIGHT, 10**15),)),
        "the weight 1000000000000000",
    ),
    "wait unsure": (a_problem(STRIP, COAT, links=(Link("strip", "coat", spread=float("nan")),)), "the spread nan"),
    "time unsure": (a_problem(replace(STRIP, spread=1e300)), "spread by 1e.300 minutes"),
    "scuff begun": (
        a_problem(STRIP, COAT, links=(Link("strip", "coat", most=60, scuff=replace(COAT, key="dull", started=EIGHT)),)),
        "has begun already",
    ),
}


@pytest.mark.parametrize("name", BAD)
def test_bad_problem_is_refused_in_plain_words(name: str) -> None:
    """What cannot be used is named."""
    problem, words = BAD[name]
    with pytest.raises(BadInput, match=words):
        build(problem)


def test_circle_names_only_the_steps_in_it() -> None:
    """A step that merely leads into the circle is left out of the message."""
    third = Step("wax", "dresser", "Wax the top", 20)
    links = (Link("strip", "coat"), Link("coat", "wax"), Link("wax", "coat"))
    with pytest.raises(BadInput, match="circle") as caught:
        build(a_problem(STRIP, COAT, third, links=links))
    assert "Strip" not in caught.value.message


def test_no_working_hours_is_no_plan() -> None:
    """Without hours there is no plan, and the rule is named."""
    with pytest.raises(NoPlan, match="no working hours") as caught:
        build(a_problem(STRIP, days=0))
    assert caught.value.rules == ("hours",)
    assert caught.value.steps == ("strip",)


def test_hours_that_touch_are_one_stretch() -> None:
    """A step may run across the seam of two spans that touch."""
    hours = ((EIGHT, EIGHT + timedelta(hours=2)), (EIGHT + timedelta(hours=2), EIGHT + timedelta(hours=4)))
    grid = build(replace(a_problem(replace(STRIP, minutes=240)), working=hours))
    assert [(w.lo, w.hi) for w in grid.tasks[0].ways[0].windows] == [(0, 0)]


def test_slots_round_safely() -> None:
    """Steps and waits are rounded up, never down; latest times down, never up."""
    links = (Link("strip", "coat", "drying", Fixed(61), 122),)
    grid = build(a_problem(replace(STRIP, minutes=61), COAT, links=links))
    assert grid.tasks[0].slots == 13
    assert grid.lags[0].wait.at(0) == 13
    assert grid.lags[0].most is not None
    assert grid.lags[0].most.at(0) == 24


def test_wait_by_hour_matches_its_slots() -> None:
    """At every slot the table in slots gives the minutes of the hour of that end, rounded up."""
    wait = ByHour(EIGHT - timedelta(hours=2, minutes=20), (100, 100, 45, 240, 241))
    grid = build(a_problem(STRIP))
    table = wait_table(wait, grid.clock)
    for slot in range(-60, 120):
        assert table.at(slot) == -(-wait_minutes(wait, grid.clock.time(slot)) // 5)


def test_split_step_is_cut_only_where_the_hours_end() -> None:
    """Every start leaves chunks of at least the least length on both sides of a break."""
    step = replace(STRIP, minutes=300, split=True, least_chunk=45)
    grid = build(a_problem(step, days=1))
    starts = [grid.clock.time(s) for w in grid.tasks[0].ways[0].windows for s in range(w.lo, w.hi + 1)]
    assert min(starts) == EIGHT
    assert max(starts) == EIGHT + timedelta(hours=3)
    assert {w.gap for w in grid.tasks[0].ways[0].windows} == {12}


@pytest.mark.parametrize(
    ("started", "now", "split", "end"),
    [
        (timedelta(0), timedelta(minutes=30), False, timedelta(minutes=60)),
        (timedelta(0), timedelta(minutes=90), False, timedelta(minutes=95)),
        (timedelta(hours=3, minutes=30), timedelta(hours=3, minutes=45), False, timedelta(hours=4, minutes=30)),
        (timedelta(hours=3, minutes=30), timedelta(hours=3, minutes=45), True, timedelta(hours=5, minutes=30)),
        (timedelta(hours=8, minutes=30), timedelta(hours=23), False, timedelta(hours=24, minutes=30)),
        (timedelta(hours=11), timedelta(hours=11, minutes=20), False, timedelta(hours=12)),
    ],
    ids=["runs", "runs over", "through lunch", "split at lunch", "left overnight", "begun in the evening"],
)
def test_running_step_ends_when_the_rest_is_done(
    started: timedelta, now: timedelta, split: bool, end: timedelta
) -> None:
    """A step of an hour that has begun: what is left is done from now on, at least one slot of it."""
    step = replace(STRIP, started=EIGHT + started, split=split)
    problem = replace(a_problem(step), now=EIGHT + now)
    fact = build(problem).tasks[0].fact
    assert fact is not None
    assert fact.start == EIGHT + started
    assert fact.end == EIGHT + end
