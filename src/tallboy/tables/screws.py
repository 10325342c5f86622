"""From a row of the table of screws to what the sums take: diameters, and the drills that charts print."""

from __future__ import annotations

from collections.abc import Iterable

from tallboy.errors import NotFound
from tallboy.sums.film import Estimate
from tallboy.sums.holes import Screw, pilot_hole, root_diameter
from tallboy.sums.unit_words import MM_PER_INCH
from tallboy.tables.rows import Row, Rows

_PILOTS = {True: ("hard_in", "hard_firm_in", "hard_boat_in"), False: ("soft_in", "soft_firm_in", "soft_boat_in")}


def screw(row: Row) -> Screw:
    """The diameters of a row [mm]; a root that it does not give is two thirds of the shank."""
    shank = float(row["shank_mm"])
    root = _mm(row, "root_in")
    return Screw(shank, root_diameter(shank) if root is None else root, _mm(row, "head_in"))


def screw_of(gauge: str) -> Screw:
    """The screw of this gauge, such as "8"; NotFound names the gauges there are."""
    return screw(Rows().row("screws", gauge))


def pilot(row: Row, hardwood: bool) -> Estimate:
    """Lead hole for a row's thread [mm], over the drills that charts print for it."""
    charts = [drill for name in _PILOTS[hardwood] if (drill := _mm(row, name)) is not None]
    return pilot_hole(float(row["shank_mm"]), hardwood, charts)


def pilot_of(gauge: str, hardwood: bool) -> Estimate:
    """The same for the screw of this gauge."""
    return pilot(Rows().row("screws", gauge), hardwood)


def clearance(row: Row) -> float:
    """Hole for a row's shank [mm]: the drill a chart prints, snug for a real screw, or a 64th of an inch over where none does."""
    printed = _mm(row, "clearance_in")
    return float(row["shank_mm"]) + MM_PER_INCH / 64 if printed is None else printed


def clearance_of(gauge: str) -> float:
    """The same for the screw of this gauge."""
    return clearance(Rows().row("screws", gauge))


def next_thicker(row: Row, rows: Iterable[Row]) -> Row:
    """The next screw up among these rows; NotFound for the thickest."""
    thicker = [other for other in rows if float(other["shank_mm"]) > float(row["shank_mm"])]
    if not thicker:
        raise NotFound(
            f"There is no screw thicker than {row['key']} in the table.", "Add your own to the table of screws."
        )
    return min(thicker, key=lambda other: float(other["shank_mm"]))


def _mm(row: Row, name: str) -> float | None:
    value = row.get(name)
    return None if value is None else float(value) * MM_PER_INCH
