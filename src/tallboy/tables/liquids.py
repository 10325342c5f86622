"""From a row of the table of liquids, printed or the shop's own, to a liquid that the sums of vapours can be worked out with."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tallboy.errors import NotFound
from tallboy.sums.vapour import Limit, Liquid, PressureLaw, law_through
from tallboy.tables.load import load

LISTS = {"osha": "OSHA", "ontario": "Ontario", "epa": "EPA"}
"""The lists of limits in air, and what people call them."""

KINDS = {"twa": "8 hours", "stel": "15 minutes", "ceiling": "never above"}

DIFFUSION_PER_MASS = 1.3
"""Diffusion volume for each g/mol where a row does not give it; rows of the table lie between 0.7 and 1.5. A third off is 8 % in the
diffusivity."""


def liquid(key: str) -> Liquid:
    """The liquid of one printed row, such as "acetone"; NotFound names those there are."""
    rows = {row["key"]: row for row in load("liquids")["liquids"]}
    if key not in rows:
        raise NotFound(f"There is no liquid called “{key}”.", f"There are: {', '.join(rows)}.")
    return from_row(rows[key])


def law_of(key: str) -> PressureLaw:
    """The law of the vapour pressure of one printed row; NotFound where the row has none."""
    law = liquid(key).pressure
    if law is None:
        raise NotFound(
            f"The vapour pressure of {key} is not known.", "Its row in the table of liquids leaves it empty."
        )
    return law


def from_row(row: Mapping[str, Any]) -> Liquid:
    """The liquid of a row. What the row leaves empty stays None: not known."""
    volume = row.get("diffusion_volume")
    return Liquid(
        name=str(row["key"]),
        molar_mass=float(row["molar_mass"]),
        pressure=pressure_law(row),
        spread=float(row.get("pressure_spread", 20.0)),
        density=row.get("density"),
        diffusion_volume=DIFFUSION_PER_MASS * row["molar_mass"] if volume is None else volume,
        boiling=row.get("boiling"),
        flash=row.get("flash"),
        lower=row.get("lfl"),
        upper=row.get("ufl"),
        limits=limits(row),
        incombustible=bool(row.get("incombustible", False)),
        guessed_diffusion=volume is None,
    )


def pressure_law(row: Mapping[str, Any]) -> PressureLaw | None:
    """The law of the vapour pressure: from its constants, else through the one value at 20 °C and the boiling point, else None."""
    if row.get("pressure_a") is not None and row.get("pressure_b") is not None:
        names = ("a", "b", "c", "d", "e", "f", "low", "high")
        given = {name: float(row[f"pressure_{name}"]) for name in names if row.get(f"pressure_{name}") is not None}
        return PressureLaw(**given)
    if row.get("pressure_20") is not None and row.get("boiling") is not None:
        return law_through(float(row["pressure_20"]), float(row["boiling"]))
    return None


def limits(row: Mapping[str, Any]) -> tuple[Limit, ...]:
    """The limits in air that the row gives, list by list."""
    found = []
    for name, words in LISTS.items():
        for kind, told in KINDS.items():
            ppm = row.get(f"{name}_{kind}")
            if ppm is not None:
                found.append(Limit(words, told, float(ppm)))
    return tuple(found)


def lowest_limit(of: Liquid, lists: str = "", kind: str = "8 hours") -> Limit | None:
    """The lowest limit of one kind, of one list or of all; None when none is known."""
    fitting = [limit for limit in of.limits if limit.kind == kind and lists in ("", limit.of)]
    return min(fitting, key=lambda limit: limit.ppm, default=None)
