"""Whether a row's columns fit each other, and not only each its own range: a sum that goes through all rows must not trip over one."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from tallboy.errors import BadInput
from tallboy.sums.mixing import MixingNumber
from tallboy.sums.vapour import vapour_pressure
from tallboy.tables import currencies, liquids, losses, metals, residues, screws, woods
from tallboy.tables.rows import Row

OUT_OF_A_HUNDRED = 1.0
"""Shares that are rounded to whole hundredths may add up to so much less or more [%]; own choice."""
USUAL_CELSIUS = 20.0


def check_usable(name: str, row: Row) -> None:
    """Make of a row of this table what the sums make of it; BadInput says what does not fit."""
    if name in _MADE:
        _MADE[name](row)


def _metal(row: Row) -> None:
    _in_order(row, "Density", *(f"density_{end}" for end in ("low", "usual", "high")))


def _signs(row: Row) -> None:
    _in_order(row, "Density", "density_low", "density_high")
    for sign in metals.SIGNS:
        total = sum(row[f"{sign}_{key}"] for key, _words in metals.outcomes(sign))
        if abs(total - 100) > OUT_OF_A_HUNDRED:
            raise BadInput(f"The outcomes of the sign “{sign}” add up to {total:g} %.", "They must add up to 100 %.")


def _liquid(row: Row) -> None:
    law = liquids.from_row(row).pressure
    _in_order(row, "Limit of burning", "lfl", "ufl")
    if law is not None and law.low > law.high:
        raise BadInput(
            "The vapour pressure would hold from a higher temperature to a lower one.", "Give them in order."
        )
    if law is not None:
        vapour_pressure(law, min(max(USUAL_CELSIUS, law.low), law.high))


def _mixing(row: Row) -> None:
    low, high = row.get("number_low"), row.get("number_high")
    if (low is None) != (high is None):
        raise BadInput("Only one of the two mixing numbers is given.", "Give both, the same one twice, or none.")
    if low is not None and high is not None:
        MixingNumber(low, high)


def _screw(row: Row) -> None:
    screws.screw(row)
    for hard in (True, False):
        screws.pilot(row, hard)


def _wood(row: Row) -> None:
    if {"radial_shrinkage", "tangential_shrinkage"} <= set(row) and not row.get("apart"):
        woods.coefficients({name: value for name, value in row.items() if not name.endswith("_coefficient")})
    if woods.has_gravity(row):
        woods.gravity_basic(row)
        woods.gravity_12(row)


def _whole(column: str, words: str) -> Callable[[Row], None]:
    def check(row: Row) -> None:
        if row[column] != int(row[column]):
            raise BadInput(f"{words} is {row[column]:g}.", "It must be a whole number.")

    return check


def _currency(row: Row) -> None:
    _whole("minor", "The number of decimals")(row)
    currencies.of_row(row)


def _in_order(row: Row, words: str, *columns: str) -> None:
    """Those of the columns that are filled rise from the first to the last."""
    values = [row[column] for column in columns if column in row]
    if values != sorted(values):
        told = ", ".join(f"{value:g}" for value in values)
        raise BadInput(f"{words}: {told} are not in order.", "Give the low value, then the high one.")


_MADE: Mapping[str, Callable[[Row], object]] = {
    "currencies": _currency,
    "galvanic": _whole("index", "The anodic index in hundredths of a volt"),
    "liquids": _liquid,
    "losses": losses.loss,
    "metal_signs": _signs,
    "metals": _metal,
    "mixing": _mixing,
    "residues": residues.residue,
    "screws": _screw,
    "thirst": losses.thirst,
    "woods": _wood,
}
