"""From the problem as asked to the checked problem in slots."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import pairwise

from tallboy.errors import BadInput, NoPlan
from tallboy.planner.checks import check
from tallboy.planner.grid import Clock, Fact, Grid, Lag, Task, Window, clock_of, wait_minutes, wait_table
from tallboy.planner.network import Link, Problem, Span, Step


def build(problem: Problem) -> Grid:
    """Check the problem and put it into whole slots.

    Parameters: problem.
    Returns: the frozen problem in slots.
    Raises: BadInput for a step, link, promise or time that cannot be used; NoPlan when there are no working hours left.
    Source: own derivation, see docs/planner.md.
    """
    order = check(problem)
    clock = clock_of(problem)
    working = merged(problem.working)
    spans = _slot_spans(working, clock, clock.ceil(problem.now))
    facts = [_fact(step, problem, clock, working) for step in problem.steps]
    tasks = tuple(
        _task(step, i, fact, clock, spans) for i, (step, fact) in enumerate(zip(problem.steps, facts, strict=True))
    )
    index = {step.key: i for i, step in enumerate(problem.steps)}
    lags = tuple(_lag(link, index, tasks, clock) for link in problem.links if tasks[index[link.then]].fact is None)
    return Grid(
        problem=problem,
        clock=clock,
        first_slot=clock.ceil(problem.now),
        horizon=spans[-1][1] if spans else 0,
        spans=spans,
        tasks=tasks,
        lags=lags,
        into=tuple(tuple(lag for lag in lags if lag.then == i) for i in range(len(tasks))),
        out=tuple(tuple(lag for lag in lags if lag.first == i and lag.ready is None) for i in range(len(tasks))),
        order=tuple(index[key] for key in order),
        busy=_busy(tasks, clock.ceil(problem.now), problem.hands),
        due={promise.piece: (clock.floor(promise.by), promise.weight) for promise in problem.promises},
        previous={index[key]: clock.floor(time) for key, time in problem.previous.items() if key in index},
    )


def merged(working: tuple[Span, ...]) -> tuple[Span, ...]:
    """The working hours in UTC and in order, those that touch or overlap made one."""
    spans: list[Span] = []
    for start, end in sorted((a.astimezone(UTC), b.astimezone(UTC)) for a, b in working):
        if spans and start <= spans[-1][1]:
            spans[-1] = (spans[-1][0], max(end, spans[-1][1]))
        else:
            spans.append((start, end))
    return tuple(spans)


def _slot_spans(working: tuple[Span, ...], clock: Clock, first_slot: int) -> tuple[tuple[int, int], ...]:
    spans = [(max(clock.ceil(start), first_slot), clock.floor(end)) for start, end in working]
    return tuple((start, end) for start, end in spans if start < end)


def _task(step: Step, index: int, fact: Fact | None, clock: Clock, spans: tuple[tuple[int, int], ...]) -> Task:
    slots = clock.length(step.minutes)
    chunk = min(clock.length(step.least_chunk), slots)
    windows = () if fact else _windows(slots, chunk, step.split, spans)
    if fact is None and not windows:
        raise _no_room(step, clock, spans)
    wet = wait_table(step.wet, clock) if step.wet is not None else None
    not_before = clock.ceil(step.not_before) if step.not_before is not None else None
    return Task(step, index, slots, not_before, wet, windows, fact)


def _no_room(step: Step, clock: Clock, spans: tuple[tuple[int, int], ...]) -> BadInput | NoPlan:
    if not spans:
        return NoPlan(
            f'There are no working hours left in which to do "{step.title}".',
            "Give the shop working hours after now.",
            rules=("hours",),
            steps=(step.key,),
        )
    longest = clock.minutes(max(end - start for start, end in spans))
    return BadInput(
        f'"{step.title}" takes {step.minutes} minutes; the longest stretch of working hours is {longest:.0f} minutes.',
        "Open longer or more hours." if step.split else "Allow the step to be split, or open longer hours.",
    )


def _windows(slots: int, chunk: int, split: bool, spans: tuple[tuple[int, int], ...]) -> tuple[Window, ...]:
    """The starts within working hours: whole within one stretch or, if it may be split, cut only where the stretches end."""
    windows: list[Window] = []
    for k, (start, end) in enumerate(spans):
        if split:
            windows += _cut_windows(slots, chunk, k, spans)
        if end - start >= slots:
            windows.append(Window(start, end - slots, 0))
    return tuple(sorted(windows, key=lambda window: window.lo))


def _cut_windows(slots: int, chunk: int, k: int, spans: tuple[tuple[int, int], ...]) -> list[Window]:
    """Starts in stretch k that end in a later one. Stretches shorter than a chunk are sat out."""
    start, end = spans[k]
    windows = []
    between = 0
    for later_start, later_end in spans[k + 1 :]:
        if between + 2 * chunk > slots:
            break
        length = later_end - later_start
        if length < chunk:
            continue
        most_before = min(end - start, slots - between - chunk)
        least_before = max(chunk, slots - between - length)
        if least_before <= most_before:
            windows.append(Window(end - most_before, end - least_before, later_start - end - between))
        between += length
    return windows


def _fact(step: Step, problem: Problem, clock: Clock, working: tuple[Span, ...]) -> Fact | None:
    """The times that stand of a step that is done or has begun."""
    if step.done is not None:
        blocks: tuple[Span, ...] = (step.done,)
    elif step.started is not None:
        blocks = _running_blocks(step, problem, clock, working)
    else:
        return None
    start, end = blocks[0][0], blocks[-1][1]
    wet = wait_minutes(step.wet, end) if step.wet is not None else 0
    dry = clock.ceil(end.astimezone(UTC) + timedelta(minutes=wet))
    return Fact(start, end, blocks, step.done is None, clock.floor(start), clock.ceil(end), dry)


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


def _lag(link: Link, index: dict[str, int], tasks: tuple[Task, ...], clock: Clock) -> Lag:
    first, then = index[link.first], index[link.then]
    table = wait_table(link.least, clock)
    fact = tasks[first].fact
    if fact is None:
        most = None if link.most is None else timedelta(minutes=link.most) // clock.slot
        return Lag(link, first, then, table, most)
    end = fact.end.astimezone(UTC)
    ready = clock.ceil(end + timedelta(minutes=wait_minutes(link.least, end)))
    last = None if link.most is None else clock.floor(end + timedelta(minutes=link.most))
    return Lag(link, first, then, table, link.most, ready, last)


def _busy(tasks: tuple[Task, ...], first_slot: int, hands: int) -> tuple[tuple[int, int, int], ...]:
    """Hands that running steps keep from now on, as (from, to, hands) without overlap and never more than there are."""
    running = [(task.fact, task.step.hands) for task in tasks if task.fact is not None and task.fact.running]
    edges = sorted({first_slot, *(fact.last for fact, _ in running)})
    busy = []
    for a, b in pairwise(edges):
        used = min(hands, sum(n for fact, n in running if fact.last >= b))
        if used:
            busy.append((a, b, used))
    return tuple(busy)
