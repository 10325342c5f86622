"""From rows of the tables of residues and of liquids to what the sums of lifting work with."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tallboy.errors import BadInput
from tallboy.sums.blends import Solvent
from tallboy.sums.lifting import Residue
from tallboy.sums.solubility import Hansen
from tallboy.tables.rows import Rows

WEAK = "weak"


def hansen(row: Mapping[str, Any]) -> Hansen:
    """The three parameters of a row; BadInput for a liquid that has none, such as ammonia, which works by reaction."""
    if any(row.get(name) is None for name in ("hansen_d", "hansen_p", "hansen_h")):
        raise BadInput(
            f"There are no solubility parameters for {row['key']}: it cannot be reckoned what it lifts.",
            "Choose a liquid that has δD, δP and δH in the table of liquids.",
        )
    return Hansen(float(row["hansen_d"]), float(row["hansen_p"]), float(row["hansen_h"]))


def residue(row: Mapping[str, Any]) -> Residue:
    """What is lifted or spared, as the sums take it. A row of the shop's own counts as measured unless it says weak."""
    return Residue(
        str(row["key"]),
        hansen(row),
        float(row["radius"]),
        bool(row.get("crosslinks", False)),
        str(row.get("reliability", "")).casefold() != WEAK,
    )


def residue_of(key: str) -> Residue:
    """The residue with this key in the printed table."""
    return residue(Rows().row("residues", key))


def solvent(row: Mapping[str, Any]) -> Solvent:
    """A liquid as the sums take it."""
    return Solvent(str(row["key"]), hansen(row))


def hansen_of(key: str) -> Hansen:
    """The parameters of a liquid in the printed table."""
    return hansen(Rows().row("liquids", key))
