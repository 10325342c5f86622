"""What the sums of coats have in common: how a coat is laid, on what, and the words and cautions that go with it."""

from __future__ import annotations

from tallboy.sums.film import Estimate
from tallboy.tables.rows import Row
from tallboy.workings.kinds import Asked, Given
from tallboy.workings.telling import rounded

SOLIDS = Asked(
    "volume_solids", "Volume solids", "%", 1, 100,
    help="What stays of the liquid, by volume, from the data sheet; 15 to 25 lacquer, 25 waterborne varnish, 35 to 45 paint and oil varnish.",
)  # fmt: skip
METHOD = Asked("method", "How it is laid", kind="row", table="losses", default="brush")
ROW_LIMITS = (
    "How thick a coat is laid is the hand's doing: weigh the can before and after a coat, and go by your own rate from then on.",
)


def row_sources(given: Given, names: tuple[str, ...], *more: str) -> tuple[str, ...]:
    """Sources of the rows chosen, then those of the sum."""
    keys = [str(given.row(name)["source"]) for name in names if given.row(name).get("source")]
    return tuple(dict.fromkeys((*keys, *more)))


def coat_cautions(method: Row) -> tuple[str, ...]:
    """What a coat asks for, by how it is laid: mist, or cloths with what may be drying oil on them."""
    if method.get("spray"):
        return ("wet-coat", "spray")
    return ("wet-coat", "oily-rags") if "wipe" in str(method["key"]) else ("wet-coat",)


def between(estimate: Estimate, unit: str, digits: int = 2) -> str:
    """Low to high with the unit, once where they are the same."""
    if unit == "l" and estimate.high < 1:
        estimate, unit = Estimate(1000 * estimate.low, 1000 * estimate.middle, 1000 * estimate.high), "ml"
    low, high = rounded(estimate.low, digits), rounded(estimate.high, digits)
    return f"{low} {unit}".strip() if low == high else f"{low} to {high} {unit}".strip()
