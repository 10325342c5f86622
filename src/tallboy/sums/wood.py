"""The water in wood and what wood weighs: moisture content, and specific gravity at any moisture.

The two forms of the moisture content that wood comes to in air, of 1973 (eq. 4-5) and of 2014 (eq. 4-6), are kept apart: each has
its own inverse, and a sum that goes there and back uses one of them throughout. How wood moves is in `wood_movement`.
"""

from __future__ import annotations

from typing import TypeVar, cast

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tallboy.sums.air import KELVIN
from tallboy.sums.ranges import Array, ranged, same_kind, within

Number = TypeVar("Number", float, NDArray[np.float64])

FIBRE_SATURATION = 30.0
"""[%] moisture content above which wood no longer swells, where the species' own is not known."""
COLDEST, HOTTEST = -1.2, 132.3
"""[°C] the range of the handbook's table of moisture contents, 30 to 270 °F."""
CRITICAL_KELVIN = 647.1
_A, _B, _C, _D = -0.000612, 2.43, 0.0577, 0.430
BISECTIONS = 60


def equilibrium_moisture(celsius: Number, relative_humidity: Number) -> Number:
    """Moisture content that wood comes to when it is left long in this air.

    Formula: M = 1800/W * (K h/(1 - K h) + (K1 K h + 2 K1 K2 K² h²)/(1 + K1 K h + K1 K2 K² h²)), h = RH/100,
    W, K, K1, K2 second-degree in °C

    Parameters
    ----------
    celsius : [°C] air temperature, -1.2 to 132.3
    relative_humidity : [%] 0 to 100

    Returns
    -------
    [%] moisture content, of the oven-dry mass

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Between wetting and drying, mainly from Sitka spruce; species differ, most above 90 % RH.

    Accuracy
    --------
    The handbook's table 4-2 within 0.07 in the rows that were compared, 30 to 140 °F; the handbook itself says that tenths only show trends.

    Source
    ------
    Wood Handbook (USDA Forest Products Laboratory, FPL-GTR-190 and FPL-GTR-282), eq. 4-5, coefficients for °C.
    """
    t = ranged("Temperature", celsius, COLDEST, HOTTEST, "°C")
    h = ranged("Relative humidity", relative_humidity, 0, 100, "%") / 100
    return cast(Number, same_kind(_two_hydrates(t, h), celsius, relative_humidity))


def humidity_for_moisture(celsius: Number, moisture: Number) -> Number:
    """Relative humidity that keeps wood at this moisture content: the inverse of `equilibrium_moisture`.

    Formula: the RH at which eq. 4-5 gives this moisture, by halving 0 to 100 % sixty times

    Parameters
    ----------
    celsius : [°C] air temperature, -1.2 to 132.3
    moisture : [%] moisture content, 0 to what saturated air gives (28.8 at 20 °C)

    Returns
    -------
    [%] relative humidity

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    As `equilibrium_moisture`.

    Source
    ------
    Inversion of eq. 4-5 of the Wood Handbook; own derivation (the equation rises all the way).
    """
    t = ranged("Temperature", celsius, COLDEST, HOTTEST, "°C")
    m = np.asarray(moisture, dtype=np.float64)
    _held_by_air(t, m)
    low, high = np.zeros(np.broadcast(t, m).shape), np.ones(np.broadcast(t, m).shape)
    for _ in range(BISECTIONS):
        middle = (low + high) / 2
        drier = _two_hydrates(t, middle) < m
        low, high = np.where(drier, middle, low), np.where(drier, high, middle)
    return cast(Number, same_kind(50 * (low + high), celsius, moisture))


def equilibrium_moisture_2021(celsius: Number, relative_humidity: Number) -> Number:
    """Moisture content that wood comes to in this air, by the handbook's newer form, which can be turned round.

    Not for mixing with `equilibrium_moisture`: from 0 to 40 °C and 20 to 80 % the two differ by up to 1.7 points, most in cold
    damp air. The older form is the one behind the handbook's table and behind everything else here.

    Formula: M = 100 (A T (1 - T/Tc)^B ln(1 - h))^(C T^D), T in kelvin, Tc = 647.1, A = -0.000612, B = 2.43, C = 0.0577, D = 0.430

    Parameters
    ----------
    celsius : [°C] air temperature, -1.2 to 132.3
    relative_humidity : [%] 0 to 99

    Returns
    -------
    [%] moisture content, of the oven-dry mass

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    The equation has no bound at saturation. Compared with the older form from 0 to 40 °C and 5 to 95 % only.

    Source
    ------
    Wood Handbook (FPL-GTR-282, 2021), eq. 4-6, after Glass and others 2014; a public transcription.
    """
    t = ranged("Temperature", celsius, COLDEST, HOTTEST, "°C") + KELVIN
    h = ranged("Relative humidity", relative_humidity, 0, 99, "%") / 100
    base = _A * t * (1 - t / CRITICAL_KELVIN) ** _B * np.log1p(-h)
    # At no humidity the base is -0, and a power of it would be without sense.
    moisture = 100 * np.abs(base) ** (_C * t**_D)
    return cast(Number, same_kind(moisture, celsius, relative_humidity))


def humidity_for_moisture_2021(celsius: Number, moisture: Number) -> Number:
    """Relative humidity that keeps wood at this moisture content: the inverse of `equilibrium_moisture_2021`.

    Formula: h = 1 - exp((M/100)^(1/(C T^D)) / (A T (1 - T/Tc)^B)), T in kelvin, the constants of eq. 4-6

    Parameters
    ----------
    celsius : [°C] air temperature, -1.2 to 132.3
    moisture : [%] moisture content, 0 to 40

    Returns
    -------
    [%] relative humidity, under 100

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    As `equilibrium_moisture_2021`.

    Source
    ------
    Wood Handbook (FPL-GTR-282, 2021), eq. 4-7; a public transcription.
    """
    t = ranged("Temperature", celsius, COLDEST, HOTTEST, "°C") + KELVIN
    m = ranged("Moisture content", moisture, 0, 40, "%") / 100
    exponent = m ** (t**-_D / _C) / (_A * t * (1 - t / CRITICAL_KELVIN) ** _B)
    return cast(Number, same_kind(-100 * np.expm1(exponent), celsius, moisture))


def moisture_content(wet_g: float, dry_g: float) -> float:
    """Moisture content of a piece of wood, from its mass as it is and after drying in the oven.

    Formula: M = 100 (wet - dry) / dry

    Parameters
    ----------
    wet_g : [g] mass as it is, the dry mass to three times the dry mass
    dry_g : [g] mass after drying at about 103 °C until it loses no more, 0.01 to 1 000 000

    Returns
    -------
    [%] moisture content, of the oven-dry mass

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Wood Handbook (FPL-GTR-282), eq. 4-2; the definition.
    """
    within("Dry mass", dry_g, 0.01, 1_000_000, "g")
    within("Wet mass", wet_g, dry_g, 3 * dry_g, "g")
    return 100 * (wet_g - dry_g) / dry_g


def gravity_at(basic_gravity: float, moisture: float, fibre_saturation: float = FIBRE_SATURATION) -> float:
    """Specific gravity at a moisture content: oven-dry mass over the volume that the wood has at that moisture.

    Formula: G = Gb / (1 - 0.265 Gb (1 - M / Mfs))

    Parameters
    ----------
    basic_gravity : [1] oven-dry mass over green volume, 0.1 to 1.05
    moisture : [%] moisture content, 0 to the fibre saturation
    fibre_saturation : [%] 20 to 35; 30 when it is not known

    Returns
    -------
    [1] specific gravity, the basic one at fibre saturation and more below

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    It takes shrinkage in volume as 26.5 times the basic specific gravity; resinous and tropical woods shrink less.

    Source
    ------
    Wood Handbook (FPL-GTR-282), eq. 4-11; a public transcription.
    """
    within("Basic specific gravity", basic_gravity, 0.1, 1.05)
    return basic_gravity / (1 - 0.265 * basic_gravity * _dryness(moisture, fibre_saturation))


def basic_gravity(gravity: float, moisture: float, fibre_saturation: float = FIBRE_SATURATION) -> float:
    """Basic specific gravity (oven-dry mass over green volume) from the one at a moisture content: `gravity_at` turned round.

    Formula: Gb = G / (1 + 0.265 G (1 - M / Mfs))

    Parameters
    ----------
    gravity : [1] oven-dry mass over the volume at that moisture, 0.1 to 1.5
    moisture : [%] moisture content, 0 to the fibre saturation
    fibre_saturation : [%] 20 to 35; 30 when it is not known

    Returns
    -------
    [1] basic specific gravity

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    As `gravity_at`.

    Source
    ------
    Inversion of eq. 4-11 of the Wood Handbook; own derivation.
    """
    within("Specific gravity", gravity, 0.1, 1.5)
    return gravity / (1 + 0.265 * gravity * _dryness(moisture, fibre_saturation))


def density_at(gravity: float, moisture: float) -> float:
    """What a cubic metre of wood weighs with the water in it.

    Formula: density = 1000 G (1 + M / 100), G at the same moisture

    Parameters
    ----------
    gravity : [1] oven-dry mass over the volume at this moisture (see `gravity_at`), 0.1 to 1.5
    moisture : [%] moisture content, 0 to 200

    Returns
    -------
    [kg/m³] density

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition
    """
    within("Specific gravity", gravity, 0.1, 1.5)
    within("Moisture content", moisture, 0, 200, "%")
    return 1000 * gravity * (1 + moisture / 100)


def board_mass(length_mm: float, width_mm: float, thickness_mm: float, density: float) -> float:
    """What a board weighs.

    Formula: mass = length width thickness density

    Parameters
    ----------
    length_mm : [mm] 0 to 100 000
    width_mm : [mm] 0 to 10 000
    thickness_mm : [mm] 0 to 1000
    density : [kg/m³] 50 to 2000

    Returns
    -------
    [g] mass

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition
    """
    within("Length", length_mm, 0, 100_000, "mm")
    within("Width", width_mm, 0, 10_000, "mm")
    within("Thickness", thickness_mm, 0, 1000, "mm")
    within("Density", density, 50, 2000, "kg/m³")
    return length_mm * width_mm * thickness_mm * density * 1e-6


def _two_hydrates(t: Array, h: ArrayLike) -> Array:
    """Eq. 4-5: water bound in two hydrates and water dissolved; t in °C, h from 0 to 1."""
    w = 349 + 1.29 * t + 0.0135 * t**2
    kh = (0.805 + 0.000736 * t - 0.00000273 * t**2) * np.asarray(h, dtype=np.float64)
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    free = kh / (1 - kh)
    bound = (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2)
    return 1800 / w * (free + bound)


def _held_by_air(t: Array, m: Array) -> None:
    """Sees to it that wood can be as wet as that in saturated air, each in its own."""
    most = np.broadcast_to(_two_hydrates(t, 1.0), np.broadcast(t, m).shape)
    beyond = np.flatnonzero(~((m >= 0) & (m <= most)))
    if len(beyond):
        spot = int(beyond[0])
        within("Moisture content", float(np.broadcast_to(m, most.shape).flat[spot]), 0, float(most.flat[spot]), "%")


def _dryness(moisture: float, fibre_saturation: float) -> float:
    """How far below fibre saturation the wood is, as a share: 1 oven-dry, 0 at saturation."""
    within("Fibre saturation", fibre_saturation, 20, 35, "%")
    within("Moisture content", moisture, 0, fibre_saturation, "%")
    return 1 - moisture / fibre_saturation
