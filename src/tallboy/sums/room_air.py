"""Vapour in a room: how it gathers, how it clears, how much fresh air holds it down.

The room is taken as one well-mixed body of air. `mixing` is what is wrong with that: 1 for perfect mixing, 3 to 10 where corners and
the far side of a piece hardly see the fresh air; the fresh air is divided by it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tallboy.sums.ranges import ranged, same_kind, within

Array = NDArray[np.float64]
MOST_MG = 2e7
WELL_DRY = math.log(20)
"""Time constants until nineteen twentieths of a coat's solvent have left."""


@dataclass(frozen=True)
class Source:
    """Something that gives vapour off, from `start` to `end` [min].

    `grams_per_hour` holds all the while; with `decay_minutes` it is the rate at the start, and falls to e^-1 of itself in that time.
    """

    grams_per_hour: float
    start: float = 0.0
    end: float = math.inf
    decay_minutes: float = math.inf

    def __post_init__(self) -> None:
        within("Source", self.grams_per_hour, 0, 1e6, "g/h")
        within("Start of the source", self.start, -1e6, 1e6, "min")
        within("End of the source", self.end, self.start, math.inf, "min")
        within("Time of decay", self.decay_minutes, 0.1, math.inf, "min")


def concentration(
    minutes: float | Array,
    sources: Sequence[Source],
    volume_m3: float,
    fresh_air: float,
    mixing: float = 1.0,
    start_mg_m3: float = 0.0,
) -> float | Array:
    """Vapour in the room's air some time after the clock is started; the sources add up.

    Formula: V dC/dt = G(t) - Q C / K, solved: C0 e^(-nt) + Σ 1000 G / V (e^(-ks) - e^(-ns)) / (n - k), n = Q / (K V), s since the
    source's start, k = 1 / decay time (0 for a steady source)

    Parameters
    ----------
    minutes : [min] since the start, 0 to 1 000 000; one number or many
    sources : [g/h] what gives vapour off
    volume_m3 : [m³] of the room, 0.1 to 1 000 000
    fresh_air : [m³/h] that comes in and leaves, 0.01 to 10 000 000
    mixing : [1] 1 to 20; 1 is perfect mixing
    start_mg_m3 : [mg/m³] at the start, 0 to 20 000 000

    Returns
    -------
    [mg/m³] vapour, as an average of the room

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Near the source and near the floor there is more, far more right above the liquid.

    Source
    ------
    Well-mixed room, V dC = G dt - Q' C dt with Q' = Q / K: University of Toledo, formula sheet on ventilation; solution of our own.
    """
    t = ranged("Time", minutes, 0, 1e6, "min")
    n = _turnover(volume_m3, fresh_air, mixing)
    result = within("Vapour at the start", start_mg_m3, 0, MOST_MG, "mg/m³") * np.exp(-n * t)
    for source in sources:
        result = result + _from_source(t, source, n) / volume_m3
    return same_kind(result, minutes)


def steady_concentration(grams_per_hour: float, fresh_air: float, mixing: float = 1.0) -> float:
    """Where the vapour in a room settles when its source goes on.

    Formula: 1000 K G / Q

    Parameters
    ----------
    grams_per_hour : [g/h] source, 0 to 1 000 000
    fresh_air : [m³/h] 0.01 to 10 000 000
    mixing : [1] 1 to 20

    Returns
    -------
    [mg/m³] vapour, as an average of the room

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    University of Toledo, formula sheet on ventilation: C = K G / Q.
    """
    g = within("Source", grams_per_hour, 0, 1e6, "g/h")
    return 1000 * g * within("Mixing", mixing, 1, 20) / within("Fresh air", fresh_air, 0.01, 1e7, "m³/h")


def minutes_to_reach(
    limit_mg_m3: float,
    grams_per_hour: float,
    volume_m3: float,
    fresh_air: float,
    mixing: float = 1.0,
    start_mg_m3: float = 0.0,
) -> float | None:
    """How long a steady source takes to bring the room to a limit.

    Formula: -1/n ln((Cs - C) / (Cs - C0)), n = Q / (K V), Cs = 1000 K G / Q

    Parameters
    ----------
    limit_mg_m3 : [mg/m³] the limit, 0 to 20 000 000
    grams_per_hour : [g/h] source, 0 to 1 000 000
    volume_m3 : [m³] of the room, 0.1 to 1 000 000
    fresh_air : [m³/h] 0.01 to 10 000 000
    mixing : [1] 1 to 20
    start_mg_m3 : [mg/m³] at the start, 0 to 20 000 000

    Returns
    -------
    [min] time; 0 when it is passed from the start, None when it is never reached

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    University of Toledo, formula sheet on ventilation; worked example of rEHS, time.interval.
    """
    limit = within("Limit", limit_mg_m3, 0, MOST_MG, "mg/m³")
    start = within("Vapour at the start", start_mg_m3, 0, MOST_MG, "mg/m³")
    steady = steady_concentration(grams_per_hour, fresh_air, mixing)
    n = _turnover(volume_m3, fresh_air, mixing)
    if start >= limit:
        return 0.0
    if steady <= limit:
        return None
    return -math.log1p(-(limit - start) / (steady - start)) / n


def minutes_to_clear(
    start_mg_m3: float, target_mg_m3: float, volume_m3: float, fresh_air: float, mixing: float = 1.0
) -> float:
    """How long a room takes to clear, once nothing gives vapour off any more.

    Formula: K V / Q ln(C0 / C)

    Parameters
    ----------
    start_mg_m3 : [mg/m³] now, 0 to 20 000 000 (ppm serve as well, in both)
    target_mg_m3 : [mg/m³] wanted, 0.000001 to 20 000 000
    volume_m3 : [m³] of the room, 0.1 to 1 000 000
    fresh_air : [m³/h] 0.01 to 10 000 000
    mixing : [1] 1 to 20

    Returns
    -------
    [min] time; 0 when it is clear already

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Wet rags, a coat that is still drying and puddles under things are sources that go on.

    Source
    ------
    Purge of a well-mixed room, the dilution equation, read in public encyclopaedia text.
    """
    start = within("Vapour now", start_mg_m3, 0, MOST_MG, "mg/m³")
    target = within("Vapour wanted", target_mg_m3, 1e-6, MOST_MG, "mg/m³")
    n = _turnover(volume_m3, fresh_air, mixing)
    return math.log(start / target) / n if start > target else 0.0


def fresh_air_for(grams_per_hour: float, limit_mg_m3: float, mixing: float = 1.0) -> float:
    """How much fresh air keeps a steady source at or below a limit.

    Formula: 1000 K G / C

    Parameters
    ----------
    grams_per_hour : [g/h] source, 0 to 1 000 000
    limit_mg_m3 : [mg/m³] what the air may come to, 0.000001 to 20 000 000
    mixing : [1] 1 to 20

    Returns
    -------
    [m³/h] fresh air

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Dilution ventilation, University of Toledo formula sheet (403e6 SG ER K / (M C) in US units); the same in SI, own arithmetic.
    """
    g = within("Source", grams_per_hour, 0, 1e6, "g/h")
    return 1000 * g * within("Mixing", mixing, 1, 20) / within("Limit", limit_mg_m3, 1e-6, MOST_MG, "mg/m³")


def coat_source(solvent_grams: float, dry_minutes: float, start: float = 0.0) -> Source:
    """A wet coat as a source that is strongest when fresh and has given off 95 % when it is dry.

    Formula: rate = m / τ e^(-t/τ), τ = dry time / ln 20

    Parameters
    ----------
    solvent_grams : [g] solvent in the coat, 0 to 200 000
    dry_minutes : [min] until it is dry to the touch, 1 to 100 000
    start : [min] when it is laid, 0 to 1 000 000

    Returns
    -------
    [g/h] the source

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    The shape of the curve is an assumption; the sum of what leaves is not.

    Source
    ------
    own derivation; that most solvent has left a coat that is dry to the touch: common practice, no source.
    """
    grams = within("Solvent", solvent_grams, 0, 2e5, "g")
    tau = within("Time to dry", dry_minutes, 1, 1e5, "min") / WELL_DRY
    return Source(grams / tau * 60, within("Start", start, 0, 1e6, "min"), decay_minutes=tau)


def released(source: Source, minutes: float) -> float:
    """What a source has given off so far.

    Formula: the integral of its rate from its start to now

    Parameters
    ----------
    source : [g/h] the source
    minutes : [min] now, 0 to 1 000 000

    Returns
    -------
    [g] vapour

    Raises
    ------
    OutOfRange outside the range.

    Source
    ------
    definition
    """
    lasted = max(0.0, min(within("Time", minutes, 0, 1e6, "min"), source.end) - source.start)
    if math.isinf(source.decay_minutes):
        return source.grams_per_hour / 60 * lasted
    return source.grams_per_hour / 60 * source.decay_minutes * -math.expm1(-lasted / source.decay_minutes)


def _turnover(volume_m3: float, fresh_air: float, mixing: float) -> float:
    """Effective changes of air [1/min]."""
    volume = within("Volume of the room", volume_m3, 0.1, 1e6, "m³")
    air = within("Fresh air", fresh_air, 0.01, 1e7, "m³/h")
    return air / within("Mixing", mixing, 1, 20) / volume / 60


def _from_source(t: Array, source: Source, n: float) -> Array:
    """Milligrams of one source that are in the air at t."""
    strength = source.grams_per_hour * 1000 / 60
    k = 0.0 if math.isinf(source.decay_minutes) else 1 / source.decay_minutes
    running = np.clip(t, source.start, source.end) - source.start
    since = np.maximum(0.0, t - source.end) if math.isfinite(source.end) else np.zeros_like(t)
    return strength * _built_up(running, n, k) * np.exp(-n * since)


def _built_up(s: Array, n: float, k: float) -> Array:
    """(e^(-ks) - e^(-ns)) / (n - k), also where both are alike."""
    slow, apart = min(n, k), abs(n - k)
    if apart < 1e-12:
        return s * np.exp(-n * s)
    return np.exp(-slow * s) * -np.expm1(-apart * s) / apart
