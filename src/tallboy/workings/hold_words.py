"""What the sums of screws have in common: the wood and the screw that were chosen, what the screw holds, and how it is told."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums import doors, hold
from tallboy.sums.film import Estimate
from tallboy.sums.holes import Screw
from tallboy.sums.wood import gravity_at
from tallboy.tables.rows import Row
from tallboy.tables.screws import screw
from tallboy.tables.woods import gravity_12, gravity_basic
from tallboy.workings.kinds import Asked, Given
from tallboy.workings.telling import rounded, said

WOOD = Asked("wood", "Wood that the screw goes into", kind="row", table="woods", default="Scots pine")
SCREW = Asked("screw", "Screw", kind="row", table="screws", default="8", help="By its gauge number.")
ACROSS = Asked(
    "across",
    "Its shank across, where it has no gauge",
    "mm",
    1,
    10,
    needed=False,
    help="Measured with callipers: metric screws and old hand-made ones. It comes before the gauge.",
)
GRAVITY = Asked(
    "gravity", "Its specific gravity at 12 %, if you know better", "", 0.1, 1.3, needed=False,
    help="Mass oven-dry over volume at 12 %; pine 0.35 to 0.5, oak 0.6 to 0.7.",
)  # fmt: skip
THREAD = Asked("thread", "Length of thread in the wood", "mm", 1, 150, help="About two thirds of what is in the wood.")
GRAIN = Asked(
    "grain", "It goes into", kind="choice", choices=(("side", "side grain"), ("end", "end grain")), default="side",
)  # fmt: skip
END_GRAIN_WORDS = "In end grain a building code lets nothing hang from it: it lets go without warning."
END_GRAIN_LIMIT = "End grain is erratic and splits; a building code lets nothing hang straight from it. Use a dowel across it, or another place."
HAND_MADE = "An old hand-made screw has a blunt end, an uneven thread and holds less surely: measure it, bore its hole to the full depth, and count on half."
LIMITS = (
    "Sound wood, a proper lead hole and a screw that does not break: an old brass screw may shear before the wood gives.",
    "Worm, rot, a hole that was stripped or filled before, and wood that has split hold far less.",
)


@dataclass(frozen=True)
class Held:
    """What one screw holds [N], on average: straight out, and sideways where the tables reach so far, else None."""

    out: float
    sideways: float | None

    def at(self, angle: float) -> float | None:
        """Held at an angle from the surface [°]: 90 is straight out. None where it is not known."""
        if angle >= 90:
            return self.out
        return None if self.sideways is None else hold.hankinson(self.sideways, self.out, angle)


def wood_of(given: Given) -> Row:
    """Row of the wood, with the specific gravity that was typed in place of its own."""
    typed = given.maybe("gravity")
    if typed is None:
        return given.row("wood")
    rest = {name: value for name, value in given.row("wood").items() if name != "basic_gravity"}
    return {**rest, "gravity_12": typed}


def wood_words(given: Given) -> str:
    """The wood in a sentence: its name, or the specific gravity that was typed."""
    typed = given.maybe("gravity")
    return str(given.row("wood")["key"]) if typed is None else f"wood of specific gravity {typed:g}"


def screw_row(given: Given) -> Row:
    """The screw: as measured across its shank, else by its gauge."""
    across = given.maybe("across")
    return given.row("screw") if across is None else {"key": "as measured", "shank_mm": across}


def screw_words(given: Given) -> str:
    """The screw in a sentence."""
    across = given.maybe("across")
    return (
        f"a No. {given.row('screw')['key']} screw" if across is None else f"a screw {said(given, across, 'mm')} across"
    )


def chosen(given: Given) -> tuple[Row, float, Screw, float]:
    """Row of the wood, its specific gravity at 12 %, the screw, and the length of thread."""
    wood = wood_of(given)
    gravity = gravity_12(wood)
    if not 0.1 <= gravity <= 1.3:
        raise BadInput(
            f"{wood['key']} has a specific gravity of {gravity:.2f}.", "The equations reach from 0.1 to 1.3."
        )
    return wood, gravity, screw(screw_row(given)), given.number("thread")


def held(wood: Row, gravity: float, by: Screw, thread: float, end_grain: bool) -> Held:
    """What one screw holds. Sideways in end grain two thirds, as codes have it."""
    out = hold.screw_withdrawal(gravity, by.shank_mm, thread, end_grain=end_grain)
    try:
        sideways = hold.screw_lateral(gravity, not wood.get("softwood", False), by.shank_mm, thread)
    except OutOfRange:
        return Held(out, None)
    return Held(out, sideways * (2 / 3 if end_grain else 1.0))


def short_limit(by: Screw, thread: float) -> tuple[str, ...]:
    """A word on a screw that is too short to be counted on sideways."""
    if thread >= hold.COUNTED_PENETRATION * by.shank_mm:
        return ()
    least = hold.COUNTED_PENETRATION * by.shank_mm
    return (
        f"Sideways a code counts no screw that goes in less than 4 diameters, {least:.0f} mm here; yours is told by the same line all the same.",
    )


def oven_dry(wood: Row) -> float:
    """Specific gravity with mass and volume oven-dry, as a building code has it."""
    return gravity_at(gravity_basic(wood), 0.0)


def withdrawal_line(gravity: float, by: Screw, thread: float, out: float, end_grain: bool) -> str:
    """Equation 8-10 with its numbers."""
    share = " × 0.75 (end grain)" if end_grain else ""
    return f"straight out, on average = 108.25 G² D L = 108.25 × {gravity:.3g}² × {by.shank_mm:g} × {thread:g}{share} = {rounded(out)} N"


def spread(mean: float) -> Estimate:
    """Single screws about their mean; the words beside it are in `SCATTER_LINE`."""
    return hold.scattered(mean)


SCATTER_LINE = "single screws: mean ± 2 × 20 %; about one in forty holds less than six tenths of the mean"


def margin_words(times: float) -> str:
    """Verdict and margin in one breath."""
    return doors.verdict(times) if math.isinf(times) else f"{doors.verdict(times)}, {rounded(times, 2)} times over"
