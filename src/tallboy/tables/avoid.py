"""What speaks against a liquid before anything is reckoned: the list of don'ts, liquids held back, and liquids that part."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations
from typing import Any, Literal

from tallboy.sums.mixing import MixingNumber, mixes
from tallboy.tables.load import load
from tallboy.tables.rows import PRINTED, Rows, same

Mixing = Literal["mixes", "may part", "parts", "not known"]

LEAVE_OUT = "leave out"
OTHER_FAMILIES = ("caustic", "oxalic acid", "bleach")
"""Families in the list of don'ts that are not in the table of how liquids mix."""


@dataclass(frozen=True)
class Dont:
    """One reason not to put a liquid on a material; `never` when it is left out, false when care is enough."""

    liquid: str
    material: str
    reason: str
    never: bool
    source: str


def family(liquid: str, lookup: Rows = PRINTED) -> str:
    """The family of a liquid, such as "ketone"; "" for one that the table does not have."""
    return next((str(row["group"]) for row in lookup.of("mixing") if same(row["key"], liquid)), "")


def donts(liquid: str, materials: Iterable[str], of_family: str = "", lookup: Rows = PRINTED) -> tuple[Dont, ...]:
    """What the list says of this liquid on these materials (groups of residues, or what lies close by).

    The liquid is a key of the table of liquids; `of_family` names its family where that table does not have it.
    """
    wanted = {(of_family or family(liquid, lookup)).casefold(), liquid.casefold()}
    near = {material.casefold() for material in materials}
    return tuple(
        Dont(liquid, row["material"], row["reason"], _never(row["level"]), row.get("source", ""))
        for row in lookup.of("avoid")
        if wanted & {word.casefold() for word in row["liquids"]} and row["material"].casefold() in near
    )


def _never(level: str) -> bool:
    return level.strip().casefold() == LEAVE_OUT


def held_back(liquid: str) -> str:
    """Why a liquid is offered only when it is asked for; "" when it is offered freely."""
    return next((str(row["reason"]) for row in load("avoid")["held_back"] if row["key"] == liquid), "")


def how_mix(one: Mapping[str, Any], other: Mapping[str, Any], lookup: Rows = PRINTED) -> Mixing:
    """Whether two liquids of the table of liquids stay in one layer; "not known" where nothing is known of one of them."""
    for row, beside in ((one, other), (other, one)):
        if family(row["key"], lookup) in ("water", "ammonia"):
            return _with_water(beside)
    first, second = mixing_number(one["key"], lookup), mixing_number(other["key"], lookup)
    return "not known" if first is None or second is None else mixes(first, second)


def pairs(rows: Iterable[Mapping[str, Any]], *kinds: Mixing, lookup: Rows = PRINTED) -> frozenset[frozenset[str]]:
    """The pairs of these liquids that mix in one of these ways."""
    couples = combinations(rows, 2)
    return frozenset(
        frozenset((one["key"], other["key"])) for one, other in couples if how_mix(one, other, lookup) in kinds
    )


def mixing_number(liquid: str, lookup: Rows = PRINTED) -> MixingNumber | None:
    """The miscibility number of a liquid; None where the table has none."""
    row = next((row for row in lookup.of("mixing") if same(row["key"], liquid)), None)
    if row is None or "number_low" not in row or "number_high" not in row:
        return None
    return MixingNumber(float(row["number_low"]), float(row["number_high"]))


def _with_water(row: Mapping[str, Any]) -> Mixing:
    told = row.get("miscible_with_water")
    if told is None:
        return "not known"
    return "mixes" if told else "parts"
