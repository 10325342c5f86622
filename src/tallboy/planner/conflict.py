"""Why there is no plan: a smallest set of steps and rules that cannot all be kept, found by leaving things out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

from tallboy.errors import BadInput, NoPlan
from tallboy.planner.build import build
from tallboy.planner.improve import any_plan
from tallboy.planner.model import Search
from tallboy.planner.network import Fixed, Problem

_HORIZON = timedelta(days=400)


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
    and (if the time of the search was enough) without any one of it there is a plan.
    """
    prober = Prober(search)
    steps = _fewest([step.key for step in problem.steps], lambda keys: prober.has_no_plan(_only(problem, keys)))
    small = _only(problem, steps)
    rules = [name for name in _RELAX if _matters(name, small)]
    rules = _fewest(rules, lambda names: prober.has_no_plan(_without(small, set(rules) - set(names))), halve=False)
    return _told(small, tuple(rules), prober.search.seconds > 0)


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


def _only(problem: Problem, keys: Sequence[str]) -> Problem:
    """The problem with these steps alone."""
    chosen = set(keys)
    return replace(
        problem,
        steps=tuple(step for step in problem.steps if step.key in chosen),
        links=tuple(link for link in problem.links if {link.first, link.then} <= chosen),
        promises=(),
        previous={},
    )


def _open_all_hours(problem: Problem) -> Problem:
    return replace(problem, working=((problem.now, problem.now + _HORIZON),))


def _enough_hands(problem: Problem) -> Problem:
    return replace(problem, hands=sum(step.hands for step in problem.steps) + 1)


def _no_dust(problem: Problem) -> Problem:
    return replace(problem, steps=tuple(replace(step, dusty=False) for step in problem.steps))


def _no_dates(problem: Problem) -> Problem:
    return replace(problem, steps=tuple(replace(step, not_before=None) for step in problem.steps))


def _no_windows(problem: Problem) -> Problem:
    return replace(problem, links=tuple(replace(link, most=None) for link in problem.links))


def _no_waits(problem: Problem) -> Problem:
    return replace(problem, links=tuple(replace(link, least=Fixed(0)) for link in problem.links))


_RELAX: dict[str, Callable[[Problem], Problem]] = {
    "hands": _enough_hands,
    "dust": _no_dust,
    "not before": _no_dates,
    "wait": _no_waits,
    "window": _no_windows,
    "hours": _open_all_hours,
}
_WORDS = {
    "hands": "there are only so many hands ({hands})",
    "dust": "nothing dusty is done where a coat is wet",
    "not before": "they have an earliest date",
    "wait": "they must wait for each other",
    "window": "they must follow each other within a set time",
    "hours": "the shop has only the working hours given, up to {end}",
}


def _matters(name: str, problem: Problem) -> bool:
    return _RELAX[name](problem) != problem


def _without(problem: Problem, names: set[str]) -> Problem:
    for name in names:
        problem = _RELAX[name](problem)
    return problem


def _told(problem: Problem, rules: tuple[str, ...], smallest: bool) -> NoPlan:
    titles = ", ".join(f"“{step.title}”" for step in problem.steps)
    end = max((b for _, b in problem.working), default=problem.now)
    words = [_WORDS[name].format(hands=problem.hands, end=f"{end:%a %d %b %Y, %H:%M}") for name in rules]
    message = f"No plan keeps all the rules for {titles}: {'; '.join(words)}."
    hint = "Any one of these would have to give way." if smallest else "There may be fewer than these in the way."
    return NoPlan(message, hint, rules=rules, steps=tuple(step.key for step in problem.steps))
