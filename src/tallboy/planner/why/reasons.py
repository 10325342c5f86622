"""Why each step is not earlier: the rule that forbids the slot before its start, in a plain sentence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from tallboy.planner.network import Reason
from tallboy.planner.search.polish import BESIDE, EARLY
from tallboy.planner.slots.board import Board
from tallboy.planner.slots.grid import Fact, Lag, Task, Way
from tallboy.planner.slots.holds import Hold, Names, earliest, holds

_WAITS = {
    "drying": "Waits for {} to dry",
    "cure": "Waits for {} to cure",
    "clamps": "Waits for {} in clamps",
    "soak": "Waits for {} to soak",
}
MOST_NAMED = 3
_LIKELY_FIRST = (
    "wait",
    "order",
    "delivery",
    "not before",
    "air",
    "dust",
    "vapour",
    "fire",
    "window",
    "room",
    "quiet",
    "hands",
    "hours",
)


def reason(board: Board, task: Task) -> Reason:
    """Why the step is not earlier.

    Parameters: board with every step placed and none that could start one slot earlier; task, one of its steps.
    Returns: the rule that holds it. Where several rules forbid the slot before, the one is named whose removal alone lets
    the step move to some earlier start; where no single one does, the smallest set found, one as `rule`, the rest as `also`.
    A step put off into closed hours names its date as `rule` and the hours as `also`.
    Source: own derivation, see docs/planner.md.
    """
    if task.fact is not None:
        return _fact_reason(board, task.fact)
    start = board.start[task.index]
    if start <= board.grid.first_slot:
        return Reason("now", "Nothing holds it back: it can begin now.", board.grid.problem.now)
    way = board.way[task.index]
    board.lift(task)
    found, end = holds(board, task, way, start - 1), board.end_of(task, way, start)
    if found and not _could_move(board, task, end, frozenset()):
        binding = _dated(board, task, start, end, found) or _binding(board, task, end, found)
        told = replace(_told(board, task, way, binding[0], start), also=tuple(hold.rule for hold in binding[1:]))
    else:
        told = _kept(board, task, start)
    board.place(task, start, way)
    return told


def _kept(board: Board, task: Task, start: int) -> Reason:
    """Of a step that no rule holds where it is: why it stands there all the same."""
    found = earliest(board, task, board.grid.first_slot)
    sooner = _when(board, board.grid.clock.time(found[0] if found else start))
    texts = {
        EARLY: f"Could begin at {sooner}; it stands here so that an earlier day ends sooner.",
        BESIDE: f"Could begin at {sooner}; it stands here to save going from one place to another.",
    }
    seen = f"Could begin at {sooner}; it stays where you saw it."
    return Reason("kept", texts.get(board.notes.get(task.index, ""), seen), board.grid.clock.time(start))


def _dated(board: Board, task: Task, start: int, end: int, found: tuple[Hold, ...]) -> tuple[Hold, ...]:
    """The earliest date of a step that is put off until the shop is closed, when it could be earlier without that date.

    At the slot before its start only the hours hold it, though it was put off; they are told beside the date.
    """
    date = task.not_before
    if date is None or {hold.rule for hold in found} != {"hours"}:
        return ()
    if any(date < closes and opens < start for opens, closes in board.grid.spans):
        return ()
    put_off = Hold("not before", date)
    return (put_off, *found) if _could_move(board, task, end, frozenset({put_off.name})) else ()


def _binding(board: Board, task: Task, end: int, found: tuple[Hold, ...]) -> tuple[Hold, ...]:
    """The one hold without which the step could be done earlier than `end`, or else a smallest set of them."""
    by_name = {hold.name: hold for hold in sorted(found, key=lambda hold: _LIKELY_FIRST.index(hold.rule))}
    for name, hold in by_name.items():
        if _could_move(board, task, end, frozenset({name})):
            return (hold,)
    needed = set(by_name)
    for name in reversed(by_name):
        if _could_move(board, task, end, frozenset(needed - {name})):
            needed.discard(name)
    return tuple(hold for name, hold in by_name.items() if name in needed)


def _could_move(board: Board, task: Task, end: int, without: Names) -> bool:
    new = earliest(board, task, board.grid.first_slot, without=without)
    return new is not None and board.end_of(task, new[1], new[0]) < end


def _fact_reason(board: Board, fact: Fact) -> Reason:
    if fact.running:
        return Reason("begun", f"Begun: {_when(board, fact.start)}.", fact.start)
    return Reason("done", f"Done: {_when(board, fact.end)}.", fact.end)


def _told(board: Board, task: Task, way: Way, hold: Hold, start: int) -> Reason:
    """One hold in words."""
    because = hold.because or _because(board, task, way, hold, start - 1)
    until = board.grid.clock.time(min(hold.again, start))
    told = Reason(hold.rule, "", until, tuple(board.grid.tasks[i].step.key for i in because))
    short = replace(hold, because=because, again=min(hold.again, start))
    return replace(told, text=_words(board, task, way, short, _when(board, until)))


def _because(board: Board, task: Task, way: Way, hold: Hold, start: int) -> tuple[int, ...]:
    """The steps that are in the way of a start: busy hands, what is wet, what takes the room."""
    end = board.end_of(task, way, start)
    if hold.rule == "hands":
        return board.at_work(start, end, tuple(team for team, _ in way.crew))
    if hold.of is None:
        return ()
    if hold.rule == "room":
        return board.taking(hold.of, start, end + max(use.hold.at(end) for use in task.uses if use.of == hold.of))
    found = board.holding(hold.of, start, end) if hold.of in task.shuns else ()
    kept = [holding.hold.at(end) for holding in task.holds if holding.of == hold.of]
    return found or board.shunning(hold.of, start, end + max(kept, default=0))


def _words(board: Board, task: Task, way: Way, hold: Hold, when: str) -> str:
    """The sentence for one hold."""
    names = _names(board, hold.because)
    if hold.lag is not None and hold.rule in ("wait", "order"):
        return _link_words(task, hold.lag, names, when)
    if hold.rule in ("dust", "vapour", "fire"):
        return _air_words(board, task, hold, names, when)
    if hold.rule == "hours":
        return _hours_words(board, task, way, hold, when)
    many = "is" if len(hold.because) == 1 else "are"
    sentences = {
        "hands": f"{names} {many} in hand until {when}." if names else f"Nobody who can do it is free until {when}.",
        "window": f"Held until {when}, so that {names} can follow in time.",
        "not before": f"Not before {when}.",
        "delivery": f"Waits for {_awaited(task)}: expected {when}.",
        "quiet": f"Too noisy for the quiet hours: not before {when}.",
        "air": f"The air does not suit it until {when}. {task.step.fit_text}".strip(),
        "room": _room_words(board, hold, names, when) if hold.rule == "room" else "",
        "now": "Nothing holds it back: it can begin now.",
    }
    return sentences[hold.rule]


def _names(board: Board, tasks: Sequence[int]) -> str:
    """The titles of steps; of many, the first few and how many more."""
    titles = [f"“{board.grid.tasks[i].step.title}”" for i in tasks[:MOST_NAMED]]
    more = len(tasks) - len(titles)
    return ", ".join(titles) + (f" and {more} more" if more else "")


def _awaited(task: Task) -> str:
    return max(task.step.awaits, key=lambda one: one.at).what if task.step.awaits else ""


def _room_words(board: Board, hold: Hold, names: str, when: str) -> str:
    """What there is not enough of, and who has it."""
    resource = board.grid.problem.resources[hold.of or 0]
    name = resource.name or resource.key
    if resource.amount == 1:
        return f"{name[:1].upper()}{name[1:]} is taken by {names} until {when}."
    return f"Not enough left of “{name}”, taken by {names}: until {when}."


def _hours_words(board: Board, task: Task, way: Way, hold: Hold, when: str) -> str:
    """Closed, nobody there who can do it, or too long to fit in before it closes."""
    ready = earliest(board, task, board.grid.first_slot, without=frozenset({hold.name}))
    if ready is None or not any(ready[0] < b and a < hold.again for a, b in board.grid.spans):
        return f"The shop is closed until {when}."
    at_once = any(a <= ready[0] < b for one in task.ways for a, b in one.spans)
    if at_once or any(ready[0] < b and a < hold.again for a, b in way.spans):
        return f"Too long to finish before the shop closes; fits from {when}."
    return f"Those who can do it, or its place, are not free for it until {when}."


def _air_words(board: Board, task: Task, hold: Hold, names: str, when: str) -> str:
    """What must not meet in the air."""
    other = board.grid.tasks[hold.because[0]].step
    held = hold.of in task.shuns and any(holding.of == hold.of for holding in board.grid.tasks[hold.because[0]].holds)
    words = {
        ("dust", True): f"No dust while {names} is wet: until {when}. {other.dust_free_note}",
        ("dust", False): f"Not to be laid in the dust of {names}: until {when}.",
        ("vapour", True): f"Not beside the open solvent of {names} without fresh air: until {when}.",
        ("vapour", False): f"No open solvent without fresh air beside {names}: until {when}.",
        ("fire", True): f"No flame, heat or sparks while {names} can catch fire: until {when}.",
        (
            "fire",
            False,
        ): f"Nothing that catches fire so easily beside the flame, heat or sparks of {names}: until {when}.",
    }
    return words[hold.rule, held].strip()


def _link_words(task: Task, lag: Lag, names: str, when: str) -> str:
    if lag.first == task.index:
        return f"If it began earlier, {names} would have to wait longer: best from {when}."
    if not lag.link.text and lag.wait.longest == 0:
        return f"Comes after {names}, done by {when}."
    words = lag.link.text or _WAITS.get(lag.link.kind, "Waits after {}").replace("{}", names)
    return f"{words} That takes until {when}." if words.endswith(".") else f"{words}: until {when}."


def _when(board: Board, time: datetime) -> str:
    """A time of day, with the day when it is not today."""
    now = board.grid.problem.now
    local = time.astimezone(now.tzinfo)
    return f"{local:%H:%M}" if local.date() == now.date() else f"{local:%a} {local.day} {local:%b, %H:%M}"
