"""How many hours to reckon with when every step is only an estimate: a quantile of their sum."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy.special import ndtri

from tallboy.errors import BadInput
from tallboy.sums.ranges import ranged, within

Shape = Literal["normal", "lognormal"]
SHAPES: tuple[Shape, ...] = ("normal", "lognormal")


@dataclass(frozen=True)
class Reserve:
    """What to reckon with: the sum of the estimates and its standard deviation [min], the time that is enough with the wanted sureness
    [min], and what that adds to the sum [min]."""

    total: float
    spread: float
    enough: float
    extra: float


def three_point(least: float, likely: float, most: float) -> tuple[float, float]:
    """Mean and standard deviation of an estimate given by three values.

    Formula: mean = (least + 4 likely + most) / 6; standard deviation = (most - least) / 6

    Parameters
    ----------
    least : [min] if all goes well, 0 to 10 000 000
    likely : [min] most likely, from `least` on
    most : [min] if all goes badly, from `likely` on

    Returns
    -------
    [min, min] mean and standard deviation

    Raises
    ------
    OutOfRange when they are not in order or below 0.

    Source
    ------
    Programme evaluation and review technique (PERT), as taught in public course notes, read.
    """
    within("If all goes well", least, 0, 1e7, "min")
    within("Most likely", likely, least, 1e7, "min")
    within("If all goes badly", most, likely, 1e7, "min")
    return (least + 4 * likely + most) / 6, (most - least) / 6


def reserve(
    minutes: Sequence[float],
    spreads: Sequence[float],
    sureness_percent: float = 80.0,
    shape: Shape = "lognormal",
    together: float = 0.0,
) -> Reserve:
    """The working time that is enough with a wanted sureness, from the steps' estimates and their spreads.

    Formula: total = sum of minutes; variance = (1 - together) * sum of spread² + together * (sum of spread)²; normal: total + z *
    spread; lognormal with the same mean and variance: exp(mu + z s), s² = ln(1 + variance / total²), mu = ln(total) - s² / 2; z is the
    standard normal's quantile

    Parameters
    ----------
    minutes : [min] mean of each step's hands-on time, 0 to 1 000 000 each, one at least, not all 0
    spreads : [min] one standard deviation of each, 0 to 1 000 000, as many
    sureness_percent : [%] how often the time shall be enough, 50 to 99.9
    shape : [text] "normal" or "lognormal"; the second has no work below nothing and a longer tail
    together : [1] how far the steps run over together, 0 (each by itself) to 1 (all at once)

    Returns
    -------
    [min] total, spread, enough and extra

    Raises
    ------
    OutOfRange outside the ranges; BadInput for uneven lists, no work or another shape.

    Validity
    --------
    Spreads of steps added as squares suppose that one step's trouble is not the next one's. On old furniture it often is: 0.2 to 0.5
    for `together` is a guess, not a measured value. A quantile of the sum is the least that is asked; nothing here knows of work that was
    forgotten.

    Source
    ------
    Sum of variances (central limit theorem), as in PERT, public course notes, read; a lognormal matched to mean and variance is
    Fenton and Wilkinson's approximation of a sum, from memory.
    """
    means = ranged("Minutes of a step", minutes, 0, 1e6, "min")
    apart = ranged("Spread of a step", spreads, 0, 1e6, "min")
    if means.shape != apart.shape or means.ndim != 1 or not means.size or not means.any():
        raise BadInput(
            "The steps and their spreads do not fit together.", "Give one spread a step, and some work to do."
        )
    if shape not in SHAPES:
        raise BadInput(f"There is no shape called “{shape}”.", f"It must be one of: {', '.join(SHAPES)}.")
    z = float(ndtri(within("Sureness", sureness_percent, 50, 99.9, "%") / 100))
    shared = within("Running over together", together, 0, 1)
    total = float(means.sum())
    variance = float((1 - shared) * np.square(apart).sum() + shared * apart.sum() ** 2)
    enough = _quantile(total, variance, z, shape)
    return Reserve(total, math.sqrt(variance), enough, enough - total)


def _quantile(total: float, variance: float, z: float, shape: Shape) -> float:
    if shape == "normal":
        return total + z * math.sqrt(variance)
    log_variance = math.log1p(variance / total**2)
    return math.exp(math.log(total) - log_variance / 2 + z * math.sqrt(log_variance))
