"""Every published check that tallboy carries, sum by sum: the same data that `tallboy checks` and its page show.

Checks whose data stay outside the repository are read from the reference folder (tests/reference.py).
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections import Counter
from collections.abc import Iterator, Mapping

import pytest
from tests.reference import place, reference

import tallboy.sums
from tallboy.checks.kinds import Check
from tallboy.checks.load import all_checks
from tallboy.checks.run import outcomes
from tallboy.checks.telling import lines
from tallboy.tables import load

CHECKS = all_checks()
SOURCES = {row["key"] for row in load("sources")["sources"]}
FEWEST = 200


def _of_each_sum() -> Mapping[str, list[Check]]:
    sums: dict[str, list[Check]] = {}
    for check in CHECKS:
        sums.setdefault(f"{check.family}-{check.of}", []).append(check)
    return sums


@pytest.mark.parametrize("checks", [pytest.param(checks, id=name) for name, checks in _of_each_sum().items()])
def test_a_sum_gives_what_its_source_says(checks: list[Check]) -> None:
    """Within the tolerance that the source itself allows, in every check of that sum; missing data skip only their own."""
    missing: list[str] = []

    def data_file(path: str) -> str | None:
        if place(path).exists():
            return place(path).read_text(encoding="utf-8", errors="replace")
        missing.append(path)
        return None

    found = outcomes(checks, data_file)
    assert [line for each in found if each.holds is False for line in lines(each)] == []
    for path in missing:
        reference(path)


def test_there_are_enough_of_them() -> None:
    """Two hundred at the least, and none twice."""
    assert len(CHECKS) >= FEWEST
    twice = [text for text, times in Counter(repr(check) for check in CHECKS).items() if times > 1]
    assert twice == []


def test_each_names_a_source_that_is_in_the_table() -> None:
    """A key that leads nowhere would be no source."""
    assert sorted({f"{check.family}: {check.source}" for check in CHECKS if check.source not in SOURCES}) == []


def test_what_was_computed_names_its_library() -> None:
    """A computed value says with what; a derived one says how."""
    bare = [f"{check.of} {check.text}" for check in CHECKS if check.how in ("computed", "derived") and not check.note]
    assert bare == []


def public_sums() -> Iterator[str]:
    """Every function of the sums that people may call, as "module.function"."""
    for info in pkgutil.iter_modules(tallboy.sums.__path__, "tallboy.sums."):
        module = importlib.import_module(info.name)
        for name, function in inspect.getmembers(module, inspect.isfunction):
            if function.__module__ == info.name and not name.startswith("_"):
                yield f"{info.name.removeprefix('tallboy.sums.')}.{name}"


def named(value: object) -> Iterator[str]:
    """Every function that an argument is made with."""
    if isinstance(value, Mapping):
        if "make" in value:
            yield str(value["make"])
        for part in value.values():
            yield from named(part)
    elif isinstance(value, list):
        for part in value:
            yield from named(part)


def test_every_public_sum_is_checked() -> None:
    """By a published value, or one derived without the code."""
    checked = {check.of for check in CHECKS} | {made for check in CHECKS for made in named(dict(check.given))}
    bare = []
    for function in sorted(set(public_sums()) - checked):
        module, _, name = function.rpartition(".")
        if not any(_same(of, module, name) for of in checked if of.rpartition(".")[2] == name):
            bare.append(function)
    assert bare == []


def _same(of: str, module: str, name: str) -> bool:
    """Whether a check names the function by another module that hands it on."""
    place = importlib.import_module(f"tallboy.sums.{of.rpartition('.')[0]}")
    return getattr(place, name, None) is getattr(importlib.import_module(f"tallboy.sums.{module}"), name)
