"""The pure packages stay pure: what they import is on a list, and they read no clock, no environment, no chance, no file.

The syntax tree is read, nothing is run. Who needs a new import adds it here, with a thought for the floor it stands on.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import tallboy

ROOT = Path(tallboy.__file__).parent
PURE = ("sums", "tables", "front", "work", "planner", "paper", "workings", "checks")

STANDARD = {
    "__future__", "abc", "ast", "bisect", "collections", "copy", "dataclasses", "datetime", "decimal", "difflib", "enum", "fractions",
    "functools", "hashlib", "heapq", "html", "io", "itertools", "json", "math", "numbers", "operator", "re", "statistics", "string",
    "textwrap", "tomllib", "types", "typing", "unicodedata",
}  # fmt: skip
NUMBERS = {"numpy", "scipy"}
ALLOWED: dict[str, set[str]] = {
    "sums": STANDARD | NUMBERS | {"tallboy.errors"},
    "tables": STANDARD | {"importlib", "tallboy.errors", "tallboy.sums"},
    "front": STANDARD | NUMBERS | {"pathlib", "tallboy.errors", "tallboy.sums", "tallboy.tables", "tallboy.work"},
    "work": STANDARD | {"tallboy.errors", "tallboy.sums", "tallboy.tables"},
    "planner": STANDARD | NUMBERS | {"tallboy.errors", "tallboy.sums", "tallboy.tables", "tallboy.front", "tallboy.work"},
    "workings": STANDARD | NUMBERS | {"importlib", "pkgutil", "tallboy.errors", "tallboy.sums", "tallboy.tables"},
    "checks": STANDARD | NUMBERS | {"importlib", "tallboy.errors"},
    "paper": STANDARD | {"importlib", "pathlib", "tallboy.errors", "tallboy.sums", "tallboy.tables", "tallboy.front", "typst", "segno"},
}  # fmt: skip
"""What each package may import; itself always."""

IN_ONE_FILE = {
    "concurrent": "planner/search/neighbourhoods.py",
    "ortools": "planner/model/solver.py",
    "queue": "planner/model/solver.py",
    "threading": "planner/model/solver.py",
    "time": "planner/search/stopwatch.py",
    "jsonschema": "front/piecefile.py",
}
"""Libraries that stand behind one door."""

CALLS = {"open", "print", "input", "exec", "eval", "compile", "__import__", "breakpoint"}
METHODS = {
    "now",
    "utcnow",
    "today",
    "localtime",
    "gmtime",
    "monotonic",
    "perf_counter",
    "getenv",
    "getlocale",
    "urandom",
    "default_rng",
}
FILE_METHODS = {
    "write_text",
    "write_bytes",
    "unlink",
    "mkdir",
    "rename",
    "iterdir",
    "glob",
    "rglob",
    "read_text",
    "read_bytes",
}
READERS = {"tables/load.py", "checks/load.py", "paper/press.py"}
"""The loaders of tables and checks, and the reader of the papers' templates."""
NAMES = {"environ", "stdout", "stderr"}


def _files() -> list[Path]:
    """Every Python file of the pure packages that are there."""
    return sorted(path for package in PURE for path in (ROOT / package).rglob("*.py"))


def _place(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def imported(tree: ast.AST, place: str) -> Iterator[str]:
    """Every module named in an import anywhere in the file; a relative import is of its own package."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.level:
            yield f"tallboy.{place.split('/', maxsplit=1)[0]}"
        elif isinstance(node, ast.ImportFrom) and node.module == "tallboy":
            yield from (f"tallboy.{alias.name}" for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield node.module or ""


def may_import(module: str, place: str) -> bool:
    """Whether the file at `place` may import the module."""
    package = place.split("/", maxsplit=1)[0]
    top = module.split(".", maxsplit=1)[0]
    if top in IN_ONE_FILE:
        return IN_ONE_FILE[top] == place
    name = ".".join(module.split(".")[:2]) if top == "tallboy" else top
    return name in ALLOWED[package] | {f"tallboy.{package}"}


def impure(tree: ast.AST, place: str) -> Iterator[str]:
    """What the file calls or names that reads the world outside."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in CALLS:
            yield f"{node.func.id}() in line {node.lineno}"
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            yield from _impure_method(node, node.func.attr, place)
        elif isinstance(node, ast.Attribute) and node.attr in NAMES:
            yield f"{node.attr} in line {node.lineno}"


def _impure_method(node: ast.Call, name: str, place: str) -> Iterator[str]:
    seeded = name == "default_rng" and (node.args or node.keywords)
    if name == "monotonic" and place == IN_ONE_FILE["time"]:
        return
    if (name in METHODS and not seeded) or (name in FILE_METHODS and place not in READERS):
        yield f".{name}() in line {node.lineno}"


def test_the_pure_packages_are_found() -> None:
    """A walk that finds nothing would prove nothing."""
    found = {_place(path).split("/", maxsplit=1)[0] for path in _files()}
    assert {"sums", "tables"} <= found
    assert len(_files()) >= 12


@pytest.mark.parametrize("path", _files(), ids=_place)
def test_only_what_is_on_the_list_is_imported(path: Path) -> None:
    """Django, the drawers, the book, the system and the network are not."""
    place = _place(path)
    tree = ast.parse(path.read_text(encoding="utf-8"))
    assert [module for module in imported(tree, place) if not may_import(module, place)] == []


@pytest.mark.parametrize("path", _files(), ids=_place)
def test_no_clock_no_environment_no_chance_no_file(path: Path) -> None:
    """Time, seed and text are passed in."""
    assert list(impure(ast.parse(path.read_text(encoding="utf-8")), _place(path))) == []


@pytest.mark.parametrize(
    ("code", "place"),
    [
        ("import django", "sums/air.py"), ("from django.utils import timezone", "work/unroll.py"), ("import os", "front/shape.py"),
        ("import random", "planner/search/greedy.py"), ("from tallboy.book import models", "planner/network.py"),
        ("from tallboy import drawers", "paper/day.py"), ("import ortools", "planner/search/greedy.py"), ("from tallboy.tables import load", "sums/air.py"),
        ("import jsonschema", "front/shape.py"), ("import time", "sums/units.py"), ("import typst", "front/elevation.py"),
        ("import numpy", "tables/load.py"),
    ],
)  # fmt: skip
def test_the_list_catches_what_it_is_for(code: str, place: str) -> None:
    """One forbidden import of each sort."""
    assert [module for module in imported(ast.parse(code), place) if not may_import(module, place)]


@pytest.mark.parametrize(
    "code",
    [
        "datetime.now()", "date.today()", "open('x')", "print('x')", "os.environ['x']", "time.monotonic()", "np.random.default_rng()",
        "path.read_text()", "os.getenv('x')", "sys.stdout",
    ],
)  # fmt: skip
def test_reading_the_world_is_caught(code: str) -> None:
    """One call of each sort; a generator with its seed given is allowed."""
    assert list(impure(ast.parse(code), "sums/air.py"))
    assert not list(impure(ast.parse("np.random.default_rng(7)"), "sums/air.py"))
