"""Asking a sum in tests, and taking one result out of its answer."""

from __future__ import annotations

from typing import Any

from tallboy.workings.asking import ask
from tallboy.workings.kinds import Answer, Got
from tallboy.workings.known import working


def answered(name: str, **typed: str) -> Answer:
    """What the sum of that name says to what is typed."""
    return ask(working(name), typed)


def from_example(name: str, **typed: str) -> Answer:
    """The same, with the example's values where nothing else is typed."""
    return ask(working(name), {**working(name).example, **typed})


def got(found: Answer, name: str) -> Got:
    """One of its results."""
    return next(one for one in found.results if one.name == name)


def value(found: Answer, name: str) -> Any:
    """The figure of one of its results."""
    return got(found, name).value
