"""Tones as numbers: from a screen's colour to CIELAB, and how far two tones lie apart for the eye.

A tone is three numbers of CIELAB under daylight (D65): L* from black 0 to white 100, a* from green to red, b* from blue to yellow.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tallboy.errors import BadInput
from tallboy.sums.ranges import ranged

Array = NDArray[np.float64]

_TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
_WHITE = _TO_XYZ @ np.ones(3)
"""White is what red, green and blue give together, so that every grey has a* = b* = 0."""
_DELTA = 6 / 29


def tones_of(values: ArrayLike) -> Array:
    """Tones as an array, once every number has been seen to lie in its range.

    Parameters
    ----------
    values : [CIELAB] L*, a*, b* in the last axis; L* 0 to 100, a* and b* -200 to 200

    Returns
    -------
    [CIELAB] array of the same shape

    Raises
    ------
    OutOfRange outside the ranges; BadInput when a tone has not three numbers.

    Source
    ------
    definition
    """
    tones = np.asarray(values, dtype=np.float64)
    if tones.shape[-1:] != (3,):
        raise BadInput("A tone has three numbers.", "L*, a* and b*.")
    ranged("L*", tones[..., 0], 0, 100)
    ranged("a* or b*", tones[..., 1:], -200, 200)
    return tones


def ciede2000(first: ArrayLike, second: ArrayLike) -> float | Array:
    """Difference of two tones as the eye has it, by the formula of the year 2000.

    Formula: sqrt((dL'/SL)² + (dC'/SC)² + (dH'/SH)² + RT (dC'/SC)(dH'/SH)), with kL = kC = kH = 1

    Parameters
    ----------
    first : [CIELAB] L*, a*, b* in the last axis; L* 0 to 100, a* and b* -200 to 200
    second : [CIELAB] the same; the two shapes are broadcast together

    Returns
    -------
    [CIEDE2000 units] difference, 0 when alike; one number for two single tones

    Raises
    ------
    OutOfRange outside the ranges; BadInput when a tone has not three numbers.

    Validity
    --------
    For small differences, up to about 5, between flat colours in daylight; large ones only rank. Shine and grain are not in it.

    Accuracy
    --------
    Reproduces the 34 test pairs of its authors to the four decimals that they print.

    Source
    ------
    CIE 142-2001; Sharma, Wu and Dalal, Color Research and Application 30 (2005) 21-30, equations 2 to 22
    """
    one, other = np.broadcast_arrays(tones_of(first), tones_of(second))
    l1, l2 = one[..., 0], other[..., 0]
    a1, a2 = _stretched(one, other)
    c1, c2 = np.hypot(a1, one[..., 2]), np.hypot(a2, other[..., 2])
    h1, h2 = _hue(a1, one[..., 2]), _hue(a2, other[..., 2])
    grey = c1 * c2 == 0
    turn = np.where(grey, 0.0, (h2 - h1 + 180) % 360 - 180)
    turn = np.where(~grey & (h2 - h1 == 180), 180.0, turn)
    chroma_step, hue_step = c2 - c1, 2 * np.sqrt(c1 * c2) * np.sin(np.radians(turn) / 2)
    light, chroma, hue = (l1 + l2) / 2, (c1 + c2) / 2, _mean_hue(h1, h2, grey)
    tint = 1 - 0.17 * _cos(hue - 30) + 0.24 * _cos(2 * hue) + 0.32 * _cos(3 * hue + 6) - 0.20 * _cos(4 * hue - 63)
    away = (light - 50) ** 2
    lightness = (l2 - l1) / (1 + 0.015 * away / np.sqrt(20 + away))
    chroma_term = chroma_step / (1 + 0.045 * chroma)
    hue_term = hue_step / (1 + 0.015 * chroma * tint)
    total = lightness**2 + chroma_term**2 + hue_term**2 + _rotation(chroma, hue) * chroma_term * hue_term
    return _one_or_many(np.sqrt(np.maximum(total, 0)))


def cie76(first: ArrayLike, second: ArrayLike) -> float | Array:
    """Difference of two tones by the formula of 1976: their plain distance in CIELAB.

    Formula: sqrt(dL² + da² + db²)

    Parameters
    ----------
    first : [CIELAB] L*, a*, b* in the last axis; L* 0 to 100, a* and b* -200 to 200
    second : [CIELAB] the same

    Returns
    -------
    [CIELAB units] distance, 0 when alike

    Raises
    ------
    OutOfRange outside the ranges; BadInput when a tone has not three numbers.

    Validity
    --------
    Tells strong yellows and browns too far apart; CIEDE2000 mends that. Older sheets give their tolerances in it.

    Source
    ------
    CIE 15 (colorimetry), CIELAB 1976; definition
    """
    return _one_or_many(np.linalg.norm(tones_of(first) - tones_of(second), axis=-1))


def srgb_to_lab(rgb: ArrayLike) -> list[float]:
    """CIELAB tone of a colour as screens and files name it.

    Formula: linear light by the sRGB curve, then X, Y, Z by its matrix, then L*, a*, b* against the white of that matrix (D65)

    Parameters
    ----------
    rgb : [1] red, green and blue, each 0 to 255

    Returns
    -------
    [CIELAB] L*, a*, b*

    Raises
    ------
    OutOfRange outside 0 to 255; BadInput when it has not three numbers.

    Validity
    --------
    For a colour meant for a screen. A photograph has the colour of its light in it: compare two only from the same picture.

    Accuracy
    --------
    Within 0.02 of scikit-image 0.26 in each number; the two round the matrix differently.

    Source
    ------
    IEC 61966-2-1 (sRGB): curve and matrix; CIE 15: CIELAB
    """
    values = ranged("Red, green, blue", rgb, 0, 255) / 255
    if values.shape != (3,):
        raise BadInput("A colour has three numbers.", "Red, green and blue.")
    linear = np.where(values <= 0.04045, values / 12.92, ((values + 0.055) / 1.055) ** 2.4)
    x, y, z = _f(_TO_XYZ @ linear / _WHITE)
    # White may come out a hair above 100 by rounding.
    return [min(float(116 * y - 16), 100.0), float(500 * (x - y)), float(200 * (y - z))]


def hex_to_rgb(text: str) -> list[int]:
    """Red, green and blue of a colour typed as a hex code.

    Parameters
    ----------
    text : [text] such as "#b5a642", "B5A642" or "#fa3" for "#ffaa33"

    Returns
    -------
    [1] red, green and blue, each 0 to 255

    Raises
    ------
    BadInput when it is no such code.

    Source
    ------
    definition
    """
    digits = text.strip().removeprefix("#")
    if len(digits) == 3:
        digits = "".join(letter * 2 for letter in digits)
    if len(digits) != 6 or any(letter not in "0123456789abcdefABCDEF" for letter in digits):
        raise BadInput(f"“{text[:20]}” is no colour code.", "It takes six digits such as #b5a642.")
    return [int(digits[at : at + 2], 16) for at in (0, 2, 4)]


def _stretched(one: Array, other: Array) -> tuple[Array, Array]:
    """The a* of both, stretched near the greys (equations 2 to 5)."""
    seventh = ((np.hypot(one[..., 1], one[..., 2]) + np.hypot(other[..., 1], other[..., 2])) / 2) ** 7
    stretch = 1.5 - 0.5 * np.sqrt(seventh / (seventh + 25.0**7))
    return stretch * one[..., 1], stretch * other[..., 1]


def _hue(a: Array, b: Array) -> Array:
    return np.asarray(np.degrees(np.arctan2(b, a)) % 360)


def _mean_hue(h1: Array, h2: Array, grey: NDArray[np.bool_]) -> Array:
    """The hue between two on the shorter way round; the sum of both where one is grey (equation 14)."""
    total = h1 + h2
    far = np.abs(h1 - h2) > 180
    around = np.where(total < 360, total + 360, total - 360)
    return np.where(grey, total, np.where(far, around, total) / 2)


def _rotation(chroma: Array, hue: Array) -> Array:
    """The term that turns the ellipses in the blues (equations 16, 17 and 21)."""
    seventh = chroma**7
    turn = 30 * np.exp(-(((hue - 275) / 25) ** 2))
    return np.asarray(-2 * np.sqrt(seventh / (seventh + 25.0**7)) * np.sin(np.radians(2 * turn)))


def _cos(degrees: Array) -> Array:
    return np.asarray(np.cos(np.radians(degrees)))


def _f(ratio: Array) -> Array:
    return np.where(ratio > _DELTA**3, np.cbrt(ratio), ratio / (3 * _DELTA**2) + 4 / 29)


def _one_or_many(result: Array) -> float | Array:
    return float(result) if np.ndim(result) == 0 else result
