from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

from tallboy.errors import BadInput, NoPlan
from tallboy.planner.network import Blocked, ByHour, Fixed, Link, Problem, Span, Step, Wait
from tallboy.planner.slots.checks import check
from tallboy.planner.slots.grid import (
    NO_WAIT,
    Clock,
    Fact,
    Grid,
    Lag,
    Slots,
    Task,
    Team,
    clock_of,
    wait_minutes,
    wait_table,
)
from tallboy.planner.slots.layers import Layers
from tallboy.planner.slots.ways import Ways, both, merged, slot_spans, teams_of

Busy = tuple[int, int, int, int]
"""From a slot to a slot, of which team, how many."""
Crew = tuple[tuple[int, int], ...]


def build(problem: Problem) -> Grid:
    """Check the problem and put it into whole slots.

    Parameters: problem. Steps that are blocked, and what follows them, are left out (see `blocked_in`).
    Returns: the frozen problem in slots.
    Raises: BadInput for a step, link, promise or time that cannot be used; NoPlan when there are no working hours left.
    Source: own derivation, see docs/planner.md.
    """
    order = check(problem)
    problem = _without(problem, {one.step for one in blocked_in(problem)})
    facts = {step.key for step in problem.steps if _is_fact(step)}
    scuffs = [link.scuff for link in problem.links if link.most is not None and link.then not in facts]
    steps = [*problem.steps, *(step for step in scuffs if step is not None)]
    maker = _Maker(problem, steps)
    tasks = tuple(maker.task(step, number) for number, step in enumerate(steps))
    index = {step.key: number for number, step in enumerate(steps)}
    lags = tuple(_lags(problem, index, tasks, maker))
    teams = maker.ways.teams
    begun = _begun(tasks, maker.ways)
    spans: tuple[Slots, ...] = slot_spans(problem.working, maker.clock, maker.first_slot)
    for team in teams:
        spans = both(spans, team.spans)
    return Grid(
        problem=problem,
        clock=maker.clock,
        first_slot=maker.first_slot,
        horizon=spans[-1][1] if spans else 0,
        spans=spans,
        teams=teams,
        layers=tuple(maker.layers.found),
        rooms=tuple(resource.amount for resource in problem.resources),
        tasks=tasks,
        scuffs=len(problem.steps),
        lags=lags,
        into=_sorted(lags, len(tasks), lambda lag: lag.then),
        out=_sorted([lag for lag in lags if lag.ready is None], len(tasks), lambda lag: lag.first),
        order=_with_scuffs([index[key] for key in order if key in index], lags),
        busy=tuple(_busy(tasks, begun, teams, maker.first_slot)),
        begun=begun,
        due={promise.piece: (maker.clock.floor(promise.by), promise.weight) for promise in problem.promises},
        previous={index[key]: maker.clock.floor(time) for key, time in problem.previous.items() if key in index},
        open_tasks=tuple(task for task in tasks[: len(problem.steps)] if task.fact is None),
    )


def _sorted(lags: Iterable[Lag], tasks: int, end: Callable[[Lag], int]) -> tuple[tuple[Lag, ...], ...]:
    """The lags of each task at one of their ends."""
    found: list[list[Lag]] = [[] for _ in range(tasks)]
    for lag in lags:
        found[end(lag)].append(lag)
    return tuple(tuple(of) for of in found)


def blocked_in(problem: Problem) -> tuple[Blocked, ...]:
    """The steps that must not be planned yet: those blocked, and all that follow them; what has begun stays."""
    steps = {step.key: step for step in problem.steps}
    still = {key for key, step in steps.items() if step.done is None and step.started is None}
    why = {key: steps[key].blocked for key in steps if key in still and steps[key].blocked}
    after: dict[str, list[str]] = {}
    for link in problem.links:
        after.setdefault(link.first, []).append(link.then)
    found = list(why)
    for key in found:
        for then in after.get(key, ()):
            if then in still and then not in why:
                why[then] = f"Follows “{steps[key].title}”, which cannot be planned yet."
                found.append(then)
    return tuple(Blocked(key, why[key]) for key in steps if key in why)


def _without(problem: Problem, keys: set[str]) -> Problem:
    if not keys:
        return problem
    steps = tuple(step for step in problem.steps if step.key not in keys)
    pieces = {step.piece for step in steps}
    return replace(
        problem,
        steps=steps,
        links=tuple(link for link in problem.links if not {link.first, link.then} & keys),
        promises=tuple(promise for promise in problem.promises if promise.piece in pieces),
    )


def _is_fact(step: Step) -> bool:
    return step.done is not None or step.started is not None


def _with_scuffs(order: list[int], lags: Iterable[Lag]) -> tuple[int, ...]:
    """Each scuff just before the step it makes ready."""
    before: dict[int, list[int]] = {}
    for lag in lags:
        if lag.scuff is not None:
            before.setdefault(lag.then, []).append(lag.scuff)
    return tuple(number for index in order for number in [*before.get(index, ()), index])


class _Maker:
    """Makes the tasks of one problem, with what they share worked out once."""

    def __init__(self, problem: Problem, steps: list[Step]) -> None:
        self.problem = problem
        self.clock = clock_of(problem)
        self.first_slot = self.clock.ceil(problem.now)
        self.working = merged(problem.working)
        self.ways = Ways(problem, self.clock, self.first_slot, teams_of(problem, self.clock, self.first_slot))
        self.layers = Layers(problem, self.clock, steps)

    def task(self, step: Step, index: int) -> Task:
        """One step in slots."""
        slots = self.clock.length(step.minutes)
        fit = None if step.fit is None else slot_spans(step.fit, self.clock, self.first_slot)
        after = self.clock.length(step.fit_minutes)
        ways = () if _is_fact(step) else self.ways.of(step, slots, fit, after)
        if not _is_fact(step) and not ways:
            raise self._no_room(step)
        holds, uses = self.layers.holds(step), self.layers.uses(step)
        return Task(
            step=step,
            index=index,
            slots=slots,
            not_before=self.clock.ceil(step.not_before) if step.not_before is not None else None,
            delivered=max((self.clock.ceil(one.at) for one in step.awaits), default=None),
            ways=ways,
            fit=fit,
            fit_after=after,
            fact=self._fact(step),
            holds=holds,
            shuns=self.layers.shuns(step),
            uses=uses,
        )

    def _no_room(self, step: Step) -> BadInput | NoPlan:
        """Why a step has no start at all within the hours of those who could do it."""
        crews = [self.ways.teams[team].spans for crew in self.ways.crews(step) for team, _ in crew]
        hours = crews or [slot_spans(self.problem.working, self.clock, self.first_slot)]
        if not any(hours):
            return NoPlan(
                f'There are no working hours left in which to do "{step.title}".',
                "Give the shop working hours after now.",
                rules=("hours",),
                steps=(step.key,),
            )
        longest = self.clock.minutes(max(end - start for spans in hours for start, end in spans))
        return BadInput(
            f'"{step.title}" takes {step.minutes} minutes; the longest stretch of working hours is {longest:.0f} minutes.'
            if step.minutes > longest
            else f'"{step.title}" takes {step.minutes} minutes; those it needs are nowhere at work together in its place for '
            f"so long{' outside the quiet hours' if step.noisy else ''}.",
            "Open longer or more hours." if step.split else "Allow the step to be split, or open longer hours.",
        )

    def _fact(self, step: Step) -> Fact | None:
        """The times that stand of a step that is done or has begun."""
        if step.done is not None:
            blocks: tuple[Span, ...] = (step.done,)
        elif step.started is not None:
            blocks = _running_blocks(step, self.problem, self.clock, self.working)
        else:
            return None
        start, end = blocks[0][0], blocks[-1][1]
        first, last = self.clock.floor(start), self.clock.ceil(end)
        holds = tuple(until(wait, end, self.clock) for _, wait in self.layers.held(step))
        uses = tuple(until(use.hold, end, self.clock) for use in step.uses)
        return Fact(start, end, blocks, step.done is None, first, last, holds, uses)


def until(wait: Wait, end: datetime, clock: Clock) -> int:
    """The slot from which a wait that began at `end` is over."""
    return clock.ceil(end.astimezone(UTC) + timedelta(minutes=wait_minutes(wait, end)))


def _running_blocks(step: Step, problem: Problem, clock: Clock, working: tuple[Span, ...]) -> tuple[Span, ...]:
    """What was worked since the step began, and the rest of it, at least one slot, from now on.

    The rest goes on at once when the shop is open, or when it has been closed ever since the step began (someone works
    late); otherwise when the shop opens next. Only a step that may be split stops again where the hours end.
    """
    now, started = problem.now.astimezone(UTC), (step.started or problem.now).astimezone(UTC)
    ahead = clock.time(clock.ceil(now)).astimezone(UTC)
    in_hours = [(max(a, started), min(b, now)) for a, b in working if a < now and b > started]
    past = in_hours or [(started, now)]
    rest = max(timedelta(minutes=step.minutes) - sum(((b - a) for a, b in past), timedelta()), clock.slot)
    hours = [(max(a, ahead), b) for a, b in working if b > ahead]
    goes_on = not in_hours or not hours or past[-1][1] == now
    begin = ahead if goes_on else hours[0][0]
    coming = _rest_blocks(begin, rest, hours if step.split and hours and hours[0][0] == begin else [])
    blocks = [(started, past[0][1]), *past[1:]]
    if goes_on:
        coming = [(blocks.pop()[0], coming[0][1]), *coming[1:]]
    zone = problem.now.tzinfo
    return tuple((a.astimezone(zone), b.astimezone(zone)) for a, b in blocks + coming)


def _rest_blocks(begin: datetime, rest: timedelta, hours: list[Span]) -> list[Span]:
    """The rest of a running step from `begin`, cut where `hours` end; what they cannot hold is added at the end."""
    blocks = []
    for a, b in hours:
        begin = max(begin, a)
        length = min(rest, b - begin)
        blocks.append((begin, begin + length))
        begin, rest = begin + length, rest - length
        if not rest:
            return blocks
    last = blocks.pop() if blocks else (begin, begin)
    return [*blocks, (last[0], last[1] + rest)]


def _lags(problem: Problem, index: dict[str, int], tasks: tuple[Task, ...], maker: _Maker) -> Iterable[Lag]:
    """The links into steps that are still to be planned, and those that tie each scuff between its two steps."""
    for link in problem.links:
        first, then = index[link.first], index[link.then]
        if tasks[then].fact is not None:
            continue
        scuff = index[link.scuff.key] if link.scuff is not None and link.most is not None else None
        lag = _lag(link, first, then, tasks[first].fact, maker, scuff)
        yield lag
        if scuff is not None and link.scuff is not None:
            yield replace(lag, then=scuff, most=None, last=None, scuff=None)
            yield Lag(
                replace(link, first=link.scuff.key, least=Fixed(0), most=None, text=""), scuff, then, NO_WAIT, None
            )


def _lag(link: Link, first: int, then: int, fact: Fact | None, maker: _Maker, scuff: int | None) -> Lag:
    clock = maker.clock
    table = maker.layers.table(link.least)
    most = None if link.most is None else wait_table(_as_wait(link.most), clock, latest=True)
    if fact is None:
        return Lag(link, first, then, table, most, scuff=scuff)
    end = fact.end.astimezone(UTC)
    last = None
    if link.most is not None:
        last = clock.floor(end + timedelta(minutes=wait_minutes(_as_wait(link.most), end)))
    return Lag(link, first, then, table, most, until(link.least, end, clock), last, scuff)


def _as_wait(most: int | ByHour) -> Wait:
    return Fixed(most) if isinstance(most, int) else most


def _busy(tasks: tuple[Task, ...], begun: dict[int, Crew], teams: tuple[Team, ...], first_slot: int) -> Iterable[Busy]:
    """Hands that running steps keep from now on, team by team, without overlap and never more than there are."""
    running = [(tasks[i].fact, team, hands) for i, crew in begun.items() for team, hands in crew]
    for number, team in enumerate(teams):
        here = [(fact.last, hands) for fact, of, hands in running if fact is not None and of == number]
        for a, b in pairwise(sorted({first_slot, *(last for last, _ in here)})):
            used = min(len(team.people), sum(hands for last, hands in here if last >= b))
            if used:
                yield a, b, number, used


def _begun(tasks: tuple[Task, ...], ways: Ways) -> dict[int, Crew]:
    """Who is at the steps that have begun: those they name, else whoever could be and is at no other, else whoever could be."""
    found: dict[int, Crew] = {}
    left = {number: len(team.people) for number, team in enumerate(ways.teams)}
    running = [task for task in tasks if task.fact is not None and task.fact.running]
    for task in sorted(running, key=lambda task: (not task.step.people, task.index)):
        crews = [_named(task.step, ways)] if task.step.people else ways.crews(task.step)
        free = (crew for crew in crews if all(left[team] >= hands for team, hands in crew))
        crew = next(free, None) or next(iter(crews), ())
        found[task.index] = crew
        for team, hands in crew:
            left[team] -= hands
    return found


def _named(step: Step, ways: Ways) -> Crew:
    named = [(number, len(set(team.people) & set(step.people))) for number, team in enumerate(ways.teams)]
    return tuple((number, count) for number, count in named if count)
