"""Unroll a route and its repairs over a piece into steps and waits.

Rules, each kept by one function below:
- a step follows the step before it in its lane, or those it names; what this piece has no use for drops out (`_weave`);
- repairs of the wood come after stripping and cleaning and before any finishing (`_hold_finish`);
- repairs of fittings hold up only the putting back (`_hold_put_back`);
- work beside the woodwork ends at the put-back, everything else at the last check (`_tie_ends`);
- untested old paint is tested for lead before anything is done but looking (`_lead_first`).

Every wait points from an earlier step of the list to a later one, so the steps can never wait in a ring.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from tallboy.errors import BadInput
from tallboy.work.block import Block, make_block
from tallboy.work.job import FaultItem, Job, Product, StepDraft, Unrolled, WaitDraft, check_job
from tallboy.work.route import LEAD_TEST_KEY, Repair, Route, RouteStep
from tallboy.work.words import FINISH_WORK, ROLES_WITHOUT_CLASS, SIDE_WORK, STIRS_PAINT

LEAD_TEST = RouteStep(
    key=LEAD_TEST_KEY,
    title="Test the old paint for lead",
    does="test",
    minutes=20,
    spread=0.3,
    cautions=("lead", "sharp"),
    needs=("Lead test made for paint, or a sample bag for a laboratory", "Sharp knife", "Wet wipes", "Gloves"),
    note="Cut a small notch down to the wood, so that every layer is tested. Record the result with the piece.",
)
_WET_NEEDS = ("Water spray: keep the dust wet", "Vacuum with a class H (HEPA) filter", "P3 or P100 mask")
_DRY_PAPER, _WET_PAPER = re.compile(r"\babrasive paper\b", re.IGNORECASE), "wet-and-dry paper"
_TOO_COARSE = ("Vacuum with a fine filter", "Dust mask")
_OTHER_FAULT = "other"


@dataclass
class _Chain:
    """Blocks woven together, in order. `links` holds (first, then) by step key for the blocks that are there."""

    blocks: dict[str, Block] = field(default_factory=dict)
    links: list[tuple[str, str]] = field(default_factory=list)
    waits: list[WaitDraft] = field(default_factory=list)

    def ends(self) -> list[str]:
        """Keys of the drafts that nothing in the chain waits for."""
        before = {first for first, _ in self.links}
        return [tail for key, block in self.blocks.items() if key not in before for tail in block.tails.values()]

    def starts(self) -> list[str]:
        """Keys of the drafts that wait for nothing in the chain."""
        behind = {then for _, then in self.links}
        return [head for key, block in self.blocks.items() if key not in behind for head in block.heads.values()]

    def drafts(self) -> list[StepDraft]:
        """All steps of the chain, in order."""
        return [draft for block in self.blocks.values() for draft in block.drafts]


def unroll(route: Route, repairs: Mapping[str, Repair], job: Job) -> Unrolled:
    """Unroll a route over a piece, with the repairs its faults call for.

    Parameters: `route` and `repairs` (by kind of fault; kind "other" serves for kinds that have none), both as read by
    `route_from_dict` and `repair_from_dict`; `job`, the piece. Times in minutes, areas in square metres.
    Returns: steps in an order that obeys every wait, and the waits. The first step comes before all others and the last
    after all others.
    Raises: BadInput when the job cannot be read or a fault has no repair.
    Source: own derivation, the rules at the top of this file.
    """
    check_job(job)
    main = _weave(route.steps, _with_products(job, route.products))
    mends = [(_repair_for(repairs, fault), fault) for fault in job.faults]
    chains = [(repair, _weave(repair.steps, _with_products(job, repair.products), fault)) for repair, fault in mends]
    wood = [chain for repair, chain in chains if repair.before == "finish"]
    fittings = [chain for repair, chain in chains if repair.before == "put-back"]
    waits = [wait for chain in (main, *wood, *fittings) for wait in chain.waits]
    waits += _hold_finish(main, wood)
    waits += _hold_put_back(main, fittings)
    steps = _in_order(main, wood, fittings)
    waits += _tie_ends(main, steps, waits)
    if job.mind_lead:
        steps, waits = _lead_first(steps, waits, job)
    return Unrolled(tuple(steps), tuple(_once(waits)))


def _repair_for(repairs: Mapping[str, Repair], fault: FaultItem) -> Repair:
    repair = repairs.get(fault.kind) or repairs.get(_OTHER_FAULT)
    if repair is None:
        known = ", ".join(sorted(repairs)) or "none"
        raise BadInput(
            f"No repair is known for the fault {fault.name!r} ({fault.kind}).", f"Repairs are known for: {known}."
        )
    return repair


def _with_products(job: Job, classes: Mapping[str, str]) -> Job:
    """The job with a nameless can of the usual class for every role that none was chosen for."""
    usual = {role: Product("", role, class_key) for role, class_key in classes.items()}
    return replace(job, products={**usual, **job.products})


def _is_side(step: RouteStep) -> bool:
    """Metal, fetching and mending of fittings run beside the woodwork."""
    return step.does in SIDE_WORK or (step.does == "repair" and step.over == "part")


def _is_between(step: RouteStep) -> bool:
    """A rub-down that names a product goes between the coats of that product."""
    return step.does == "rub-down" and bool(step.product)


def _weave(steps: Iterable[RouteStep], job: Job, fault: FaultItem | None = None) -> _Chain:
    """Make the blocks and tie each to those it follows; what drops out is followed through to what came before it."""
    steps = list(steps)
    between = {step.product: step for step in reversed(steps) if _is_between(step)}
    follows = _follows(steps, lanes=fault is None)
    chain = _Chain()
    stands: dict[str, list[str]] = {}
    for step in steps:
        block = None if _is_between(step) else make_block(step, job, between.get(step.product), fault)
        if block is None or _has_nothing_to_rub(step, follows, chain.blocks):
            stands[step.key] = _each_once(stand for name in follows[step.key] for stand in stands[name])
            continue
        stands[step.key] = [step.key]
        chain.waits += block.waits
        for name, waits_here in _standing(step.key, follows, stands, chain.blocks):
            chain.links.append((name, step.key))
            chain.waits += _join(chain.blocks[name], block, waits_here)
        chain.blocks[step.key] = block
    return chain


def _has_nothing_to_rub(step: RouteStep, follows: Mapping[str, tuple[str, ...]], blocks: Mapping[str, Block]) -> bool:
    """A rub-down drops out with the coat it was to smooth."""
    return step.does == "rub-down" and not any(name in blocks for name in follows[step.key])


def _follows(steps: list[RouteStep], lanes: bool) -> dict[str, tuple[str, ...]]:
    """For each step the keys it follows: those it names, or the step before it (in its lane, if there are lanes)."""
    follows: dict[str, tuple[str, ...]] = {}
    last: dict[str, str] = {}
    for step in steps:
        lane = "side" if lanes and _is_side(step) else "wood"
        before = _before(step, lane, last)
        follows[step.key] = step.after or ((before,) if before else ())
        if lane == "side" and step.does == "metal":
            last["side"] = step.key
        elif lane == "wood" and not _is_between(step):
            last["wood"] = step.key
        if step.does == "take-down":
            last["take-down"] = step.key
    return follows


def _before(step: RouteStep, lane: str, last: Mapping[str, str]) -> str | None:
    """The step before in its lane. Beside the wood the first follows the take-down, and looking for a stand-in always does."""
    if lane == "wood":
        return last.get("wood")
    if step.does == "fetch":
        return last.get("take-down")
    return last.get("side") or last.get("take-down")


def _standing(
    key: str, follows: Mapping[str, tuple[str, ...]], stands: Mapping[str, list[str]], blocks: Mapping[str, Block]
) -> list[tuple[str, bool]]:
    """The blocks that a step follows, and for each whether the step's wait counts from it.

    The wait counts from the first step named. Where that one dropped out, what came before it stands in for it
    (`stands`), and the wait is kept only from a step that used a product: what never got wet need not dry.
    """
    found: dict[str, bool] = {}
    for place, name in enumerate(follows[key]):
        for stand in stands[name]:
            counts = place == 0 and (stand == name or bool(blocks[stand].step.product))
            found[stand] = found.get(stand, False) or counts
    return list(found.items())


def _each_once(names: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(names))


def _join(first: Block, then: Block, waits_here: bool) -> list[WaitDraft]:
    """Waits from one block to the next: item to same item where both have it, otherwise all to all."""
    pairs = [(tail, then.heads[item]) for item, tail in first.tails.items() if item in then.heads]
    loose_tails = [tail for item, tail in first.tails.items() if item not in then.heads]
    loose_heads = [head for item, head in then.heads.items() if item not in first.tails]
    pairs += [(tail, head) for tail in loose_tails for head in then.heads.values()]
    pairs += [(tail, head) for tail in first.tails.values() for head in loose_heads if tail not in loose_tails]
    return [_wait(first.step, then.step, tail, head, waits_here) for tail, head in pairs]


def _wait(first: RouteStep, then: RouteStep, tail: str, head: str, waits_here: bool) -> WaitDraft:
    """The wait that the later step asks for; a label time only from a product that has one."""
    label = then.from_label if first.product and first.product not in ROLES_WITHOUT_CLASS else ""
    if not waits_here or not (label or then.least_minutes or then.most_minutes):
        return WaitDraft(tail, head)
    return WaitDraft(tail, head, then.wait_kind, then.least_minutes, then.most_minutes, label, then.wait_text)


def _hold_finish(main: _Chain, wood: list[_Chain]) -> list[WaitDraft]:
    """Repairs start when the first finishing could have started, and no finishing starts before they are done."""
    heads = _first_finishing(main)
    first = list(main.blocks.values())[_split_index(main)]
    into = [wait for wait in main.waits if wait.then in first.heads.values()]
    waits: list[WaitDraft] = []
    for chain in wood:
        for start in chain.starts():
            waits += [replace(wait, then=start) for wait in into] or [WaitDraft(_root(main), start)]
        waits += [WaitDraft(end, head) for end in chain.ends() for head in heads]
    return waits


def _split_index(main: _Chain) -> int:
    """Where in the woodwork finishing begins; the last check is always there to be found."""
    return next(i for i, block in enumerate(main.blocks.values()) if _is_finish(block.step))


def _is_finish(step: RouteStep) -> bool:
    return step.does in FINISH_WORK and not _is_side(step)


def _first_finishing(main: _Chain) -> list[str]:
    """First steps of all finishing that has no finishing before it."""
    finish = [key for key, block in main.blocks.items() if _is_finish(block.step)]
    behind: set[str] = set()
    for key in main.blocks:
        if any(then == key and (first in finish or first in behind) for first, then in main.links):
            behind.add(key)
    return [head for key in finish if key not in behind for head in main.blocks[key].heads.values()]


def _hold_put_back(main: _Chain, fittings: list[_Chain]) -> list[WaitDraft]:
    """Repairs of fittings start when the fittings are off, and hold up only the putting back."""
    off = [block for block in main.blocks.values() if block.step.does == "take-down"]
    firsts = [tail for block in off[:1] for tail in block.tails.values()] or [_root(main)]
    waits: list[WaitDraft] = []
    for chain in fittings:
        waits += [WaitDraft(first, start) for first in firsts for start in chain.starts()]
        waits += [WaitDraft(end, head) for end in chain.ends() for head in _put_back_heads(main)]
    return waits


def _put_back_block(main: _Chain) -> Block:
    """The first put-back, or the last check where nothing is put back."""
    backs = [block for block in main.blocks.values() if block.step.does == "put-back"]
    return backs[0] if backs else list(main.blocks.values())[-1]


def _put_back_heads(main: _Chain) -> list[str]:
    return list(_put_back_block(main).heads.values())


def _root(main: _Chain) -> str:
    return next(iter(main.blocks.values())).drafts[0].key


def _in_order(main: _Chain, wood: list[_Chain], fittings: list[_Chain]) -> list[StepDraft]:
    """All steps: repairs of the wood before the finishing, repairs of fittings before the putting back."""
    split = _split_index(main)
    back = _put_back_block(main)
    steps: list[StepDraft] = []
    for index, block in enumerate(main.blocks.values()):
        if index == split:
            steps += [draft for chain in wood for draft in chain.drafts()]
        if block is back:
            steps += [draft for chain in fittings for draft in chain.drafts()]
        steps += block.drafts
    return steps


def _tie_ends(main: _Chain, steps: list[StepDraft], waits: list[WaitDraft]) -> list[WaitDraft]:
    """No loose ends: what waits for nothing follows the first step; what nothing waits for goes to put-back or check."""
    place = {draft.key: index for index, draft in enumerate(steps)}
    root, check = steps[0].key, steps[-1].key
    backs = _put_back_heads(main)
    behind = {wait.then for wait in waits}
    before = {wait.first for wait in waits}
    side = _side_ends(main)
    tied = [WaitDraft(root, draft.key) for draft in steps if draft.key not in behind | {root}]
    for draft in steps[:-1]:
        aims = [head for head in backs if draft.key in side and place[draft.key] < place[head]]
        if aims or draft.key not in before:
            tied += [WaitDraft(draft.key, aim) for aim in aims or [check] if aim != draft.key]
    return tied


def _side_ends(main: _Chain) -> set[str]:
    """Last steps of the work beside the wood: nothing beside the wood waits for them."""
    busy = {first for first, then in main.links if _is_side(main.blocks[then].step)}
    ends = [block for key, block in main.blocks.items() if _is_side(block.step) and key not in busy]
    return {tail for block in ends for tail in block.tails.values()}


def _lead_first(steps: list[StepDraft], waits: list[WaitDraft], job: Job) -> tuple[list[StepDraft], list[WaitDraft]]:
    """Untested paint is tested before all but looking; work that stirs it carries the lead caution, and dust is kept wet."""
    raising = {draft.key for draft in steps if draft.dusty or draft.does in STIRS_PAINT}
    marked = [_mind_lead(draft) if draft.key in raising else draft for draft in steps]
    if not job.lead_test_due:
        return marked, waits
    block = make_block(LEAD_TEST, job)
    tests = block.drafts if block else []
    looks = _looks_first(steps, waits)
    next_up = {wait.then for wait in waits if wait.first in looks and wait.then not in looks} or {steps[0].key}
    text = "The old paint must be tested for lead first."
    into = [WaitDraft(look, LEAD_TEST_KEY) for look in looks]
    after = [WaitDraft(LEAD_TEST_KEY, draft.key, text=text) for draft in steps if draft.key in raising | next_up]
    before = [draft for draft in marked if draft.key in looks]
    return before + tests + [draft for draft in marked if draft.key not in looks], into + after + waits


def _looks_first(steps: list[StepDraft], waits: list[WaitDraft]) -> dict[str, None]:
    """Keys of the looking and photographing that waits for nothing else: it stirs nothing, so no test need come before it."""
    looks: dict[str, None] = {}
    for draft in steps[:-1]:
        first = [wait.first for wait in waits if wait.then == draft.key]
        if draft.does == "look" and not draft.dusty and all(key in looks for key in first):
            looks[draft.key] = None
    return looks


def _mind_lead(draft: StepDraft) -> StepDraft:
    """The lead caution; what makes dust is worked wet, with paper, vacuum and mask for that, and sanding says so in its title."""
    cautions = tuple(dict.fromkeys(("lead", *draft.cautions)))
    if not draft.dusty:
        return replace(draft, cautions=cautions)
    needs = tuple(_wet_need(need) for need in draft.needs if need not in _TOO_COARSE) + _WET_NEEDS
    title = f"{draft.title}, wet" if draft.does == "sand" else draft.title
    return replace(draft, title=title, cautions=cautions, needs=needs)


def _wet_need(need: str) -> str:
    """Abrasive paper 150 and 220: Wet-and-dry paper 150 and 220."""
    wet = _DRY_PAPER.sub(_WET_PAPER, need)
    return wet[:1].upper() + wet[1:]


def _once(waits: list[WaitDraft]) -> list[WaitDraft]:
    """One wait for each pair of steps and each label; a bare order is dropped where the pair has a real wait."""
    real = {(wait.first, wait.then) for wait in waits if wait.kind != "order"}
    kept = [wait for wait in waits if wait.kind != "order" or (wait.first, wait.then) not in real]
    return list(dict.fromkeys(kept))
