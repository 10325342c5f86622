"""How hard a screw or a nail holds in wood: straight out, sideways, and at an angle between."""

from __future__ import annotations

import math

from tallboy.errors import OutOfRange
from tallboy.sums.film import Estimate
from tallboy.sums.ranges import within

END_GRAIN = 0.75
FULL_PENETRATION, COUNTED_PENETRATION = 7.0, 4.0
PSI = 0.006894757293168361  # N/mm²
SCATTER = 0.20

_K_HARDWOOD = ((0.33, 0.47, 23.17), (0.48, 0.56, 31.99), (0.57, 0.74, 44.13))
_K_SOFTWOOD = ((0.29, 0.42, 23.17), (0.43, 0.47, 29.79), (0.48, 0.52, 36.40))


def screw_withdrawal(
    specific_gravity: float, diameter_mm: float, thread_mm: float, *, end_grain: bool = False
) -> float:
    """Load at which a wood screw is pulled straight out of the wood.

    Formula: 108.25 * specific gravity² * diameter * thread in the wood; three quarters of it in end grain

    Parameters
    ----------
    specific_gravity : [1] of the wood, mass oven-dry over volume at 12 %, 0.1 to 1.3
    diameter_mm : [mm] of the shank, 1 to 10
    thread_mm : [mm] length of thread in the wood, 0 to 150
    end_grain : [yes/no] whether the screw runs along the fibres

    Returns
    -------
    [N] ultimate load, on average; what may hang on it is a fifth or less

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Seasoned sound wood, a lead hole of 70 % (softwood) or 90 % (hardwood) of the root diameter, and a screw that does not break
    first. End grain is erratic and may split: do not hang anything on it that can hurt.

    Accuracy
    --------
    The equation is for a mean; single screws scatter about it by about a fifth (one standard deviation, from memory).

    Source
    ------
    Wood Handbook, equation 8-10, read in a public transcription; end grain: the handbook as quoted by a third party.
    """
    within("Specific gravity", specific_gravity, 0.1, 1.3, "")
    within("Diameter", diameter_mm, 1, 10, "mm")
    within("Thread in the wood", thread_mm, 0, 150, "mm")
    return 108.25 * specific_gravity**2 * diameter_mm * thread_mm * (END_GRAIN if end_grain else 1.0)


def screw_withdrawal_allowed(oven_dry_gravity: float, diameter_mm: float, thread_mm: float) -> float:
    """Load that a building code allows to pull straight on a wood screw in side grain.

    Formula: 2850 psi * specific gravity² * diameter * thread in the wood, 1 psi = 0.0068948 N/mm²

    Parameters
    ----------
    oven_dry_gravity : [1] of the wood, mass and volume both oven-dry, 0.1 to 1.4; this is not the figure at 12 %
    diameter_mm : [mm] of the shank, 1 to 10
    thread_mm : [mm] length of thread in the wood, 0 to 150

    Returns
    -------
    [N] reference withdrawal load, safety included: the constant is 5.5 times below that of the ultimate load

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Dry wood, side grain, loads of ordinary length. In end grain the code allows none.

    Source
    ------
    National Design Specification for Wood Construction, as printed in a book of civil engineering formulas (6.37) and a trade page, read.
    """
    within("Oven-dry specific gravity", oven_dry_gravity, 0.1, 1.4, "")
    within("Diameter", diameter_mm, 1, 10, "mm")
    within("Thread in the wood", thread_mm, 0, 150, "mm")
    return 2850 * PSI * oven_dry_gravity**2 * diameter_mm * thread_mm


def nail_withdrawal(specific_gravity: float, diameter_mm: float, depth_mm: float) -> float:
    """Load at which a plain wire nail is pulled straight out of side grain.

    Formula: 54.12 * specific gravity^2.5 * diameter * depth

    Parameters
    ----------
    specific_gravity : [1] of the wood, mass oven-dry over volume at 12 %, 0.1 to 1.3
    diameter_mm : [mm] of the nail, 0.5 to 10
    depth_mm : [mm] length of nail in the wood, 0 to 200

    Returns
    -------
    [N] ultimate load soon after driving, on average

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Bright common nails in seasoned wood. Cut and forged nails of old furniture are another matter; so is wood that has dried since.

    Source
    ------
    Wood Handbook, equation 8-1, read in a public transcription.
    """
    within("Specific gravity", specific_gravity, 0.1, 1.3, "")
    within("Diameter", diameter_mm, 0.5, 10, "mm")
    within("Depth", depth_mm, 0, 200, "mm")
    return 54.12 * math.pow(specific_gravity, 2.5) * diameter_mm * depth_mm


def lag_screw_withdrawal(
    specific_gravity: float, diameter_mm: float, thread_mm: float, *, end_grain: bool = False
) -> float:
    """Load at which a coach screw (lag screw), such as a bed or bench has, is pulled straight out.

    Formula: 125.4 * specific gravity^1.5 * diameter^0.75 * thread in the wood; three quarters of it in end grain

    Parameters
    ----------
    specific_gravity : [1] of the wood, mass oven-dry over volume at 12 %, 0.1 to 1.3
    diameter_mm : [mm] of the shank, 4 to 30
    thread_mm : [mm] length of thread in the wood, 0 to 300
    end_grain : [yes/no] whether the screw runs along the fibres

    Returns
    -------
    [N] ultimate load, on average

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Seasoned wood and a proper lead hole.

    Source
    ------
    Wood Handbook, equation 8-14, read in a public transcription; end grain: Wood Handbook 2010, chapter 8, read.
    """
    within("Specific gravity", specific_gravity, 0.1, 1.3, "")
    within("Diameter", diameter_mm, 4, 30, "mm")
    within("Thread in the wood", thread_mm, 0, 300, "mm")
    side = 125.4 * math.pow(specific_gravity, 1.5) * math.pow(diameter_mm, 0.75) * thread_mm
    return side * (END_GRAIN if end_grain else 1.0)


def lateral_constant(specific_gravity: float, hardwood: bool) -> float:
    """The constant of a wood for the load that a screw bears sideways.

    Formula: a table of three classes each for hardwoods and softwoods

    Parameters
    ----------
    specific_gravity : [1] of the wood, mass oven-dry over volume at 12 %; hardwoods 0.33 to 0.74, softwoods 0.29 to 0.52
    hardwood : [yes/no] whether the wood is of a broad-leaved tree

    Returns
    -------
    [N/mm²] the constant K

    Raises
    ------
    OutOfRange outside the classes of the table.

    Source
    ------
    Wood Handbook, table 8-4, read in a public transcription. Between two classes the gravity is rounded to two places first.
    """
    classes = _K_HARDWOOD if hardwood else _K_SOFTWOOD
    rounded = round(specific_gravity, 2) if math.isfinite(specific_gravity) else specific_gravity
    for low, high, constant in classes:
        if low <= rounded <= high:
            return constant
    kind = "hardwood" if hardwood else "softwood"
    raise OutOfRange(f"Specific gravity of the {kind}", f"{specific_gravity:g}", classes[0][0], classes[-1][1])


def screw_lateral(specific_gravity: float, hardwood: bool, diameter_mm: float, penetration_mm: float) -> float:
    """Load sideways at which a wood screw begins to give.

    Formula: K * diameter²; with a penetration of less than 7 diameters, in proportion less

    Parameters
    ----------
    specific_gravity : [1] of the wood, mass oven-dry over volume at 12 %; hardwoods 0.33 to 0.74, softwoods 0.29 to 0.52
    hardwood : [yes/no] whether the wood is of a broad-leaved tree
    diameter_mm : [mm] of the shank, 1 to 10
    penetration_mm : [mm] how deep the screw goes into the piece that has its point, 1 diameter to 200

    Returns
    -------
    [N] proportional limit: up to there it springs back

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Side grain, both pieces of much the same wood. That less than 7 diameters counts in proportion is from memory of the handbook, and
    that building codes count nothing below 4 diameters, from memory too: short screws of small hinges are told by the same line.

    Source
    ------
    Wood Handbook, equation 8-13 with table 8-4, read in a public transcription.
    """
    within("Diameter", diameter_mm, 1, 10, "mm")
    within("Penetration", penetration_mm, diameter_mm, 200, "mm")
    share = min(penetration_mm / (FULL_PENETRATION * diameter_mm), 1.0)
    return lateral_constant(specific_gravity, hardwood) * diameter_mm**2 * share


def hankinson(along_n: float, across_n: float, angle_deg: float) -> float:
    """Strength at an angle, from the strengths along and across.

    Formula: P Q / (P sin² angle + Q cos² angle)

    Parameters
    ----------
    along_n : [N] strength at 0°, P, 0.001 to 1 000 000
    across_n : [N] strength at 90°, Q, 0.001 to 1 000 000
    angle_deg : [°] 0 to 90

    Returns
    -------
    [N] between the two; for a screw that is pulled and pushed sideways at once, P is what it holds sideways, Q straight out, and the
    angle that of the load from the surface

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Wood Handbook, equation 8-16 (Hankinson), read in a public transcription; its use for screws pulled at an angle: National Design
    Specification, from memory.
    """
    within("Strength along", along_n, 0.001, 1e6, "N")
    within("Strength across", across_n, 0.001, 1e6, "N")
    within("Angle", angle_deg, 0, 90, "°")
    sine, cosine = math.sin(math.radians(angle_deg)), math.cos(math.radians(angle_deg))
    return along_n * across_n / (along_n * sine**2 + across_n * cosine**2)


def scattered(mean_n: float, scatter: float = SCATTER) -> Estimate:
    """What single screws hold, from the mean: two standard deviations to either side.

    Formula: mean * (1 - 2 scatter), mean, mean * (1 + 2 scatter)

    Parameters
    ----------
    mean_n : [N] mean load, 0 to 1 000 000
    scatter : [1] standard deviation over mean, 0 to 0.45

    Returns
    -------
    [N] low, middle and high; about one screw in forty holds less than the low one

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition; a fifth is what tests of withdrawal scatter by, from memory
    """
    within("Mean load", mean_n, 0, 1e6, "N")
    within("Scatter", scatter, 0, 0.45, "")
    return Estimate(mean_n * (1 - 2 * scatter), mean_n, mean_n * (1 + 2 * scatter))
