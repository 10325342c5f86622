"""What may touch a metal: the verdicts of a cleaning agent on every layer of a part brought together, and what must follow a wet bath."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from tallboy.errors import BadInput
from tallboy.sums.ranges import within

LEAD_LIMIT_PPM = 90.0
"""Most lead [mg/kg of the dried film] in paint on furniture sold to consumers in the US."""


class Verdict(StrEnum):
    """From the worst to the best; what is not known counts as worse than care."""

    NEVER = "never"
    UNKNOWN = "not known"
    CARE = "with care"
    USUAL = "usually all right"


@dataclass(frozen=True)
class Cell:
    """What is known of one agent on one metal, with where it comes from."""

    agent: str
    metal: str
    verdict: Verdict
    reason: str
    source: str = "common-practice"
    evidence: str = "common practice"


@dataclass(frozen=True)
class Touch:
    """The verdict on a whole part: that of its worst layer, and the layers in the order they were asked."""

    verdict: Verdict
    deciding: Cell
    cells: tuple[Cell, ...]


def worst(verdicts: Sequence[str]) -> Verdict:
    """The worst of several verdicts.

    Formula: never > not known > with care > usually all right

    Parameters
    ----------
    verdicts : [text] one or more of the four

    Returns
    -------
    [text] the worst one

    Raises
    ------
    BadInput when there are none, or one that is not among the four.

    Source
    ------
    definition
    """
    if not verdicts:
        raise BadInput("There is no verdict to choose from.", f"One of: {', '.join(Verdict)}.")
    order = list(Verdict)
    unknown = [one for one in verdicts if one not in order]
    if unknown:
        raise BadInput(f"“{unknown[0]}” is no verdict.", f"One of: {', '.join(order)}.")
    return min((Verdict(one) for one in verdicts), key=order.index)


def touch(cells: Sequence[Cell]) -> Touch:
    """The verdict on a part of several layers: lacquer, plating, and the metal beneath.

    Formula: the worst verdict of all layers that the agent can reach

    Parameters
    ----------
    cells : [text] what is known of the agent on each layer, the outermost first

    Returns
    -------
    [text] Touch: the verdict, the layer that decides it, and all layers

    Raises
    ------
    BadInput when there are none.

    Source
    ------
    definition
    """
    verdict = worst([cell.verdict for cell in cells])
    deciding = next(cell for cell in cells if cell.verdict == verdict)
    return Touch(verdict, deciding, tuple(cells))


def after_bath(wet: bool, rusts: bool) -> tuple[str, ...]:
    """What must follow at once when a part comes out of a bath.

    Parameters
    ----------
    wet : [yes or no] whether the bath holds water
    rusts : [yes or no] whether the part is of iron or steel, or plated over it

    Returns
    -------
    [text] the steps in their order; none after a bath without water

    Source
    ------
    Rinse, displace the water with alcohol or acetone, warm dry, oil or wax within minutes: common practice; that bare iron rusts faster
    under a film of water: Canadian Conservation Institute Notes 9/6
    """
    if not wet:
        return ()
    if not rusts:
        return ("rinse", "dry at once")
    return ("rinse", "displace the water with alcohol or acetone", "dry warm", "oil or wax within minutes")


def shared_bath(indices: Sequence[int]) -> int:
    """How far apart the metals of one wet bath lie, the parts touching or the solution carrying copper over.

    Formula: largest index - least index

    Parameters
    ----------
    indices : [0.01 V] anodic index of every metal in the bath, 0 to 200

    Returns
    -------
    [0.01 V] largest difference, 0 for one metal alone

    Raises
    ------
    BadInput when there are none; OutOfRange outside the range.

    Source
    ------
    definition
    """
    if not indices:
        raise BadInput("There is nothing in the bath.", "Name at least one metal.")
    for index in indices:
        within("Index", index, 0, 200, "hundredths of a volt")
    return max(indices) - min(indices)


def may_mix(first: Iterable[str], second: Iterable[str], bans: Sequence[tuple[str, str]]) -> bool:
    """Whether two liquids may come together, by the kinds of stuff in them.

    Parameters
    ----------
    first : [text] kinds of stuff in the one, such as "acid"
    second : [text] kinds of stuff in the other
    bans : [text] pairs of kinds that must never meet

    Returns
    -------
    [yes or no] False when a ban names them; True only means that no ban is known here

    Source
    ------
    definition
    """
    one, other = set(first), set(second)
    return not any((a in one and b in other) or (a in other and b in one) for a, b in bans)


def lead_verdict(ppm: float) -> str:
    """Whether a dried paint film holds more lead than furniture sold to US consumers may carry.

    Formula: banned when lead > 90 mg/kg (0.009 % by weight of the dried film); equal is allowed

    Parameters
    ----------
    ppm : [mg/kg] lead in the dried film, 0 to 1 000 000

    Returns
    -------
    [text] "allowed" or "banned"

    Raises
    ------
    OutOfRange outside the range.

    Validity
    --------
    A limit for what is sold, in force since 14 August 2009. It says nothing of how safe old paint is to sand; a kit at home can miss
    lead, a laboratory is surer. Other countries have other limits.

    Source
    ------
    16 CFR 1303.1; 73 FR 77492 (19 December 2008)
    """
    return "banned" if within("Lead in the film", ppm, 0, 1_000_000, "mg/kg") > LEAD_LIMIT_PPM else "allowed"
