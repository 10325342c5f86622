"""The density of water against IAPWS-95 (chemicals 1.5.2, iapws95_rho at 101 325 Pa), every half degree from 0 to 40 °C.

Found within 0.0000012 g/cm³; both describe water without dissolved air.
"""

from __future__ import annotations

from typing import Any

import chemicals
import numpy as np

from tallboy.sums.metal import water_density

LIBRARY: Any = chemicals


def test_water_from_ice_to_forty_degrees() -> None:
    """Each within 0.0000015 g/cm³."""
    for celsius in np.arange(0, 40.5, 0.5):
        assert abs(water_density(float(celsius)) - LIBRARY.iapws95_rho(celsius + 273.15, 101_325.0) / 1000) <= 1.5e-6
