"""Reads the published checks from their files and writes lists and grids out into single checks."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from importlib.resources import files
from typing import Any

from tallboy.checks.kinds import HOW, Check
from tallboy.errors import BadFile

_SHARED = {"of", "given", "tolerance", "unit", "pick", "source", "how", "note"}
_FORMS = {"checks": {"expected"}, "lists": {"each", "expected"}, "grids": {"rows", "columns", "expected"}}


@cache
def all_checks() -> tuple[Check, ...]:
    """Every check, family by family."""
    folder = files(__package__)
    names = sorted(file.name for file in folder.iterdir() if file.name.endswith(".toml"))
    return tuple(
        check
        for name in names
        for check in checks_of(folder.joinpath(name).read_text(encoding="utf-8"), name.removesuffix(".toml"))
    )


def checks_of(text: str, family: str) -> list[Check]:
    """The checks of one file; BadFile where it is no TOML, ValueError where a block is not as it should be."""
    try:
        data = tomllib.loads(text)
    except ValueError as error:
        raise BadFile(f"The checks of {family} cannot be read: {error}.", "Install tallboy anew.") from None
    unknown = set(data) - set(_FORMS) - {"about"}
    if unknown:
        raise ValueError(f"{family}: unknown blocks {sorted(unknown)}")
    return [check for form in _FORMS for block in data.get(form, ()) for check in _written_out(form, block, family)]


def _written_out(form: str, block: Mapping[str, Any], family: str) -> Iterator[Check]:
    wrong = set(block) ^ (_SHARED | _FORMS[form])
    if wrong - {"given", "pick", "note", "unit"}:
        raise ValueError(f"{family}: {block.get('of')}: {sorted(wrong)} missing or unknown")
    if block["how"] not in HOW:
        raise ValueError(f"{family}: {block['of']}: how is {block['how']}")
    for given, expected in _cases(form, block):
        yield Check(
            family=family,
            of=block["of"],
            given={**block.get("given", {}), **given},
            expected=expected,
            tolerance=float(block["tolerance"]),
            unit=block.get("unit", ""),
            pick=block.get("pick", ""),
            source=block["source"],
            how=block["how"],
            note=block.get("note", ""),
        )


def _cases(form: str, block: Mapping[str, Any]) -> Iterator[tuple[dict[str, Any], Any]]:
    if form == "checks":
        yield {}, block["expected"]
    elif form == "lists":
        names = list(block["each"])
        for values, expected in zip(zip(*block["each"].values(), strict=True), block["expected"], strict=True):
            yield dict(zip(names, values, strict=True)), expected
    else:
        yield from _grid(block)


def _grid(block: Mapping[str, Any]) -> Iterator[tuple[dict[str, Any], Any]]:
    ((row_name, row_values),) = block["rows"].items()
    ((column_name, column_values),) = block["columns"].items()
    for row, line in zip(row_values, block["expected"], strict=True):
        for column, expected in zip(column_values, line, strict=True):
            yield {row_name: row, column_name: column}, expected
