"""The sums can be used alone: whoever imports them gets numpy and scipy, and nothing of the book, the pages or the planner."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

LOADED = """
import importlib, json, pkgutil, sys
for name in ("sums", "tables", "workings", "checks"):
    package = importlib.import_module(f"tallboy.{name}")
    for info in pkgutil.iter_modules(package.__path__, f"tallboy.{name}."):
        importlib.import_module(info.name)
json.dump(sorted(sys.modules), sys.stdout)
"""


def _run(code: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60)


@pytest.fixture(scope="module")
def loaded() -> set[str]:
    """Every module that all the pure rooms of the sums bring with them."""
    return set(json.loads(_run(LOADED).stdout))


def test_the_sums_bring_nothing_of_the_book(loaded: set[str]) -> None:
    """No Django, no solver, no drawer, no page."""
    heavy = {"django", "ortools", "typst", "waitress", "PIL", "segno", "pandas", "chemicals"}
    assert {name.split(".")[0] for name in loaded} & heavy == set()
    rooms = {name.split(".")[1] for name in loaded if name.startswith("tallboy.")}
    assert rooms <= {"errors", "sums", "tables", "workings", "checks"}


def test_a_sum_as_a_library() -> None:
    """A plain call with plain numbers."""
    done = _run("from tallboy.sums.air import dew_point; print(round(dew_point(20.0, 50.0), 1))")
    assert done.stdout.strip() == "9.3"
