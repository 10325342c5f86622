"""Runs that go on by themselves, in threads and processes of their own, on a book that others work in."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.drawers.today.own_book import own_database, run_program, told

# A shop with four chests to strip and finish, and a solver that has a plan soon and goes on looking until it is stopped.
BEGIN = """
import argparse, json, os, threading, time
from datetime import timedelta
from tallboy.cli.start import open_tables
open_tables(argparse.Namespace(book=None))
from django.db import connection, connections
from django.db.backends.signals import connection_created
from django.utils import timezone
from tallboy.book.doing import By
from tallboy.book.queries import person_for
from tallboy.drawers.pieces.actions.desk import take_in_and_lay_out
from tallboy.drawers.pieces.actions.work import finish_step, start_step
from tallboy.drawers.today import queries
from tallboy.drawers.today.run import running
from tallboy.drawers.today.run import runs
from tallboy.drawers.today.actions import replan
from tallboy.drawers.today.checks import check_book
from tallboy.drawers.today.models import PlannedStep, PlanRun
from tallboy.drawers.today.opening import open_shop
from tallboy.errors import TallboyError
from tallboy.front.ready import ready_fronts
from tallboy.front.takein import TakeIn
from tallboy.planner.solve import solve
from tallboy.planner.search.watch import Progress

def patient(problem, *, seconds, watch):
    plan, begun = solve(problem, seconds=1.0), time.monotonic()
    while True:
        gone = time.monotonic() - begun
        if gone > seconds or not watch(Progress("good", plan.cost, plan.bound, 0.5, 0, 0.0, gone, lambda: plan)):
            return plan
        time.sleep(0.05)

def until(holds, seconds=60):
    end = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < end
        time.sleep(0.1)

def row(run):
    run.refresh_from_db()
    return run

def done_with(run):
    until(lambda: row(run).state != "running")
    until(lambda: threading.active_count() == 1)
    return run
"""
THREADS = (
    BEGIN
    + """
by = open_shop(name="Quay Bench", person="Ines", at=timezone.now(), timezone="Europe/Lisbon")
chest = TakeIn("Sea chest", "chest", 900, 900, 450, painted_before="no", front=ready_fronts()["chest"])
for _piece in range(4):
    take_in_and_lay_out(by, chest, {}, "strip-refinish")
opened = []
connection_created.connect(lambda connection, **_more: opened.append(connection))
told = {}

# By itself: the first plan at once, progress while it goes on, the end with a plan.
running.solve = patient
run = running.start(by, 4)
until(lambda: row(run).progress)
told["while"] = [row(run).state, queries.current_plan(by.shop) is not None]
done_with(run)
running.solve = solve
run = done_with(running.start(by, 2))
told["done"] = [run.state, run.progress["late"], queries.current_plan(by.shop).steps.count() > 40]

# Stopped by somebody else, long before its time, while ten others ask for runs and work is done.
running.solve = patient
run, begun = running.start(by, 300), time.monotonic()
until(lambda: row(run).progress)
ends, gate = [], threading.Barrier(10)
def others(number):
    gate.wait()
    try:
        running.start(by, 5)
        ends.append("begun")
    except TallboyError:
        ends.append("refused")
    finally:
        connection.close()
hands = [threading.Thread(target=others, args=(number,)) for number in range(10)]
for hand in hands: hand.start()
for hand in hands: hand.join()
told["others"] = sorted(set(ends))
runs.ask_to_stop(by, run)
done_with(run)
told["stopped"] = [run.state, time.monotonic() - begun < 60]

# Worked in meanwhile, planned again by whoever worked, and the run fits its plan to that.
now = by.later(timezone.now())
run = running.start(now, 4)
until(lambda: row(run).progress)
first = PlannedStep.objects.filter(plan=queries.current_plan(by.shop), step__state="to do").first().step
start_step(now, first)
replan(now)
done_with(run)
plan = queries.current_plan(by.shop)
told["meanwhile"] = [run.state, queries.is_stale(plan), PlannedStep.objects.get(plan=plan, step=first).rule]

told["running"] = PlanRun.objects.filter(state="running").count()
told["open"] = sum(one.connection is not None for one in opened)
told["trouble"] = [line for check in check_book(plan.made_at) for line in check.trouble]
print(json.dumps(told))
"""
)
KILLED = (
    BEGIN
    + """
by = open_shop(name="Quay Bench", person="Ines", at=timezone.now(), timezone="Europe/Lisbon")
chest = TakeIn("Sea chest", "chest", 900, 900, 450, painted_before="no", front=ready_fronts()["chest"])
take_in_and_lay_out(by, chest, {}, "oil")
running.solve = patient
run = running.start(by, 300)
until(lambda: row(run).progress)
os._exit(9)
"""
)
AFTERWARDS = (
    BEGIN
    + """
by = By(person_for(None), timezone.now())
run = PlanRun.objects.get()
told = {"state": run.state, "plan": queries.current_plan(by.shop) is not None}
later = by.later(run.told_at + runs.SILENT + timedelta(seconds=1))
told["seen"] = runs.as_it_is(run, later.at).state
new = running.start(later, 1)
done_with(new)
told["closed"], told["new"] = row(run).state, new.state
told["trouble"] = [line for check in check_book(later.at) for line in check.trouble]
print(json.dumps(told))
"""
)


@pytest.fixture
def database(request: pytest.FixtureRequest) -> Iterator[dict[str, str]]:
    with own_database(f"tallboy_{request.node.name[5:35]}") as settings:
        yield settings


def test_threads_leave_one_truth(tmp_path: Path, database: dict[str, str]) -> None:
    """Runs go on by themselves while others work; each ends with a sound plan, and no connection stays open behind it."""
    found = told(run_program(THREADS, tmp_path / "book", database))
    assert found["while"] == ["running", True]
    assert found["done"] == ["done", 0, True]
    assert found["others"] == ["refused"]
    assert found["stopped"] == ["stopped", True]
    assert found["meanwhile"] == ["done", False, "begun"]
    assert (found["running"], found["trouble"]) == (0, [])
    # The one that the program itself works with may be among them.
    assert found["open"] <= 1


def test_killed_program_leaves_a_run_that_is_closed_later(tmp_path: Path, database: dict[str, str]) -> None:
    """Killed in the middle: its first plan is whole, the run is recognised as left behind, and the next one can begin."""
    killed = run_program(KILLED, tmp_path / "book", database)
    assert (killed.returncode, killed.stderr) == (9, "")
    found = told(run_program(AFTERWARDS, tmp_path / "book", database))
    assert (found["state"], found["plan"]) == ("running", True)
    assert (found["seen"], found["closed"], found["new"]) == ("failed", "failed", "done")
    assert found["trouble"] == []
