"""What a route is unrolled over (a piece's surfaces, parts and faults) and what comes out (steps and waits)."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from tallboy.errors import BadInput
from tallboy.work.words import DECISIONS, GROUPS, ROLES, ROLES_WITHOUT_CLASS

MOST_COATS = 12
_LARGEST_AREA = 100.0


@dataclass(frozen=True)
class Surface:
    """One surface of the piece; `area_m2` in square metres, 0 to 100."""

    key: str
    name: str
    group: str
    area_m2: float


@dataclass(frozen=True)
class PartItem:
    """One part and what is to become of it: keep, clean, repair or replace."""

    key: str
    name: str
    kind: str
    decision: str = "keep"


@dataclass(frozen=True)
class FaultItem:
    """One recorded fault: its kind, where it is and what it is called."""

    key: str
    kind: str
    where: str
    name: str


@dataclass(frozen=True)
class Product:
    """The can chosen for a role; `class_key` is its row in the coatings table."""

    key: str
    name: str
    class_key: str


@dataclass(frozen=True)
class Job:
    """Everything about a piece that a route is unrolled over.

    `coats` overrides the number of coats by role (0 leaves them out); `options` names the optional steps that are
    wanted; `kind_names` gives (one, many) for each kind of part. A piece with `old_paint_unknown` and no
    `lead_test_recorded` gets a lead test first; with `lead_found` the lead caution stays on every dusty step.
    """

    surfaces: tuple[Surface, ...] = ()
    parts: tuple[PartItem, ...] = ()
    faults: tuple[FaultItem, ...] = ()
    products: Mapping[str, Product] = field(default_factory=dict)
    coats: Mapping[str, int] = field(default_factory=dict)
    options: frozenset[str] = frozenset()
    old_paint_unknown: bool = False
    lead_test_recorded: bool = False
    lead_found: bool = False
    has_old_finish: bool = True
    kind_names: Mapping[str, tuple[str, str]] = field(default_factory=dict)

    @property
    def lead_test_due(self) -> bool:
        """Whether the old paint must be tested before anything makes dust of it."""
        return self.old_paint_unknown and not self.lead_test_recorded and not self.lead_found

    @property
    def mind_lead(self) -> bool:
        """Whether dusty work must be treated as leaded."""
        return self.lead_test_due or self.lead_found


@dataclass(frozen=True)
class StepDraft:
    """One step of a piece, ready to be stored. Minutes are hands-on; `spread_minutes` is one standard deviation.

    `class_key` is the coating class of the product chosen for the role, or the usual one of the route or repair. `solvent` holds
    for what the route says and for what is in the can; `rack_dm2` is the room [dm²] that wet doors and drawer fronts take.
    """

    key: str
    route_key: str
    title: str
    does: str
    minutes: int
    spread_minutes: int
    hands: int = 1
    place: str = "bench"
    dusty: bool = False
    split: bool = False
    skill: str = ""
    noisy: bool = False
    solvent: bool = False
    ignition: bool = False
    clamps: int = 0
    rack_dm2: int = 0
    surface_keys: tuple[str, ...] = ()
    part_keys: tuple[str, ...] = ()
    fault_key: str = ""
    product_role: str = ""
    class_key: str = ""
    coat_number: int = 0
    coats: int = 0
    cautions: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True)
class WaitDraft:
    """`then` may start when `first` has ended and the wait is over.

    `from_label` names the time on the label of the first step's product that the wait is taken from; the wait is then
    the longer of that time and `least_minutes`. Whoever knows the label fills it in, and the end of the window too.
    """

    first: str
    then: str
    kind: str = "order"
    least_minutes: float = 0.0
    most_minutes: float | None = None
    from_label: str = ""
    text: str = ""


@dataclass(frozen=True)
class Unrolled:
    """The steps in an order that obeys every wait, and the waits. Every wait points from an earlier step to a later."""

    steps: tuple[StepDraft, ...]
    waits: tuple[WaitDraft, ...]


def check_job(job: Job) -> None:
    """Refuse a job that cannot be unrolled: BadInput names the surface, part, fault or role and what is accepted."""
    _unique("surfaces", (surface.key for surface in job.surfaces))
    _unique("parts", (part.key for part in job.parts))
    _unique("faults", (fault.key for fault in job.faults))
    for surface in job.surfaces:
        _one_of(f"Surface {surface.name!r}: its group", surface.group, GROUPS)
        if not (math.isfinite(surface.area_m2) and 0 <= surface.area_m2 <= _LARGEST_AREA):
            raise BadInput(
                f"Surface {surface.name!r}: its area is {surface.area_m2} m².", "It must lie between 0 and 100 m²."
            )
    for part in job.parts:
        _one_of(f"Part {part.name!r}: its decision", part.decision, DECISIONS)
    with_coats = [role for role in ROLES if role not in ROLES_WITHOUT_CLASS]
    for role, coats in job.coats.items():
        _one_of("Coats: the role", role, with_coats)
        if coats != int(coats) or not 0 <= coats <= MOST_COATS:
            raise BadInput(f"Coats of {role}: {coats}.", f"It must be a whole number from 0 to {MOST_COATS}.")


def _unique(what: str, keys: Iterable[str]) -> None:
    seen: set[str] = set()
    for key in keys:
        if key in seen:
            raise BadInput(f"Two {what} have the key {key!r}.", "Each needs a key of its own.")
        seen.add(key)


def _one_of(what: str, word: str, accepted: Sequence[str]) -> None:
    if word not in accepted:
        raise BadInput(f"{what} is {word!r}.", f"Accepted: {', '.join(accepted)}.")
