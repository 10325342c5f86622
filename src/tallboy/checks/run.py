"""Works the published checks out."""

from __future__ import annotations

import importlib
import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any, cast

import numpy as np

from tallboy.checks.kinds import Check, Outcome
from tallboy.checks.readers import READERS
from tallboy.errors import BadFile

DataFile = Callable[[str], str | None]
"""The text of a reference file by its path, None where it is not at hand."""


class NotAtHand(Exception):
    """A data file that a check needs is not here."""


def nothing_at_hand(_path: str) -> None:
    """For who has no reference files."""
    return


def outcomes(checks: Iterable[Check], data_file: DataFile = nothing_at_hand) -> list[Outcome]:
    """What each check came to."""
    answers: dict[str, object] = {}
    return [outcome(check, data_file, answers) for check in checks]


def outcome(check: Check, data_file: DataFile = nothing_at_hand, answers: dict[str, object] | None = None) -> Outcome:
    """What one check came to; an error that the sum raises goes on to the caller.

    `answers` keeps what the sums gave, for checks that look at another part of the same answer.
    """
    try:
        given = {name: made(value, data_file) for name, value in check.given.items()}
        expected = made(check.expected, data_file)
    except NotAtHand:
        return Outcome(check, None, None, None)
    got = picked(_answer(check, given, {} if answers is None else answers), check.pick)
    difference = _difference(got, expected)
    holds = difference <= check.tolerance * (1 + 1e-12) if difference is not None else _plain(got) == expected
    return Outcome(check, _plain(got), difference, bool(holds))


def _answer(check: Check, given: Mapping[str, object], answers: dict[str, object]) -> object:
    asked = f"{check.of} {check.given!r}"
    if asked not in answers:
        answers[asked] = function(check.of)(**given)
    return answers[asked]


def function(name: str) -> Callable[..., Any]:
    """The function that a check names: "air.dew_point" in the sums, "tables.woods.wood" in the tables."""
    path = name if name.startswith("tables.") else f"sums.{name}"
    module, _, attribute = f"tallboy.{path}".rpartition(".")
    return cast(Callable[..., Any], getattr(importlib.import_module(module), attribute))


def picked(answer: object, path: str) -> object:
    """The part of an answer that the path leads to: attributes, keys and indices with dots between."""
    for step in path.split(".") if path else ():
        answer = _step(answer, step)
    return answer


def _step(answer: object, step: str) -> object:
    if isinstance(answer, Mapping):
        return answer[step]
    if isinstance(answer, Sequence | np.ndarray):
        return answer[int(step)]
    return getattr(answer, step)


def made(value: object, data_file: DataFile = nothing_at_hand) -> object:
    """An argument as the sum takes it: tables with `make` are called, with `file` read, with `sum` they are that sum itself; lists and plain values stay."""
    if isinstance(value, list):
        return [made(part, data_file) for part in value]
    if not isinstance(value, Mapping):
        return value
    parts = {
        name: made(part, data_file) for name, part in value.items() if name not in ("make", "file", "read", "pick")
    }
    if "sum" in value:
        return function(str(value["sum"]))
    if "make" in value:
        return function(str(value["make"]))(**parts)
    if "file" in value:
        return _from_file(value, data_file)
    return parts


def _from_file(value: Mapping[str, Any], data_file: DataFile) -> object:
    path = str(value["file"])
    text = data_file(path)
    if text is None:
        raise NotAtHand(path)
    try:
        return picked(READERS[str(value["read"])](text), str(value.get("pick", "")))
    except (ValueError, LookupError):
        raise BadFile(f"The data file {path} is damaged.", "Fetch it anew, or take it away.") from None


def _difference(got: object, expected: object) -> float | None:
    """The largest difference between numbers; None for words, yes and no."""
    if isinstance(got, bool | np.bool_ | str) or isinstance(expected, bool | str) or got is None:
        return None
    if isinstance(got, Decimal):
        return float(abs(got - Decimal(str(expected))))
    have, want = np.asarray(got, dtype=np.float64), np.asarray(expected, dtype=np.float64)
    if have.shape != want.shape:
        return math.inf
    worst = np.max(np.abs(have - want), initial=0.0)
    return float(worst) if math.isfinite(worst) else math.inf


def _plain(value: object) -> object:
    """The value as it can be compared and written down."""
    if isinstance(value, np.ndarray):
        return value.tolist()
    if isinstance(value, np.generic):
        return value.item()
    if isinstance(value, tuple):
        return [_plain(part) for part in value]
    return value
