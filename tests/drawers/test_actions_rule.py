"""Every change of state goes by the rule: one transaction, at least one row in the journal, who and when known."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import typing
from collections.abc import Callable, Iterator
from types import ModuleType

import pytest

import tallboy.book
import tallboy.desk
import tallboy.drawers
from tallboy.book.doing import By

PART_OF_OTHERS = "Part of other actions"
# Their docstrings tell why: what takes long is worked out outside the transaction; `store_plan` inside them is the action.
BY_ITSELF = {"tallboy.drawers.today.actions.replan", "tallboy.drawers.today.actions.keep_plan"}
FLOORS = (tallboy.book, tallboy.desk, tallboy.drawers)
LEAST = 50


def _action_modules() -> Iterator[ModuleType]:
    """Modules named `actions`, and every module of a package named so."""
    for floor in FLOORS:
        for found in pkgutil.walk_packages(floor.__path__, f"{floor.__name__}."):
            if "actions" in found.name.split("."):
                yield importlib.import_module(found.name)


def _takes_by_first(function: Callable[..., object]) -> bool:
    first = next(iter(inspect.signature(function).parameters), None)
    return first is not None and typing.get_type_hints(function).get(first) is By


def _acts() -> dict[str, Callable[..., object]]:
    """Every public function of an actions module that takes who acts as its first argument."""
    found: dict[str, Callable[..., object]] = {}
    for module in _action_modules():
        for name, function in inspect.getmembers(module, inspect.isfunction):
            own = function.__module__ == module.__name__ and not name.startswith("_")
            if own and _takes_by_first(function):
                found[f"{module.__name__}.{name}"] = function
    return found


ACTS = _acts()


def test_the_walk_finds_the_actions() -> None:
    """The list is not empty by mistake: it reaches the book, plain modules and packages of actions."""
    assert len(ACTS) >= LEAST
    assert {
        "tallboy.book.actions.photos.keep_photo",
        "tallboy.desk.actions.add_row",
        "tallboy.drawers.pieces.actions.work.start_step",
        "tallboy.drawers.ledger.actions.correct_clock",
    } <= set(ACTS)


@pytest.mark.parametrize("name", sorted(ACTS))
def test_it_is_marked_as_an_action(name: str) -> None:
    """Marked with @action, or says in its docstring that it is part of other actions."""
    function = ACTS[name]
    told = PART_OF_OTHERS in (inspect.getdoc(function) or "")
    assert getattr(function, "is_action", False) or told or name in BY_ITSELF


def test_who_acts_is_named_by() -> None:
    """The first argument is called `by` everywhere, so that a reader knows an action by its look."""
    assert {name: next(iter(inspect.signature(f).parameters)) for name, f in ACTS.items()} == dict.fromkeys(ACTS, "by")


def test_the_exceptions_still_exist() -> None:
    """What is excused is really there, and would be caught without the excuse."""
    assert set(ACTS) >= BY_ITSELF
    assert not any(getattr(ACTS[name], "is_action", False) for name in BY_ITSELF)
