"""`tallboy plan`: improved while somebody looks on, stopped with Ctrl+C, written as a calendar; how sure it is."""

from __future__ import annotations

import json
import os
import pty
import select
import signal
import subprocess
import sys
import time
from pathlib import Path

import icalendar
import pytest
from tests.cli.conftest import Said, Tallboy, clean_environment, run_python

CHESTS = """
import argparse
from tallboy.cli.start import open_tables
open_tables(argparse.Namespace(book=None))
from django.utils import timezone
from tallboy.drawers.pieces.actions.desk import take_in_and_lay_out
from tallboy.drawers.today.opening import open_shop
from tallboy.front.ready import ready_fronts
from tallboy.front.takein import TakeIn
by = open_shop(name="Quay Bench", person="Ines", at=timezone.now(), timezone="Europe/Lisbon")
for number in range(6):
    chest = TakeIn(f"Sea chest {number}", "chest", 900, 900, 450, painted_before="no", front=ready_fronts()["chest"])
    take_in_and_lay_out(by, chest, {}, "strip-refinish")
"""
WAITS_AT_MOST = 90.0


@pytest.fixture(scope="module")
def chests(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a book with six chests to strip and finish: more than is proven best in a moment."""
    folder = tmp_path_factory.mktemp("plan") / "book"
    assert run_python("-c", CHESTS, book=folder) == Said(0, "", "")
    return folder


@pytest.fixture
def planned(chests: Path) -> Tallboy:
    return lambda *arguments: run_python("-m", "tallboy", "plan", *map(str, arguments), book=chests)


def test_without_a_terminal_only_the_plan_is_said(planned: Tallboy) -> None:
    """Nothing about progress among what a script reads."""
    done = planned("--seconds", "0.5", "--json")
    assert (done.code, done.err) == (0, "")
    told = json.loads(done.out)
    assert len(told["steps"]) > 60
    assert told["bound_minutes"] <= told["cost_minutes"]
    assert {tuple(row["people"]) for row in told["steps"]} == {("Ines",)}


def test_how_sure_the_dates_are(planned: Tallboy) -> None:
    """With --chance, each piece and what its date hangs on in place of the steps; with --json both."""
    done = planned("--chance")
    assert (done.code, done.err) == (0, "")
    heads = [line for line in done.out.splitlines() if line.startswith("Sea chest")]
    assert sorted(heads) == [f"Sea chest {number}: nothing is promised" for number in range(6)]
    told = json.loads(planned("--chance", "--json").out)
    assert len(told["steps"]) > 60
    assert told["chance"]["futures"] == told["futures"] >= 2000
    for piece in told["chance"]["pieces"]:
        moments = [moment for _share, moment in piece["by"]]
        assert moments == sorted(moments)


def test_calendar_file(planned: Tallboy, tmp_path: Path) -> None:
    """The plan as a file that a calendar program takes in."""
    target = tmp_path / "plan.ics"
    assert planned("--ics", target).code == 0
    calendar = icalendar.Calendar.from_ical(target.read_bytes())
    assert len(calendar.walk("VEVENT")) > 60
    assert [file.name for file in tmp_path.iterdir()] == ["plan.ics"]


def test_calendar_file_that_cannot_be_written(planned: Tallboy, tmp_path: Path) -> None:
    """Code 2, with what to do; the plan itself is kept."""
    done = planned("--ics", tmp_path / "nowhere" / "plan.ics")
    assert done.code == 2
    assert "Name another file with --ics." in done.err


def on_a_terminal(book: Path, seconds: str, *, interrupted: bool = False) -> tuple[int, str]:
    """Run the command on a terminal; interrupted, it gets what Ctrl+C sends as soon as it has told how far it is."""
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "tallboy", "plan", "--seconds", seconds]
    program = subprocess.Popen(
        command, env=clean_environment(book), stdin=theirs, stdout=subprocess.DEVNULL, stderr=theirs
    )
    os.close(theirs)
    said, end = "", time.monotonic() + WAITS_AT_MOST
    while time.monotonic() < end:
        if select.select([ours], [], [], 0.2)[0]:
            try:
                said += os.read(ours, 65536).decode()
            except OSError:
                break
        if interrupted and " s  " in said:
            program.send_signal(signal.SIGINT)
            interrupted = False
    os.close(ours)
    return program.wait(WAITS_AT_MOST), said


def test_progress_on_a_terminal(chests: Path) -> None:
    """A line for how far it is, and one for how it ended."""
    code, said = on_a_terminal(chests, "1")
    assert code == 0
    first, *_others = said.splitlines()
    assert " s  Every promise is kept." in first
    assert "Done." in said.splitlines()[-1]


def test_ctrl_c_keeps_the_best_so_far(chests: Path) -> None:
    """Long before the time is over it ends, in good order, with a plan."""
    begun = time.monotonic()
    code, said = on_a_terminal(chests, "300", interrupted=True)
    assert time.monotonic() - begun < WAITS_AT_MOST
    assert code == 0
    assert "Stopped." in said.splitlines()[-1]
    assert "Traceback" not in said
