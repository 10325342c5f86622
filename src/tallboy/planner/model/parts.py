"""The planner's model as it grows: the variables, and how each is read from a plan we have."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from tallboy.planner.model.solver import CpModel, Domain, IntervalVar, IntVar, LinearExpr
from tallboy.planner.slots.board import Board
from tallboy.planner.slots.grid import Grid, Lag, Task, WaitTable, Way

MISSED_WINDOW = 10**9  # the price of a missed window [slots of lateness]: dearer than any lateness
Guess = Callable[[Board], int]


@dataclass
class PlanModel:
    """The problem as constraints.

    By task: `start`, `end`, `closed` hours sat through, the stretches of `work` by way, `chosen` ways, what is `held` until when,
    and whether it is `present` at all (scuffs only, with their windows in `missed`). `late`, `finish` and `changed` are what can be
    minimised.
    """

    grid: Grid
    cp: CpModel = field(default_factory=CpModel)
    start: dict[int, IntVar] = field(default_factory=dict)
    end: dict[int, LinearExpr] = field(default_factory=dict)
    closed: dict[int, IntVar] = field(default_factory=dict)
    work: dict[int, list[tuple[Way, IntervalVar]]] = field(default_factory=dict)
    chosen: dict[tuple[int, Way], IntVar] = field(default_factory=dict)
    held: dict[tuple[int, WaitTable], IntervalVar] = field(default_factory=dict)
    present: dict[int, IntVar] = field(default_factory=dict)
    missed: dict[Lag, IntVar] = field(default_factory=dict)
    waits: dict[tuple[int, WaitTable], IntVar] = field(default_factory=dict)
    late: list[LinearExpr] = field(default_factory=list)
    finish: list[IntVar] = field(default_factory=list)
    changed: list[IntVar] = field(default_factory=list)
    guesses: list[tuple[IntVar, Guess]] = field(default_factory=list)

    def yes_or_no(self, guess: Guess) -> IntVar:
        """A new variable that is 0 or 1; `guess` reads its value from a plan we have."""
        return self.number(Domain(0, 1), "", guess)

    def number(self, domain: Domain, name: str, guess: Guess) -> IntVar:
        """A new variable within `domain`; `guess` reads its value from a plan we have."""
        variable = self.cp.new_int_var_from_domain(domain, name)
        self.guesses.append((variable, guess))
        return variable


def hint(model: PlanModel, board: Board) -> None:
    """Tell the solver the plan we have."""
    forget: Callable[[], None] = model.cp.clear_hints  # the solver ships this one without types
    forget()
    for variable, guess in model.guesses:
        model.cp.add_hint(variable, int(guess(board)))


def start_of(board: Board, task: Task) -> int:
    """Where a step starts; of one that is not on the board, its first start at all."""
    if task.index in board.start:
        return board.start[task.index]
    return min(window.lo for way in task.ways for window in way.starts or way.windows)


def end_of(board: Board, task: Task) -> int:
    return start_of(board, task) + task.slots + closed_in(board, task)


def closed_in(board: Board, task: Task) -> int:
    """Closed time a step sits through; of one that is not on the board, what any start would have."""
    if task.index in board.start:
        return board.end[task.index] - board.start[task.index] - task.slots
    return min(window.gap for way in task.ways for window in way.windows)
