"""How wood moves, as it is asked about at the bench: a board from one air to another, gaps through the year, panels in grooves."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tallboy.errors import BadInput
from tallboy.sums.wood import equilibrium_moisture
from tallboy.sums.wood_gaps import (
    BOARD_SCATTER,
    MOISTURE_SPREAD,
    Gap,
    Travel,
    Year,
    gap_through_year,
    panel_in_grooves,
    seasonal_gap,
    travel,
)
from tallboy.sums.wood_movement import (
    COEFFICIENT_FROM,
    COEFFICIENT_TO,
    RING_ANGLES,
    dimension_change,
    dimension_change_wide,
    shrinkage_to,
    size_at,
)
from tallboy.tables import woods
from tallboy.tables.rows import Row
from tallboy.workings.kinds import Answer, Asked, Curve, Given, Got, Mark, Plot, Working
from tallboy.workings.telling import said

CUTS = (
    ("flat", "Flat-sawn, rings along the width"),
    ("rift", "Between the two"),
    ("quarter", "Quarter-sawn, rings across"),
)
CRUSHED = 0.005
"""[1] share by which wood can be squeezed across the grain and still spring back; 0.5 to 1 % by the source."""

_WOOD = Asked("wood", "Wood", kind="row", table="woods")
_CUT = Asked(
    "cut", "Cut", kind="choice", default="flat", choices=CUTS, help="Look at the end grain. When in doubt, flat."
)
_NOW = (
    Asked("moisture_now", "Moisture content now", "%", 0, 25, needed=False, help="By the meter; else from the air it stood in."),
    Asked("celsius_now", "Air it stood in, temperature", "°C", 0, 60, default=20.0),
    Asked("humidity_now", "Air it stood in, humidity", "%", 1, 95, default=55.0),
)  # fmt: skip
_YEAR = (
    Asked("celsius_dry", "Driest month, temperature", "°C", 0, 45, default=20.0),
    Asked("humidity_dry", "Driest month, humidity", "%", 5, 90, default=35.0, help="Its mean, in the room the piece will stand in."),
    Asked("celsius_damp", "Dampest month, temperature", "°C", 0, 45, default=22.0),
    Asked("humidity_damp", "Dampest month, humidity", "%", 5, 90, default=65.0),
)  # fmt: skip
_SPREADS = (
    Asked("scatter", "One board differs from its species by", "%", 0, 60, default=100 * BOARD_SCATTER),
    Asked("moisture_spread", "A difference of moisture is good to", "%", 0, 5, default=MOISTURE_SPREAD),
)
_LIMITS = (
    "The year's means count, not single days; under a finish wood follows late and not all the way.",
    "The scatter of boards and of moisture is from memory and common practice: leave more where it matters.",
)


@dataclass(frozen=True)
class Moves:
    """What the wood of a question does: its row, its coefficient [1/%] across the width, and how that came about in a line."""

    row: Row
    coefficient: float
    line: str

    @property
    def sources(self) -> tuple[str, ...]:
        part = "shrinkage_source" if woods.from_shrinkage(self.row) else "coefficients_source"
        own = str(self.row.get(part, self.row.get("source", "memory")))
        return tuple(dict.fromkeys((own, "wood-handbook-2010", "memory")))


def _moves(given: Given) -> Moves:
    row, cut = given.row("wood"), given.choice("cut")
    radial, tangential = woods.coefficients(row)
    angle = RING_ANGLES[cut]
    found = woods.coefficient(row, angle)
    how = " (C = S / (3000 - 20 S) from its shrinkages)" if woods.from_shrinkage(row) else ""
    return Moves(
        row,
        found,
        f"{row['key']}{how}: C = {tangential:.5f} cos² {angle:g}° + {radial:.5f} sin² {angle:g}° = {found:.5f} a percent",
    )


def _moisture(given: Given, when: str) -> tuple[float, str]:
    """Moisture content now or then [%], measured or from the air; and how, in a line."""
    measured = given.maybe(f"moisture_{when}")
    if measured is not None:
        return measured, f"moisture {when} = {measured:g} %, measured"
    return _from_air(given, when)


def _from_air(given: Given, when: str) -> tuple[float, str]:
    t, h = given.number(f"celsius_{when}"), given.number(f"humidity_{when}")
    found = equilibrium_moisture(t, h)
    return found, f"moisture, {_WHEN[when]} = eq. 4-5 at {t:g} °C and {h:g} % = {found:.1f} %"


_WHEN = {"now": "now", "then": "then", "dry": "driest", "damp": "dampest"}


def _movement(given: Given) -> Answer:
    moves, size = _moves(given), given.number("size")
    now, now_line = _moisture(given, "now")
    then, then_line = _moisture(given, "then")
    change, line = _change(size, moves.coefficient, now, then)
    share, sure = given.number("scatter") / 100, given.number("moisture_spread")
    spread = math.hypot(share * change, size * moves.coefficient * sure)
    return Answer(
        results=(
            Got("change", "It moves by", change, "mm", change - spread, change + spread),
            Got("size", "Size then", size + change, "mm", size + change - spread, size + change + spread, digits=5),
            Got("percent", "Moisture moves by", then - now, "%"),
        ),
        working=(
            moves.line,
            now_line,
            then_line,
            line,
            f"spread = sqrt(({share:g} · change)² + (size · C · {sure:g} %)²) = {spread:.2f} mm",
        ),
        sources=moves.sources,
        says=_moved_words(given, change, spread),
        limits=_LIMITS,
        plots=(_size_plot(given, size, moves.coefficient, now, then),),
    )


def _change(size: float, coefficient: float, now: float, then: float) -> tuple[float, str]:
    """By the handbook's short form where it holds, else along the same straight line from the size at 10 %."""
    if min(now, then) >= COEFFICIENT_FROM and max(now, then) <= COEFFICIENT_TO:
        change = dimension_change(size, coefficient, now, then)
        return (
            change,
            f"eq. 13-2: size · C · (then - now) = {size:g} · {coefficient:.5f} · {then - now:.1f} = {change:.2f} mm",
        )
    change = size_at(size, coefficient, now, then) - size
    return change, (
        f"outside 6 to 14 %: size · (1 + C (then - 10)) / (1 + C (now - 10)) - size, the straight line carried on = {change:.2f} mm"
    )


def _moved_words(given: Given, change: float, spread: float) -> str:
    if abs(change) < 0.05:
        return "It stays as it is."
    word = "swells" if change > 0 else "shrinks"
    about, sure = said(given, abs(change), "mm"), said(given, spread, "mm")
    return f"It {word} by about {about} across the grain, give or take {sure}; along the grain next to nothing."


def _size_plot(given: Given, size: float, coefficient: float, now: float, then: float) -> Plot:
    moisture = np.linspace(min(4.0, now, then), max(16.0, now, then), 40)
    change = tuple(size_at(size, coefficient, now, float(m)) - size for m in moisture)
    moved = size_at(size, coefficient, now, then) - size
    return Plot(
        "Change of size over moisture", "moisture content", "%", "change of size", "mm",
        (Curve("", tuple(moisture.tolist()), change),),
        (Mark(now, 0.0, "now"), Mark(then, moved, "then")),
        f"A straight line: from {now:.1f} to {then:.1f} % it moves by {said(given, moved, 'mm')}.",
    )  # fmt: skip


def _shrinkage(given: Given) -> Answer:
    row, size, cut = given.row("wood"), given.number("size"), given.choice("direction")
    name = f"{cut}_shrinkage"
    if name not in row:
        raise BadInput(f"There is no {cut} shrinkage for {row['key']}.", "Take a wood that has one, or add your own.")
    shrinkage, now, then = float(row[name]), given.number("moisture_now"), given.number("moisture_then")
    change = dimension_change_wide(size, shrinkage, now, then)
    spread = abs(change) * BOARD_SCATTER
    return Answer(
        results=(
            Got("change", "It moves by", change, "mm", change - spread, change + spread),
            Got("size", "Size then", size + change, "mm", digits=5),
            Got("from_green", "Shrunk from green by then", shrinkage_to(shrinkage, then), "%"),
        ),
        working=(
            f"S of {row['key']}, {cut} = {shrinkage:g} %",
            f"eq. 13-3: size · (then - now) / (3000 / S - 30 + now) = {size:g} · {then - now:g} / "
            f"({3000 / shrinkage:.1f} - 30 + {now:g}) = {change:.2f} mm",
            f"eq. 4-9: shrunk from green = S (1 - M / 30) = {shrinkage_to(shrinkage, then):.2f} %",
            f"spread = {BOARD_SCATTER:g} · change = {spread:.2f} mm",
        ),
        sources=tuple(
            dict.fromkeys((str(row.get("shrinkage_source", row.get("source", "memory"))), "wood-handbook-2021", "memory"))
        ),
        says=_moved_words(given, change, spread),
        limits=(
            "A straight line between oven-dry and 30 %. Mahogany and rosewood are saturated at 22 to 24 %, beech and birch at 32 to 34 %.",
            "Drying strains, checks and collapse are left out.",
        ),
    )  # fmt: skip


def _year(given: Given) -> tuple[Year, list[str]]:
    now, now_line = _moisture(given, "now")
    dry, dry_line = _from_air(given, "dry")
    damp, damp_line = _from_air(given, "damp")
    return Year(now, dry, damp), [now_line, dry_line, damp_line]


def _gap(given: Given) -> Answer:
    moves, size = _moves(given), given.number("size")
    year, lines = _year(given)
    across = travel(size, moves.coefficient, year, given.number("scatter") / 100, given.number("moisture_spread"))
    wanted = seasonal_gap(across, given.number("clearance"))
    there = given.maybe("gap_now")
    found = wanted if there is None else gap_through_year(there, across)
    return Answer(
        results=(
            Got("leave", "Gap to leave now", wanted.now, "mm", digits=2),
            *_gap_results(found),
            Got("swells", "To the dampest time it moves by", across.to_dampest, "mm", *_either(across.to_dampest, across.spread_dampest)),
            Got("shrinks", "To the driest time it moves by", across.to_driest, "mm", *_either(across.to_driest, across.spread_driest)),
        ),
        working=(moves.line, *lines, *_gap_lines(size, across, wanted, found, given.number("clearance"))),
        sources=moves.sources,
        says=" ".join(_gap_words(given, found, wanted, there is not None, year)),
        limits=(
            "Only wood that lies across the gap counts: the height of a drawer front, the two stiles of a framed door, the width of a flap.",
            *_LIMITS,
            f"Wood that binds is crushed: beyond {100 * CRUSHED:g} to 1 % of its width it does not come back, and the gap is wider ever after.",
        ),
        plots=(_year_plot(given, size, moves.coefficient, year, found),),
    )  # fmt: skip


def _either(value: float, spread: float) -> tuple[float, float]:
    return value - spread, value + spread


def _gap_results(found: Gap) -> tuple[Got, ...]:
    return (
        Got("narrowest", "Gap in the dampest time", found.narrowest, "mm", *_either(found.narrowest, found.narrowest_spread)),
        Got("widest", "Gap in the driest time", found.widest, "mm", *_either(found.widest, found.widest_spread)),
    )  # fmt: skip


def _gap_lines(size: float, across: Travel, wanted: Gap, found: Gap, clearance: float) -> list[str]:
    return [
        f"to the dampest = {size:g} mm moved along the line = {across.to_dampest:+.2f} mm, spread {across.spread_dampest:.2f}",
        f"to the driest = {across.to_driest:+.2f} mm, spread {across.spread_driest:.2f}",
        f"gap to leave = {clearance:g} + {across.to_dampest:.2f} + 1.645 · {across.spread_dampest:.2f} = {wanted.now:.2f} mm"
        " (19 pieces of 20), never under the clearance",
        f"in the dampest time = {found.now:.2f} - ({across.to_dampest:.2f}) = {found.narrowest:.2f} mm",
        f"in the driest time = {found.now:.2f} - ({across.to_driest:.2f}) = {found.widest:.2f} mm",
    ]


def _gap_words(given: Given, found: Gap, wanted: Gap, there: bool, year: Year) -> list[str]:
    leave, left = said(given, wanted.now, "mm"), said(given, abs(found.narrowest), "mm")
    if not there:
        words = [f"Leave {leave} now; it will be about {said(given, found.widest, 'mm')} in the driest time."]
    elif found.narrowest < 0:
        words = [f"It will bind in the dampest time: the gap is {left} short. Leave {leave}."]
    elif found.narrowest_sure < 0:
        words = [f"It should just clear in the dampest time, and may bind; {leave} would be sure."]
    else:
        words = [f"It will not bind: about {left} are left in the dampest time."]
    most = given.maybe("widest")
    if most is not None and found.widest > most:
        words.append(
            f"In the driest time it gapes more than {said(given, most, 'mm', None)}: a narrower board, quarter-sawn wood or steadier air would help."
        )
    return [*words, *_unsettled_words(year)]


def _unsettled_words(year: Year) -> list[str]:
    """A word on wood that is damper or drier now than it will ever be where it goes."""
    if year.now > year.dampest + MOISTURE_SPREAD:
        return ["It is damper now than it will ever be there: let it dry in that room before you fit it."]
    if year.now < year.driest - MOISTURE_SPREAD:
        return ["It is drier now than it will ever be there: let it take up water in that room before you fit it."]
    return []


def _year_plot(given: Given, size: float, coefficient: float, year: Year, found: Gap) -> Plot:
    months = np.linspace(0, 12, 49)
    middle, swing = (year.driest + year.dampest) / 2, (year.dampest - year.driest) / 2
    moisture = middle - swing * np.cos(months / 12 * 2 * np.pi)
    gap = tuple(found.now + size - size_at(size, coefficient, year.now, float(m)) for m in moisture)
    damp = (1 - np.cos(months / 12 * 2 * np.pi)) / 2
    spread = found.widest_spread + (found.narrowest_spread - found.widest_spread) * damp
    return Plot(
        "The gap through the year", "months from the driest", "", "gap", "mm",
        (
            Curve("gap, with one spread", tuple(months.tolist()), gap, low=tuple((gap - spread).tolist()), high=tuple((gap + spread).tolist())),
            Curve("nothing left", (0.0, 12.0), (0.0, 0.0), dashed=True),
        ),
        (Mark(0.0, gap[0], "driest"), Mark(6.0, gap[24], "dampest")),
        f"Widest in the driest time, {said(given, found.widest, 'mm')}, narrowest half a year later, {said(given, found.narrowest, 'mm')}; between them as an even swing.",
    )  # fmt: skip


def _panel(given: Given) -> Answer:
    moves, sight = _moves(given), given.number("sight")
    year, lines = _year(given)
    hold, clearance = given.number("hold"), given.number("clearance")
    fit = panel_in_grooves(
        sight, moves.coefficient, year, hold, clearance, given.number("scatter") / 100, given.number("moisture_spread")
    )
    return Answer(
        results=(
            Got("panel", "Cut the panel now to", fit.panel, "mm", digits=5),
            Got("groove", "Each groove deep, at least", fit.groove, "mm"),
            Got("enters_now", "It enters each groove now by", fit.enters_now, "mm"),
            Got("enters_driest", "In the driest time by", fit.enters_driest, "mm", *_either(fit.enters_driest, fit.spread_driest)),
            Got("enters_dampest", "In the dampest time by", fit.enters_dampest, "mm"),
        ),
        working=(
            moves.line,
            *lines,
            f"panel = (sight + 2 · hold) / (1 - share it may shrink) = ({sight:g} + 2 · {hold:g}) / "
            f"{(sight + 2 * hold) / fit.panel:.4f} = {fit.panel:.1f} mm",
            f"enters now = ({fit.panel:.1f} - {sight:g}) / 2 = {fit.enters_now:.1f} mm",
            f"groove = {fit.enters_now:.1f} + half of what it may swell + {clearance:g} = {fit.groove:.1f} mm",
            "what it may do = the travel and 1.645 spreads (19 panels of 20)",
        ),
        sources=moves.sources,
        says=f"Cut the panel {said(given, fit.panel, 'mm', 0)} wide and the grooves {said(given, math.ceil(fit.groove * 2) / 2, 'mm')} deep. "
        "Fix it at the middle of its ends only; no glue in the grooves, and finish its edges before it goes in.",
        limits=("The panel stays in the middle. The frame's stiles are left out.", *_LIMITS),
    )  # fmt: skip


_THEN = (
    Asked("moisture_then", "Moisture content then", "%", 0, 25, needed=False),
    Asked("celsius_then", "Air it comes to, temperature", "°C", 0, 60, default=21.0),
    Asked("humidity_then", "Air it comes to, humidity", "%", 1, 95, default=35.0),
)
_DIRECTION = Asked(
    "direction", "Direction", kind="choice", default="tangential",
    choices=(("tangential", "Along the rings (flat-sawn)"), ("radial", "Across the rings (quarter-sawn)")),
)  # fmt: skip
_CLEARANCE = Asked("clearance", "To be left in the dampest time", "mm", 0, 20, default=0.5)

SUMS = (
    Working(
        "wood-movement", "wood", "Movement of a board", "How much does this board move from one air to another?",
        (_WOOD, _CUT, Asked("size", "Size across the grain", "mm", 1, 5000), *_NOW, *_THEN, *_SPREADS),
        _movement, {"wood": "black cherry", "cut": "flat", "size": "450 mm", "celsius_now": "21 °C", "humidity_now": "30 %", "celsius_then": "21 °C", "humidity_then": "65 %"},
    ),
    Working(
        "wood-shrinkage", "wood", "Shrinkage over a wide range", "How much does this wood shrink as it dries from green?",
        (
            _WOOD, _DIRECTION, Asked("size", "Size across the grain", "mm", 1, 5000),
            Asked("moisture_now", "Moisture content now", "%", 0, 30, default=30.0), Asked("moisture_then", "Moisture content then", "%", 0, 30, default=8.0),
        ),
        _shrinkage, {"wood": "northern red oak", "direction": "tangential", "size": "200 mm", "moisture_now": "30 %", "moisture_then": "8 %"},
    ),
    Working(
        "seasonal-gap", "wood", "Gap through the year", "What gap must be left now so that it neither binds nor gapes?",
        (
            _WOOD, _CUT, Asked("size", "Wood across the gap", "mm", 1, 3000), *_NOW, *_YEAR,
            _CLEARANCE,
            Asked("gap_now", "Gap that is there now", "mm", 0, 100, needed=False),
            Asked("widest", "Widest gap that will do", "mm", 0, 100, needed=False),
            *_SPREADS,
        ),
        _gap, {"wood": "Scots pine", "cut": "flat", "size": "180 mm", "humidity_now": "55 %", "gap_now": "1 mm", "widest": "3 mm"},
    ),
    Working(
        "panel-groove", "wood", "A panel in its grooves", "How wide is the panel cut, and how deep must its grooves be?",
        (
            _WOOD, _CUT, Asked("sight", "Opening between the grooves", "mm", 10, 3000), *_NOW, *_YEAR,
            Asked("hold", "It must still enter in the driest time", "mm", 0, 50, default=6.0), _CLEARANCE, *_SPREADS,
        ),
        _panel, {"wood": "European oak", "cut": "quarter", "sight": "320 mm"},
    ),
)  # fmt: skip
