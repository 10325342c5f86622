"""Out of range is an error by name, everywhere: the ranges in the docstrings are tried from both sides, and no number as well.

The other arguments come from a published check of the same sum.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from typing import Any

import pytest
from tests.test_docstrings import sections

from tallboy.checks.kinds import Check
from tallboy.checks.load import all_checks
from tallboy.checks.run import function, made
from tallboy.errors import OutOfRange

RANGE = re.compile(r"(?<![\w.])(-?\d[\d ]*(?:\.\d+)?) to (less than )?(-?\d[\d ]*(?:\.\d+)?)(?![\w])")


def documented(check: Check) -> Iterator[tuple[str, float, float]]:
    """Each numeric argument of the check's sum whose range its docstring gives."""
    for line in sections(function(check.of)).get("Parameters", []):
        name, _, words = line.partition(" : ")
        value = check.given.get(name)
        ranges = RANGE.findall(words)
        if len(ranges) == 1 and isinstance(value, int | float) and not isinstance(value, bool):
            yield name, _number(ranges[0][0]), _number(ranges[0][2])


def _number(text: str) -> float:
    return float(text.replace(" ", ""))


def cases() -> Iterator[Any]:
    """One for each argument of each sum."""
    seen: set[tuple[str, str]] = set()
    for check in all_checks():
        if check.of.startswith("tables.") or "file" in repr(check.given):
            continue
        for name, low, high in documented(check):
            if (check.of, name) not in seen:
                seen.add((check.of, name))
                yield pytest.param(check, name, low, high, id=f"{check.of}-{name}")


CASES = list(cases())


def test_ranges_are_found() -> None:
    """A walk that finds nothing would prove nothing."""
    assert len(CASES) >= 100


@pytest.mark.parametrize(("check", "name", "low", "high"), CASES)
def test_out_of_range_is_an_error_by_name(check: Check, name: str, low: float, high: float) -> None:
    """Just below, just above, without end either way, and not a number."""
    step = max(abs(low), abs(high), 1.0) * 0.01
    given = {key: made(value) for key, value in check.given.items()}
    whole = isinstance(check.given[name], int) and float(low).is_integer() and float(high).is_integer()
    near: list[float] = [int(low) - 1, int(high) + 1] if whole else [low - step, high + step]
    outside = [*near, math.nan, math.inf, -math.inf]
    for value in outside:
        with pytest.raises(OutOfRange) as caught:
            function(check.of)(**{**given, name: value})
        assert caught.value.name
        assert str(caught.value.high)
