"""How wood swells and shrinks across the grain with the water in it. Along the grain it moves next to nothing.

Moisture is in percent of the oven-dry mass. A coefficient is the change of size for each percent, as a share of the size at 10 %.
"""

from __future__ import annotations

import math

from tallboy.sums.ranges import within
from tallboy.sums.wood import FIBRE_SATURATION

COEFFICIENT_FROM, COEFFICIENT_TO = 6.0, 14.0
"""[%] the moisture between which coefficients were measured."""
COEFFICIENT_AT = 10.0
"""[%] the moisture whose size a coefficient refers to."""
RING_ANGLES = {"flat": 0.0, "rift": 45.0, "quarter": 90.0}
"""[°] between the rings and the width of the board, by how the board was cut."""
WETTEST = 25.0
"""[%] as far as the straight line of `size_at` is drawn; near fibre saturation the curve bends."""


def dimension_change(size_mm: float, coefficient: float, moisture_from: float, moisture_to: float) -> float:
    """Change of a size across the grain, for moisture between 6 and 14 %: the handbook's short form.

    Formula: change = size * C * (M_to - M_from)

    Parameters
    ----------
    size_mm : [mm] width or thickness now, 0 to 100 000
    coefficient : [1/%] of the wood and cut, 0 to 0.01
    moisture_from : [%] moisture content now, 6 to 14
    moisture_to : [%] moisture content then, 6 to 14

    Returns
    -------
    [mm] change, negative when it shrinks

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    It takes the size now for the size at 10 %; going and coming back it is out by a few hundredths of the change. `size_at` is not.

    Source
    ------
    Wood Handbook (FPL-GTR-190), eq. 13-2, coefficients of table 13-5.
    """
    within("Size", size_mm, 0, 100_000, "mm")
    within("Coefficient", coefficient, 0, 0.01, "1/%")
    within("Moisture content now", moisture_from, COEFFICIENT_FROM, COEFFICIENT_TO, "%")
    within("Moisture content then", moisture_to, COEFFICIENT_FROM, COEFFICIENT_TO, "%")
    return size_mm * coefficient * (moisture_to - moisture_from)


def dimension_change_wide(size_mm: float, shrinkage: float, moisture_from: float, moisture_to: float) -> float:
    """Change of a size across the grain from the wood's shrinkage, for any moisture below fibre saturation.

    Formula: change = size * (M_to - M_from) / (30 * 100 / S - 30 + M_from)

    Parameters
    ----------
    size_mm : [mm] width or thickness now, 0 to 100 000
    shrinkage : [%] from green to oven-dry, radial or tangential, 0.1 to 20
    moisture_from : [%] moisture content now, 0 to 30
    moisture_to : [%] moisture content then, 0 to 30

    Returns
    -------
    [mm] change, negative when it shrinks

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Straight from oven-dry to 30 %. Woods with much gum or resin (mahogany, rosewood) are saturated at 22 to 24 % already, beech
    and birch at 32 to 34 %.

    Source
    ------
    Wood Handbook, eq. 13-3, from memory; it follows from a straight line between green and oven-dry size.
    """
    within("Size", size_mm, 0, 100_000, "mm")
    within("Shrinkage", shrinkage, 0.1, 20, "%")
    within("Moisture content now", moisture_from, 0, FIBRE_SATURATION, "%")
    within("Moisture content then", moisture_to, 0, FIBRE_SATURATION, "%")
    green_line = FIBRE_SATURATION * 100 / shrinkage - FIBRE_SATURATION + moisture_from
    return size_mm * (moisture_to - moisture_from) / green_line


def size_at(size_mm: float, coefficient: float, moisture_from: float, moisture_to: float) -> float:
    """Size across the grain at another moisture; there and back gives the same size again.

    Formula: size * (1 + C (M_to - 10)) / (1 + C (M_from - 10))

    Parameters
    ----------
    size_mm : [mm] width or thickness now, 0 to 100 000
    coefficient : [1/%] of the wood and cut, 0 to 0.01
    moisture_from : [%] moisture content now, 0 to 25
    moisture_to : [%] moisture content then, 0 to 25

    Returns
    -------
    [mm] size then

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Coefficients were measured from 6 to 14 %; outside, the straight line is carried on, as eq. 13-3 does.

    Source
    ------
    Own derivation: the size at 10 %, to which the handbook's coefficients refer, put in the middle of eq. 13-2. It is eq. 13-3
    where C = S / (3000 - 20 S).
    """
    within("Size", size_mm, 0, 100_000, "mm")
    within("Coefficient", coefficient, 0, 0.01, "1/%")
    within("Moisture content now", moisture_from, 0, WETTEST, "%")
    within("Moisture content then", moisture_to, 0, WETTEST, "%")
    return size_mm * _stretch(coefficient, moisture_to) / _stretch(coefficient, moisture_from)


def coefficient_from_shrinkage(shrinkage: float) -> float:
    """Coefficient of movement from the shrinkage of the same wood between green and oven-dry.

    Not for what is sold as red oak or white oak, nor for mahogany and teak: their published coefficients and shrinkages come from
    different wood.

    Formula: C = S / (3000 - 20 S)

    Parameters
    ----------
    shrinkage : [%] from green to oven-dry, radial or tangential, 0.1 to 20

    Returns
    -------
    [1/%] coefficient, of the size at 10 % moisture

    Raises
    ------
    OutOfRange outside the range.

    Validity
    --------
    Of 40 values of the table of woods it gives 39 of table 13-5 from table 4-3 to the last printed digit, one is a digit off.

    Source
    ------
    Own derivation: eq. 13-3 of the Wood Handbook at 10 % moisture.
    """
    within("Shrinkage", shrinkage, 0.1, 20, "%")
    return shrinkage / (100 * FIBRE_SATURATION - (FIBRE_SATURATION - COEFFICIENT_AT) * shrinkage)


def shrinkage_to(shrinkage: float, moisture: float, fibre_saturation: float = FIBRE_SATURATION) -> float:
    """Shrinkage from green to some moisture content, from the shrinkage to oven-dry.

    Formula: S_M = S (1 - M / Mfs)

    Parameters
    ----------
    shrinkage : [%] from green to oven-dry, 0.1 to 30
    moisture : [%] moisture content, 0 to the fibre saturation
    fibre_saturation : [%] 20 to 35; 30 when it is not known

    Returns
    -------
    [%] shrinkage, of the green size

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Wood Handbook (FPL-GTR-282), eq. 4-9; a public transcription.
    """
    within("Shrinkage", shrinkage, 0.1, 30, "%")
    within("Fibre saturation", fibre_saturation, 20, 35, "%")
    within("Moisture content", moisture, 0, fibre_saturation, "%")
    return shrinkage * (1 - moisture / fibre_saturation)


def coefficient_at_angle(radial: float, tangential: float, ring_angle: float) -> float:
    """Coefficient across a board whose rings stand at an angle to its width.

    Formula: C = C_T cos² a + C_R sin² a

    Parameters
    ----------
    radial : [1/%] coefficient across the rings, 0 to 0.01
    tangential : [1/%] coefficient along the rings, 0 to 0.01
    ring_angle : [°] between the rings and the width: 0 flat-sawn, 90 quarter-sawn

    Returns
    -------
    [1/%] coefficient, between the two

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Rings as straight parallel lines at one angle; a board near the heart has all of them.

    Source
    ------
    Own derivation: turning of plane strain, whose main directions are the radial and the tangential one.
    """
    within("Radial coefficient", radial, 0, 0.01, "1/%")
    within("Tangential coefficient", tangential, 0, 0.01, "1/%")
    angle = math.radians(within("Ring angle", ring_angle, 0, 90, "°"))
    return float(tangential * math.cos(angle) ** 2 + radial * math.sin(angle) ** 2)


def _stretch(coefficient: float, moisture: float) -> float:
    """Size as a share of that at 10 %."""
    return 1 + coefficient * (moisture - COEFFICIENT_AT)
