"""Gaps through the year: what to leave beside a drawer, a door or a flap now, and how deep a groove a panel needs.

Wood follows the weeks, not the hours: the year's driest and dampest month count, not single days. Only the wood that lies across
the gap moves: the whole height of a drawer front, the two stiles of a framed door, the whole width of a boarded one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from tallboy.errors import BadInput
from tallboy.sums.ranges import within
from tallboy.sums.wood_movement import WETTEST, size_at

BOARD_SCATTER = 0.15
"""[1] one standard deviation of a single board's movement about the mean of its species, as a share; from memory of the Wood
Handbook, chapter 4, not confirmed."""
MOISTURE_SPREAD = 1.0
"""[%] one standard deviation of a difference of two moisture contents, measured or reckoned from air; common practice, no source.
The two published forms of the moisture content in air alone differ by up to 1.7."""
SURE = 1.645
"""Standard deviations that 19 boards of 20 stay within on the one side."""


@dataclass(frozen=True)
class Year:
    """Moisture content of the wood [%]: today, in the driest time of the year, in the dampest."""

    now: float
    driest: float
    dampest: float

    def __post_init__(self) -> None:
        for name, value in (("now", self.now), ("driest", self.driest), ("dampest", self.dampest)):
            within(f"Moisture content, {name}", value, 0, WETTEST, "%")
        if self.driest > self.dampest:
            raise BadInput(
                f"The driest time would be damper ({self.driest:.1f} %) than the dampest ({self.dampest:.1f} %).",
                "Change the two round.",
            )


@dataclass(frozen=True)
class Travel:
    """How far a size goes from today to the driest and to the dampest time [mm]: below zero it shrinks. `spread_` is one sd."""

    to_driest: float
    to_dampest: float
    spread_driest: float
    spread_dampest: float


@dataclass(frozen=True)
class Gap:
    """A gap through the year [mm]: now, at its widest in the driest time, at its narrowest in the dampest; each one sd either way.

    `narrowest_sure` and `widest_sure` are what 19 pieces of 20 keep to. Below zero the piece binds.
    """

    now: float
    widest: float
    narrowest: float
    widest_spread: float
    narrowest_spread: float
    widest_sure: float
    narrowest_sure: float


@dataclass(frozen=True)
class PanelFit:
    """A panel in its grooves [mm]: its width now, the depth of each of the two grooves, and how far it enters each of them through
    the year when it stays in the middle."""

    panel: float
    groove: float
    enters_now: float
    enters_driest: float
    enters_dampest: float
    spread_driest: float


def travel(
    size_mm: float,
    coefficient: float,
    year: Year,
    scatter: float = BOARD_SCATTER,
    moisture_spread: float = MOISTURE_SPREAD,
) -> Travel:
    """How far a size across the grain travels from today to the driest and the dampest time of the year.

    Formula: size_at(driest or dampest) - size; spread² = (scatter * travel)² + (size * C * moisture spread)²

    Parameters
    ----------
    size_mm : [mm] size across the grain now, 0 to 100 000
    coefficient : [1/%] of the wood and cut, 0 to 0.01
    year : [%] moisture content now, driest and dampest, each 0 to 25
    scatter : [1] of one board about its species, one standard deviation, 0 to 1
    moisture_spread : [%] of the difference of two moisture contents, one standard deviation, 0 to 10

    Returns
    -------
    [mm] both ways, below zero where it shrinks, with their spreads

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    As `size_at`. Wood that is finished on all sides follows late and not all the way: the travel is the most it would do.

    Source
    ------
    Own derivation; the scatter of boards from memory of the Wood Handbook, the moisture's is common practice.
    """
    within("Scatter", scatter, 0, 1)
    within("Spread of the moisture", moisture_spread, 0, 10, "%")
    drier = size_at(size_mm, coefficient, year.now, year.driest) - size_mm
    damper = size_at(size_mm, coefficient, year.now, year.dampest) - size_mm
    unsure = size_mm * coefficient * moisture_spread
    return Travel(drier, damper, math.hypot(scatter * drier, unsure), math.hypot(scatter * damper, unsure))


def gap_through_year(gap_mm: float, across: Travel) -> Gap:
    """What a gap that is there now does through the year.

    Formula: gap - travel; for sure: 1.645 spreads less in the dampest time, as many more in the driest

    Parameters
    ----------
    gap_mm : [mm] gap now, all of it together, 0 to 1000
    across : [mm] travel of the wood beside it, from `travel`

    Returns
    -------
    [mm] the gap now, in the driest and in the dampest time; below zero it binds

    Raises
    ------
    OutOfRange outside the range.

    Source
    ------
    own derivation
    """
    within("Gap", gap_mm, 0, 1000, "mm")
    widest, narrowest = gap_mm - across.to_driest, gap_mm - across.to_dampest
    return Gap(
        gap_mm,
        widest,
        narrowest,
        across.spread_driest,
        across.spread_dampest,
        widest + SURE * across.spread_driest,
        narrowest - SURE * across.spread_dampest,
    )


def seasonal_gap(across: Travel, clearance_mm: float = 0.5) -> Gap:
    """The gap to leave now so that even in the dampest time the clearance is left, in 19 pieces of 20.

    Formula: gap = clearance + travel to the dampest + 1.645 spreads, never under the clearance

    Parameters
    ----------
    across : [mm] travel of the wood beside it, from `travel`
    clearance_mm : [mm] what must be left in the dampest time, 0 to 20

    Returns
    -------
    [mm] the gap to leave now, and what becomes of it

    Raises
    ------
    OutOfRange outside the range.

    Validity
    --------
    Half a millimetre of clearance is common practice, no source.

    Source
    ------
    own derivation
    """
    within("Clearance", clearance_mm, 0, 20, "mm")
    swells = across.to_dampest + SURE * across.spread_dampest
    return gap_through_year(max(clearance_mm, clearance_mm + swells), across)


def panel_in_grooves(
    sight_mm: float,
    coefficient: float,
    year: Year,
    hold_mm: float = 6.0,
    clearance_mm: float = 0.5,
    scatter: float = BOARD_SCATTER,
    moisture_spread: float = MOISTURE_SPREAD,
) -> PanelFit:
    """How wide to cut a loose panel now, and how deep its two grooves must be, so that it neither drops out nor pushes the frame.

    Formula: panel = (sight + 2 hold) / (1 - share it may shrink); groove = entry now + half of what it may swell + clearance;
    "may" is the travel with 1.645 spreads

    Parameters
    ----------
    sight_mm : [mm] width of the opening between the lips of the grooves, 10 to 5000
    coefficient : [1/%] of the panel's wood and cut, 0 to 0.01
    year : [%] moisture content now, driest and dampest, each 0 to 25
    hold_mm : [mm] how far it must still enter each groove in the driest time, 0 to 50
    clearance_mm : [mm] left at the bottom of each groove in the dampest time, 0 to 20
    scatter : [1] of one board about its species, 0 to 1
    moisture_spread : [%] of the difference of two moisture contents, 0 to 10

    Returns
    -------
    [mm] panel and groove, and how far the panel enters through the year

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    The panel stays in the middle: it is pinned or glued at the middle of its ends only, and free in its grooves. The frame's own
    stiles lie outside of the sight and are left out; they move it apart by less than the panel.

    Source
    ------
    own derivation
    """
    within("Sight width", sight_mm, 10, 5000, "mm")
    within("Hold", hold_mm, 0, 50, "mm")
    within("Clearance", clearance_mm, 0, 20, "mm")
    one = travel(1.0, coefficient, year, scatter, moisture_spread)
    shrinks = max(0.0, -one.to_driest + SURE * one.spread_driest)
    swells = max(0.0, one.to_dampest + SURE * one.spread_dampest)
    panel = (sight_mm + 2 * hold_mm) / (1 - shrinks)
    enters = (panel - sight_mm) / 2
    return PanelFit(
        panel,
        enters + panel * swells / 2 + clearance_mm,
        enters,
        enters + panel * one.to_driest / 2,
        enters + panel * one.to_dampest / 2,
        panel * one.spread_driest / 2,
    )
