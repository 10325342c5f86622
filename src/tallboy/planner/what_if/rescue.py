"""What would save a missed promise: changes to the problem are really solved, the least troublesome first."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from itertools import combinations, pairwise

from tallboy.errors import BadInput, NoPlan
from tallboy.planner.network import Kept, Plan, Problem, Span
from tallboy.planner.search.watch import Progress, Told
from tallboy.planner.slots.ways import merged
from tallboy.planner.solve import first_plan, solve
from tallboy.planner.what_if.days import next_closed
from tallboy.planner.what_if.variants import Change, Helper, OpenDays, Overtime, PutFirst, Together, Trouble

OVERTIME_HOURS = (1, 2)
CLOSED_DAYS = (1, 2)
MOST_PAIRS = 6
LEAST_SHARE = 0.01


@dataclass(frozen=True)
class Effect:
    """What a change does to another promise: how it is kept without the change and with it."""

    piece: str
    before: Kept
    after: Kept


@dataclass(frozen=True)
class Tried:
    """A change that was planned with: what becomes of the promise. `plan` is None when no plan was found with it."""

    change: Change
    trouble: Trouble
    kept: Kept | None
    plan: Plan | None

    @property
    def saves(self) -> bool:
        """Whether the promise is kept with it."""
        return self.kept is not None and self.kept.late_minutes == 0


@dataclass(frozen=True)
class Saver:
    """A change with which the promise is kept, and what else it does.

    `used_minutes` [min] of all its added hours and hands are really worked in the plan; `effects` are the other promises that
    finish at another time.
    """

    change: Change
    trouble: Trouble
    plan: Plan
    used_minutes: int
    effects: tuple[Effect, ...]


@dataclass(frozen=True)
class Rescue:
    """A missed promise and what would save it, the least troublesome first.

    `in_vain` are the changes that were tried and do not save it, as far as the time given could tell. `earliest` is, where nothing
    saves it, when the piece would be finished if it went before everything else: the earliest date that can be promised.
    """

    missed: Kept
    savers: tuple[Saver, ...]
    in_vain: tuple[Tried, ...]
    earliest: datetime


def usual_changes(problem: Problem, missed: Kept, name: str = "") -> tuple[Change, ...]:
    """The changes that any shop can make for a missed promise.

    Parameters: problem; missed, the promise; name, what the piece is called.
    Returns: the piece before all others; 1 or 2 h of overtime until the promise; the next one or two closed days; a helper.
    Source: own derivation.
    """
    closed = next_closed(problem, max(CLOSED_DAYS), missed.by)
    days = [OpenDays(closed[:count]) for count in CLOSED_DAYS if count <= len(closed)]
    return (
        PutFirst(missed.piece, name),
        *(Overtime(hours, missed.by) for hours in OVERTIME_HOURS if missed.by > problem.now),
        *days,
        *([Helper(until=missed.by)] if missed.by > problem.now else []),
    )


def rescues(
    problem: Problem, plan: Plan, changes: Mapping[str, Sequence[Change]], *, seconds: float = 4.0, seed: int = 1
) -> tuple[Rescue, ...]:
    """For each missed promise: by how much, what would save it, and what that does to the others.

    Every change is really planned with: the greedy planner first, the solver where that does not do. Of changes of one kind
    only the smallest that saves is kept. Where no single one saves, pairs of different kinds are tried, and made as small as they can be.

    Parameters: problem; plan, made for it; changes to try, by the piece they are for; seconds [s] the solver may use for all
    of it together; seed.
    Returns: one entry for each missed promise that has an entry in `changes`, in the order of the plan.
    Validity: a change found to save does save (its plan keeps all rules); one that is told in vain may still save if the time was short.
    Source: own derivation.
    """
    missed = [kept for kept in plan.promises if kept.late_minutes and kept.piece in changes]
    share = seconds / max(1, len(missed))
    return tuple(_rescue(Trial(problem, plan, kept, share, seed), changes[kept.piece]) for kept in missed)


@dataclass
class Trial:
    """Plans changes for one missed promise until the solver's `seconds` are used up."""

    problem: Problem
    plan: Plan
    missed: Kept
    seconds: float
    seed: int

    def of(self, change: Change, left: int) -> Tried:
        """Plan with a change, `left` changes being still to try with the time that is left."""
        trouble = change.trouble(self.problem)
        seen = {key: planned.start for key, planned in self.plan.steps.items()}
        try:
            found = self._solved(replace(change.on(self.problem), previous=seen), left)
        except (BadInput, NoPlan):
            return Tried(change, trouble, None, None)
        return Tried(change, trouble, self._kept(found), found)

    def _solved(self, changed: Problem, left: int) -> Plan:
        """The greedy planner's plan if that does, else the solver's as soon as it does, or when its share of the time is up.

        The solver gives half of its time to lateness, and lateness alone matters here: it is told twice the share, and stopped.
        """
        share = self.seconds / max(1, left)
        if share < LEAST_SHARE:
            return first_plan(changed, seed=self.seed)
        found = solve(changed, seconds=2 * share, seed=self.seed, watch=self._until_it_does(share))
        self.seconds = max(0.0, self.seconds - min(found.seconds, share))
        return found

    def _until_it_does(self, share: float) -> Told:
        seen: set[tuple[int, float]] = set()

        def goes_on(progress: Progress) -> bool:
            fresh = (progress.missed, progress.late) not in seen
            seen.add((progress.missed, progress.late))
            return progress.seconds < share and not (fresh and self._does(progress.plan()))

        return goes_on

    def _does(self, found: Plan) -> bool:
        """Whether the promise is kept without making another one later, or losing a window."""
        kept = self._kept(found)
        return kept is not None and kept.late_minutes == 0 and self._harm(found) == (0, 0)

    def _kept(self, found: Plan) -> Kept | None:
        """What becomes of the promise; None where the plan loses more windows than the one people have."""
        if len(found.missed_windows) > len(self.plan.missed_windows):
            return None
        return next((kept for kept in found.promises if kept.piece == self.missed.piece), None)

    def _harm(self, found: Plan) -> tuple[int, int]:
        """Windows lost, and minutes by which the other promises are later than they were."""
        late = {kept.piece: kept.late_minutes for kept in self.plan.promises}
        others = [kept for kept in found.promises if kept.piece != self.missed.piece]
        more = sum(max(0, kept.late_minutes - late.get(kept.piece, 0)) for kept in others)
        return max(0, len(found.missed_windows) - len(self.plan.missed_windows)), more


def _rescue(trial: Trial, changes: Sequence[Change]) -> Rescue:
    singles = sorted(changes, key=lambda change: change.trouble(trial.problem))
    tried = _each_kind(trial, singles)
    if not any(one.saves for one in tried):
        tried += _pairs(trial, tried)
    savers = tuple(_saver(trial, one) for one in tried if one.saves)
    finishes = [trial.missed.finish, *(one.kept.finish for one in tried if one.kept and one.change.kind == "put first")]
    return Rescue(
        missed=trial.missed,
        savers=tuple(sorted(savers, key=lambda saver: saver.trouble)),
        in_vain=tuple(one for one in tried if not one.saves),
        earliest=min(finishes, key=_utc),
    )


def _each_kind(trial: Trial, changes: Sequence[Change]) -> list[Tried]:
    """Every change in order; a kind is done with as soon as one of it saves."""
    tried: list[Tried] = []
    for k, change in enumerate(changes):
        if not any(one.saves and one.change.kind == change.kind for one in tried):
            # Half of the time is kept back for pairs.
            tried.append(trial.of(change, 2 * (len(changes) - k)))
    return tried


def _pairs(trial: Trial, tried: Sequence[Tried]) -> list[Tried]:
    """Pairs of different kinds: of each kind the most that was tried, the kinds that help most first. One that saves is then made smaller."""
    kinds: dict[str, list[Tried]] = {}
    for one in tried:
        if one.plan is not None:
            kinds.setdefault(one.change.kind, []).append(one)
    ranked = sorted(combinations(kinds, 2), key=lambda pair: sum(_late(kinds[kind][-1]) for kind in pair))[:MOST_PAIRS]
    found: list[Tried] = []
    for k, (a, b) in enumerate(ranked):
        most = Together((kinds[a][-1].change, kinds[b][-1].change))
        found.append(trial.of(most, len(ranked) - k + 2))
        if found[-1].saves:
            found[-1:] = _smallest(trial, found[-1], kinds[a], kinds[b])
            break
    return found


def _late(tried: Tried) -> float:
    return math.inf if tried.kept is None else tried.kept.late_minutes


def _smallest(trial: Trial, saves: Tried, some: Sequence[Tried], others: Sequence[Tried]) -> list[Tried]:
    """The smaller pairs of two kinds, the least troublesome first, up to one that saves; then only the one that is known to save is left."""
    pairs = [Together((a.change, b.change)) for a in some for b in others]
    smaller = sorted(
        (p for p in pairs if p.trouble(trial.problem) < saves.trouble), key=lambda p: p.trouble(trial.problem)
    )
    found: list[Tried] = []
    for k, pair in enumerate(smaller):
        found.append(trial.of(pair, len(smaller) - k))
        if found[-1].saves:
            return found
    return [*found, saves]


def _saver(trial: Trial, tried: Tried) -> Saver:
    assert tried.plan is not None
    changed = tried.change.on(trial.problem)
    used = added_minutes(trial.problem, changed, tried.plan)
    return Saver(tried.change, tried.trouble, tried.plan, used, effects(trial.plan, tried.plan, trial.missed.piece))


def effects(before: Plan, after: Plan, apart_from: str = "") -> tuple[Effect, ...]:
    """The promises that finish at another time in the second plan than in the first, those of both plans alone."""
    then = {kept.piece: kept for kept in after.promises}
    both = [(kept, then[kept.piece]) for kept in before.promises if kept.piece in then and kept.piece != apart_from]
    return tuple(Effect(a.piece, a, b) for a, b in both if _utc(a.finish) != _utc(b.finish))


def added_minutes(problem: Problem, changed: Problem, plan: Plan) -> int:
    """Minutes of work in a plan for the changed problem that lie in hours, or in hands, that the first problem does not have.

    Parameters: problem and changed, whose plan it is.
    Returns: [min] of single pairs of hands.
    Source: definition.
    """
    had = {person.key for person in problem.people} or {person.key for person in changed.people[: problem.hands]}
    hands = {step.key: step.hands for step in changed.steps if step.done is None and step.started is None}
    total = timedelta()
    for planned in plan.steps.values():
        if planned.key not in hands:
            continue
        fresh = sum(key not in had for key in planned.people) if changed.people else 0
        worked = sum((b - a for a, b in map(_span_utc, planned.blocks)), timedelta())
        total += fresh * worked + (hands[planned.key] - fresh) * (worked - _within(planned.blocks, problem))
    return round((total + _crowded(problem, changed, plan, hands)) / timedelta(minutes=1))


def _crowded(problem: Problem, changed: Problem, plan: Plan, hands: Mapping[str, int]) -> timedelta:
    """Where all hands are alike: the time in which more are at work, within the old hours, than there were."""
    if changed.people or changed.hands <= problem.hands:
        return timedelta()
    spans = [(_span_utc(block), hands[key]) for key in hands if key in plan.steps for block in plan.steps[key].blocks]
    edges = sorted({time for span, _ in spans for time in span})
    total = timedelta()
    for a, b in pairwise(edges):
        at_work = sum(count for span, count in spans if span[0] <= a and span[1] >= b)
        total += max(0, at_work - problem.hands) * _within(((a, b),), problem)
    return total


def _within(blocks: Sequence[Span], problem: Problem) -> timedelta:
    """How much of these blocks lies within the hours of the problem, the shop's or anybody's own."""
    own = [span for person in problem.people for span in person.hours or ()]
    hours = merged((*problem.working, *own))
    parts = [min(b, d) - max(a, c) for a, b in map(_span_utc, blocks) for c, d in hours]
    return sum((part for part in parts if part > timedelta()), timedelta())


def _span_utc(span: Span) -> Span:
    return _utc(span[0]), _utc(span[1])


def _utc(time: datetime) -> datetime:
    return time.astimezone(UTC)
