"""The laws of drying against published rules and data sheets.

Rule of experience: 10 °C takes twice the time of 20 °C, 30 °C half (trade pages on two-pack coatings, read). Makers' data sheets, read:
alkyd enamel touch dry in 10/5/3 h and ready for the next coat in 30/15/9 h at 10/23/40 °C, 50 % RH; alkyd primer 5/3/2 h and 36/18/12 h at
15/25/40 °C; exterior acrylic touch dry in 0.5 h at 25 °C and 3 to 6 h at 2 °C. Factors of the vapour pressure deficit against 23 °C, 50 %:
computed with psychrolib 2.5.0. Single products, not standards: the sheets must lie within the spread, the rules within their rounding.
"""

from __future__ import annotations

import numpy as np
import pytest

from tallboy.sums.rates import MOST, Label, Law, Reading, rate

DEFICIT = [
    (23, 80, 2.50), (23, 30, 0.71), (10, 50, 2.29), (10, 80, 5.72), (15, 60, 2.06), (18, 70, 2.27), (20, 50, 1.20), (30, 50, 0.66),
    (30, 80, 1.65),
]  # fmt: skip
ARRHENIUS = [
    (5, 3.943),
    (10, 2.647),
    (13, 2.098),
    (15, 1.801),
    (18, 1.439),
    (20, 1.242),
    (25, 0.867),
    (28, 0.703),
    (30, 0.613),
]
DOUBLING = [(5, 3.482), (10, 2.462), (13, 2.000), (15, 1.741), (18, 1.414), (20, 1.231), (25, 0.871)]


def factor(label: Label, celsius: float, humidity: float = 50, reading: Reading = Reading.MIDDLE) -> float:
    """Time in this air over time in the label's air."""
    return 1 / float(rate(label, np.array([float(celsius)]), np.array([float(humidity)]), reading)[0])


def label(law: Law, celsius: float = 23) -> Label:
    """A label of that law with no lower limit in the way."""
    return Label(law, 60, 240, celsius=celsius, minimum_celsius=-10)


@pytest.mark.parametrize(("celsius", "humidity", "times"), DEFICIT)
def test_a_waterborne_coat_follows_the_deficit(celsius: float, humidity: float, times: float) -> None:
    """And nothing else: a growth with temperature on top would count it twice."""
    assert factor(label(Law.WATERBORNE), celsius, humidity) == pytest.approx(times, abs=0.006)


def test_very_dry_warm_air_is_not_counted_on_beyond_twice() -> None:
    """The deficit at 35 °C, 30 % would give 0.36 of the label's time; we stop at half."""
    assert factor(label(Law.WATERBORNE), 35, 30) == 1 / MOST


@pytest.mark.parametrize(("celsius", "times"), ARRHENIUS)
def test_two_parts_follow_arrhenius(celsius: float, times: float) -> None:
    """52.2 kJ/mol, computed apart from this project."""
    assert factor(label(Law.TWO_PART), celsius) == pytest.approx(times, abs=0.001)


@pytest.mark.parametrize(("celsius", "times"), DOUBLING)
def test_oil_doubles_its_time_for_ten_degrees_less(celsius: float, times: float) -> None:
    """Up to 25 °C the rule of experience."""
    assert factor(label(Law.OXIDISING), celsius) == pytest.approx(times, abs=0.001)


@pytest.mark.parametrize(
    ("celsius_label", "celsius", "times"),
    [(23, 10, 10 / 5), (23, 10, 30 / 15), (23, 40, 3 / 5), (23, 40, 9 / 15), (25, 15, 5 / 3), (25, 15, 36 / 18), (25, 40, 2 / 3), (25, 40, 12 / 18)],
)  # fmt: skip
def test_alkyd_sheets_lie_within_the_spread(celsius_label: float, celsius: float, times: float) -> None:
    """From the quick to the slow reading, either side of the label's temperature."""
    alkyd = label(Law.OXIDISING, celsius_label)
    assert factor(alkyd, celsius, reading=Reading.QUICK) <= times <= factor(alkyd, celsius, reading=Reading.SLOW)


def test_the_exterior_acrylic_in_the_cold() -> None:
    """4 h at 25 °C become 24 h at 2 °C for the next coat, and 0.5 h at least 3 h to touch: six times, within the spread.

    Agreement is poor here: the deficit alone says 4.5 times, and the sheet's 6 h to touch (twelve times) lies beyond the slow reading.
    """
    acrylic = label(Law.WATERBORNE, 25)
    assert factor(acrylic, 2) == pytest.approx(4.5, abs=0.05)
    assert factor(acrylic, 2, reading=Reading.QUICK) <= 24 / 4 <= factor(acrylic, 2, reading=Reading.SLOW) < 6 / 0.5
