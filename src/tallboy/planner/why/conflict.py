"""Why there is no plan: a smallest set of steps and rules that cannot all be kept, found by leaving things out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from tallboy.errors import BadInput, NoPlan
from tallboy.planner.model.solver import Search
from tallboy.planner.network import Problem, Step
from tallboy.planner.search.improve import any_plan
from tallboy.planner.slots.build import build
from tallboy.planner.why.relaxed import RULES, shortest_end

_RULES = {rule.name: rule for rule in RULES}


@dataclass
class Prober:
    """Asks the solver whether a weaker problem still has no plan, until its time is used up."""

    search: Search

    def has_no_plan(self, problem: Problem) -> bool:
        """True when it is proven that the problem has no plan; False when it has one or time is up."""
        if self.search.seconds <= 0 or not problem.steps:
            return False
        try:
            grid = build(problem)
        except (BadInput, NoPlan):
            return True
        outcome, _ = any_plan(grid, self.search)
        self.search = self.search.within(self.search.seconds - outcome.seconds - 0.002)
        return outcome.verdict == "no plan"


def explain(problem: Problem, search: Search) -> NoPlan:
    """The error that names the steps and rules in conflict.

    Steps are left out as long as there is still no plan without them, then rules are. What remains cannot all be kept,
    and (if the time of the search was enough) without any one of it there is a plan. Blocked steps and what follows them are in nobody's
    way: they are not planned at all.
    """
    problem = _to_be_planned(problem)
    prober = Prober(search)
    steps = _fewest([step.key for step in problem.steps], lambda keys: prober.has_no_plan(only(problem, keys)))
    small = only(problem, steps)
    rules = [rule.name for rule in RULES if rule.without(small) != small]
    rules = _fewest(rules, lambda names: prober.has_no_plan(without(small, set(rules) - set(names))), halve=False)
    return _told(small, tuple(rules), shortest_end(problem), smallest=prober.search.seconds > 0)


def _fewest(items: Sequence[str], still: Callable[[Sequence[str]], bool], *, halve: bool = True) -> list[str]:
    """Items left after dropping, in ever smaller handfuls, all that `still` holds without."""
    kept = list(items)
    size = max(1, len(kept) // 2) if halve else 1
    while True:
        at = 0
        while at < len(kept):
            rest = kept[:at] + kept[at + size :]
            if still(rest):
                kept = rest
            else:
                at += size
        if size == 1:
            return kept
        size //= 2


def _to_be_planned(problem: Problem) -> Problem:
    """The problem without what is blocked and all that follows it."""
    facts = {step.key for step in problem.steps if _is_fact(step)}
    out = {step.key for step in problem.steps if step.blocked} - facts
    while more := {link.then for link in problem.links if link.first in out} - out - facts:
        out |= more
    return only(problem, [step.key for step in problem.steps if step.key not in out])


def _is_fact(step: Step) -> bool:
    return step.done is not None or step.started is not None


def only(problem: Problem, keys: Sequence[str]) -> Problem:
    """The problem with these steps alone."""
    chosen = set(keys)
    return replace(
        problem,
        steps=tuple(step for step in problem.steps if step.key in chosen),
        links=tuple(link for link in problem.links if {link.first, link.then} <= chosen),
        promises=(),
        previous={},
    )


def without(problem: Problem, names: set[str]) -> Problem:
    """The problem with these rules given up."""
    for name in names:
        problem = _RULES[name].without(problem)
    return problem


def _told(problem: Problem, rules: tuple[str, ...], ready: datetime, *, smallest: bool) -> NoPlan:
    """In words. `ready` is the moment before which not all the steps of the whole shop can be done."""
    titles = ", ".join(f"“{step.title}”" for step in problem.steps)
    words = [_RULES[name].words(problem) for name in rules]
    message = f"No plan keeps all the rules for {titles}: {'; '.join(words)}."
    hint = "Any one of these would have to give way." if smallest else "There may be fewer than these in the way."
    end = max((b for _, b in problem.working), default=problem.now)
    if "hours" in rules and ready > end:
        message += f" Even if somebody were always there, all the steps given could not be done before {_day(ready)}."
        hint = f"Give working hours further ahead, well beyond {_day(ready)}."
    return NoPlan(message, hint, rules=rules, steps=tuple(step.key for step in problem.steps))


def _day(time: datetime) -> str:
    return f"{time:%a %d %b %Y}"
