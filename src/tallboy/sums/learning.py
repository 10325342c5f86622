"""What a shop's own fingers teach about a product: by how much its label's minutes should be multiplied there.

A touch says "dry enough" or "not yet". Set against the label it is a ratio: the label's minutes that had gone by in the air the coat
really had (`drying.progress`) over the minutes the label gives. "Dry enough" at a ratio is an upper bound, for the coat was dry some
time before; "not yet" is a lower one. What the bounds say about many coats narrows one number, the shop's factor.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.special import log_ndtr, ndtr, ndtri_exp

from tallboy.errors import BadInput
from tallboy.sums.ranges import within
from tallboy.sums.rates import COAT_TO_COAT, Label, Reading, rate

Array = NDArray[np.float64]

LEAST_RATIO, MOST_RATIO = 0.05, 20.0
"""Beyond these a touch says more about a slip of the finger than about the can; own caution, no source."""
MOST_TIMES = 10_000.0
"""So many times its label at the most a coat is followed that does not dry; own choice."""
COAT_SCATTER = math.log(1.2)
"""One standard deviation of ln(ratio) of one coat about the shop's factor: a fifth, for thickness, wood and what one finger calls dry,
and for the law being a little wrong in each other air. Own caution, no source."""
LABEL_DOUBT = math.log(1.25)
"""How far a label's own time may be off in a shop, in ln(ratio); own caution, no source."""
CLASS_DOUBT = 0.48
"""The same for a time that is only usual for its class: half of ln(greatest / least time), the mean of twelve ranges on makers' sheets
(touch and next coat of acrylic primer, alkyd, oil polyurethane, lacquer, chalk paint and milk paint), computed."""
COLDER = 10.0
"""The law's own doubt is taken this far below the label's temperature [K], where many a workshop is; own choice."""
HALF_LIFE_DAYS = 365.0
"""After a year a touch counts for half: cans, seasons and hands change. Own choice, no source."""
_STEPS = 2001


@dataclass(frozen=True)
class Observed:
    """What fingers told of one coat on its way to one stage, as ratios to the label's minutes.

    `after` is the last ratio at which it was not dry yet, `by` the first at which it was dry enough; either may be None, both the
    same is an exact finding. `weight` 0 to 1 is what the finding still counts for, `spread` how unsure the air makes ln(ratio), `name`
    what people call the coat.
    """

    after: float | None = None
    by: float | None = None
    weight: float = 1.0
    spread: float = 0.0
    name: str = ""

    def __post_init__(self) -> None:
        for name, ratio in (("Not yet", self.after), ("Dry enough", self.by)):
            if ratio is not None:
                within(f"{name}, as a share of the label's time", ratio, LEAST_RATIO, MOST_RATIO)
        within("Weight of a touch", self.weight, 0, 1)
        within("Spread of a touch", self.spread, 0, 3)
        if self.after is None and self.by is None:
            raise BadInput(
                "A coat without a touch teaches nothing.", "Give when it was not yet dry, dry enough, or both."
            )
        if self.after is not None and self.by is not None and self.by < self.after:
            raise BadInput("The coat would have been dry before it was not dry yet.", "The “not yet” must come first.")

    @property
    def touches(self) -> int:
        """How many touches are in it."""
        return (self.after is not None) + (self.by is not None)


@dataclass(frozen=True)
class Factor:
    """By how much the label's minutes are to be multiplied in this shop.

    `value` with `low` and `high` one standard deviation off; `spread` is the standard deviation of ln(factor), `prior_spread` what it
    was before any touch; `coats` and `touches` count the evidence. `working` are lines for people.
    """

    value: float
    low: float
    high: float
    spread: float
    prior_spread: float
    coats: int = 0
    touches: int = 0
    working: tuple[str, ...] = ()

    @property
    def share(self) -> float:
        """What is left of the doubt that there was before any touch; 1 without one."""
        return self.spread / self.prior_spread


def prior_spread(label: Label) -> float:
    """How unsure the label is in a shop that has touched nothing yet, as one standard deviation of ln(factor).

    Formula: square root of (law² + label²); law = half of ln(quick / slow) 10 °C below the label's temperature, less the tenth that
    one coat differs from another; label = ln 1.25 where the can gives a time of its own, 0.48 where all are only usual for its class

    Parameters
    ----------
    label : [Label] what the can says

    Returns
    -------
    [1] standard deviation of ln(factor), above 0

    Validity
    --------
    The label's temperature is 0 to 50 °C, as `Label` has it.

    Source
    ------
    own derivation from the quick and slow readings of `rates.rate` and the ranges on makers' sheets
    """
    cold = np.array([label.celsius - COLDER])
    damp = np.array([label.relative_humidity])
    awake = replace(label, minimum_celsius=-30.0)
    quick, slow = (float(rate(awake, cold, damp, reading)[0]) for reading in (Reading.QUICK, Reading.SLOW))
    law = max(0.0, math.log(quick / slow) / 2 - math.log(COAT_TO_COAT))
    times = {
        "touch": label.touch_minutes,
        "recoat": label.recoat_from_minutes,
        "cure": label.cure_minutes,
    }
    own = any(minutes is not None and stage not in label.usual for stage, minutes in times.items())
    return math.hypot(law, LABEL_DOUBT if own else CLASS_DOUBT)


def faded(age_days: float) -> float:
    """What a touch of this age still counts for.

    Formula: 0.5^(age / 365 days)

    Parameters
    ----------
    age_days : [days] how long ago, 0 to 36 500

    Returns
    -------
    [1] weight, 1 for today, 0.5 after a year

    Raises
    ------
    OutOfRange outside the range.

    Validity
    --------
    Raising a likelihood to a power below 1 is the usual way to let old evidence fade (power prior, Ibrahim and Chen 2000, from
    memory); the half-life is our own choice.

    Source
    ------
    definition
    """
    return float(0.5 ** (within("Age of a touch", age_days, 0, 36_500, "days") / HALF_LIFE_DAYS))


def learned(observed: Sequence[Observed], prior_spread: float, scatter: float = COAT_SCATTER) -> Factor:
    """The shop's factor from what its fingers told: prior times what each coat says, worked out on a grid.

    Formula: ln(factor) ~ Normal(0, prior_spread) before any touch; ln(ratio) of a coat ~ Normal(ln(factor), s), s² = scatter² +
    air²; a coat known to be dry between a and b counts Φ((ln b - ln(factor))/s) - Φ((ln a - ln(factor))/s), one known exactly
    the density, each to the power of its weight. Factor = exp(mean), low and high = exp(mean ∓ standard deviation).

    Parameters
    ----------
    observed : [1] what was told of each coat, none to thousands
    prior_spread : [1] one standard deviation of ln(factor) before any touch, 0.01 to 2
    scatter : [1] one standard deviation of ln(ratio) of a single coat, 0.01 to 2

    Returns
    -------
    [1] factor with its spread and its working

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Coats count as independent, also two stages of the same one. No touch leaves factor 1 and the spread it had. The spread is never
    wider than before any touch; a touch against all the others may widen it a little again.

    Accuracy
    --------
    The grid has 2001 points over at least six prior spreads either way: mean and spread agree with the closed form for exact
    findings, and with numerical integration for bounds, to 1e-4.

    Source
    ------
    Bayes' rule with interval-censored observations; for exact ones the posterior is the conjugate normal (textbook, from memory).
    """
    within("Spread before any touch", prior_spread, 0.01, 2)
    within("Scatter of a coat", scatter, 0.01, 2)
    grid = _grid(observed, prior_spread, scatter)
    log_weight = -0.5 * (grid / prior_spread) ** 2
    for coat in observed:
        log_weight = log_weight + coat.weight * _log_likelihood(coat, grid, math.hypot(scatter, coat.spread))
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    mean = float(weight @ grid)
    spread = math.sqrt(float(weight @ (grid - mean) ** 2))
    found = Factor(
        math.exp(mean),
        math.exp(mean - spread),
        math.exp(mean + spread),
        spread,
        prior_spread,
        len(observed),
        sum(coat.touches for coat in observed),
    )
    return replace(found, working=_working(observed, found, mean))


def still_wet(factor: Factor, ratio: float, scatter: float = COAT_SCATTER) -> Factor:
    """The factor of one coat that is known not to be dry yet.

    Formula: ln(ratio) of the coat ~ Normal(ln(factor), s) cut off below ln(ratio so far), s² = spread² + scatter²; value is its
    median, low and high its 16 % and 84 % points

    Parameters
    ----------
    factor : [1] the shop's factor from its other coats
    ratio : [1] share of the label's time that had gone by when it was not dry yet, 0 to 10 000
    scatter : [1] one standard deviation of ln(ratio) of a single coat, 0.01 to 2

    Returns
    -------
    [1] factor of this coat, above `ratio`

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    quantiles of the truncated normal distribution (textbook, from memory)
    """
    within("Share of the label's time", ratio, 0, MOST_TIMES)
    centre = math.log(factor.value)
    width = math.hypot(factor.spread, within("Scatter of a coat", scatter, 0.01, 2))
    # In logarithms, for far beyond what was expected so little is left that it could not be written otherwise.
    beyond = 0.0 if ratio == 0 else float(log_ndtr((centre - math.log(ratio)) / width))
    low, middle, high = (
        centre - width * float(ndtri_exp(math.log1p(-share) + beyond)) for share in (_LOW, 0.5, 1 - _LOW)
    )
    line = (
        f"This coat was not dry yet at {ratio:.2f} of the label's time: of all coats that slow, the middle one takes "
        f"{math.exp(middle):.2f} times the label ({math.exp(low):.2f} to {math.exp(high):.2f})."
    )
    return replace(
        factor,
        value=math.exp(middle),
        low=math.exp(low),
        high=math.exp(high),
        spread=(high - low) / 2,
        working=(*factor.working, line),
    )


_LOW = float(ndtr(-1.0))
"""Share of a normal distribution below one standard deviation under its mean."""


def _grid(observed: Sequence[Observed], prior: float, scatter: float) -> Array:
    """Values of ln(factor) wide enough for the prior and for all that was told."""
    logs = [math.log(ratio) for coat in observed for ratio in (coat.after, coat.by) if ratio is not None]
    low = min([-6 * prior, *(log - 4 * scatter for log in logs)])
    high = max([6 * prior, *(log + 4 * scatter for log in logs)])
    return np.linspace(low, high, _STEPS)


def _log_likelihood(coat: Observed, grid: Array, scatter: float) -> Array:
    """ln of how likely what was told of the coat is for each factor; a constant may be left out."""
    if coat.after is not None and coat.by is not None and math.isclose(coat.after, coat.by, rel_tol=1e-6):
        return np.asarray(-0.5 * ((math.log(coat.after) - grid) / scatter) ** 2)
    if coat.after is None:
        return np.asarray(log_ndtr(_apart(coat.by, grid, scatter)))
    if coat.by is None:
        return np.asarray(log_ndtr(-_apart(coat.after, grid, scatter)))
    above, below = _apart(coat.by, grid, scatter), _apart(coat.after, grid, scatter)
    # Both ends in the upper tail are turned round, so that the difference is of small numbers.
    turned = below > 0
    greater, less = np.where(turned, -below, above), np.where(turned, -above, below)
    return np.asarray(log_ndtr(greater) + np.log1p(-np.exp(log_ndtr(less) - log_ndtr(greater))))


def _apart(ratio: float | None, grid: Array, scatter: float) -> Array:
    """By how many standard deviations ln(ratio) lies above each value of the grid."""
    assert ratio is not None
    return np.asarray((math.log(ratio) - grid) / scatter)


def _working(observed: Sequence[Observed], found: Factor, mean: float) -> tuple[str, ...]:
    """The lines that a person opens to see how the factor came about."""
    before = (
        f"Before any touch: factor 1, {math.exp(-found.prior_spread):.2f} to {math.exp(found.prior_spread):.2f} "
        f"(ln factor 0 ± {found.prior_spread:.2f})."
    )
    after = (
        f"ln factor = {mean:.3f} ± {found.spread:.3f}; factor = exp({mean:.3f}) = {found.value:.2f} "
        f"({found.low:.2f} to {found.high:.2f}), from {found.touches} {'touch' if found.touches == 1 else 'touches'} on {found.coats} {'coat' if found.coats == 1 else 'coats'}."
    )
    return (before, *(_told(coat) for coat in observed), after) if observed else (before,)


def _told(coat: Observed) -> str:
    parts = [
        "" if coat.after is None else f"not yet at {coat.after:.2f}",
        "" if coat.by is None else f"dry enough at {coat.by:.2f}",
    ]
    counts = f"; counts {coat.weight:.2f}" if coat.weight < 0.995 else ""
    unsure = f"; air unsure, ± {coat.spread:.2f}" if coat.spread >= 0.005 else ""
    return f"{coat.name or 'A coat'}: {', '.join(filter(None, parts))} of the label's time{counts}{unsure}."
