"""The four pieces of the demo: piece files, when they came in, by which route, and what came off them."""

from __future__ import annotations

from dataclasses import dataclass

DRESSER = """
[piece]
name = "Pine dresser"
kind = "dresser"
width = "1220 mm"
height = "900 mm"
depth = "460 mm"
woods = ["pine", "oak knobs"]
old_finish = "shellac under brown paint"
age = "about 1880"
painted_before = "yes"
note = "The left door drags; the plinth was wetted once."

[owner]
customer = "Boat yard canteen"

[[spot_tests]]
liquid = "alcohol"
where = "under the top, at the back"
result = "softened at once where the paint was off: shellac"

[[faults]]
kind = "worn runner"
where = "middle drawer"

[[faults]]
kind = "stripped screw hole"
where = "left door, top hinge"

[[photos]]
file = "dresser.jpg"
caption = "As it came in"

[front]
ready = "dresser"
"""

TROLLEY = """
[piece]
name = "Tea trolley"
kind = "trolley"
width = "720 mm"
height = "760 mm"
depth = "440 mm"
woods = ["beech", "birch plywood"]
old_finish = "worn lacquer"
age = "1950s"
painted_before = "no"

[owner]
customer = "The chandler's widow"

[[faults]]
kind = "loose joint"
where = "back left upright"

[[faults]]
kind = "broken wheel"
where = "front right"

[[photos]]
file = "trolley.jpg"
caption = "As it came in"

[front]
ready = "trolley"
"""

SLOPE = """
[piece]
name = "Writing slope"
kind = "writing slope"
width = "420 mm"
height = "170 mm"
depth = "280 mm"
woods = ["mahogany", "brass stringing"]
old_finish = "French polish, dull"
age = "about 1840"
painted_before = "no"

[owner]
own_stock = true

[[faults]]
kind = "lifting veneer"
where = "lid, right edge"

[[photos]]
file = "slope.jpg"
caption = "As it came in"

[front]
ready = "writing slope"
"""

STAND = """
[piece]
name = "Hall stand"
kind = "hall stand"
width = "900 mm"
height = "2000 mm"
depth = "320 mm"
woods = ["oak"]
old_finish = "wax over oil"
age = "1920s"
painted_before = "no"

[owner]
customer = "Harbour office"

[[faults]]
kind = "water ring"
where = "glove box lid"

[[photos]]
file = "stand.jpg"
caption = "As it came in"

[front]
ready = "hall stand"
"""


@dataclass(frozen=True)
class DemoPiece:
    """One piece: its file, its picture, working days before today that it came in, days from today it is promised for, its route."""

    text: str
    photo: str
    wood: tuple[int, int, int]
    rows: tuple[int, ...]
    days_ago: int
    promised_in: int | None
    route: str


PIECES = (
    DemoPiece(SLOPE, "slope.jpg", (110, 62, 40), (1,), 6, None, "shellac"),
    DemoPiece(DRESSER, "dresser.jpg", (176, 130, 82), (3, 2), 3, 12, "strip-refinish"),
    DemoPiece(TROLLEY, "trolley.jpg", (190, 150, 104), (1, 1), 2, 13, "oil"),
    DemoPiece(STAND, "stand.jpg", (122, 88, 52), (2, 1, 2), 0, 20, "wax-only"),
)

# Kept over the years: kind, what it is, metal, screws, which bin.
KEPT = (
    ("hinge", "butt hinge 63 × 35 mm", "steel, brass plated", 6, 0), ("hinge", "butt hinge 63 × 35 mm", "brass", 6, 0),
    ("hinge", "butt hinge 50 × 30 mm", "brass", 4, 0), ("hinge", "strap hinge 140 mm", "iron", 5, 0),
    ("hinge", "strap hinge 140 mm", "iron", 5, 0), ("hinge", "lift-off hinge 76 mm", "brass", 6, 0),
    ("pull", "cup pull, 76 mm between holes", "brass", 2, 1), ("pull", "cup pull, 76 mm between holes", "brass", 2, 1),
    ("pull", "bail pull, 64 mm between posts", "brass", 2, 1), ("pull", "ring pull", "iron", 1, 1),
    ("pull", "bar pull, 96 mm", "aluminium", 2, 1), ("knob", "turned knob, 32 mm", "oak", 1, 1),
    ("knob", "turned knob, 32 mm", "oak", 1, 1), ("knob", "glass knob", "glass", 1, 1),
    ("escutcheon", "oval escutcheon", "brass", 2, 2), ("escutcheon", "thread escutcheon", "brass", 0, 2),
    ("lock", "cut drawer lock 64 mm", "brass", 4, 2), ("lock", "cupboard lock 76 mm", "steel", 4, 2),
    ("catch", "ball catch 9 mm", "brass", 0, 2), ("bolt", "flush bolt 100 mm", "brass", 3, 2),
    ("wheel", "plate wheel 50 mm, rubber tread", "steel", 4, 3), ("wheel", "plate wheel 50 mm, rubber tread", "steel", 4, 3),
    ("wheel", "grip ring wheel 40 mm", "steel", 0, 3), ("wheel", "cup wheel 32 mm", "brass", 0, 3),
    ("hook", "hat and coat hook", "iron", 3, 3), ("hook", "hat and coat hook", "iron", 3, 3),
    ("bracket", "corner bracket 50 mm", "iron", 4, 3),
)  # fmt: skip
BINS = (("rack 1", "box 1", ""), ("rack 1", "box 2", ""), ("rack 1", "box 3", ""), ("rack 2", "box 1", ""))
