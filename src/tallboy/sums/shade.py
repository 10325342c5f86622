"""A set of tones: how even it is, which is the odd one out, which on the shelf comes nearest, and what the eye makes of it.

Tones are L*, a*, b* of CIELAB, as in `colour`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tallboy.errors import BadInput
from tallboy.sums.colour import ciede2000, tones_of
from tallboy.sums.ranges import ranged

Array = NDArray[np.float64]

SEEN = (
    (1.0, "not seen"),
    (2.0, "seen by a trained eye"),
    (3.5, "seen by anyone side by side"),
    (5.0, "clearly seen"),
)
"""Up to which difference each wording holds; above the last it is two colours."""
JUST_NOTICEABLE = 2.3
"""Difference of CIELAB 1976 that is just noticed."""


@dataclass(frozen=True)
class Evenness:
    """How even a set is. `largest` is the difference of the pair (`first`, `second`: places from 0) that lie farthest apart.

    `odd` is the one whose removal evens the rest most, -1 when the set has only two; `without` is the largest difference left.
    """

    largest: float
    first: int
    second: int
    odd: int
    without: float
    mean: float


@dataclass(frozen=True)
class Nearest:
    """The tone on the shelf that comes nearest: its place from 0, its difference, and all places from the nearest on."""

    place: int
    difference: float
    order: tuple[int, ...]
    differences: tuple[float, ...]


def difference_matrix(tones: ArrayLike) -> Array:
    """Difference of every tone of a set from every other.

    Formula: CIEDE2000 of each pair

    Parameters
    ----------
    tones : [CIELAB] two to 500 tones, L*, a*, b* each

    Returns
    -------
    [CIEDE2000 units] square array, alike both ways, 0 along the middle

    Raises
    ------
    OutOfRange outside the ranges; BadInput for fewer than two tones or more than 500.

    Source
    ------
    as ciede2000
    """
    all_tones = tones_of(tones)
    if all_tones.ndim != 2 or not 2 <= len(all_tones) <= 500:
        raise BadInput("A set needs two to 500 tones.", "Each as L*, a*, b*.")
    return np.asarray(ciede2000(all_tones[:, None, :], all_tones[None, :, :]), dtype=np.float64)


def evenness(tones: ArrayLike) -> Evenness:
    """How even a set looks: its farthest pair, and the odd one out.

    Formula: largest of all pairs; the odd one is that without which the largest of the rest is least

    Parameters
    ----------
    tones : [CIELAB] two to 500 tones, L*, a*, b* each

    Returns
    -------
    [CIEDE2000 units] Evenness: largest difference and its pair, the odd one out, what is left without it, and the mean

    Raises
    ------
    OutOfRange outside the ranges; BadInput for fewer than two tones or more than 500.

    Validity
    --------
    A pair that lies close side by side shows a difference that two ends of a room hide. Of equals the first is named.

    Source
    ------
    own derivation
    """
    matrix = difference_matrix(tones)
    count = len(matrix)
    first, second = (int(place) for place in np.unravel_index(int(np.argmax(matrix)), matrix.shape))
    mean = float(matrix.sum() / (count * (count - 1)))
    if count == 2:
        return Evenness(float(matrix[first, second]), first, second, -1, 0.0, mean)
    # Only leaving out one of the farthest pair can make the largest difference smaller.
    left = {place: float(np.delete(np.delete(matrix, place, 0), place, 1).max()) for place in sorted({first, second})}
    odd = min(left, key=lambda place: left[place])
    return Evenness(float(matrix[first, second]), first, second, odd, left[odd], mean)


def nearest(target: ArrayLike, shelf: ArrayLike) -> Nearest:
    """The tone on the shelf that comes nearest to one that is wanted.

    Formula: least CIEDE2000

    Parameters
    ----------
    target : [CIELAB] L*, a*, b* of the tone that is wanted
    shelf : [CIELAB] one or more tones, L*, a*, b* each

    Returns
    -------
    [CIEDE2000 units] Nearest: place of the nearest from 0, its difference, and all the others after it

    Raises
    ------
    OutOfRange outside the ranges; BadInput when the shelf is empty, or more than one tone is sought.

    Source
    ------
    as ciede2000
    """
    if not np.size(shelf):
        raise BadInput("The shelf is empty.", "Give at least one tone.")
    wanted, tones = tones_of(target), np.atleast_2d(tones_of(shelf))
    if wanted.ndim != 1 or tones.ndim != 2:
        raise BadInput("One tone is sought among a row of tones.", "Give L*, a*, b* once, and a list of tones.")
    apart = np.atleast_1d(np.asarray(ciede2000(wanted, tones), dtype=np.float64))
    order = tuple(int(place) for place in np.argsort(apart, kind="stable"))
    return Nearest(order[0], float(apart[order[0]]), order, tuple(float(apart[place]) for place in order))


def seen_as(difference: float) -> str:
    """What the eye makes of a difference.

    Formula: up to 1, 2, 3.5, 5 and above

    Parameters
    ----------
    difference : [CIELAB or CIEDE2000 units] 0 to 400

    Returns
    -------
    [text] "not seen", "seen by a trained eye", "seen by anyone side by side", "clearly seen" or "two colours"

    Raises
    ------
    OutOfRange outside the range.

    Validity
    --------
    A standard observer, two flat tones side by side in good daylight. The steps were given for CIELAB 1976; here they are taken for
    CIEDE2000 too, as is common practice, although its units are smaller in strong colours. 2.3 of 1976 is just noticed.

    Source
    ------
    Steps of 1, 2, 3.5 and 5 and the 2.3: documentation of colour-science, JND_CIE1976
    """
    value = float(ranged("Difference", difference, 0, 400))
    return next((words for limit, words in SEEN if value <= limit), "two colours")
