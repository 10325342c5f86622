"""Figures in words: alike, no finer than they are known, and as the shop speaks."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tallboy.sums.units import IMPERIAL, METRIC
from tallboy.workings.kinds import Figure, Got
from tallboy.workings.telling import amount, figure, span, typeset


def got(value: Figure, unit: str, low: float | None = None, high: float | None = None, digits: int = 3) -> Got:
    return Got("x", "X", value, unit, low, high, digits)


@pytest.mark.parametrize(
    ("one", "told"),
    [
        (got(9.27, "°C", 8.29, 10.25), "9.3 °C (8.3 to 10.2)"),
        (got(0.111, "mm", -0.394, 0.616), "0.1 mm (\u22120.4 to 0.6)"),
        (got(456.46, "mm", 454.98, 457.94, 5), "456.5 mm (455.0 to 457.9)"),
        (got(2730.0, "N", 1640.0, 3820.0), "2\u202f700 N (1\u202f600 to 3\u202f800)"),
        (got(69.2, "ppm", 52.1, 168.0, 2), "69 ppm (52 to 170)"),
        (got(10.30, "%", 10.15, 10.45), "10.3 % (10.2 to 10.4)"),
        (got(0.0, "mm", 0.0, 0.5), "0.0 mm (0.0 to 0.5)"),
        (got(0.073, "l", 0.0651, 0.0812), "73 ml (65 to 81)"),
        (got(2.08, "l", 1.75, 2.51), "2.1 l (1.8 to 2.5)"),
        (got(0.0405, "l"), "40.5 ml"),
        (got(0.0, "min"), "0 min"),
        (got(9.27, "°C", 8.29), "9.3 °C (at least 8.3)"),
        (got(9.27, "°C", None, 10.25), "9.3 °C (at most 10.2)"),
        (got(9.27, "°C", 9.27, 9.27), "9.27 °C (9.27 to 9.27)"),
        (got(2.25, "K", 1.32, 3.18), "2.2 °C (1.3 to 3.2)"),
        (got(Decimal("604.87"), "EUR", 394.51, 630.9), "604.87 EUR (394.51 to 630.90)"),
        (got(1254.0, "min", 942.0, 1500.0), "20 h 55 (15 h 40 to 25 h)"),
        (got(40.0, "min", 22.0, 61.0), "40 min (22 min to 1 h 01)"),
    ],
)  # fmt: skip
def test_no_finer_than_its_spread(one: Got, told: str) -> None:
    """One digit of the spread, two where it begins with 1 or 2; the value and both ends to the same place."""
    assert figure(one) == told


@pytest.mark.parametrize(
    ("one", "told"),
    [
        (got(13.2, "°C", 12.4, 14.0), "55.8 °F (54.3 to 57.2)"),
        (got(2.25, "K", 1.32, 3.18), "4.0 °F (2.4 to 5.7)"),
        (got(6.46, "mm", 4.98, 7.94), "1/4 in (13/64 to 5/16)"),
        (got(29.975, "mm", 29.883, 30.067, 5), "1.180 in (1.176 to 1.184)"),
        (got(0.111, "mm", -0.394, 0.616), "0.004 in (\u22120.016 to 0.024)"),
        (got(4.4, "mm"), "11/64 in"),
        (got(6.72, "m²", 6.05, 7.39), "72 ft² (65 to 80)"),
    ],
)  # fmt: skip
def test_in_inches_a_fraction_only_where_it_is_fine_enough(one: Got, told: str) -> None:
    """A spread of hundredths of a millimetre is told in decimals of an inch."""
    assert figure(one, IMPERIAL) == told


@pytest.mark.parametrize(
    ("minutes", "told"),
    [
        (9.44, "9.44 min"),
        (59.0, "59.0 min"),
        (69.1, "1 h 09"),
        (550.2, "9 h 10"),
        (2040.0, "34 h"),
        (5000.0, "3 days 11 h"),
    ],
)
def test_an_hour_and_more_is_told_in_hours(minutes: float, told: str) -> None:
    """To five minutes from two hours on, to the hour from a day on."""
    assert amount(minutes, "min") == told


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("V = a * b - c = -1.53 mm", "V = a × b \u2212 c = \u22121.53 mm"),
        ("300 · -22 / (348.8 - 30)", "300 · \u221222 / (348.8 \u2212 30)"),
        ("eq. 4-5, FPL-GTR-190, 29 CFR 1910-106, 10^-3", "eq. 4-5, FPL-GTR-190, 29 CFR 1910-106, 10^\u22123"),
        ("+0.094, -0.040, (-.5)", "+0.094, \u22120.040, (\u2212.5)"),
    ],
)
def test_a_working_has_the_signs_that_people_write(line: str, told: str) -> None:
    """Minus and times; hyphens stay hyphens."""
    assert typeset(line) == told


def test_minutes_that_are_asked_for_stay_minutes() -> None:
    """To the last digit."""
    assert amount(1680, "min", 6) == "1\u202f680 min"
    assert span(0.0) == "0 min"


@given(
    st.floats(-1e6, 1e6), st.floats(1e-4, 1e5), st.floats(1e-4, 1e5),
    st.sampled_from(["mm", "°C", "K", "%", "kg", ""]), st.sampled_from([METRIC, IMPERIAL]),
)  # fmt: skip
def test_value_and_ends_keep_their_order(value: float, down: float, up: float, unit: str, system: str) -> None:
    """However they are rounded, and never with an exponent."""
    text = figure(got(value, unit, value - down, value + up), system)
    assert not re.search(r"\d[eE]", text)
    if "/" not in text and " in" not in text:
        numbers = [
            float(part.replace("\u2212", "-").replace("\u202f", ""))
            for part in re.findall(r"[\d.\u2212\u202f]*\d", text)
        ]
        middle, low, high = numbers
        assert low <= middle <= high
