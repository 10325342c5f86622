"""Vapours of liquids: how strongly a liquid presses to evaporate, how much the air holds, how fast a vapour spreads by itself.

How fast a jar or a wet coat gives vapour off is in `evaporation`, what becomes of it in a room in `room_air`, where it burns in
`flammable`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from tallboy.errors import BadInput
from tallboy.sums.air import KELVIN
from tallboy.sums.ranges import within

GAS_CONSTANT = 8.314462618
ATMOSPHERE = 101_325.0
AIR_MOLAR_MASS = 28.96
AIR_DIFFUSION_VOLUME = 19.7
LEAST_PRESSURE, MOST_PRESSURE = 1e-9, 1e7
"""No liquid of a bench presses less or more [Pa]; beyond them the constants are wrong. Own caution, no source."""

_VOLUMES = {"carbon": 15.9, "hydrogen": 2.31, "oxygen": 6.11, "nitrogen": 4.54, "chlorine": 21.0, "sulfur": 22.9}
_RING = -18.3


@dataclass(frozen=True)
class PressureLaw:
    """How the pressure of the saturated vapour goes with temperature, between `low` and `high` [°C].

    ln p = a + b/(T + c) + d ln T + e T^f, p in Pa, T in kelvin. With d = e = 0 it is Antoine's equation, with c = 0 the longer one
    of the handbooks.
    """

    a: float
    b: float
    c: float = 0.0
    d: float = 0.0
    e: float = 0.0
    f: float = 1.0
    low: float = -20.0
    high: float = 60.0


@dataclass(frozen=True)
class Limit:
    """What air may hold of a vapour [ppm]: `kind` is "8 hours", "15 minutes" or "never above"; `of` names the list."""

    of: str
    kind: str
    ppm: float


@dataclass(frozen=True)
class Liquid:
    """A liquid as a vapour. None stands for what is not known, and never for harmless.

    Molar mass [g/mol], density [kg/m³], `spread` of the pressure [%], boiling and flash point [°C], `lower` and `upper` limit of
    burning [% of vapour in air]. `guessed_diffusion` is true where the diffusion volume was guessed from the molar mass.
    """

    name: str
    molar_mass: float
    pressure: PressureLaw | None = None
    spread: float = 0.0
    density: float | None = None
    diffusion_volume: float | None = None
    boiling: float | None = None
    flash: float | None = None
    lower: float | None = None
    upper: float | None = None
    limits: tuple[Limit, ...] = ()
    incombustible: bool = False
    guessed_diffusion: bool = False


def vapour_pressure(law: PressureLaw, celsius: float) -> float:
    """Pressure of the vapour above the liquid when the air can take no more of it.

    Formula: ln p = a + b/(T + c) + d ln T + e T^f, T in kelvin

    Parameters
    ----------
    law : [Pa] the liquid's own constants
    celsius : [°C] temperature of the liquid, within the law's range

    Returns
    -------
    [Pa] saturated vapour pressure

    Raises
    ------
    OutOfRange outside the law's range; BadInput where the constants give less than a milliardth of a pascal or more than ten million.

    Validity
    --------
    A pure liquid. A part of a mixture presses less, about in its share of the molecules.

    Source
    ------
    Antoine's equation and its extension (DIPPR 101); constants in the table of liquids, each row with its source.
    """
    t = within("Temperature of the liquid", celsius, law.low, law.high, "°C") + KELVIN
    try:
        pressure = math.exp(law.a + law.b / (t + law.c) + law.d * math.log(t) + law.e * t**law.f)
    except (OverflowError, ZeroDivisionError):
        pressure = math.inf
    if not LEAST_PRESSURE <= pressure <= MOST_PRESSURE:
        raise BadInput(
            f"The constants of the vapour pressure give {pressure:.3g} Pa at {celsius:g} °C: they belong to no liquid.",
            "Look at them again, or leave them empty and give the pressure at 20 °C and the boiling point.",
        )
    return pressure


def law_through(pressure_20: float, boiling_celsius: float) -> PressureLaw:
    """A law of pressure through one value at 20 °C and the boiling point, for a liquid that only a data sheet tells of.

    Formula: ln p = a + b/T, b = ln(101325 / p20) / (1/Tb - 1/293.15), a = ln p20 - b / 293.15

    Parameters
    ----------
    pressure_20 : [Pa] vapour pressure at 20 °C, 0.01 to 95 000
    boiling_celsius : [°C] boiling point at sea level, 25 to 500

    Returns
    -------
    [Pa] law of pressure for 0 to 40 °C

    Raises
    ------
    OutOfRange outside the ranges; also when the two do not belong to one liquid, as its heat of evaporation would lie outside 15 to
    150 kJ/mol.

    Accuracy
    --------
    Exact at 20 °C; within some 10 % at 10 and 30 °C, as heat of evaporation is taken as the same at all temperatures.

    Source
    ------
    Clausius and Clapeyron's equation, through two points; own derivation.
    """
    p = within("Vapour pressure at 20 °C", pressure_20, 0.01, 95_000, "Pa")
    t = within("Boiling point", boiling_celsius, 25, 500, "°C") + KELVIN
    cold = 20 + KELVIN
    b = math.log(ATMOSPHERE / p) / (1 / t - 1 / cold)
    within("Heat of evaporation from pressure and boiling point", -b * GAS_CONSTANT / 1000, 15, 150, "kJ/mol")
    return PressureLaw(a=math.log(p) - b / cold, b=b, low=0.0, high=40.0)


def parts_per_million(pressure: float, total: float = ATMOSPHERE) -> float:
    """How much of the air is vapour, when its part of the pressure is known.

    Formula: 1 000 000 p / P

    Parameters
    ----------
    pressure : [Pa] pressure of the vapour, 0 to 108 000
    total : [Pa] pressure of the air, 60 000 to 108 000

    Returns
    -------
    [ppm] parts of vapour in a million parts of air by volume; 10 000 ppm are 1 %

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Dalton's law; definition
    """
    within("Vapour pressure", pressure, 0, 108_000, "Pa")
    return 1e6 * pressure / within("Air pressure", total, 60_000, 108_000, "Pa")


def milligrams_per_m3(ppm: float, molar_mass: float, celsius: float = 25.0, total: float = ATMOSPHERE) -> float:
    """The mass of a vapour in a cubic metre, from its parts in a million.

    Formula: ppm M P / (1000 R T)

    Parameters
    ----------
    ppm : [ppm] vapour in the air, 0 to 1 000 000
    molar_mass : [g/mol] 2 to 400
    celsius : [°C] temperature of the air, -40 to 60
    total : [Pa] pressure of the air, 60 000 to 108 000

    Returns
    -------
    [mg/m³] vapour

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Ideal gas law. Limits in air are told at 25 °C and 101 325 Pa (footnote of 29 CFR 1910.1000, table Z-1).
    """
    within("Vapour in air", ppm, 0, 1e6, "ppm")
    return ppm * 1e-3 * within("Molar mass", molar_mass, 2, 400, "g/mol") / _molar_volume(celsius, total)


def ppm_from_milligrams(
    milligrams_per_m3: float, molar_mass: float, celsius: float = 25.0, total: float = ATMOSPHERE
) -> float:
    """Parts in a million, from the mass of a vapour in a cubic metre.

    Formula: mg/m³ 1000 R T / (M P)

    Parameters
    ----------
    milligrams_per_m3 : [mg/m³] vapour in the air, 0 to 20 000 000
    molar_mass : [g/mol] 2 to 400
    celsius : [°C] temperature of the air, -40 to 60
    total : [Pa] pressure of the air, 60 000 to 108 000

    Returns
    -------
    [ppm] parts of vapour in a million of air by volume

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Ideal gas law.
    """
    within("Vapour in air", milligrams_per_m3, 0, 2e7, "mg/m³")
    return milligrams_per_m3 * 1e3 * _molar_volume(celsius, total) / within("Molar mass", molar_mass, 2, 400, "g/mol")


def vapour_volume(millilitres: float, density: float, molar_mass: float, celsius: float = 20.0) -> float:
    """How large a cloud of pure vapour a liquid makes when all of it has evaporated.

    Formula: ml density / (1 000 000 M) * 1000 R T / P

    Parameters
    ----------
    millilitres : [ml] liquid, 0 to 1 000 000
    density : [kg/m³] of the liquid, 500 to 2000
    molar_mass : [g/mol] 2 to 400
    celsius : [°C] temperature of the air, -40 to 60

    Returns
    -------
    [m³] vapour at sea-level pressure

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Ideal gas law; compared with OSHA table G-11 (29 CFR 1910.94).
    """
    within("Liquid", millilitres, 0, 1e6, "ml")
    grams = millilitres * within("Density", density, 500, 2000, "kg/m³") / 1000
    return grams / within("Molar mass", molar_mass, 2, 400, "g/mol") * _molar_volume(celsius, ATMOSPHERE)


def relative_density(molar_mass: float, ppm: float = 1e6) -> float:
    """How heavy air with this vapour in it is beside clean air; above 1 it sinks and creeps along the floor.

    Formula: (y M + (1 - y) 28.96) / 28.96, y = ppm / 1 000 000

    Parameters
    ----------
    molar_mass : [g/mol] of the vapour, 2 to 400
    ppm : [ppm] vapour in the air, 0 to 1 000 000 (1 000 000 is pure vapour)

    Returns
    -------
    [1] times the density of dry air at the same temperature

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    A thin vapour is hardly heavier than air and mixes with any draught; it is the strong vapour next to the liquid that sinks.

    Source
    ------
    Ideal gas law; molar mass of dry air 28.96 g/mol.
    """
    share = within("Vapour in air", ppm, 0, 1e6, "ppm") / 1e6
    return (share * within("Molar mass", molar_mass, 2, 400, "g/mol") + (1 - share) * AIR_MOLAR_MASS) / AIR_MOLAR_MASS


def diffusion_volume(
    carbon: int = 0,
    hydrogen: int = 0,
    oxygen: int = 0,
    nitrogen: int = 0,
    chlorine: int = 0,
    sulfur: int = 0,
    rings: int = 0,
) -> float:
    """The volume of a molecule in Fuller's equation, from the atoms in its formula.

    Formula: sum of C 15.9, H 2.31, O 6.11, N 4.54, Cl 21.0, S 22.9, each ring -18.3

    Parameters
    ----------
    carbon : [1] atoms in the molecule, 0 to 60
    hydrogen : [1] atoms, 0 to 120
    oxygen : [1] atoms, 0 to 30
    nitrogen : [1] atoms, 0 to 30
    chlorine : [1] atoms, 0 to 30
    sulfur : [1] atoms, 0 to 30
    rings : [1] aromatic rings, and rings with another atom than carbon in them, 0 to 5

    Returns
    -------
    [1] diffusion volume

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Small molecules that are listed for themselves (water 13.1) are not built from their atoms.

    Source
    ------
    Fuller, Schettler, Giddings 1966, in the form of Poling, Prausnitz, O'Connell 2001, 11-4; volumes of the atoms from memory.
    """
    counts = (carbon, hydrogen, oxygen, nitrogen, chlorine, sulfur)
    most = (60, 120, 30, 30, 30, 30)
    for name, count, high in zip(_VOLUMES, counts, most, strict=True):
        within(f"Number of {name} atoms", count, 0, high)
    within("Number of rings", rings, 0, 5)
    return sum(volume * count for volume, count in zip(_VOLUMES.values(), counts, strict=True)) + rings * _RING


def diffusivity(molar_mass: float, volume: float, celsius: float = 20.0, total: float = ATMOSPHERE) -> float:
    """How fast a vapour spreads through still air by itself.

    Formula: 0.00143 T^1.75 / (P √Mab (v^(1/3) + 19.7^(1/3))²), Mab = 2 / (1/M + 1/28.96), P in bar

    Parameters
    ----------
    molar_mass : [g/mol] of the vapour, 2 to 400
    volume : [1] diffusion volume, 5 to 500
    celsius : [°C] temperature of the air, -40 to 60
    total : [Pa] pressure of the air, 60 000 to 108 000

    Returns
    -------
    [cm²/s] diffusivity

    Raises
    ------
    OutOfRange outside the ranges.

    Accuracy
    --------
    ±10 % beside Perry's table 2-371, acetone -17 %.

    Source
    ------
    Fuller, Schettler, Giddings 1966, in the form of Poling, Prausnitz, O'Connell 2001, 11-4 (transcription).
    """
    m = within("Molar mass", molar_mass, 2, 400, "g/mol")
    v = within("Diffusion volume", volume, 5, 500)
    t = within("Temperature", celsius, -40, 60, "°C") + KELVIN
    bar = within("Air pressure", total, 60_000, 108_000, "Pa") / 1e5
    together = 2 / (1 / m + 1 / AIR_MOLAR_MASS)
    return (
        0.00143
        * math.pow(t, 1.75)
        / (bar * math.sqrt(together) * (math.cbrt(v) + math.cbrt(AIR_DIFFUSION_VOLUME)) ** 2)
    )


def _molar_volume(celsius: float, total: float) -> float:
    """Volume of a mole of gas [m³/mol]."""
    t = within("Temperature", celsius, -40, 60, "°C") + KELVIN
    return GAS_CONSTANT * t / within("Air pressure", total, 60_000, 108_000, "Pa")
