"""The people of the shop: who works at the bench, and what they can do."""

from __future__ import annotations

from collections.abc import Iterable

from django.utils.translation import gettext as _

from tallboy.book import skills as words
from tallboy.book.actions.guard import locked_shop
from tallboy.book.doing import By, action
from tallboy.book.models import MOST_HANDS, Person, Shop
from tallboy.errors import BadInput, NotFound

MOST_PEOPLE = 50
# The key of a row that is not there yet: no database gives it.
NOBODY = 0
LONGEST_NAME = 120


@action
def add_person(by: By, name: str, *, works: bool = True, skills: Iterable[str] = ()) -> Person:
    """Somebody new. Who works at the bench takes the place of a pair of hands without a name, or is one pair more."""
    shop = locked_shop(by)
    if Person.objects.filter(shop=shop).count() >= MOST_PEOPLE:
        raise BadInput(
            _("The shop has %(most)s people already.") % {"most": MOST_PEOPLE}, _("No more than that are kept.")
        )
    name, known = _checked_name(by, name), words.checked(skills)
    person = Person.objects.create(shop=by.shop, name=name, works=works, skills=known)
    if works:
        _count_hands(by, shop, gone=0)
    by.record("add person", person, _("%(name)s belongs to the shop now.") % {"name": person.name})
    return person


@action
def change_person(by: By, pk: int, *, name: str, works: bool, skills: Iterable[str]) -> Person:
    """Another name, other skills; who works at the bench no longer is a pair of hands less."""
    shop = locked_shop(by)
    person = Person.objects.select_for_update(no_key=True).filter(shop=shop, pk=pk).first()
    if person is None:
        raise NotFound(_("There is no such person in this shop."))
    before = {"name": person.name, "works": person.works, "skills": person.skills}
    person.name, person.skills = _checked_name(by, name, pk), words.checked(skills)
    changed, person.works = works != person.works, works
    person.save(update_fields=["name", "works", "skills"])
    if changed:
        _count_hands(by, shop, gone=0 if works else 1)
    by.record("change person", person, _("Changed what is known of %(name)s.") % {"name": person.name}, before=before)
    return person


def _checked_name(by: By, name: str, pk: int = NOBODY) -> str:
    name = " ".join(name.split())
    taken = Person.objects.filter(shop=by.shop, name=name).exclude(pk=pk).exists()
    if not 1 <= len(name) <= LONGEST_NAME or taken:
        raise BadInput(
            _("There is already somebody named so, or the name is missing or too long."),
            _("Give a name that nobody else in the shop has."),
        )
    return name


def _count_hands(by: By, shop: Shop, gone: int) -> None:
    """The shop has as many hands as named people work at the bench, and the unnamed ones beside them."""
    named = Person.objects.filter(shop=shop, works=True).count()
    if named > MOST_HANDS:
        raise BadInput(
            _("%(count)s people at the bench?") % {"count": named},
            _("The plan counts on %(most)s pairs of hands at most.") % {"most": MOST_HANDS},
        )
    shop.hands = max(1, named, shop.hands - gone)
    shop.save(update_fields=["hands"])
    by.person.shop = shop
