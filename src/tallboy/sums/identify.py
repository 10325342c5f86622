"""Which metal, from several weak signs together: each candidate's share is raised or lowered by every sign, line by line.

A small table says for each candidate how often it shows each outcome of a sign. Bayes' rule brings them together; the signs are taken
as independent of each other, which they are only roughly, so the shares are a ranking with doubt and no measurement.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from tallboy.errors import BadInput, OutOfRange
from tallboy.sums.ranges import within

SURE = 0.9
"""From this share on the first of the ranking is named without doubt."""
STRANGER = 0.05
"""Share of every density that is left to pieces that are not what the table knows: hollow, cored, filled."""
WIDEST = 12.0
"""Densities of metals in furniture lie within this [g/cm³]."""


@dataclass(frozen=True)
class Candidate:
    """What the piece might be. `chances` are by sign and outcome, summing to one for each sign.

    `low` and `high` are the densities [g/cm³] of what makes up its weight: the base, when it is plated.
    """

    key: str
    weight: float = 1.0
    plated: bool = False
    low: float = 0.0
    high: float = 0.0
    chances: Mapping[str, Mapping[str, float]] = field(default_factory=dict)


@dataclass(frozen=True)
class Step:
    """What one sign did: its name, what was seen, and every candidate's share after it."""

    sign: str
    outcome: str
    shares: Mapping[str, float]


@dataclass(frozen=True)
class Identified:
    """The ranking. `ranked` are keys with their shares, best first; `plated` is the share of all plated candidates together.

    `verdict` is "sure" or "not sure".
    """

    ranked: tuple[tuple[str, float], ...]
    plated: float
    verdict: str
    steps: tuple[Step, ...]


def density_likelihood(density: float, uncertainty: float, low: float, high: float) -> float:
    """How well a weighed density agrees with a metal whose density lies between two values.

    Formula: p = (Phi((high - x) / u) - Phi((low - x) / u)) / (high - low); 5 % of it is left to pieces that no table knows

    Parameters
    ----------
    density : [g/cm³] density found, 0.1 to 25
    uncertainty : [g/cm³] its standard uncertainty, 0.0001 to 25
    low : [g/cm³] least density of the metal, 0.1 to 25
    high : [g/cm³] greatest density of the metal, low to 25

    Returns
    -------
    [cm³/g] likelihood: a density of probability

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    All densities between the two are taken as equally likely. A range narrower than a millionth of the uncertainty is taken as
    a single value.

    Source
    ------
    own derivation: a rectangular distribution seen through a normal error
    """
    x = within("Density", density, 0.1, 25, "g/cm³")
    u = within("Uncertainty", uncertainty, 0.0001, 25, "g/cm³")
    least = within("Least density", low, 0.1, 25, "g/cm³")
    most = within("Greatest density", high, least, 25, "g/cm³")
    if most - least < 1e-6 * u:
        seen = math.exp(-(((x - (least + most) / 2) / u) ** 2) / 2) / (u * math.sqrt(2 * math.pi))
    else:
        seen = (_phi((most - x) / u) - _phi((least - x) / u)) / (most - least)
    return (1 - STRANGER) * seen + STRANGER / WIDEST


def identify(
    candidates: Sequence[Candidate],
    signs: Mapping[str, str],
    density: float | None = None,
    uncertainty: float | None = None,
) -> Identified:
    """Ranks the candidates by all that was seen, one sign after the other.

    Formula: share after = share before * chance of the outcome / sum of the same over all candidates

    Parameters
    ----------
    candidates : [text] what the piece might be, each with its chances
    signs : [text] outcome by sign, such as {"magnet": "none", "rub": "yellow"}; in the order they are taken
    density : [g/cm³] weighed density, 0.1 to 25; None when not weighed
    uncertainty : [g/cm³] its standard uncertainty, 0.0001 to 25; needed with a density

    Returns
    -------
    [1] Identified: the ranking, the share that is plated, the verdict and every step

    Raises
    ------
    BadInput for no candidates, an unknown sign or outcome, signs that no candidate shows, or a density without its uncertainty;
    OutOfRange outside the ranges.

    Validity
    --------
    Signs are taken as independent. Only what stands in the table can be found; a share is a ranking, not a proof.

    Source
    ------
    Bayes' theorem
    """
    if not candidates:
        raise BadInput("There is nothing to choose from.", "Give at least one candidate.")
    shares = _scaled({one.key: one.weight for one in candidates}, "the start")
    steps = [Step("before any test", "how often such fittings are met", shares)]
    for sign, outcome in signs.items():
        chances = {one.key: _chance(one, sign, outcome) for one in candidates}
        shares = _scaled({key: shares[key] * chance for key, chance in chances.items()}, sign)
        steps.append(Step(sign, outcome, shares))
    if density is not None:
        if uncertainty is None:
            raise BadInput("A density needs its uncertainty.", "Say how far off the scale may be.")
        seen = {one.key: density_likelihood(density, uncertainty, one.low, one.high) for one in candidates}
        shares = _scaled({key: shares[key] * chance for key, chance in seen.items()}, "density")
        steps.append(Step("density", f"{density:.2f} ± {2 * uncertainty:.2f} g/cm³", shares))
    return _identified(candidates, shares, tuple(steps))


def next_sign(candidates: Sequence[Candidate], shares: Mapping[str, float], tried: Sequence[str] = ()) -> str:
    """The sign not yet tried that would tell most, on the average over what it may show.

    Formula: the sign with the least expected entropy, sum over outcomes of P(outcome) * H(shares after it)

    Parameters
    ----------
    candidates : [text] what the piece might be, each with its chances
    shares : [1] share of each candidate by its key, 0 to 1
    tried : [text] signs that were tried already

    Returns
    -------
    [text] name of the sign, "" when none is left

    Raises
    ------
    BadInput when there are no candidates.

    Source
    ------
    Shannon's entropy; own derivation
    """
    if not candidates:
        raise BadInput("There is nothing to choose from.", "Give at least one candidate.")
    left = [sign for sign in candidates[0].chances if sign not in tried]
    return min(left, key=lambda sign: _expected_entropy(candidates, shares, sign), default="")


def _identified(candidates: Sequence[Candidate], shares: Mapping[str, float], steps: tuple[Step, ...]) -> Identified:
    ranked = tuple(sorted(shares.items(), key=lambda item: (-item[1], item[0])))
    plated = sum(shares[one.key] for one in candidates if one.plated)
    return Identified(ranked, plated, "sure" if ranked[0][1] >= SURE else "not sure", steps)


def _chance(candidate: Candidate, sign: str, outcome: str) -> float:
    if sign not in candidate.chances:
        raise BadInput(f"There is no sign called “{sign}”.", f"There are: {', '.join(candidate.chances)}.")
    outcomes = candidate.chances[sign]
    if outcome not in outcomes:
        raise BadInput(f"The {sign} cannot be “{outcome}”.", f"It can be: {', '.join(outcomes)}.")
    chance = outcomes[outcome]
    if not 0 <= chance <= 1:
        raise OutOfRange(f"Chance of {outcome} for {candidate.key}", chance, 0, 1)
    return chance


def _scaled(weights: Mapping[str, float], after: str) -> dict[str, float]:
    total = sum(weights.values())
    if not total > 0:
        raise BadInput(f"Nothing in the table agrees with {after} as well as the rest.", "Look again at what was seen.")
    return {key: weight / total for key, weight in weights.items()}


def _expected_entropy(candidates: Sequence[Candidate], shares: Mapping[str, float], sign: str) -> float:
    total = 0.0
    for outcome in candidates[0].chances[sign]:
        joint = [shares[one.key] * _chance(one, sign, outcome) for one in candidates]
        weight = sum(joint)
        total -= sum(part * math.log2(part / weight) for part in joint if part > 0)
    return total


def _phi(z: float) -> float:
    return (1 + math.erf(z / math.sqrt(2))) / 2
