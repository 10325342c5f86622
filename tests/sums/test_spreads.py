"""How sure an answer is from how sure its numbers are."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tallboy.errors import OutOfRange
from tallboy.sums.air import dew_point
from tallboy.sums.ranges import within
from tallboy.sums.spreads import carried_spread


def test_squares_are_added() -> None:
    """Of a sum and of a product near enough."""
    assert carried_spread(lambda a, b: a + b, (1.0, 2.0), (3.0, 4.0)) == pytest.approx(5)
    assert carried_spread(lambda a, b: a * b, (10.0, 20.0), (0.1, 0.1)) == pytest.approx(math.hypot(2, 1))
    assert carried_spread(lambda a: a, (1.0,), (0.0,)) == 0


def test_at_the_edge_the_other_way_is_taken() -> None:
    """At 100 % humidity the hygrometer can only be too high; where neither way is open it is an error."""
    assert carried_spread(dew_point, (20.0, 100.0), (0.5, 3.0)) > 0.5
    with pytest.raises(OutOfRange):
        carried_spread(lambda a: within("A", a, 0, 1), (0.5,), (2.0,))


def test_it_is_what_chance_does() -> None:
    """Against ten thousand readings of chance about 20 °C and 60 %."""
    rng = np.random.default_rng(3)
    found = dew_point(20 + rng.normal(0, 0.5, 10_000), 60 + rng.normal(0, 3, 10_000))
    assert carried_spread(dew_point, (20.0, 60.0), (0.5, 3.0)) == pytest.approx(float(np.std(found)), rel=0.05)
