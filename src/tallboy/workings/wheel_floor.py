"""Wheels on the floor as they are asked about at the bench: flats, steps, the pull, the load on each and the dent it leaves."""

from __future__ import annotations

import numpy as np

from tallboy.errors import BadInput
from tallboy.sums import rolling, standing, wheel, wheel_contact, wheel_steps
from tallboy.sums.doors import STANDARD_GRAVITY
from tallboy.tables.rows import Row
from tallboy.workings.kinds import Answer, Asked, Curve, Given, Got, Mark, Plot, Working
from tallboy.workings.telling import about, hung, said

HEAVY_KG = 25.0
LEVER_SPREAD = 0.5
"""Of the lever arm: pages differ by so much, from reading them."""
_RADIUS = Asked("radius", "Radius of the wheel", "mm", 1, 2000)
_HARD = "A hard wheel on a hard floor; no run-up, no give."


def _flat_spot(given: Given) -> Answer:
    radius, chord = given.number("radius"), _chord(given)
    depth = wheel_steps.flat_depth(radius, chord)
    sure = given.number("spread")
    low = wheel_steps.flat_depth(radius, max(0.0, chord - sure))
    high = wheel_steps.flat_depth(radius, min(2 * radius, chord + sure))
    knock = 1000 * given.number("pace") / radius * chord
    return Answer(
        results=(
            Got("depth", "Depth of the flat, the drop of the axle", depth, "mm", low, high),
            Got("chord", "Length of the flat", chord, "mm"),
            Got("knock", "Knock as it lands, sudden change of speed", knock, "mm/s"),
            Got("turned", "Radius left when it is turned out", radius - depth, "mm", radius - high, radius - low, 4),
            Got("off", "Of the radius, to turn off", 100 * depth / radius, "%"),
        ),
        working=(
            f"depth = R - root(R² - c² / 4) = {radius:g} - root({radius:g}² - {chord:.4g}² / 4) = {depth:.3f} mm",
            f"near enough at the bench: c² / (8 R) = {chord**2 / (8 * radius):.3f} mm",
            f"knock = v c / R = {1000 * given.number('pace'):g} · {chord:.4g} / {radius:g} = {knock:.0f} mm/s",
            f"spread of the depth = a flat longer or shorter by {sure:g} mm",
        ),
        sources=("statics", "walking-pace-2021", "common-practice"),
        says=f"The axle drops {said(given, depth, 'mm', 2)} once a turn; {_flat_words(depth, radius, knock)}",
        limits=(
            "The ends of an old flat are worn round: measure where the straight-edge leaves the tread.",
            "From standing long under load, soft wheels grow flats again; lift the weight off them.",
        ),
        plots=(_depth_plot(given, radius, chord, depth),),
    )


def _chord(given: Given) -> float:
    if given.has("chord"):
        return given.number("chord")
    if given.has("depth"):
        return wheel_steps.flat_chord(given.number("radius"), given.number("depth"))
    raise BadInput("There is neither length nor depth of the flat.", "Give one of them.")


def _flat_words(depth: float, radius: float, knock: float) -> str:
    limits = wheel.Limits()
    if depth <= rolling.BUMP_MM:
        return "it will hardly be felt."
    if depth <= limits.turning_share * radius and knock <= limits.knock_mm_s:
        return "it is felt on a hard floor: keep it or turn it out."
    if depth <= limits.turning_share * radius:
        return "it knocks: turn the whole set alike, or build the flat up."
    return "it is too deep to turn out: build it up or replace the wheel."


def _depth_plot(given: Given, radius: float, chord: float, depth: float) -> Plot:
    chords = np.linspace(0, min(2 * radius, max(2 * chord, 0.2 * radius)), 80).tolist()
    depths = [wheel_steps.flat_depth(radius, one) for one in chords]
    return Plot(
        "Depth over length of the flat", "length of the flat", "mm", "depth", "mm",
        (Curve("", tuple(chords), tuple(depths)),), (Mark(chord, depth, said(given, depth, "mm", 2)),),
        f"Twice as long is four times as deep; at {said(given, chord, 'mm', None)} it is {said(given, depth, 'mm', 2)}.",
    )  # fmt: skip


def _step(given: Given) -> Answer:
    radius, height, load = given.number("radius"), given.number("step"), given.number("load")
    level, least = wheel_steps.step_pull(radius, height), wheel_steps.least_step_pull(radius, height)
    weight = load * STANDARD_GRAVITY
    share = given.number("pull") / 100
    most = wheel_steps.largest_step(radius, share)
    return Answer(
        results=(
            Got("level", "Level pull to climb it", weight * level, "N"),
            Got("least", "Least pull, slanting upwards", weight * least, "N"),
            Got("share", "Level pull over the load", level),
            Got("most", f"Highest step for a pull of {100 * share:g} % of the load", most, "mm"),
        ),
        working=(
            f"F / W = root(2 R h - h²) / (R - h) = root(2 · {radius:g} · {height:g} - {height:g}²) / ({radius:g} - {height:g}) = {level:.3f}",
            f"least F / W = root(2 R h - h²) / R = {least:.3f}",
            f"W = {load:g} kg · {STANDARD_GRAVITY:g} = {weight:.1f} N, F = {weight * level:.1f} N",
            f"highest step = R (1 - 1 / root(1 + {share:g}²)) = {most:.2f} mm",
        ),
        sources=("statics", "step-problems"),
        cautions=("heavy-lift",) if load > HEAVY_KG else (),
        says=f"Over a step of {said(given, height, 'mm', None)} it takes a level pull of {about(given, weight * level, 'N')}{hung(given, weight * level)}: "
        f"{100 * level:.0f} % of the load on the wheels that meet it.",
        limits=(_HARD, "A sharp edge; a rounded one is easier. Pushed from high up the piece may tip before it climbs: lift it over."),
        plots=(_step_plot(given, radius, height, level),),
    )  # fmt: skip


def _step_plot(given: Given, radius: float, height: float, level: float) -> Plot:
    steps = np.linspace(0, min(0.95 * radius, max(1.5 * height, 0.3 * radius)), 80).tolist()
    return Plot(
        "Pull over height of the step", "step", "mm", "level pull over load", "",
        (
            Curve(f"radius {said(given, radius, 'mm', None)}", tuple(steps), tuple(wheel_steps.step_pull(radius, one) for one in steps)),
            Curve(f"radius {said(given, 2 * radius, 'mm', None)}", tuple(steps), tuple(wheel_steps.step_pull(2 * radius, one) for one in steps), dashed=True),
        ) if 2 * radius <= wheel_steps.MOST_RADIUS_MM else (
            Curve(f"radius {said(given, radius, 'mm', None)}", tuple(steps), tuple(wheel_steps.step_pull(radius, one) for one in steps)),
        ),
        (Mark(height, level, f"{level:.2f}"),) if height <= steps[-1] else (),
        f"The pull grows fast with the step; at {said(given, height, 'mm', None)} it is {level:.2f} times the load. A wheel twice as large needs much less.",
    )  # fmt: skip


def _rolling_pull(given: Given) -> Answer:
    row, radius, load = given.row("pair"), given.number("radius"), given.number("load")
    lever = float(row["lever_mm"])
    coefficient = wheel_steps.resistance_coefficient(lever, radius)
    weight = load * STANDARD_GRAVITY
    if coefficient > 1:
        raise BadInput(f"A wheel of {radius:g} mm would not roll there.", "Give a larger radius or another pair.")
    pull = wheel_steps.rolling_resistance(weight, coefficient)
    return Answer(
        results=(
            Got("pull", "Pull to keep it rolling", pull, "N", pull * (1 - LEVER_SPREAD), pull * (1 + LEVER_SPREAD), 2),
            Got("coefficient", "Coefficient of rolling resistance", coefficient, "", coefficient * (1 - LEVER_SPREAD), coefficient * (1 + LEVER_SPREAD), 2),
        ),
        working=(
            f"c = f / R = {lever:g} / {radius:g} = {coefficient:.4f} ({row['key']})",
            f"F = W c = {load:g} kg · {STANDARD_GRAVITY:g} · {coefficient:.4f} = {pull:.1f} N",
            "spread = half of it up and down: published lever arms are rough",
        ),
        sources=tuple(dict.fromkeys((str(row.get("source", "memory")), "rolling-pages"))),
        cautions=("heavy-lift",) if load > HEAVY_KG else (),
        says=f"About {about(given, pull, 'N')} keeps it rolling{hung(given, pull)}; wheels twice as large would halve that.",
        limits=("Axles and swivels add their own friction, often more than this. Starting takes more than keeping on.", _HARD),
    )  # fmt: skip


def _wheel_load(given: Given) -> Answer:
    empty, load, number = given.number("empty"), given.number("load"), given.whole("wheels")
    each = standing.load_per_wheel(empty, load, number)
    factor = standing.load_with_factor(empty, load, number, given.number("factor"))
    need = max(each, factor)
    pressed = _pressed(given, need)
    return Answer(
        results=(
            Got("need", "Each wheel must be good for", need, "kg"),
            Got("each", "One wheel hanging free", each, "kg"),
            Got("factor", "By the factor of safety", factor, "kg"),
            *(pressed[0] if pressed else ()),
        ),
        working=(
            f"(E + Z) / (n - 1) = ({empty:g} + {load:g}) / ({number} - 1) = {each:.1f} kg",
            f"(E + Z) S / n = ({empty:g} + {load:g}) · {given.number('factor'):g} / {number} = {factor:.1f} kg",
            *(pressed[1] if pressed else ()),
        ),
        sources=("caster-pages", *(("hertz-1882", "memory") if pressed else ())),
        cautions=("heavy-lift",) if empty + load > HEAVY_KG else (),
        says=f"Choose wheels good for {about(given, need, 'kg')} each." + (pressed[2] if pressed else ""),
        limits=(
            "The load spread evenly. A drop off a sill or a shove against a threshold asks for more; so do old sockets and split legs.",
            *(("Pressures are for a smooth elastic tread; edges and grit press harder. Stiffness from memory: good for which is worse.",) if pressed else ()),
        ),
    )  # fmt: skip


def _pressed(given: Given, need: float) -> tuple[tuple[Got, ...], tuple[str, ...], str] | None:
    """Strip of contact, working and words; None unless tread, floor, width and radius are given."""
    if not all(given.has(name) for name in ("tread", "floor", "width", "radius")):
        return None
    tread, floor = given.row("tread"), given.row("floor")
    modulus = wheel_contact.contact_modulus(*_elastic(tread), *_elastic(floor))
    newtons, width, radius = need * STANDARD_GRAVITY, given.number("width"), given.number("radius")
    if newtons < 0.001:
        return None
    found = wheel_contact.line_contact(newtons, width, radius, modulus)
    return (
        (
            Got("strip", "Width of the strip that touches", 2 * found.half_width_mm, "mm", digits=2),
            Got("peak", "Peak pressure under the tread", found.peak_mpa, "MPa", digits=2),
        ),
        (
            f"1 / E* = (1 - v1²) / E1 + (1 - v2²) / E2 = 1 / {modulus:.4g} MPa ({tread['key']} on {floor['key']})",
            f"b = root(4 F R / (pi L E*)) = root(4 · {newtons:.1f} · {radius:g} / (pi · {width:g} · {modulus:.4g})) = {found.half_width_mm:.3f} mm",
            f"peak = 2 F / (pi b L) = {found.peak_mpa:.1f} MPa",
        ),
        _dent_words(floor, found.peak_mpa),
    )


def _elastic(row: Row) -> tuple[float, float]:
    return float(row["modulus_mpa"]), float(row["poisson"])


def _dent_words(floor: Row, peak: float) -> str:
    crush = floor.get("crush_mpa")
    if crush is None:
        return f" The tread presses {peak:.0f} MPa at its peak."
    if peak > crush:
        return f" On {floor['key']} they will leave dents, for the tread presses with {peak:.0f} MPa and the floor bears {crush:g}: put cups under them, or take a wider, softer tread."
    return f" On {floor['key']} they should leave no dent, for the tread presses with {peak:.1f} MPa and the floor bears {crush:g}."


SUMS = (
    Working(
        "flat-spot", "wheel", "A flat on a wheel", "How deep is this flat, and can it be turned out?",
        (
            _RADIUS,
            Asked("chord", "Length of the flat", "mm", 0, 4000, needed=False, help="Along the tread, where a straight-edge touches."),
            Asked("depth", "Depth of the flat", "mm", 0, 2000, needed=False, help="Instead of its length."),
            Asked("spread", "Length known to", "mm", 0, 100, default=1.0),
            Asked("pace", "Pace", "m/s", 0.01, 5, default=1.3, help="A usual walk is 1.3 m/s."),
        ),
        _flat_spot, {"radius": "25 mm", "chord": "10 mm"},
    ),
    Working(
        "step", "wheel", "Over a step", "What pull gets a wheel over this step?",
        (
            _RADIUS,
            Asked("step", "Height of the step", "mm", 0, 2000, help="Less than the radius."),
            Asked("load", "Load on the wheels that meet it", "kg", 0, 10_000),
            Asked("pull", "Pull to be had, of that load", "%", 0, 1000, default=25.0),
        ),
        _step, {"radius": "25 mm", "step": "3 mm", "load": "50 kg"},
    ),
    Working(
        "rolling-pull", "wheel", "Pull on the level", "What pull keeps it rolling?",
        (Asked("pair", "Wheel on floor", kind="row", table="rolling_pairs"), _RADIUS, Asked("load", "Load on the wheels", "kg", 0, 10_000)),
        _rolling_pull, {"pair": "wood on wood", "radius": "30 mm", "load": "60 kg"},
    ),
    Working(
        "wheel-load", "wheel", "Load on each wheel", "What must each wheel be good for, and will it dent the floor?",
        (
            Asked("empty", "Weight of the piece", "kg", 0, 10_000),
            Asked("load", "What it holds", "kg", 0, 10_000),
            Asked("wheels", "Number of wheels", "", 3, 12, default=4, kind="whole"),
            Asked("factor", "Factor of safety", "", 1, 5, default=1.25, help="1.25 moved by hand, 1.5 towed, 2 with knocks."),
            Asked("tread", "Tread", kind="row", table="treads", needed=False),
            Asked("floor", "Floor", kind="row", table="treads", needed=False),
            Asked("width", "Width of the tread", "mm", 0.1, 1000, needed=False),
            Asked("radius", "Radius of the wheel", "mm", 1, 2000, needed=False),
        ),
        _wheel_load,
        {"empty": "30 kg", "load": "150 kg", "tread": "brass", "floor": "oak floor", "width": "14 mm", "radius": "19 mm"},
    ),
)  # fmt: skip
