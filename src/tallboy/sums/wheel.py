"""Whether a wheel is kept, trued up or replaced, with the reasons in numbers.

What it is judged by is worked out in `circle`, `roundness`, `rolling` and `wheel_steps`.
"""

from __future__ import annotations

from dataclasses import dataclass

from tallboy.sums.ranges import within

KEEP, TRUE_UP, REPLACE, MEASURE = "keep", "true up", "replace", "measure again"


@dataclass(frozen=True)
class Limits:
    """What a wheel may have and be kept, and what may be turned off it. All are our own choice without a source: set yours.

    `lift_share` rise and fall of the axle over the radius [1]; `knock_mm_s` sudden change of speed from a flat at walking pace;
    `turning_share` how much of the radius may come off [1]; `play_mm` slack of the bore on the axle; `mates_share` how much the radii
    of a set may differ, over the radius [1].
    """

    lift_share: float = 0.01
    knock_mm_s: float = 250.0
    turning_share: float = 0.08
    play_mm: float = 0.5
    mates_share: float = 0.02

    def __post_init__(self) -> None:
        within("Lift over radius", self.lift_share, 0, 1)
        within("Knock", self.knock_mm_s, 0, 10_000, "mm/s")
        within("Share that may be turned off", self.turning_share, 0, 1)
        within("Play", self.play_mm, 0, 100, "mm")
        within("Difference of mates", self.mates_share, 0, 1)


@dataclass(frozen=True)
class Verdict:
    """`word` is "keep", "true up", "replace" or "measure again"; `reasons` say why, in numbers; `turned_radius_mm` what truing leaves."""

    word: str
    reasons: tuple[str, ...]
    turned_radius_mm: float


def judge(
    radius_mm: float,
    lift_mm: float,
    run_out_mm: float,
    spread_mm: float = 0.0,
    knock_mm_s: float = 0.0,
    play_mm: float = 0.0,
    cracked: bool = False,
    limits: Limits | None = None,
) -> Verdict:
    """Keep, true up or replace a wheel.

    Formula: replace when it is cracked or truing would take more than a share of the radius; true up when lift - spread, or the knock,
    is over its limit; measure again when lift + spread is over and lift - spread under; else keep. Truing on its own axle leaves
    radius - run-out / 2

    Parameters
    ----------
    radius_mm : [mm] mean radius, 0.1 to 2000
    lift_mm : [mm] rise and fall of the axle in a turn, 0 to 1000
    run_out_mm : [mm] largest less smallest radius about the axle, 0 to 1000
    spread_mm : [mm] expanded uncertainty (k = 2) of the lift, 0 to 1000
    knock_mm_s : [mm/s] sudden change of speed at walking pace, 0 to 100 000
    play_mm : [mm] slack of the bore on the axle, 0 to 100
    cracked : [1] true when the rim or tread is cracked or loose
    limits : [mixed] what may be kept and turned off; None for the usual ones

    Returns
    -------
    [text] word, reasons, and the radius that truing would leave [mm]

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    For hard wheels of furniture. Age, rarity and what the owner wants weigh more than a tenth of a millimetre: an old wheel that
    rolls badly may still be kept. A wheel trued alone is smaller than its mates, and the piece rocks: true the set alike.

    Source
    ------
    Limits: own choice, no source. Deciding only outside the spread: after ISO 14253-1 (from memory).
    """
    within("Radius", radius_mm, 0.1, 2000, "mm")
    within("Lift", lift_mm, 0, 1000, "mm")
    within("Run-out", run_out_mm, 0, 1000, "mm")
    within("Spread", spread_mm, 0, 1000, "mm")
    within("Knock", knock_mm_s, 0, 100_000, "mm/s")
    within("Play", play_mm, 0, 100, "mm")
    set_by = limits or Limits()
    most, off = set_by.lift_share * radius_mm, run_out_mm / 2
    uneven = lift_mm - spread_mm > most or knock_mm_s > set_by.knock_mm_s
    unsure = not uneven and lift_mm + spread_mm > most
    spent = uneven and off > set_by.turning_share * radius_mm
    reasons = [
        f"lift {lift_mm:.2f} ± {spread_mm:.2f} mm against {most:.2f} mm ({100 * set_by.lift_share:g} % of the radius)"
    ]
    if knock_mm_s > 0:
        reasons.append(f"knock {knock_mm_s:.0f} mm/s against {set_by.knock_mm_s:.0f} mm/s")
    if uneven:
        reasons.append(
            f"truing takes {off:.2f} mm off the radius against {set_by.turning_share * radius_mm:.2f} mm"
            f" ({100 * set_by.turning_share:g} %)"
        )
    if play_mm > set_by.play_mm:
        reasons.append(f"play {play_mm:.2f} mm against {set_by.play_mm:.2f} mm: bush the bore, whatever else")
    if cracked:
        reasons.insert(0, "cracked or loose: it may break under load")
    return Verdict(_word(cracked or spent, uneven, unsure), tuple(reasons), max(0.0, radius_mm - off))


def alike(radii_mm: tuple[float, ...], limits: Limits | None = None) -> bool:
    """Whether the wheels of a set are near enough in size.

    Formula: (largest - smallest) / mean <= limit

    Parameters
    ----------
    radii_mm : [mm] two to twelve radii, each 0.1 to 2000
    limits : [mixed] what may be kept; None for the usual ones

    Returns
    -------
    [1] true when they are

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    It tells of rolling together and of looks; whether the piece rocks is the business of `standing`.

    Source
    ------
    definition; the limit is our own choice, no source.
    """
    within("Number of wheels", len(radii_mm), 2, 12)
    for radius in radii_mm:
        within("Radius", radius, 0.1, 2000, "mm")
    mean = sum(radii_mm) / len(radii_mm)
    return (max(radii_mm) - min(radii_mm)) / mean <= (limits or Limits()).mates_share


def _word(lost: bool, uneven: bool, unsure: bool) -> str:
    if lost:
        return REPLACE
    if uneven:
        return TRUE_UP
    return MEASURE if unsure else KEEP
