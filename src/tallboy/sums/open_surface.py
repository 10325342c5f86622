"""The published models of evaporation from an open surface, full to the brim. They differ: `evaporation` makes one answer of them."""

from __future__ import annotations

import math

from tallboy.sums.air import KELVIN
from tallboy.sums.ranges import within
from tallboy.sums.vapour import AIR_MOLAR_MASS, ATMOSPHERE, GAS_CONSTANT

TORR = 133.322368
FEET_PER_MINUTE = 0.3048 / 60
PENETRATION_UP_TO = 100 * FEET_PER_MINUTE
"""Fastest air for which the penetration model was made [m/s]: 100 ft/min."""
SECONDS = 3600.0


def saturated_density(molar_mass: float, pressure: float, celsius: float = 20.0) -> float:
    """Mass of vapour in a cubic metre of air that can take no more of it.

    Formula: M p / (R T)

    Parameters
    ----------
    molar_mass : [g/mol] 2 to 400
    pressure : [Pa] saturated vapour pressure, 0 to 95 000
    celsius : [°C] temperature, -20 to 60

    Returns
    -------
    [g/m³] vapour

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Ideal gas law.
    """
    _seen(molar_mass, pressure, celsius)
    return molar_mass * pressure / (GAS_CONSTANT * (celsius + KELVIN))


def penetration_rate(
    molar_mass: float, pressure: float, area_m2: float, length_mm: float, air_speed: float, celsius: float = 20.0
) -> float:
    """What leaves an open surface in slow air, told high on purpose: a screen for what may get into the room.

    Formula: 8.24e-8 M^0.835 p (1/29 + 1/M)^0.25 √v A / (T^0.05 √d √P), in g/s, torr, ft/min, cm², cm, atm

    Parameters
    ----------
    molar_mass : [g/mol] 2 to 400
    pressure : [Pa] saturated vapour pressure, 0 to 95 000
    area_m2 : [m²] of the liquid, 0 to 100
    length_mm : [mm] of the surface along the draught, 5 to 10 000
    air_speed : [m/s] of the air over it, 0.02 to 0.508
    celsius : [°C] temperature, -20 to 60

    Returns
    -------
    [g/h] vapour

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Air up to 100 ft/min (0.508 m/s); full to the brim.

    Source
    ------
    EPA/OPPT penetration model of ChemSTEER, transcription from an open re-implementation; that v is in ft/min read in its change log.
    """
    _seen(molar_mass, pressure, celsius)
    area, length = _surface(area_m2, length_mm)
    v = within("Speed of the air", air_speed, 0.02, PENETRATION_UP_TO + 1e-9, "m/s") / FEET_PER_MINUTE
    shape = math.pow(molar_mass, 0.835) * math.pow(1 / 29 + 1 / molar_mass, 0.25) / math.pow(celsius + KELVIN, 0.05)
    return 8.24e-8 * shape * pressure / TORR * math.sqrt(v) * area * 1e4 / math.sqrt(length * 100) * SECONDS


def mass_transfer_rate(
    molar_mass: float, pressure: float, area_m2: float, length_mm: float, air_speed: float, celsius: float = 20.0
) -> float:
    """What leaves an open surface in fast air.

    Formula: 1.93e-7 M^0.78 p (1/29 + 1/M)^0.33 v^0.78 A / (T^0.4 d^0.11 (√T - 5.87)^(2/3)), units as in penetration_rate

    Parameters
    ----------
    molar_mass : [g/mol] 2 to 400
    pressure : [Pa] saturated vapour pressure, 0 to 95 000
    area_m2 : [m²] of the liquid, 0 to 100
    length_mm : [mm] of the surface along the draught, 5 to 10 000
    air_speed : [m/s] of the air over it, 0.02 to 10
    celsius : [°C] temperature, -20 to 60

    Returns
    -------
    [g/h] vapour

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Made for air above 100 ft/min (0.508 m/s); in slower air for comparison only.

    Source
    ------
    EPA/OPPT mass transfer model of ChemSTEER, transcription from an open re-implementation.
    """
    _seen(molar_mass, pressure, celsius)
    area, length = _surface(area_m2, length_mm)
    v = within("Speed of the air", air_speed, 0.02, 10, "m/s") / FEET_PER_MINUTE
    t = celsius + KELVIN
    shape = math.pow(molar_mass, 0.78) * math.pow(1 / 29 + 1 / molar_mass, 0.33)
    warm = math.pow(t, 0.4) * math.pow(math.sqrt(t) - 5.87, 2 / 3)
    return (
        1.93e-7
        * shape
        / warm
        * pressure
        / TORR
        * math.pow(v, 0.78)
        * area
        * 1e4
        / math.pow(length * 100, 0.11)
        * SECONDS
    )


def pool_rate(
    molar_mass: float,
    pressure: float,
    diffusivity: float,
    area_m2: float,
    length_mm: float,
    air_speed: float,
    celsius: float = 20.0,
) -> float:
    """What leaves a pool of liquid in moving air.

    Formula: k M p / (R T) A, k = 0.0048 u^(7/9) d^(-1/9) Sc^(-2/3) in m/s, Sc = ν / D

    Parameters
    ----------
    molar_mass : [g/mol] 2 to 400
    pressure : [Pa] saturated vapour pressure, 0 to 95 000
    diffusivity : [cm²/s] of the vapour in air, 0.01 to 1
    area_m2 : [m²] of the liquid, 0 to 100
    length_mm : [mm] across the pool, 5 to 10 000
    air_speed : [m/s] of the air over it, 0.02 to 10
    celsius : [°C] temperature, -20 to 60

    Returns
    -------
    [g/h] vapour

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Made for pools outdoors; low for small jars.

    Source
    ------
    Kawamura and Mackay 1987, read (layout garbled).
    """
    saturated = saturated_density(molar_mass, pressure, celsius)
    area, length = _surface(area_m2, length_mm)
    u = within("Speed of the air", air_speed, 0.02, 10, "m/s")
    schmidt = _schmidt(diffusivity, celsius)
    k = 0.0048 * math.pow(u, 7 / 9) * math.pow(length, -1 / 9) * math.pow(schmidt, -2 / 3)
    return k * saturated * area * SECONDS


def quiet_rate(molar_mass: float, pressure: float, area_m2: float) -> float:
    """What leaves an open surface in a quiet room, whatever the shape.

    Formula: 1464e-6 p M A

    Parameters
    ----------
    molar_mass : [g/mol] 2 to 400
    pressure : [Pa] saturated vapour pressure, 0 to 95 000
    area_m2 : [m²] of the liquid, 0 to 100

    Returns
    -------
    [g/h] vapour

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Mackay and van Wesenbeeck 2014, read; its unit µg/(m² h) confirmed by the size of the coefficient, about 1 mm/s.
    """
    _seen(molar_mass, pressure)
    return 1464e-6 * pressure * molar_mass * within("Area", area_m2, 0, 100, "m²")


def plate_rate(
    molar_mass: float,
    pressure: float,
    diffusivity: float,
    area_m2: float,
    length_mm: float,
    air_speed: float,
    celsius: float = 20.0,
) -> float:
    """What leaves a flat wet surface in an even draught, from first principles.

    Formula: k M p / (R T) A, k = 0.664 Re^(1/2) Sc^(1/3) D / L

    Parameters
    ----------
    molar_mass : [g/mol] 2 to 400
    pressure : [Pa] saturated vapour pressure, 0 to 95 000
    diffusivity : [cm²/s] of the vapour in air, 0.01 to 1
    area_m2 : [m²] of the liquid, 0 to 100
    length_mm : [mm] along the draught, 5 to 10 000
    air_speed : [m/s] of the air over it, 0.02 to 10
    celsius : [°C] temperature, -20 to 60

    Returns
    -------
    [g/h] vapour

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Smooth flow, Re below about 500 000; thin vapours.

    Source
    ------
    Flat plate in laminar flow, textbook result, from memory.
    """
    saturated = saturated_density(molar_mass, pressure, celsius)
    area, length = _surface(area_m2, length_mm)
    u = within("Speed of the air", air_speed, 0.02, 10, "m/s")
    reynolds = u * length / _air_viscosity(celsius)
    k = 0.664 * math.sqrt(reynolds) * math.cbrt(_schmidt(diffusivity, celsius)) * diffusivity * 1e-4 / length
    return k * saturated * area * SECONDS


def _seen(molar_mass: float, pressure: float, celsius: float = 20.0) -> None:
    within("Molar mass", molar_mass, 2, 400, "g/mol")
    within("Vapour pressure", pressure, 0, 95_000, "Pa")
    within("Temperature", celsius, -20, 60, "°C")


def _surface(area_m2: float, length_mm: float) -> tuple[float, float]:
    """Area [m²] and length [m], once seen to."""
    return within("Area", area_m2, 0, 100, "m²"), within("Length along the draught", length_mm, 5, 10_000, "mm") / 1000


def _schmidt(diffusivity: float, celsius: float) -> float:
    return _air_viscosity(celsius) / (within("Diffusivity", diffusivity, 0.01, 1, "cm²/s") * 1e-4)


def _air_viscosity(celsius: float) -> float:
    """Kinematic viscosity of air [m²/s] by Sutherland's formula, constants from memory; 15.06e-6 at 20 °C."""
    t = celsius + KELVIN
    dynamic = 1.716e-5 * math.pow(t / KELVIN, 1.5) * (KELVIN + 110.4) / (t + 110.4)
    return dynamic * GAS_CONSTANT * t / (ATMOSPHERE * AIR_MOLAR_MASS / 1000)
