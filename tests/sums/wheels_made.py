"""Outlines made for the tests of circles and wheels: noisy ones from a seed, and hypothesis' own."""

from __future__ import annotations

import numpy as np
from hypothesis import strategies as st

from tallboy.sums.outlines import lobed
from tallboy.sums.ranges import Array


def noisy(seed: int, points: int = 36, radius: float = 20.0, sigma: float = 0.05, degrees: float = 360.0) -> Array:
    """A circle about the origin whose points scatter along the radius."""
    scatter = np.random.default_rng(seed).normal(0, sigma, points)
    return np.asarray(lobed(radius, (), points, degrees) * (1 + scatter / radius)[:, None])


def turned(points: Array, degrees: float) -> Array:
    """The points turned about the origin, anticlockwise."""
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    return np.asarray(points @ np.array([[c, s], [-s, c]]))


seeds = st.integers(0, 10_000)
few = st.integers(5, 40)
