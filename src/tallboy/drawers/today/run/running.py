"""Improving the plan while people go on working: the solving in one thread, what is written down of it in another.

The thread that solves touches no database. The one that follows it writes how far it is twice a second, looks whether it was
asked to stop, and keeps the best plan so far at the end. A solver that does not stop soon is left to itself: what it may still
find is not wanted any more.
"""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Any

from django.db import OperationalError, connections, transaction
from django.utils import timezone, translation
from django.utils.translation import gettext as _

from tallboy.book.doing import By, action
from tallboy.drawers.today import queries
from tallboy.drawers.today.actions import keep_plan, mended, store_plan
from tallboy.drawers.today.gathering.gather import Gathered, gather
from tallboy.drawers.today.models import Plan, PlannedStep, PlanRun
from tallboy.drawers.today.run import runs
from tallboy.drawers.today.run import words as run_words
from tallboy.drawers.today.sure.chances import how_sure
from tallboy.errors import Refused, TallboyError
from tallboy.planner import network
from tallboy.planner.search.watch import Progress
from tallboy.planner.solve import solve

LOG = logging.getLogger(__name__)
TELL_EVERY = 0.5
# So much longer than asked may the solver take to come to an end; then the best so far is kept without waiting for it.
GRACE = timedelta(seconds=5)
AS_GOOD = (0, 0, 0)
Clock = Callable[[], datetime]
Say = Callable[[dict[str, Any]], object]
State = PlanRun.State


@dataclass
class Solving:
    """One problem being solved in a thread of its own: how far it is, the best plan so far, and how it ended.

    The best plan is looked at in the solver's own thread, twice a second at most, for that takes a moment.
    """

    problem: network.Problem
    seconds: float
    latest: Progress | None = None
    best: network.Plan | None = None
    error: Exception | None = None
    ended: bool = False
    _stopped: bool = False
    _looked: float = 0.0
    _news: threading.Condition = field(default_factory=threading.Condition)

    def begin(self) -> None:
        threading.Thread(target=self._solve, name="solving", daemon=True).start()

    def _solve(self) -> None:
        try:
            self.best = solve(self.problem, seconds=self.seconds, watch=self._watch)
        except Exception as error:
            self.error = error
        with self._news:
            self.ended = True
            self._news.notify_all()

    def _watch(self, progress: Progress) -> bool:
        first = self.latest is None
        if first or (self._is_better(progress) and progress.seconds > self._looked + TELL_EVERY):
            self._looked, self.best = progress.seconds, progress.plan()
        self.latest = progress
        with self._news:
            if first:
                self._news.notify_all()
        return not self._stopped

    def _is_better(self, progress: Progress) -> bool:
        return self.best is None or progress.cost < self.best.cost or progress.missed < len(self.best.missed_windows)

    def wait(self, seconds: float) -> None:
        """Until it has ended or has told of its first plan, but no longer than so many seconds."""
        with self._news:
            if not self.ended:
                self._news.wait(seconds)

    def stop(self) -> None:
        """Ask it to end, and wait a little for it to do so. Raises what the solver raised before it had any plan."""
        self._stopped = True
        with self._news:
            self._news.wait_for(lambda: self.ended, GRACE.total_seconds())
        if self.error is not None and self.best is None:
            raise self.error
        if self.error is not None:
            LOG.error("The solver failed; the best plan before that is kept.", exc_info=self.error)


@dataclass
class Improving:
    """One run from the book and back: what it began with, how far it is, and whom it tells."""

    by: By
    run: PlanRun
    clock: Clock
    say: Say | None = None
    seen: int = 0
    told: dict[str, Any] = field(default_factory=dict)

    def work(self) -> Plan | None:
        """Improve the plan, and close the run whatever happens. Gives the plan that was kept; None when the one in force stays."""
        try:
            return self._work()
        except Exception as error:
            if not isinstance(error, TallboyError):
                LOG.exception("The run %s that improves the plan has failed.", self.run.pk)
            self._end(State.FAILED, run_words.failed(error))
            raise

    def _work(self) -> Plan | None:
        self.seen = queries.newest_journal(self.by.shop)
        gathered = gather(self.by.shop, self.by.at)
        solving = Solving(gathered.problem, self.run.seconds)
        solving.begin()
        try:
            state = self._follow(solving, gathered)
        except KeyboardInterrupt:
            state = State.STOPPED
        solving.stop()
        if state is None:
            return None
        if solving.best is None:
            self._end(state, _("Stopped before there was any plan: the one before stays."))
            return None
        self._look(solving, gathered)
        return self._keep(solving.best, gathered, state)

    def _follow(self, solving: Solving, gathered: Gathered) -> State | None:
        """Write down how far it is until it ends or shall end; None when the run was closed by somebody else."""
        until = self.by.at + timedelta(seconds=self.run.seconds) + GRACE
        while True:
            solving.wait(TELL_EVERY)
            if solving.ended or self.clock() > until:
                return State.DONE
            first = not self.told
            self._look(solving, gathered)
            if first and self.told:
                self._keep_first(solving, gathered)
            word = self._tell()
            if word != "go on":
                return State.STOPPED if word == "stop" else None

    def _tell(self) -> runs.Word:
        """Write down how far it is. A book that is too busy just now is no reason to lose what was found."""
        try:
            return runs.tell(self.run, self.clock(), self.told)
        except OperationalError as error:
            LOG.warning("How far the run %s is could not be written down: %s", self.run.pk, error)
            connections.close_all()
            return "go on"

    def _look(self, solving: Solving, gathered: Gathered) -> None:
        """How far it is, for whoever looks on."""
        latest, best = solving.latest, solving.best
        if best is None:
            return
        measured = run_words.measured(best, gathered.problem)
        self.told = run_words.progress(measured, best if solving.ended or latest is None else latest, self.told)
        if self.say is not None:
            self.say(self.told)

    def _keep_first(self, solving: Solving, gathered: Gathered) -> None:
        """The first plan is kept at once, unless what people have is better or something has happened meanwhile."""
        first = solving.best
        if first is None or queries.upset_since(self.by.shop.pk, self.seen):
            return
        better = better_by(self.by, first, gathered.problem)
        if better is None or better > AS_GOOD:
            keep_plan(self.by, first, self.seen, gathered, quick=True)

    def _keep(self, found: network.Plan, gathered: Gathered, state: State) -> Plan | None:
        """Keep what was found, or what becomes of it after what has happened meanwhile, unless what is in force is better."""
        by, now, seen = self.by, self.by.later(self.clock()), self.seen
        happened = queries.upset_since(by.shop.pk, seen)
        if happened:
            by, seen, gathered = now, queries.newest_journal(by.shop), gather(by.shop, now.at)
            starts = {key: planned.start for key, planned in found.steps.items()}
            found = mended(replace(gathered.problem, previous=starts))
        self._tell()
        better = better_by(by, found, gathered.problem)
        stays = better is not None and better < AS_GOOD
        message = run_words.ended(state, self.told, happened=happened, stays=stays)
        if stays:
            self._end(state, message)
            return None
        sure = how_sure(gathered.problem, found)
        return keep_and_end(now, self.run, state, message, lambda: store_plan(by, found, seen, gathered, sure))

    def _end(self, state: State, message: str) -> None:
        try:
            runs.end_run(self.by.later(self.clock()), self.run, state, message)
        except Refused:
            LOG.info("The run %s was closed by somebody else.", self.run.pk)


@action
def keep_and_end(by: By, run: PlanRun, state: State, message: str, keep: Callable[[], Plan]) -> Plan:
    """Close the run and keep its plan, both or neither. Raises Refused when somebody has closed the run before."""
    runs.end_run(by, run, state, message)
    return keep()


def better_by(by: By, found: network.Plan, problem: network.Problem) -> tuple[float, ...] | None:
    """By how much what was found is better than the plan in force; None when that can be followed no more.

    What counts is missed windows, then lateness [min], then finishing times [min]: a positive first difference is better, all
    zeros is as good. Two plans made at different moments are measured to a slot for each piece.
    """
    plan = queries.current_plan(by.shop)
    if plan is None or plan.cost is None or queries.is_stale(plan) or _behind(plan, found.made_at):
        return None
    ours, theirs = run_words.measured(found, problem), run_words.measured_kept(plan)
    gone = (found.made_at - plan.made_at) / timedelta(minutes=1) * ours.pieces
    finishing = theirs.finishing - gone - ours.finishing
    slack = problem.slot_minutes * ours.pieces if gone else 0.5
    return (
        theirs.missed - ours.missed,
        theirs.late_minutes - ours.late_minutes,
        0.0 if abs(finishing) <= slack else finishing,
    )


def _behind(plan: Plan, now: datetime) -> bool:
    """Whether something was to have begun by now that has not."""
    return PlannedStep.objects.filter(plan=plan, step__state="to do", start__lt=now).exists()


def clock_from(at: datetime) -> Clock:
    """A clock that shows `at` now, and goes on from there."""
    begun = time.monotonic()
    return lambda: at + timedelta(seconds=time.monotonic() - begun)


def start(by: By, seconds: float) -> PlanRun:
    """Begin a run that goes on by itself after the page that asked for it has been answered.

    Raises Refused while another run of the shop goes on.
    """
    run = runs.begin_run(by, seconds)
    improving = Improving(by, run, clock_from(by.at))
    work = threading.Thread(
        target=_by_itself, args=(improving, translation.get_language()), name=f"plan run {run.pk}", daemon=True
    )
    transaction.on_commit(work.start)
    return run


def improve_now(by: By, seconds: float, say: Say | None = None) -> tuple[PlanRun, Plan | None]:
    """The same while somebody waits for it, as on the command line: Ctrl+C stops it, and the best plan so far is kept.

    Gives the run as it ended, and the plan that was kept; None when the one in force stays. Raises what prevented any plan,
    Refused when it was stopped before there was one.
    """
    run = runs.begin_run(by, seconds)
    kept = Improving(by, run, clock_from(by.at), say).work()
    run.refresh_from_db()
    if kept is None and queries.current_plan(by.shop) is None:
        raise Refused(run.message)
    return run, kept


def _by_itself(improving: Improving, language: str | None) -> None:
    """The whole run in a thread of its own, with a connection of its own that is closed at the end."""
    try:
        with timezone.override(improving.by.shop.tz), translation.override(language or "en"):
            improving.work()
    except Exception as error:
        # It is told on the run's page, and what was no foreseen error is in the log.
        LOG.debug("The run %s ended with: %s", improving.run.pk, error)
    finally:
        connections.close_all()
