"""Take-down and put-back: every change of a part's whereabouts."""

from __future__ import annotations

from typing import Any

from django.db.models import F
from django.utils.translation import gettext as _

from tallboy.book.doing import By, action
from tallboy.book.models import Shop
from tallboy.drawers.pieces.actions.guard import refuse_gone
from tallboy.drawers.pieces.models import Move, Part, Position, Spot
from tallboy.drawers.pieces.whereabouts import Whereabouts, gone, in_spot, on_position
from tallboy.errors import BadInput, NotFound, Refused
from tallboy.tables import load

MOST_SCREWS = 60
LONGEST_REASON = 200
DESCRIBABLE = frozenset({"kind", "name", "metal", "screws", "condition", "decision"})


def part_kinds() -> tuple[str, ...]:
    """The kinds of part that the trade's table knows."""
    return tuple(row["key"] for row in load("kinds")["parts"])


def _next_number(by: By) -> int:
    Shop.objects.select_for_update().filter(pk=by.shop.pk).update(parts_numbered=F("parts_numbered") + 1)
    return Shop.objects.values_list("parts_numbered", flat=True).get(pk=by.shop.pk)


def _ours(by: By, *rows: Part | Spot) -> None:
    for row in rows:
        if row.shop_id != by.shop.pk:
            raise NotFound(_("There is no such part or place in this book."))


def _part(by: By, part: Part) -> Part:
    """The part, freshly read and locked."""
    found = Part.objects.select_for_update(of=("self",)).filter(pk=part.pk, shop=by.shop).first()
    if found is None:
        raise NotFound(_("There is no such part in this book."))
    return found


def _position(by: By, position: Position) -> Position:
    """The position, freshly read and locked, of a piece that is in the shop."""
    rows = Position.objects.select_for_update(of=("self",)).select_related("piece")
    found = rows.filter(pk=position.pk, shop=by.shop).first()
    if found is None:
        raise NotFound(_("There is no such position in this book."))
    refuse_gone(found.piece)
    return found


def _nothing_on(position: Position) -> None:
    """Refuse a position that still carries what came with the piece."""
    if position.taken_off_at is None and not position.missing_at_take_in:
        raise Refused(
            _("What came with the piece is still on %(position)s.") % {"position": position.name},
            _("Take it off first."),
        )


def _reason(reason: str, why: str) -> str:
    """The reason as it is kept; `why` asks for it where it is missing."""
    reason = reason.strip()
    if not reason:
        raise BadInput(why, _("Give the reason."))
    if len(reason) > LONGEST_REASON:
        raise BadInput(_("The reason is too long."), _("At most %(most)s letters.") % {"most": LONGEST_REASON})
    if "\0" in reason:
        raise BadInput(_("The reason holds a sign that is no text."), _("Type it anew."))
    return reason


def _checked(kind: str, condition: str, decision: str, screws: int | None) -> None:
    if kind not in part_kinds():
        raise BadInput(
            _("%(kind)s is no kind of part.") % {"kind": repr(kind)},
            _("One of: %(kinds)s.") % {"kinds": ", ".join(part_kinds())},
        )
    if condition not in Part.Condition.values:
        raise BadInput(_("%(value)s is no condition.") % {"value": repr(condition)}, ", ".join(Part.Condition.values))
    if decision not in Part.Decision.values:
        raise BadInput(_("%(value)s is no decision.") % {"value": repr(decision)}, ", ".join(Part.Decision.values))
    if screws is not None and not 0 <= screws <= MOST_SCREWS:
        raise BadInput(
            _("A part with %(count)s screws?") % {"count": screws},
            _("Give a number from 0 to %(most)s.") % {"most": MOST_SCREWS},
        )


def _place(part: Part, where: Whereabouts) -> None:
    part.at_position, part.at_spot, part.gone_because = where.position, where.spot, where.gone_because


def _check_free(where: Whereabouts, part: Part | None = None) -> None:
    """Refuse a position or a slot that another part holds. A slot is locked first, so two people cannot both find it free."""
    others = Part.objects.exclude(pk=part.pk) if part is not None else Part.objects.all()
    if where.spot is not None and where.spot.kind == Spot.Kind.SLOT:
        slot = Spot.objects.select_for_update().get(pk=where.spot.pk)
        other = others.filter(at_spot=slot).first()
        if other is not None:
            raise Refused(
                _("%(slot)s already holds %(part)s.") % {"slot": slot.name, "part": other.label},
                _("A slot names one part only; take another slot or empty this one."),
            )
    if where.position is not None:
        other = others.filter(at_position=where.position).first()
        if other is not None:
            raise Refused(
                _("%(part)s is on %(position)s already.") % {"part": other.label, "position": where.position.name},
                _("Take that one off first."),
            )


def _move(by: By, part: Part, where: Whereabouts, reason: str = "") -> None:
    """Change a part's whereabouts and write its history; refuse what would hide another part or is out of the house."""
    if part.at_position is not None:
        refuse_gone(part.at_position.piece)
    _check_free(where, part)
    before = Whereabouts.of(part).words()
    _place(part, where)
    part.save(update_fields=["at_position", "at_spot", "gone_because"])
    Move.objects.create(**by.kept(), part=part, at=by.at, came_from=before, went_to=where.words(), reason=reason)


@action
def take_off(
    by: By,
    position: Position,
    *,
    kind: str,
    name: str,
    spot: Spot,
    condition: str = Part.Condition.SOUND,
    decision: str = Part.Decision.CLEAN,
    screws: int | None = None,
    metal: str = "",
) -> Part:
    """Take down what sits on a position: record it as a part and lay it in a spot.

    Refused when the part was taken off already, when a stand-in sits there, or when the slot holds another part.
    """
    position = _position(by, position)
    _ours(by, spot)
    _checked(kind, condition, decision, screws)
    if position.taken_off_at is not None:
        raise Refused(
            _("What was on %(position)s has been taken off already.") % {"position": position.name},
            _("Open the part itself to change what is written of it."),
        )
    _check_free(on_position(position))
    _check_free(in_spot(spot))
    part = _new_part(
        by,
        spot,
        came_from=on_position(position).words(),
        reason=_("take-down"),
        piece=position.piece,
        home=position,
        kind=kind,
        name=name.strip() or position.detail or kind,
        metal=metal,
        screws=screws,
        condition=condition,
        decision=decision,
    )
    position.taken_off_at = by.at
    position.missing_at_take_in = False
    position.save(update_fields=["taken_off_at", "missing_at_take_in"])
    by.record(
        "take off",
        part,
        _("Took %(part)s off %(position)s and laid it in %(spot)s.")
        % {"part": part, "position": position.name, "spot": spot.name},
    )
    return part


def _new_part(by: By, spot: Spot, *, came_from: str, reason: str = "", **fields: Any) -> Part:
    """Write a part down where it is laid first, with the first line of its history."""
    part = Part.objects.create(**by.kept(), number=_next_number(by), made_at=by.at, at_spot=spot, **fields)
    Move.objects.create(
        **by.kept(), part=part, at=by.at, came_from=came_from, went_to=in_spot(spot).words(), reason=reason
    )
    return part


@action
def note_missing(by: By, position: Position) -> Position:
    """Nothing was on this position when the piece came in."""
    position = _position(by, position)
    if position.taken_off_at is not None:
        raise Refused(
            _("A part was taken off %(position)s, so it was not missing.") % {"position": position.name},
            _("If that part is lost, say so on its own page."),
        )
    position.missing_at_take_in = True
    position.save(update_fields=["missing_at_take_in"])
    by.record("note missing", position, _("Nothing was on %(position)s.") % {"position": position.name})
    return position


@action
def leave_empty(by: By, position: Position, reason: str) -> Position:
    """A position stays empty at hand-over, with the reason that the owner will read."""
    position = _position(by, position)
    if Part.objects.filter(at_position=position).exists():
        raise Refused(_("There is a part on %(position)s.") % {"position": position.name}, _("Take it off first."))
    _nothing_on(position)
    reason = _reason(reason, _("Why does %(position)s stay empty?") % {"position": position.name})
    position.left_empty_because = reason
    position.save(update_fields=["left_empty_because"])
    by.record(
        "leave empty",
        position,
        _("%(position)s stays empty: %(reason)s") % {"position": position.name, "reason": reason},
    )
    return position


@action
def lay(by: By, part: Part, spot: Spot, reason: str = "") -> Part:
    """Lay a part in a spot: a tray, a bin, a vessel's slot, the bench."""
    part = laid(by, part, spot, reason)
    by.record("lay", part, _("Laid %(part)s in %(spot)s.") % {"part": part, "spot": spot.name})
    return part


def laid(by: By, part: Part, spot: Spot, reason: str) -> Part:
    """Change a part's whereabouts to a spot. Part of other actions, which say in the journal what it was for."""
    part = _part(by, part)
    _ours(by, spot)
    _move(by, part, in_spot(spot), reason)
    return part


@action
def put_on(by: By, part: Part, position: Position) -> Part:
    """Fit a part on a position: its own, or as a stand-in on another."""
    part, position = _part(by, part), _position(by, position)
    _nothing_on(position)
    _move(by, part, on_position(position), _("put-back"))
    if position.left_empty_because:
        position.left_empty_because = ""
        position.save(update_fields=["left_empty_because"])
    by.record("put on", part, _("Fitted %(part)s on %(position)s.") % {"part": part, "position": position.name})
    return part


@action
def part_gone(by: By, part: Part, reason: str) -> Part:
    """A part has left the shop: given back, sold, lent, lost, thrown away. It is never deleted."""
    part = _part(by, part)
    reason = _reason(reason, _("Where has %(part)s gone?") % {"part": part})
    _move(by, part, gone(reason), reason)
    by.record("part gone", part, _("%(part)s is gone: %(reason)s") % {"part": part, "reason": reason})
    return part


@action
def keep_part(
    by: By,
    *,
    kind: str,
    name: str,
    spot: Spot,
    metal: str = "",
    screws: int | None = None,
    condition: str = Part.Condition.SOUND,
) -> Part:
    """Write down a part that came from no piece in the book: bought, found, kept for years."""
    _ours(by, spot)
    _checked(kind, condition, Part.Decision.KEEP, screws)
    if spot.kind == Spot.Kind.SLOT:
        raise Refused(_("Kept parts lie in bins or trays, not in a vessel."), _("Choose a bin, a tray or the bench."))
    part = _new_part(
        by,
        spot,
        came_from=_("outside"),
        kind=kind,
        name=name.strip() or kind,
        metal=metal,
        screws=screws,
        condition=condition,
        decision=Part.Decision.KEEP,
    )
    by.record("keep part", part, _("Kept %(part)s in %(spot)s.") % {"part": part, "spot": spot.name})
    return part


@action
def describe_part(by: By, part: Part, **fields: Any) -> Part:
    """Change what is written of a part; only what is in DESCRIBABLE."""
    part = _part(by, part)
    unknown = sorted(set(fields) - DESCRIBABLE)
    if unknown:
        raise BadInput(_("A part has no %(name)s to change.") % {"name": unknown[0]}, ", ".join(sorted(DESCRIBABLE)))
    before = {name: getattr(part, name) for name in fields}
    for name, value in fields.items():
        setattr(part, name, value)
    _checked(part.kind, part.condition, part.decision, part.screws)
    if not part.name.strip():
        raise BadInput(_("A part needs a name."), _("Say in a word or two what it is."))
    part.save(update_fields=list(fields))
    by.record("describe part", part, _("Changed what is written of %(part)s.") % {"part": part}, before=before)
    return part


@action
def mark_tags_printed(by: By, parts: list[Part]) -> None:
    """Remember that the tags of these parts were printed."""
    _ours(by, *parts)
    Part.objects.filter(pk__in=[part.pk for part in parts]).update(tag_printed_at=by.at)
    labels = ", ".join(part.label for part in parts)
    by.record("print tags", None, _("Printed tags: %(labels)s.") % {"labels": labels})


@action
def add_spot(by: By, name: str, kind: str) -> Spot:
    """A new named place where parts lie."""
    spot = made_spot(by, name, kind)
    by.record("add spot", spot, _("Added %(name)s.") % {"name": spot.name})
    return spot


def made_spot(by: By, name: str, kind: str) -> Spot:
    """A new spot under a name of its own. Part of other actions, which write the journal."""
    name = name.strip()
    if kind not in Spot.Kind.values:
        raise BadInput(_("%(kind)s is no kind of place for parts.") % {"kind": repr(kind)}, ", ".join(Spot.Kind.values))
    if not name:
        raise BadInput(_("The new place has no name."), _("Write what is on its label, like “tray B”."))
    if Spot.objects.filter(shop=by.shop, name=name).exists():
        raise BadInput(_("There is already a place named %(name)s.") % {"name": name}, _("Give it a name of its own."))
    return Spot.objects.create(**by.kept(), name=name, kind=kind)
