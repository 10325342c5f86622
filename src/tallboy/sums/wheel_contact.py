"""The pressure under a wheel, elastic and smooth: a flat tread or a ball on a flat floor."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tallboy.sums.ranges import within
from tallboy.sums.wheel_steps import MOST_LOAD_N, MOST_RADIUS_MM


@dataclass(frozen=True)
class Contact:
    """Where two bodies press on each other: half the width of the strip or the radius of the spot [mm], pressures [MPa]."""

    half_width_mm: float
    peak_mpa: float
    mean_mpa: float


def contact_modulus(first_mpa: float, first_poisson: float, second_mpa: float, second_poisson: float) -> float:
    """Stiffness of two materials pressed together.

    Formula: 1 / E* = (1 - v1²) / E1 + (1 - v2²) / E2

    Parameters
    ----------
    first_mpa : [MPa] E1, Young's modulus of the wheel, 0.1 to 1 000 000
    first_poisson : [1] v1, 0 to 0.5
    second_mpa : [MPa] E2, of the floor, 0.1 to 1 000 000
    second_poisson : [1] v2, 0 to 0.5

    Returns
    -------
    [MPa] E*

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Hertz 1882, as in Johnson, Contact Mechanics (from memory).
    """
    give = 0.0
    for modulus, poisson in ((first_mpa, first_poisson), (second_mpa, second_poisson)):
        ratio = within("Poisson's ratio", poisson, 0, 0.5)
        give += (1 - ratio**2) / within("Young's modulus", modulus, 0.1, 1e6, "MPa")
    return 1 / give


def line_contact(load_n: float, width_mm: float, radius_mm: float, modulus_mpa: float) -> Contact:
    """Pressure under a wheel with a flat tread on a flat floor.

    Formula: b = sqrt(4 F R / (pi L E*)), peak = 2 F / (pi b L), mean = pi / 4 peak

    Parameters
    ----------
    load_n : [N] F, on one wheel, 0.001 to 100 000
    width_mm : [mm] L, of the tread, 0.1 to 1000
    radius_mm : [mm] R, of the wheel, 0.1 to 2000
    modulus_mpa : [MPa] E*, from `contact_modulus`, 0.1 to 1 000 000

    Returns
    -------
    [mm, MPa] half the width of the strip in the rolling direction, peak and mean pressure

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Elastic, smooth, the strip narrow beside the radius. Edges of the tread press harder; wood gives way before such peaks.

    Source
    ------
    Hertz 1882, as in Johnson, Contact Mechanics (from memory).
    """
    load, radius, modulus = _pressed(load_n, radius_mm, modulus_mpa)
    width = within("Width of the tread", width_mm, 0.1, 1000, "mm")
    half = float(np.sqrt(4 * load * radius / (np.pi * width * modulus)))
    return Contact(half, float(2 * load / (np.pi * half * width)), load / (2 * half * width))


def ball_contact(load_n: float, radius_mm: float, modulus_mpa: float) -> Contact:
    """Pressure under a ball, or a wheel whose tread is rounded as much across as along, on a flat floor.

    Formula: a = (3 F R / (4 E*))^(1/3), peak = 3 F / (2 pi a²), mean = 2 / 3 peak

    Parameters
    ----------
    load_n : [N] F, 0.001 to 100 000
    radius_mm : [mm] R, 0.1 to 2000
    modulus_mpa : [MPa] E*, from `contact_modulus`, 0.1 to 1 000 000

    Returns
    -------
    [mm, MPa] radius of the spot, peak and mean pressure

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Elastic, smooth, the spot small beside the radius.

    Source
    ------
    Hertz 1882, as in Johnson, Contact Mechanics (from memory).
    """
    load, radius, modulus = _pressed(load_n, radius_mm, modulus_mpa)
    spot = float((3 * load * radius / (4 * modulus)) ** (1 / 3))
    mean = float(load / (np.pi * spot**2))
    return Contact(spot, 1.5 * mean, mean)


def _pressed(load_n: float, radius_mm: float, modulus_mpa: float) -> tuple[float, float, float]:
    return (
        within("Load", load_n, 0.001, MOST_LOAD_N, "N"),
        within("Radius", radius_mm, 0.1, MOST_RADIUS_MM, "mm"),
        within("Contact modulus", modulus_mpa, 0.1, 1e6, "MPa"),
    )
