"""What a day of vapours comes to, beside what air may hold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from tallboy.errors import BadInput
from tallboy.sums.ranges import ranged, within
from tallboy.sums.vapour import ATMOSPHERE, parts_per_million

MOST = 2e7


@dataclass(frozen=True)
class MixtureShare:
    """How much of what air may hold is used up by several vapours together.

    `share` counts those with a limit, 1 is the limit; `unknown` are the places of those without one. `within_limit` is None while one
    is unknown and the others do not pass the limit by themselves.
    """

    share: float
    unknown: tuple[int, ...] = field(default=())

    @property
    def within_limit(self) -> bool | None:
        if self.share > 1 + 1e-12:
            return False
        return None if self.unknown else True


def daily_exposure(concentrations: Sequence[float], minutes: Sequence[float], shift_minutes: float = 480.0) -> float:
    """The average over the working day of what was breathed at its several tasks.

    Formula: Σ C t / shift

    Parameters
    ----------
    concentrations : [ppm or mg/m³] at each task, 0 or above
    minutes : [min] how long each lasted, together no more than a day
    shift_minutes : [min] the day that the limit is told for, 60 to 1440

    Returns
    -------
    [as given] average

    Raises
    ------
    OutOfRange outside the ranges; BadInput when the lists differ in length.

    Source
    ------
    29 CFR 1910.1000(d)(1): E = (Ca Ta + Cb Tb + ...) / 8.
    """
    _as_many(concentrations, minutes)
    c = ranged("Vapour", concentrations, 0, MOST)
    t = ranged("Duration", minutes, 0, 1440, "min")
    within("Sum of the durations", float(t.sum()), 0, 1440, "min")
    return float((c * t).sum()) / within("Shift", shift_minutes, 60, 1440, "min")


def mixture_share(concentrations: Sequence[float], limits: Sequence[float | None]) -> MixtureShare:
    """How much of what air may hold several vapours use up together, as if they harmed alike.

    Formula: Σ C / L; 1 is the limit

    Parameters
    ----------
    concentrations : [ppm or mg/m³] of each vapour, 0 or above
    limits : [as given] limit of each, None where it is not known

    Returns
    -------
    [1] share, and which vapours have no known limit

    Raises
    ------
    OutOfRange outside the ranges; BadInput when the lists differ in length.

    Source
    ------
    29 CFR 1910.1000(d)(2): Em = C1/L1 + C2/L2 + ...
    """
    _as_many(concentrations, limits)
    c = ranged("Vapour", concentrations, 0, MOST)
    known = [within("Limit", limit, 1e-6, MOST) for limit in limits if limit is not None]
    held = [float(part) for part, limit in zip(c, limits, strict=True) if limit is not None]
    unknown = tuple(place for place, limit in enumerate(limits) if limit is None and c[place] > 0)
    return MixtureShare(sum(part / limit for part, limit in zip(held, known, strict=True)), unknown)


def vapour_hazard_ratio(pressure: float, limit_ppm: float, total: float = ATMOSPHERE) -> float:
    """How many times the limit in air the vapour right above a liquid is: small for a liquid that is mild, slow, or both.

    Formula: p / P * 10^6 / limit

    Parameters
    ----------
    pressure : [Pa] vapour pressure of the liquid, 0 to 108 000
    limit_ppm : [ppm] limit in air over 8 hours, 0.000001 to 1 000 000
    total : [Pa] pressure of the air, 60 000 to 108 000

    Returns
    -------
    [1] ratio

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    It ranks liquids by what they can do to the air. It knows nothing of the skin, nor of how much is used.

    Source
    ------
    The vapour hazard ratio of industrial hygiene; definition, from memory.
    """
    return parts_per_million(pressure, total) / within("Limit", limit_ppm, 1e-6, 1e6, "ppm")


def _as_many(one: Sequence[float], other: Sequence[float | None]) -> None:
    if len(one) != len(other):
        raise BadInput(f"There are {len(one)} amounts of vapour and {len(other)} beside them.", "Give as many of both.")
