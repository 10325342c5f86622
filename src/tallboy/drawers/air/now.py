"""The air as the newest reading has it, and what follows from it: dew point, wood, whether a coat may go on. With workings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tallboy.book.models import Shop
from tallboy.drawers.air.models import Reading
from tallboy.errors import OutOfRange
from tallboy.sums import air, wood
from tallboy.sums.air_series import MEASURED_SPREAD
from tallboy.sums.spreads import carried_spread
from tallboy.sums.units import format_temperature

FRESH = timedelta(hours=6)
"""Older than this a reading is no longer "now"."""
SOURCES = {
    "dew": gettext_lazy("ASHRAE Handbook: Fundamentals, chapter 1, equations 5 and 6, solved for the temperature"),
    "wood": gettext_lazy("Wood Handbook (USDA Forest Products Laboratory), equation 4-5"),
    "3 degC": gettext_lazy("3 °C: attributed to ISO 8502-4 by trade pages, the standard not read"),
    "5 degF": gettext_lazy("5 °F: UFC 3-190-06, 9.6.6"),
}


@dataclass(frozen=True)
class Figure:
    """A number that opens to its working, in words: what it is, its value and spread, inputs, formula, source."""

    key: str
    label: str
    value: str
    spread: str
    inputs: tuple[dict[str, str], ...]
    formula: str
    source: str


@dataclass(frozen=True)
class AirNow:
    """The newest reading and what follows from it. `dew`, `wood` and `margin` are None where no formula reaches."""

    reading: Reading
    dew: float | None
    dew_spread: float
    wood: float | None
    wood_spread: float
    rule: air.Rule
    age: timedelta

    @property
    def fresh(self) -> bool:
        return self.age <= FRESH

    @property
    def margin(self) -> float | None:
        """How far a surface as warm as the air is above the dew point [°C]."""
        return None if self.dew is None else self.reading.celsius - self.dew

    @property
    def asked(self) -> float:
        """The margin that the shop's rule asks for [°C]."""
        return air.COATING_RULES[self.rule]

    @property
    def may_coat(self) -> bool | None:
        """Whether the air's dew lets a coat go on; None where it cannot be said."""
        if self.dew is None:
            return None
        t, h = self.reading.celsius, self.reading.relative_humidity
        return air.may_coat(t, t, h, self.rule)


def air_now(shop: Shop, reading: Reading, now: datetime) -> AirNow:
    """Everything that follows from a reading."""
    dew, dew_spread = _with_spread(air.dew_point, reading)
    settled, settled_spread = _with_spread(wood.equilibrium_moisture, reading)
    rule: air.Rule = "5 degF" if shop.imperial else "3 degC"
    return AirNow(reading, dew, dew_spread, settled, settled_spread, rule, now - reading.at)


def _with_spread(formula: Callable[[float, float], float], reading: Reading) -> tuple[float | None, float]:
    """The formula's value and what the thermo-hygrometer's own spread does to it, added as squares."""
    seen = (reading.celsius, reading.relative_humidity)
    try:
        return formula(*seen), carried_spread(formula, seen, MEASURED_SPREAD)
    except OutOfRange:
        return None, 0.0


def apart(celsius: float, shop: Shop) -> str:
    """A difference of temperatures in the shop's degrees."""
    return f"{celsius * 9 / 5:.1f} °F" if shop.imperial else f"{celsius:.1f} °C"


def figures(shop: Shop, now: AirNow) -> list[Figure]:
    """The numbers of the page, each with its working."""
    reading = now.reading
    air_rows = (
        {
            "name": _("air temperature"),
            "value": f"{temperature(reading.celsius, shop)} ±{apart(MEASURED_SPREAD[0], shop)}",
        },
        {"name": _("relative humidity"), "value": f"{humidity(reading.relative_humidity)} ±{MEASURED_SPREAD[1]:g} %"},
    )
    rows = [_dew(shop, now, air_rows), _wood(now, air_rows), _margin(shop, now)]
    return [row for row in rows if row is not None]


def temperature(celsius: float, shop: Shop) -> str:
    """A temperature to a tenth in the shop's units."""
    return format_temperature(round(celsius, 1), shop.units)


def humidity(percent: float) -> str:
    """A humidity to the whole percent: no instrument in a shop is surer than that."""
    return f"{percent:.0f} %"


def _dew(shop: Shop, now: AirNow, rows: tuple[dict[str, str], ...]) -> Figure | None:
    if now.dew is None:
        return None
    return Figure(
        "dew",
        _("dew point"),
        temperature(now.dew, shop),
        apart(now.dew_spread, shop),
        rows,
        _(
            "the temperature at which the water vapour in this air would be all it can hold: ps(dew point) = RH / 100 · ps(air)"
        ),
        str(SOURCES["dew"]),
    )


def _wood(now: AirNow, rows: tuple[dict[str, str], ...]) -> Figure | None:
    if now.wood is None:
        return None
    return Figure(
        "wood",
        _("wood settles at"),
        f"{now.wood:.1f} %",
        f"{now.wood_spread:.1f} %",
        rows,
        "M = 1800/W · (K·h/(1 − K·h) + (K₁·K·h + 2·K₁·K₂·K²·h²)/(1 + K₁·K·h + K₁·K₂·K²·h²))",
        _("%(source)s. Left long in this air; species differ, most in damp air.") % {"source": SOURCES["wood"]},
    )


def _margin(shop: Shop, now: AirNow) -> Figure | None:
    if now.dew is None or now.margin is None:
        return None
    rows = (
        {"name": _("surface, as warm as the air"), "value": temperature(now.reading.celsius, shop)},
        {"name": _("dew point"), "value": temperature(now.dew, shop)},
        {"name": _("at least"), "value": apart(now.asked, shop)},
    )
    return Figure(
        "margin",
        _("surface above dew"),
        apart(now.margin, shop),
        apart(now.dew_spread, shop),
        rows,
        _(
            "surface temperature − dew point. A piece just brought in from the cold, or a stone top, is colder than the air."
        ),
        str(SOURCES[now.rule]),
    )


def verdict(now: AirNow, shop: Shop) -> str:
    """One sentence: whether a coat may go on, as far as dew is concerned."""
    if now.may_coat is None or now.margin is None:
        return _("Whether dew would form cannot be said of this reading.")
    told = {"margin": apart(now.margin, shop), "asked": apart(now.asked, shop)}
    if now.may_coat:
        return (
            _(
                "A coat may go on: a surface as warm as the air is %(margin)s above the dew point, and %(asked)s will do."
            )
            % told
        )
    return (
        _("No coat now: a surface as warm as the air is only %(margin)s above the dew point, and needs %(asked)s.")
        % told
    )
