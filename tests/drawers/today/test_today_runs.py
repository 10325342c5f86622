"""Improving the plan while people go on working: begun, followed, stopped, overtaken, failed; and its page."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from django.db import OperationalError, connections
from django.test import Client
from tests.drawers.today.today_made import chair, coat, step, varnish, wait

from tallboy.book.actions import set_hours
from tallboy.book.doing import By
from tallboy.book.models import Journal
from tallboy.drawers.pieces.actions.work import finish_step, start_step
from tallboy.drawers.pieces.models import Step
from tallboy.drawers.today import queries
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.checks import check_book
from tallboy.drawers.today.models import Plan, PlannedStep, PlanRun
from tallboy.drawers.today.run import running, runs
from tallboy.drawers.today.run.running import Improving, clock_from, improve_now
from tallboy.drawers.today.run.runs import SILENT, as_it_is, ask_to_stop, begin_run, run_of, tell
from tallboy.errors import NoPlan, NotFound, OutOfRange, Refused
from tallboy.planner import network
from tallboy.planner.search.watch import Progress
from tallboy.planner.solve import first_plan, solve

OpenAt = Callable[[By], Client]
Told = dict[str, Any]


@pytest.fixture
def bench(by: By) -> list[Step]:
    """Four pieces with three steps each: two coats and putting back."""
    can = varnish(by)
    found = []
    for number in range(4):
        piece = chair(by, f"Chair {number}")
        first, second, last = coat(piece, "Coat 1", can), coat(piece, "Coat 2", can), step(piece, "Put back", 60)
        wait(first, second, kind="drying", from_label="recoat")
        wait(second, last, kind="drying", from_label="touch")
        found += [first, second, last]
    return found


def patient(problem: network.Problem, *, seconds: float, watch: Callable[[Progress], bool]) -> network.Plan:
    """A solver that has a first plan at once and the best one soon, and then goes on looking until its time is up."""
    first, best, begun = first_plan(problem), solve(problem, seconds=0.5), time.monotonic()
    for plan in (first, best):
        _tells(plan, watch, begun)
    while time.monotonic() - begun < seconds and _tells(best, watch, begun):
        time.sleep(0.05)
    return best


def _tells(plan: network.Plan, watch: Callable[[Progress], bool], begun: float) -> bool:
    gone = time.monotonic() - begun
    return watch(Progress(plan.status, plan.cost, plan.bound, plan.gap, 0, 0.0, gone, lambda: plan))


@pytest.fixture
def patiently(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(running, "solve", patient)


def improved(by: By, seconds: float = 20, say: Callable[[Told], object] | None = None) -> tuple[PlanRun, Plan | None]:
    return improve_now(by, seconds, say)


def once(act: Callable[[], object]) -> Callable[[Told], None]:
    """Do something the first time that progress is told."""
    left = [act]

    def say(_told: Told) -> None:
        if left:
            left.pop()()

    return say


@pytest.mark.usefixtures("bench")
def test_run_ends_with_the_plan_kept(by: By) -> None:
    """The best plan is in force, sound, and the run says how it ended."""
    run, plan = improved(by)
    assert plan == queries.current_plan(by.shop)
    assert (run.state, run.progress["status"]) == ("done", "optimal")
    assert "Proven: no plan is better." in run.message
    assert run.ended_at is not None
    assert {check.name: check.trouble for check in check_book(by.at) if not check.holds} == {}
    assert run_of(by.shop, run.pk) == run


@pytest.mark.usefixtures("bench", "patiently")
def test_first_plan_is_kept_at_once_and_progress_is_told(by: By) -> None:
    """While the run goes on, its first plan is in force and its row says how far it is."""
    seen: list[tuple[Plan | None, dict[str, Any]]] = []

    def look(told: Told) -> None:
        row = PlanRun.objects.get()
        seen.append((queries.current_plan(by.shop), {"state": row.state, **row.progress}))

    run, plan = improved(by, 2.0, look)
    assert seen[0] == (None, {"state": "running"})
    kept = {found.pk for found, _row in seen if found is not None}
    assert len(kept) == 1
    assert plan is not None
    assert plan.pk not in kept
    rows = [row for _plan, row in seen[1:]]
    assert all(row["state"] == "running" and row["first"]["pieces"] == 4 for row in rows)
    assert [row["seconds"] for row in rows] == sorted(row["seconds"] for row in rows)
    assert run.progress["cost"] <= seen[1][1]["cost"]


@pytest.mark.usefixtures("bench", "patiently")
def test_stopped_run_keeps_the_best_so_far(by: By) -> None:
    """Asked to stop, it ends long before its time with a plan."""
    begun = time.monotonic()
    run, plan = improved(by, 60, once(lambda: ask_to_stop(by, PlanRun.objects.get())))
    assert time.monotonic() - begun < 30
    assert run.state == "stopped"
    assert run.message.startswith("Stopped. The best plan is kept.")
    assert plan is not None
    assert plan.steps.count() == 12


@pytest.mark.usefixtures("bench", "patiently")
def test_interrupted_on_the_command_line_keeps_the_best_so_far(by: By) -> None:
    """Ctrl+C is a way to stop."""

    def interrupt() -> None:
        raise KeyboardInterrupt

    run, plan = improved(by, 60, once(interrupt))
    assert (run.state, plan) == ("stopped", queries.current_plan(by.shop))


@pytest.mark.usefixtures("patiently")
def test_what_happened_meanwhile_is_respected(by: By, bench: list[Step]) -> None:
    """A step begun while the solver worked stays begun in the plan that is kept, and the plan knows of it."""
    begun_late = bench[9]
    run, plan = improved(by, 2.0, once(lambda: start_step(by, begun_late)))
    assert plan is not None
    assert "Something has happened meanwhile" in run.message
    assert not queries.is_stale(plan)
    assert PlannedStep.objects.get(step=begun_late).rule == "begun"
    assert {check.name: check.trouble for check in check_book(plan.made_at) if not check.holds} == {}


@pytest.mark.usefixtures("patiently")
def test_plan_made_meanwhile_is_replaced_only_by_a_better_one(by: By, bench: list[Step]) -> None:
    """Somebody worked and planned again while the solver was at it: the plan in force is never worse than that one."""

    def work() -> None:
        start_step(by, bench[0])
        finish_step(by.later(by.at + timedelta(minutes=20)), bench[0])
        replan(by.later(by.at + timedelta(minutes=20)), afresh=True)

    improved(by, 2.0, once(work))
    plan = queries.current_plan(by.shop)
    assert plan is not None
    assert not queries.is_stale(plan)
    assert not PlannedStep.objects.filter(step=bench[0]).exists()


@pytest.mark.usefixtures("bench")
def test_better_plan_in_force_stays(by: By, monkeypatch: pytest.MonkeyPatch) -> None:
    """A run that finds nothing better leaves people the plan that they have seen."""
    before = replan(by, seconds=1.0)

    def poor(problem: network.Problem, **_how: object) -> network.Plan:
        plan = solve(problem, seconds=0.5)
        return replace(plan, cost=plan.cost + 900, status="good")

    monkeypatch.setattr(running, "solve", poor)
    run, plan = improved(by)
    assert plan is None
    assert queries.current_plan(by.shop) == before
    assert run.message == "Done. No better plan was found than the one in force, which stays."


@pytest.mark.usefixtures("bench")
def test_plan_that_was_not_followed_is_replaced(by: By) -> None:
    """What should have begun an hour ago cannot be followed any more, however good it was."""
    before = replan(by, seconds=1.0)
    later = by.later(by.at + timedelta(hours=1))
    _run, plan = improved(later)
    assert plan is not None
    assert plan != before
    assert not PlannedStep.objects.filter(plan=plan, start__lt=later.at).exists()


@pytest.mark.usefixtures("bench")
def test_no_plan_is_told_and_the_one_before_stays(by: By) -> None:
    """Without hours there is no plan: the run has failed, says why, and leaves everything as it was."""
    before = replan(by, seconds=0.5)
    set_hours(by, [])
    with pytest.raises(NoPlan):
        improved(by)
    run = PlanRun.objects.get()
    assert (run.state, queries.current_plan(by.shop)) == ("failed", before)
    assert "no working hours left" in run.message


@pytest.mark.usefixtures("bench")
def test_program_error_is_no_trace_on_a_page(by: By, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the program got wrong stands in its log; the run says plainly that it failed, and another can begin."""

    def broken(*_problem: object, **_how: object) -> None:
        raise ZeroDivisionError("of no interest")

    monkeypatch.setattr(running, "solve", broken)
    with pytest.raises(ZeroDivisionError):
        improved(by)
    run = PlanRun.objects.get()
    assert (run.state, "of no interest" in run.message) == ("failed", False)
    assert begin_run(by, 5).state == "running"


@pytest.mark.usefixtures("bench", "patiently")
def test_run_closed_by_somebody_else_keeps_nothing(by: By) -> None:
    """A run that was taken for dead writes neither its plan nor over its own end."""
    before = replan(by, seconds=0.5)

    def close() -> None:
        runs.end_run(by, PlanRun.objects.get(), PlanRun.State.FAILED, "closed")

    _run, plan = improved(by, 60, once(close))
    assert plan is None
    run = PlanRun.objects.get()
    assert (run.state, run.message, queries.current_plan(by.shop)) == ("failed", "closed", before)


@pytest.mark.usefixtures("bench")
def test_stopped_before_any_plan(by: By, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing to keep: refused in words where somebody waits, and the run has ended."""
    monkeypatch.setattr(running, "GRACE", timedelta(seconds=0.1))
    monkeypatch.setattr(running, "solve", lambda *_problem, **_how: time.sleep(3.0))
    with pytest.raises(Refused, match="before there was any plan"):
        improved(by, 0.2)
    assert PlanRun.objects.get().state == "done"


def test_one_run_at_a_time(by: By, stranger: By) -> None:
    """A second is refused while the first goes on; another shop has its own."""
    run = begin_run(by, 5)
    with pytest.raises(Refused, match="being improved already"):
        begin_run(by, 5)
    assert begin_run(stranger, 5).shop == stranger.shop
    with pytest.raises(NotFound):
        run_of(stranger.shop, run.pk)


@pytest.mark.parametrize("seconds", [0.0, -1.0, 601.0, float("nan")])
def test_length_of_a_run_has_limits(by: By, seconds: float) -> None:
    """A tenth of a second to ten minutes; nothing is begun otherwise."""
    with pytest.raises(OutOfRange):
        begin_run(by, seconds)
    assert not PlanRun.objects.exists()


def test_run_left_behind_is_recognised_and_closed(by: By) -> None:
    """Silent for longer than a busy book can make it: shown as failed, closed by the next run, told in the journal."""
    run = begin_run(by, 5)
    assert as_it_is(run_of(by.shop, run.pk), by.at + SILENT).state == "running"
    late = by.later(by.at + SILENT + timedelta(seconds=1))
    assert as_it_is(run_of(by.shop, run.pk), late.at).state == "failed"
    assert begin_run(late, 5).state == "running"
    closed = run_of(by.shop, run.pk)
    assert (closed.state, closed.ended_at) == ("failed", late.at)
    assert Journal.objects.filter(action="improved plan", text__contains="before this run had ended").exists()


def test_telling_is_answered_by_what_to_do_next(by: By) -> None:
    """Go on; stop when somebody asked; gone when somebody closed it, and then nothing is written any more."""
    run = begin_run(by, 5)
    at = by.at + timedelta(seconds=1)
    assert tell(run, at, {"late": 1}) == "go on"
    ask_to_stop(by, run)
    assert tell(run, at, {"late": 2}) == "stop"
    runs.end_run(by, run, PlanRun.State.STOPPED, "Stopped.")
    assert tell(run, at + timedelta(seconds=1), {"late": 3}) == "gone"
    run.refresh_from_db()
    assert (run.progress, run.told_at) == ({"late": 2}, by.at)
    with pytest.raises(Refused):
        ask_to_stop(by, run)


def test_clock_goes_on_from_where_it_was_set(by: By) -> None:
    """The time of the page that began the run, and what has gone since."""
    clock = clock_from(by.at)
    first = clock()
    time.sleep(0.02)
    assert by.at <= first < clock() < by.at + timedelta(seconds=10)


def test_solving_touches_no_database(by: By, bench: list[Step], monkeypatch: pytest.MonkeyPatch) -> None:
    """The solver's thread opens no connection: nothing is left open when it is left to itself."""
    opened: list[list[str]] = []

    def looked_at(problem: network.Problem, *, seconds: float, watch: Callable[[Progress], bool]) -> network.Plan:
        plan = solve(problem, seconds=seconds, watch=watch)
        opened.append([alias for alias in connections if connections[alias].connection is not None])
        return plan

    monkeypatch.setattr(running, "solve", looked_at)
    improved(by, 1.0)
    assert opened == [[]]


@pytest.mark.usefixtures("bench")
def test_improving_is_told_of_in_the_journal(by: By) -> None:
    """Who began it, and how it ended."""
    Improving(by, begin_run(by, 1), clock_from(by.at)).work()
    assert list(Journal.objects.values_list("action", flat=True)[:2]) in (
        ["plan", "improved plan"],
        ["improved plan", "plan"],
    )


@pytest.mark.usefixtures("bench", "patiently")
def test_busy_book_is_no_reason_to_lose_a_plan(by: By, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where progress cannot be written down for a while, the run goes on and keeps its plan at the end."""
    told = runs.tell
    fails = iter([True, True])

    def busy(*what: Any) -> runs.Word:
        if next(fails, False):
            raise OperationalError("database is locked")
        return told(*what)

    monkeypatch.setattr(runs, "tell", busy)
    monkeypatch.setattr(connections, "close_all", lambda: None)
    run, plan = improved(by, 2.0)
    assert (run.state, plan) == ("done", queries.current_plan(by.shop))
