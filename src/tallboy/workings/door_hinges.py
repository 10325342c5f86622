"""What a door does to its hinges and their screws, as it is asked at the bench."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tallboy.errors import BadInput
from tallboy.sums import doors
from tallboy.workings import hold_words as words
from tallboy.workings.hold_words import Held
from tallboy.workings.kinds import Answer, Asked, Given, Got, Grid, Working
from tallboy.workings.telling import about, hung, rounded, said

USUAL_THREAD = 12.0


@dataclass(frozen=True)
class _Leaf:
    """What the leaf that is pulled hardest puts on each of its screws [N]: out, down with the weight shared, down with all of it."""

    pull: float
    down: float
    all_down: float

    @property
    def angle(self) -> float:
        """Angle of the load from the surface [°]."""
        return math.degrees(math.atan2(self.pull, self.down))

    @property
    def load(self) -> float:
        """Pull and down together [N]."""
        return math.hypot(self.pull, self.down)


def _door(given: Given) -> Answer:
    wood, gravity, by, thread = words.chosen(given)
    end, screws = given.choice("grain") == "end", given.whole("screws")
    weight, heights = doors.weight_of(given.number("mass")), given.numbers("hinges")
    if len(heights) < 2:
        raise BadInput("A door needs two hinges at the least.", "Give the height of each, as 80; 520.")
    pulls = doors.hinge_pulls(weight, given.number("width"), heights)
    leaf = _Leaf(max(pulls) / screws, weight / len(heights) / screws, weight / screws)
    found = words.held(wood, gravity, by, thread, end)
    times, worst = _margin(found, leaf), _worst(found, leaf)
    out = words.spread(found.out)
    return Answer(
        results=(
            Got("pull", "Pull on the hinge pulled hardest", max(pulls), "N"),
            Got("screw_pull", "Pull on each of its screws", leaf.pull, "N"),
            Got("screw_down", "Weight on each of its screws", leaf.down, "N", 0.0, leaf.all_down),
            Got("screw_holds", "One screw holds straight out", out.middle, "N", out.low, out.high),
            Got("verdict", "Its screws", words.margin_words(times)),
            Got("worst", "A weak screw, all the weight on this hinge", words.margin_words(worst)),
        ),
        working=(*_pull_lines(given, weight, heights, pulls), *_leaf_lines(given, leaf, found, gravity, end, times)),
        sources=("hinge-problems", "wood-handbook-2021", "nds-wood", "memory"),
        cautions=("heavy-lift",) if given.number("mass") >= 15 else (),
        says=_says(given, pulls, leaf, times, found),
        limits=((words.END_GRAIN_LIMIT,) if end else ())
        + words.short_limit(by, thread)
        + (
            "A door at rest. Someone who leans on its edge, a door full of plates or one that hits its stop does many times more.",
            "Which hinge bears the weight depends on how they were let in; from none to all of it may hang on one.",
            *words.LIMITS,
        ),
        table=_hinge_grid(given, heights, pulls) if len(heights) > 2 else None,
    )


def _margin(found: Held, leaf: _Leaf) -> float:
    """How many times over a screw holds what is on it; against the pull alone where sideways is not known."""
    at = found.at(leaf.angle)
    return doors.margin(found.out, leaf.pull) if at is None else doors.margin(at, leaf.load)


def _worst(found: Held, leaf: _Leaf) -> float:
    """The same for a weak screw, with all the weight on this one hinge."""
    weak = words.spread(1.0).low
    poor = Held(found.out * weak, None if found.sideways is None else found.sideways * weak)
    return _margin(poor, _Leaf(leaf.pull, leaf.all_down, leaf.all_down))


def _pull_lines(given: Given, weight: float, heights: Sequence[float], pulls: Sequence[float]) -> tuple[str, ...]:
    mass, width = given.number("mass"), given.number("width")
    first = f"weight = mass × 9.80665 = {mass:g} × 9.80665 = {rounded(weight)} N"
    if len(heights) == 2:
        apart = abs(heights[0] - heights[1])
        return (
            first,
            f"pull = weight × (width / 2) / spacing = {rounded(weight)} × {width / 2:g} / {apart:g} = {rounded(max(pulls))} N",
        )
    middle = sum(heights) / len(heights)
    squares = sum((height - middle) ** 2 for height in heights)
    return (
        first,
        f"heights above their middle, {middle:g} mm: {', '.join(f'{height - middle:g}' for height in heights)}; sum of squares {rounded(squares)} mm²",
        f"pull = weight × (width / 2) × height / sum of squares; the hardest: {rounded(max(pulls))} N",
    )


def _leaf_lines(given: Given, leaf: _Leaf, found: Held, gravity: float, end: bool, times: float) -> tuple[str, ...]:
    screws, thread = given.whole("screws"), given.number("thread")
    lines = [
        f"each of {screws} screws: pull {rounded(leaf.pull)} N, weight {rounded(leaf.down)} N (up to {rounded(leaf.all_down)} N), together √(pull² + weight²) = {rounded(leaf.load)} N",
        words.withdrawal_line(gravity, words.chosen(given)[2], thread, found.out, end),
    ]
    at = found.at(leaf.angle)
    if at is None:
        lines += [
            f"sideways is not known for this wood; margin against the pull alone = {_ratio(found.out, leaf.pull, times)}"
        ]
    else:
        lines += [
            f"sideways = {rounded(found.sideways or 0.0)} N; at {leaf.angle:.0f}° from the surface = P Q / (P sin² + Q cos²) = {rounded(at)} N",
            f"margin on the mean = {_ratio(at, leaf.load, times)}",
        ]
    return (*lines, words.SCATTER_LINE)


def _ratio(holds: float, load: float, times: float) -> str:
    return "endless: no load" if math.isinf(times) else f"{rounded(holds)} / {rounded(load)} = {rounded(times, 2)}"


def _says(given: Given, pulls: Sequence[float], leaf: _Leaf, times: float, found: Held) -> str:
    known = "" if found.sideways is not None else " against the pull; sideways nothing is known of this wood"
    return (
        f"The door pulls its upper hinge out with {about(given, max(pulls), 'N')}{hung(given, max(pulls))}: "
        f"{about(given, leaf.pull, 'N')} on each screw. For that its screws are {words.margin_words(times)}{known}."
    )


def _hinge_grid(given: Given, heights: Sequence[float], pulls: Sequence[float]) -> Grid:
    rows = sorted(zip(heights, pulls, strict=True), reverse=True)
    told = tuple(
        (said(given, height, "mm", None), f"{about(given, abs(pull), 'N')} {'out' if pull >= 0 else 'in'}")
        for height, pull in rows
    )
    return Grid(("Hinge at", "Pulled"), told, "From the top")


SUMS = (
    Working(
        name="door-on-hinges",
        family="hold",
        title="A door on its hinges",
        asks="Do the screws of the hinges hold the door?",
        inputs=(
            Asked("mass", "Mass of the door", "kg", 0.01, 200, help="Weigh it: on a bathroom scale with you, less you."),
            Asked("width", "Width of the door", "mm", 10, 3000),
            Asked("hinges", "Height of each hinge's middle", "mm", 0, 5000, kind="numbers", help="From the bottom of the door, as 80; 520."),
            Asked("screws", "Screws in a leaf", "", 1, 12, 3, kind="whole"),
            words.WOOD,
            words.GRAVITY,
            Asked("screw", "Screw", kind="row", table="screws", default="6", help="By its gauge number."),
            words.ACROSS,
            Asked("thread", "Length of thread in the wood", "mm", 1, 150, USUAL_THREAD),
            words.GRAIN,
        ),
        work=_door,
        example={
            "mass": "4 kg", "width": "450 mm", "hinges": "60; 560", "screws": "3", "wood": "eastern white pine", "screw": "6", "thread": "14 mm",
        },
    ),
)  # fmt: skip
