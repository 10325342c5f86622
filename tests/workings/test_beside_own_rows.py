"""Rows of a shop's own beside the printed ones: whatever the tables take in, no sum that does not name them trips over them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, TypeVar

import numpy as np
import pytest

from tallboy.errors import BadInput
from tallboy.tables.rows import OWN, Column, Row, Rows, Table, checked_row, table, tables_with_columns
from tallboy.tables.usable import check_usable
from tallboy.workings.asking import ask
from tallboy.workings.known import all_workings

Thing = TypeVar("Thing")
LIKE_PRINTED, LEFT_EMPTY = 0.5, 0.3


def one_of(choices: Sequence[Thing], rnd: np.random.Generator) -> Thing:
    """Any of them."""
    return choices[int(rnd.integers(len(choices)))]


def some_value(column: Column, rnd: np.random.Generator) -> object:
    """Something that may stand in a column by itself."""
    if column.kind == "flag":
        return rnd.random() < 0.5
    if column.kind != "number":
        word = one_of(column.accepted or ("bench", "any", "acid"), rnd)
        return [word] if column.kind == "keys" else word
    low, high = max(column.low, -1e6), min(column.high, 1e6)
    return one_of([low, high, rnd.uniform(low, high), low + (high - low) * math.exp(-10 * rnd.random())], rnd)


def some_row(of: Table, rnd: np.random.Generator, key: str) -> dict[str, Any]:
    """A row that is partly like a printed one and partly made up."""
    like = one_of(of.rows, rnd)
    row: dict[str, Any] = {"key": key}
    for column in of.columns:
        if column.name in like and rnd.random() < LIKE_PRINTED:
            row[column.name] = like[column.name]
        elif column.needed or rnd.random() > LEFT_EMPTY:
            row[column.name] = some_value(column, rnd)
    return row


def taken_in(of: Table, rnd: np.random.Generator) -> list[Row]:
    """Those of many made-up rows that the table takes."""
    rows: list[Row] = []
    for number in range(40):
        try:
            row = checked_row(of, some_row(of, rnd, f"quay {of.name} {number}"))
            check_usable(of.name, row)
        except BadInput:
            continue
        rows.append({**row, "source": "my own measurement", "evidence": OWN, "note": ""})
    return rows


@pytest.mark.parametrize("seed", range(3))
def test_every_example_is_still_answered(seed: int) -> None:
    """With dozens of rows of its own in every table."""
    rnd = np.random.default_rng(seed)
    own = {name: tuple(taken_in(table(name), rnd)) for name in tables_with_columns()}
    assert sum(map(len, own.values())) > 200
    rows = Rows(own)
    for working in all_workings().values():
        assert ask(working, working.example, rows).working, working.name


@pytest.mark.parametrize(
    ("name", "values", "told"),
    [
        ("losses", {"low": 0.3, "middle": 0.95, "high": 0.0}, "not in order"), ("metals", {"density_low": 9.0, "density_high": 8.0}, "not in order"),
        ("liquids", {"lfl": 9.0, "ufl": 2.0}, "not in order"), ("liquids", {"pressure_a": 490.0, "pressure_b": -1.0}, "no liquid"),
        ("mixing", {"number_low": 3.0, "number_high": None}, "Only one"), ("metal_signs", {"magnet_none": 3.0}, "add up"),
        ("galvanic", {"index": 10.5}, "whole"), ("currencies", {"minor": 2.5}, "whole"),
    ],
)  # fmt: skip
def test_columns_that_do_not_fit_each_other(name: str, values: dict[str, Any], told: str) -> None:
    """Each is in its own range; together they make no sense."""
    like = {column.name: table(name).rows[0].get(column.name) for column in table(name).columns}
    with pytest.raises(BadInput, match=told):
        check_usable(name, checked_row(table(name), {**like, **values, "key": "quay"}))


@pytest.mark.parametrize("name", tables_with_columns())
def test_every_printed_row_is_usable(name: str) -> None:
    """The rule for a shop's own rows holds for all the others."""
    for row in table(name).rows:
        check_usable(name, row)
