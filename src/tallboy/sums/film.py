"""Coats as films: how far a litre goes, how thick wet and dry, and how much to have ready."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tallboy.errors import BadInput
from tallboy.sums.ranges import within


@dataclass(frozen=True)
class Estimate:
    """A figure that is not known to the last digit: the likely one between a low and a high one, all in one unit."""

    low: float
    middle: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.middle <= self.high:
            raise BadInput(
                f"{self.low:g}, {self.middle:g}, {self.high:g} are not in order.", "Give low, middle and high."
            )


NOTHING_LOST = Estimate(0.0, 0.0, 0.0)
AS_ANY_COAT = Estimate(1.0, 1.0, 1.0)


def spreading_rate(volume_solids: float, dry_film_um: float) -> float:
    """Area that a litre covers when nothing is lost.

    Formula: 10 * volume solids / dry film

    Parameters
    ----------
    volume_solids : [%] share of the liquid that stays, 1 to 100
    dry_film_um : [µm] thickness of the dry film, 1 to 5000

    Returns
    -------
    [m²/l] theoretical spreading rate

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Geometry: a litre spread one micrometre thick covers 1000 m²; the same in trade pages and data sheets (read).
    """
    within("Volume solids", volume_solids, 1, 100, "%")
    within("Dry film", dry_film_um, 1, 5000, "µm")
    return 10 * volume_solids / dry_film_um


def wet_film_at_rate(rate: float) -> float:
    """Thickness of the wet film when a litre is spread over so much area.

    Formula: 1000 / rate

    Parameters
    ----------
    rate : [m²/l] spreading rate, 0.1 to 100

    Returns
    -------
    [µm] wet film

    Raises
    ------
    OutOfRange outside the range.

    Source
    ------
    Geometry; the same in trade pages (read).
    """
    within("Spreading rate", rate, 0.1, 100, "m²/l")
    return 1000 / rate


def wet_film(dry_film_um: float, volume_solids: float, thinned: float = 0.0) -> float:
    """Thickness to lay wet so that so much is left when dry.

    Formula: dry film * (1 + thinned) / (volume solids / 100)

    Parameters
    ----------
    dry_film_um : [µm] thickness of the dry film, 1 to 5000
    volume_solids : [%] of the liquid before thinning, 1 to 100
    thinned : [1] volume of thinner per volume of paint, 0 to 2; "15 % of the mix" is 0.15 / 0.85

    Returns
    -------
    [µm] wet film

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    MIL-HDBK-1110 (dry film = wet film * volume solids), read; with thinner: a trade page, read.
    """
    within("Dry film", dry_film_um, 1, 5000, "µm")
    return dry_film_um / _share_left(volume_solids, thinned)


def dry_film(wet_film_um: float, volume_solids: float, thinned: float = 0.0) -> float:
    """Thickness that is left of a wet film when it is dry.

    Formula: wet film * (volume solids / 100) / (1 + thinned)

    Parameters
    ----------
    wet_film_um : [µm] thickness of the wet film, 1 to 10 000
    volume_solids : [%] of the liquid before thinning, 1 to 100
    thinned : [1] volume of thinner per volume of paint, 0 to 2

    Returns
    -------
    [µm] dry film

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    MIL-HDBK-1110 (dry film = wet film * volume solids), read; with thinner: a trade page, read.
    """
    within("Wet film", wet_film_um, 1, 10_000, "µm")
    return wet_film_um * _share_left(volume_solids, thinned)


def practical_rate(rate: float, loss: float) -> float:
    """Area that a litre covers when a share of it is lost in brush, roller, tray and mist.

    Formula: rate * (1 - loss)

    Parameters
    ----------
    rate : [m²/l] theoretical spreading rate, 0.1 to 100
    loss : [1] share lost, 0 to 0.95; brush and roller 0.03 to 0.10 (from memory), spray guns 0.2 to 0.75 (read)

    Returns
    -------
    [m²/l] practical spreading rate

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition (transfer efficiency = 1 - loss)
    """
    within("Spreading rate", rate, 0.1, 100, "m²/l")
    within("Loss", loss, 0, 0.95, "")
    return rate * (1 - loss)


def litres(area_m2: float, coats: int, rate: float, loss: float = 0.0) -> float:
    """How much to have ready.

    Formula: area * coats / (rate * (1 - loss))

    Parameters
    ----------
    area_m2 : [m²] area to coat, 0 to 10 000
    coats : [1] how many coats, 0 to 100
    rate : [m²/l] spreading rate of one coat, 0.1 to 100
    loss : [1] share lost, 0 to 0.95

    Returns
    -------
    [l] volume

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Bare and open-grained wood drinks more in the first coat than a label's rate says.

    Source
    ------
    definition
    """
    within("Area", area_m2, 0, 10_000, "m²")
    within("Coats", coats, 0, 100, "")
    return area_m2 * coats / practical_rate(rate, loss)


def thinner_per_paint(share_of_mix: float) -> float:
    """Volume of thinner per volume of paint, from the thinner's share of the whole mix.

    Formula: share / (100 - share)

    Parameters
    ----------
    share_of_mix : [%] thinner in the mix of paint and thinner, 0 to 66

    Returns
    -------
    [1] as `wet_film` and `dry_film` take it: 15 % of the mix is 0.1765

    Raises
    ------
    OutOfRange outside the range.

    Source
    ------
    definition
    """
    within("Share of the mix", share_of_mix, 0, 66, "%")
    return share_of_mix / (100 - share_of_mix)


def litres_to_have(
    area_m2: float,
    coats: int,
    rate: Estimate,
    *,
    loss: Estimate = NOTHING_LOST,
    thirst: Estimate = AS_ANY_COAT,
    area_spread: float = 0.1,
) -> Estimate:
    """How much to have ready, with its spread.

    Formula: area * (coats - 1 + thirst) / (rate * (1 - loss)); the spread is the square root of the sum of squares of what each of area,
    rate, loss and thirst does to it alone, upwards and downwards apart

    Parameters
    ----------
    area_m2 : [m²] area to coat, 0 to 1000
    coats : [1] how many coats, 1 to 20
    rate : [m²/l] what a litre of one coat covers, as the label says it, 0.1 to 100
    loss : [1] share lost on the way, 0 to 0.95
    thirst : [1] what the first coat takes compared with a later one, 1 to 3; 1 on a sealed or painted surface
    area_spread : [1] how far the area may be out, 0 to 0.5 of it

    Returns
    -------
    [l] low, middle and high; buy for the high one where running out in the middle of a coat would show

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    What stays in the tray and goes into trial boards is only in it as far as the losses hold it.

    Source
    ------
    definition; adding in quadrature: usual for errors that are independent of each other
    """
    within("Area", area_m2, 0, 1000, "m²")
    within("Coats", coats, 1, 20, "")
    within("Spread of the area", area_spread, 0, 0.5, "")
    for value in (thirst.low, thirst.high):
        within("Thirst", value, 1, 3, "")
    area = Estimate(area_m2 * (1 - area_spread), area_m2, area_m2 * (1 + area_spread))
    middle = _litres(area.middle, coats, rate.middle, loss.middle, thirst.middle)
    more = (
        _litres(area.high, coats, rate.middle, loss.middle, thirst.middle),
        _litres(area.middle, coats, rate.low, loss.middle, thirst.middle),
        _litres(area.middle, coats, rate.middle, loss.high, thirst.middle),
        _litres(area.middle, coats, rate.middle, loss.middle, thirst.high),
    )
    less = (
        _litres(area.low, coats, rate.middle, loss.middle, thirst.middle),
        _litres(area.middle, coats, rate.high, loss.middle, thirst.middle),
        _litres(area.middle, coats, rate.middle, loss.low, thirst.middle),
        _litres(area.middle, coats, rate.middle, loss.middle, thirst.low),
    )
    up, down = math.hypot(*(value - middle for value in more)), math.hypot(*(middle - value for value in less))
    return Estimate(max(middle - down, 0.0), middle, middle + up)


def _litres(area: float, coats: int, rate: float, loss: float, thirst: float) -> float:
    return area * (coats - 1 + thirst) / practical_rate(rate, loss)


def _share_left(volume_solids: float, thinned: float) -> float:
    """Dry film over wet film."""
    within("Volume solids", volume_solids, 1, 100, "%")
    within("Thinned", thinned, 0, 2, "")
    return volume_solids / 100 / (1 + thinned)
