"""From a row of the table of woods to what the sums take: coefficients of movement, shrinkages, specific gravity."""

from __future__ import annotations

from tallboy.errors import BadInput
from tallboy.sums.wood import basic_gravity, gravity_at
from tallboy.sums.wood_movement import coefficient_at_angle, coefficient_from_shrinkage
from tallboy.tables.rows import Row, Rows


def wood(key: str) -> Row:
    """The row of one wood, such as "red oak"; NotFound names the woods there are."""
    return Rows().row("woods", key)


def coefficients(row: Row) -> tuple[float, float]:
    """Radial and tangential coefficient of movement [1/%]: the row's own, else from the shrinkages of the same wood.

    BadInput where the row has neither, or where its kind is sold as a group whose coefficients belong to other wood.
    """
    if "radial_coefficient" in row and "tangential_coefficient" in row:
        return float(row["radial_coefficient"]), float(row["tangential_coefficient"])
    if "radial_shrinkage" not in row or "tangential_shrinkage" not in row or row.get("apart"):
        raise BadInput(f"There is no coefficient of movement for {row['key']}.", _instead(row))
    return coefficient_from_shrinkage(row["radial_shrinkage"]), coefficient_from_shrinkage(row["tangential_shrinkage"])


def coefficient(row: Row, ring_angle: float) -> float:
    """Coefficient across a board whose rings stand at this angle [°] to its width."""
    radial, tangential = coefficients(row)
    return coefficient_at_angle(radial, tangential, ring_angle)


def from_shrinkage(row: Row) -> bool:
    """Whether the row's coefficients have to be worked out from its shrinkages."""
    return "radial_coefficient" not in row or "tangential_coefficient" not in row


def gravity_basic(row: Row) -> float:
    """Oven-dry mass over green volume: the row's own, else from the one at 12 %; BadInput where it has neither."""
    if "basic_gravity" in row:
        return float(row["basic_gravity"])
    if "gravity_12" not in row:
        raise BadInput(f"There is no specific gravity for {row['key']}.", _weigh_instead(row))
    return basic_gravity(float(row["gravity_12"]), 12.0)


def gravity_12(row: Row) -> float:
    """Oven-dry mass over volume at 12 %: the row's own, else from the basic one; BadInput where it has neither."""
    if "gravity_12" in row:
        return float(row["gravity_12"])
    return gravity_at(gravity_basic(row), 12.0)


def _weigh_instead(row: Row) -> str:
    """Woods of the same name that have a specific gravity: oak for oak."""
    last = str(row["key"]).split()[-1]
    near = [str(one["key"]) for one in Rows().of("woods") if has_gravity(one) and str(one["key"]).split()[-1] == last]
    return f"Take {' or '.join(near)}, or add your own." if near else "Take a wood that has one, or add your own."


def has_gravity(row: Row) -> bool:
    """Whether a specific gravity of the row is known, in whichever column."""
    return "basic_gravity" in row or "gravity_12" in row


def _instead(row: Row) -> str:
    if row.get("apart"):
        return "Take the group that it is sold in, such as red oak or white oak."
    return "Take a wood that has one, or add your own."
