"""Every public sum says its units, its ranges and its source: the docstrings are read here as people read them."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest

import tallboy.sums

ORDER = ("Parameters", "Returns", "Raises", "Validity", "Accuracy", "Source", "Example")
UNIT = re.compile(r"\[[^\[\]]+\]")


def _public_sums() -> Iterator[Any]:
    """Functions without a leading underscore, each in the file that defines it."""
    for info in pkgutil.iter_modules(tallboy.sums.__path__, "tallboy.sums."):
        module = importlib.import_module(info.name)
        for name, function in inspect.getmembers(module, inspect.isfunction):
            if function.__module__ == info.name and not name.startswith("_"):
                yield pytest.param(function, id=f"{info.name.removeprefix('tallboy.sums.')}.{name}")


def sections(function: Callable[..., Any]) -> dict[str, list[str]]:
    """The lines of each section, by its heading; the summary stands under ""."""
    found: dict[str, list[str]] = {"": []}
    heading = ""
    lines = (inspect.getdoc(function) or "").splitlines()
    for line, below in zip(lines, [*lines[1:], ""], strict=True):
        if line and set(below) == {"-"}:
            heading = line.strip()
            found[heading] = []
        elif line.strip() and set(line) != {"-"}:
            found[heading].append(line)
    return found


SUMS = list(_public_sums())


def test_the_sums_are_found() -> None:
    """A walk that finds nothing would prove nothing."""
    assert len(SUMS) >= 30


@pytest.mark.parametrize("function", SUMS)
def test_a_sum_names_its_source(function: Callable[..., Any]) -> None:
    """At least "definition" or "own derivation"; and a summary of one line comes first."""
    found = sections(function)
    assert found[""][0].rstrip().endswith((".", ":"))
    assert found.get("Source"), "no Source section"


@pytest.mark.parametrize("function", SUMS)
def test_a_sum_names_each_argument_with_its_unit(function: Callable[..., Any]) -> None:
    """Every argument of the signature, in its order, with its unit in square brackets."""
    lines = [line for line in sections(function).get("Parameters", []) if not line.startswith(" ")]
    documented = [line.split(" : ")[0] for line in lines]
    assert documented == list(inspect.signature(function).parameters)
    assert all(UNIT.match(line.split(" : ")[1]) for line in lines)


@pytest.mark.parametrize("function", SUMS)
def test_a_sum_names_the_unit_of_its_answer(function: Callable[..., Any]) -> None:
    """In square brackets, at the beginning."""
    assert UNIT.match(sections(function)["Returns"][0])


@pytest.mark.parametrize("function", SUMS)
def test_sections_stand_in_their_order(function: Callable[..., Any]) -> None:
    """The same order everywhere, and no heading of another name."""
    headings = [heading for heading in sections(function) if heading]
    assert headings == [heading for heading in ORDER if heading in headings]
