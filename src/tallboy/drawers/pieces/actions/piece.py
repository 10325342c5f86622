"""What is written of a piece: faults, tests, notes, photographs, promise, and handing it over."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from tallboy.book.actions import keep_photo
from tallboy.book.doing import By, action
from tallboy.drawers.pieces import queries
from tallboy.drawers.pieces.actions.guard import ours
from tallboy.drawers.pieces.actions.hardware import leave_empty, part_gone
from tallboy.drawers.pieces.actions.work import finish_step
from tallboy.drawers.pieces.models import Fault, Note, Part, Piece, PiecePhoto, Position, SpotTest, Step
from tallboy.errors import BadInput, NotFound, Refused, Unaccounted
from tallboy.front.piecefile import check_promise
from tallboy.work.route import LEAD_TEST_KEY

EDITABLE = frozenset({"name", "woods", "old_finish", "age", "old_paint", "own_stock", "customer", "promise"})


def _on_it(piece: Piece, *rows: Position | Part | Step | None) -> None:
    """What a remark, a photograph or a fault is about must be of the same piece."""
    if any(row is not None and row.piece_id != piece.pk for row in rows):
        raise NotFound(_("That does not belong to %(piece)s.") % {"piece": piece.name})


@action
def edit_piece(by: By, piece: Piece, **fields: Any) -> Piece:
    """Change what is written of a piece; only what is in EDITABLE. A promise in the past is refused."""
    piece = ours(by, piece)
    unknown = sorted(set(fields) - EDITABLE)
    if unknown:
        raise BadInput(_("A piece has no %(name)s to change.") % {"name": unknown[0]}, ", ".join(sorted(EDITABLE)))
    if "name" in fields and not str(fields["name"]).strip():
        raise BadInput(_("A piece needs a name."), _("Say in a word or two what it is."))
    promise: date | None = fields.get("promise")
    if promise is not None and promise != piece.promise:
        check_promise(promise, by.at.astimezone(by.shop.tz).date())
    before = {name: str(getattr(piece, name)) for name in fields}
    for name, value in fields.items():
        setattr(piece, name, value)
    piece.save(update_fields=list(fields))
    by.record("edit piece", piece, _("Changed what is written of %(piece)s.") % {"piece": piece.name}, before=before)
    return piece


@action
def add_fault(
    by: By, piece: Piece, kind: str, where: str = "", note: str = "", position: Position | None = None
) -> Fault:
    """Write down a fault; its repair joins the steps when they are next laid out."""
    piece = ours(by, piece)
    _on_it(piece, position)
    fault = Fault.objects.create(
        **by.kept(), piece=piece, kind=kind, where=where.strip(), note=note.strip(), position=position, found_at=by.at
    )
    by.record("add fault", piece, _("Found on %(piece)s: %(fault)s.") % {"piece": piece.name, "fault": fault})
    return fault


@action
def add_spot_test(by: By, piece: Piece, liquid: str, result: str, where: str = "") -> SpotTest:
    """Write down a spot test."""
    piece = ours(by, piece)
    test = SpotTest.objects.create(**by.kept(), piece=piece, liquid=liquid, where=where, result=result, at=by.at)
    by.record("spot test", piece, _("Spot test on %(piece)s: %(test)s.") % {"piece": piece.name, "test": test})
    return test


@action
def record_lead_test(by: By, piece: Piece, result: str) -> Piece:
    """What the lead test of the old paint said. It ends the step of the test; work that stirs the paint is refused until then."""
    piece = ours(by, piece)
    if result not in (Piece.Lead.NONE, Piece.Lead.FOUND):
        raise BadInput(
            _("%(result)s is no result of a lead test.") % {"result": repr(result)},
            ", ".join([Piece.Lead.NONE.value, Piece.Lead.FOUND.value]),
        )
    piece.lead_test, piece.lead_tested_at, piece.old_paint = result, by.at, True
    piece.save(update_fields=["lead_test", "lead_tested_at", "old_paint"])
    by.record(
        "record lead test",
        piece,
        _("Lead test on %(piece)s: %(result)s.") % {"piece": piece.name, "result": piece.get_lead_test_display()},
    )
    if piece.in_the_shop:
        for step in piece.steps.filter(key=LEAD_TEST_KEY, state__in=[Step.State.TO_DO, Step.State.RUNNING]):
            finish_step(by, step)
    return piece


@action
def add_note(by: By, piece: Piece, text: str, *, part: Part | None = None, step: Step | None = None) -> Note:
    """Write a remark on a piece, or on one of its parts or steps."""
    piece = ours(by, piece)
    _on_it(piece, part, step)
    if not text.strip():
        raise BadInput(_("The note is empty."), _("Write a word."))
    note = Note.objects.create(**by.kept(), piece=piece, text=text.strip(), at=by.at, part=part, step=step)
    by.record("add note", piece, _("Noted on %(piece)s: %(note)s") % {"piece": piece.name, "note": note})
    return note


@action
def add_photo(
    by: By,
    piece: Piece,
    data: bytes,
    name: str,
    *,
    purpose: str = PiecePhoto.Purpose.DURING,
    caption: str = "",
    position: Position | None = None,
    part: Part | None = None,
    step: Step | None = None,
) -> PiecePhoto:
    """Keep a photograph of a piece, of one of its positions, parts or steps."""
    piece = ours(by, piece)
    _on_it(piece, position, part, step)
    photo = keep_photo(by, data, name)
    use = PiecePhoto.objects.create(
        **by.kept(),
        piece=piece,
        photo=photo,
        purpose=purpose,
        caption=caption.strip(),
        position=position,
        part=part,
        step=step,
        taken_at=by.at,
    )
    what = f"{piece.name}, {(part or position or step)}" if part or position or step else piece.name
    by.record("add photo", piece, _("Photographed %(what)s.") % {"what": what}, photo=photo.digest)
    return use


@action
def hand_over(by: By, piece: Piece, *, note: str = "", reasons: Mapping[str, str] | None = None) -> Piece:
    """Hand a piece over. Every position must be accounted for, every part on it, in a bin, or gone with the reason.

    `reasons` gives a reason by a position's code, or by a part's label for a loose part. Raises Unaccounted naming
    what is left; nothing is changed then.
    """
    piece = ours(by, piece)
    if not piece.in_the_shop:
        raise Refused(_("%(piece)s has been handed over already.") % {"piece": piece.name})
    given = {key: reason.strip() for key, reason in (reasons or {}).items() if reason.strip()}
    for row in queries.unaccounted(piece):
        if row.position.code in given:
            leave_empty(by, row.position, given[row.position.code])
    for part in queries.loose_parts(piece):
        if part.label in given:
            part_gone(by, part, given[part.label])
    _refuse_unaccounted(piece)
    running = Step.objects.filter(piece=piece, state=Step.State.RUNNING).first()
    if running is not None:
        raise Refused(_("“%(step)s” is still begun.") % {"step": running.title}, _("Finish or skip it first."))
    piece.handed_over_at, piece.hand_over_note = by.at, note.strip()
    piece.save(update_fields=["handed_over_at", "hand_over_note"])
    by.record("hand over", piece, _("Handed over %(piece)s.") % {"piece": piece.name}, reasons=given)
    return piece


def _refuse_unaccounted(piece: Piece) -> None:
    left = [row.position.name for row in queries.unaccounted(piece)]
    loose = [f"{part.label} ({part.at_spot})" for part in queries.loose_parts(piece)]
    if left or loose:
        raise Unaccounted(
            _("%(piece)s cannot be handed over yet. Not accounted for: %(what)s.")
            % {"piece": piece.name, "what": "; ".join([*left, *loose])},
            _("Fit each, lay it in a bin, or give the reason."),
        )
