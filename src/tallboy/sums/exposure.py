"""What a day of vapours comes to, beside what air may hold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from tallboy.errors import BadInput
from tallboy.sums.ranges import ranged, within

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


def _as_many(one: Sequence[float], other: Sequence[float | None]) -> None:
    if len(one) != len(other):
        raise BadInput(f"There are {len(one)} amounts of vapour and {len(other)} beside them.", "Give as many of both.")
