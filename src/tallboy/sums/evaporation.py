"""How fast a liquid leaves a jar, a tray or a wet coat.

The published models of an open surface differ by a factor of about five at the same air speed, so the answer is a low, a likely and a
high rate. None of them counts that a liquid cools as it evaporates: the strong ones (acetone, dichloromethane) are told too high.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from tallboy.sums.air import KELVIN
from tallboy.sums.open_surface import (
    PENETRATION_UP_TO,
    SECONDS,
    mass_transfer_rate,
    penetration_rate,
    plate_rate,
    pool_rate,
    quiet_rate,
    saturated_density,
)
from tallboy.sums.ranges import within
from tallboy.sums.vapour import ATMOSPHERE


@dataclass(frozen=True)
class Rate:
    """Grams an hour: the lowest and the highest of the models, and what is likely."""

    low: float
    likely: float
    high: float


def stefan_factor(fraction: float) -> float:
    """How much more leaves than by diffusion alone, because the vapour pushes itself out.

    Formula: -ln(1 - y) / y; 1 at y = 0

    Parameters
    ----------
    fraction : [1] share of vapour in the air at the surface, 0 to 0.95

    Returns
    -------
    [1] factor, 1 or above

    Raises
    ------
    OutOfRange outside the range.

    Source
    ------
    Stefan tube, read; beside plain diffusion N = D c y / L.
    """
    y = within("Share of vapour at the surface", fraction, 0, 0.95)
    return -math.log1p(-y) / y if y > 0 else 1.0


def film_rate(
    molar_mass: float, pressure: float, diffusivity: float, area_m2: float, depth_mm: float, celsius: float = 20.0
) -> float:
    """What leaves through a layer of still air: a jar with an empty part above the liquid, or the gap under a lid.

    Formula: M D P / (R T L) ln(P / (P - p)) A

    Parameters
    ----------
    molar_mass : [g/mol] of the vapour, 2 to 400
    pressure : [Pa] saturated vapour pressure, 0 to 95 000
    diffusivity : [cm²/s] of the vapour in air, 0.01 to 1
    area_m2 : [m²] of the layer, 0 to 100
    depth_mm : [mm] thickness of the layer, 0.5 to 2000
    celsius : [°C] temperature, -20 to 60

    Returns
    -------
    [g/h] vapour

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Nothing stirs the layer, and the air above it is clean. In half or double the depth twice or half as much leaves.

    Accuracy
    --------
    That of the diffusivity, ±10 to 17 %.

    Source
    ------
    Stefan tube, read in public encyclopaedia text.
    """
    d = within("Diffusivity", diffusivity, 0.01, 1, "cm²/s") * 1e-4
    area = within("Area", area_m2, 0, 100, "m²")
    depth = within("Depth of still air", depth_mm, 0.5, 2000, "mm") / 1000
    y = pressure / ATMOSPHERE
    return saturated_density(molar_mass, pressure, celsius) * stefan_factor(y) * d / depth * area * SECONDS


def open_rate(
    molar_mass: float,
    pressure: float,
    diffusivity: float,
    area_m2: float,
    length_mm: float,
    air_speed: float = 0.1,
    celsius: float = 20.0,
) -> Rate:
    """What leaves a tray or jar that is full to the brim, with the spread of the published models.

    Formula: low = least of pool and quiet; likely = greater of plate and quiet; high = the likely rate or, where it is more,
    penetration (in faster air that at 0.508 m/s, or mass transfer, whichever is more)

    Parameters
    ----------
    molar_mass : [g/mol] 2 to 400
    pressure : [Pa] saturated vapour pressure, 0 to 95 000
    diffusivity : [cm²/s] of the vapour in air, 0.01 to 1
    area_m2 : [m²] of the liquid, 0 to 100
    length_mm : [mm] along the draught, 5 to 10 000
    air_speed : [m/s] of the air over it, 0.02 to 2; 0.1 in a quiet room
    celsius : [°C] temperature, -20 to 60

    Returns
    -------
    [g/h] low, likely and high

    Raises
    ------
    OutOfRange outside the ranges.

    Accuracy
    --------
    The models differ by about a factor of five between low and high; take the high rate where health is at stake.

    Source
    ------
    own choice among penetration_rate, mass_transfer_rate, pool_rate, quiet_rate and plate_rate; see there.
    """
    within("Speed of the air", air_speed, 0.02, 2, "m/s")
    where = (area_m2, length_mm, air_speed, celsius)
    quiet = quiet_rate(molar_mass, pressure, area_m2)
    low = min(pool_rate(molar_mass, pressure, diffusivity, *where), quiet)
    likely = max(plate_rate(molar_mass, pressure, diffusivity, *where), quiet)
    slow = min(air_speed, PENETRATION_UP_TO)
    high = penetration_rate(molar_mass, pressure, area_m2, length_mm, slow, celsius)
    if air_speed > PENETRATION_UP_TO:
        high = max(high, mass_transfer_rate(molar_mass, pressure, *where))
    return Rate(low, likely, max(high, likely))


def jar_rate(
    molar_mass: float,
    pressure: float,
    diffusivity: float,
    diameter_mm: float,
    freeboard_mm: float,
    air_speed: float = 0.1,
    celsius: float = 20.0,
) -> Rate:
    """What leaves an open round jar that is not full: through the still air in its neck, and then off its mouth.

    Formula: 1/rate = 1/film_rate + 1/open_rate for each end; low with 10 % less diffusion, high with 20 % more and half the
    freeboard, as a draught may reach into the neck

    Parameters
    ----------
    molar_mass : [g/mol] 2 to 400
    pressure : [Pa] saturated vapour pressure, 0 to 95 000
    diffusivity : [cm²/s] of the vapour in air, 0.01 to 0.8
    diameter_mm : [mm] of the mouth, 5 to 2000
    freeboard_mm : [mm] from the liquid up to the rim, 0 to 1000
    air_speed : [m/s] of the air over it, 0.02 to 2
    celsius : [°C] temperature, -20 to 60

    Returns
    -------
    [g/h] low, likely and high

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Straight walls. Below 1 mm of freeboard the jar counts as full.

    Accuracy
    --------
    How far a draught reaches in is an assumption of our own, not measured.

    Source
    ------
    Resistances one after the other; film_rate and open_rate. own derivation
    """
    d = within("Diffusivity", diffusivity, 0.01, 0.8, "cm²/s")
    mouth = math.pi / 4 * (within("Diameter", diameter_mm, 5, 2000, "mm") / 1000) ** 2
    free = within("Freeboard", freeboard_mm, 0, 1000, "mm")
    brim = open_rate(molar_mass, pressure, d, mouth, diameter_mm, air_speed, celsius)
    if free < 1 or brim.high == 0:
        return brim
    still = film_rate(molar_mass, pressure, d, mouth, free, celsius)
    return Rate(_after(0.9 * still, brim.low), _after(still, brim.likely), _after(2 * 1.2 * still, brim.high))


def lid_rate(
    molar_mass: float,
    pressure: float,
    diffusivity: float,
    rim_mm: float,
    gap_mm: float,
    path_mm: float,
    celsius: float = 20.0,
) -> float:
    """What creeps out under a lid that lies on, through the gap all round.

    Formula: film_rate with the area rim * gap and the depth path

    Parameters
    ----------
    molar_mass : [g/mol] 2 to 400
    pressure : [Pa] saturated vapour pressure, 0 to 95 000
    diffusivity : [cm²/s] of the vapour in air, 0.01 to 1
    rim_mm : [mm] length of the rim all round, 10 to 10 000
    gap_mm : [mm] height of the gap, 0 to 20
    path_mm : [mm] length of the way through it, 0.5 to 200
    celsius : [°C] temperature, -20 to 60

    Returns
    -------
    [g/h] vapour

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Diffusion only. A screwed lid with a sound seal leaks less than can be told; warming and cooling pumps more, see breathing_loss.

    Source
    ------
    Stefan tube through a slit; own derivation
    """
    rim = within("Rim", rim_mm, 10, 10_000, "mm")
    gap = within("Gap under the lid", gap_mm, 0, 20, "mm")
    path = within("Way through the gap", path_mm, 0.5, 200, "mm")
    return film_rate(molar_mass, pressure, diffusivity, rim * gap / 1e6, path, celsius)


def breathing_loss(
    molar_mass: float, pressure: float, headspace_ml: float, warming: float, celsius: float = 20.0
) -> float:
    """What a closed but not tight vessel breathes out when it warms up once.

    Formula: headspace * warming / T * M p / (R T)

    Parameters
    ----------
    molar_mass : [g/mol] 2 to 400
    pressure : [Pa] saturated vapour pressure when cool, 0 to 95 000
    headspace_ml : [ml] air and vapour above the liquid, 0 to 1 000 000
    warming : [K] by how much it warms up, 0 to 40
    celsius : [°C] temperature when cool, -20 to 60

    Returns
    -------
    [g] for each time

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    The rise of the vapour's own pressure as it warms is left out: up to a few times more for strong liquids.

    Source
    ------
    Ideal gas law; own derivation
    """
    thick = saturated_density(molar_mass, pressure, celsius)
    volume = within("Head-space", headspace_ml, 0, 1e6, "ml") / 1e6
    return volume * within("Warming", warming, 0, 40, "K") / (celsius + KELVIN) * thick


def coat_solvent(area_m2: float, wet_micrometres: float, solvent_percent: float, density: float) -> float:
    """How much solvent a wet coat holds, all of which goes into the air.

    Formula: area * wet film * share of solvent * density

    Parameters
    ----------
    area_m2 : [m²] coated, 0 to 200
    wet_micrometres : [µm] thickness of the wet coat, 0 to 2000
    solvent_percent : [%] share of the solvent in the wet coat by volume, 0 to 100
    density : [kg/m³] of the solvent, 500 to 2000

    Returns
    -------
    [g] solvent

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition
    """
    area = within("Area", area_m2, 0, 200, "m²")
    wet = within("Wet coat", wet_micrometres, 0, 2000, "µm")
    share = within("Solvent in the coat", solvent_percent, 0, 100, "%") / 100
    return area * wet * share * within("Density", density, 500, 2000, "kg/m³") / 1000


def _after(first: float, second: float) -> float:
    """The rate through two resistances one after the other."""
    return first * second / (first + second) if first + second else 0.0
