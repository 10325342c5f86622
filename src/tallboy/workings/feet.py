"""How a piece stands, as it is asked about at the bench: why it rocks and what cures it, and which three feet carry."""

from __future__ import annotations

from collections.abc import Sequence

from tallboy.errors import BadInput
from tallboy.sums import standing
from tallboy.workings.kinds import Answer, Asked, Given, Got, Grid, Working
from tallboy.workings.telling import amount, said

CORNERS = ("front left", "front right", "back right", "back left")
_STIFF = "A stiff carcase. A slack one sags until all feet touch, and then its joints carry the rock: glue first, pack after."


def _rock(given: Given) -> Answer:
    legs = _four(given.numbers("legs"), "legs")
    floor = _four(given.numbers("floor"), "heights of the floor") if given.has("floor") else [0.0] * 4
    found = standing.rock_of_four(legs, floor)
    sure = 4 * given.number("spread")
    firm = found.pack_foot is None or found.trim_foot is None
    high = found.gap_mm + sure
    return Answer(
        results=(
            Got("gap", "Gap under the lifted foot", found.gap_mm, "mm", max(0.0, found.gap_mm - sure), high),
            Got("diagonal", "Rocks on", _named(found.diagonal) or "nothing: it stands firm"),
            Got("pack", "Packing", found.pack_mm, "mm", max(0.0, found.pack_mm - sure), found.pack_mm + sure),
            Got("pack_foot", "Under the foot", "none" if found.pack_foot is None else CORNERS[found.pack_foot]),
            Got("trim_foot", "Or as much off the foot", "none" if found.trim_foot is None else CORNERS[found.trim_foot]),
        ),
        working=(
            "legs with the floor under them: " + ", ".join(f"{name} {leg + rise:g}" for name, leg, rise in zip(CORNERS, legs, floor, strict=True)) + " mm",
            f"t = (front left + back right) - (front right + back left) = {legs[0] + floor[0] + legs[2] + floor[2]:g} - {legs[1] + floor[1] + legs[3] + floor[3]:g} = {legs[0] + floor[0] + legs[2] + floor[2] - legs[1] - floor[1] - legs[3] - floor[3]:.3g} mm",
            f"gap = |t| = {found.gap_mm:.3g} mm; |t| under one foot of the short diagonal, or half of it under both",
            f"spread = 2 · root 4 · {given.number('spread'):g} = {sure:.3g} mm (four lengths, k = 2)",
        ),
        sources=("statics", "gum-2008"),
        says="It stands firm." if firm else _cure(given, found, sure),
        limits=(
            "Feet at the corners of a rectangle. Measured on this floor it is cured for this floor only: measure the legs on a flat one.",
            _STIFF,
            "Packing harms nothing and comes off again; cutting a leg does not. Pack first.",
        ),
    )  # fmt: skip


def _cure(given: Given, found: standing.Rock, sure: float) -> str:
    if found.gap_mm <= sure or found.pack_foot is None:
        return f"A rock of {said(given, found.gap_mm, 'mm')} is less than the legs are known to: measure again, or slide a feeler under the lifted foot."
    gap, half = said(given, found.pack_mm, "mm"), said(given, found.pack_mm / 2, "mm")
    other = CORNERS[(found.pack_foot + 2) % 4]
    return f"It rocks on {_named(found.diagonal)}: pack {gap} under {CORNERS[found.pack_foot]}, or {half} under that and under {other}."


def _named(feet: Sequence[int]) -> str:
    return " and ".join(CORNERS[foot] for foot in feet)


def _four(numbers: list[float], what: str) -> list[float]:
    if len(numbers) != 4:
        raise BadInput(f"There are {len(numbers)} {what}.", f"Give four, in order: {', '.join(CORNERS)}.")
    return numbers


def _which_three(given: Given) -> Answer:
    feet = given.pairs("feet")
    floor = given.numbers("floor") or [0.0] * len(feet)
    centre = (given.number("centre_x"), given.number("centre_y"))
    found = standing.stand([foot[:2] for foot in feet], [foot[2] for foot in feet], centre, floor)
    weight = given.number("weight")
    share = dict(zip(found.carriers, found.shares, strict=True))
    rows = tuple(
        (str(foot + 1), said(given, found.gaps_mm[foot], "mm", 2), amount(weight * share.get(foot, 0.0), "kg", 3, given.system)) for foot in range(len(feet))
    )  # fmt: skip
    three = ", ".join(str(foot + 1) for foot in found.carriers)
    return Answer(
        results=(
            Got("carriers", "Feet that carry", three),
            Got("rocks", "Rocks to another three", found.rocks),
            Got("margin", "Centre of mass inside them by", found.margin_mm, "mm"),
            Got("gap", "Largest gap under a foot", max(found.gaps_mm), "mm"),
            Got("most", "Most on one foot", weight * max(found.shares), "kg"),
        ),
        working=(
            f"plane through feet {three}: no other foot is below the floor, and their triangle holds ({centre[0]:g}, {centre[1]:g}) mm",
            "shares by moments about the sides = " + ", ".join(f"{part:.3f}" for part in found.shares),
            "gaps = height of the plane less leg and floor = " + ", ".join(f"{gap:.2f}" for gap in found.gaps_mm) + " mm",
            f"margin = least distance of the centre of mass from the sides of the feet that touch = {found.margin_mm:.1f} mm",
        ),
        sources=("statics",),
        cautions=("heavy-lift",) if weight > 25 else (),
        says=_stance_words(given, found, three),
        limits=(_STIFF, "Where more than three touch, how they share the weight depends on what gives; one sharing is told."),
        table=Grid(("Foot", "Gap", "Carries"), rows, "Each foot, in the order given"),
    )  # fmt: skip


def _stance_words(given: Given, found: standing.Stance, three: str) -> str:
    if found.rocks:
        other = ", ".join(str(foot + 1) for foot in found.others)
        return f"It rocks between feet {three} and feet {other}: {said(given, max(found.gaps_mm), 'mm')} under the foot in the air."
    if max(found.gaps_mm) == 0:
        return f"All feet touch; it tips only when the centre of mass moves {said(given, found.margin_mm, 'mm', 0)}."
    return f"It stands on feet {three}, and tips when the centre of mass moves {said(given, found.margin_mm, 'mm', 0)}."


SUMS = (
    Working(
        "rock", "wheel", "A piece that rocks", "Which foot wants packing, and how much?",
        (
            Asked("legs", "Legs, or wheels, from the carcase down", "mm", 0, 10_000, kind="numbers", help="Four, in order: front left; front right; back right; back left. From one level of the carcase; only differences matter."),
            Asked("floor", "Floor under them", "mm", 0, 1000, kind="numbers", needed=False, help="Four heights over the lowest place, in the same order; left out for a flat floor."),
            Asked("spread", "Each known to", "mm", 0, 100, default=0.25, help="One standard deviation."),
        ),
        _rock, {"legs": "702; 699.5; 701; 700"},
    ),
    Working(
        "which-three", "wheel", "Which three feet carry", "Which feet carry the piece, and how much each?",
        (
            Asked("feet", "Feet", kind="pairs", units=("mm", "mm", "mm"), help="Three to twelve: from the left = from the front = length of the leg, with semicolons between."),
            Asked("floor", "Floor under them", "mm", 0, 1000, kind="numbers", needed=False, help="Heights over the lowest place, in the same order; left out for a flat floor."),
            Asked("centre_x", "Centre of mass from the left", "mm", 0, 10_000),
            Asked("centre_y", "Centre of mass from the front", "mm", 0, 10_000),
            Asked("weight", "Weight", "kg", 0, 10_000),
        ),
        _which_three,
        {"feet": "0 = 0 = 700; 600 = 0 = 698; 600 = 400 = 700; 0 = 400 = 698", "centre_x": "340 mm", "centre_y": "200 mm", "weight": "32 kg"},
    ),
)  # fmt: skip
