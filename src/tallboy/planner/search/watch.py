"""Looking on while a plan is improved: progress told, the search stopped, the best plan so far kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from tallboy.planner.network import Plan, Status
from tallboy.planner.search.stopwatch import Stopwatch
from tallboy.planner.slots.board import Board


@dataclass(frozen=True)
class Progress:
    """How far the planner has got.

    `cost`, `bound` and `gap` as in `Plan`; `missed` windows without a remedy; `late` [min] is weighted lateness; `seconds` since the
    search began. `plan()` makes a whole plan of the best so far, which takes a moment.
    """

    status: Status
    cost: float
    bound: float
    gap: float
    missed: int
    late: float
    seconds: float
    plan: Callable[[], Plan]


Told = Callable[[Progress], bool]
"""Is told the progress a few times a second and answers whether the search should go on."""


@dataclass
class Best:
    """The best board so far and what is proven about it: bounds in slots, `proven` when lateness and finishing are best."""

    board: Board
    late_bound: float = 0.0
    finish_bound: float = 0.0
    cost_bound: float = 0.0
    proven: bool = False
    seconds: float = 0.0

    def raise_late(self, bound: float) -> None:
        """Lateness is proven to be no less than this."""
        self.late_bound = max(self.late_bound, bound)

    def raise_finish(self, bound: float) -> None:
        """The sum of finishing times, counted from the first slot, is proven to be no less than this."""
        self.finish_bound = max(self.finish_bound, bound)

    def raise_cost(self, bound: float) -> None:
        """Lateness and finishing times together are proven to be no less than this."""
        self.cost_bound = max(self.cost_bound, bound)


class Watch:
    """Tells one listener of the best so far, and remembers that it asked to stop."""

    def __init__(self, told: Callable[[Best, float], bool] | None = None) -> None:
        self._told = told
        self._stopwatch = Stopwatch()
        self.stopped = False

    @property
    def listens(self) -> bool:
        """Whether there is anybody to tell."""
        return self._told is not None

    @property
    def seconds(self) -> float:
        """Since the search began [s]."""
        return self._stopwatch.seconds

    def goes_on(self, best: Best) -> bool:
        """Tell how far it has got; False when the listener has had enough."""
        if self._told is not None and not self.stopped:
            self.stopped = not self._told(best, self.seconds)
        return not self.stopped
