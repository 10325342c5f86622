"""When the shop's air suits a coat: warm enough for what the can asks, and far enough above the dew point.

The surface is taken to be as warm as the air, for a shop reads only the air. A piece just brought in from the cold, or a stone top, is
colder: the caution beside the air says so. Where the forecast ends, its last day goes on.
"""

from __future__ import annotations

from datetime import datetime, timedelta

import numpy as np
from django.utils.translation import gettext as _
from numpy.typing import NDArray

from tallboy.book.models import Shop
from tallboy.drawers.air.now import apart, temperature
from tallboy.planner import network
from tallboy.sums import air
from tallboy.sums.air import AirSeries
from tallboy.sums.drying import Label

A_DAY = 24
HOUR = timedelta(hours=1)
# So long after a coat was laid its air matters at the most [min]; what dries more slowly has settled by then. Common practice, no source.
LONGEST_FIT = 6 * 60


class Fit:
    """The spans of time in which the air suits a can, from now until the end of the plan."""

    def __init__(self, shop: Shop, series: AirSeries, now: datetime, days: int) -> None:
        self._shop = shop
        first = max(0, int((now - series.start) / HOUR))
        self._air = series.part(min(first, series.hours - 1), series.hours - 1)
        self._hours = (days + 1) * A_DAY
        self._rule: air.Rule = "5 degF" if shop.imperial else "3 degC"
        self._dry = self._above_dew()
        self._spans: dict[float, tuple[network.Span, ...] | None] = {}

    def spans(self, label: Label) -> tuple[network.Span, ...] | None:
        """The spans in which the air is as this can asks; None when it always is, none at all when it never is."""
        least = label.minimum_celsius
        if least not in self._spans:
            self._spans[least] = self._runs((self._air.celsius >= least) & self._dry)
        return self._spans[least]

    def minutes(self, label: Label) -> int:
        """How long after it was laid a coat needs that air [min]: until it is touch dry by its label, six hours at the most."""
        touch = label.touch_minutes if label.touch_minutes is not None else label.recoat_from_minutes
        return LONGEST_FIT if touch is None else min(LONGEST_FIT, round(touch))

    def text(self, label: Label) -> str:
        """What the can asks of the air, in words."""
        words = {
            "celsius": temperature(label.minimum_celsius, self._shop),
            "margin": apart(air.COATING_RULES[self._rule], self._shop),
        }
        return _("air of at least %(celsius)s, and a surface %(margin)s above the dew point") % words

    def _above_dew(self) -> NDArray[np.bool_]:
        """Hour by hour: is a surface as warm as the air far enough above the dew point? Where no formula reaches, the air is not asked."""
        celsius, humidity = self._air.celsius, self._air.relative_humidity
        known = (celsius >= -40) & (celsius <= 100) & (humidity >= 0.1) & (humidity <= 100)
        found = np.ones(self._air.hours, dtype=np.bool_)
        if bool(known.any()):
            found[known] = air.may_coat(celsius[known], celsius[known], humidity[known], self._rule)
        return found

    def _runs(self, good: NDArray[np.bool_]) -> tuple[network.Span, ...] | None:
        """Runs of good hours as spans; between two good hours the air is good."""
        longer = np.concatenate([good, np.resize(good[-A_DAY:], max(0, self._hours - len(good)))])
        if bool(longer.all()):
            return None
        edges = np.flatnonzero(np.diff(np.concatenate([[False], longer, [False]]).astype(np.int8)))
        start = self._air.start
        spans = ((start + int(first) * HOUR, start + (int(last) - 1) * HOUR) for first, last in edges.reshape(-1, 2))
        return tuple((begins, ends) for begins, ends in spans if begins < ends)
