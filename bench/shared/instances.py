"""Published problems solved by the planner's own problem type, and the same by a general scheduling library."""

from __future__ import annotations

import importlib.util
import os
import sys
import time
from collections.abc import Iterator
from pathlib import Path

from bench.shared.figures import Figure
from tallboy.errors import BadFile
from tallboy.planner.general import READERS, GeneralPlan, GeneralProblem, solve_general

ROOT = Path(__file__).resolve().parents[2]
KNOWN: dict[str, int | None] = {
    "jobshop/ft06.jss": 55,
    "jobshop/la01.jss": 666,
    "jobshop/la02.jss": 655,
    "jobshop/la16.jss": 945,
    "project/j301_1.sm": 43,
    "project/j305_1.sm": 53,
    "project/j309_5.sm": 70,
    "project/j3025_1.sm": 93,
    "project/j3029_1.sm": 85,
    "project/j3045_1.sm": 82,
    "lags/j10-psp1.sch": 26,
    "lags/j10-psp4.sch": 39,
    "lags/j10-psp50.sch": 68,
    "lags/j10-psp101.sch": 62,
    "lags/j20-psp60.sch": 40,
    "lags/j20-psp120.sch": 31,
    "lags/j30-psp12.sch": 46,
    "lags/j30-psp41.sch": 46,
    "lags/j30-psp77.sch": 46,
    "lags/j20-psp1.sch": None,
    "lags/j30-psp2.sch": None,
}
HARD: dict[str, int | None] = {"project/j3013_1.sm": 58, "jobshop/ft10.jss": 930}


BESIDE = (
    "jobshop/ft06.jss",
    "jobshop/la01.jss",
    "jobshop/la16.jss",
    "project/j301_1.sm",
    "project/j3045_1.sm",
    "lags/j30-psp12.sch",
)


def folder() -> Path | None:
    """Where the published problems are; None, with a note, when they are not there."""
    found = Path(os.environ.get("TALLBOY_REFERENCE") or ROOT.parent / "shared" / "reference") / "instances"
    if found.is_dir():
        return found
    sys.stderr.write("published problems left out: no reference data (see TALLBOY_REFERENCE)\n")
    return None


def of_instances(quick: bool) -> Iterator[Figure]:
    """Published problems: the makespan found against the known optimum; those without a plan count as 1 when proven so."""
    place = folder()
    if place is None:
        return
    for name, optimum in {**KNOWN, **({} if quick else HARD)}.items():
        hard = name in HARD
        begun = time.perf_counter()
        plan = solve_instance(place / name, seconds=300 if hard else 20, workers=8 if hard else 1)
        note = f"{plan.status}, {time.perf_counter() - begun:.2f} s"
        if optimum is None:
            yield Figure(f"{name} has no plan", float(plan.status == "no plan"), 1.0, 1.0, better="more", note=note)
        else:
            yield Figure(name, float(plan.makespan or 0), optimum, 1.0, of="ratio", note=note)
            yield Figure(f"{name} proven", float(plan.status == "optimal"), 1.0, 1.0, better="more")


def beside_the_library(quick: bool) -> Iterator[Figure]:
    """The time to the proof, ours against the library's, on the same published problems with one thread each."""
    place = folder()
    if place is None or importlib.util.find_spec("pyjobshop") is None:
        sys.stderr.write("published problems beside the library left out: it is not there\n")
        return
    from bench.shared.library import library_general  # needed by the bench only, and here only

    for name in BESIDE[:2] if quick else BESIDE:
        problem = read_instance(place / name)
        begun = time.perf_counter()
        plan = solve_general(problem, seconds=60)
        ours = time.perf_counter() - begun
        status, makespan, seconds = library_general(problem, seconds=60, workers=1)
        note = f"ours {plan.makespan} {plan.status}, library {makespan:.0f} {status.lower()}"
        yield Figure(f"{name}: time to the end, ours against the library", ours, seconds, unit="s", note=note)


def read_instance(path: Path) -> GeneralProblem:
    """The problem in one file of a known kind."""
    reader = READERS.get(path.suffix.lower())
    if reader is None:
        raise BadFile(f"{path.name} is of an unknown kind.", f"Known are {', '.join(READERS)}.")
    return reader(path.read_text(encoding="utf-8", errors="replace"))


def solve_instance(path: Path, *, seconds: float, workers: int) -> GeneralPlan:
    """Solve one file of a known kind."""
    return solve_general(read_instance(path), seconds=seconds, workers=workers)


def one_instance(path: Path, seconds: float, workers: int) -> Iterator[Figure]:
    """What was found for one file: makespan against the proven bound, or the proof that there is none."""
    plan = solve_instance(path, seconds=seconds, workers=workers)
    note = f"{plan.status}, {plan.seconds:.2f} s"
    if plan.makespan is None:
        yield Figure(f"{path.name} has no plan", float(plan.status == "no plan"), 1.0, 1.0, better="more", note=note)
    else:
        yield Figure(path.name, float(plan.makespan), float(plan.bound), 1.0, of="ratio", note=note)
