"""Tones against scikit-image 0.26 over thousands of random colours, and the authors' 34 pairs one by one.

The pairs are those of Sharma, Wu and Dalal 2005, as in the reference folder; tolerance half of the last decimal printed. CIEDE2000 of
the library agrees to rounding. Its sRGB matrix has six digits and its white another rounding: 0.02 in each number of CIELAB.
"""

from __future__ import annotations

import csv
from typing import Any

import numpy as np
import skimage.color
from tests.reference import reference

from tallboy.sums import colour

LIBRARY: Any = skimage.color
DICE = np.random.default_rng(20)
RGB = DICE.integers(0, 256, (3000, 3))
ONE = DICE.uniform([0, -120, -120], [100, 120, 120], (5000, 3))
OTHER = DICE.uniform([0, -120, -120], [100, 120, 120], (5000, 3))


def test_every_printed_pair() -> None:
    """All 34, both ways round."""
    rows = list(csv.DictReader(reference("ciede2000_sharma34.csv").read_text(encoding="utf-8").splitlines()))
    assert len(rows) == 34
    for row in rows:
        one, other = ([float(row[f"{name}{which}"]) for name in "Lab"] for which in (1, 2))
        for found in (colour.ciede2000(one, other), colour.ciede2000(other, one)):
            assert abs(float(found) - float(row["dE00"])) <= 0.00005, row["pair"]


def test_ciede2000_of_random_pairs() -> None:
    """Far pairs and near ones."""
    near = np.clip(ONE + DICE.normal(0, 1, ONE.shape), [0, -130, -130], [100, 130, 130])
    for other in (OTHER, near):
        assert np.allclose(colour.ciede2000(ONE, other), LIBRARY.deltaE_ciede2000(ONE, other), atol=1e-9)


def test_cie76_of_random_pairs() -> None:
    """The plain distance."""
    assert np.allclose(colour.cie76(ONE, OTHER), LIBRARY.deltaE_cie76(ONE, OTHER), atol=1e-9)


def test_lab_of_random_colours() -> None:
    """Within 0.02."""
    found = np.array([colour.srgb_to_lab(rgb) for rgb in RGB])
    assert np.abs(found - LIBRARY.rgb2lab(RGB[None] / 255.0)[0]).max() <= 0.02
