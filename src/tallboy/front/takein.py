"""What is known of a piece when it is taken in, as frozen data. Lengths in millimetres, areas in square metres."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final

from tallboy.errors import BadInput, OutOfRange
from tallboy.front.kinds import LARGEST_PIECE, SMALLEST_PIECE, Front
from tallboy.front.positions import Position, codes_for

FAULT_KINDS: Final = (
    "loose joint", "lifting veneer", "missing veneer", "old holes", "stripped screw hole", "worn runner", "woodworm",
    "odour", "water ring", "split panel", "broken wheel", "bent hinge", "missing fitting", "stain", "burn", "other",
)  # fmt: skip
PAINTED: Final = ("unknown", "yes", "no")
LEAD_TESTS: Final = ("not tested", "none found", "found")
FARTHEST_PROMISE: Final = 20


@dataclass(frozen=True, slots=True)
class SpotTest:
    """A drop of liquid tried out of sight, and what the old finish did."""

    liquid: str
    where: str
    result: str


@dataclass(frozen=True, slots=True)
class Fault:
    """Something wrong with the piece; `position` is the code of one of its positions, or empty."""

    kind: str
    where: str = ""
    position: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class PhotoFile:
    """A photograph beside the piece file; `file` is a path from the folder that the piece file lies in."""

    file: str
    caption: str = ""


@dataclass(frozen=True, slots=True)
class SurfaceArea:
    """An area that was measured and replaces the one computed from the size."""

    name: str
    group: str
    area_m2: float


@dataclass(frozen=True, slots=True)
class FreePoint:
    """A point put on a photograph. x and y are shares, 0 to 1, of its width and height from the top left corner, y down."""

    x: float
    y: float
    name: str
    kind: str = "other"


@dataclass(frozen=True, slots=True)
class FreeDrawing:
    """A photograph with points on it, for a piece that has no front to speak of."""

    photo: str
    points: tuple[FreePoint, ...]


@dataclass(frozen=True, slots=True)
class TakeIn:
    """A piece as it is taken in. It has a front, or a free drawing, or both."""

    name: str
    kind: str
    width: float
    height: float
    depth: float
    woods: tuple[str, ...] = ()
    old_finish: str = ""
    age: str = "unknown"
    painted_before: str = "unknown"
    lead_test: str = "not tested"
    own_stock: bool = False
    customer: str = ""
    promise: date | None = None
    note: str = ""
    route: str = ""
    spot_tests: tuple[SpotTest, ...] = ()
    faults: tuple[Fault, ...] = ()
    photos: tuple[PhotoFile, ...] = ()
    surfaces: tuple[SurfaceArea, ...] = ()
    front: Front | None = None
    free: FreeDrawing | None = None
    missing: tuple[str, ...] = ()

    @property
    def maybe_lead(self) -> bool:
        """Whether old paint must be treated as lead: painted or perhaps painted, and no test has found none."""
        return self.lead_test == "found" or (self.painted_before != "no" and self.lead_test == "not tested")


def free_positions(free: FreeDrawing) -> tuple[Position, ...]:
    """The points of a free drawing as positions, numbered in their order; here x_mm and y_mm hold the shares, y down."""
    codes = codes_for([point.name for point in free.points])
    return tuple(
        Position(at + 1, code, point.name, point.kind, "", point.x, point.y)
        for at, (code, point) in enumerate(zip(codes, free.points, strict=True))
    )


def check_size(width: float, height: float, depth: float) -> None:
    """Raise OutOfRange when a piece is smaller or larger than furniture is. All three in mm."""
    for name, value in (("width", width), ("height", height), ("depth", depth)):
        if not SMALLEST_PIECE <= value <= LARGEST_PIECE:
            raise OutOfRange(f"The {name}", f"{value:g}", f"{SMALLEST_PIECE:g}", f"{LARGEST_PIECE:g}", "mm")


def check_promise(promise: date | None, today: date) -> None:
    """Raise BadInput when a piece is promised for a day that has gone by, or for one that nobody here will live to see."""
    if promise is None:
        return
    if promise < today:
        raise BadInput(
            f"The promise is {promise.isoformat()}, which is past.", f"It must be {today.isoformat()} or later."
        )
    if promise.year > today.year + FARTHEST_PROMISE:
        raise BadInput(
            f"The promise is {promise.isoformat()}, which is far away.",
            f"It must be within {FARTHEST_PROMISE} years.",
        )
