"""Why each step is not earlier: the rule that forbids the slot before its start, in a plain sentence."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from tallboy.planner.board import Board, Hold, earliest, holds
from tallboy.planner.grid import Fact, Lag, Task
from tallboy.planner.network import Reason

_WAITS = {
    "drying": "Waits for {} to dry",
    "cure": "Waits for {} to cure",
    "clamps": "Waits for {} in clamps",
    "soak": "Waits for {} to soak",
}
_LIKELY_FIRST = ("wait", "order", "dust", "window", "hands", "not before", "hours")


def reason(board: Board, task: Task) -> Reason:
    """Why the step is not earlier.

    Parameters: board with every step placed and none that could start one slot earlier; task, one of its steps.
    Returns: the rule that holds it. Where several rules forbid the slot before, the one is named whose removal alone lets
    the step move to some earlier start; where no single one does, the smallest set found, one as `rule`, the rest as `also`.
    Source: own derivation, see docs/planner.md.
    """
    if task.fact is not None:
        return _fact_reason(board, task.fact)
    start = board.start[task.index]
    if start <= board.grid.first_slot:
        return Reason("now", "Nothing holds it back: it can begin now.", board.grid.problem.now)
    board.lift(task)
    found = _binding(board, task, start, holds(board, task, start - 1))
    told = _told(board, task, found[0], start)
    board.place(task, start)
    return replace(told, also=tuple(hold.rule for hold in found[1:]))


def _binding(board: Board, task: Task, start: int, found: tuple[Hold, ...]) -> tuple[Hold, ...]:
    """The one hold without which the step could start earlier, or else a smallest set of them."""
    by_name = {hold.name: hold for hold in sorted(found, key=lambda hold: _LIKELY_FIRST.index(hold.rule))}
    for name, hold in by_name.items():
        if _could_move(board, task, start, frozenset({name})):
            return (hold,)
    needed = set(by_name)
    for name in reversed(by_name):
        if _could_move(board, task, start, frozenset(needed - {name})):
            needed.discard(name)
    return tuple(hold for name, hold in by_name.items() if name in needed)


def _could_move(board: Board, task: Task, start: int, without: frozenset[tuple[str, Lag | None]]) -> bool:
    new = earliest(board, task, board.grid.first_slot, without=without)
    return new is not None and new < start


def _fact_reason(board: Board, fact: Fact) -> Reason:
    if fact.running:
        return Reason("begun", f"Begun: {_when(board, fact.start)}.", fact.start)
    return Reason("done", f"Done: {_when(board, fact.end)}.", fact.end)


def _told(board: Board, task: Task, hold: Hold, start: int) -> Reason:
    """One hold in words."""
    tasks = board.grid.tasks
    because = hold.because or (board.at_work(start - 1, board.end_of(task, start - 1)) if hold.rule == "hands" else ())
    until = board.grid.clock.time(min(hold.again, start))
    told = Reason(hold.rule, "", until, tuple(tasks[i].step.key for i in because))
    return replace(told, text=_words(board, task, replace(hold, because=because), _when(board, until)))


def _words(board: Board, task: Task, hold: Hold, when: str) -> str:
    """The sentence for one hold."""
    names = ", ".join(f"“{board.grid.tasks[i].step.title}”" for i in hold.because)
    if hold.lag is not None and hold.rule in ("wait", "order"):
        return _link_words(task, hold.lag, names, when)
    if hold.rule == "dust":
        return _dust_words(board.grid.tasks[hold.because[0]], task, names, when)
    if hold.rule == "hours":
        ready = earliest(board, task, board.grid.first_slot, without=frozenset({hold.name}))
        is_open = ready is not None and any(a <= ready < b for a, b in board.grid.spans)
        return (
            f"Too long to finish before the shop closes; fits from {when}."
            if is_open
            else f"The shop is closed until {when}."
        )
    sentences = {
        "hands": f"{names} {'is' if len(hold.because) == 1 else 'are'} in hand until {when}.",
        "window": f"Held until {when}, so that {names} can follow in time.",
        "not before": f"Not before {when}.",
        "now": "Nothing holds it back: it can begin now.",
    }
    return sentences[hold.rule]


def _dust_words(other: Task, task: Task, names: str, when: str) -> str:
    if not (task.step.dusty and other.wet is not None):
        return f"Not to be laid in the dust of {names}: until {when}."
    return f"No dust while {names} is wet: until {when}. {other.step.dust_free_note}".strip()


def _link_words(task: Task, lag: Lag, names: str, when: str) -> str:
    if lag.first == task.index:
        return f"If it began earlier, {names} would have to wait longer: best from {when}."
    if not lag.link.text and max(lag.wait.slots) == 0:
        return f"Comes after {names}, done by {when}."
    words = lag.link.text or _WAITS.get(lag.link.kind, "Waits after {}").replace("{}", names)
    return f"{words} That takes until {when}." if words.endswith(".") else f"{words}: until {when}."


def _when(board: Board, time: datetime) -> str:
    """A time of day, with the day when it is not today."""
    now = board.grid.problem.now
    local = time.astimezone(now.tzinfo)
    return f"{local:%H:%M}" if local.date() == now.date() else f"{local:%a} {local.day} {local:%b, %H:%M}"
