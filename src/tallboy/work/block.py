"""One step of a route made into the steps of a piece: a block, with the waits inside it.

Surfaces done in one go make one step with their areas added. Parts of a kind make one step when the title names the
{part}, and all parts make one step when it does not. Several coats make a chain, with a rub-down between where the
route has one for that product.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

from tallboy.tables.coatings import cautions_for, gives_off_vapour
from tallboy.work.job import FaultItem, Job, PartItem, StepDraft, Surface, WaitDraft
from tallboy.work.route import RouteStep
from tallboy.work.words import (
    DECISIONS_FOR,
    LOOSE,
    OUTSIDE,
    ROLES_WITHOUT_CLASS,
    SURFACE_WORK,
)

_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


@dataclass(frozen=True)
class Item:
    """What one chain of a block is about; `key` tells the chains of a block apart."""

    key: str = ""
    surfaces: tuple[Surface, ...] = ()
    parts: tuple[PartItem, ...] = ()
    fault: FaultItem | None = None


@dataclass
class Block:
    """The steps one route step became. `heads` and `tails` are the first and last step of each chain, by item."""

    step: RouteStep
    drafts: list[StepDraft] = field(default_factory=list)
    waits: list[WaitDraft] = field(default_factory=list)
    heads: dict[str, str] = field(default_factory=dict)
    tails: dict[str, str] = field(default_factory=dict)


def make_block(
    step: RouteStep, job: Job, between: RouteStep | None = None, fault: FaultItem | None = None
) -> Block | None:
    """The block for a step, or None when this piece has nothing for it to do."""
    coats = _coats(step, job, fault)
    if not _wanted(step, job) or coats == 0:
        return None
    block = Block(step)
    for item in items_for(step, job, fault):
        _add_chain(block, item, coats, between, job)
    return block if block.drafts else None


def items_for(step: RouteStep, job: Job, fault: FaultItem | None = None) -> list[Item]:
    """What a step is done over on this piece; an empty list when there is nothing."""
    if fault is not None:
        return [Item(fault=fault)]
    if step.over == "part":
        return _part_items(step, job)
    surfaces = _surfaces(step, job)
    if step.over == "surface":
        return [Item(key=surface.key, surfaces=(surface,)) for surface in surfaces]
    if step.does in SURFACE_WORK and not surfaces and (job.surfaces or step.groups):
        return []
    return [Item(surfaces=surfaces)]


def _wanted(step: RouteStep, job: Job) -> bool:
    """An optional step only when asked for; stripping only where there is an old finish."""
    if step.optional and step.key not in job.options:
        return False
    return step.does != "strip" or job.has_old_finish


def _coats(step: RouteStep, job: Job, fault: FaultItem | None) -> int:
    """The coats chosen for the piece hold for its route, not for the small coats of a repair."""
    if step.does != "coat" or fault is not None:
        return step.coats
    return int(job.coats.get(step.product, step.coats))


def _surfaces(step: RouteStep, job: Job) -> tuple[Surface, ...]:
    counted = step.over == "surface" or step.does in SURFACE_WORK or step.minutes_per_m2 > 0 or step.groups
    groups = step.groups or OUTSIDE
    return tuple(surface for surface in job.surfaces if counted and surface.group in groups)


def _part_items(step: RouteStep, job: Job) -> list[Item]:
    decisions = DECISIONS_FOR.get(step.does)
    parts = [
        part
        for part in job.parts
        if (not step.parts_kinds or part.kind in step.parts_kinds) and (not decisions or part.decision in decisions)
    ]
    if "{part}" not in step.title:
        return [Item(parts=tuple(parts))] if parts else []
    kinds = dict.fromkeys(part.kind for part in parts)
    return [Item(key=kind, parts=tuple(part for part in parts if part.kind == kind)) for kind in kinds]


def _add_chain(block: Block, item: Item, coats: int, between: RouteStep | None, job: Job) -> None:
    """Coat after coat over one item, each waiting for the one before and for the rub-down between."""
    last = _draft(block.step, item, job, 1, coats)
    block.drafts.append(last)
    block.heads[item.key] = last.key
    for number in range(2, coats + 1):
        coat = _draft(block.step, item, job, number, coats)
        block.waits.append(_recoat(last, coat, f"Coat {number - 1} must be dry enough for coat {number}."))
        if between is not None:
            rub = _rub_draft(between, block.step, item, job, number - 1)
            block.drafts.append(rub)
            block.waits.append(_recoat(last, rub, f"Coat {number - 1} must be dry enough to rub down."))
            block.waits.append(WaitDraft(rub.key, coat.key))
        block.drafts.append(coat)
        last = coat
    block.tails[item.key] = last.key


def _recoat(first: StepDraft, then: StepDraft, text: str) -> WaitDraft:
    return WaitDraft(first.key, then.key, "drying", from_label="recoat", text=text)


def _rub_draft(rub: RouteStep, coat: RouteStep, item: Item, job: Job, number: int) -> StepDraft:
    """The rub-down after one coat, over the same surfaces as the coat."""
    draft = _draft(replace(rub, over=coat.over, groups=coat.groups, product=""), item, job, 1, 1)
    return replace(draft, key=f"{draft.key}#{number}", title=f"{draft.title}, after coat {number}", coat_number=number)


def _draft(step: RouteStep, item: Item, job: Job, coat: int, coats: int) -> StepDraft:
    minutes = _minutes(step, item)
    is_coat = step.does == "coat"
    product = job.products.get(step.product)
    return StepDraft(
        key=_key(step, item) + (f"#{coat}" if is_coat else ""),
        route_key=step.key,
        title=_title(step, item, job, coat, coats),
        does=step.does,
        minutes=minutes,
        spread_minutes=math.ceil(minutes * step.spread),
        hands=step.hands,
        place=step.place,
        dusty=step.dusty,
        split=step.split,
        skill=step.skill,
        noisy=step.noisy,
        solvent=step.solvent or (product is not None and gives_off_vapour(product.class_key)),
        ignition=step.ignition,
        clamps=step.clamps,
        rack_dm2=_room_while_wet(item) if is_coat else 0,
        surface_keys=tuple(surface.key for surface in item.surfaces),
        part_keys=tuple(part.key for part in item.parts),
        fault_key=item.fault.key if item.fault else "",
        product_role=step.product,
        class_key=product.class_key if product else "",
        coat_number=coat if is_coat else 0,
        coats=coats if is_coat else 0,
        cautions=_cautions(step, job),
        needs=step.needs,
        note=step.note,
    )


def _key(step: RouteStep, item: Item) -> str:
    """Unique and the same each time: step keys hold neither ':' nor '/' nor '#'."""
    if item.fault:
        return f"repair/{item.fault.key}/{step.key}"
    return f"{step.key}:{item.key}" if item.key else step.key


def _minutes(step: RouteStep, item: Item) -> int:
    """Hands-on minutes, rounded up to five; never less than five, for nothing is done in no time."""
    count = len(item.parts) if step.over == "part" else 1
    area = sum(surface.area_m2 for surface in item.surfaces)
    minutes = step.minutes * count + step.minutes_per_m2 * area
    return max(5, 5 * math.ceil(minutes / 5 - 1e-9))


def _room_while_wet(item: Item) -> int:
    """Room on the rack [dm²]: the coated area of doors and drawer fronts, rounded up; the carcase stands where it was coated."""
    area = sum(surface.area_m2 for surface in item.surfaces if surface.group in LOOSE)
    return math.ceil(100 * area - 1e-9)


def _cautions(step: RouteStep, job: Job) -> tuple[str, ...]:
    """The step's own cautions and those of the product in hand, whichever can was chosen."""
    product = job.products.get(step.product)
    if product is None or (not product.class_key and step.product in ROLES_WITHOUT_CLASS):
        return step.cautions
    return tuple(dict.fromkeys((*step.cautions, *cautions_for(product.class_key))))


def _title(step: RouteStep, item: Item, job: Job, coat: int, coats: int) -> str:
    product = job.products.get(step.product)
    words = {
        "surface": _surface_words(item.surfaces),
        "part": part_words(item.parts, job),
        "fault": _fault_words(item.fault),
        "product": product.name if product else step.product,
        "coat": str(coat),
        "coats": str(coats),
    }
    title = step.title.format(**words)
    told = "{coat}" in step.title
    return title if told or coats == 1 else f"{title}, coat {coat} of {coats}"


def part_words(parts: tuple[PartItem, ...], job: Job) -> str:
    """How a group of parts is spoken of: "hinge", "six pulls", or "six cup pulls" where all have that name.

    A name that tells a place, as in "right door, lock", gives the plain kind: "lock".
    """
    if not parts:
        return "fittings"
    kind = parts[0].kind
    one, many = job.kind_names.get(kind, (kind, f"{kind}s"))
    name = parts[0].name
    if "," not in name and all(part.name == name for part in parts) and name.lower().endswith(f" {one}"):
        one, many = name.lower(), name.lower()[: -len(one)] + many
    if len(parts) == 1:
        return one
    count = _NUMBERS[len(parts)] if len(parts) < len(_NUMBERS) else str(len(parts))
    return f"{count} {many}"


def _surface_words(surfaces: tuple[Surface, ...]) -> str:
    names = [surface.name for surface in surfaces]
    if not names or len(names) > 3:
        return "surfaces"
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _fault_words(fault: FaultItem | None) -> str:
    if fault is None:
        return "fault"
    if not fault.where or fault.where.lower() in fault.name.lower():
        return fault.name
    return f"{fault.name} ({fault.where})"
