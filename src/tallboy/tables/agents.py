"""From the tables of agents to verdicts: what is known of one agent on one metal, on all layers of a part, and beside another agent."""

from __future__ import annotations

from tallboy.errors import NotFound
from tallboy.sums.agents import Cell, Touch, Verdict, may_mix, touch
from tallboy.tables.rows import PRINTED, Row, Rows, same, word_of

LACQUERED = "lacquered"
"""Name of the surface of any metal under lacquer, tinted varnish or a bronzed finish."""


def agent(key: str, rows: Rows = PRINTED) -> Row:
    """The row of one agent, such as "ammonia"; NotFound names the agents there are."""
    return rows.row("agents", key)


def cell(agent_key: str, metal_key: str, rows: Rows = PRINTED) -> Cell:
    """What is known of an agent on a metal or surface; one that is in no table is not known. Of several statements the worst counts."""
    found = [
        _cell(row) for row in rows.of("agent_metal") if same(row["agent"], agent_key) and same(row["metal"], metal_key)
    ]
    if not found:
        agent(agent_key, rows)
        return Cell(agent_key, metal_key, Verdict.UNKNOWN, "No statement was found.", "memory", "memory")
    return touch(found).deciding


def touch_of(agent_key: str, metal_key: str, base: str = "", lacquered: bool = False, rows: Rows = PRINTED) -> Touch:
    """The verdict on a part: of its lacquer, its metal, and of what lies beneath a plating when that is named."""
    layers = [LACQUERED] if lacquered else []
    layers += [metal_key, base] if base else [metal_key]
    return touch([cell(agent_key, layer, rows) for layer in layers])


def bans(rows: Rows = PRINTED) -> list[Row]:
    """Every pair that must never be mixed."""
    return list(rows.of("mixing_bans"))


def counts_as(key: str, rows: Rows = PRINTED) -> list[str]:
    """What an agent counts as when bans are looked up; nothing where its row does not say."""
    return list(agent(key, rows).get("mixes_as", ()))


def may_follow(first: str, second: str, rows: Rows = PRINTED) -> bool:
    """Whether two agents may come together; False when a ban names them."""
    pairs = [(row["first"], row["second"]) for row in bans(rows)]
    return may_mix(counts_as(first, rows), counts_as(second, rows), pairs)


def ban_between(first: str, second: str, rows: Rows = PRINTED) -> Row:
    """The ban that stands between two agents; NotFound when there is none."""
    one, other = set(counts_as(first, rows)), set(counts_as(second, rows))
    for row in bans(rows):
        if (row["first"] in one and row["second"] in other) or (row["first"] in other and row["second"] in one):
            return row
    raise NotFound(f"No ban is known between {first} and {second}.", "The labels come first.")


def _cell(row: Row) -> Cell:
    verdict = word_of(Verdict, row, "verdict")
    return Cell(row["agent"], row["metal"], verdict, row["reason"], row.get("source", ""), row.get("evidence", ""))
