"""Invented papers of a shop on a quay. Used by the bench of the papers and by their tests."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

from PIL import Image

from tallboy.paper import (
    AirNow,
    DayPromise,
    DaySheet,
    DayStep,
    DayWait,
    Drawing,
    Photo,
    PutBack,
    PutBackList,
    SpotTest,
    Tag,
    TakeDownRecord,
    TakenOff,
)

MADE_AT = datetime(2026, 3, 12, 8, 5, tzinfo=UTC)

NAMES = (
    "top left drawer, pull", "top middle drawer, pull", "top right drawer, pull", "left door, top hinge",
    "left door, bottom hinge", "right door, top hinge", "right door, bottom hinge", "left door, escutcheon",
    "right door, escutcheon", "left door, catch", "right door, catch", "front left foot", "front right foot",
)  # fmt: skip

PARTS: tuple[str, ...] = (
    ("cup pull, brass",) * 3 + ("butt hinge, steel, brass plated",) * 4 + ("escutcheon, brass",) * 2
)
PARTS += ("ball catch",) * 2 + ("turned foot",) * 2

DRESSER = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="142mm" height="116mm" viewBox="0 0 142 116">'
    '<rect class="el-sheet" width="142" height="116" fill="#fffdf8"/>'
    '<g fill="none" stroke="#26211c" stroke-width=".5"><rect x="10" y="12" width="122" height="80"/>'
    '<path d="M7 12h128M7 9h128v3H7zM12 92v7M130 92v7M10 33h122M50.6 12v21M91.3 12v21M71 33v59"/></g>'
    '<text x="64" y="107" font-size="3.6" font-family="serif">1220 mm</text></svg>'
)


def drawing() -> Drawing:
    """The front of the pine dresser."""
    return Drawing(DRESSER, "Front of the pine dresser: three drawers over two doors", 142, 116)


def photo(shade: int = 120) -> Photo:
    """A small photograph, the same bytes every time."""
    picture = io.BytesIO()
    Image.new("RGB", (160, 120), (shade, shade // 2, 40)).save(picture, "JPEG")
    return Photo(picture.getvalue(), "The hinge before it was cleaned")


def tag(index: int = 0) -> Tag:
    """A tag of the dresser."""
    at = index % len(NAMES)
    return Tag(
        part_number=f"P-{42 + index:04d}",
        part_name=PARTS[at],
        piece_number="2026-014",
        piece_name="Pine dresser",
        position_number=at + 1,
        position_name=NAMES[at],
        screws=None if at > 10 else 2,
        address=f"http://192.168.1.20:8765/p/{42 + index}",
    )


def taken_off(index: int) -> TakenOff:
    """A line of the take-down record."""
    missing = index == 6
    return TakenOff(
        number=index + 1,
        position=NAMES[index],
        part_number="" if missing else f"P-{42 + index:04d}",
        came_off="" if missing else PARTS[index],
        screws=None if missing else 2,
        condition="" if missing else "dirty or painted over",
        decision="" if missing else "clean",
        whereabouts="" if missing else "tray B",
        missing=missing,
    )


def record(**changes: Any) -> TakeDownRecord:
    """The dresser as it came in."""
    given = TakeDownRecord(
        piece_number="2026-014",
        piece_name="Pine dresser, two doors, three drawers",
        taken_in="9 March 2026",
        owner="the ferry house",
        promised="24 March 2026",
        size="1220 × 900 × 460 mm",
        woods="pine, beech knobs",
        old_finish="oil paint over shellac",
        age="unknown",
        spot_tests=(
            SpotTest("alcohol", "softened and turned sticky after a minute", "inside the left door"),
            SpotTest("white spirit", "no effect", "inside the left door"),
        ),
        faults=("loose joint, right front leg", "lifted veneer, left door", "old holes, top left drawer"),
        cautions=(
            "Old paint of unknown age: treat it as lead until a test says otherwise. No dry sanding, no heat. "
            "Local rules come first.",
        ),
        drawing=drawing(),
        positions=tuple(taken_off(index) for index in range(len(NAMES))),
        shop="Quay Bench",
    )
    return replace(given, **changes)


def put_back(index: int) -> PutBack:
    """A line of the put-back list."""
    missing = index == 6
    return PutBack(
        number=index + 1,
        position=NAMES[index],
        part_number="" if missing else f"P-{42 + index:04d}",
        part_name="" if missing else PARTS[index],
        screws=None if missing else 2,
        whereabouts="" if missing else ("on the piece" if index < 2 else "tray B"),
        fitted=index < 2,
        missing=missing,
        note="3 in the bins would fit" if missing else "",
    )


def listing(count: int = len(NAMES)) -> PutBackList:
    """The put-back list of the dresser."""
    return PutBackList(
        piece_number="2026-014",
        piece_name="Pine dresser, two doors, three drawers",
        positions=tuple(put_back(index) for index in range(count)),
        drawing=replace(drawing(), width_mm=71, height_mm=58),
        cautions=("Two people carry the top; lift from the knees.",),
        shop="Quay Bench",
    )


STEPS = (
    DayStep(
        "8:30", 25, "Pine dresser · 2026-014", "Second coat on the doors",
        "The first coat may be gone over from 8:15; by 11:00 the air would be too damp.",
        ("Solvent vapour: open both windows, wear the mask, no flame. Lay rags flat outdoors to dry.",),
    ),
    DayStep("9:00", 40, "Writing slope · 2026-011", "Scrub and rinse the hinges",
            "They have soaked long enough since 8:50.", ("Gloves and eye protection.",)),
    DayStep("10:00", 60, "Tea trolley · 2026-015", "Re-glue the left rail, clamp it",
            "The joint is dry since yesterday; the glue needs 15 °C and the shop has it until evening."),
    DayStep("13:30", 45, "Hall stand · 2026-012", "Rub down with fine paper", "After the sealer is hard at 13:15."),
)  # fmt: skip


def day(**changes: Any) -> DaySheet:
    """A Thursday in March."""
    given = DaySheet(
        date="Thursday 12 March 2026",
        hands=2,
        air=AirNow("17.5 °C", "62 %", "10.2 °C", "11.4 %", "7:40, bench"),
        steps=STEPS,
        waits=(
            DayWait("First coat on the doors dries", "8:15", "drying", "± 35 min", "Pine dresser", "drying"),
            DayWait("Hinges in the tall jar, slots 1 to 4", "8:50", "soaking", "", "Writing slope", "soaking"),
        ),
        promises=(DayPromise("Tea trolley", "16 March", "ready on the 15th, by the plan"),),
        shop="Quay Bench",
    )
    return replace(given, **changes)


SAID = " ".join((str(record()), str(day()), str(listing()), *(str(tag(index)) for index in range(len(NAMES)))))
"""All that the samples say themselves."""
