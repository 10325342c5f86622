"""The chain of reasons of a step: it always ends, and every link of it is true by the problem and the plan."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

from bench.shared.shops import MONDAY, a_full_shop, a_shop, working_hours
from tests.planner.planner_made import at, plan_at

from tallboy.planner.network import Fixed, Link, Plan, Planned, Problem, Reason, Step
from tallboy.planner.slots.grid import wait_minutes
from tallboy.planner.solve import first_plan, solve
from tallboy.planner.why.chain import CLOSED, Why, chain

SLOT = timedelta(minutes=5)
# Rules whose reason names the steps that hold, and what must be true of a step and one that it names.
Holds = Callable[[Problem, Plan, Planned, Planned], bool]


def before_of(problem: Problem, plan: Plan) -> dict[str, dict[str, datetime]]:
    """For each step those that links put before it, and when each of their waits is over."""
    found: dict[str, dict[str, datetime]] = {}
    for link in problem.links:
        if link.first in plan.steps:
            end = plan.steps[link.first].end
            over = end.astimezone(UTC) + timedelta(minutes=wait_minutes(link.least, end))
            found.setdefault(link.then, {})[link.first] = over
    return found


def plans() -> Iterator[tuple[Problem, Plan]]:
    for seed in range(30):
        problem = a_full_shop(seed)
        yield problem, first_plan(problem, seed=seed)
        problem = a_shop(seed, pieces=3, steps=7, hands=1 + seed % 3)
        yield problem, first_plan(problem, seed=seed)
    problem = a_shop(7, pieces=2, steps=6, hands=2)
    yield problem, solve(problem, seconds=1)


def linked(problem: Problem, _plan: Plan, step: Planned, other: Planned) -> bool:
    """A link of the problem joins them."""
    return any({link.first, link.then} == {step.key, other.key} for link in problem.links) or _by_scuff(
        problem, step, other
    )


def _by_scuff(problem: Problem, step: Planned, other: Planned) -> bool:
    """One of them is the scuff of a link to the other."""
    scuffs = {link.scuff.key: link for link in problem.links if link.scuff is not None}
    return any(
        one.key in scuffs and two.key in (scuffs[one.key].first, scuffs[one.key].then)
        for one, two in ((step, other), (other, step))
    )


def at_it_before(problem: Problem, _plan: Plan, step: Planned, other: Planned) -> bool:
    """The other one keeps hands that the step needs, while it would have been done a slot earlier."""
    start, end = step.start - SLOT, step.end - SLOT
    return _meet(other.start, other.end, start, end)


def _meet(a: datetime, b: datetime, start: datetime, end: datetime) -> bool:
    return a.astimezone(UTC) < end.astimezone(UTC) and start.astimezone(UTC) < b.astimezone(UTC)


def same_place(problem: Problem, _plan: Plan, step: Planned, other: Planned) -> bool:
    """One raises dust where the other is wet."""
    steps = {one.key: one for one in problem.steps} | {
        link.scuff.key: link.scuff for link in problem.links if link.scuff is not None
    }
    one, two = steps[step.key], steps[other.key]
    wet = {one.dusty and two.wet is not None, two.dusty and one.wet is not None}
    return one.place == two.place and True in wet


TRUE: dict[str, Holds] = {
    "wait": linked,
    "order": linked,
    "window": linked,
    "hands": at_it_before,
    "dust": same_place,
}


def test_every_chain_ends_and_every_link_is_true() -> None:
    """Over shops that use every rule: no step twice, each link named by the one before it, and true by the problem itself."""
    followed: set[str] = set()
    for problem, plan in plans():
        before = before_of(problem, plan)
        for key in plan.steps:
            links = chain(plan.steps, key, before)
            keys = [link.step.key for link in links]
            assert keys[0] == key
            assert len(keys) == len(set(keys))
            assert links[-1].through == ""
            for link, following in pairwise(links):
                followed.add(link.step.reason.rule)
                _check(problem, plan, link, following, before)
    assert followed >= {"wait", "order", "hands", "dust", "hours"}


def _check(problem: Problem, plan: Plan, link: Why, following: Why, before: dict[str, dict[str, datetime]]) -> None:
    """One link leads to the next by its own words, and the words are true."""
    step, other = link.step, following.step
    if link.through == "ready":
        assert step.reason.rule in CLOSED
        assert before[step.key][other.key] <= step.start
        return
    if link.through == "busy":
        assert step.reason.rule in CLOSED
        assert other.end <= step.start
        assert set(step.people) & set(other.people)
        return
    assert link.through == "because"
    assert other.key in step.reason.because
    assert all(plan.steps[key].end <= other.end for key in link.beside)
    if step.reason.rule in TRUE:
        assert TRUE[step.reason.rule](problem, plan, step, other), (step, other)


def test_a_chain_back_to_now() -> None:
    """Rub down waits for the coat, which follows the sanding, which can begin now."""
    steps = (Step("sand", "desk", "Sand", 60), Step("coat", "desk", "Coat", 30), Step("rub", "desk", "Rub down", 15))
    links = (Link("sand", "coat"), Link("coat", "rub", "drying", Fixed(120)))
    plan = first_plan(Problem(at(8), steps, links, (), working_hours(MONDAY, 5, lunch=False)))
    found = chain(plan.steps, "rub")
    assert [link.step.key for link in found] == ["rub", "coat", "sand"]
    assert [link.step.reason.rule for link in found] == ["wait", "order", "now"]


def test_closing_hours_lead_on_to_what_came_before() -> None:
    """A step that only waits for the morning came after something in the evening: the chain goes on there."""
    steps = (Step("sand", "desk", "Sand", 500), Step("oil", "desk", "Oil", 120))
    plan = first_plan(Problem(at(8), steps, (Link("sand", "oil"),), (), working_hours(MONDAY, 5, lunch=False)))
    found = chain(plan.steps, "oil", {"oil": {"sand": plan.steps["sand"].end}})
    assert [(link.step.key, link.through) for link in found] == [("oil", "ready"), ("sand", "")]


def test_closing_hours_lead_on_to_what_hands_did_last() -> None:
    """What it comes after was over long before; its hands were busy with another piece until the evening."""
    steps = (Step("glue", "desk", "Glue", 30), Step("oil", "desk", "Oil", 120), Step("strip", "chest", "Strip", 500))
    problem = Problem(at(8), steps, (Link("glue", "oil"),), (), working_hours(MONDAY, 5, lunch=False))
    plan = plan_at(problem, {"glue": at(8), "strip": at(8.5), "oil": at(8, 1)})
    closed = replace(plan.steps["oil"], reason=Reason("hours", "The shop is closed."))
    found = chain({**plan.steps, "oil": closed}, "oil", {"oil": {"glue": at(8.5)}})
    assert [(link.step.key, link.through) for link in found] == [("oil", "busy"), ("strip", "")]


def test_two_that_hold_each_other_end_the_chain() -> None:
    """A window holds the first for the second, the wait the second for the first: each is told once."""

    def row(key: str, hour: float, rule: str, because: str) -> Planned:
        block = (at(hour), at(hour + 1))
        return Planned(key, *block, (block,), Reason(rule, "…", at(hour), (because,)))

    steps = {"one": row("one", 9, "window", "two"), "two": row("two", 11, "wait", "one")}
    assert [link.step.key for link in chain(steps, "one")] == ["one", "two"]
    assert [link.step.key for link in chain(steps, "two")] == ["two", "one"]


def test_of_several_the_last_to_end_is_followed() -> None:
    """Two people are busy: the chain follows the one who is busy longest, and names the other beside."""
    block = (at(8), at(9)), (at(8), at(10)), (at(10), at(11))
    steps = {
        "short": Planned("short", *block[0], (block[0],), Reason("now", "…")),
        "long": Planned("long", *block[1], (block[1],), Reason("now", "…")),
        "both": Planned("both", *block[2], (block[2],), Reason("hands", "…", at(10), ("short", "long"))),
    }
    found = chain(steps, "both")
    assert [link.step.key for link in found] == ["both", "long"]
    assert found[0].beside == ("short",)
