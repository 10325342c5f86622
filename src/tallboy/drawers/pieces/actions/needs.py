"""What a step needs besides time: its place, people, skill, clamps, and what it does to the air of the shop."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.utils.translation import gettext as _

from tallboy.book.doing import By, action
from tallboy.book.models import Person
from tallboy.drawers.pieces.models import Step
from tallboy.errors import BadInput, NotFound, Refused
from tallboy.work.route import LONGEST_SKILL, MOST_CLAMPS

MOST_HANDS = 20
MOST_RACK = 10_000
"""[dm²] 100 m² of wet surface: more than any piece has."""
CHANGEABLE = frozenset(
    {"place", "hands", "skill", "dusty", "split", "noisy", "solvent", "ignition", "clamps", "rack_dm2"}
)


@action
def change_needs(by: By, step: Step, *, people: Iterable[Person] | None = None, **fields: Any) -> Step:
    """Change what a step needs that has not begun; only what is in CHANGEABLE, and who alone may do it (None leaves that)."""
    found = (
        Step.objects.select_for_update(of=("self",)).select_related("piece").filter(pk=step.pk, shop=by.shop).first()
    )
    if found is None or set(fields) - CHANGEABLE:
        raise NotFound(_("There is no such step in this book."))
    if not found.piece.in_the_shop or found.state != Step.State.TO_DO:
        raise Refused(
            _("“%(step)s” is %(state)s.") % {"step": found.title, "state": found.get_state_display()},
            _("What it needs can be changed only while it is still to do."),
        )
    before = {name: str(getattr(found, name)) for name in fields}
    for name, value in fields.items():
        setattr(found, name, value)
    _check(by, found)
    found.save(update_fields=sorted(fields))
    if people is not None:
        found.people.set(_of_the_shop(by, people))
    by.record("change needs", found, _("Changed what “%(step)s” needs.") % {"step": found.title}, before=before)
    return found


def _check(by: By, step: Step) -> None:
    if step.place is not None and step.place.shop_id != by.shop.pk:
        raise NotFound(_("There is no such place in this shop."))
    _within(_("Hands"), step.hands, 1, MOST_HANDS)
    _within(_("Clamps"), step.clamps, 0, MOST_CLAMPS)
    _within(_("Room while wet"), step.rack_dm2, 0, MOST_RACK)
    step.skill = step.skill.strip()
    if len(step.skill) > LONGEST_SKILL:
        raise BadInput(
            _("The skill has %(count)s characters.") % {"count": len(step.skill)},
            _("Name it in %(most)s at most.") % {"most": LONGEST_SKILL},
        )
    if step.solvent and step.ignition:
        raise BadInput(
            _("An open solvent and a flame, heat or sparks in one step."),
            _("Make two steps of it, and air between them."),
        )


def _within(what: str, value: int, least: int, most: int) -> None:
    if not least <= value <= most:
        raise BadInput(
            _("%(what)s: %(value)s.") % {"what": what, "value": value},
            _("Give a number from %(least)s to %(most)s.") % {"least": least, "most": most},
        )


def _of_the_shop(by: By, people: Iterable[Person]) -> list[Person]:
    """The people, who must belong to this shop."""
    found = list(people)
    if any(person.shop_id != by.shop.pk for person in found):
        raise NotFound(_("There is no such person in this shop."))
    return found
