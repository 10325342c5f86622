"""The ten circle sets of the NIST reference pairs, read from the reference folder: fits, zones, and promises kept on each.

Data and reference fits: NIST least-squares reference pairs, generated after ASME B89.4.10, public copy; correct to all digits given.
"""

from __future__ import annotations

import numpy as np
import pytest
from tests.reference import reference

from tallboy.checks.readers import circle as read_circle
from tallboy.checks.readers import points as read_points
from tallboy.sums.circle import algebraic_fit, least_squares, widest_gap
from tallboy.sums.circle_zones import maximum_inscribed, minimum_circumscribed, minimum_zone
from tallboy.sums.roundness import roundness

FULL = (1, 4, 11, 13, 16, 19, 23, 27)
ARCS = (2, 7)


def data(number: int) -> list[list[float]]:
    """The points of one set."""
    return read_points(reference(f"circles/cir2d{number}.ds").read_text())


def fit(number: int) -> list[float]:
    """Centre and radius of one reference fit."""
    return read_circle(reference(f"circles/cir2d{number}.fit").read_text())


@pytest.mark.parametrize("number", FULL + ARCS)
def test_least_squares_to_the_last_digits(number: int) -> None:
    """Centre and radius to 1e-8 mm, and still when the set is carried a hundred metres off."""
    points = np.array(data(number))
    assert len(points) == int(reference(f"circles/cir2d{number}.ds").read_text().split()[0])
    assert least_squares(points).values == pytest.approx(fit(number), abs=1e-8)
    far = least_squares(points + np.array([90_000.0, -90_000.0]))
    assert far.radius_mm == pytest.approx(fit(number)[2], abs=1e-8)


def test_the_algebraic_fit_may_only_begin() -> None:
    """On the quarter arc of set 2 it is off by more than a thousand times what the reference allows."""
    assert abs(algebraic_fit(data(2)).radius_mm - fit(2)[2]) > 1e-5
    assert widest_gap(data(2), *fit(2)[:2]) > 260


@pytest.mark.parametrize("number", FULL)
def test_no_other_centre_has_a_narrower_zone(number: int) -> None:
    """A grid of 201 x 201 centres, as wide as the zone itself, finds none; the finest of it comes near."""
    points = np.array(data(number))
    zone = minimum_zone(points)
    steps = np.linspace(-1, 1, 201) * zone.width_mm
    x, y = np.meshgrid(zone.x_mm + steps, zone.y_mm + steps)
    away = np.hypot(points[:, 0, None, None] - x, points[:, 1, None, None] - y)
    assert np.ptp(away, axis=0).min() >= zone.width_mm - 1e-10


@pytest.mark.parametrize("number", FULL)
def test_the_order_of_the_circles(number: int) -> None:
    """Inside under least squares under around; the zone reads least."""
    points = data(number)
    found = roundness(points)
    assert found.inscribed_mm is not None
    assert found.circumscribed_mm is not None
    assert maximum_inscribed(points).radius_mm < fit(number)[2] < minimum_circumscribed(points).radius_mm
    assert found.zone.width_mm <= min(found.total_mm, found.inscribed_mm, found.circumscribed_mm) + 1e-12
