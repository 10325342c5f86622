"""From the tables of metals to what the sums take: spans of density, groups of the anodic index, candidates with their signs."""

from __future__ import annotations

from collections.abc import Iterable

from tallboy.errors import BadInput
from tallboy.sums.galvanic import Couple, couple
from tallboy.sums.identify import Candidate, Identified, identify
from tallboy.sums.metal import Fits, Span, fits
from tallboy.sums.wood_metal import Effect, Fact, in_wood
from tallboy.tables.rows import PRINTED, Row, Rows, table, word_of

SIGNS = ("magnet", "rub", "tarnish", "edges", "mark", "ring")
"""The signs of the table metal_signs, in the order they are tried."""


def metal(key: str) -> Row:
    """The row of one metal, such as "yellow brass"; NotFound names the metals there are."""
    return Rows().row("metals", key)


def spans(rows: Iterable[Row] | None = None) -> list[Span]:
    """The solid metals with their densities; of the table, or of the rows given."""
    return [
        Span(row["key"], row["kin"], row["density_low"], row["density_high"], row["density_usual"], row["magnet"])
        for row in (table("metals").rows if rows is None else rows)
        if not row.get("plating") and {"density_low", "density_high", "density_usual"} <= set(row)
    ]


def fits_in_table(density: float, uncertainty: float, magnet: str = "") -> Fits:
    """Which metals of the table a density allows."""
    return fits(density, uncertainty, spans(), magnet)


def index_of(key: str) -> int:
    """Anodic index [0.01 V] of a metal or of a group, as a whole number; BadInput where the metal's row names no group."""
    groups = {row["key"]: int(row["index"]) for row in table("galvanic").rows}
    if key in groups:
        return groups[key]
    return index_of_row(metal(key))


def index_of_row(row: Row, rows: Rows = PRINTED) -> int:
    """Anodic index [0.01 V] of the metal of a row; its group may be one of the shop's own."""
    if not row.get("anodic"):
        raise BadInput(f"{row['key']} has no place in the anodic index.", "Name its group in its row.")
    index = float(rows.row("galvanic", row["anodic"])["index"])
    if index != int(index):
        raise BadInput(f"The anodic index of {row['anodic']} is {index:g}.", "It must be whole hundredths of a volt.")
    return int(index)


def couple_of(first: str, second: str) -> Couple:
    """Two metals in contact, by their names or those of their groups; plated parts count as their plating."""
    return couple(index_of(first), index_of(second))


def candidates(rows: Iterable[Row] | None = None) -> list[Candidate]:
    """What a fitting may be, each with how often it shows each outcome of each sign."""
    return [_candidate(row) for row in (table("metal_signs").rows if rows is None else rows)]


def identify_in_table(
    magnet: str = "",
    rub: str = "",
    tarnish: str = "",
    edges: str = "",
    mark: str = "",
    ring: str = "",
    density: float | None = None,
    uncertainty: float | None = None,
) -> Identified:
    """The candidates of the table ranked by what was seen; a sign left at "" was not tried."""
    seen = dict(zip(SIGNS, (magnet, rub, tarnish, edges, mark, ring), strict=True))
    return identify(candidates(), {sign: what for sign, what in seen.items() if what}, density, uncertainty)


def outcomes(sign: str) -> tuple[tuple[str, str], ...]:
    """What a sign may show: key and words."""
    columns = [column for column in table("metal_signs").columns if column.name.startswith(f"{sign}_")]
    return tuple((column.name.removeprefix(f"{sign}_"), column.label.partition(": ")[2]) for column in columns)


def wood_facts(wood: Row, of: Row, preserved: bool = False, rows: Rows = PRINTED) -> list[Fact]:
    """What is known of a metal in a wood; the wood's tannin and acid are those of its row. Platings over iron count as iron too."""
    woods = {"any", wood["key"], f"acid {wood.get('acid', 'unknown')}"}
    woods |= {"tannin"} if wood.get("tannin") else set()
    woods |= {"preserved"} if preserved else set()
    metals = {"any", of["key"]} if of["key"] == "stainless steel" else {"any", of["key"], of.get("kin")}
    metals |= {"iron"} if of.get("rusts") else set()
    return [_fact(row) for row in rows.of("wood_metal") if row["wood"] in woods and row["metal"] in metals]


def _fact(row: Row) -> Fact:
    effect = word_of(Effect, row, "effect")
    source, evidence = row.get("source", ""), row.get("evidence", "")
    return Fact(row["wood"], row["metal"], effect, row.get("needs", ""), row["words"], source, evidence)


def effect_in_wood(wood: str, of: str, moisture_percent: float, closed: bool = False) -> Effect:
    """The worst that is known of a metal in a wood, both by name."""
    return in_wood(wood_facts(Rows().row("woods", wood), metal(of)), moisture_percent, closed)


def _candidate(row: Row) -> Candidate:
    chances = {sign: {key: row[f"{sign}_{key}"] / 100 for key, _ in outcomes(sign)} for sign in SIGNS}
    return Candidate(row["key"], row["met"], bool(row.get("base")), row["density_low"], row["density_high"], chances)
