"""From rows of what is lost on the way, and of what a first coat drinks, to the estimates that the sums take."""

from __future__ import annotations

from tallboy.sums.film import Estimate
from tallboy.tables.rows import Row, Rows


def loss(row: Row) -> Estimate:
    """Share lost with a way of laying a coat [1]."""
    return Estimate(float(row["low"]), float(row["middle"]), float(row["high"]))


def loss_by(key: str) -> Estimate:
    """Share lost with the way of this name, such as "brush"; NotFound names the ways there are."""
    return loss(Rows().row("losses", key))


def thirst(row: Row) -> Estimate:
    """What the first coat takes on a surface, times what a later one takes [1]."""
    return Estimate(float(row["low"]), float(row["middle"]), float(row["high"]))


def thirst_of(key: str) -> Estimate:
    """The same for the surface of this name, such as "bare open grain"; NotFound names the surfaces there are."""
    return thirst(Rows().row("thirst", key))
