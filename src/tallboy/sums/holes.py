"""Screws by their gauge, the holes they want, and what to do about a hole that holds no longer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tallboy.sums.film import Estimate
from tallboy.sums.hold import screw_withdrawal
from tallboy.sums.ranges import within
from tallboy.sums.unit_words import MM_PER_INCH

ROOT_SHARE = 2 / 3
LEAD_HARD, LEAD_SOFT = 0.9, 0.7
DRILL_STEP_MM = MM_PER_INCH / 64
LEFT_BEHIND_MM = 3.0


@dataclass(frozen=True)
class Screw:
    """A wood screw: diameters of shank and thread's root, and of the head where it is known [mm]."""

    shank_mm: float
    root_mm: float
    head_mm: float | None = None


@dataclass(frozen=True)
class Hinge:
    """What a hinge lets through: its hole, and its countersink across the top [mm]."""

    hole_mm: float
    countersink_mm: float


@dataclass(frozen=True)
class Rescue:
    """One way to make a screw hold again.

    `holds_n` is the mean load at which it gives, None where nobody can reckon it; `fits` whether it goes at all, `why` says what
    speaks for and against. They come in the order to try them on an old piece.
    """

    key: str
    holds_n: float | None
    fits: bool
    why: str


def gauge_diameter(gauge: float) -> float:
    """Diameter of the shank of a wood screw, from its gauge number.

    Formula: (0.060 + 0.013 * gauge) inches

    Parameters
    ----------
    gauge : [1] number, 0 to 24

    Returns
    -------
    [mm] basic diameter; a real screw is up to a tenth thinner

    Raises
    ------
    OutOfRange outside the range.

    Validity
    --------
    Screws of the American series, near enough those of the British (0.066 in and 0.014 in a number).

    Source
    ------
    ASME B18.6.1, basic diameter, from memory; the same as Wood Handbook table 8-9 in millimetres for numbers 4 to 14 (transcription).
    """
    within("Gauge", gauge, 0, 24, "")
    return (0.060 + 0.013 * gauge) * MM_PER_INCH


def root_diameter(shank_mm: float) -> float:
    """Diameter at the root of a wood screw's thread.

    Formula: shank * 2 / 3

    Parameters
    ----------
    shank_mm : [mm] 1 to 10

    Returns
    -------
    [mm] root, on average

    Raises
    ------
    OutOfRange outside the range.

    Validity
    --------
    Handbook's average. Trade tables of today's screws give 0.72 to 0.86 of the shank: measure the one in hand where it matters.

    Source
    ------
    Wood Handbook 2010, chapter 8, read.
    """
    within("Shank", shank_mm, 1, 10, "mm")
    return shank_mm * ROOT_SHARE


def pilot_hole(shank_mm: float, hardwood: bool, charts_mm: Sequence[float] = ()) -> Estimate:
    """The lead hole for the threaded part of a wood screw, as a range.

    Formula: middle 0.9 (hardwood) or 0.7 (softwood) * 2/3 shank; from the smallest to the largest that charts print, or 1/64 in about the
    middle where there is no chart

    Parameters
    ----------
    shank_mm : [mm] 1 to 10
    hardwood : [yes/no] hardwood, or softwood
    charts_mm : [mm] what drill charts print for this screw and kind of wood, 0.5 to 8 each

    Returns
    -------
    [mm] smallest, middle and largest drill

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Published charts differ by a drill size or two: take the larger in dense, dry or brittle old wood and near an edge, the smaller for the
    firmest hold. A brass screw follows a steel one of its size, with wax on the thread.

    Source
    ------
    Wood Handbook and older National Design Specification (90 % and 70 % of the root), transcription and read; charts: by their rows.
    """
    within("Shank", shank_mm, 1, 10, "mm")
    for drill in charts_mm:
        within("Drill of a chart", drill, 0.5, 8, "mm")
    middle = root_diameter(shank_mm) * (LEAD_HARD if hardwood else LEAD_SOFT)
    if not charts_mm:
        return Estimate(middle - DRILL_STEP_MM, middle, middle + DRILL_STEP_MM)
    return Estimate(min(middle, *charts_mm), middle, max(middle, *charts_mm))


def lead_share(oven_dry_gravity: float) -> float:
    """Share of the root diameter that a building code asks a lead hole to have, for a screw that is pulled.

    Formula: 0.9 from 0.6 up; 0.7 from 0.5 to 0.6; none needed below

    Parameters
    ----------
    oven_dry_gravity : [1] specific gravity of the wood, mass and volume both oven-dry, 0.1 to 1.4

    Returns
    -------
    [1] share of the root diameter, 0 where no hole is needed

    Raises
    ------
    OutOfRange outside the range.

    Validity
    --------
    For building timber. On furniture drill in any wood: an edge splits long before a beam does.

    Source
    ------
    National Design Specification as a trade page paraphrases it, read.
    """
    within("Oven-dry specific gravity", oven_dry_gravity, 0.1, 1.4, "")
    if oven_dry_gravity >= 0.6:
        return 0.9
    return 0.7 if oven_dry_gravity >= 0.5 else 0.0


def bite(old_shank_mm: float, new_shank_mm: float) -> float:
    """Share of a thicker screw's thread that finds wood in a hole that a thinner one has stripped.

    Formula: (new shank - old shank) / (new shank - new root), 0 to 1

    Parameters
    ----------
    old_shank_mm : [mm] of the screw that stripped it, 1 to 10: the hole is as wide as its thread
    new_shank_mm : [mm] of the thicker screw, 1 to 10

    Returns
    -------
    [1] share of the depth of its thread

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    From No. 6 to No. 12 one number up bites by a quarter of its thread or less, two numbers by less than half.

    Source
    ------
    own derivation (geometry, with the handbook's root of two thirds)
    """
    within("Old shank", old_shank_mm, 1, 10, "mm")
    within("New shank", new_shank_mm, 1, 10, "mm")
    share = (new_shank_mm - old_shank_mm) / (new_shank_mm - root_diameter(new_shank_mm))
    return min(max(share, 0.0), 1.0)


def rescues(
    specific_gravity: float,
    screw: Screw,
    thread_mm: float,
    wood_mm: float,
    hinge: Hinge,
    thicker: Screw,
) -> tuple[Rescue, ...]:
    """Ways to make a stripped screw hole hold again, in the order to try them on an old piece.

    Formula: withdrawal by Wood Handbook 8-10: a longer screw counts only the thread that finds fresh wood; a glued plug with its grain along
    the board's counts as the wood; a dowel as end grain, three quarters; a thicker screw in proportion to its bite

    Parameters
    ----------
    specific_gravity : [1] of the wood, mass oven-dry over volume at 12 %, 0.1 to 1.3
    screw : [mm] the one that holds no longer
    thread_mm : [mm] its length of thread in the wood, 1 to 150
    wood_mm : [mm] thickness of the wood behind the hinge, 1 to 500
    hinge : [mm] what its leaf lets through
    thicker : [mm] the next screw up

    Returns
    -------
    [N] one `Rescue` each: sliver, longer, plug, dowel, thicker

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Sound wood about the hole. A plug must fit tight and be glued all round; 3 mm of wood are left before the far face.

    Source
    ------
    own derivation from Wood Handbook equation 8-10; the order: common practice of furniture conservation, no source
    """
    within("Thread in the wood", thread_mm, 1, 150, "mm")
    within("Thickness of the wood", wood_mm, 1, 500, "mm")
    mean = screw_withdrawal(specific_gravity, screw.shank_mm, thread_mm)
    return (
        Rescue("sliver", None, True, _SLIVER),
        _longer(specific_gravity, screw, thread_mm, wood_mm),
        Rescue("plug", mean, wood_mm > thread_mm, _PLUG if wood_mm > thread_mm else _TOO_THIN),
        Rescue("dowel", screw_withdrawal(specific_gravity, screw.shank_mm, thread_mm, end_grain=True), True, _DOWEL),
        _thicker(specific_gravity, screw, thread_mm, hinge, thicker),
    )


_SLIVER = (
    "No wood is cut and the old screw stays; hide glue lets go again with warmth and damp. How well it holds cannot be reckoned: less "
    "than a plug."
)
_PLUG = "The old screw stays and the leaf hides it, but old wood is bored away. Grain along the board's, glued with hide glue."
_DOWEL = "As a plug, but the screw runs along the dowel's fibres, which holds less and less surely."
_TOO_THIN = "The wood is too thin to bore a plug as deep as the thread."


def _longer(specific_gravity: float, screw: Screw, thread_mm: float, wood_mm: float) -> Rescue:
    fresh = min(max(wood_mm - LEFT_BEHIND_MM - thread_mm, 0.0), 150.0)
    holds = screw_withdrawal(specific_gravity, screw.shank_mm, fresh)
    if fresh <= 0:
        return Rescue("longer", 0.0, False, "There is no wood left behind the hole for a longer screw.")
    why = (
        f"Nothing is bored wider and nothing shows; keep the old screw with the piece. Only the {fresh:.0f} mm of thread in fresh wood "
        "count."
    )
    return Rescue("longer", holds, True, why)


def _thicker(specific_gravity: float, screw: Screw, thread_mm: float, hinge: Hinge, thicker: Screw) -> Rescue:
    share = bite(screw.shank_mm, thicker.shank_mm)
    holds = screw_withdrawal(specific_gravity, thicker.shank_mm, thread_mm) * share
    if thicker.shank_mm > hinge.hole_mm:
        return Rescue(
            "thicker", holds, False, "It does not pass the hinge's hole, and an old hinge is not drilled out."
        )
    if thicker.head_mm is not None and thicker.head_mm > hinge.countersink_mm:
        return Rescue("thicker", holds, False, "Its head stands proud of the countersink, so the door would bind.")
    why = f"Last of all: it cuts wood that cannot be put back, and bites only {100 * share:.0f} % of its thread."
    if thicker.head_mm is None:
        why += " See first whether its head sits in the countersink."
    return Rescue("thicker", holds, True, why)
