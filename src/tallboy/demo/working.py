"""Working through the demo's plan: what a person would have tapped, at the times the plan gave."""

from __future__ import annotations

from datetime import datetime, timedelta

from tallboy.book.doing import By
from tallboy.demo.pictures import part_picture
from tallboy.drawers.pieces.actions.hardware import lay, put_on, take_off
from tallboy.drawers.pieces.actions.piece import add_photo, record_lead_test
from tallboy.drawers.pieces.actions.work import finish_step, pause_step, start_step
from tallboy.drawers.pieces.models import ClockEntry, Part, Piece, PiecePhoto, Position, Spot, Step
from tallboy.drawers.today.felt import touch_coat, touches_of
from tallboy.drawers.today.gathering.waits import may_be_felt
from tallboy.drawers.today.models import PlannedStep
from tallboy.drawers.today.queries import current_plan

CONDITIONS = ("dirty", "sound", "rusted", "dirty", "worn", "bent")
DECISIONS = ("clean", "keep", "clean", "clean", "repair", "repair")
PHOTOGRAPHED = 4
A_DAY_S_WORK, A_LITTLE = timedelta(hours=8), timedelta(minutes=10)
SLOTS_USED = 5
METALS = {"trolley": "steel, chromed", "hall stand": "iron"}


def work_until(by: By, now: datetime) -> None:
    """Do what the plan in force says, up to `now`: begin each step, lay it aside between its blocks, finish it."""
    plan = current_plan(by.shop)
    if plan is None:
        return
    for row in PlannedStep.objects.filter(plan=plan, start__lt=now).select_related("step__piece").order_by("start"):
        _work(by, row, now)


def _work(by: By, row: PlannedStep, now: datetime) -> None:
    blocks = row.spans()
    for number, (start, end) in enumerate(blocks):
        if start >= now or not Step.objects.get(pk=row.step_id).open:
            return
        _feel(by, row.step, start)
        if not ClockEntry.objects.filter(step=row.step_id, ended_at__isnull=True).exists():
            start_step(by.later(start), row.step)
        if end > now:
            return
        if number < len(blocks) - 1:
            pause_step(by.later(end), row.step)
            continue
        _hands(by.later(end), row.step)
        if _is_lead_test(row.step):
            # Its result ends the step.
            record_lead_test(by.later(end), row.step.piece, Piece.Lead.NONE)
        else:
            finish_step(by.later(end), row.step)


def _feel(by: By, step: Step, start: datetime) -> None:
    """Before a step on a coat a finger tries it: not yet on the way there, dry enough a little before; after a night only that."""
    waits = step.waits_before.filter(kind="drying", first__state=Step.State.DONE).exclude(from_label="")
    for wait in waits.select_related("first__product"):
        laid = wait.first.ended_at
        if laid is None or not may_be_felt(wait.first) or touches_of(wait.first).exists():
            continue
        if start - laid < A_DAY_S_WORK:
            touch_coat(by.later(laid + (start - laid) * 0.7), wait.first, wait.from_label, False)
        touch_coat(by.later(start - A_LITTLE), wait.first, wait.from_label, True)


def _is_lead_test(step: Step) -> bool:
    return step.does == "test" and step.piece.lead_unknown


def _hands(by: By, step: Step) -> None:
    """What a step changes besides itself: parts come off, go to soak, go back."""
    if step.does == "take-down":
        _take_down(by, step.piece)
        if any("soak" in key for key in _keys_to_do(step.piece)):
            _soak(by, step.piece)
    elif step.does == "metal" and "soak" not in step.key:
        _out_of_the_jar(by, step.piece)
    elif step.does == "put-back":
        _put_back(by, step.piece)


def _take_down(by: By, piece: Piece) -> None:
    trays = list(Spot.objects.filter(shop=by.shop, kind=Spot.Kind.TRAY).order_by("name"))
    tray = trays[piece.pk % len(trays)]
    rows = Position.objects.filter(piece=piece, taken_off_at__isnull=True, missing_at_take_in=False)
    for number, position in enumerate(rows):
        if position.kind == "other":
            continue
        part = take_off(
            by,
            position,
            kind=position.kind,
            name=f"{position.detail} {position.kind}".strip(),
            spot=tray,
            metal=METALS.get(piece.kind, "brass"),
            condition=CONDITIONS[number % len(CONDITIONS)],
            decision=DECISIONS[number % len(DECISIONS)],
            screws=position.screws,
        )
        if number < PHOTOGRAPHED:
            picture = part_picture((181, 148, 70), 2 + number % 3)
            purpose = PiecePhoto.Purpose.TAKE_DOWN
            add_photo(by, piece, picture, f"part-{number}.jpg", purpose=purpose, position=position, part=part)


def _put_back(by: By, piece: Piece) -> None:
    for part in Part.objects.filter(piece=piece, at_spot__isnull=False, home__isnull=False).select_related("home"):
        assert part.home is not None
        put_on(by, part, part.home)


def _keys_to_do(piece: Piece) -> list[str]:
    return [step.key for step in piece.steps.all() if step.open]


def _soak(by: By, piece: Piece) -> None:
    """Lay hinges and pulls into free slots, one each, as far as there are slots."""
    free = Spot.objects.filter(shop=by.shop, kind=Spot.Kind.SLOT, parts__isnull=True).order_by("pk")
    loose = Part.objects.filter(piece=piece, at_spot__kind=Spot.Kind.TRAY, kind__in=["hinge", "pull", "escutcheon"])
    for part, slot in zip(loose, free[:SLOTS_USED], strict=False):
        lay(by, part, slot, "soak")


def _out_of_the_jar(by: By, piece: Piece) -> None:
    tray = Spot.objects.filter(shop=by.shop, kind=Spot.Kind.TRAY).order_by("name").last()
    for part in Part.objects.filter(piece=piece, at_spot__kind=Spot.Kind.SLOT):
        assert tray is not None
        lay(by, part, tray, "out of the jar")
