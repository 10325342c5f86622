"""Where vapour burns: categories of liquids, limits of mixtures, what is in a jar's head-space, how little brings a room to danger.

What is not known is "unknown" or None in every answer, and never counts as safe.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from tallboy.errors import BadInput
from tallboy.sums.ranges import ranged, within
from tallboy.sums.vapour import vapour_volume

Category = Literal["1", "2", "3", "4", "none", "unknown"]
HeadSpace = Literal["too lean", "can catch fire", "too rich", "unknown"]
GALLON_LITRES = 3.785411784

_OPEN_GALLONS = ((("1",), 25.0), (("2", "3", "4"), 120.0))
_CABINET_GALLONS = ((("1", "2", "3"), 60.0), (("4",), 120.0))


@dataclass(frozen=True)
class Stored:
    """Whether the liquids kept in a place are within the rule, and how much of the tightest allowance is used [1]."""

    allowed: bool
    share: float


def flammable_category(flash_celsius: float | None, boiling_celsius: float | None = None) -> Category:
    """The category of a flammable liquid, from its flash point and boiling point.

    Formula: flash < 23 °C: 1 when it boils at 35 °C or below, else 2; 23 to 60 °C: 3; above 60 to 93 °C: 4; above: none

    Parameters
    ----------
    flash_celsius : [°C] closed-cup flash point, -150 to 500; None when not known
    boiling_celsius : [°C] boiling point, -100 to 600; None when not known

    Returns
    -------
    [text] "1" to "4", "none", or "unknown" when what decides is not known

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Within 5 °C of a boundary data sheets differ: take the category from the label. "none" can still burn when it is hot, in a
    mist or on a rag, and a liquid without a flash point can have limits of burning (dichloromethane).

    Source
    ------
    29 CFR 1910.106(a)(19), read in a copy of about 2016; boundaries 73.4, 95, 140 and 199.4 °F.
    """
    if flash_celsius is None:
        return "unknown"
    flash = within("Flash point", flash_celsius, -150, 500, "°C")
    if flash < 23:
        return _low_flash(boiling_celsius)
    if flash <= 60:
        return "3"
    return "4" if flash <= 93 else "none"


def mixture_lower_limit(parts: Sequence[float], lower_limits: Sequence[float]) -> float:
    """The lower limit of burning of several vapours together.

    Formula: Σ y / Σ (y / L), y the parts of each vapour among the vapours

    Parameters
    ----------
    parts : [any unit of volume] how much of each vapour, 0 or above; only their proportions count
    lower_limits : [%] lower limit of each, 0.1 to 100

    Returns
    -------
    [%] of all the vapours in air

    Raises
    ------
    OutOfRange outside the ranges; BadInput when the lists differ in length or there is no vapour at all.

    Validity
    --------
    Vapours that burn alike. Where the limit of one is not known, that of the mixture is not known either.

    Source
    ------
    Le Chatelier's rule; compared with fire_mixing of chemicals 1.5.2.
    """
    if len(parts) != len(lower_limits):
        raise BadInput(f"There are {len(parts)} parts and {len(lower_limits)} limits.", "Give as many of both.")
    y = ranged("Part of a vapour", parts, 0, 1e9)
    lower = ranged("Lower limit of burning", lower_limits, 0.1, 100, "%")
    if not float(y.sum()):
        raise BadInput("There is no vapour in the mixture.", "At least one part must be above 0.")
    return float(y.sum() / (y / lower).sum())


def head_space(vapour_percent: float, lower: float | None, upper: float | None) -> HeadSpace:
    """Whether the air in a closed jar above the liquid can catch fire.

    Formula: below the lower limit, between the two, above the upper one

    Parameters
    ----------
    vapour_percent : [%] vapour in the head-space, 0 to 100
    lower : [%] lower limit of burning, 0.1 to 100; None when not known
    upper : [%] upper limit of burning, the lower one to 100; None when not known

    Returns
    -------
    [text] "too lean", "can catch fire", "too rich" or "unknown"

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    "too rich" holds inside the closed jar only: on opening, the cloud about its mouth passes through all that burns.

    Source
    ------
    definition of the limits of burning
    """
    y = within("Vapour in the head-space", vapour_percent, 0, 100, "%")
    if lower is None:
        return "unknown"
    if y < within("Lower limit of burning", lower, 0.1, 100, "%"):
        return "too lean"
    if upper is None:
        return "can catch fire"
    return "can catch fire" if y <= within("Upper limit of burning", upper, lower, 100, "%") else "too rich"


def liquid_to_reach(
    share_percent: float, lower: float, volume_m3: float, density: float, molar_mass: float, celsius: float = 20.0
) -> float:
    """How little spilt liquid brings a whole closed room to a share of its lower limit of burning.

    Formula: V L share / (vapour of a millilitre)

    Parameters
    ----------
    share_percent : [%] of the lower limit, 0 to 100; 25 is the usual ceiling, 10 the alarm
    lower : [%] lower limit of burning, 0.1 to 100
    volume_m3 : [m³] of the room, 0.1 to 1 000 000
    density : [kg/m³] of the liquid, 500 to 2000
    molar_mass : [g/mol] 2 to 400
    celsius : [°C] temperature, -20 to 60

    Returns
    -------
    [ml] liquid, all of it evaporated and evenly spread

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Long before, the air next to the spill and along the floor is above the limit: far less is dangerous there.

    Source
    ------
    Ideal gas law; a quarter of the limit 29 CFR 1910.106(a)(31), a tenth 1910.146(b).
    """
    share = within("Share of the lower limit", share_percent, 0, 100, "%") / 100
    limit = within("Lower limit of burning", lower, 0.1, 100, "%") / 100
    room = within("Volume of the room", volume_m3, 0.1, 1e6, "m³")
    within("Temperature", celsius, -20, 60, "°C")
    return room * limit * share / vapour_volume(1.0, density, molar_mass, celsius)


def air_to_dilute(vapour_m3: float, lower: float, share_percent: float = 25.0) -> float:
    """How much air a quantity of vapour must be mixed with to come down to a share of its lower limit of burning.

    Formula: 100 / share * (100 - L) * vapour / L

    Parameters
    ----------
    vapour_m3 : [m³] vapour, 0 to 1 000 000; any unit of volume, the answer has the same
    lower : [%] lower limit of burning, 0.1 to 100
    share_percent : [%] of the lower limit, 1 to 100

    Returns
    -------
    [m³] air

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    29 CFR 1910.94(c)(6)(ii): dilution volume = 4 (100 - LEL) (cubic feet of vapour per gallon) / LEL, for a quarter of the limit.
    """
    vapour = within("Vapour", vapour_m3, 0, 1e6, "m³")
    limit = within("Lower limit of burning", lower, 0.1, 100, "%")
    return 100 / within("Share of the lower limit", share_percent, 1, 100, "%") * (100 - limit) * vapour / limit


def stored(litres: Mapping[str, float], cabinet: bool = False) -> Stored:
    """Whether the flammable liquids kept in one fire area or one cabinet are within the US rule.

    Formula: outside a cabinet 25 gal of category 1, 120 gal of 2, 3 and 4 together; in a cabinet 60 gal of 1, 2 and 3 together,
    120 gal of 4

    Parameters
    ----------
    litres : [l] kept of each category, "1" to "4", 0 or above; an "unknown" one counts as 1
    cabinet : [flag] in an approved cabinet

    Returns
    -------
    [1] whether it is allowed, and the share of the tightest allowance

    Raises
    ------
    OutOfRange below 0; BadInput for another category.

    Validity
    --------
    US federal rule for incidental use; local rules and the insurance often allow far less.

    Source
    ------
    29 CFR 1910.106(e)(2)(ii)(b), and (d)(3) as quoted by a maker of cabinets; read in copies of about 2016.
    """
    kept = {"1": 0.0, "2": 0.0, "3": 0.0, "4": 0.0}
    for name, amount in litres.items():
        place = "1" if name == "unknown" else name
        if place not in kept:
            raise BadInput(f"There is no category “{name}”.", f"There are: {', '.join(kept)}, unknown.")
        kept[place] += within(f"Liquid of category {name}", amount, 0, 1e6, "l")
    rule = _CABINET_GALLONS if cabinet else _OPEN_GALLONS
    shares = [sum(kept[name] for name in names) / (gallons * GALLON_LITRES) for names, gallons in rule]
    return Stored(max(shares) <= 1 + 1e-9, max(shares))


def _low_flash(boiling_celsius: float | None) -> Category:
    if boiling_celsius is None:
        return "unknown"
    return "1" if within("Boiling point", boiling_celsius, -100, 600, "°C") <= 35 else "2"
