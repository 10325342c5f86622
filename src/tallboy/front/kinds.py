"""The words a front is made of, and the frozen data that holds one.

A front is read from top to bottom and from left to right, as someone standing before the piece sees it: "left" is
the viewer's left. Lengths are millimetres. A height or width of None means "share what is left equally".
"""

from __future__ import annotations

from dataclasses import dataclass, field

OUTLINES = ("case", "table", "chair", "trolley")
BAY_KINDS = ("drawer", "door", "doors", "flap", "open", "panel", "rows")
BASE_KINDS = ("plinth", "feet", "legs", "wheels", "none")
PULL_KINDS = ("cup pull", "bail pull", "bar pull", "drop pull", "ring pull", "knob")
HANDLE_KINDS = (*PULL_KINDS, "none")
HINGE_KINDS = ("butt", "strap", "H", "lift-off", "pin")
BACK_KINDS = ("slats", "rails", "spindles", "panel", "none")
FACES = ("front", "back", "underneath", "inside")
FITTING_KINDS = (
    "hinge", "pull", "knob", "escutcheon", "lock", "catch", "bolt", "hook", "bracket", "corner", "wheel", "rail", "foot",
    "screw set", "other",
)  # fmt: skip

SMALLEST_PIECE, LARGEST_PIECE = 10.0, 6000.0
MOST_ROWS, DEEPEST, MOST_POSITIONS, MOST_COPIES, MOST_BAYS = 40, 4, 400, 4, 12


@dataclass(frozen=True, slots=True)
class DrawerFit:
    """What a drawer carries. None: as set for all drawers, or the plain default."""

    pulls: int | None = None
    pull: str | None = None
    escutcheon: bool | None = None
    lock: bool | None = None


@dataclass(frozen=True, slots=True)
class DoorFit:
    """What a door, a fall or a lid carries. None: as set for all doors, or the plain default."""

    hinges: int | None = None
    hinge: str | None = None
    handle: str | None = None
    escutcheon: bool | None = None
    lock: bool | None = None
    catch: bool | None = None
    bolts: int | None = None


PLAIN_DRAWER = DrawerFit(1, "knob", False, False)
PLAIN_DOOR = DoorFit(2, "butt", "knob", False, False, False, 0)


@dataclass(frozen=True, slots=True)
class Drawer:
    """A drawer front."""

    width: float | None = None
    name: str = ""
    fit: DrawerFit = DrawerFit()


@dataclass(frozen=True, slots=True)
class Door:
    """One door, hung on its left or its right."""

    hung: str
    width: float | None = None
    name: str = ""
    fit: DoorFit = DoorFit()


@dataclass(frozen=True, slots=True)
class Doors:
    """A pair of doors that close on each other. The one that opens first has the lock; the other has the bolts."""

    width: float | None = None
    name: str = ""
    opens_first: str = "right"
    fit: DoorFit = DoorFit()


@dataclass(frozen=True, slots=True)
class Flap:
    """A leaf hung along its bottom (a fall) or its top (a lid)."""

    hung: str
    width: float | None = None
    name: str = ""
    fit: DoorFit = DoorFit()


@dataclass(frozen=True, slots=True)
class Open:
    """An open bay with a number of shelves. `to_floor`: it reaches down through the base, as a knee hole does."""

    width: float | None = None
    name: str = ""
    shelves: int = 0
    to_floor: bool = False


@dataclass(frozen=True, slots=True)
class Panel:
    """A fixed panel, raised or plain."""

    width: float | None = None
    name: str = ""
    raised: bool = True


@dataclass(frozen=True, slots=True)
class Stack:
    """A bay that is divided into rows again, such as a pedestal of drawers."""

    rows: tuple[Row, ...]
    width: float | None = None
    name: str = ""


Bay = Drawer | Door | Doors | Flap | Open | Panel | Stack


@dataclass(frozen=True, slots=True)
class Row:
    """Bays from left to right."""

    bays: tuple[Bay, ...]
    height: float | None = None


@dataclass(frozen=True, slots=True)
class Top:
    """The board on top: its thickness, and how far it stands out on each side."""

    thickness: float = 22.0
    overhang: float = 12.0


@dataclass(frozen=True, slots=True)
class Base:
    """What the piece stands on. Height None: the usual one for its kind, or for a table all that is left.

    Of `count` feet, legs or wheels the larger half stands in front, the rest at the back.
    """

    kind: str = "plinth"
    height: float | None = None
    count: int = 4
    wheels: bool = False


@dataclass(frozen=True, slots=True)
class Upper:
    """A part that stands on the top board: the rack of a dresser, the upper chest of a chest on chest."""

    rows: tuple[Row, ...]
    height: float
    inset: float = 0.0
    top: Top = Top()
    name: str = ""


@dataclass(frozen=True, slots=True)
class Chair:
    """What a chair is made of, for the outline "chair"."""

    back: str = "slats"
    bars: int = 3
    seat_height: float = 450.0
    brackets: int = 4
    stretchers: int = 1
    arms: bool = False


@dataclass(frozen=True, slots=True)
class Extra:
    """A fitting that stands by itself. Its place is a share of the width and the height, from the bottom left, or mm."""

    kind: str
    name: str
    x: float
    y: float
    shares: bool = False
    detail: str = ""
    face: str = "front"
    screws: int | None = None


@dataclass(frozen=True, slots=True)
class Front:
    """How the face of a piece is divided. `frame` is the thickness of the sides and of the rails between the bays."""

    rows: tuple[Row, ...] = ()
    outline: str = "case"
    top: Top = Top()
    base: Base = Base()
    frame: float = 18.0
    copies: int = 1
    upper: Upper | None = None
    chair: Chair | None = None
    drawers: DrawerFit = DrawerFit()
    doors: DoorFit = DoorFit()
    fittings: tuple[Extra, ...] = field(default=())
