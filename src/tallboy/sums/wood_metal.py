"""Metal in wood: the black stain that iron and tannin make, and what the acids that wood gives off do to a metal nearby."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from tallboy.errors import BadInput
from tallboy.sums.ranges import within
from tallboy.sums.vapour import ppm_from_milligrams

DAMP_FROM = 18.0
"""Moisture content of wood [%] from which iron in it is taken to rust."""
ACETIC_ACID = 60.052
FORMIC_ACID = 46.025
"""Molar masses [g/mol]."""
ACETIC_GUIDELINE = 123.0
FORMIC_GUIDELINE = 19.0
"""What a museum allows in the air of its cases [µg/m³]."""


class Effect(StrEnum):
    """What a wood does to a metal or a metal to a wood, from the worst to the best."""

    CORRODES = "corrodes"
    STAINS = "stains the wood"
    SLIGHT = "slightly attacked"
    SOUND = "usually sound"


@dataclass(frozen=True)
class Fact:
    """One thing that is known of a wood and a metal. `needs` is "damp", "closed" (a case without moving air), or "" for always."""

    wood: str
    metal: str
    effect: Effect
    needs: str
    words: str
    source: str = "common-practice"
    evidence: str = "common practice"


@dataclass(frozen=True)
class CaseAir:
    """The acids in the air of a case. `lead` says what becomes of lead in it."""

    acetic_ppm: float
    formic_ppm: float
    within_guideline: bool
    lead: str


def iron_stain(tannin_rich: bool, moisture_percent: float) -> str:
    """What iron leaves in a wood: screws, steel wool, filings, or water from a rusty can.

    Formula: damp (18 % and above) and tannin: blue-black; damp without tannin: brown rust; dry: nothing

    Parameters
    ----------
    tannin_rich : [yes or no] oak, sweet chestnut, redwood, cypress, cedar and their like
    moisture_percent : [%] moisture content of the wood where the iron is, 0 to 200

    Returns
    -------
    [text] "blue-black stain", "brown rust stain" or "none while dry"

    Raises
    ------
    OutOfRange outside the range.

    Validity
    --------
    A waterborne coat or a wet cloth makes the surface damp whatever the meter says within.

    Source
    ------
    Wood Handbook, chapter 16, and the Forest Products Laboratory's note "Iron Stain on Wood" (2013): stain after wetting, none on dry wood;
    the 18 %: from memory
    """
    damp = within("Moisture content", moisture_percent, 0, 200, "%") >= DAMP_FROM
    if not damp:
        return "none while dry"
    return "blue-black stain" if tannin_rich else "brown rust stain"


def in_wood(facts: Sequence[Fact], moisture_percent: float, closed: bool) -> Effect:
    """The worst that is known of a metal in or on a wood, at this moisture and in this place.

    Parameters
    ----------
    facts : [text] what is known of the two, one or more
    moisture_percent : [%] moisture content of the wood, 0 to 200
    closed : [yes or no] whether the metal stands in a drawer or case without moving air

    Returns
    -------
    [text] the worst effect that applies; "usually sound" when none does

    Raises
    ------
    OutOfRange outside the range; BadInput when nothing is known of the two.

    Source
    ------
    definition; the 18 % from which wood counts as damp: from memory
    """
    damp = within("Moisture content", moisture_percent, 0, 200, "%") >= DAMP_FROM
    if not facts:
        raise BadInput("Nothing is known of this metal in this wood.", "Take it as one that may stain or corrode.")
    applies = {"": True, "damp": damp, "closed": closed}
    found = [fact.effect for fact in facts if applies[fact.needs]]
    return min(found, key=list(Effect).index, default=Effect.SOUND)


def case_air(acetic_micrograms: float, formic_micrograms: float, celsius: float = 25.0) -> CaseAir:
    """What the acids that wood gives off in a closed case do to lead in it.

    Formula: within a museum's guideline below 123 µg/m³ acetic and 19 µg/m³ formic acid; lead darkens from 0.04 ppm of formic acid
    and is eaten above 0.1 ppm

    Parameters
    ----------
    acetic_micrograms : [µg/m³] acetic acid, 0 to 1e9
    formic_micrograms : [µg/m³] formic acid, 0 to 1e9
    celsius : [°C] temperature of the air, -40 to 60

    Returns
    -------
    [ppm] CaseAir: both acids, whether they keep to the guideline, and "no harm known", "over the guideline", "darkens" or "corrodes"

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    From trials in damp air. Acetic acid makes a thick white crust on lead; no single threshold for it was read.

    Source
    ------
    Guideline: Journal of Conservation Science 36(1), 2020; lead: Tétreault and others on formaldehyde, formic and acetic acid, abstract
    """
    within("Acetic acid", acetic_micrograms, 0, 1e9, "µg/m³")
    within("Formic acid", formic_micrograms, 0, 1e9, "µg/m³")
    acetic = ppm_from_milligrams(acetic_micrograms / 1000, ACETIC_ACID, celsius)
    formic = ppm_from_milligrams(formic_micrograms / 1000, FORMIC_ACID, celsius)
    good = acetic_micrograms < ACETIC_GUIDELINE and formic_micrograms < FORMIC_GUIDELINE
    if formic > 0.1:
        lead = "corrodes"
    elif formic >= 0.04:
        lead = "darkens"
    else:
        lead = "no harm known" if good else "over the guideline"
    return CaseAir(acetic, formic, good, lead)
