"""Circles and wheels as they are asked about at the bench: the circle through points, how round, how it rolls."""

from __future__ import annotations

import numpy as np

from tallboy.errors import BadInput
from tallboy.sums import circle, outlines, rolling, roundness, two_point, wheel
from tallboy.sums.ranges import Array
from tallboy.sums.units import METRIC
from tallboy.workings.kinds import Answer, Asked, Curve, Given, Got, Grid, Plot, Working
from tallboy.workings.telling import amount, bare, said

SHOWN, ROLLED = 360, 720
"""Points that an outline is drawn with, and that it is rolled on; as many as radii where those are more."""
EXAGGERATED = 0.12
"""Of the radius: how far the largest deviation is drawn from the mean circle."""
VERDICTS = {"keep": "Keep it", "true up": "True it up", "replace": "Replace it"}
ROUND_NAMES = {1: "off centre", 2: "oval", 3: "three lobes", 4: "four lobes", 5: "five lobes"}

_SIGMA = Asked(
    "scatter", "Scatter of a reading", "mm", 0, 10, default=0.05,
    help="How much repeated readings differ: one standard deviation. Callipers on metal about 0.03 mm, on wood 0.1 mm.",
)  # fmt: skip
_RADII = Asked(
    "radii", "Radii from the axle, at equal angles", "mm", 0.5, 2000, kind="numbers",
    help="Once round, anticlockwise, with semicolons between; eight or more. Turn the wheel on its own axle against a pointer.",
)  # fmt: skip
_NOISE = "Readings that scatter make any wheel look less round; the range given allows for that."


def _circle_fit(given: Given) -> Answer:
    points = [(pair[0], pair[1]) for pair in given.pairs("points")]
    fitted = circle.least_squares(points)
    about = roundness.roundness(points)
    sigma = given.maybe("scatter")
    spread = circle.fit_spread(points, sigma) if sigma is not None or len(points) > 3 else None
    x, y, r = (0.0, 0.0, 0.0) if spread is None else (spread.x_mm, spread.y_mm, spread.radius_mm)
    away = circle.residuals(points, fitted)
    return Answer(
        results=(
            Got("x", "Centre from the left", fitted.x_mm, "mm", fitted.x_mm - x, fitted.x_mm + x, 5),
            Got("y", "Centre from below", fitted.y_mm, "mm", fitted.y_mm - y, fitted.y_mm + y, 5),
            Got("radius", "Radius", fitted.radius_mm, "mm", max(0.0, fitted.radius_mm - r), fitted.radius_mm + r, 5),
            Got("diameter", "Diameter", 2 * fitted.radius_mm, "mm", max(0.0, 2 * fitted.radius_mm - 2 * r), 2 * fitted.radius_mm + 2 * r, 5),
            Got("roundness", "Out of round, peak to valley", about.total_mm, "mm"),
            Got("zone", "Out of round, minimum zone", about.zone.width_mm, "mm"),
            Got("gap", "Widest angle without a point", about.gap_degrees, "°"),
        ),
        working=(
            f"least squares over {len(points)} points: sum of (distance from the centre - R)² at its least",
            f"x = {fitted.x_mm:.4f} mm, y = {fitted.y_mm:.4f} mm, R = {fitted.radius_mm:.4f} mm",
            "distances from the circle = " + ", ".join(f"{miss:+.3f}" for miss in away[:12]) + (" …" if len(away) > 12 else "") + " mm",
            f"largest - smallest = {about.total_mm:.4f} mm",
            _spread_line(spread, sigma),
        ),
        sources=("iso-12181-1", "gander-1994", "gum-2008"),
        says=_circle_says(given, 2 * fitted.radius_mm, 2 * r if spread else None),
        limits=_arc_limits(about.gap_degrees),
        plots=(_outline_plot(given, np.asarray(points), fitted.centre, fitted.radius_mm, "The points about the circle", joined=False),),
    )  # fmt: skip


def _circle_says(given: Given, diameter: float, sure: float | None) -> str:
    first = f"The circle has a diameter of {amount(diameter, 'mm', 4, given.system)}"
    if sure is None:
        return f"{first}; how sure that is cannot be told from three points."
    return f"{first}, give or take {said(given, sure, 'mm', 2)}."


def _spread_line(spread: circle.CircleSpread | None, sigma: float | None) -> str:
    if spread is None:
        return "three points always lie on a circle: no spread without the scatter of a reading"
    whose = "as given" if sigma is not None else "from the points themselves, root of (sum of squares / (n - 3))"
    return f"scatter of a point = {spread.point_sigma_mm:.4f} mm, {whose}; U = 2 · scatter · root of the diagonal of (JᵀJ)⁻¹ = {spread.radius_mm:.4f} mm for R"


def _arc_limits(gap: float) -> tuple[str, ...]:
    """What an arc cannot tell."""
    if gap < 180:
        return ("It tells of the places that were measured; between them the edge may do anything.",)
    return (
        f"The points cover {360 - gap:.0f}° only: over 90° a radius is ten times less sure than over the whole circle, over 30° a hundred times.",
    )


def _wheel_roundness(given: Given) -> Answer:
    if not given.has("diameters") and not given.has("radii"):
        raise BadInput("There is nothing to judge by.", "Give diameters by callipers, or better: radii from the axle.")
    if given.has("radii"):
        return _by_radii(given)
    return _by_diameters(given)


def _by_diameters(given: Given) -> Answer:
    widths, sigma = given.numbers("diameters"), given.number("scatter")
    found = two_point.two_point(widths, sigma)
    hidden = found.mean_mm * (2 / np.sqrt(3) - 1)
    return Answer(
        results=(
            Got("mean", "Mean diameter", found.mean_mm, "mm", found.mean_mm - found.mean_spread_mm, found.mean_mm + found.mean_spread_mm, 4),
            Got("range", "Largest less smallest diameter", found.range_mm, "mm"),
            Got("roundness", "Out of round, as far as callipers see", found.roundness_mm, "mm", found.low_mm, found.high_mm),
            Got("floor", "What scatter alone would read", found.floor_mm, "mm"),
            Got("hidden", "What could hide: a three-cornered wheel of this diameter", float(hidden), "mm"),
        ),
        working=(
            f"mean of {len(widths)} diameters = {found.mean_mm:.3f} ± 2 · {sigma:g} / root {len(widths)} = {found.mean_spread_mm:.3f} mm",
            f"(largest - smallest) / 2 = ({max(widths):g} - {min(widths):g}) / 2 = {found.roundness_mm:.3f} mm",
            f"scatter alone: d2({len(widths)}) · {sigma:g} / 2 = {roundness.expected_range(len(widths)):.3f} · {sigma:g} / 2 = {found.floor_mm:.3f} mm",
            f"constant width, three corners: D (2 / root 3 - 1) = {found.mean_mm:.2f} · 0.1547 = {hidden:.2f} mm",
        ),
        sources=("iso-12181-1", "range-constants", "gum-2008", "definition"),
        says=f"By callipers it is {_range(given, found.roundness_mm, found.low_mm, found.high_mm)} out of round{_oval(found.low_mm)}. "
        "Three or five lobes callipers cannot see.",
        limits=(
            "Callipers see lobes in even number only. A wheel of three, five or seven lobes can have the same diameter everywhere and bump all the same.",
            "Measure radii from the axle instead: they see every lobe, and the axle off its centre too.",
            *(("Two or three diameters can miss an oval; six are better.",) if len(widths) < 4 else ()),
        ),
    )  # fmt: skip


def _oval(low: float) -> str:
    return ": an oval lifts its axle so much, twice a turn" if low > 0 else ""


def _range(given: Given, value: float, low: float, high: float) -> str:
    """A small length with its spread: "1.80 mm (1.73 to 1.87)"."""
    low_words = bare(low, "mm", 3, given.system) if given.system != METRIC else f"{low:.2f}"
    high_words = bare(high, "mm", 3, given.system) if given.system != METRIC else f"{high:.2f}"
    return f"{said(given, value, 'mm', 2)} ({low_words} to {high_words})"


def _by_radii(given: Given) -> Answer:
    radii, sigma = _read_radii(given), given.number("scatter")
    points = _at_angles(radii)
    about = roundness.roundness(points)
    spread = roundness.roundness_spread(about.zone.width_mm, sigma, max(6, len(radii)))
    waves = min(5, (len(radii) - 2) // 2)
    heights = roundness.amplitudes(points, waves)
    off = float(np.hypot(about.fitted.x_mm, about.fitted.y_mm))
    rows = tuple((ROUND_NAMES[k], f"{2 * heights[k]:.3f} mm") for k in range(2, waves + 1))
    return Answer(
        results=(
            Got("zone", "Out of round, minimum zone", about.zone.width_mm, "mm", spread.low_mm, spread.high_mm),
            Got("total", "Out of round, about the least-squares circle", about.total_mm, "mm"),
            Got("circumscribed", "About the circle around", about.circumscribed_mm or 0.0, "mm"),
            Got("inscribed", "About the circle inside", about.inscribed_mm or 0.0, "mm"),
            Got("floor", "What scatter alone would read", spread.floor_mm, "mm"),
            Got("diameter", "Mean diameter", 2 * about.fitted.radius_mm, "mm", digits=4),
            Got("off", "Axle off centre", off, "mm"),
        ),
        working=(
            f"least-squares circle: R = {about.fitted.radius_mm:.3f} mm, its centre {off:.3f} mm from the axle",
            f"largest - smallest distance from that centre = {about.peak_mm:.3f} + {about.valley_mm:.3f} = {about.total_mm:.3f} mm",
            f"minimum zone: {about.zone.outer_mm:.3f} - {about.zone.inner_mm:.3f} = {about.zone.width_mm:.3f} mm, about the centre that makes it least",
            f"scatter alone: {sigma:g} · root(1 - 3 / n) · d2(n), n = {len(radii)} = {spread.floor_mm:.3f} mm",
        ),
        sources=("iso-12181-1", "range-constants", "gum-2008"),
        says=f"It is {_range(given, about.zone.width_mm, spread.low_mm, spread.high_mm)} out of round, and the axle is {said(given, off, 'mm', 2)} off centre.",
        limits=(_NOISE, "Only as many lobes are seen as half the number of radii. How it rolls depends on the axle too: ask wheel-rolling."),
        table=Grid(("Shape", "Peak to valley"), rows, "Lobes, as far as so many radii tell them apart"),
        plots=(_outline_plot(given, outlines.from_radii(radii, max(SHOWN, len(radii))), np.zeros(2), float(np.mean(radii)), "Outline about the axle"),),
    )  # fmt: skip


def _wheel_rolling(given: Given) -> Answer:
    radii, sigma = _read_radii(given), given.number("scatter")
    pace, bump = given.number("pace"), given.number("bump")
    points = outlines.from_radii(radii, max(ROLLED, len(radii)))
    rolled, moved = rolling.rolling(points, bump_mm=bump), rolling.motion(points, speed_m_s=pace)
    spread = 2 * np.sqrt(2) * sigma
    mean = float(np.mean(radii))
    verdict = wheel.judge(
        mean, rolled.lift_mm, rolled.run_out_mm, float(spread), moved.knock_mm_s, given.number("play"), given.flag("cracked")
    )  # fmt: skip
    return Answer(
        results=(
            Got("verdict", "Verdict", verdict.word),
            Got("lift", "Axle rises and falls by", rolled.lift_mm, "mm", max(0.0, rolled.lift_mm - spread), rolled.lift_mm + spread),
            Got("bumps", "Bumps in a turn", rolled.bumps),
            Got("bumps_per_metre", "Bumps in a metre", rolled.bumps_per_metre, "1/m"),
            Got("travel", "Way in a turn", rolled.travel_mm, "mm", digits=4),
            Got("off", "Axle off centre", rolled.eccentricity_mm, "mm"),
            Got("run_out", "Largest less smallest radius", rolled.run_out_mm, "mm"),
            Got("speed", "Axle moves up or down at most", moved.speed_mm_s, "mm/s"),
            Got("acceleration", "Shaken by at most", moved.acceleration_m_s2, "m/s²"),
            Got("turned", "Radius left by truing", verdict.turned_radius_mm, "mm", digits=4),
        ),
        working=(
            f"outline: smooth wave through {len(radii)} radii, mean {mean:.3f} mm",
            "height of the axle h(t) = farthest reach of the outline downwards (support function of its hull)",
            f"lift = {rolled.highest_mm:.3f} - {rolled.lowest_mm:.3f} = {rolled.lift_mm:.3f} mm, spread 2 root 2 · {sigma:g} = {spread:.3f} mm",
            f"way in a turn = girth of the hull = {rolled.travel_mm:.2f} mm; at {pace:g} m/s that is {moved.turns_per_s:.2f} turns a second",
            f"speed = w |h'| = {moved.speed_mm_s:.1f} mm/s, acceleration = w² |h''| = {moved.acceleration_m_s2:.2f} m/s² (free fall is 9.81)",
            *(f"verdict: {reason}" for reason in verdict.reasons),
        ),
        sources=("walking-pace-2021", "statics", "iso-12181-1", "common-practice"),
        cautions=("machines",) if verdict.word == wheel.TRUE_UP else (),
        says=f"{VERDICTS.get(verdict.word, verdict.word.capitalize())}: the axle rises and falls {said(given, rolled.lift_mm, 'mm', 2)}, {_times(rolled.bumps)}.",
        limits=(
            "A hard wheel on a hard level floor; carpet, a soft tread and a slack axle swallow some of it. A flat shorter than two readings is missed.",
            "The limits of the verdict are our own choice: 1 % of the radius in lift, 8 % to turn off. Age and rarity weigh more. True a whole set alike, or the piece rocks.",
            _NOISE,
        ),
        plots=(_height_plot(given, points), _outline_plot(given, points, np.zeros(2), mean, "Outline about the axle")),
    )  # fmt: skip


def _times(number: int) -> str:
    return {0: "without a bump", 1: "once a turn", 2: "twice a turn"}.get(number, f"{number} times a turn")


def _read_radii(given: Given) -> Array:
    radii = given.numbers("radii")
    if len(radii) < 6:
        raise BadInput(f"There are {len(radii)} radii.", "Give six or more, at equal angles once round.")
    return np.asarray(radii)


def _at_angles(radii: Array) -> Array:
    turn = np.arange(len(radii)) * 2 * np.pi / len(radii)
    return np.column_stack([radii * np.cos(turn), radii * np.sin(turn)])


def _height_plot(given: Given, points: Array) -> Plot:
    heights = rolling.axle_heights(points, steps=SHOWN)
    degrees = tuple(float(step) for step in range(SHOWN + 1))
    closed = (*heights.tolist(), float(heights[0]))
    return Plot(
        "Height of the axle through a turn", "turned by", "°", "axle over the floor", "mm",
        (Curve("", degrees, closed),), (),
        f"The axle rides between {said(given, min(closed), 'mm', 2)} and {said(given, max(closed), 'mm', 2)} over the floor.",
    )  # fmt: skip


def _outline_plot(given: Given, points: Array, centre: Array, radius: float, title: str, joined: bool = True) -> Plot:
    """The outline with its deviations from a circle enlarged, and the circle itself dashed."""
    offsets = points - centre
    away = np.hypot(*offsets.T) - radius
    turn = np.arctan2(offsets[:, 1], offsets[:, 0])
    largest = float(np.max(np.abs(away)))
    times = max(1.0, EXAGGERATED * radius / largest) if largest > 1e-9 * radius else 1.0
    order = np.arange(len(turn)) if joined else np.argsort(turn)
    drawn = (radius + times * away)[order]
    x, y = (drawn * np.cos(turn[order])).tolist(), (drawn * np.sin(turn[order])).tolist()
    round_one = np.radians(np.arange(0, 361, 2))
    return Plot(
        title, "from the centre", "mm", "from the centre", "mm",
        (
            Curve(f"outline, deviations × {times:.0f}", (*x, x[0]), (*y, y[0])),
            Curve("circle", tuple((radius * np.cos(round_one)).tolist()), tuple((radius * np.sin(round_one)).tolist()), dashed=True),
        ),
        (), f"Deviations from a circle of {said(given, radius, 'mm', 2)}, enlarged {times:.0f} times; the largest is {said(given, largest, 'mm', 2)}.", square=True,
    )  # fmt: skip


SUMS = (
    Working(
        "circle-fit", "wheel", "Circle through measured points", "Which circle fits these points best, and how sure is it?",
        (
            Asked("points", "Points", kind="pairs", units=("mm", "mm"), help="Each from the left and from below, as 12.1 = 30.4, with semicolons between. Three or more, well round."),
            Asked("scatter", "Scatter of a reading", "mm", 0, 10, needed=False, help="One standard deviation; left out, it is taken from the points themselves."),
        ),
        _circle_fit, {"points": "52.1 = 30; 45.5 = 45.6; 30.1 = 52; 14.4 = 45.7; 8 = 30.1; 14.4 = 14.3; 29.9 = 8.1; 45.6 = 14.5"},
    ),
    Working(
        "wheel-roundness", "wheel", "How round a wheel is", "How far out of round is this wheel?",
        (
            Asked("diameters", "Diameters by callipers", "mm", 1, 4000, kind="numbers", needed=False, help="At equal angles over half a turn, with semicolons between; six are good."),
            Asked("radii", _RADII.label, "mm", _RADII.low, _RADII.high, kind="numbers", needed=False, help="Instead of diameters, and better: " + _RADII.help),
            _SIGMA,
        ),
        _wheel_roundness, {"diameters": "50.4; 50.1; 49.7; 49.6; 49.9; 50.3", "scatter": "0.05 mm"},
    ),
    Working(
        "wheel-rolling", "wheel", "How a wheel rolls", "How much does the axle rise and fall, and is the wheel kept, trued up or replaced?",
        (
            _RADII, _SIGMA,
            Asked("pace", "Pace", "m/s", 0.01, 5, default=1.3, help="A usual walk is 1.3 m/s."),
            Asked("bump", "Rise that counts as a bump", "mm", 0.001, 100, default=0.05),
            Asked("play", "Slack of the bore on the axle", "mm", 0, 100, default=0.0),
            Asked("cracked", "Cracked or loose", kind="flag"),
        ),
        _wheel_rolling, {"radii": "25.1; 25.0; 24.8; 24.6; 24.5; 24.6; 24.9; 25.0; 25.2; 25.1; 25.2; 25.1", "scatter": "0.05 mm"},
    ),
)  # fmt: skip
