"""From the tables of agents to verdicts: what is known of one agent on one metal, on all layers of a part, and beside another agent."""

from __future__ import annotations

from functools import cache

from tallboy.errors import NotFound
from tallboy.sums.agents import Cell, Touch, Verdict, may_mix, touch
from tallboy.tables.rows import Row, Rows, table

LACQUERED = "lacquered"
"""Name of the surface of any metal under lacquer, tinted varnish or a bronzed finish."""


def agent(key: str) -> Row:
    """The row of one agent, such as "ammonia"; NotFound names the agents there are."""
    return Rows().row("agents", key)


def cell(agent_key: str, metal_key: str) -> Cell:
    """What is known of an agent on a metal or surface; one that is in no table is not known."""
    found = _cells().get((agent_key, metal_key))
    if found is None:
        agent(agent_key)
        return Cell(agent_key, metal_key, Verdict.UNKNOWN, "No statement was found.", "memory", "memory")
    return found


def touch_of(agent_key: str, metal_key: str, base: str = "", lacquered: bool = False) -> Touch:
    """The verdict on a part: of its lacquer, its metal, and of what lies beneath a plating when that is named."""
    layers = [LACQUERED] if lacquered else []
    layers += [metal_key, base] if base else [metal_key]
    return touch([cell(agent_key, layer) for layer in layers])


def bans() -> list[Row]:
    """Every pair that must never be mixed."""
    return list(table("mixing_bans").rows)


def may_follow(first: str, second: str) -> bool:
    """Whether two agents may come together; False when a ban names them."""
    pairs = [(row["first"], row["second"]) for row in bans()]
    return may_mix(agent(first)["mixes_as"], agent(second)["mixes_as"], pairs)


def ban_between(first: str, second: str) -> Row:
    """The ban that stands between two agents; NotFound when there is none."""
    one, other = set(agent(first)["mixes_as"]), set(agent(second)["mixes_as"])
    for row in bans():
        if (row["first"] in one and row["second"] in other) or (row["first"] in other and row["second"] in one):
            return row
    raise NotFound(f"No ban is known between {first} and {second}.", "The labels come first.")


@cache
def _cells() -> dict[tuple[str, str], Cell]:
    return {
        (row["agent"], row["metal"]): Cell(
            row["agent"], row["metal"], Verdict(row["verdict"]), row["reason"], row["source"], row["evidence"]
        )
        for row in table("agent_metal").rows
    }
