"""Which metal a fitting is, by weighing it in air and in water; how sure that is; and what colour a clean metal has.

Densities are in g/cm³, which is g/ml. A piece is weighed in the air and again hanging in water from a thread: the loss is the
weight of the water that it pushes aside.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tallboy.errors import BadInput
from tallboy.sums.ranges import within

AIR = 0.0012
"""Density of the air of a room [g/cm³], at 20 °C and 1013 hPa."""
COVERAGE = 2.0
"""Coverage factor k: about 95 in 100 of the cases lie within k standard uncertainties."""


@dataclass(frozen=True)
class Weighing:
    """A density with its spread, and how much each cause adds to it.

    `uncertainty` is the standard uncertainty; `low` and `high` lie two of them off, `low` never below nothing. `parts` are the causes with their share [g/cm³].
    """

    density: float
    uncertainty: float
    low: float
    high: float
    parts: tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Span:
    """A solid metal as a weighing sees it: its densities [g/cm³], the kin it belongs to, and what a magnet does."""

    key: str
    kin: str
    low: float
    high: float
    usual: float
    magnet: str = "none"


@dataclass(frozen=True)
class Fits:
    """What a density allows. `keys` are the metals that fit, nearest first; `kin` the only kin among them, "" when several.

    `verdict` is "one kin", "cannot tell" or "nothing fits".
    """

    keys: tuple[str, ...]
    kin: str
    verdict: str


def water_density(celsius: float) -> float:
    """Density of pure water without dissolved air, at the pressure of the atmosphere.

    Formula: rho = a5 (1 - (t + a1)² (t + a2) / (a3 (t + a4)))

    Parameters
    ----------
    celsius : [°C] temperature of the water, 0 to 40

    Returns
    -------
    [g/cm³] density

    Raises
    ------
    OutOfRange outside 0 to 40 °C.

    Validity
    --------
    Tap water is heavier by less than 0.001 g/cm³, water full of air lighter by less than 0.000005: neither counts at a bench.

    Accuracy
    --------
    Within 0.0000012 g/cm³ of IAPWS-95 from 0 to 40 °C, as compared in the tests.

    Source
    ------
    Tanaka, Girard, Davis, Peuto and Bignell, Metrologia 38 (2001) 301-309, p. 305; coefficients read in public transcriptions.
    """
    t = within("Temperature of the water", celsius, 0, 40, "°C")
    kilograms = 999.974950 * (1 - (t - 3.983035) ** 2 * (t + 301.797) / (522528.9 * (t + 69.34881)))
    return kilograms / 1000


def density_by_weighing(air_g: float, water_g: float, water_celsius: float = 20.0, air_density: float = AIR) -> float:
    """Density of a solid piece from its weight in air and in water.

    Formula: rho = m_air / (m_air - m_water) * (rho_water - rho_air) + rho_air

    Parameters
    ----------
    air_g : [g] what the scale shows with the piece in air, 0.001 to 100 000
    water_g : [g] what it shows with the piece hanging in water, 0 to less than in air
    water_celsius : [°C] temperature of the water, 0 to 40
    air_density : [g/cm³] density of the air, 0 (the buoyancy of the air left out) to 0.002

    Returns
    -------
    [g/cm³] density of what is under water, trapped air and hollows included

    Raises
    ------
    OutOfRange outside the ranges; BadInput when the piece loses no weight in water.

    Validity
    --------
    For a piece that sinks, does not take up water, and holds no air. A hollow, an iron core or a filling changes the answer.

    Source
    ------
    Archimedes' principle; with the air as in a maker's handbook for density scales.
    """
    within("Weight in air", air_g, 0.001, 100_000, "g")
    within("Weight in water", water_g, 0, 100_000, "g")
    within("Density of the air", air_density, 0, 0.002, "g/cm³")
    loss = _loss(air_g, water_g)
    return air_g / loss * (water_density(water_celsius) - air_density) + air_density


def weight_in_water(air_g: float, density: float, water_celsius: float = 20.0) -> float:
    """What a solid piece of a known metal shows when it hangs in water.

    Formula: m_water = m_air (1 - rho_water / rho)

    Parameters
    ----------
    air_g : [g] weight in air, 0.001 to 100 000
    density : [g/cm³] density of the metal, 1.1 to 25
    water_celsius : [°C] temperature of the water, 0 to 40

    Returns
    -------
    [g] weight in water, the buoyancy of the air left out

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Archimedes' principle
    """
    within("Weight in air", air_g, 0.001, 100_000, "g")
    within("Density", density, 1.1, 25, "g/cm³")
    return air_g * (1 - water_density(water_celsius) / density)


def reading_error(density: float, loss_g: float, error_g: float) -> float:
    """How far off the density is when one reading is off.

    Formula: d_rho = rho * error / loss

    Parameters
    ----------
    density : [g/cm³] density found, 0.1 to 25
    loss_g : [g] weight in air less weight in water, 0.001 to 100 000
    error_g : [g] error of the reading in water, 0 to 1000

    Returns
    -------
    [g/cm³] error of the density

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    To first order: for an error that is small beside the loss.

    Source
    ------
    own derivation (differential of Archimedes' formula)
    """
    within("Density", density, 0.1, 25, "g/cm³")
    within("Loss of weight", loss_g, 0.001, 100_000, "g")
    within("Error of the reading", error_g, 0, 1000, "g")
    return density * error_g / loss_g


def weighed(
    air_g: float,
    water_g: float,
    reading_g: float,
    water_celsius: float = 20.0,
    celsius_error: float = 1.0,
    trapped_ml: float = 0.0,
    air_density: float = AIR,
) -> Weighing:
    """Density of a piece with its uncertainty: both readings, the water's temperature, and air that may cling to it.

    Formula: u² = sum of (sensitivity * u_i)², u_i = half-width / sqrt(3); trapped air between none and V: V/2 taken off, V / sqrt(12)

    Parameters
    ----------
    air_g : [g] weight in air, 0.001 to 100 000
    water_g : [g] weight in water, 0 to less than in air
    reading_g : [g] most that a reading of the scale is off, 0 to 1000
    water_celsius : [°C] temperature of the water, 0 to 40
    celsius_error : [°C] most that this temperature is off, 0 to 20
    trapped_ml : [ml] most air that may be trapped under water, 0 to 1000
    air_density : [g/cm³] density of the air, 0 to 0.002

    Returns
    -------
    [g/cm³] Weighing: density, standard uncertainty, the limits at k = 2, and the share of each cause

    Raises
    ------
    OutOfRange outside the ranges; BadInput when no loss of weight is left.

    Validity
    --------
    Errors small beside the loss of weight. A hollow sealed for good, an iron core or a filling is no error but another piece.

    Source
    ------
    JCGM 100:2008 (GUM), 4.3.7 (rectangular distribution) and 5.1.2 (law of propagation); sensitivities: own derivation
    """
    within("Error of the reading", reading_g, 0, 1000, "g")
    within("Error of the temperature", celsius_error, 0, 20, "°C")
    within("Trapped air", trapped_ml, 0, 1000, "ml")
    lift = water_density(water_celsius) - within("Density of the air", air_density, 0, 0.002, "g/cm³")
    shown_loss = _loss(
        within("Weight in air", air_g, 0.001, 100_000, "g"), within("Weight in water", water_g, 0, 1e5, "g")
    )
    loss = shown_loss - lift * trapped_ml / 2
    if loss <= 0:
        raise BadInput(
            "The trapped air is as large as the piece.", "Shake and wet the piece until the bubbles are gone."
        )
    density = air_g / loss * lift + air_density
    slope = air_g * lift / loss**2
    parts = (
        ("reading in air", lift * abs(air_g - loss) / loss**2 * reading_g / math.sqrt(3)),
        ("reading in water", slope * reading_g / math.sqrt(3)),
        ("temperature of the water", air_g / loss * _water_spread(water_celsius, celsius_error) / math.sqrt(3)),
        ("trapped air", slope * lift * trapped_ml / math.sqrt(12)),
    )
    uncertainty = math.sqrt(sum(part**2 for _, part in parts))
    low = max(density - COVERAGE * uncertainty, 0.0)
    return Weighing(density, uncertainty, low, density + COVERAGE * uncertainty, parts)


def fits(density: float, uncertainty: float, spans: Sequence[Span], magnet: str = "") -> Fits:
    """Which metals a density allows, within two standard uncertainties.

    Formula: a metal fits when its range of densities meets density ± 2 u

    Parameters
    ----------
    density : [g/cm³] density found, 0.1 to 25
    uncertainty : [g/cm³] its standard uncertainty, 0 to 25
    spans : [g/cm³] the metals to choose from, with their ranges
    magnet : [text] "strong", "weak" or "none" when a magnet was tried, "" when not

    Returns
    -------
    [text] Fits: the metals nearest first, their kin when it is one, and "one kin", "cannot tell" or "nothing fits"

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Solid pieces of one metal. Several kins left over means that the piece is too small for the scale, or that another test must decide.

    Source
    ------
    definition
    """
    within("Density", density, 0.1, 25, "g/cm³")
    reach = COVERAGE * within("Uncertainty", uncertainty, 0, 25, "g/cm³")
    left = [span for span in spans if span.low - reach <= density <= span.high + reach and magnet in ("", span.magnet)]
    left.sort(key=lambda span: (abs(density - span.usual), span.key))
    kins = {span.kin for span in left}
    if not left:
        return Fits((), "", "nothing fits")
    verdict = "one kin" if len(kins) == 1 else "cannot tell"
    return Fits(tuple(span.key for span in left), kins.pop() if len(kins) == 1 else "", verdict)


def mirror_reflectance(refractive_index: float, extinction: float) -> float:
    """Share of light that a clean, flat metal throws back when looked at straight on.

    Formula: R = ((n - 1)² + k²) / ((n + 1)² + k²)

    Parameters
    ----------
    refractive_index : [1] n at one wavelength, 0 to 10
    extinction : [1] k at the same wavelength, 0 to 20

    Returns
    -------
    [1] reflectance, 0 to 1

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    A polished surface in air, without tarnish or lacquer.

    Source
    ------
    Fresnel's equations at normal incidence
    """
    n = within("Refractive index", refractive_index, 0, 10)
    k = within("Extinction", extinction, 0, 20)
    return ((n - 1) ** 2 + k**2) / ((n + 1) ** 2 + k**2)


def mixture_density(first: float, second: float, first_percent: float) -> float:
    """Density that two metals would have if each kept its own room in the alloy: a trap, shown for comparison.

    Formula: 1 / rho = w1 / rho1 + w2 / rho2

    Parameters
    ----------
    first : [g/cm³] density of the one, 0.1 to 25
    second : [g/cm³] density of the other, 0.1 to 25
    first_percent : [%] share by weight of the first, 0 to 100

    Returns
    -------
    [g/cm³] density of the mixture

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Alloys are not such mixtures: brass of 70 % copper is 2.4 % denser than this.

    Source
    ------
    definition
    """
    share = within("Share of the first", first_percent, 0, 100, "%") / 100
    one = within("First density", first, 0.1, 25, "g/cm³")
    other = within("Second density", second, 0.1, 25, "g/cm³")
    return 1 / (share / one + (1 - share) / other)


def _loss(air_g: float, water_g: float) -> float:
    if not air_g > water_g:
        raise BadInput(
            f"The piece weighs {air_g:g} g in air and {water_g:g} g in water.",
            "It must weigh less in water than in air.",
        )
    return air_g - water_g


def _water_spread(celsius: float, error: float) -> float:
    """Half of how much the density of water differs over the temperatures that it may have."""
    temperatures = [max(celsius - error, 0.0), celsius, min(celsius + error, 40.0)]
    if temperatures[0] < 3.983 < temperatures[2]:
        temperatures.append(3.983)
    densities = [water_density(t) for t in temperatures]
    return (max(densities) - min(densities)) / 2
