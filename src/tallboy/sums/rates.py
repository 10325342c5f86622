"""How fast a coat dries in given air, compared with its label's air: one law for each way of drying.

The label's minutes always hold at the label's air; a law only says how the room's air stretches or shortens them. The laws are
rules of experience with a wide spread, so each has a quick and a slow reading beside the middle one.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tallboy.errors import BadInput, NeverDries
from tallboy.sums.air import KELVIN, saturation_pressure, vapour_pressure_deficit
from tallboy.sums.ranges import ranged, within

Array = NDArray[np.float64]

GAS_CONSTANT = 8.314462618
TURNING_CELSIUS = 25.0
"""Above this the published sheets speed up less than below."""
DAMP_PERCENT = 85.0
"""Above this specifications forbid coating, whatever the product (US bid specification, read)."""
DAMP_SLOWEST = 0.5
"""Rate of a solvent or oil coat in saturated air; own caution, no source."""
STILL_WATER_PERCENT = 80.0
"""Up to about here water leaves a thick film at a rate that hardly depends on humidity (Huisman et al. 2023, read in a summary)."""
COLD_WATER_GROWTH = 2.2
"""Slow reading of a waterborne coat in the cold: an exterior acrylic's sheet gives 4 h at 25 °C and 24 h at 2 °C to the next coat
(read), which is more than the deficit alone."""
MOST = 2.0
"""Nothing is counted on to dry more than twice as fast as its label says; own caution, no source."""

COAT_TO_COAT = 1.1
"""A tenth either way in any air, for the thickness of the film and what one hand calls dry; common practice, no source."""


class Law(StrEnum):
    """What drying waits for: water leaving, solvent leaving, oxygen from the air, or two parts setting."""

    WATERBORNE = "waterborne"
    SOLVENT = "solvent"
    OXIDISING = "oxidising"
    TWO_PART = "two-part"
    GLUE = "glue"
    WAX = "wax"


class Reading(StrEnum):
    """Which reading of a law: the middle one, or how quick or slow the evidence allows it to be."""

    MIDDLE = "middle"
    QUICK = "quick"
    SLOW = "slow"


@dataclass(frozen=True)
class Label:
    """What the can says: its law, minutes to each stage in the label's air, and the lowest temperature it dries at.

    Minutes count from laying the coat. `recoat_until_minutes` is when the window closes again, None when it stays open.
    A stage the label does not give is None. `source` says where the figures come from; the stages named in `usual` (touch, recoat,
    until, cure) are not the label's own, and come from `usual_source`.
    """

    law: Law
    touch_minutes: float | None
    recoat_from_minutes: float | None
    recoat_until_minutes: float | None = None
    cure_minutes: float | None = None
    celsius: float = 23.0
    relative_humidity: float = 50.0
    minimum_celsius: float = 10.0
    source: str = "the label"
    usual: tuple[str, ...] = ()
    usual_source: str = "usual for its kind"

    def __post_init__(self) -> None:
        for name in ("touch_minutes", "recoat_from_minutes", "recoat_until_minutes", "cure_minutes"):
            if getattr(self, name) is not None:
                within(name.replace("_", " ").capitalize(), getattr(self, name), 0.5, 5_270_400, "min")
        within("Label's temperature", self.celsius, 0, 50, "°C")
        within("Label's humidity", self.relative_humidity, 0, 90, "%")
        within("Lowest temperature", self.minimum_celsius, -30, self.celsius, "°C")
        opens, closes = self.recoat_from_minutes, self.recoat_until_minutes
        if opens is not None and closes is not None and closes <= opens:
            raise BadInput(
                f"The recoat window closes after {closes:g} min but opens after {opens:g} min.", "It must open first."
            )


Range = tuple[float, float, float]
"""Least, middle and greatest value of a constant."""

_OXIDISING: tuple[Range, Range] = ((1.6, 2.0, 2.2), (1.2, 1.35, 1.5))
"""Growth for 10 °C below and above 25 °C. Alkyd enamel and primer on makers' sheets: 1.67 to 2.00 below, 1.31 to 1.35 above
(computed from times that were read)."""
_SOLVENT: tuple[Range, Range] = ((1.3, 1.5, 2.0), (1.2, 1.35, 1.6))
"""Mild growth; common practice, no source."""
_ACTIVATION: Range = (40_000.0, 52_200.0, 65_000.0)
"""[J/mol]; 52 200 doubles the rate from 23 to 33 °C (rule of experience); the range is common practice."""
_ANY_LABEL = {Reading.QUICK: COAT_TO_COAT, Reading.MIDDLE: 1.0, Reading.SLOW: 1 / COAT_TO_COAT}


def rate(label: Label, celsius: ArrayLike, relative_humidity: ArrayLike, reading: Reading = Reading.MIDDLE) -> Array:
    """How fast the coat dries in this air, as a multiple of how fast it dries in the label's air.

    Formula: waterborne and glue: deficit of vapour pressure / deficit at the label (it already holds the effect of temperature);
    oxidising, solvent and wax: Q^((T - T_label)/10), with one Q below 25 °C and a smaller one above;
    two-part: exp(-E/R (1/T - 1/T_label)). Below the label's lowest temperature: 0. Never above 2, glue never above 1.
    Solvent, oil and wax slow from 85 % humidity on, to half at 100 %.

    Parameters
    ----------
    label : [Label] what the can says
    celsius : [°C] air temperature, -40 to 60
    relative_humidity : [%] 0 to 100, as many entries as `celsius`
    reading : [text] middle, quick or slow reading of the law

    Returns
    -------
    [1] rate, 1 in the label's air

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    An estimate. The deficit is the upper bound of what humidity does to a waterborne coat; the quick reading leaves humidity out up
    to 80 %. Above 90 % such a coat hardly dries, at 100 % not at all. Below the label's lowest temperature nothing is counted,
    whatever the finger says: the film may not form. Makers' sheets for several temperatures imply a Q of 1.3 to 2.2; the rule of two
    for 10 °C is cautious below 25 °C and too hopeful above, so above the smaller growth holds.

    Source
    ------
    Dalton's law of evaporation; Q rule of experience and makers' data sheets; Arrhenius. Limits: own caution, see the constants.
    """
    celsius = ranged("Air temperature", celsius, -40, 60, "°C")
    relative_humidity = ranged("Relative humidity", relative_humidity, 0, 100, "%")
    if label.law in (Law.WATERBORNE, Law.GLUE):
        found = _by_deficit(label, celsius, relative_humidity, reading)
    elif label.law is Law.TWO_PART:
        found = _by_arrhenius(label, celsius, reading)
    else:
        growth = _OXIDISING if label.law is Law.OXIDISING else _SOLVENT
        found = _by_growth(label, celsius, growth, reading) * _damped(relative_humidity, reading)
    return np.where(celsius < label.minimum_celsius, 0.0, np.minimum(found * _ANY_LABEL[reading], most_for(label.law)))


def time_factor(label: Label, celsius: float, relative_humidity: float, reading: Reading = Reading.MIDDLE) -> float:
    """How many times the label's time a coat takes in steady air.

    Formula: 1 / rate

    Parameters
    ----------
    label : [Label] what the can says
    celsius : [°C] air temperature, -40 to 60
    relative_humidity : [%] 0 to 100
    reading : [text] middle, quick or slow reading of the law

    Returns
    -------
    [1] factor, 1 in the label's air

    Raises
    ------
    OutOfRange outside the ranges; NeverDries where nothing dries.

    Validity
    --------
    As `rate`.

    Source
    ------
    The same as `rate`.
    """
    found = float(rate(label, celsius, relative_humidity, reading))
    if found == 0:
        raise NeverDries(
            f"At {celsius:g} °C and {relative_humidity:g} % the coat would not dry.",
            f"It needs at least {label.minimum_celsius:g} °C and air that is not saturated.",
        )
    return 1 / found


def most_for(law: Law) -> float:
    """The greatest rate that is counted on: glue never sets sooner than its label says.

    Parameters
    ----------
    law : [Law] any of them

    Returns
    -------
    [1] 1 for glue, 2 for all others

    Source
    ------
    Own caution, no source.
    """
    return 1.0 if law is Law.GLUE else MOST


def words_for(law: Law) -> str:
    """The law in one sentence, for the working that people can open.

    Parameters
    ----------
    law : [Law] any of them

    Returns
    -------
    [text] one sentence

    Source
    ------
    The same as `rate`.
    """
    return _WORDS[law]


_WORDS = {
    Law.WATERBORNE: "Water leaves as fast as the air can take it up: rate = vapour pressure deficit / deficit at the label.",
    Law.GLUE: "Glue sets as its water leaves: rate = vapour pressure deficit / deficit at the label, never above 1.",
    Law.SOLVENT: "Solvent leaves faster when warm: rate = 1.5 to the power of (°C - label's °C) / 10, 1.35 above 25 °C.",
    Law.WAX: "Solvent leaves the wax faster when warm: rate = 1.5 to the power of (°C - label's °C) / 10, 1.35 above 25 °C.",
    Law.OXIDISING: "Oil hardens by oxygen, faster when warm: rate = 2 to the power of (°C - label's °C) / 10, 1.35 above 25 °C.",
    Law.TWO_PART: "The two parts set faster when warm: Arrhenius with 52.2 kJ/mol, twice as fast at 33 as at 23 °C.",
}


def _by_deficit(label: Label, celsius: Array, humidity: Array, reading: Reading) -> Array:
    """Water leaves as fast as the air can take it up; the other bound is that humidity does not matter up to 80 %."""
    middle = vapour_pressure_deficit(celsius, humidity) / vapour_pressure_deficit(
        label.celsius, label.relative_humidity
    )
    if reading is Reading.MIDDLE:
        return middle
    warmth = saturation_pressure(celsius) / saturation_pressure(label.celsius)
    warmth = warmth * np.minimum(1.0, (100 - humidity) / (100 - STILL_WATER_PERCENT))
    if reading is Reading.QUICK:
        return np.maximum(middle, warmth)
    cold = COLD_WATER_GROWTH ** (np.minimum(celsius - label.celsius, 0) / 10)
    return np.minimum(np.minimum(middle, warmth), cold)


def _by_growth(label: Label, celsius: Array, growth: tuple[Range, Range], reading: Reading) -> Array:
    """So many times faster for every 10 °C, counted apart below and above 25 °C."""
    cold = np.minimum(celsius, TURNING_CELSIUS) - min(label.celsius, TURNING_CELSIUS)
    hot = np.maximum(celsius, TURNING_CELSIUS) - max(label.celsius, TURNING_CELSIUS)
    below, above = _picked(growth[0], cold, reading), _picked(growth[1], hot, reading)
    return np.asarray(below ** (cold / 10) * above ** (hot / 10), dtype=np.float64)


def _by_arrhenius(label: Label, celsius: Array, reading: Reading) -> Array:
    """Setting by reaction."""
    gain = 1 / (label.celsius + KELVIN) - 1 / (celsius + KELVIN)
    return np.asarray(np.exp(_picked(_ACTIVATION, gain, reading) / GAS_CONSTANT * gain), dtype=np.float64)


def _picked(values: Range, warmer: Array, reading: Reading) -> Array | float:
    """Warmer than the label the greatest value dries quickest; colder, the least value does."""
    least, middle, greatest = values
    if reading is Reading.MIDDLE:
        return middle
    quick = reading is Reading.QUICK
    return np.where((warmer > 0) == quick, greatest, least)


def _damped(humidity: Array, reading: Reading) -> Array:
    """From 85 % on slower, in a straight line to half at 100 %; the quick reading does not slow, the slow one does twice as much."""
    weight = {Reading.QUICK: 0.0, Reading.MIDDLE: 1.0, Reading.SLOW: 1.8}[reading]
    over = np.clip((humidity - DAMP_PERCENT) / (100 - DAMP_PERCENT), 0.0, 1.0)
    return np.asarray(1 - weight * (1 - DAMP_SLOWEST) * over, dtype=np.float64)
